/* The robust fix of one problem, in double precision: reweighted steps, and consensus where these
 * do not convince. In lanes: refine.c. */
#include "position/robust.h"

#include <math.h>
#include <string.h>

#include "position/descent.h"
#include "position/kernel.h"
#include "position/symmetric.h"

/* Steps to the fix of a subset, and with what agrees with it. */
#define SUBSET_STEPS 8
#define SOLVED       1e-4 /* m, of a step after which a subset needs no more */
#define WITHIN_STEPS 3
/* A determinant below this share of the diagonal's product is no ground for a step. */
#define POOR 1e-10
/* Scores that differ by less are equal. */
#define SAME_SCORE 1e-6
/* Without a plain fix, an outcome whose last step was longer is none, m. */
#define AT_REST 1e-2

typedef enum doubt { EVEN, HUBER, TUKEY, AGREEING } doubt;

/* A fix on its way; `moved` is its latest step, m. */
typedef struct place {
    double at[3], offset, moved;
} place;

/* Of a problem: what every step of it needs. */
typedef struct work {
    const aw_fix_problem *p;
    double longest;
    double sharp[AW_MOST_LINKS]; /* 1/s */
} work;

/* Factor of the weight of an arrival that is t late. */
static double factor_of(doubt d, double t)
{
    switch (d) {
    case HUBER:
        return t <= AW_HUBER ? 1 : AW_HUBER / t;
    case TUKEY: {
        const double q = t / AW_TUKEY, left = 1 - q * q;
        return t <= 0 ? 1 : fmax(t < AW_TUKEY ? left * left : 0, AW_LEAST);
    }
    case AGREEING:
        return t < AW_WITHIN ? 1 : 0;
    default:
        return 1;
    }
}

/* What arrival i leaves at a place, m, and the line of sight there. */
static double left_at(const work *w, const place *x, size_t i, double u[3])
{
    const double *a = w->p->anchor[i];
    const double d[3] = {x->at[0] - a[0], x->at[1] - a[1], x->at[2] - a[2]};
    const double range = sqrt(d[0] * d[0] + d[1] * d[1] + d[2] * d[2]);
    for (int k = 0; k < 3; k++)
        u[k] = range > 0 ? d[k] / range : 0;
    return w->p->rho[i] - range - x->offset;
}

/* Sums over arrivals of weights, weights u, weights left and so on. */
typedef struct sums {
    double w, r, u[3], ur[3], uu[3][3];
} sums;

static void add(const work *w, const place *x, doubt d, size_t i, sums *s)
{
    double u[3];
    const double r = left_at(w, x, i, u);
    const double weight = w->p->weight[i] * factor_of(d, r * w->sharp[i]);
    s->w += weight;
    s->r += weight * r;
    for (int k = 0; k < w->p->dims; k++) {
        s->u[k] += weight * u[k];
        s->ur[k] += weight * u[k] * r;
        for (int l = 0; l < w->p->dims; l++)
            s->uu[k][l] += weight * u[k] * u[l];
    }
}

static double determinant(double m[3][3], int dims)
{
    const double flat = m[0][0] * m[1][1] - m[0][1] * m[0][1];
    if (dims == 2)
        return flat;
    return m[2][2] * flat - m[0][2] * (m[0][2] * m[1][1] - m[0][1] * m[1][2]) -
           m[1][2] * (m[0][0] * m[1][2] - m[0][1] * m[0][2]);
}

/* Scatter of the lines of sight; false if it is no ground for a step. */
static bool scatter_of(const sums *s, int dims, double j[3][3])
{
    double diagonal = 1;
    memset(j, 0, 9 * sizeof(double));
    for (int k = 0; k < dims; k++) {
        for (int l = 0; l < dims; l++)
            j[k][l] = s->uu[k][l] - s->u[k] * s->u[l] / s->w;
        diagonal *= j[k][k];
    }
    return determinant(j, dims) > POOR * diagonal && diagonal > 0;
}

