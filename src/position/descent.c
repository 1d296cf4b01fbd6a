/* Gauss-Newton over the normal equations with the offset taken out, damped as Levenberg and
 * Marquardt do; later Newton, since large residuals make Gauss-Newton creep, or throw it over a
 * root and back: near one it multiplies the error by J^-1 S. What runs in every step is inlined
 * with the number of coordinates as a constant: this is the slow path of the draws, and in the
 * shadow of an obstacle most draws take it. */
#include "position/descent.h"

#include <math.h>
#include <string.h>

#include "anchorwise/bound.h"
#include "base/plane.h"
#include "position/symmetric.h"

#define ITERATIONS 40
/* A step shorter than this, m, ends the descent: less than two solvers may differ by, since a
 * slow descent leaves some steps untaken. A descent that runs out of steps has arrived if its last
 * one was shorter than NEARLY. */
#define SETTLED 3e-5
#define NEARLY  1e-4
/* Up to this damping a short step means a root and not a timid step. */
#define GENTLE 1e-3
/* A descent may overshoot at first; later one that is astray is given up. */
#define FREE_STEPS 4
#define MOST_TRIES 16
/* A step is at most this share of the site's diagonal: far out the sum of squares is so flat that a
 * step would leave a minimum behind. */
#define LONGEST 0.25
/* A least eigenvalue below this share of the trace is not told from zero. */
#define FLAT 1e-9

#define INLINE static inline __attribute__((always_inline))

typedef struct equations {
    double j[3][3], g[3]; /* scatter of the lines of sight, and pull of the residuals */
    double h[3][3];       /* J - S, half the second derivative of the sum of squares */
    double squares, offset;
} equations;

/* Two passes, so that what the offset takes out is not lost to rounding. */
INLINE void sum_links(const aw_fix_problem *p, const double x[3], equations *e, const bool solid)
{
    double ux[AW_MOST_LINKS], uy[AW_MOST_LINKS], uz[AW_MOST_LINKS], r[AW_MOST_LINKS];
    double curved[AW_MOST_LINKS];
    double total = 0, late = 0, mx = 0, my = 0, mz = 0;
    for (size_t i = 0; i < p->n; i++) {
        const double *a = p->anchor[i], w = p->weight[i];
        const double dx = x[0] - a[0], dy = x[1] - a[1], dz = x[2] - a[2];
        const double range = sqrt(dx * dx + dy * dy + dz * dz);
        const double inverse = range > 0 ? 1 / range : 0;
        r[i] = p->rho[i] - range;
        ux[i] = dx * inverse;
        uy[i] = dy * inverse;
        uz[i] = dz * inverse;
        curved[i] = w * inverse;
        total += w;
        late += w * r[i];
        mx += w * ux[i];
        my += w * uy[i];
        mz += w * uz[i];
    }
    memset(e, 0, sizeof *e);
    e->offset = late / total;
    mx /= total;
    my /= total;
    mz /= total;
    double pull = 0, s[3][3] = {{0}};
    for (size_t i = 0; i < p->n; i++) {
        const double w = p->weight[i], d = r[i] - e->offset, x_ = ux[i] - mx, y = uy[i] - my;
        const double k = curved[i] * d;
        e->squares += w * d * d;
        e->g[0] += w * x_ * d;
        e->g[1] += w * y * d;
        e->j[0][0] += w * x_ * x_;
        e->j[0][1] += w * x_ * y;
        e->j[1][1] += w * y * y;
        pull += k;
        s[0][0] += k * ux[i] * ux[i];
        s[0][1] += k * ux[i] * uy[i];
        s[1][1] += k * uy[i] * uy[i];
        if (solid) {
            const double z = uz[i] - mz;
            e->g[2] += w * z * d;
            e->j[0][2] += w * x_ * z;
            e->j[1][2] += w * y * z;
            e->j[2][2] += w * z * z;
            s[0][2] += k * ux[i] * uz[i];
            s[1][2] += k * uy[i] * uz[i];
            s[2][2] += k * uz[i] * uz[i];
        }
    }
    for (int i = 0; i < 3; i++)
        for (int k = i; k < 3; k++) {
            e->j[k][i] = e->j[i][k];
            e->h[k][i] = e->h[i][k] = e->j[i][k] + s[i][k] - (i == k ? pull : 0);
        }
}

/* The second derivative, and where the sum of squares is no bowl one that is: raised until its
 * least eigenvalue is as far above zero as it was below. */
static void make_bowl(const equations *e, int dims, double m[3][3])
{
    double trace = 0;
    memcpy(m, e->h, sizeof e->h);
    for (int k = 0; k < dims; k++)
        trace += fabs(m[k][k]);
    const double least = aw_symmetric_least(m, dims);
    for (int k = 0; k < dims && !(least > FLAT * trace); k++)
        m[k][k] += fmax(-2 * least, 0) + FLAT * trace;
}

