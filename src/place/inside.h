/* The share of a tag's fixes that is reported inside an outline, by its expected error: a linear
 * estimate that ranks layouts; draws judge. */
#ifndef AW_PLACE_INSIDE_H
#define AW_PLACE_INSIDE_H

#include "base/plane.h"
#include "position/sums.h"

/* Of a tag at (x, y), m; 0 without a position. In a convex outline the product over its edges of
 * the normal share on the inner side of each, which takes the edges for independent; in any other
 * the share of 64 fixed normal points. */
double aw_share_inside(const aw_polygon *outline, bool convex, double x, double y,
                       const aw_expected *expected);

/* Whether no corner turns inwards. */
bool aw_polygon_is_convex(const aw_polygon *polygon);

#endif
