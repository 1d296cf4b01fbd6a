/** @file losses.h
 *  What each anchor's loss costs, as a sheet: a disc for each anchor, as large as what its loss
 *  does to the zone that suffers most, a line to that zone, a table of all losses, and all pairs as
 *  a triangle. docs/charts.md explains every mark. The same input gives the same sheet. */
#ifndef AW_DRAW_LOSSES_H
#define AW_DRAW_LOSSES_H

#include "anchorwise/outage.h"
#include "draw/chart.h"

/** What to draw. Everything pointed to stays the caller's. */
typedef struct aw_losses {
    const aw_outage *outage;
    const aw_scenario *scenario;
    aw_chart_options options; /**< paper, portrait, grey, least_text and the title block count */
} aw_losses;

/** Lays out the sheet. False without memory (an error). aw_sheet_free() the sheet either way. */
bool aw_losses_draw(aw_sheet *sheet, const aw_losses *what, aw_errors *errors);

#endif
