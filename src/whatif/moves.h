/* Linear estimates with one anchor elsewhere: what each of many places for it uses of a zone's
 * need.
 */
#ifndef AW_WHATIF_MOVES_H
#define AW_WHATIF_MOVES_H

#include "anchorwise/assess.h"
#include "anchorwise/link.h"

typedef struct aw_moves_plan {
    const aw_scenario *scenario;
    const aw_scene *scene; /* of the scenario */
    const aw_zone *zone;
    const aw_zone_result *today; /* of the zone, by draws */
    size_t anchor;
    const double (*to)[3]; /* places, the first the anchor's own */
    size_t n;
    double enough; /* what uses less, but the first place, is told to use so much */
} aw_moves_plan;

/* What a place uses of a need, and by which part. 1: all of it; infinite: it has no such figure. */
typedef struct aw_need_usage {
    double share;
    aw_part part;
} aw_need_usage;

/* Fills uses[] of the plan's places. Of the parts that only draws know, the odds are not in it, and
 * for the zone share stands p95, as what it is of today's. The watch gets one
 * unit for each cell and place. False if stopped or without memory. */
bool aw_moves_run(aw_need_usage uses[], const aw_moves_plan *plan, const aw_run *run);

/* What a length or share uses of what is asked of it. */
double aw_need_usage_of(aw_part part, double found, double asked);

#endif
