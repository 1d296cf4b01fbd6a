/* Descents side by side in double precision, a lane a descent: Gauss-Newton over the normal
 * equations with the offset taken out, damped as Levenberg and Marquardt do; later Newton, since
 * large residuals make Gauss-Newton creep, or throw it over a root and back: near one it multiplies
 * the error by J^-1 S. A lane that has ended takes the next of the list. Compiled once for each
 * processor level; what a descent computes depends neither on its neighbours nor on their number.
 */
#include "position/kernel.h"
#include "position/lanes.h"
#include "position/symmetric.h"

#include "anchorwise/bound.h"

#define D          (W / 2)
#define ITERATIONS 40
/* A step shorter than this, m, ends the descent: less than two solvers may differ by, since a
 * slow descent leaves some steps untaken. A descent that runs out of steps has arrived if its last
 * one was shorter than NEARLY. */
#define SETTLED 3e-5
#define NEARLY  1e-4
/* Up to this damping a short step means a root and not a timid step. */
#define GENTLE 1e-3
/* A sum of squares that grows by no more than this share is no rise. */
#define RISE (1 + 1e-10)
/* A descent may overshoot at first; later one that is astray is given up. */
#define FREE_STEPS 4
#define MOST_TRIES 16
/* A step is at most this share of the site's diagonal: far out the sum of squares is so flat that a
 * step would leave a minimum behind. */
#define LONGEST 0.25
/* A least eigenvalue below this share of the trace is not told from zero. */
#define FLAT 1e-9

#define JOIN(a, b)  a##b
#define NAME(level) JOIN(aw_descents_, level)
void NAME(AW_LEVEL)(aw_descent list[], size_t n);

#define INLINE static inline __attribute__((always_inline))

typedef struct matrix {
    vd xx, xy, yy, xz, yz, zz;
} matrix;

typedef struct vector {
    vd x, y, z;
} vector;

typedef struct equations {
    matrix j; /* scatter of the lines of sight */
    matrix h; /* J - S, half the second derivative of the sum of squares */
    vector g; /* pull of the residuals */
    vd squares, offset;
} equations;

/* One link of every lane, and what the first pass over the links leaves to the second. A lane with
 * fewer links has others of weight 0, which add nothing. */
typedef struct link {
    vd x, y, z, weight, rho;
    vd ux, uy, uz, left, curved;
} link;

typedef struct lanes {
    aw_descent *descent[D]; /* NULL: the lane is idle */
    size_t n;               /* links of the lane that has most */
    vector at;
    vd damping;
    vd longest;                   /* m that a step may take */
    vd last;                      /* length of the latest step taken */
    vd iterations, tries, level;  /* steps taken, refused since, and still to be taken level */
    vl idle, fresh, curved;       /* no sum yet, as an idle one; steps count curvature */
    vector spot, lowest, highest; /* astray beyond these, in the spot's coordinates */
    equations e;
    link link[AW_MOST_LINKS];
} lanes;

INLINE vd all(double x)
{
    return x - (vd){0};
}

INLINE void add_product(matrix *to, vd times, vd x, vd y, vd z, const bool solid)
{
    to->xx += times * x * x;
    to->xy += times * x * y;
    to->yy += times * y * y;
    if (solid) {
        to->xz += times * x * z;
        to->yz += times * y * z;
        to->zz += times * z * z;
    }
}

/* Two passes, so that what the offset takes out is not lost to rounding. */
INLINE equations sum_links(lanes *v, const vector *at, const bool solid)
{
    const vd one = all(1), zero = all(0);
    vd total = zero, late = zero, mx = zero, my = zero, mz = zero, pull = zero;
    for (size_t i = 0; i < v->n; i++) {
        link *k = &v->link[i];
        const vd dx = at->x - k->x, dy = at->y - k->y, dz = at->z - k->z;
        const vd range = root_of(dx * dx + dy * dy + dz * dz);
        const vd inverse = pick_of(range > 0, one / range, zero);
        k->left = k->rho - range;
        k->ux = dx * inverse;
        k->uy = dy * inverse;
        k->uz = dz * inverse;
        k->curved = k->weight * inverse;
        total += k->weight;
        late += k->weight * k->left;
        mx += k->weight * k->ux;
        my += k->weight * k->uy;
        mz += k->weight * k->uz;
    }
    equations e = {.offset = late / total};
    mx /= total;
    my /= total;
    mz /= total;
    for (size_t i = 0; i < v->n; i++) {
        const link *k = &v->link[i];
        const vd d = k->left - e.offset, bend = k->curved * d;
        const vd x = k->ux - mx, y = k->uy - my, z = k->uz - mz;
        e.squares += k->weight * d * d;
        e.g.x += k->weight * x * d;
        e.g.y += k->weight * y * d;
        if (solid)
            e.g.z += k->weight * z * d;
        pull += bend;
        add_product(&e.j, k->weight, x, y, z, solid);
        add_product(&e.h, bend, k->ux, k->uy, k->uz, solid);
    }
    e.h = (matrix){e.j.xx + e.h.xx - pull, e.j.xy + e.h.xy, e.j.yy + e.h.yy - pull,
                   e.j.xz + e.h.xz,        e.j.yz + e.h.yz, e.j.zz + e.h.zz - pull};
    return e;
}