static void take_step(const work *w, const sums *s, place *x)
{
    const int dims = w->p->dims;
    double j[3][3], inverse[3][3], step[3] = {0}, square = 0;
    x->moved = HUGE_VAL;
    if (!(s->w > 0) || !scatter_of(s, dims, j))
        return;
    aw_symmetric_invert(j, dims, inverse);
    for (int k = 0; k < dims; k++) {
        for (int l = 0; l < dims; l++)
            step[k] += inverse[k][l] * (s->ur[l] - s->u[l] * s->r / s->w);
        square += step[k] * step[k];
    }
    const double length = sqrt(square), held = length > w->longest ? w->longest / length : 1;
    x->offset += s->r / s->w;
    for (int k = 0; k < dims; k++) {
        x->at[k] += step[k] * held;
        x->offset -= s->u[k] / s->w * step[k] * held;
    }
    x->moved = length * held;
}

static void step_all(const work *w, doubt d, place *x, int times)
{
    for (int i = 0; i < times; i++) {
        sums s = {0};
        for (size_t k = 0; k < w->p->n; k++)
            add(w, x, d, k, &s);
        take_step(w, &s, x);
    }
}

/* --- consensus --- */

typedef struct look {
    double score;
    bool suspicious;
} look;

static look look_at(const work *w, const place *x)
{
    const size_t n = w->p->n;
    double score = 0, u[3];
    bool early = false;
    size_t agree = 0;
    for (size_t i = 0; i < n; i++) {
        const double t = left_at(w, x, i, u) * w->sharp[i];
        score += t > 0 ? fmin(t * t, AW_WITHIN * AW_WITHIN) : t * t;
        early = early || t < (w->p->early < 0 ? w->p->early : AW_EARLY);
        agree += fabs(t) < AW_WITHIN;
    }
    return (look){score,
                  early || (double)agree < fmax((double)w->p->dims + 2, AW_SHARE * (double)n)};
}

uint64_t aw_subsets(size_t n, size_t m)
{
    uint64_t many = 1;
    if (n < m)
        return 0;
    for (size_t i = 0; i < m; i++)
        many = many * (n - i) / (i + 1);
    return many;
}

void aw_subset_at(uint64_t index, size_t n, size_t m, size_t members[4])
{
    size_t next = 0;
    for (size_t i = 0; i < m; i++, next++) {
        for (uint64_t many; (many = aw_subsets(n - next - 1, m - i - 1)) <= index; next++)
            index -= many;
        members[i] = next;
    }
}

static uint64_t draw_subset(const aw_draw_name *name, uint32_t subset, uint64_t many)
{
    const aw_stream stream = {name->seed, name->cell, subset, name->term};
    _Alignas(64) uint32_t word[AW_CHUNK];
    aw_kernel_best()->words(&stream, name->draw - name->draw % AW_CHUNK, AW_CHUNK, word);
    const uint64_t at = word[name->draw % AW_CHUNK];
    return at * (many >> 32) + (at * (many & UINT32_MAX) >> 32);
}

static double apart(const place *a, const place *b)
{
    return sqrt((a->at[0] - b->at[0]) * (a->at[0] - b->at[0]) +
                (a->at[1] - b->at[1]) * (a->at[1] - b->at[1]) +
                (a->at[2] - b->at[2]) * (a->at[2] - b->at[2]));
}

/* The best of what subsets lead to, if it is better than `x`; of equal ones the nearest to that:
 * subsets that nothing else agrees with have one score, 9 times the others, and the order of the
 * arrivals, which is that of the anchors in the file, must not choose among them. */
