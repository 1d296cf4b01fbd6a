/** @file
 *  Curves of a sweep. */
#ifndef AW_DRAW_CURVES_H
#define AW_DRAW_CURVES_H

#include "anchorwise/sweep.h"
#include "draw/chart.h"

/** The curves as a sheet, a panel for each zone. False without memory (an error). aw_sheet_free()
 *  the sheet either way. */
bool aw_sweep_draw(aw_sheet *sheet, const aw_sweep *sweep, const aw_scenario *scenario,
                   const aw_chart_options *options, aw_errors *errors);

#endif
