/* What an installer needs of an anchor: its cable, its heights, and from what it is measured. */
#ifndef AW_BOOK_MOUNTING_H
#define AW_BOOK_MOUNTING_H

#include "anchorwise.h"

/* m from the cabinet along x, y and height; NaN without a cabinet. */
double aw_mounting_cable(const aw_scenario *scenario, const double at[3]);

/* Heights that do, m: those of the study cut to what the anchor's mount reaches, rounded inwards to
 * a tenth of a metre or a foot, but the anchor's own is always among them. */
typedef struct aw_mounting_heights {
    double low, high;
} aw_mounting_heights;
aw_mounting_heights aw_mounting_heights_of(const aw_scenario *scenario, const aw_freedom *freedom);

/* A face that runs along an axis, from which a distance is measured. */
typedef struct aw_face {
    double at;        /* m, its coordinate on the axis across it */
    double from, to;  /* m, along it */
    const char *name; /* of the wall, the scenario's; NULL: the outline's */
    int side;         /* of the outline: -1 its low side, 1 its high one; 0: of a wall */
    bool is_line;     /* no face: a line to be set out, so far from the low side */
    double line;      /* m, how far */
} aw_face;

/* Further from a face than this, m, an anchor is measured from a line that is set out. */
#define AW_MOUNTING_FAR 60.0
/* How far such lines lie from one another: 50 m, or 150 ft. */
double aw_mounting_line_step(const aw_scenario *scenario);

/* The distance of an anchor along an axis (0: x, 1: y) from the nearest face that it sees straight
 * along it, m, from 0 on; from the next line towards the low side where no face is near. False,
 * with all 0, where there is no face: an outline that does not run along the axes. */
typedef struct aw_offset {
    aw_face face;
    double distance;
} aw_offset;
bool aw_offset_find(aw_offset *offset, const aw_scenario *scenario, const double at[3], int axis);

#endif
