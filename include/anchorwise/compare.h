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
 * 57:289-300, 1995), and if its p95 differs the same way by more than 15 %, as below; a p95 that
 * does not exist is larger than any.
 *  - A place is called better or worse only if its interval excludes 0 and its p95 differ by more
 * than 15 %: among measured layouts nearer than that, predicted order and actual order hardly
 *    correlate (docs/model.md).
 */
#ifndef ANCHORWISE_COMPARE_H
#define ANCHORWISE_COMPARE_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/error.h"
#include "anchorwise/map.h"
#include "anchorwise/scenario.h"
#include "anchorwise/watch.h"

/** Share of p95 under which two layouts are not told apart. */
#define AW_NEAR_EQUAL 0.15

typedef enum aw_ranking { AW_NOT_TOLD_APART, AW_B_BETTER, AW_B_WORSE } aw_ranking;

/** The floor by the default tag, or one zone by its own. Two values are those of a and b, m; NaN
 * where there is none. */
typedef struct aw_place_result {
    size_t cells;
    double p50[2], p95[2];
    double share_meeting[2];                   /**< NaN without a need */
    double odds[2], odds_low[2], odds_high[2]; /**< of the p95 need alone; NaN without one or
                                                    without installation terms */
    double difference, difference_low, difference_high; /**< of p95 */
    size_t better, worse; /**< cells in which b is; the others are not told apart */
    aw_ranking ranking;
} aw_place_result;

/** The floor cell by cell, by the default tag: arrays of grid.n, owned. */
typedef struct aw_compared_cells {
    aw_grid grid;
    double *p95[2]; /**< of a and b, m; NaN where more draws fail than the percentile allows */
    aw_ranking *ranking;
} aw_compared_cells;

typedef struct aw_comparison {
    aw_place_result floor;
    aw_place_result *zones; /**< as many as the scenarios have; owned */
    aw_compared_cells cells;
} aw_comparison;

/** Whether two scenarios describe one floor: outline, ceiling, obstacles, walls, materials, tags,
 *  zones, prices and study. If not, adds an error that says what differs. */
bool aw_same_floor(const aw_scenario *a, const aw_scenario *b, aw_errors *errors);

/** Units of work that aw_compare_run() of the same two reports to a watch. 0 without memory. */
size_t aw_compare_work(const aw_scenario *a, const aw_scenario *b);

/** Compares two layouts that passed aw_same_floor(). False if stopped (no complaint) or without
 * memory (an error); aw_comparison_free() it either way. */
bool aw_compare_run(aw_comparison *comparison, const aw_scenario *a, const aw_scenario *b,
                    unsigned threads, aw_watch *watch, aw_errors *errors);

void aw_comparison_free(aw_comparison *comparison);

#endif
