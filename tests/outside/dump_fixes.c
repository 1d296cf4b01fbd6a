/* Writes ragged measurements and the fix that the careful solver finds for them, as text for a
 * general-purpose solver to be held against: for each case one line
 *
 *     case DIMS N FLOOR CEILING LOW_X LOW_Y HIGH_X HIGH_Y
 *
 * with heights and site as seen from the spot, N lines "X Y Z WEIGHT RHO", and one line
 * "fix FOUND AMBIGUOUS X Y Z OFFSET SQUARES". */
#include <math.h>
#include <stdio.h>

#include "position/fix.h"
#include "measurement.h"

/* Arrivals with an error of 0.1 m on average, by links that are trusted unequally. */
static void draw_arrivals(measurement *m, uint64_t *state)
{
    aw_fix_problem *p = &m->problem;
    const double late = test_between(state, -40, 40);
    for (size_t i = 0; i < p->n; i++) {
        const double sigma = 0.1 * test_between(state, 0.5, 1.5);
        double *a = m->anchor[i];
        a[0] = test_between(state, m->outline.low.x, m->outline.high.x) - p->spot[0];
        a[1] = test_between(state, m->outline.low.y, m->outline.high.y) - p->spot[1];
        a[2] = test_between(state, 0.35, 1) * p->site.ceiling - p->spot[2];
        m->weight[i] = 1 / (sigma * sigma);
        m->rho[i] = sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2]) + late;
        m->rho[i] += sigma * test_normal(state);
    }
}

static void write_case(const measurement *m)
{
    const aw_fix_problem *p = &m->problem;
    const aw_fix fix = aw_fix_find(p);
    printf("case %d %zu %.17g %.17g %.17g %.17g %.17g %.17g\n", p->dims, p->n, -p->spot[2],
           p->site.ceiling - p->spot[2], -p->spot[0], -p->spot[1], m->outline.high.x - p->spot[0],
           m->outline.high.y - p->spot[1]);
    for (size_t i = 0; i < p->n; i++)
        printf("%.17g %.17g %.17g %.17g %.17g\n", m->anchor[i][0], m->anchor[i][1], m->anchor[i][2],
               m->weight[i], m->rho[i]);
    printf("fix %d %d %.17g %.17g %.17g %.17g %.17g\n", fix.found, fix.ambiguous, fix.at[0],
           fix.at[1], fix.at[2], fix.offset, fix.residual);
}

int main(void)
{
    uint64_t state = 0x5EEDF00D;
    for (int dims = 2; dims <= 3; dims++)
        for (int i = 0; i < 400; i++) {
            measurement m = {.corner = {{0, 0}}};
            m.problem = (aw_fix_problem){.dims = dims,
                                         .n = (size_t)test_between(&state, 5, 11),
                                         .anchor = m.anchor,
                                         .weight = m.weight,
                                         .rho = m.rho,
                                         .side = (unsigned)(test_uniform(&state) * 2)};
            lay_site(&m, &state, 83, 57, 5.2);
            draw_arrivals(&m, &state);
            write_case(&m);
        }
    return 0;
}
