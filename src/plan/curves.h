/* Curved walls: arcs among the lines of a layer, and pairs of them about one centre. Metres. */
#ifndef AW_PLAN_CURVES_H
#define AW_PLAN_CURVES_H

#include "plan/faces.h"

/* An arc about a centre from an angle on, counter-clockwise. */
typedef struct aw_bend {
    aw_point centre;
    double radius, from, turn; /* radians; turn in (0, 2 pi] */
    double thickness;          /* of a wall */
} aw_bend;

typedef struct aw_bends {
    aw_bend *list;
    size_t n, room;
} aw_bends;

/* Adds a piece's straight stretches and its arcs. */
bool aw_trace(const aw_point at[], size_t n, bool closed, aw_strokes *strokes, aw_bends *bends);

/* Adds the curved walls of some arcs. `thickness` as in aw_faces_join(). What has no partner is
 * counted, but for the swing of doors. */
bool aw_bends_join(const aw_bends *arcs, const aw_joining *how, double thickness, aw_bends *walls,
                   aw_faces_left *left);

/* The corners of its chords, none further than 5 mm from it; their number, into a list that the
 * caller frees, NULL without memory. */
aw_point *aw_bend_corners(const aw_bend *bend, size_t *n);

#endif
