/* The fewest slips of the keys between two texts, by the usual table of which three rows are kept.
 */
#include "base/nearest.h"

#include <ctype.h>
#include <stdbool.h>
#include <string.h>

#define LONGEST 60

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
