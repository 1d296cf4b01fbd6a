/* One zone judged, and what studies that try many scenarios ask of the result. */
#ifndef AW_STUDY_JUDGE_H
#define AW_STUDY_JUDGE_H

#include "anchorwise/assess.h"

typedef struct aw_zone_plan {
    const aw_scenario *scenario;
    const aw_zone *zone;
    bool without_odds; /* they are a run of their own, and dear */
    unsigned threads;
    aw_watch *watch;
} aw_zone_plan;

/* aw_assess_zone() that leaves the zone's map, for differences; aw_map_free() it either way. */
bool aw_assess_zone_run(aw_zone_result *result, aw_map *map, const aw_zone_plan *plan,
                        aw_errors *errors);

/* Units of work of judging a zone; of the floor for NULL. 0 without memory. */
size_t aw_zone_work(const aw_scenario *scenario, const aw_zone *zone, bool without_odds);

/* Begins the stage that aw_assess_zone() of a zone is, or the floor's if zone is n_zones; `before`
 * goes before its name. */
void aw_zone_stage(aw_watch *watch, const aw_scenario *scenario, size_t zone, const char *before);

/* Whether every part of the need holds by its value, whatever the interval. */
bool aw_zone_holds(const aw_zone_result *result);

/* The first part that does not hold by its value; AW_PARTS if all do. */
aw_part aw_zone_fails_by(const aw_zone_result *result);

#endif