/* Solves m s = g with the diagonal of m raised by a share, as Marquardt scales. */
INLINE bool damped_step(double j[3][3], const double g[3], double damping, double s[3],
                        const bool solid)
{
    const double more = 1 + damping;
    if (!solid) {
        const double xx = j[0][0] * more, yy = j[1][1] * more, xy = j[0][1];
        const double over = 1 / (xx * yy - xy * xy);
        s[0] = (yy * g[0] - xy * g[1]) * over;
        s[1] = (xx * g[1] - xy * g[0]) * over;
        s[2] = 0;
        return isfinite(s[0] + s[1]);
    }
    double m[3][3], inverse[3][3];
    memcpy(m, j, sizeof m);
    for (int k = 0; k < 3; k++)
        m[k][k] *= more;
    aw_symmetric_invert(m, 3, inverse);
    for (int k = 0; k < 3; k++)
        s[k] = inverse[k][0] * g[0] + inverse[k][1] * g[1] + inverse[k][2] * g[2];
    return isfinite(s[0] + s[1] + s[2]);
}

static double length(const double s[3])
{
    return sqrt(s[0] * s[0] + s[1] * s[1] + s[2] * s[2]);
}

/* Where the descent stands. */
typedef struct walker {
    double x[3], damping;
    double longest; /* m that a step may take */
    double last;    /* length of the latest step taken */
    equations e;
    bool curved, settled;
} walker;

/* The last, short step needs no new sum: to second order it lowers the squares by s . g. */
static void settle(walker *w, const double s[3])
{
    for (int k = 0; k < 3; k++) {
        w->x[k] += s[k];
        w->e.squares -= s[k] * w->e.g[k];
    }
    w->e.squares = fmax(w->e.squares, 0);
    w->settled = true;
}

/* Tries steps of rising damping until one does not raise the sum; false if none does. */
INLINE bool take_step(const aw_fix_problem *p, walker *w, const bool solid)
{
    for (int tries = 0; tries < MOST_TRIES; tries++) {
        double s[3], next[3];
        equations ahead;
        double m[3][3];
        if (w->curved)
            make_bowl(&w->e, p->dims, m);
        else
            memcpy(m, w->e.j, sizeof m);
        if (damped_step(m, w->e.g, w->damping, s, solid)) {
            if (length(s) < SETTLED && (w->damping <= GENTLE || tries > 0)) {
                settle(w, s);
                return true;
            }
            const double held = fmin(1, w->longest / length(s));
            for (int k = 0; k < 3; k++)
                next[k] = w->x[k] + (s[k] *= held);
            sum_links(p, next, &ahead, solid);
            if (ahead.squares <= w->e.squares * (1 + 1e-10)) {
                memcpy(w->x, next, sizeof next);
                w->e = ahead;
                w->last = length(s);
                w->damping = w->damping > 1e-6 ? w->damping / 10 : 0;
                return true;
            }
        }
        w->damping = w->damping > 0 ? w->damping * 10 : 1e-3;
        w->curved = true;
    }
    return false;
}

static double reach_of(const aw_polygon *o)
{
    return o != NULL ? aw_length(o->high.x - o->low.x, o->high.y - o->low.y) : HUGE_VAL;
}

bool aw_is_astray(const aw_fix_problem *p, const double at[3])
{
    const aw_polygon *o = p->site.outline;
    if (o == NULL)
        return false;
    const double reach = reach_of(o);
    const double rise = p->site.ceiling - p->site.floor;
    const double x = p->spot[0] + at[0], y = p->spot[1] + at[1], z = p->spot[2] + at[2];
    return x < o->low.x - reach || x > o->high.x + reach || y < o->low.y - reach ||
           y > o->high.y + reach ||
           (p->dims == 3 && (z < p->site.floor - rise || z > p->site.ceiling + rise));
}

INLINE bool descend(const aw_fix_problem *p, walker *w, const bool solid)
{
    sum_links(p, w->x, &w->e, solid);
    for (int i = 0; i < ITERATIONS && !w->settled; i++) {
        w->curved = w->curved || i >= AW_CURVED_FROM;
        if (!take_step(p, w, solid) || (i >= FREE_STEPS && aw_is_astray(p, w->x)))
            return false;
    }
    return (w->settled || w->last < NEARLY) && !aw_is_astray(p, w->x) &&
           aw_symmetric_condition(w->e.h, p->dims) <= AW_CONDITION_LIMIT;
}

/* Steps along the floor, ended by one that would raise the sum. */
static void stay_level(const aw_fix_problem *p, walker *w)
{
    for (int i = 0; i < AW_LEVEL_STEPS; i++) {
        double s[3];
        equations ahead;
        sum_links(p, w->x, &w->e, true);
        if (!damped_step(w->e.j, w->e.g, 0, s, false))
            return;
        const double next[3] = {w->x[0] + s[0], w->x[1] + s[1], w->x[2]};
        sum_links(p, next, &ahead, true);
        if (ahead.squares > w->e.squares)
            return;
        memcpy(w->x, next, sizeof next);
    }
}

bool aw_descend(const aw_fix_problem *p, const double start[3], double damping, bool level,
                aw_root *found)
{
    const bool solid = p->dims == 3;
    walker w = {.x = {start[0], start[1], solid ? start[2] : 0},
                .damping = damping,
                .longest = LONGEST * reach_of(p->site.outline)};
    if (level && solid)
        stay_level(p, &w);
    if (!(solid ? descend(p, &w, true) : descend(p, &w, false)))
        return false;
    memcpy(found->at, w.x, sizeof w.x);
    found->squares = w.e.squares;
    found->offset = w.e.offset;
    return true;
}

double aw_implausible_squares(size_t n, int dims)
{
    const double freedom = n > (size_t)dims + 1 ? (double)(n - (size_t)dims - 1) : 0;
    return freedom + 6 * sqrt(2 * freedom) + 20;
}
