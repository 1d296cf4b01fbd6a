/* The setback of one zone. */
#ifndef AW_ASSESS_SETBACK_H
#define AW_ASSESS_SETBACK_H

#include "anchorwise/decisions.h"

/* Border points of either side whose depth is drawn again. */
#define AW_WEAKEST 5

/* Units of work for a watch. */
size_t aw_setback_work(const aw_scenario *scenario, const aw_zone *zone);

/* Fills inside and outside of the decisions. False if stopped (no complaint) or without memory (an
 * error). */
bool aw_setback_run(aw_zone_decisions *decisions, const aw_scene *scene,
                    const aw_scenario *scenario, const aw_zone *zone, const aw_run *run);

#endif
