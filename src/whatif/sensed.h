/* One zone of a study of assumptions: each of these at both ends of its range. */
#ifndef AW_WHATIF_SENSED_H
#define AW_WHATIF_SENSED_H

#include "anchorwise/sensitivity.h"
#include "assess/zone_assess.h"
#include "base/parallel.h"

/* One zone of a run. */
typedef struct aw_sensed {
    aw_sensitivity *out;
    const aw_scenario *scenario;
    size_t zone;
    const aw_run *run;
} aw_sensed;

/* Judges the zone in another scenario, by a plan that names no zone; nothing is known of it where
 * that leaves it without a cell. aw_map_free() the map either way. */
bool aw_sensed_judge(aw_zone_result *result, aw_map *map, const aw_sensed *zone, aw_zone_plan plan,
                     const aw_run *run);

/* Whether pieces go side by side, a thread to each, as where every one has a map of few cells. */
bool aw_sensed_beside(const aw_sensed *zone);

/* Runs pieces so, or else one after the other with all threads. */
bool aw_sensed_pieces(const aw_sensed *zone, size_t n, aw_piece *piece, void *context);

/* Fills today[] and ends[] of the zone. Today's map stays while each assumption is set to its ends,
 * so that differences are told with their own interval. */
bool aw_sensed_ends(const aw_sensed *zone);

#endif
