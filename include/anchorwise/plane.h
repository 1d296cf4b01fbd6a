/** @file plane.h
 *  Points and polygons on the floor, in metres. */
#ifndef ANCHORWISE_PLANE_H
#define ANCHORWISE_PLANE_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

typedef struct aw_point {
    double x, y;
} aw_point;

/** A simple polygon, counter-clockwise, its last corner joined to its first. `low` and `high` are
 *  the corners of its bounding box. The corners belong to whoever made the polygon. */
typedef struct aw_polygon {
    const aw_point *at;
    size_t n;
    aw_point low, high;
} aw_polygon;

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
