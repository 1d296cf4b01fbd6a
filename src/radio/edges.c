/* Edges are laid once for a scene: counted, then written. */
#include "radio/edges.h"

#include <math.h>

#include "anchorwise/level.h"
#include "base/plane.h"

/* A corner nearer to the outline is at the floor's edge; a top so near to the ceiling, an underside
 * so near to the floor lets nothing by, m. */
#define FLUSH 1e-3
/* How far to either side of a pit's edge the floor is looked up, m. */
#define BESIDE 1e-6

/* Places at which edges run into other bodies, of one edge at most. */
#define CUTS 64
/* An edge so deep in another body lies in it, m. */
#define DEEP 1e-4
/* What is left of an edge is at least so long, m. */
#define LEFT 1e-3

typedef struct layer {
    const aw_edges_ground *ground;
    const aw_scenario *scenario;
    aw_edge *list; /* NULL: only counted */
    uint32_t n;
} layer;

static void keep(layer *to, const aw_edge *edge)
{
    if (to->list != NULL)
        to->list[to->n] = *edge;
    to->n++;
}

/* Whether some other opaque body holds a place. */
static bool lies_in_another(const layer *to, const aw_edge *e, const double at[3])
{
    const aw_edges_ground *g = to->ground;
    aw_near near = aw_boxes_near(g->boxes, at, at, 0);
    for (size_t i = aw_near_next(&near); i < g->n; i = aw_near_next(&near))
        for (size_t k = 0; g->is_opaque[i] && i != e->body && k < g->bodies[i].n; k++) {
            const aw_prism *p = &g->bodies[i].prisms[k];
            if (at[2] > p->base + DEEP && at[2] < p->top - DEEP &&
                aw_polygon_holds(&p->footprint, at[0], at[1]) &&
                aw_polygon_edge_distance(&p->footprint, (aw_point){at[0], at[1]}) > DEEP)
                return true;
        }
    return false;
}

static void cut(double cuts[], size_t *n, double t, double length)
{
    if (!(t > LEFT && t < length - LEFT) || *n == CUTS)
        return;
    size_t k = (*n)++;
    for (; k > 0 && cuts[k - 1] > t; k--)
        cuts[k] = cuts[k - 1];
    cuts[k] = t;
}

/* Where the edge goes into or out of a prism. */
static void cut_by(const aw_prism *p, const aw_edge *e, double cuts[], size_t *n)
{
    if (e->kind == AW_EDGE_UPRIGHT) {
        cut(cuts, n, p->base - e->from[2], e->length);
        cut(cuts, n, p->top - e->from[2], e->length);
        return;
    }
    for (size_t i = 0; i < p->footprint.n; i++) {
        const aw_point c = p->footprint.at[i], d = p->footprint.at[(i + 1) % p->footprint.n];
        const double ex = d.x - c.x, ey = d.y - c.y;
        const double turn = e->along[0] * ey - e->along[1] * ex;
        const double x = c.x - e->from[0], y = c.y - e->from[1];
        const double along = (x * e->along[1] - y * e->along[0]) / turn;
        if (along >= 0 && along <= 1)
            cut(cuts, n, (x * ey - y * ex) / turn, e->length);
    }
}

/* What of an edge no other opaque body holds, in one or several pieces. */
static void keep_what_shows(layer *to, const aw_edge *e)
{
    const aw_edges_ground *g = to->ground;
    double cuts[CUTS + 2], end[3];
    size_t n = 0;
    aw_edge_point(e, e->length, end);
    aw_near near = aw_boxes_near(g->boxes, e->from, end, 0);
    for (size_t i = aw_near_next(&near); i < g->n; i = aw_near_next(&near))
        for (size_t k = 0; g->is_opaque[i] && i != e->body && k < g->bodies[i].n; k++)
            cut_by(&g->bodies[i].prisms[k], e, cuts, &n);
    cuts[n++] = e->length;
    double begin = 0, to_here = 0;
    for (size_t i = 0; i <= n; i++) {
        double middle[3];
        bool is_hidden = i == n;
        if (i < n) {
            aw_edge_point(e, (to_here + cuts[i]) / 2, middle);
            is_hidden = lies_in_another(to, e, middle);
        }
        if (is_hidden && to_here > begin) {
            aw_edge piece = *e;
            aw_edge_point(e, begin, piece.from);
            piece.length = to_here - begin;
            keep(to, &piece);
        }
        if (i < n) {
            to_here = cuts[i];
            begin = is_hidden ? to_here : begin;
        }
    }
}

static void add(layer *to, const double from[3], const double end[3], aw_edge_kind kind,
                size_t body, aw_point into)
{
    aw_edge e = {.length = aw_distance(from, end),
                 .into = {into.x, into.y},
                 .kind = kind,
                 .body = (uint32_t)body};
    for (int k = 0; k < 3; k++) {
        e.from[k] = from[k];
        e.along[k] = (end[k] - from[k]) / e.length;
    }
    keep_what_shows(to, &e);
}

