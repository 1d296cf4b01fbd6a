/* Ragged polygons for the suites of plane geometry and of sight. */
#ifndef AW_TESTS_STARS_H
#define AW_TESTS_STARS_H

#include "base/plane.h"
#include "aw_test.h"

/* A star-shaped polygon with ragged radii, concave as a rule; counter-clockwise. */
static inline aw_polygon star(uint64_t *state, aw_point corner[], size_t n)
{
    const double x = test_between(state, 3, 7), y = test_between(state, 3, 7);
    for (size_t i = 0; i < n; i++) {
        const double a = 2 * M_PI * ((double)i + 0.8 * test_uniform(state)) / (double)n;
        const double r = test_between(state, 0.8, 4);
        corner[i] = (aw_point){x + r * cos(a), y + r * sin(a)};
    }
    aw_polygon p = {.at = corner, .n = n};
    aw_polygon_close(&p);
    return p;
}

#endif
