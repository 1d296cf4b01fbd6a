#include "plan/inside.h"

#include <stdlib.h>

#include "base/plane.h"

static int compare_numbers(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

aw_point aw_ring_inside(const aw_point at[], size_t n)
{
    aw_polygon ring = {.at = at, .n = n};
    double *xs = calloc(n + 1, sizeof *xs), widest = 0;
    aw_point best = at[0];
    aw_polygon_close(&ring);
    /* Not quite halfway: corners often lie there. */
    const double y = ring.low.y + 0.4871 * (ring.high.y - ring.low.y);
    const size_t found = xs != NULL ? aw_polygon_row(&ring, y, xs) : 0;
    if (found > 0)
        qsort(xs, found, sizeof *xs, compare_numbers);
    for (size_t i = 0; i + 1 < found; i += 2)
        if (xs[i + 1] - xs[i] > widest) {
            widest = xs[i + 1] - xs[i];
            best = (aw_point){(xs[i] + xs[i + 1]) / 2, y};
        }
    free(xs);
    return best;
}
