/** @file interval.h
 *  How far the draws of one cell leave a figure of it open. */
#ifndef AW_MAP_INTERVAL_H
#define AW_MAP_INTERVAL_H

#include "anchorwise/map.h"
#include "position/trials.h"

/** The 95 % simulation interval of a layer's figure at a cell, `value`, from the draws of the last
 *  run: of percentiles by order statistics, of the root mean square by the scatter of the squares,
 *  of shares Wilson's; of what draws have no part in, the figure itself. Always holds the figure;
 *  ends may be infinite. NaN where the figure is. */
void aw_layer_interval(aw_layer layer, const aw_trials *trials, const aw_draws *draws, double value,
                       double ends[2]);

#endif
