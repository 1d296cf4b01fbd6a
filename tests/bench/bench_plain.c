/* What a user would write instead for an open floor: plain scalar C in double, one fix after the
 * other. Gauss-Newton damped where a step would raise the sum of squares. Start, stop and failure
 * rules are those of the product; the second roots of cells with one anchor more than unknown
 * coordinates are left out. */
#include <float.h>
#include <string.h>

#include "bench.h"
#include "plain.h"

#define MOST       64
#define ITERATIONS 25

typedef struct cell {
    int dims;
    size_t n;
    double anchor[MOST][3], weight[MOST], range[MOST], rho[MOST];
    double start[3], mean_z, low[3], high[3], height, ceiling;
} cell;

typedef struct job {
    const aw_scenario *scenario;
    const aw_grid *grid;
    double *p95, *p50, *rms;
} job;

/* Normal matrix and right side with the offset eliminated; returns the sum of squares. */
static inline double sum_links(const cell *c, const double x[3], double j[6], double g[3],
                               const bool solid)
{
    double w = 0, r = 0, rr = 0, m[3] = {0}, q[6] = {0}, p[3] = {0};
    for (size_t i = 0; i < c->n; i++) {
        const double *a = c->anchor[i], wi = c->weight[i];
        const double dx = x[0] - a[0], dy = x[1] - a[1], dz = x[2] - a[2];
        const double range = sqrt(dx * dx + dy * dy + dz * dz), inverse = 1 / range;
        const double left = c->rho[i] - range, ux = dx * inverse, uy = dy * inverse;
        const double wx = wi * ux, wy = wi * uy;
        w += wi;
        r += wi * left;
        rr += wi * left * left;
        m[0] += wx;
        m[1] += wy;
        q[0] += wx * ux;
        q[1] += wx * uy;
        q[2] += wy * uy;
        p[0] += wx * left;
        p[1] += wy * left;
        if (solid) {
            const double uz = dz * inverse, wz = wi * uz;
            m[2] += wz;
            q[3] += wx * uz;
            q[4] += wy * uz;
            q[5] += wz * uz;
            p[2] += wz * left;
        }
    }
    j[0] = q[0] - m[0] * m[0] / w;
    j[1] = q[1] - m[0] * m[1] / w;
    j[2] = q[2] - m[1] * m[1] / w;
    j[3] = q[3] - m[0] * m[2] / w;
    j[4] = q[4] - m[1] * m[2] / w;
    j[5] = q[5] - m[2] * m[2] / w;
    for (int k = 0; k < 3; k++)
        g[k] = p[k] - m[k] * r / w;
    return rr - r * r / w;
}

/* The damped step; false if the matrix is singular. */
static inline bool solve(const double j[6], const double g[3], double damping, double s[3],
                         const bool solid)
{
    const double xx = j[0] * (1 + damping), yy = j[2] * (1 + damping), zz = j[5] * (1 + damping);
    const double h = xx * yy - j[1] * j[1];
    if (!solid) {
        s[0] = (yy * g[0] - j[1] * g[1]) / h;
        s[1] = (xx * g[1] - j[1] * g[0]) / h;
        s[2] = 0;
        return h > 1e-12 * xx * yy;
    }
    const double a = yy * zz - j[4] * j[4], b = j[3] * j[4] - j[1] * zz;
    const double c = j[1] * j[4] - j[3] * yy, e = xx * zz - j[3] * j[3];
    const double f = j[1] * j[3] - xx * j[4], det = xx * a + j[1] * b + j[3] * c;
    s[0] = (a * g[0] + b * g[1] + c * g[2]) / det;
    s[1] = (b * g[0] + e * g[1] + f * g[2]) / det;
    s[2] = (c * g[0] + f * g[1] + h * g[2]) / det;
    return det > 1e-12 * xx * yy * zz;
}

static inline bool descend(const cell *c, const double start[3], double x[3], const bool solid)
{
    double j[6], g[3], s[3], jn[6], gn[3], next[3], damping = 0;
    memcpy(x, start, 3 * sizeof *x);
    double squares = sum_links(c, x, j, g, solid);
    for (int i = 0; i < ITERATIONS; i++) {
        if (!solve(j, g, damping, s, solid))
            return false;
        for (int k = 0; k < 3; k++)
            next[k] = x[k] + s[k];
        if (s[0] * s[0] + s[1] * s[1] + s[2] * s[2] < 1e-8) {
            memcpy(x, next, sizeof next);
            return true;
        }
        const double ahead = sum_links(c, next, jn, gn, solid);
        if (ahead > squares * (1 + 1e-10)) {
            damping = damping > 0 ? damping * 10 : 1e-3;
            continue;
        }
        memcpy(x, next, sizeof next);
        memcpy(j, jn, sizeof jn);
        memcpy(g, gn, sizeof gn);
        squares = ahead;
        damping = damping > 1e-6 ? damping / 10 : 0;
    }
    return false;
}

