/** @file plan_sheet.h
 *  A client's plan and the scenario that was made of it, one over the other at a true scale: what
 * of the plan was used, and what was left out. The same input gives the same sheet. */
#ifndef AW_DRAW_PLAN_SHEET_H
#define AW_DRAW_PLAN_SHEET_H

#include "draw/chart.h"
#include "plan/made.h"

/** What to draw. Everything pointed to stays the caller's. */
typedef struct aw_plan_sheet {
    const aw_plan *plan;
    const aw_rules *rules;
    const aw_made *made;
    const aw_scenario *scenario;
    aw_chart_options options; /**< paper, portrait, grey, least_text, date and revision count */
} aw_plan_sheet;

/** Lays out the sheet. False without memory (an error). aw_sheet_free() the sheet either way. */
bool aw_plan_sheet_draw(aw_sheet *sheet, const aw_plan_sheet *what, aw_errors *errors);

#endif
