/** @file
 *  One zone judged, and what studies that try many scenarios ask of the result. */
#ifndef AW_ASSESS_ZONE_ASSESS_H
#define AW_ASSESS_ZONE_ASSESS_H

#include "anchorwise/assess.h"

/* How much of a zone is worked out. */
typedef enum aw_judging {
    AW_JUDGE_ALL,     /* the worst cell too, and every part of the need */
    AW_JUDGE_PARTS,   /* no worst cell */
    AW_JUDGE_END,     /* the same, but odds that fewer draws tell near 0 or 1 */
    AW_JUDGE_LOOK,    /* no worst cell; odds by fewer draws, to be believed near 0 and 1, and only
                         if all else is clear */
    AW_JUDGE_VERDICT, /* no worst cell; what takes draws of its own only if all else holds */
    AW_JUDGE_BY_MAP   /* AW_JUDGE_VERDICT, but odds only if the map's draws tell them */
} aw_judging;

/* Up to so many cells of a zone pieces of a study go side by side, a thread to each, where every
 * one of them has a map. */
#define AW_MOST_BESIDE 20000

typedef struct aw_zone_plan {
    const aw_scenario *scenario;
    const aw_zone *zone;
    aw_judging judging;
    bool without_odds;
    uint32_t least_draws;  /* under a precision; 0: none */
    size_t most_cells;     /* about so many stand for all, evenly spread; 0: all do */
    uint32_t which_cells;  /* other ones for another number */
    bool beside;           /* others are judged at the same time: begins no stage */
    const aw_scene *scene; /* of the scenario; NULL: one is made for the zone */
} aw_zone_plan;

/* aw_assess_zone() that leaves the zone's map, for differences; aw_map_free() it either way. */
bool aw_assess_zone_run(aw_zone_result *result, aw_map *map, const aw_zone_plan *plan,
                        const aw_run *run);

/* Adds the odds, and what they tell of the chance, to a result that was judged without them and is
 * not refused, by its map; the plan is the same but for `without_odds`. */
bool aw_zone_add_odds(aw_zone_result *result, const aw_map *map, const aw_zone_plan *plan,
                      const aw_run *run);

/* The verdict alone, by a coarse look of few draws where that is clear of every line, else by all:
 * for studies that ask it of many scenarios. Figures are those of the look then. */
bool aw_zone_ask(aw_zone_result *result, const aw_zone_plan *plan, const aw_run *run);

/* Whether every part of the need but odds is clear of its line, on whichever side, however few
 * draws looked: more draws then say the same of each. */
bool aw_zone_is_clear(const aw_zone_result *result);

/* Units of work of judging a zone, but for odds that take draws of their own; of the floor for
 * NULL. 0 without memory. */
size_t aw_zone_work(const aw_scenario *scenario, const aw_zone *zone);

/* Begins the stage that aw_assess_zone() of a zone is, or the floor's if zone is n_zones; `before`
 * goes before its name. */
void aw_zone_stage(aw_watch *watch, const aw_scenario *scenario, size_t zone, const char *before);

/* Whether every part of the need holds by its value, whatever the interval. */
bool aw_zone_holds(const aw_zone_result *result);

/* The first part that does not hold by its value; AW_PARTS if all do. */
aw_part aw_zone_fails_by(const aw_zone_result *result);

#endif
