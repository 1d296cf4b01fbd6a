/* Each edge of the polygon is cut where it meets the outline, and the middle of each piece is
 * looked at; then each corner of the outline. Either way only the edges count that reach its
 * height. */
#include "scenario/ground.h"

#include <math.h>
#include <stdlib.h>

#include "base/plane.h"
#include "base/strips.h"

#define TOUCH AW_GROUND_TOUCH

/* A polygon, x and y exchanged if `turned`, with room for the edges found at a height. */
typedef struct shape {
    aw_polygon polygon;
    aw_point *corner;
    aw_strips strips;
    size_t *near, n_near;
} shape;

struct aw_ground {
    shape floor;
    bool turned;
    double *cuts;
};

static void free_shape(shape *s)
{
    aw_strips_free(&s->strips);
    free(s->corner);
    free(s->near);
    *s = (shape){0};
}

static bool make_shape(shape *s, const aw_polygon *polygon, bool turned)
{
    *s = (shape){.corner = malloc(polygon->n * sizeof *s->corner),
                 .near = malloc(polygon->n * sizeof *s->near)};
    if (s->corner == NULL || s->near == NULL)
        return false;
    for (size_t i = 0; i < polygon->n; i++) {
        const aw_point p = polygon->at[i];
        s->corner[i] = turned ? (aw_point){p.y, p.x} : p;
    }
    s->polygon = (aw_polygon){.at = s->corner, .n = polygon->n};
    aw_polygon_close(&s->polygon);
    return aw_strips_make(&s->strips, &s->polygon);
}

/* Whether the edges climb less often through the outline's width than through its depth: then
 * strips across x hold fewer of them. */
static bool is_better_turned(const aw_polygon *o)
{
    double along = 0, climbed = 0;
    for (size_t i = 0, j = o->n - 1; i < o->n; j = i++) {
        along += fabs(o->at[i].x - o->at[j].x);
        climbed += fabs(o->at[i].y - o->at[j].y);
    }
    return along * (o->high.y - o->low.y) < climbed * (o->high.x - o->low.x);
}

aw_ground *aw_ground_create(const aw_polygon *outline)
{
    aw_ground *g = calloc(1, sizeof *g);
    if (g == NULL)
        return NULL;
    g->turned = is_better_turned(outline);
    g->cuts = malloc((2 * outline->n + 2) * sizeof *g->cuts);
    if (g->cuts != NULL && make_shape(&g->floor, outline, g->turned))
        return g;
    aw_ground_free(g);
    return NULL;
}

void aw_ground_free(aw_ground *ground)
{
    if (ground == NULL)
        return;
    free_shape(&ground->floor);
    free(ground->cuts);
    free(ground);
}

/* Finds the edges that may lie within TOUCH of a place between two heights, or beside it. */
static void look_between(shape *s, double low, double high)
{
    s->n_near = aw_strips_between(&s->strips, low - TOUCH, high + TOUCH, s->near);
}

/* The first and second corner of the k-th edge that was found. */
static aw_point start_of(const shape *s, size_t k)
{
    return s->corner[s->near[k]];
}

static aw_point end_of(const shape *s, size_t k)
{
    return s->corner[(s->near[k] + 1) % s->polygon.n];
}

/* Whether a place at one of these heights is within TOUCH of an edge. */
static bool is_on_edge(const shape *s, aw_point p)
{
    for (size_t k = 0; k < s->n_near; k++)
        if (aw_segment_distance(start_of(s, k), end_of(s, k), p) <= TOUCH)
            return true;
    return false;
}

static bool is_inside(const shape *s, aw_point p)
{
    bool inside = false;
    for (size_t k = 0; k < s->n_near; k++)
        inside ^= aw_edge_is_passed(start_of(s, k), end_of(s, k), p);
    return inside;
}

static int compare_cuts(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Where the segment from a to b meets the edges that were found or passes their corners, as parts
 * of the way, rising, both ends included. */
static size_t cut_segment(const shape *floor, aw_point a, aw_point b, double cuts[])
{
    const double dx = b.x - a.x, dy = b.y - a.y, length = aw_length(dx, dy);
    size_t n = 0;
    cuts[n++] = 0;
    cuts[n++] = 1;
    for (size_t k = 0; k < floor->n_near; k++) {
        const aw_point p = start_of(floor, k), q = end_of(floor, k);
        const double left_p = (dx * (p.y - a.y) - dy * (p.x - a.x)) / length;
        const double left_q = (dx * (q.y - a.y) - dy * (q.x - a.x)) / length;
        const double way_p = (dx * (p.x - a.x) + dy * (p.y - a.y)) / (length * length);
        const double way_q = (dx * (q.x - a.x) + dy * (q.y - a.y)) / (length * length);
        if ((left_p > 0) != (left_q > 0))
            cuts[n++] = way_p + left_p / (left_p - left_q) * (way_q - way_p);
        if (fabs(left_p) <= TOUCH)
            cuts[n++] = way_p;
    }
    for (size_t i = 2; i < n; i++)
        cuts[i] = fmin(fmax(cuts[i], 0), 1);
    qsort(cuts, n, sizeof *cuts, compare_cuts);
    return n;
}

static bool segment_leaves(shape *floor, aw_point a, aw_point b, double cuts[])
{
    look_between(floor, fmin(a.y, b.y), fmax(a.y, b.y));
    const size_t n = cut_segment(floor, a, b, cuts);
    const double length = aw_length(b.x - a.x, b.y - a.y);
    for (size_t i = 0; i + 1 < n; i++) {
        const double middle = (cuts[i] + cuts[i + 1]) / 2;
        const aw_point p = {a.x + middle * (b.x - a.x), a.y + middle * (b.y - a.y)};
        if ((cuts[i + 1] - cuts[i]) * length > TOUCH && !is_inside(floor, p) &&
            !is_on_edge(floor, p))
            return true;
    }
    return false;
}

static bool is_well_inside(shape *s, aw_point p)
{
    const aw_polygon *box = &s->polygon;
    if (p.x <= box->low.x || p.x >= box->high.x || p.y <= box->low.y || p.y >= box->high.y)
        return false;
    look_between(s, p.y, p.y);
    return is_inside(s, p) && !is_on_edge(s, p);
}

static aw_keeping keeps(aw_ground *g, shape *inner)
{
    shape *floor = &g->floor;
    const aw_point *at = inner->corner;
    const size_t n = inner->polygon.n;
    for (size_t i = 0; i < n; i++)
        if (segment_leaves(floor, at[i], at[(i + 1) % n], g->cuts))
            return AW_LEAVES;
    look_between(floor, inner->polygon.low.y, inner->polygon.high.y);
    for (size_t k = 0; k < floor->n_near; k++)
        if (is_well_inside(inner, start_of(floor, k)))
            return AW_LEAVES;
    return AW_KEEPS;
}

aw_keeping aw_ground_keeps(aw_ground *ground, const aw_polygon *inner)
{
    shape s;
    const aw_keeping found =
        make_shape(&s, inner, ground->turned) ? keeps(ground, &s) : AW_KEEPING_UNKNOWN;
    free_shape(&s);
    return found;
}
