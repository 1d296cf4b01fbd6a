/* The careful solver: the list of starts, and the choice among the roots they lead to. Fixes go
 * together, stage by stage, so that the descents of each stage run side by side. */
#include "position/fix.h"

#include <math.h>
#include <string.h>

#include "base/plane.h"
#include "position/closed_form.h"
#include "position/kernel.h"

/* Roots closer than this are one root, m. */
#define SAME_ROOT  5e-3
#define LINE_RATIO 0.05
#define MOST_ROOTS 12
/* Equations whose pivots differ by less than a factor 1 / REGULAR are trusted. */
#define REGULAR 1e-9

typedef struct roots {
    aw_root list[MOST_ROOTS];
    size_t n;
} roots;

/* How far outside the site a place is, m. */
static double outside_by(const aw_fix_problem *p, const double at[3])
{
    const aw_polygon *o = p->site.outline;
    if (o == NULL)
        return 0;
    const aw_point q = {p->spot[0] + at[0], p->spot[1] + at[1]};
    const double z = p->spot[2] + at[2];
    const double plan = aw_polygon_holds(o, q.x, q.y) ? 0 : aw_polygon_edge_distance(o, q);
    const double height = p->dims == 2 ? 0 : fmax(0, fmax(p->site.floor - z, z - p->site.ceiling));
    return aw_length(plan, height);
}

/* Adds what a descent has found, if that is another root. */
static void add_root(roots *r, const aw_descent *d)
{
    const double *at = d->root.at;
    if (r->n == MOST_ROOTS || !d->found)
        return;
    for (size_t i = 0; i < r->n; i++) {
        const double *known = r->list[i].at;
        const double dx = at[0] - known[0], dy = at[1] - known[1], dz = at[2] - known[2];
        if (dx * dx + dy * dy + dz * dz < SAME_ROOT * SAME_ROOT)
            return;
    }
    r->list[r->n++] = d->root;
}

static void set_centroid(const aw_fix_problem *p, double centre[3])
{
    double total = 0;
    centre[0] = centre[1] = centre[2] = 0;
    for (size_t i = 0; i < p->n; i++) {
        total += p->weight[i];
        for (int k = 0; k < 3; k++)
            centre[k] += p->weight[i] * p->anchor[i][k];
    }
    for (int k = 0; k < 3; k++)
        centre[k] /= total;
}

bool aw_footprint_is_line(double anchor[][3], size_t n, aw_line *line)
{
    double x = 0, y = 0, xx = 0, xy = 0, yy = 0;
    for (size_t i = 0; i < n; i++) {
        x += anchor[i][0] / (double)n;
        y += anchor[i][1] / (double)n;
    }
    for (size_t i = 0; i < n; i++) {
        const double dx = anchor[i][0] - x, dy = anchor[i][1] - y;
        xx += dx * dx;
        xy += dx * dy;
        yy += dy * dy;
    }
    const double half = (xx + yy) / 2, gap = (xx - yy) / 2, bend = sqrt(gap * gap + xy * xy);
    const double large = half + bend, small = fmax(half - bend, 0);
    if (line != NULL) {
        const double angle = atan2(xy, gap) / 2;
        *line = (aw_line){x, y, -sin(angle), cos(angle), sqrt(large / (double)n)};
    }
    return small < LINE_RATIO * LINE_RATIO * large;
}

/* Keeps the roots inside the site, or the nearest one. */
static void keep_standing(const aw_fix_problem *p, roots *r)
{
    double off[MOST_ROOTS], least = HUGE_VAL;
    size_t kept = 0;
    for (size_t i = 0; i < r->n; i++) {
        off[i] = outside_by(p, r->list[i].at);
        least = fmin(least, off[i]);
    }
    for (size_t i = 0; i < r->n; i++)
        if (off[i] == 0 || (off[i] == least && kept == 0))
            r->list[kept++] = r->list[i];
    r->n = kept;
}

/* Whether one root lies ahead of another: further along the normal of the line that the anchors are
 * nearest to, or higher where that tells them further apart. No rounding decides it, as it would
 * which of two mirror images has the smaller sum. */
static bool is_ahead(const aw_fix_problem *p, const double one[3], const double other[3])
{
    aw_line line;
    aw_footprint_is_line(p->anchor, p->n, &line);
    const double across = (one[0] - other[0]) * line.normal_x + (one[1] - other[1]) * line.normal_y;
    const double rise = one[2] - other[2];
    return fabs(rise) > fabs(across) ? rise > 0 : across > 0;
}

