/** @file bars.h
 *  Sensitivity as a sheet: for each zone a bar for each assumption, the largest mover of p95 on
 * top, from its low to its high end about today's figure, with the need marked. docs/charts.md
 * explains every mark. The same input gives the same sheet. */
#ifndef AW_DRAW_BARS_H
#define AW_DRAW_BARS_H

#include "anchorwise/sensitivity.h"
#include "draw/chart.h"

/** What to draw. Everything pointed to stays the caller's. */
typedef struct aw_bars {
    const aw_sensitivity *sensitivity;
    const aw_scenario *scenario;
    aw_chart_options options; /**< paper, portrait, grey, least_text, date and revision count */
} aw_bars;

/** Lays out the sheet. False without memory (an error). aw_sheet_free() the sheet either way. */
bool aw_bars_draw(aw_sheet *sheet, const aw_bars *what, aw_errors *errors);

#endif
