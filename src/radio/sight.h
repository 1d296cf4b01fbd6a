/* Sight: how far a segment runs inside what stands in its way. One exact rule for a segment. */
#ifndef AW_RADIO_SIGHT_H
#define AW_RADIO_SIGHT_H

#include <stdbool.h>

#include "anchorwise/plane.h"

/* An upright prism with its footprint and height span. */
typedef struct aw_prism {
    aw_polygon footprint;
    double base, top;
} aw_prism;

/* Length in m of the part of the segment a-b that runs inside the prism. What runs exactly along a
 * face is outside. */
double aw_prism_length(const aw_prism *prism, const double a[3], const double b[3]);

#endif