static place agree(const work *w, const aw_draw_name *name, const place *x, double score)
{
    const size_t n = w->p->n, m = (size_t)w->p->dims + 1;
    const uint64_t many = aw_subsets(n, m);
    place best = *x;
    double nearest = 0;
    for (uint32_t i = 0; i < AW_SUBSETS && i < many; i++) {
        size_t members[4];
        place y = *x;
        aw_subset_at(many > AW_SUBSETS ? draw_subset(name, i, many) : i, n, m, members);
        y.moved = HUGE_VAL;
        for (int k = 0; k < SUBSET_STEPS && y.moved > SOLVED; k++) {
            sums s = {0};
            for (size_t l = 0; l < m; l++)
                add(w, &y, EVEN, members[l], &s);
            take_step(w, &s, &y);
        }
        step_all(w, AGREEING, &y, WITHIN_STEPS);
        const look seen = look_at(w, &y);
        const double far = apart(&y, x);
        if (aw_is_astray(w->p, y.at) || !(seen.score < score + SAME_SCORE))
            continue;
        if (seen.score < score - SAME_SCORE || far < nearest) {
            nearest = far;
            best = y;
        }
        score = fmin(score, seen.score);
    }
    return best;
}

/* --- the fix --- */

static place place_of(const aw_fix_problem *p, const aw_fix *plain)
{
    place x = {.moved = 0};
    double total = 0;
    if (plain->found) {
        memcpy(x.at, plain->at, sizeof x.at);
        x.offset = plain->offset;
        return x;
    }
    for (size_t i = 0; i < p->n; i++) {
        total += p->weight[i];
        for (int k = 0; k < 2; k++)
            x.at[k] += p->weight[i] * p->anchor[i][k];
    }
    for (int k = 0; k < 2; k++)
        x.at[k] /= total;
    x.at[2] = p->dims == 3 ? p->site.floor - p->spot[2] : 0;
    return x;
}

/* With even weights, so that the first doubts are of what the place leaves and not of the offset.
 */
static void set_offset(const work *w, place *x)
{
    double u[3], total = 0, late = 0;
    for (size_t i = 0; i < w->p->n; i++) {
        total += w->p->weight[i];
        late += w->p->weight[i] * left_at(w, x, i, u);
    }
    x->offset += late / total;
}

/* Whether an outcome is the fix, and not the plain one. */
static bool stands(const work *w, const place *x, const aw_fix *plain, double gained)
{
    sums s = {0};
    double j[3][3];
    for (size_t i = 0; i < w->p->n; i++)
        add(w, x, TUKEY, i, &s);
    return isfinite(x->at[0] + x->at[1] + x->at[2] + x->offset) && scatter_of(&s, w->p->dims, j) &&
           !aw_is_astray(w->p, x->at) &&
           (plain->found ? gained >= -AW_AS_GOOD : x->moved < AT_REST);
}

aw_robust aw_robust_find(const aw_fix_problem *p, const aw_fix *plain, const aw_draw_name *name)
{
    aw_robust result = {.fix = *plain};
    work w = {.p = p, .longest = AW_LONGEST * aw_site_reach(&p->site)};
    if (p->n < (size_t)p->dims + 2 || p->n > AW_MOST_LINKS)
        return result;
    for (size_t i = 0; i < p->n; i++)
        w.sharp[i] = sqrt(p->weight[i]);
    place x = place_of(p, plain);
    set_offset(&w, &x);
    const look before = look_at(&w, &x);
    step_all(&w, HUBER, &x, AW_REWEIGHTED);
    step_all(&w, TUKEY, &x, AW_REWEIGHTED);
    look after = look_at(&w, &x);
    result.tried = after.suspicious && p->n > (size_t)p->dims + 2;
    if (result.tried) {
        x = agree(&w, name, &x, after.score);
        step_all(&w, TUKEY, &x, AW_REWEIGHTED);
        after = look_at(&w, &x);
    }
    if (!stands(&w, &x, plain, before.score - after.score)) {
        result.doubtful = before.suspicious;
        return result;
    }
    result.doubtful = after.suspicious;
    result.fix.found = true;
    result.fix.offset = x.offset;
    memcpy(result.fix.at, x.at, sizeof x.at);
    return result;
}
