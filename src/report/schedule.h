/** @file
 *  Anchors and bill of a scenario as lines for a spreadsheet. */
#ifndef AW_REPORT_SCHEDULE_H
#define AW_REPORT_SCHEDULE_H

#include "anchorwise/scenario.h"
#include "anchorwise/text.h"

/* Adds a CSV: a line for each anchor, with where it lies on the site and on the plan, what holds it
 * and its cable, then one for each line of the bill. False without memory. */
bool aw_schedule_csv(const aw_scenario *scenario, aw_text *out);

#endif