INLINE vd magnitude(vd x)
{
    return (vd)((vl)x & INT64_MAX);
}

static void take_lane(const matrix *from, int l, double m[3][3])
{
    m[0][0] = from->xx[l];
    m[1][1] = from->yy[l];
    m[2][2] = from->zz[l];
    m[0][1] = m[1][0] = from->xy[l];
    m[0][2] = m[2][0] = from->xz[l];
    m[1][2] = m[2][1] = from->yz[l];
}

INLINE vd determinant(const matrix *m, const bool solid)
{
    if (!solid)
        return m->xx * m->yy - m->xy * m->xy;
    return m->xx * (m->yy * m->zz - m->yz * m->yz) - m->xy * (m->xy * m->zz - m->yz * m->xz) +
           m->xz * (m->xy * m->yz - m->yy * m->xz);
}

/* Raises the second derivative, where the sum of squares is no bowl, until its least eigenvalue is
 * as far above zero as it was below. The determinant over what the other eigenvalues can be at most
 * is under that eigenvalue, and mostly tells. */
INLINE void make_bowl(matrix *m, vl wanted, const bool solid)
{
    const vd det = determinant(m, solid);
    vd trace = magnitude(m->xx) + magnitude(m->yy);
    vl bowl = (m->xx > 0) & (m->xx * m->yy - m->xy * m->xy > 0);
    if (solid) {
        trace += magnitude(m->zz);
        bowl &= det > 2 * FLAT * trace * trace * trace;
    } else {
        bowl &= det > 2 * FLAT * trace * trace;
    }
    const vl raised = wanted & ~bowl;
    for (int l = 0; l < D && any_of(raised); l++) {
        double whole[3][3];
        if (raised[l] == 0)
            continue;
        take_lane(m, l, whole);
        const double least = aw_symmetric_least(whole, solid ? 3 : 2);
        if (least > FLAT * trace[l])
            continue;
        const double more = (least < 0 ? -2 * least : 0) + FLAT * trace[l];
        m->xx[l] += more;
        m->yy[l] += more;
        m->zz[l] += more;
    }
}

INLINE vector step_flat(const matrix *m, const vector *g)
{
    const vd over = 1 / determinant(m, false);
    return (vector){(m->yy * g->x - m->xy * g->y) * over, (m->xx * g->y - m->xy * g->x) * over,
                    all(0)};
}

INLINE vector step_solid(const matrix *m, const vector *g)
{
    const vd det = determinant(m, true);
    const vd xx = (m->yy * m->zz - m->yz * m->yz) / det, yy = (m->xx * m->zz - m->xz * m->xz) / det;
    const vd zz = (m->xx * m->yy - m->xy * m->xy) / det, xy = (m->xz * m->yz - m->xy * m->zz) / det;
    const vd xz = (m->xy * m->yz - m->xz * m->yy) / det, yz = (m->xy * m->xz - m->xx * m->yz) / det;
    return (vector){xx * g->x + xy * g->y + xz * g->z, xy * g->x + yy * g->y + yz * g->z,
                    xz * g->x + yz * g->y + zz * g->z};
}

INLINE matrix pick_matrix(vl mask, const matrix *yes, const matrix *no, const bool solid)
{
    matrix m = {.xx = pick_of(mask, yes->xx, no->xx),
                .xy = pick_of(mask, yes->xy, no->xy),
                .yy = pick_of(mask, yes->yy, no->yy)};
    if (solid) {
        m.xz = pick_of(mask, yes->xz, no->xz);
        m.yz = pick_of(mask, yes->yz, no->yz);
        m.zz = pick_of(mask, yes->zz, no->zz);
    }
    return m;
}

