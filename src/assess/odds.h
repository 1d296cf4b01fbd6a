/** @file
 *  Odds that an installation, once made, meets a zone's p95 need. */
#ifndef AW_ASSESS_ODDS_H
#define AW_ASSESS_ODDS_H

#include "assess/zone_assess.h"

typedef struct aw_odds {
    double share, low, high; /* of installations that meet the need; exact binomial 95 % interval */
} aw_odds;

/* Whether a zone has odds: a p95 need, in a scenario with installation terms. */
bool aw_odds_exist(const aw_scenario *scenario, const aw_zone *zone);

/* Whether the zone's own map, whose limit was the need, tells the odds: draw m of all cells is one
 * fix a cell of installation m. Nearly all of these, or hardly any, meet the need; or those that
 * surely do, and those that surely do not, give the verdict against the odds `asked` (NaN: the odds
 * themselves are wanted). In zones under 20 cells odds of 1 are not told, nor is anything by few
 * draws. The interval is that of as many installations as there are draws, 200 at most. */
bool aw_odds_told(aw_odds *odds, const aw_map *map, uint32_t draws, double asked);

/* By draws of their own, of the installations that the zone's map, drawn as often as the plan's
 * scenario says, leaves open. With room for them (AW_INSTALLATIONS, else NULL) gives p95 of each,
 * for which all are drawn once. Where only the verdict counts, no more of them than that takes; at
 * a look some thousand fixes of each, by which odds that are neither 0 nor 1 lean to one half.
 * False if stopped (no complaint) or without memory (an error). */
bool aw_odds_run(aw_odds *odds, double p95[], const aw_map *map, const aw_zone_plan *plan,
                 const aw_run *run);

/* p95 of each installation alone, by some hundred fixes of its own. Else likewise. */
bool aw_odds_installations(double p95[], const aw_map *map, const aw_zone_plan *plan,
                           const aw_run *run);

/* Exact 95 % interval of a share: k of n. */
void aw_binomial_interval(size_t k, size_t n, double *low, double *high);

#endif
