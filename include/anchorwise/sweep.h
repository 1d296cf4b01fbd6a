/** @file sweep.h
 *  Error against the number of anchors, or against the height that they hang at.
 *
 *  - Counts: for each number a layout of the scenario's candidates (candidates.h). It starts from
 *    the layout of one anchor less and from a greedy start, gets better by exchanges, by linear
 *    estimates held to what draws made of such layouts, and is drawn with the study's seed, as is
 *    all that is told of it.
 *  - Heights: all anchors, or a group, at each height in turn; the others stay. The same random
 *    numbers at every height.
 *
 *  Score. The largest, over zones and parts of their needs, of found / asked (lengths) and
 *  (1 - found) / (1 - asked) (shares): 1 or less where all parts hold by their values. A length is
 *  held to what stated figures have to meet so that the chance is what is asked, or to its need by
 *  the margin (aw_need_of_figures()). Infinite where a zone has no position; where no zone states a
 *  need, p95 of the worst zone over 0.5 m. More anchors never have a larger score than one less,
 *  unless no such layout was found, which the point says.
 *
 *  Curve. Of counts it runs, whatever numbers are asked for, from the first at which every zone
 *  that ever has a p95 has one, to N: the candidates, but no more than 24 or the last number asked
 *  for. A number that is no better than the one before carries its p95. With y the logarithm of a
 *  zone's least p95 so far, g = 0.163 (15 %), before(n) = y(n - 2) - y(n), infinite at the first
 *  two, after(n) = y(n) - y(n + 2), and e(n) = 2 sqrt(2) relative standard errors of that p95: the
 *  knee is the first n with before - e >= g, after + e < g / 2, before - after > e. Without one the
 *  curve is flat if y falls by less than g in all, else it falls steadily.
 *
 *  Every p95 has its simulation interval, whose half is 2.04 standard errors. Figures within 15 %
 *  (AW_NEAR_EQUAL of compare.h) rank nothing: measured systems that near do not keep the predicted
 *  order. Lengths in m. */
#ifndef ANCHORWISE_SWEEP_H
#define ANCHORWISE_SWEEP_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/assess.h"
#include "anchorwise/candidates.h"
#include "anchorwise/edit.h"
#include "anchorwise/run.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

typedef enum aw_sweep_kind { AW_SWEEP_COUNTS, AW_SWEEP_HEIGHTS } aw_sweep_kind;

typedef enum aw_curve_shape_kind {
    AW_BEND_NONE,    /**< no p95 anywhere */
    AW_BEND_FLAT,    /**< nothing from `from` to `to`, the whole curve, differs by more than 15 % */
    AW_BEND_KNEE,    /**< at `from`: steep before it, and hardly anything for the next two */
    AW_BEND_FALLING, /**< steadily, from `from` to the very end, `to` */
    AW_BEND_BAND     /**< heights: `from` to `to` are within 15 % of the best, which is at `best` */
} aw_curve_shape_kind;

/** Gain of the logarithm of p95 that counts, 15 %. */
#define AW_CURVE_GAIN 0.163

typedef struct aw_curve_shape {
    aw_curve_shape_kind kind;
    double from, to, best;
    bool is_first; /**< of a knee: it is only the first number with a position */
    bool falls_on; /**< of a knee: 15 % more is gained from there to the end */
} aw_curve_shape;

/** What a curve of n values p95[i] at at[i] says: heights, or counts one by one from the first with
 *  a position; NaN or infinity where there is none. */
aw_curve_shape aw_curve_shape_find(aw_sweep_kind kind, const double at[], const aw_estimate p95[],
                                   size_t n);

typedef struct aw_sweep_plan {
    const aw_scenario *scenario; /**< that passed aw_map_check() */
    aw_sweep_kind kind;
    const double *at; /**< numbers of anchors, or heights; rising */
    size_t n;
    bool as_many;      /**< of numbers: those beyond the candidates are left out, not an error */
    const bool *group; /**< of heights: the anchors that are moved; NULL: all */
} aw_sweep_plan;

/** The layout of a point. */
typedef struct aw_swept {
    double at;
    double price;       /**< NaN without prices */
    double score;       /**< infinity: a zone has no position */
    bool no_better;     /**< of counts: its score is larger than that of one anchor less */
    aw_anchor *anchors; /**< names live in the sweep or the scenario */
    size_t n_anchors;
    aw_zone_result *zones; /**< by the study's seed; AW_NO_NEED where none is stated; p95 is NaN
                                where there is none */
    bool *worse;           /**< of each zone: its p95 is surely larger than with one anchor less, by
                                the intervals; false of heights */
    aw_verdict verdict;    /**< over the zones with a need */
} aw_swept;

typedef struct aw_sweep {
    aw_sweep_kind kind;
    size_t n, n_zones;
    aw_swept *points;         /**< n of them */
    const char **names;       /**< of the zones; "floor" if the scenario has none */
    double *asked;            /**< p95 that each zone needs; NaN if none */
    double *to_meet;          /**< p95 that its stated figures have to meet; NaN if none */
    size_t n_curve;           /**< points of the curves: of heights the same */
    double *curve_at;         /**< where they are */
    aw_estimate *curve;       /**< their p95: curve[i * n_zones + zone]; NaN where there is none */
    aw_curve_shape *bends;    /**< of each zone */
    aw_candidates candidates; /**< of counts */
} aw_sweep;

/** Runs it over the zones that state a need, over all if none does, over the floor by the first tag
 *  if there is none. False if stopped (no complaint), if there are fewer candidates than anchors
 *  asked for, or without memory (an error); aw_sweep_free() it either way. */
bool aw_sweep_run(aw_sweep *sweep, const aw_sweep_plan *plan, const aw_run *run);
void aw_sweep_free(aw_sweep *sweep);

/** Puts the layout of a point into the text of the scenario that was swept, as
 *  aw_placing_write() does. */
bool aw_swept_write(const aw_swept *point, const aw_scenario *scenario, aw_edit *edit,
                    aw_errors *errors);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
