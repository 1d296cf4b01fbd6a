/* What takes longer than a look, on the computing thread: explaining a spot, finding places, files
 * to hand out. */
#ifndef AW_LIVE_TASKS_H
#define AW_LIVE_TASKS_H

#include "live/requests.h"
#include "live/waiter.h"

/* Each takes the reading over, and its share of the waiter or reply. False if too many tasks wait:
 * then both were let go of. */
bool aw_task_explain(aw_floor_plan *plan, aw_reading *reading, aw_point at, size_t tag,
                     aw_waiter *waiter);

/* The cheapest layout that meets every need, as one step; what goes on is told in the reply. */
bool aw_task_place(aw_floor_plan *plan, aw_reading *reading, bool sturdy, aw_reply *reply);

/* One of report, chart, installers, drawing, from the file as it was saved; false likewise, or if
 * there is no such thing. */
bool aw_task_hand_out(aw_floor_plan *plan, const char *what, aw_waiter *waiter);
/* Whether it is one of them. */
bool aw_can_hand_out(const char *what);

/* A picture by its file, from the scenario's folder, brought to PNG. */
bool aw_task_picture(aw_floor_plan *plan, const char *file, uint32_t page, aw_waiter *waiter);

#endif
