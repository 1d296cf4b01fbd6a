/* Arcs among lines: chords whose corners lie on one circle. R12 draws say of nothing but their
 * corners that it was an arc. */
#ifndef AW_PLAN_ARCS_H
#define AW_PLAN_ARCS_H

#include "plan/plan.h"

#define AW_ARC_CORNERS 9 /* at least */

typedef struct aw_arc {
    aw_point centre;
    double radius, turn; /* angle from first to last corner, radians, positive to the left */
} aw_arc;

/* Whether every corner lies within a thousandth of the radius of one circle, all turning one way.
 */
bool aw_arc_fit(const aw_point at[], size_t n, aw_arc *arc);

#endif
