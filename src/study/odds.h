/* Odds that an installation, once made, meets a zone's p95 need. */
#ifndef AW_STUDY_ODDS_H
#define AW_STUDY_ODDS_H

#include "anchorwise/assess.h"

typedef struct aw_odds {
    double share, low, high; /* of installations that meet the need; exact binomial 95 % interval */
} aw_odds;

/* Whether a zone has odds: a p95 need, in a scenario with installation terms. */
bool aw_odds_exist(const aw_scenario *scenario, const aw_zone *zone);

/* Whether the zone's own map, whose limit was the need, tells the odds: draw m of all cells is one
 * fix a cell of installation m, and nearly all of these, or hardly any, meet the need. Fixes
 * scatter about what an installation gives: of one on the other side a quarter to a half of the
 * draws would be, in zones of 20 cells or more; in smaller ones odds of 1 are not told. Nor is
 * anything by few draws. The interval is that of as many installations as there are draws, 200 at
 * most. */
bool aw_odds_told(aw_odds *odds, const aw_map *map, uint32_t draws);

/* By draws of their own; the map is of the zone. Where only the verdict against the odds `asked`
 * counts (else NaN), no more of them than that takes. False if stopped (no complaint) or without
 * memory (an error). */
bool aw_odds_run(aw_odds *odds, const aw_grid *grid, const aw_zone *zone,
                 const aw_scenario *scenario, double asked, unsigned threads, aw_watch *watch,
                 aw_errors *errors);

/* Exact 95 % interval of a share: k of n. */
void aw_binomial_interval(size_t k, size_t n, double *low, double *high);

#endif