INLINE vector pick_vector(vl mask, vector yes, vector no)
{
    return (vector){pick_of(mask, yes.x, no.x), pick_of(mask, yes.y, no.y),
                    pick_of(mask, yes.z, no.z)};
}

/* The step that each lane tries: none to begin with; level ones; then the matrix with its diagonal
 * raised by a share, as Marquardt scales. */
INLINE vector next_step(const lanes *v, const bool solid)
{
    matrix m = v->e.j;
    if (any_of(v->curved)) {
        matrix h = v->e.h;
        make_bowl(&h, v->curved, solid);
        m = pick_matrix(v->curved, &h, &m, solid);
    }
    const vd more = 1 + v->damping;
    m.xx *= more;
    m.yy *= more;
    m.zz *= more;
    vector s = solid ? step_solid(&m, &v->e.g) : step_flat(&m, &v->e.g);
    if (solid && any_of(v->level > 0))
        s = pick_vector(v->level > 0, step_flat(&v->e.j, &v->e.g), s);
    return pick_vector(v->fresh, (vector){all(0), all(0), all(0)}, s);
}

INLINE vl find_astray(const lanes *v, const bool solid)
{
    const vd x = v->spot.x + v->at.x, y = v->spot.y + v->at.y, z = v->spot.z + v->at.z;
    vl astray = (x < v->lowest.x) | (x > v->highest.x) | (y < v->lowest.y) | (y > v->highest.y);
    if (solid)
        astray |= (z < v->lowest.z) | (z > v->highest.z);
    return astray;
}

/* What became of the step that each lane tried. */
typedef struct outcome {
    vl settled, ended; /* a settled lane has ended too */
} outcome;

/* Keeps what the lanes' steps led to, or damps those that raised the sum. The last, short step
 * needs no new sum: to second order it lowers the squares by s . g. */
INLINE outcome judge(lanes *v, const vector *s, vd length, const equations *ahead, const bool solid)
{
    const vl level = ~v->fresh & (v->level > 0), free = ~v->fresh & ~level;
    const vd sum = s->x + s->y + s->z;
    const vl finite = sum - sum == 0;
    const vl settled =
        free & finite & (length < SETTLED) & ((v->damping <= GENTLE) | (v->tries > 0));
    const vl taken = free & finite & ~settled & (ahead->squares <= v->e.squares * RISE);
    const vl refused = free & ~settled & ~taken;
    const vl leveled = level & finite & ~(ahead->squares > v->e.squares);
    const vl moved = v->fresh | taken | leveled, was_free = v->iterations >= FREE_STEPS;
    const vector g = v->e.g;
    const vd lower = v->e.squares - s->x * g.x - s->y * g.y - s->z * g.z;
    const vector next = {v->at.x + s->x, v->at.y + s->y, v->at.z + s->z};
    v->at = pick_vector(moved | settled, next, v->at);
    v->e.j = pick_matrix(moved, &ahead->j, &v->e.j, solid);
    v->e.h = pick_matrix(moved, &ahead->h, &v->e.h, solid);
    v->e.g = pick_vector(moved, ahead->g, v->e.g);
    v->e.offset = pick_of(moved, ahead->offset, v->e.offset);
    v->e.squares = pick_of(moved, ahead->squares, v->e.squares);
    v->e.squares = pick_of(settled, pick_of(lower > 0, lower, all(0)), v->e.squares);
    v->last = pick_of(taken, length, v->last);
    v->level = pick_of(leveled, v->level - 1, pick_of(level, all(0), v->level));
    v->damping =
        pick_of(taken, pick_of(v->damping > 1e-6, v->damping / 10, all(0)),
                pick_of(refused, pick_of(v->damping > 0, v->damping * 10, all(1e-3)), v->damping));
    v->tries = pick_of(refused, v->tries + 1, all(0));
    v->iterations = pick_of(taken, v->iterations + 1, v->iterations);
    v->curved |= refused | (v->iterations >= AW_CURVED_FROM);
    v->fresh = v->idle;
    const vl lost = taken & was_free & find_astray(v, solid);
    return (outcome){settled,
                     settled | lost | (v->tries >= MOST_TRIES) | (v->iterations >= ITERATIONS)};
}

static void put_idle(lanes *v, int l)
{
    v->descent[l] = NULL;
    v->idle[l] = v->fresh[l] = -1;
    v->curved[l] = 0;
    v->iterations[l] = v->tries[l] = v->level[l] = 0;
}