/* How far below the floor or above the ceiling. */
static double outside_by(const cell *c, const double x[3])
{
    const double z = x[2] + c->height;
    return z < 0 ? -z : z > c->ceiling ? z - c->ceiling : 0;
}

/* Horizontal error of one draw; infinite if there is no fix. */
static double fix(const cell *c, double *rise)
{
    double x[3], again[3];
    const bool solid = c->dims == 3;
    bool found = solid ? descend(c, c->start, x, true) : descend(c, c->start, x, false);
    if (solid && (!found || outside_by(c, x) > 0)) {
        const double from[3] = {found ? x[0] : c->start[0], found ? x[1] : c->start[1],
                                2 * c->mean_z - (found ? x[2] : c->start[2])};
        if (descend(c, from, again, true) && (!found || outside_by(c, again) < outside_by(c, x))) {
            memcpy(x, again, sizeof x);
            found = true;
        }
    }
    for (int k = 0; k < c->dims; k++)
        found = found && x[k] >= c->low[k] && x[k] <= c->high[k];
    *rise = found ? fabs(x[2]) : HUGE_VAL;
    return found ? sqrt(x[0] * x[0] + x[1] * x[1]) : HUGE_VAL;
}

static void aim(cell *c, const aw_scenario *s, aw_point at)
{
    const aw_tag *tag = &s->tags[0];
    const aw_polygon *o = &s->floor.outline;
    const double spot[3] = {at.x, at.y, tag->height};
    const double reach = hypot(o->high.x - o->low.x, o->high.y - o->low.y);
    *c = (cell){.dims = (int)tag->fix, .height = tag->height, .ceiling = s->floor.ceiling};
    for (size_t i = 0; i < s->n_anchors && c->n < MOST; i++) {
        double *a = c->anchor[c->n], squared = 0;
        for (int k = 0; k < 3; k++) {
            a[k] = s->anchors[i].at[k] - spot[k];
            squared += a[k] * a[k];
        }
        if (sqrt(squared) > s->ranging.range)
            continue;
        c->weight[c->n] = 1 / (s->ranging.sigma * s->ranging.sigma);
        c->range[c->n++] = sqrt(squared);
    }
    for (size_t i = 0; i < c->n; i++) {
        c->start[0] += c->anchor[i][0] / (double)c->n;
        c->start[1] += c->anchor[i][1] / (double)c->n;
        c->mean_z += c->anchor[i][2] / (double)c->n;
    }
    c->start[2] = c->dims == 3 ? -spot[2] : 0;
    memcpy(c->low,
           (double[]){o->low.x - reach - at.x, o->low.y - reach - at.y, -c->ceiling - spot[2]},
           sizeof c->low);
    memcpy(c->high,
           (double[]){o->high.x + reach - at.x, o->high.y + reach - at.y, 2 * c->ceiling - spot[2]},
           sizeof c->high);
}

static void work(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    const size_t n = j->scenario->study.draws;
    double *error = malloc(2 * n * sizeof *error), *rise = error + n;
    (void)thread;
    for (size_t i = from; error != NULL && i < to; i++) {
        cell c;
        double squares = 0;
        size_t fixed = 0;
        generator g = generator_of(j->scenario->study.seed, j->grid->number[i]);
        aim(&c, j->scenario, aw_grid_centre(j->grid, j->grid->number[i]));
        for (size_t m = 0; m < n; m++) {
            for (size_t k = 0; k < c.n; k++)
                c.rho[k] = c.range[k] + j->scenario->ranging.sigma * normal(&g);
            error[m] = fix(&c, &rise[m]);
            if (error[m] < DBL_MAX) {
                squares += error[m] * error[m];
                fixed++;
            }
        }
        qsort(error, n, sizeof *error, by_size);
        if (c.dims == 3)
            qsort(rise, n, sizeof *rise, by_size);
        j->p50[i] = percentile(error, n, 0.5);
        j->p95[i] = percentile(error, n, 0.95);
        j->rms[i] = sqrt(squares / (double)fixed);
    }
    free(error);
}

int main(int argc, char **argv)
{
    aw_scenario scenario;
    aw_grid grid;
    bench_open(argc, argv, &scenario, &grid);
    double *values = calloc(3 * grid.n, sizeof *values);
    if (values == NULL)
        return 3;
    job j = {&scenario, &grid, values, values + grid.n, values + 2 * grid.n};
    const double began = bench_now();
    aw_parallel(grid.n, 4, &(aw_run){aw_processors(), NULL, NULL}, work, &j, 0);
    const double seconds = bench_now() - began;
    bench_close(argv[2], j.p95, grid.n, seconds, (double)grid.n * (double)scenario.study.draws);
    free(values);
    aw_grid_free(&grid);
    aw_scenario_free(&scenario);
    return 0;
}