static aw_fix choose(const aw_fix_problem *p, roots *r)
{
    aw_fix fix = {0};
    if (r->n > 1)
        keep_standing(p, r);
    if (r->n == 0)
        return fix;
    const aw_root *first = r->list, *second = NULL;
    for (size_t i = 1; i < r->n; i++)
        if (r->list[i].squares < first->squares)
            first = &r->list[i];
    for (size_t i = 0; i < r->n; i++)
        if (&r->list[i] != first && r->list[i].squares <= first->squares + AW_AS_GOOD &&
            (second == NULL || r->list[i].squares < second->squares))
            second = &r->list[i];
    fix.ambiguous = second != NULL;
    const bool is_other =
        second != NULL && is_ahead(p, second->at, first->at) == ((p->side & 1) == 1);
    const aw_root *chosen = is_other ? second : first;
    fix.found = true;
    memcpy(fix.at, chosen->at, sizeof fix.at);
    fix.offset = chosen->offset;
    fix.residual = chosen->squares;
    return fix;
}

/* --- the stages --- */

#define TOGETHER AW_FIXES_TOGETHER
/* Descents that one fix has in a stage, at most. */
#define MOST_A_STAGE 5

/* One fix on its way. */
typedef struct search {
    const aw_fix_problem *p;
    roots r;
    double centre[3];
    aw_quadratic q; /* where it is exact or not fixed */
    bool exact, is_line;
    bool fixed;   /* the first start led to a root that may be the one */
    bool done;    /* nothing more is to be looked for */
    size_t begin; /* of its descents of the stage */
} search;

typedef struct stage {
    const aw_kernel *kernel;
    search *list;
    size_t n;
    aw_descent descent[TOGETHER * MOST_A_STAGE];
    size_t n_descents;
} stage;

static void push(stage *g, const search *s, const double start[3], double damping, bool level)
{
    aw_descent *d = &g->descent[g->n_descents++];
    *d = (aw_descent){.problem = s->p, .damping = damping, .level = level};
    memcpy(d->start, start, sizeof d->start);
}

static void push_closed_form(stage *g, const search *s, int i)
{
    double start[3] = {0};
    for (int k = 0; k < s->p->dims; k++)
        start[k] = s->centre[k] + s->q.base[k] + s->q.l[i] * s->q.slope[k];
    if (s->q.sound > 0 && isfinite(start[0] + start[1] + start[2]))
        push(g, s, start, 0, false);
}

/* Runs the descents of a stage, and adds what they found in the order in which they were pushed. */
static void run_stage(stage *g)
{
    g->kernel->descend(g->descent, g->n_descents);
    for (size_t i = 0; i < g->n; i++) {
        const size_t end = i + 1 < g->n ? g->list[i + 1].begin : g->n_descents;
        for (size_t k = g->list[i].begin; k < end; k++)
            add_root(&g->list[i].r, &g->descent[k]);
    }
    g->n_descents = 0;
}

static double floor_of(const aw_fix_problem *p)
{
    return p->site.floor - p->spot[2];
}

/* As many time differences as coordinates: the quadratic's roots leave no residual. */
static void find_exact(stage *g)
{
    for (search *s = g->list; s < g->list + g->n; s++) {
        s->begin = g->n_descents;
        if (s->done || !s->exact)
            continue;
        s->q = aw_quadratic_of(s->p, s->centre);
        for (int i = 0; i < 2 && s->q.sound > REGULAR && s->q.real; i++)
            if (aw_quadratic_has_ranges(s->p, &s->q, i))
                push_closed_form(g, s, i);
    }
    run_stage(g);
    for (search *s = g->list; s < g->list + g->n; s++)
        s->done = s->done || s->r.n > 0;
}

/* From the centroid, in 3d on the floor. A root that fits badly is not the one. */
static void find_first(stage *g)
{
    for (search *s = g->list; s < g->list + g->n; s++) {
        s->begin = g->n_descents;
        if (!s->done)
            push(g, s, (double[3]){s->centre[0], s->centre[1], floor_of(s->p)}, 0, true);
    }
    run_stage(g);
    for (search *s = g->list; s < g->list + g->n; s++)
        s->fixed = s->r.n > 0 && (s->exact || s->r.list[0].squares <=
                                                  aw_implausible_squares(s->p->n, s->p->dims));
}

