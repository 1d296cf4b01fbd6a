/* Sorting, not hashing, finds equal names: no list of names can be chosen so that it is slow. */
#include "scenario/names.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#define LONGEST 60

static int compare_names(const void *a, const void *b)
{
    const aw_name *m = a, *n = b;
    const int order = strcmp(m->text, n->text);
    return order != 0 ? order : (m->index > n->index) - (m->index < n->index);
}

void aw_names_sort(aw_name list[], size_t n)
{
    if (n > 1)
        qsort(list, n, sizeof *list, compare_names);
}

const aw_name *aw_names_find(const aw_names *names, const char *text)
{
    size_t low = 0, high = names->n;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (strcmp(names->list[middle].text, text) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low < names->n && strcmp(names->list[low].text, text) == 0 ? &names->list[low] : NULL;
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

static bool same(char a, char b)
{
    return tolower((unsigned char)a) == tolower((unsigned char)b);
}

/* Letters changed, lost, added, or swapped with their neighbour. */
static size_t slips_between(const char *a, size_t n, const char *b, size_t m)
{
    size_t rows[3][LONGEST + 1];
    size_t *before = rows[0], *last = rows[1], *now = rows[2];
    for (size_t j = 0; j <= m; j++)
        last[j] = j;
    for (size_t i = 1; i <= n; i++) {
        now[0] = i;
        for (size_t j = 1; j <= m; j++) {
            now[j] = least(last[j - 1] + !same(a[i - 1], b[j - 1]), least(last[j], now[j - 1]) + 1);
            if (i > 1 && j > 1 && same(a[i - 1], b[j - 2]) && same(a[i - 2], b[j - 1]))
                now[j] = least(now[j], before[j - 2] + 1);
        }
        size_t *spare = before;
        before = last;
        last = now;
        now = spare;
    }
    return last[m];
}

const char *aw_nearest(const char *written, const char *const candidates[], size_t n)
{
    const size_t length = strlen(written);
    size_t fewest = (length <= 2 ? 0 : length <= 4 ? 1 : length <= 7 ? 2 : 3) + 1;
    const char *nearest = NULL;
    if (length > LONGEST)
        return NULL;
    for (size_t i = 0; i < n; i++) {
        const size_t m = strlen(candidates[i]);
        if (m > LONGEST)
            continue;
        const size_t slips = slips_between(written, length, candidates[i], m);
        if (slips < fewest && slips < m) {
            fewest = slips;
            nearest = candidates[i];
        }
    }
    return nearest;
}

uint32_t aw_name_hash(const char *text)
{
    uint32_t hash = 2166136261u;
    for (; *text != '\0'; text++)
        hash = (hash ^ (unsigned char)*text) * 16777619u;
    return hash;
}

static bool is_taken(const aw_anchor anchors[], const aw_names *names, size_t n, uint32_t key)
{
    for (size_t i = 0; i < n; i++)
        if (anchors[names->list[i].index].key == key)
            return true;
    return key == 0;
}

void aw_anchor_keys(aw_anchor anchors[], const aw_names *names)
{
    for (size_t i = 0; i < names->n; i++) {
        uint32_t key = aw_name_hash(names->list[i].text);
        while (is_taken(anchors, names, i, key))
            key++;
        anchors[names->list[i].index].key = key;
    }
}
