/* What a spot hears, on a compass rim about it: bearings, the blind arc, names at the rim. */
#ifndef AW_DRAW_RIM_H
#define AW_DRAW_RIM_H

#include "draw/draft.h"

/* Widest fan of bearings without an anchor that is heard: clockwise from plan north, radians. */
typedef struct aw_gap {
    double from, wide;
} aw_gap;
aw_gap aw_gap_of(const aw_link links[], size_t n);

typedef struct aw_rim {
    const aw_scene *scene;
    const aw_spot *spot;
    double radius; /* mm */
} aw_rim;

/* Whether an anchor that is lost has nothing in its way: it is too far, or too weak. */
bool aw_is_out_of_reach(const aw_draft *draft, const aw_rim *rim, size_t anchor);

/* The radius that lets most names stand on open floor. */
double aw_rim_radius(const aw_draft *draft, const aw_rim *rim);

/* The sector under everything; the rim with its arc and degrees; bearings; names. */
void aw_rim_draw(aw_draft *draft, const aw_rim *rim);

#endif
