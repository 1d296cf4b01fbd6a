/* What of a plan is shown. The lock is held. */
#ifndef AW_LIVE_SHOWN_H
#define AW_LIVE_SHOWN_H

#include "live/desk.h"
#include "live/requests.h"

/* The tag that is shown, by its name in the reading; the first where there is none of it. */
size_t aw_shown_tag(const aw_floor_plan *plan, const aw_reading *reading);

/* Gives the desk a look, with tag, number, scene and words of the step. */
void aw_plan_show(aw_floor_plan *plan, aw_look *look);

/* Shows the text as it is after a step, `was` before it, by a reply that is taken over. */
void aw_plan_show_step(aw_floor_plan *plan, aw_reply *reply, aw_reading *was);

#endif
