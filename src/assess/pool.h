/** @file
 *  Figures pooled over the cells of a map, and its worst cell. */
#ifndef AW_ASSESS_POOL_H
#define AW_ASSESS_POOL_H

#include "anchorwise/assess.h"

/* Draws of the run that confirms the worst cell, as a multiple of the study's. */
#define AW_CONFIRMING 16

/* Figures of a map; its worst cell is by the map's own draws, which chose it. */
void aw_pool_map(aw_pooled *pooled, const aw_map *map, const aw_scenario *scenario, size_t tag);

/* Draws that worst cell's p95 anew; of the plan that the map was run by. False without memory (an
 * error). */
bool aw_pool_confirm(aw_pooled *pooled, const aw_map *map, const aw_map_plan *plan,
                     const aw_run *run);

/* p95 of one cell from draws M ... 17 M - 1, which chose nothing. False without memory (an error).
 */
bool aw_confirm_cell(double *p95, const aw_map_plan *plan, const aw_grid *grid, uint32_t number,
                     aw_errors *errors);

#endif
