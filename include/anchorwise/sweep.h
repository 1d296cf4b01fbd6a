/** @file sweep.h
 *  Error against the number of anchors, or against the height that they hang at.
 *
 *  - Counts: for each number the layout of the scenario's candidates (candidates.h) that exchanges
 *    make best by quick figures (exchange.h); what is told of it comes from draws.
 *  - Heights: all anchors, or a group, at each height in turn; the others stay. The same random
 *    numbers at every height.
 *
 *  Every p95 has its simulation interval. Figures within 15 % (AW_NEAR_EQUAL of compare.h) rank
 *  nothing: measured systems that near do not keep the predicted order. So a curve is flat, or
 *  has a knee only where what comes before is worse by more than that. Lengths in m. */
#ifndef ANCHORWISE_SWEEP_H
#define ANCHORWISE_SWEEP_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/assess.h"
#include "anchorwise/run.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

typedef enum aw_sweep_kind { AW_SWEEP_COUNTS, AW_SWEEP_HEIGHTS } aw_sweep_kind;

typedef enum aw_curve_shape_kind {
    AW_BEND_NONE,    /**< no p95 anywhere */
    AW_BEND_FLAT,    /**< nothing from `from` to `to`, the whole sweep, differs by more than 15 % */
    AW_BEND_KNEE,    /**< from `from` on nothing more is gained, and before it something was lost */
    AW_BEND_FALLING, /**< better to the very end, `to` */
    AW_BEND_BAND     /**< heights: `from` to `to` are within 15 % of the best, which is at `best` */
} aw_curve_shape_kind;

typedef struct aw_curve_shape {
    aw_curve_shape_kind kind;
    double from, to, best;
} aw_curve_shape;

/** What a curve of n values p95[i] at at[i] (rising) says; NaN or infinity where there is none. */
aw_curve_shape aw_curve_shape_find(aw_sweep_kind kind, const double at[], const double p95[],
                                   size_t n);

typedef struct aw_sweep_plan {
    const aw_scenario *scenario; /**< that passed aw_map_check() */
    aw_sweep_kind kind;
    const double *at; /**< numbers of anchors, or heights; rising */
    size_t n;
    bool as_many;      /**< of numbers: those beyond the candidates are left out, not an error */
    const bool *group; /**< of heights: the anchors that are moved; NULL: all */
} aw_sweep_plan;

typedef struct aw_sweep {
    aw_sweep_kind kind;
    size_t n, n_zones;
    double *at;            /**< n of them */
    double *price;         /**< of the layout at each; NaN without prices */
    const char **names;    /**< of the zones; "floor" if the scenario has none */
    double *asked;         /**< p95 that each zone needs; NaN if none */
    aw_estimate *p95;      /**< p95[i * n_zones + zone] */
    aw_curve_shape *bends; /**< of each zone */
    size_t n_candidates;   /**< of counts */
} aw_sweep;

/** Runs it over the zones that state a need, over all if none does, over the floor by the first tag
 *  if there is none. False if stopped (no complaint), if there are fewer candidates than anchors
 *  asked for, or without memory (errors); aw_sweep_free() it either way. */
bool aw_sweep_run(aw_sweep *sweep, const aw_sweep_plan *plan, const aw_run *run);
void aw_sweep_free(aw_sweep *sweep);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
