/** @file assess.h
 *  How large the error is across the floor, and whether each zone's need is met.
 *
 *  - A need has parts (aw_part), each optional. Every part has a value, a 95 % simulation interval
 *    and a verdict: it fails if the interval lies wholly on the wrong side, holds if wholly on the
 *    right one, else it is undecided. The need fails if a part fails, else it is undecided if a
 *    part is.
 *  - Percentiles are pooled over the zone's cells' draws. Simulation intervals take draws in 32
 *    groups by m mod 32, which have installations of their own: all values that the share of draws
 *    under them allows within t31 of its standard errors (aw_tally_interval). They say how much the
 *    number of draws matters and nothing about the site. An end beyond all draws, or among failed
 *    ones, is infinite.
 *  - Shares of draws have Wilson's interval (Wilson 1927) of as many trials as the scatter of the
 *    groups amounts to; where the groups do not differ, of all draws, or with installation terms
 *    of one cell's.
 *  - The share of cells is as sure as each cell's own draws: its ends count the cells whose number
 *    of draws within the need has a chance of at most 2.5 % if their p95 is just the need, less as
 *    many as chance alone puts there (97.5 % of the binomial law). Under 72 draws no cell surely
 *    meets a need.
 *  - The zone share is that of decisions.h: tags spread evenly over the zone, reported in it.
 *  - The range of p95 is where nine sites in ten are expected (site_law.h), and holds the stated
 *    figure somewhere, or not.
 *  - The chance is the share of sites, equipped and built as the scenario says, that would meet
 *    what the need asks of errors. It counts for the verdict: a need is met if every part holds by
 *    the stated figures and the chance is what is asked, with margin if it is 95 % or more. With a
 *    margin instead, errors times that hold what is asked, and no chance is told.
 *  - Odds concern p95 only: the share of installations in which at least 95 % of the fixes meet the
 *    need, with its exact binomial interval (Clopper and Pearson 1934). They are told by the zone's
 *    own draws where these leave no doubt, else by 200 installations, each with as many fixes of
 *    its own, up to 40 000, as it takes to tell it from one on the line.
 *
 *  Lengths in m. NaN where a value does not exist.
 */
#ifndef ANCHORWISE_ASSESS_H
#define ANCHORWISE_ASSESS_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/error.h"
#include "anchorwise/map.h"
#include "anchorwise/scenario.h"
#include "anchorwise/watch.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** The chance from which on a need is met with margin. */
#define AW_WITH_MARGIN 0.95
/** Installations drawn for the odds. */
#define AW_INSTALLATIONS 200

typedef enum aw_verdict { AW_NOT_MET, AW_MET, AW_UNDECIDED, AW_NO_NEED } aw_verdict;

/** Anchors that are lost together. */
typedef struct aw_loss {
    size_t n; /**< 0, 1 or 2 */
    size_t anchor[2];
} aw_loss;

/** A simulated figure with its 95 % simulation interval, NaN with fewer than 64 draws; ends of
 *  lengths may be infinite. */
typedef struct aw_estimate {
    double value, low, high;
} aw_estimate;

/* To add a part: a name here, a row in parts.c, its value in estimate_part() of zone_assess.c. */
typedef enum aw_part {
    AW_PART_P95,
    AW_PART_SHARE,
    AW_PART_P50,
    AW_PART_P99,
    AW_PART_VERTICAL_P95,
    AW_PART_FIX_SHARE,
    AW_PART_ZONE_SHARE,
    AW_PART_ODDS,
    AW_PART_CHANCE,
    AW_PARTS
} aw_part;

/** What is the same for every zone's part. A length is asked at most, a share at least. */
typedef struct aw_part_row {
    const char *key;      /**< where data leave the program, with its unit: "p95_m" */
    const char *name;     /**< in a verdict: "p95" */
    const char *quantity; /**< before its value, where that is not the name; NULL: it is */
    const char *ask; /**< before what is asked: "p95 <= "; NULL: the scenario does not ask it of a
                          zone */
    double quantile; /**< that it is a percentile of; 0: it is none */
    bool is_length, is_simulated; /**< simulated: more draws narrow its interval */
    size_t offset;                /**< into aw_need; SIZE_MAX: not of a zone's need */
} aw_part_row;

extern const aw_part_row aw_part_rows[AW_PARTS];

/** What a need asks of a part, NaN if nothing. */
double aw_need_asks(const aw_need *need, aw_part part);

/** The chance that is asked of a need: its own, the study's, or NaN where a margin stands in its
 *  place or it asks for no error. */
double aw_need_chance(const aw_need *need, const aw_study *study);

/** That margin; 1 where a chance is asked. */
double aw_need_margin(const aw_need *need, const aw_study *study);

/** The need with its errors divided by that margin. */
aw_need aw_need_with_margin(const aw_need *need, const aw_study *study);

/** The need that stated figures have to meet so that it is met: by its margin, or by the chance
 * that is asked, for an installation like all. Its errors are never larger than the need's own. */
aw_need aw_need_of_figures(const aw_need *need, const aw_scenario *scenario);

/** Whether a need asks for anything. */
bool aw_need_is_stated(const aw_need *need);

typedef struct aw_part_result {
    double asked; /**< NaN: not part of the need */
    aw_estimate found;
    aw_verdict verdict; /**< AW_NO_NEED if not asked */
} aw_part_result;

/** Pooled errors of some cells. The worst cell is the one with the largest p95, run again with
 * draws M ... 17 M - 1; its p95 is NaN if some cell has none, and worst_at is then the first such.
 */
typedef struct aw_pooled {
    size_t cells;
    double p50, p95, p99, vertical_p50, vertical_p95;
    double worst_p95, worst_at[3];
    double fix_share, ambiguous_share;
} aw_pooled;

/** p95 is estimated always, the share of cells and the chance with a p95 need, the odds besides
 * with installation terms, every other part where it is asked. Odds count for the verdict only
 * where the study asks for some. A chance that is enough is not told where another part is not met.
 */
typedef struct aw_zone_result {
    aw_pooled errors;
    double band_low, band_high;                   /**< range of p95: nine sites in ten */
    double vertical_band_low, vertical_band_high; /**< of the height's p95 */
    aw_part_result parts[AW_PARTS];
    aw_verdict verdict;
    bool with_margin;       /**< met, at a chance of AW_WITH_MARGIN or more */
    double draws_to_settle; /**< of an undecided zone; NaN if more draws would not */
    uint32_t draws;         /**< of each of its cells */
} aw_zone_result;

typedef struct aw_assessment {
    aw_map map; /**< of the default tag's floor */
    aw_pooled floor;
    double *used_share;    /**< for each anchor: share of the map's cells where it is usable */
    aw_zone_result *zones; /**< scenario->n_zones of them */
    aw_verdict verdict;    /**< over the zones with a need */
} aw_assessment;

/** Units of work that aw_assess_run() reports to a watch, for its bar. 0 without memory. */
size_t aw_assess_work(const aw_scenario *scenario);

/** Assesses a scenario that passed aw_map_check(). False if stopped (no complaint) or without
 * memory (an error); aw_assessment_free() it either way. watch may be NULL. */
bool aw_assess_run(aw_assessment *assessment, const aw_scenario *scenario, const aw_run *run);

/** One zone by itself, as in the whole. False likewise. */
bool aw_assess_zone(aw_zone_result *result, const aw_scenario *scenario, const aw_zone *zone,
                    const aw_run *run);

void aw_assessment_free(aw_assessment *assessment);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
