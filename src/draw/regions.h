/** @file regions.h
 *  Freedom to mount as a sheet for installers: the region of each anchor on the floor at a true
 *  scale, the edges beyond which a need fails, the band of heights in words. docs/charts.md
 *  explains every mark. The same input gives the same sheet. */
#ifndef AW_DRAW_REGIONS_H
#define AW_DRAW_REGIONS_H

#include "anchorwise/freedom.h"
#include "draw/chart.h"

/** What to draw. Everything pointed to stays the caller's. */
typedef struct aw_regions {
    const aw_freedoms *freedoms;
    const aw_scenario *scenario;
    aw_chart_options options; /**< paper, portrait, grey, least_text, date and revision count */
} aw_regions;

/** Lays out the sheet. False without memory (an error). aw_sheet_free() the sheet either way. */
bool aw_regions_draw(aw_sheet *sheet, const aw_regions *what, aw_errors *errors);

#endif
