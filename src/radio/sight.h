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

/* One obstacle or wall: its prisms count together. */
typedef struct aw_body {
    const aw_prism *prisms;
    const aw_polygon *cores; /* of the prisms, see shadow.h */
    size_t n;
    double crossing; /* m: a segment that runs inside for more crosses it */
    double loss_db, delay;
} aw_body;

/* The part [t[0], t[1]] of a segment from height za to zb that is at heights inside (base, top);
 * false if there is none. */
bool aw_prism_cut(const aw_prism *prism, double za, double zb, double t[2]);

/* Length in m of the part of the segment a-b that runs inside the prism. What runs exactly along a
 * face is outside. */
double aw_prism_length(const aw_prism *prism, const double a[3], const double b[3]);

/* The same of a body, its prisms together. */
double aw_body_length(const aw_body *body, const double a[3], const double b[3]);

/* What a crossing takes, m: less of a sheet that lies flat, which is passed within its height. */
#define AW_CROSSING 1e-3

/* That of a body between two heights. */
double aw_body_crossing(double base, double top);

/* Whether the segment crosses the body. */
bool aw_body_is_crossed(const aw_body *body, const double spot[3], const double anchor[3]);

#endif
