/* Where a plan lies: metres from its unit, an origin near it, a turn onto the axes. */
#ifndef AW_PLAN_FRAME_H
#define AW_PLAN_FRAME_H

#include "plan/faces.h"

typedef struct aw_frame {
    double metres;    /* of the plan's unit */
    double origin[2]; /* m east and north in the plan, what becomes 0, 0 */
    double turn;      /* degrees by which the plan is turned, taken back here */
    double base[2];   /* private */
    double cosine, sine;
} aw_frame;

aw_point aw_frame_site(const aw_frame *frame, aw_point of_plan);

/* Which pieces lie among the others: none of its points further than 20 interquartile ranges, and
 * 500 m, from the median. Hidden ones are not looked at. NULL without memory; the caller frees it.
 */
bool *aw_frame_near(const aw_plan *plan, double metres, bool hidden, size_t *n_far);

/* The direction, degrees in (-45, 45], that most of the length of some lines has or stands upright
 * to, and the share that does. */
double aw_main_direction(const aw_strokes *lines, double *share);

#endif
