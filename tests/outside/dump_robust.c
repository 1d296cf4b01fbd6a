/* Writes measurements with late arrivals among them, and the robust fix that is found for them, as
 * text for an implementation of others to be held against: for each case one line
 *
 *     case DIMS N LOW_X LOW_Y LOW_Z HIGH_X HIGH_Y HIGH_Z SEED CELL DRAW TERM
 *
 * with the site as seen from the spot, N lines "X Y Z WEIGHT RHO", then "plain FOUND X Y Z OFFSET"
 * and "robust FOUND TRIED DOUBTFUL X Y Z". */
#include <stdio.h>

#include "position/robust.h"
#include "measurement.h"

/* Anchors along the sides of a hall, so that no second root threatens, and a tag in it. */
static void lay_out(measurement *m, uint64_t *state)
{
    aw_fix_problem *p = &m->problem;
    lay_site(m, state, 63, 47, 6.2);
    const double width = m->outline.high.x, depth = m->outline.high.y;
    for (size_t i = 0; i < p->n; i++) {
        const double along = ((double)i + test_uniform(state)) / (double)p->n * 4;
        const double part = along - floor(along);
        const int side = (int)along;
        const double x[4] = {part, 1, 1 - part, 0}, y[4] = {0, part, 1, 1 - part};
        m->anchor[i][0] = x[side] * width - p->spot[0];
        m->anchor[i][1] = y[side] * depth - p->spot[1];
        m->anchor[i][2] = test_between(state, 0.35, 1) * p->site.ceiling - p->spot[2];
    }
}

/* Up to half of the arrivals are late, by up to so much; links are trusted unequally. */
static void draw_arrivals(measurement *m, uint64_t *state)
{
    aw_fix_problem *p = &m->problem;
    const double offset = test_between(state, -40, 40), most = test_between(state, 0.3, 9);
    const double share = test_between(state, 0, 0.5);
    for (size_t i = 0; i < p->n; i++) {
        const double sigma = 0.1 * test_between(state, 0.5, 1.5), *a = m->anchor[i];
        const double late = test_uniform(state) < share ? test_between(state, 0, most) : 0;
        m->weight[i] = 1 / (sigma * sigma);
        m->rho[i] = sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2]) + offset + late;
        m->rho[i] += sigma * test_normal(state);
    }
}

static void write_case(const measurement *m, const aw_draw_name *name)
{
    const aw_fix_problem *p = &m->problem;
    const aw_fix plain = aw_fix_find(p);
    const aw_robust r = aw_robust_find(p, &plain, name);
    printf("case %d %zu %.17g %.17g %.17g %.17g %.17g %.17g %llu %u %u %u\n", p->dims, p->n,
           -p->spot[0], -p->spot[1], -p->spot[2], m->outline.high.x - p->spot[0],
           m->outline.high.y - p->spot[1], p->site.ceiling - p->spot[2],
           (unsigned long long)name->seed, name->cell, name->draw, name->term);
    for (size_t i = 0; i < p->n; i++)
        printf("%.17g %.17g %.17g %.17g %.17g\n", m->anchor[i][0], m->anchor[i][1], m->anchor[i][2],
               m->weight[i], m->rho[i]);
    printf("plain %d %.17g %.17g %.17g %.17g\n", plain.found, plain.at[0], plain.at[1], plain.at[2],
           plain.offset);
    printf("robust %d %d %d %.17g %.17g %.17g\n", r.fix.found, r.tried, r.doubtful, r.fix.at[0],
           r.fix.at[1], r.fix.at[2]);
}

int main(void)
{
    uint64_t state = 0x5EEDBEAD;
    for (int dims = 2; dims <= 3; dims++)
        for (uint32_t i = 0; i < 500; i++) {
            measurement m = {.corner = {{0, 0}}};
            m.problem =
                (aw_fix_problem){.dims = dims,
                                 .n = (size_t)test_between(&state, dims + 2, MOST_MEASURED + 1),
                                 .anchor = m.anchor,
                                 .weight = m.weight,
                                 .rho = m.rho};
            const aw_draw_name name = {UINT64_C(0xFEDCBA9876543210) + i, 7 * i, 91 * i + 5, 9};
            lay_out(&m, &state);
            draw_arrivals(&m, &state);
            write_case(&m, &name);
        }
    return 0;
}