/* Whether another part of the body holds a place in plan. */
static bool is_covered(const aw_body *body, size_t part, double x, double y)
{
    for (size_t i = 0; i < body->n; i++)
        if (i != part && aw_polygon_holds(&body->prisms[i].footprint, x, y))
            return true;
    return false;
}

static aw_point unit(aw_point from, aw_point to)
{
    const double length = aw_length(to.x - from.x, to.y - from.y);
    return (aw_point){(to.x - from.x) / length, (to.y - from.y) / length};
}

/* Where the body lies at a corner, in plan: footprints are counter-clockwise. */
static aw_point into_body(const aw_polygon *p, size_t corner)
{
    const aw_point c = p->at[corner];
    const aw_point in = unit(p->at[(corner + p->n - 1) % p->n], c);
    const aw_point out = unit(c, p->at[(corner + 1) % p->n]);
    return (aw_point){-in.y - out.y, in.x + out.x};
}

static bool is_convex(const aw_polygon *p, size_t corner)
{
    const aw_point c = p->at[corner];
    const aw_point in = unit(p->at[(corner + p->n - 1) % p->n], c);
    const aw_point out = unit(c, p->at[(corner + 1) % p->n]);
    return in.x * out.y - in.y * out.x > 1e-9;
}

static bool may_bend_sideways(const layer *to, const aw_body *body, size_t part, size_t corner)
{
    const aw_polygon *p = &body->prisms[part].footprint, *outline = &to->scenario->floor.outline;
    const aw_point c = p->at[corner], into = into_body(p, corner);
    return is_convex(p, corner) && aw_polygon_holds(outline, c.x, c.y) &&
           aw_polygon_edge_distance(outline, c) >= FLUSH &&
           !is_covered(body, part, c.x - BESIDE * into.x, c.y - BESIDE * into.y);
}

static void add_part(layer *to, const aw_body *body, size_t part, size_t number)
{
    const aw_prism *prism = &body->prisms[part];
    const aw_polygon *p = &prism->footprint;
    const bool over = prism->top < to->scenario->floor.ceiling - FLUSH;
    const bool under = prism->base > FLUSH;
    for (size_t i = 0; i < p->n; i++) {
        const aw_point c = p->at[i], d = p->at[(i + 1) % p->n], u = unit(c, d);
        if (may_bend_sideways(to, body, part, i))
            add(to, (double[3]){c.x, c.y, prism->base}, (double[3]){c.x, c.y, prism->top},
                AW_EDGE_UPRIGHT, number, into_body(p, i));
        if (is_covered(body, part, (c.x + d.x) / 2 + BESIDE * u.y, (c.y + d.y) / 2 - BESIDE * u.x))
            continue;
        if (over)
            add(to, (double[3]){c.x, c.y, prism->top}, (double[3]){d.x, d.y, prism->top},
                AW_EDGE_TOP, number, (aw_point){0, 0});
        if (under)
            add(to, (double[3]){c.x, c.y, prism->base}, (double[3]){d.x, d.y, prism->base},
                AW_EDGE_UNDER, number, (aw_point){0, 0});
    }
}

/* The ground reaches up to the higher floor beside the edge, at most to the finished floor. */
static void add_rim(layer *to, aw_point c, aw_point d, size_t number)
{
    const double x = (c.x + d.x) / 2, y = (c.y + d.y) / 2;
    const aw_point u = unit(c, d);
    const double one = aw_ground_at(to->scenario, x + BESIDE * u.y, y - BESIDE * u.x);
    const double other = aw_ground_at(to->scenario, x - BESIDE * u.y, y + BESIDE * u.x);
    const double ground = fmin(0, fmax(one, other));
    if (fmin(one, other) < ground)
        add(to, (double[3]){c.x, c.y, ground}, (double[3]){d.x, d.y, ground}, AW_EDGE_TOP, number,
            (aw_point){0, 0});
}

/* All of them, or their number. */
static void lay(layer *to, uint32_t first[])
{
    const aw_edges_ground *g = to->ground;
    const aw_scenario *s = to->scenario;
    to->n = 0;
    for (size_t i = 0; i < g->n; i++) {
        first[i] = to->n;
        for (size_t k = 0; k < g->bodies[i].n; k++)
            add_part(to, &g->bodies[i], k, i);
    }
    for (size_t i = 0; i < s->n_levels; i++) {
        const aw_polygon *o = &s->levels[i].outline;
        first[g->n + i] = to->n;
        for (size_t k = 0; s->levels[i].height < 0 && k < o->n; k++)
            add_rim(to, o->at[k], o->at[(k + 1) % o->n], g->n + i);
    }
    first[g->n + s->n_levels] = to->n;
}

bool aw_edges_lay(aw_edges *edges, aw_arena *arena, const aw_scenario *s,
                  const aw_edges_ground *ground)
{
    layer to = {.ground = ground, .scenario = s};
    uint32_t *first = aw_arena_take_array(arena, ground->n + s->n_levels + 1, sizeof *first);
    if (first == NULL)
        return false;
    lay(&to, first);
    to.list = aw_arena_take_array(arena, to.n + 1, sizeof *to.list);
    if (to.list == NULL)
        return false;
    lay(&to, first);
    *edges = (aw_edges){to.list, first};
    return true;
}
