/* How far from a zone's border a tag must be, for a cloud of errors: geometry alone. */
#ifndef AW_ASSESS_BORDER_H
#define AW_ASSESS_BORDER_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/plane.h"

/* Errors of fixes at one place, m; not a number for no fix. */
typedef struct aw_cloud {
    const float *x, *y;
    size_t n;
} aw_cloud;

/* Share of the cloud that a tag at p is reported inside the zone. */
double aw_cloud_share(const aw_cloud *cloud, const aw_polygon *zone, aw_point p);

/* A point of the border and the unit vector into the zone: square to an edge, along the bisector of
 * a corner. */
typedef struct aw_border_point {
    aw_point at, inward;
} aw_border_point;

/* Points of a walk along the border: every corner, and points between not further apart than
 * `step`. */
size_t aw_border_count(const aw_polygon *zone, double step);
void aw_border_walk(const aw_polygon *zone, double step, aw_border_point points[]);

/* The point of an edge that is nearest to p. */
aw_point aw_border_foot(const aw_polygon *zone, size_t edge, aw_point p);

/* Goes from a border point along the steepest rise of the distance from the border, inside or
 * outside, until that is `depth` (m), in strides of about `stride` (m). Gives the place and its
 * depth, which is less where the distance rises no further: in the middle. */
double aw_border_go(const aw_polygon *zone, const aw_border_point *from, bool inside, double stride,
                    double depth, aw_point *at);

/* Whether so large a share of reports inside is right often enough of a tag on that side. */
bool aw_border_is_right(double share, bool inside);

typedef struct aw_depth {
    double depth; /* m from the border; NaN: none */
    double share; /* reported inside at that depth, or the nearest to right on the way */
} aw_depth;

/* The least distance from the border at which a tag with the same errors everywhere is reported
 * inside by at least 99 % of the cloud, or with `inside` false outside at which it is by at most 1
 * %. The tag goes as by aw_border_go(), and none means that it came to the middle. */
aw_depth aw_border_depth(const aw_polygon *zone, const aw_border_point *from, bool inside,
                         const aw_cloud *cloud);

#endif
