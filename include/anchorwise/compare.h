/** @file compare.h
 *  Which of two layouts of one floor is better, where, and is the difference real.
 *
 *  Both layouts draw the same random numbers for anchors of the same name, in the same cells, so
 * that what they have in common cancels. Differences are b minus a: less than 0 where b is better.
 *
 *  - The interval of a difference of pooled p95 is paired: draws fall into 32 groups by m mod 32,
 *    difference +- t31 times the jackknife's standard error of the difference.
 *  - A cell is told apart by the exact sign test over its draws, two-sided, with the
 * false-discovery rate over the cells of a place held at 5 % (Benjamini & Hochberg, JRSS B
 * 57:289-300, 1995); a place is if its interval excludes 0.
 *  - What is told apart is better or worse only if its p95 differ the same way by more than 15 %; a
 *    p95 that does not exist is larger than any. Otherwise it is near: the difference is real by
 *    the simulation, but among measured layouts that near predicted order and actual order hardly
 *    correlate (docs/model.md).
 */
#ifndef ANCHORWISE_COMPARE_H
#define ANCHORWISE_COMPARE_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/assess.h"
#include "anchorwise/error.h"
#include "anchorwise/map.h"
#include "anchorwise/scenario.h"
#include "anchorwise/watch.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** Share of p95 under which a difference, however real, ranks no layouts. */
#define AW_NEAR_EQUAL 0.15

/** Not told apart: by these draws; more might. Near: told apart, but within AW_NEAR_EQUAL. */
typedef enum aw_ranking { AW_NOT_TOLD_APART, AW_B_BETTER, AW_B_WORSE, AW_NEAR } aw_ranking;

/** The floor by the default tag, or one zone by its own. Two values are those of a and b, m; NaN
 * where there is none. */
typedef struct aw_area_result {
    size_t cells;
    double p50[2], p95[2];
    double share_meeting[2];                   /**< NaN without a need */
    double odds[2], odds_low[2], odds_high[2]; /**< of the p95 need alone; NaN without one or
                                                    without installation terms */
    double chance[2]; /**< of the need, as aw_assess_zone() tells it; NaN where it does not */
    double difference, difference_low, difference_high; /**< of p95 */
    size_t better, worse, near; /**< cells in which b is; the others are not told apart */
    aw_ranking ranking;
} aw_area_result;

/** The floor cell by cell, by the default tag: arrays of grid.n, owned. */
typedef struct aw_compared_cells {
    aw_grid grid;
    double *p95[2]; /**< of a and b, m; NaN where more draws fail than the percentile allows */
    aw_ranking *ranking;
} aw_compared_cells;

typedef struct aw_comparison {
    aw_area_result floor;
    aw_area_result *zones; /**< as many as the scenarios have; owned */
    aw_compared_cells cells;
    aw_zone_result *judged[2]; /**< each zone in a and in b as aw_assess_zone() judges it, by the
                                    layout's own need; without a need the verdict alone is set,
                                    AW_NO_NEED; owned */
    aw_verdict verdict[2];     /**< of a and of b over their zones with a need */
} aw_comparison;

/** Whether two scenarios can be compared: the same outline, levels, and names and outlines of
 * zones, so that there are the same cells. If not, adds an error that says what differs. Whatever
 * else may differ (mismatch.h). */
bool aw_same_floor(const aw_scenario *a, const aw_scenario *b, aw_errors *errors);

/** Units of work that aw_compare_run() of the same two reports to a watch. 0 without memory. */
size_t aw_compare_work(const aw_scenario *a, const aw_scenario *b);

/** Compares two layouts that passed aw_same_floor(), both by the step, draws and seed of a. False
 * if stopped (no complaint) or without memory (an error); aw_comparison_free() it either way. */
bool aw_compare_run(aw_comparison *comparison, const aw_scenario *a, const aw_scenario *b,
                    const aw_run *run);

void aw_comparison_free(aw_comparison *comparison);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
