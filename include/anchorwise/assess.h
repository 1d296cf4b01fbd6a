/** @file assess.h
 *  How large the error is across the floor, and whether each zone's need is met.
 *
 *  - A zone's percentiles are pooled over its cells' draws. Their simulation interval resamples
 *    installations: draws fall into 32 groups by m mod 32, estimate +- t31 times the jackknife's
 *    standard error. It says how much the number of draws matters and nothing about the site.
 *  - The prediction band is the spread between days and sites that published measurements show,
 *    divided and multiplied by 1.5.
 *  - Odds are a run of their own: 200 installations, each with ceil(5000 / cells) draws of every
 * cell; the share of installations in which at least 95 % of the fixes meet the need, with its
 * exact binomial interval (Clopper and Pearson 1934).
 *  - A part of a need (p95, share, odds where there are installation terms) fails if its interval
 * lies wholly on the wrong side, holds if wholly on the right one, else it is undecided.
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

/** The prediction band is percentile / this ... percentile x this. */
#define AW_PREDICTION_BAND 1.5
/** Installations drawn for the odds. */
#define AW_INSTALLATIONS 200

typedef enum aw_verdict { AW_NOT_MET, AW_MET, AW_UNDECIDED, AW_NO_NEED } aw_verdict;

/** Pooled errors of some cells. The worst cell is the one with the largest p95, run again with
 * draws M ... 17 M - 1; its p95 is NaN if some cell has none, and worst_at is then the first such.
 */
typedef struct aw_pooled {
    size_t cells;
    double p50, p95, vertical_p50, vertical_p95;
    double worst_p95, worst_at[3];
    double fix_share, ambiguous_share;
} aw_pooled;

typedef struct aw_zone_result {
    aw_pooled errors;
    double p95_low, p95_high;   /**< simulation interval */
    double band_low, band_high; /**< prediction band of p95 */
    double share_meeting;       /**< cells with p95 within need */
    double odds, odds_low, odds_high;
    aw_verdict p95_verdict, share_verdict, odds_verdict, verdict;
    double draws_to_settle; /**< of an undecided zone; NaN if more draws would not */
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
bool aw_assess_run(aw_assessment *assessment, const aw_scenario *scenario, unsigned threads,
                   aw_watch *watch, aw_errors *errors);

void aw_assessment_free(aw_assessment *assessment);

#endif