/* Puts the lane at the start of a descent. */
static void put(lanes *v, int l, aw_descent *d)
{
    const aw_fix_problem *p = d->problem;
    const aw_polygon *o = p->site.outline;
    const bool solid = p->dims == 3;
    const double reach = aw_site_reach(&p->site), rise = p->site.ceiling - p->site.floor;
    v->descent[l] = d;
    v->at.x[l] = d->start[0];
    v->at.y[l] = d->start[1];
    v->at.z[l] = solid ? d->start[2] : 0;
    v->damping[l] = d->damping;
    v->longest[l] = LONGEST * reach;
    v->last[l] = v->iterations[l] = v->tries[l] = 0;
    v->level[l] = d->level && solid ? AW_LEVEL_STEPS : 0;
    v->idle[l] = v->curved[l] = 0;
    v->fresh[l] = -1;
    v->spot.x[l] = p->spot[0];
    v->spot.y[l] = p->spot[1];
    v->spot.z[l] = p->spot[2];
    v->lowest.x[l] = o != NULL ? o->low.x - reach : -HUGE_VAL;
    v->lowest.y[l] = o != NULL ? o->low.y - reach : -HUGE_VAL;
    v->lowest.z[l] = o != NULL ? p->site.floor - rise : -HUGE_VAL;
    v->highest.x[l] = o != NULL ? o->high.x + reach : HUGE_VAL;
    v->highest.y[l] = o != NULL ? o->high.y + reach : HUGE_VAL;
    v->highest.z[l] = o != NULL ? p->site.ceiling + rise : HUGE_VAL;
    for (size_t i = 0; i < v->n; i++) {
        const bool is = i < p->n;
        link *k = &v->link[i];
        k->x[l] = is ? p->anchor[i][0] : p->anchor[0][0];
        k->y[l] = is ? p->anchor[i][1] : p->anchor[0][1];
        k->z[l] = is ? p->anchor[i][2] : p->anchor[0][2];
        k->weight[l] = is ? p->weight[i] : 0;
        k->rho[l] = is ? p->rho[i] : p->rho[0];
    }
}

/* Writes down how the descent of a lane has ended. */
static void finish(const lanes *v, int l, bool settled, bool astray)
{
    aw_descent *d = v->descent[l];
    double h[3][3];
    take_lane(&v->e.h, l, h);
    const bool gave_up = !settled && v->iterations[l] < ITERATIONS;
    d->found = !gave_up && (settled || v->last[l] < NEARLY) && !astray &&
               aw_symmetric_condition(h, d->problem->dims) <= AW_CONDITION_LIMIT;
    d->root = (aw_root){{v->at.x[l], v->at.y[l], v->at.z[l]}, v->e.squares[l], v->e.offset[l]};
}

INLINE void descend(aw_descent list[], size_t n, const bool solid)
{
    lanes v;
    size_t begun = 0;
    v.n = 0;
    v.e = (equations){0};
    for (size_t i = 0; i < n; i++)
        v.n = list[i].problem->n > v.n ? list[i].problem->n : v.n;
    for (int l = 0; l < D; l++) {
        put(&v, l, &list[begun < n ? begun : 0]);
        if (begun < n)
            begun++;
        else
            put_idle(&v, l);
    }
    for (size_t busy = begun; busy > 0;) {
        vector s = next_step(&v, solid);
        vd length = root_of(s.x * s.x + s.y * s.y + s.z * s.z);
        const vl is_long = (length > v.longest) & ~(v.level > 0);
        const vd held = pick_of(is_long, v.longest / length, all(1));
        s = (vector){s.x * held, s.y * held, s.z * held};
        length = pick_of(is_long, v.longest, length);
        const vector next = {v.at.x + s.x, v.at.y + s.y, v.at.z + s.z};
        const equations ahead = sum_links(&v, &next, solid);
        const outcome o = judge(&v, &s, length, &ahead, solid);
        if (!any_of(o.ended))
            continue;
        const vl astray = find_astray(&v, solid);
        for (int l = 0; l < D; l++) {
            if (o.ended[l] == 0 || v.descent[l] == NULL)
                continue;
            finish(&v, l, o.settled[l] != 0, astray[l] != 0);
            if (begun < n) {
                put(&v, l, &list[begun++]);
            } else {
                put_idle(&v, l);
                busy--;
            }
        }
    }
}

void NAME(AW_LEVEL)(aw_descent list[], size_t n)
{
    if (n > 0 && list[0].problem->dims == 3)
        descend(list, n, true);
    else if (n > 0)
        descend(list, n, false);
}
