/* Plane geometry: what a polygon holds, how far a segment runs inside it, whether it is sound. */
#ifndef AW_BASE_PLANE_H
#define AW_BASE_PLANE_H

#include <math.h>
#include <stdbool.h>

#include "anchorwise/plane.h"

/* Length of a vector, m. Not hypot(): its last bit differs between processors, while a square root
 * is rounded exactly. Lengths here are far from where their squares would overflow or vanish. */
static inline double aw_length(double x, double y)
{
    return sqrt(x * x + y * y);
}

/* Sets the bounding box of a polygon whose corners are set. */
void aw_polygon_close(aw_polygon *polygon);

/* Signed area, positive if counter-clockwise, of n corners. */
double aw_polygon_area(const aw_point corners[], size_t n);

/* Even-odd rule, half-open: an edge counts if (y1 > y) != (y2 > y) and it passes right of x. */
bool aw_polygon_holds(const aw_polygon *polygon, double x, double y);

/* The x of every edge that the line at y meets by the same half-open rule, rising, into xs[] (room
 * for polygon->n). Returns how many; a point of the row is inside if an odd number is above x. */
size_t aw_polygon_row(const aw_polygon *polygon, double y, double xs[]);

/* Whether the ray from a point along +x passes the edge a-b, by the half-open rule: a point is
 * inside if it passes an odd number of edges. */
bool aw_edge_is_passed(aw_point a, aw_point b, aw_point p);

/* Distance of a point from the segment a-b. */
double aw_segment_distance(aw_point a, aw_point b, aw_point p);

/* Length of the part of [t0, t1] for which from + t (to - from) is inside, in units of t. What runs
 * exactly along an edge is outside. */
double aw_polygon_chord(const aw_polygon *polygon, aw_point from, aw_point to, double t0,
                        double t1);

/* Distance of a point from the polygon's edges. */
double aw_polygon_edge_distance(const aw_polygon *polygon, aw_point point);

/* Whether two edges cross or touch though they are not neighbours, or fold back on each other
 * though they are. `edges` gets the indices of their first corners, the smaller one first; of
 * several such pairs the one that a sweep along x meets first: the edge that begins furthest left,
 * then its partner that does. Without memory, some such pair, in quadratic time. */
bool aw_polygon_crosses_itself(const aw_point corners[], size_t n, size_t edges[2]);

/* Whether the inner parts of two simple, counter-clockwise polygons meet. Touching at a corner or
 * along an edge is not meeting; what lies within a micrometre of an edge is on it. Costs a sort of
 * the edges, and a look at each pair that shares a stretch of x (or of y, if that is less); without
 * memory a look at every pair. Never fails. */
bool aw_polygons_overlap(const aw_polygon *a, const aw_polygon *b);

#endif