/* Starts on both sides of the line the anchors are nearest to: on one side far enough off it, on
 * the other at the mirror image of what that leads to; and from the closed-form roots. */
static void find_others(stage *g)
{
    double from[TOGETHER][3];
    size_t before[TOGETHER];
    aw_line line[TOGETHER];
    for (size_t i = 0; i < g->n; i++) {
        search *s = &g->list[i];
        s->begin = g->n_descents;
        before[i] = s->r.n;
        if (s->done || (s->fixed && !s->is_line))
            continue;
        aw_footprint_is_line(s->p->anchor, s->p->n, &line[i]);
        const double off = AW_SIDE_START * line[i].spread;
        from[i][0] = line[i].x + off * line[i].normal_x;
        from[i][1] = line[i].y + off * line[i].normal_y;
        from[i][2] = floor_of(s->p);
        push(g, s, from[i], 1e-2, true);
    }
    run_stage(g);
    for (size_t i = 0; i < g->n; i++) {
        search *s = &g->list[i];
        s->begin = g->n_descents;
        if (s->done || (s->fixed && !s->is_line && !s->exact))
            continue;
        if (!s->fixed || s->is_line) {
            const double *x = s->r.n > before[i] ? s->r.list[before[i]].at : from[i];
            const double over =
                2 * ((x[0] - line[i].x) * line[i].normal_x + (x[1] - line[i].y) * line[i].normal_y);
            push(g, s,
                 (double[3]){x[0] - over * line[i].normal_x, x[1] - over * line[i].normal_y, x[2]},
                 1e-3, false);
        }
        if (!s->exact)
            s->q = aw_quadratic_of(s->p, s->centre);
        push_closed_form(g, s, 0);
        push_closed_form(g, s, 1);
    }
    run_stage(g);
}

/* A root below the floor or above the ceiling may be the mirror of the one that is wanted. */
static void find_mirrored(stage *g)
{
    for (search *s = g->list; s < g->list + g->n; s++) {
        s->begin = g->n_descents;
        for (size_t i = 0; i < s->r.n && !s->done && s->p->site.outline != NULL; i++) {
            const double *at = s->r.list[i].at, z = s->p->spot[2] + at[2];
            if (z < s->p->site.floor || z > s->p->site.ceiling)
                push(g, s, (double[3]){at[0], at[1], 2 * s->centre[2] - at[2]}, 1e-2, false);
        }
    }
    run_stage(g);
}

static void begin(search *s, const aw_fix_problem *p)
{
    s->p = p;
    s->r.n = 0;
    s->exact = p->n == (size_t)p->dims + 1;
    s->fixed = s->is_line = false;
    s->done = p->n < (size_t)p->dims + 1 || p->n > AW_MOST_LINKS ||
              (s->exact && p->dims == 2 && aw_three_roots(p, s->r.list, &s->r.n));
    if (s->done)
        return;
    set_centroid(p, s->centre);
    s->is_line = aw_footprint_is_line(p->anchor, p->n, NULL);
}

static void find_some(const aw_kernel *kernel, const aw_fix_problem problems[], size_t n,
                      aw_fix fixes[])
{
    search list[TOGETHER];
    stage g;
    g.kernel = kernel;
    g.list = list;
    g.n = n;
    g.n_descents = 0;
    for (size_t i = 0; i < n; i++)
        begin(&list[i], &problems[i]);
    find_exact(&g);
    find_first(&g);
    find_others(&g);
    if (problems[0].dims == 3)
        find_mirrored(&g);
    for (size_t i = 0; i < n; i++)
        fixes[i] = choose(&problems[i], &list[i].r);
}

void aw_fix_find_all(const aw_kernel *kernel, const aw_fix_problem problems[], size_t n,
                     aw_fix fixes[])
{
    for (size_t i = 0; i < n; i += TOGETHER)
        find_some(kernel, problems + i, n - i < TOGETHER ? n - i : TOGETHER, fixes + i);
}

aw_fix aw_fix_find(const aw_fix_problem *problem)
{
    aw_fix fix;
    aw_fix_find_all(aw_kernel_best(), problem, 1, &fix);
    return fix;
}
