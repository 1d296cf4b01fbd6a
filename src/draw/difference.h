/** @file difference.h
 *  The difference chart: p95 of layout b minus p95 of layout a over the floor, by the default tag.
 *
 *  docs/charts.md explains every mark. The same input gives the same sheet. */
#ifndef AW_DRAW_DIFFERENCE_H
#define AW_DRAW_DIFFERENCE_H

#include "anchorwise/compare.h"
#include "draw/chart.h"

/** What to draw. Everything pointed to stays the caller's. */
typedef struct aw_difference {
    const aw_comparison *comparison; /**< of these two */
    const aw_scenario *a, *b;
    const char *names[2];     /**< of the layouts, as they shall stand in the title block */
    aw_chart_options options; /**< paper, portrait, grey, least_text, date and revision count */
} aw_difference;

/** Lays out the sheet. False without memory (an error). aw_sheet_free() the sheet either way. */
bool aw_difference_draw(aw_sheet *sheet, const aw_difference *what, aw_errors *errors);

#endif
