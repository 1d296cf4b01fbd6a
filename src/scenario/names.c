/* Sorting, not hashing, finds equal names: no list of names can be chosen so that it is slow. */
#include "scenario/names.h"

#include <stdlib.h>
#include <string.h>

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
