/** @file
 *  The chance that a site meets what a need asks of errors, and what that asks of stated figures.
 *
 *  The site's factor multiplies errors as a whole, so nothing is drawn for it: of the share of
 *  installations m
 *
 *      chance = mean over m of F((ln s_m - centre) / w),    s_m = least of asked / found_m
 *
 *  over p50, p95, p99, and for the share of cells the quantile of their p95; the height by its own
 *  law, the lesser of the two. found_m is that of installation m for p95, pooled for the rest. */
#ifndef AW_ASSESS_CHANCE_H
#define AW_ASSESS_CHANCE_H

#include "anchorwise/site_law.h"
#include "assess/zone_assess.h"

/* p95 of installations, by their own fixes; infinite where that many fail. */
typedef struct aw_installations {
    double *p95;
    size_t n; /* 0: the pooled p95 stands for them */
} aw_installations;

/* What is known of a zone, and what it needs. */
typedef struct aw_chance_case {
    const aw_scenario *scenario;
    const aw_need *need;
    const aw_part_result *parts; /* [AW_PARTS] that were found, asked or not */
    const aw_map *map;           /* the zone's */
    const aw_installations *installations;
} aw_chance_case;

/* The chance of a zone whose need asks for some error, and that at the ends of the parts'
 * intervals. False without memory (an error). */
bool aw_chance_find(aw_estimate *found, const aw_chance_case *c, aw_errors *errors);

/* The chance where all errors are so many times as large. */
aw_part_result aw_chance_moved(const aw_part_result *chance, const aw_scenario *scenario,
                               double times);

/* Whether a chance by pooled figures is so far from what is asked, and from a margin, that
 * installations would not change the verdict. */
bool aw_chance_is_clear(double chance, double asked);

/* Of a zone that is judged: sets its ranges and whether it is met with margin, and takes away a
 * chance that another part has the verdict against. */
void aw_chance_settle(aw_zone_result *result, const aw_scenario *scenario);

#endif
