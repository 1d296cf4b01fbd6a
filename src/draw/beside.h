/** @file beside.h
 *  Before and after: two layouts of one floor in two panels of one sheet, each with the bearings of
 *  the same spot, so that a reader sees what a change mends.
 *
 *  Without a second layout the first one has the sheet to itself. Both panels have the same true
 * scale and the same magnification of the error ellipse. An anchor that only one layout has, or
 * that hangs elsewhere, has a mark of its own. docs/charts.md explains every mark. No draw is made:
 * lines of sight, DOP and ellipse follow from the scenarios, p95 is the caller's. The same input
 * gives the same sheet. */
#ifndef AW_DRAW_BESIDE_H
#define AW_DRAW_BESIDE_H

#include "anchorwise/explain.h"
#include "draw/chart.h"

/** One panel: a layout and what is predicted at the spot with it. */
typedef struct aw_beside_panel {
    const aw_scenario *scenario;
    const char *caption;      /**< stands over the panel: "as planned" */
    double p95;               /**< of the horizontal error at the spot, m; NaN: there is none */
    double p95_low, p95_high; /**< its 95 % simulation interval, m; NaN: not known */
} aw_beside_panel;

/** What to draw. Everything pointed to stays the caller's. */
typedef struct aw_beside {
    aw_beside_panel before; /**< also on the whole sheet by itself, */
    aw_beside_panel after;  /**< if the scenario here is NULL; else both pass aw_same_floor() */
    const aw_explanation *explanation; /**< of the first layout, whose first remedy makes the second
                                          one; NULL: causes and effects are not told */
    aw_point spot;                     /**< m, inside the outline */
    size_t tag;                        /**< index into tags[] of both scenarios */
    aw_chart_options options; /**< paper, portrait, grey, least_text, date and revision count */
} aw_beside;

/** Lays out the sheet. False without memory or if the spot is off the floor (an error).
 *  aw_sheet_free() the sheet either way. */
bool aw_beside_draw(aw_sheet *sheet, const aw_beside *what, aw_errors *errors);

#endif
