/* Edges of bodies, at which ways bend: upright ones, those of tops, those of undersides, and the
 * rims of pits. */
#ifndef AW_RADIO_EDGES_H
#define AW_RADIO_EDGES_H

#include <math.h>

#include "anchorwise/scenario.h"
#include "base/arena.h"
#include "radio/boxes.h"
#include "radio/sight.h"

typedef enum aw_edge_kind { AW_EDGE_UPRIGHT, AW_EDGE_TOP, AW_EDGE_UNDER } aw_edge_kind;

typedef struct aw_edge {
    double from[3], along[3]; /* m; unit vector */
    double length;
    double into[2]; /* into the body, in plan, of an upright one */
    aw_edge_kind kind;
    uint32_t body; /* in the scene's order, then levels: the ground round each */
} aw_edge;

/* Those of body i are list[first[i]] to before list[first[i + 1]]. */
typedef struct aw_edges {
    const aw_edge *list;
    const uint32_t *first; /* of every body and level, and the number of all */
} aw_edges;

/* What edges are laid on. */
typedef struct aw_edges_ground {
    const aw_body *bodies;
    const bool *is_opaque; /* of each */
    size_t n;
    const aw_boxes *boxes; /* round them */
} aw_edges_ground;

/* Edges that a way may touch: upright ones at convex corners within the floor's outline, tops below
 * the ceiling, undersides above the floor; none inside another part of the same body, and of each
 * what no other opaque body holds. In the arena; false without memory. */
bool aw_edges_lay(aw_edges *edges, aw_arena *arena, const aw_scenario *scenario,
                  const aw_edges_ground *ground);

static inline double aw_distance(const double a[3], const double b[3])
{
    const double x = b[0] - a[0], y = b[1] - a[1], z = b[2] - a[2];
    return sqrt(x * x + y * y + z * z);
}

static inline void aw_edge_point(const aw_edge *edge, double t, double at[3])
{
    for (int k = 0; k < 3; k++)
        at[k] = edge->from[k] + t * edge->along[k];
}

/* A place on an edge, kept on it. */
static inline double aw_edge_clamp(const aw_edge *edge, double t)
{
    return t > 0 ? t < edge->length ? t : edge->length : 0;
}

/* Foot of a point on an edge's line, and its distance from it. */
static inline double aw_edge_foot(const aw_edge *e, const double p[3], double *off)
{
    const double x = p[0] - e->from[0], y = p[1] - e->from[1], z = p[2] - e->from[2];
    const double s = x * e->along[0] + y * e->along[1] + z * e->along[2];
    const double squared = x * x + y * y + z * z - s * s;
    *off = squared > 0 ? sqrt(squared) : 0;
    return s;
}

/* Where on an edge the way a-q-b is shortest, m from its beginning: both ends unfolded into one
 * plane round it. */
static inline double aw_edge_nearest(const aw_edge *e, const double a[3], const double b[3])
{
    double off_a, off_b;
    const double s = aw_edge_foot(e, a, &off_a), t = aw_edge_foot(e, b, &off_b);
    const double sum = off_a + off_b;
    return aw_edge_clamp(e, sum > 0 ? (s * off_b + t * off_a) / sum : (s + t) / 2);
}

/* The length of that way, m. */
static inline double aw_edge_by(const aw_edge *e, const double a[3], const double b[3])
{
    double q[3];
    aw_edge_point(e, aw_edge_nearest(e, a, b), q);
    return aw_distance(a, q) + aw_distance(q, b);
}

#endif
