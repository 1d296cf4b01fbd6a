/* Levenberg's and Marquardt's damping over the normal equations with the offset taken out. What
 * runs in every step is inlined with the number of coordinates as a constant: this is the slow path
 * of the draws, and in the shadow of an obstacle most draws take it. */
#include "position/descent.h"

#include <math.h>
#include <string.h>

#include "anchorwise/bound.h"
#include "base/plane.h"
#include "position/symmetric.h"

#define ITERATIONS 25
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
/* A share of the step before from which on a descent is called creeping. */
#define CREEPS 0.5

#define INLINE static inline __attribute__((always_inline))

typedef struct equations {
    double j[3][3], g[3]; /* scatter of the lines of sight, and pull of the residuals */
    double squares, offset;
} equations;

/* Two passes, so that what the offset takes out is not lost to rounding. */
INLINE void sum_links(const aw_fix_problem *p, const double x[3], equations *e, const bool solid)
{
    double ux[AW_MOST_LINKS], uy[AW_MOST_LINKS], uz[AW_MOST_LINKS], r[AW_MOST_LINKS];
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
    for (size_t i = 0; i < p->n; i++) {
        const double w = p->weight[i], d = r[i] - e->offset, x_ = ux[i] - mx, y = uy[i] - my;
        e->squares += w * d * d;
        e->g[0] += w * x_ * d;
        e->g[1] += w * y * d;
        e->j[0][0] += w * x_ * x_;
        e->j[0][1] += w * x_ * y;
        e->j[1][1] += w * y * y;
        if (solid) {
            const double z = uz[i] - mz;
            e->g[2] += w * z * d;
            e->j[0][2] += w * x_ * z;
            e->j[1][2] += w * y * z;
            e->j[2][2] += w * z * z;
        }
    }
    e->j[1][0] = e->j[0][1];
    e->j[2][0] = e->j[0][2];
    e->j[2][1] = e->j[1][2];
}

/* Step of the damped equations; Marquardt's scaling by the diagonal. */
INLINE bool damped_step(const equations *e, double damping, double s[3], const bool solid)
{
    const double more = 1 + damping, *g = e->g;
    if (!solid) {
        const double xx = e->j[0][0] * more, yy = e->j[1][1] * more, xy = e->j[0][1];
        const double over = 1 / (xx * yy - xy * xy);
        s[0] = (yy * g[0] - xy * g[1]) * over;
        s[1] = (xx * g[1] - xy * g[0]) * over;
        s[2] = 0;
        return isfinite(s[0] + s[1]);
    }
    double m[3][3], inverse[3][3];
    memcpy(m, e->j, sizeof m);
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
    double step[3], last; /* the latest step taken, and its length */
    equations e;
    bool settled;
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

/* Large residuals make Gauss-Newton creep or zigzag: each step is the same share of the one before,
 * on along its line or back. Such a step is set to where that would end (Aitken's rule). */
static void end_creeping(const walker *w, double s[3])
{
    const double now = length(s), along = s[0] * w->step[0] + s[1] * w->step[1] + s[2] * w->step[2];
    const double share = w->last > 0 ? copysign(now / w->last, along) : 0;
    if (fabs(share) < CREEPS || fabs(share) > 0.95 || fabs(along) < 0.99 * now * w->last)
        return;
    for (int k = 0; k < 3; k++)
        s[k] /= 1 - share;
}

/* Tries steps of rising damping until one does not raise the sum; false if none does. */
INLINE bool take_step(const aw_fix_problem *p, walker *w, const bool solid)
{
    for (int tries = 0; tries < MOST_TRIES; tries++) {
        double s[3], next[3];
        equations ahead;
        if (damped_step(&w->e, w->damping, s, solid)) {
            if (length(s) < SETTLED && (w->damping <= GENTLE || tries > 0)) {
                settle(w, s);
                return true;
            }
            if (tries == 0 && w->damping == 0)
                end_creeping(w, s);
            for (int k = 0; k < 3; k++)
                next[k] = w->x[k] + s[k];
            sum_links(p, next, &ahead, solid);
            if (ahead.squares <= w->e.squares * (1 + 1e-10)) {
                memcpy(w->x, next, sizeof next);
                w->e = ahead;
                memcpy(w->step, s, sizeof s);
                w->last = length(s);
                w->damping = w->damping > 1e-6 ? w->damping / 10 : 0;
                return true;
            }
        }
        w->damping = w->damping > 0 ? w->damping * 10 : 1e-3;
    }
    return false;
}

/* A fix beyond the site's box grown by its diagonal, or its heights grown likewise, is no fix. */
static bool is_astray(const aw_fix_problem *p, const double at[3])
{
    const aw_polygon *o = p->site.outline;
    if (o == NULL)
        return false;
    const double reach = aw_length(o->high.x - o->low.x, o->high.y - o->low.y);
    const double rise = p->site.ceiling - p->site.floor;
    const double x = p->spot[0] + at[0], y = p->spot[1] + at[1], z = p->spot[2] + at[2];
    return x < o->low.x - reach || x > o->high.x + reach || y < o->low.y - reach ||
           y > o->high.y + reach ||
           (p->dims == 3 && (z < p->site.floor - rise || z > p->site.ceiling + rise));
}

INLINE bool descend(const aw_fix_problem *p, walker *w, const bool solid)
{
    sum_links(p, w->x, &w->e, solid);
    for (int i = 0; i < ITERATIONS && !w->settled; i++)
        if (!take_step(p, w, solid) || (i >= FREE_STEPS && is_astray(p, w->x)))
            return false;
    return (w->settled || w->last < NEARLY) && !is_astray(p, w->x) &&
           aw_symmetric_condition(w->e.j, p->dims) <= AW_CONDITION_LIMIT;
}

/* Steps along the floor, ended by one that would raise the sum. */
static void stay_level(const aw_fix_problem *p, walker *w)
{
    for (int i = 0; i < AW_LEVEL_STEPS; i++) {
        double s[3];
        equations ahead;
        sum_links(p, w->x, &w->e, true);
        if (!damped_step(&w->e, 0, s, false))
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
    walker w = {.x = {start[0], start[1], solid ? start[2] : 0}, .damping = damping};
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
