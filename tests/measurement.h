/* Measurements of one tag for the programs that write them out for others to solve. */
#ifndef AW_TESTS_MEASUREMENT_H
#define AW_TESTS_MEASUREMENT_H

#include "position/fix.h"
#include "aw_test.h"

#define MOST_MEASURED 13

typedef struct measurement {
    double anchor[MOST_MEASURED][3], weight[MOST_MEASURED], rho[MOST_MEASURED];
    aw_point corner[4];
    aw_polygon outline;
    aw_fix_problem problem;
} measurement;

/* A hall of at most widest x deepest m and at least lowest m, and a tag in it, as seen from its
 * spot. */
static inline void lay_site(measurement *m, uint64_t *state, double widest, double deepest,
                            double lowest)
{
    const double width = test_between(state, 24, widest), depth = test_between(state, 19, deepest);
    aw_fix_problem *p = &m->problem;
    m->corner[1].x = m->corner[2].x = width;
    m->corner[2].y = m->corner[3].y = depth;
    m->outline = (aw_polygon){m->corner, 4, {0, 0}, {width, depth}};
    p->site = (aw_site){&m->outline, test_between(state, lowest, 11.7), 0};
    p->spot[0] = test_between(state, 0.07, 0.93) * width;
    p->spot[1] = test_between(state, 0.07, 0.93) * depth;
    p->spot[2] = test_between(state, 0.3, 0.4 * p->site.ceiling);
}

#endif
