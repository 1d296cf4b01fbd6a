/** @file placing.h
 *  Where to put the fewest, or cheapest, anchors that meet every need, and the price that no layout
 *  of the same candidates can be under.
 *
 *  - Search. Linear estimates of every part of every need (under a radio in fixed states of the
 *    links) of every layout that is looked at, from sums updated by one anchor; a greedy start,
 *    exchanges, drops that are mended for less, kicks.
 *  - Looks. What the search proposes is drawn by the study's seed. What a layout's draws teach the
 *    estimates holds near that layout; one that draws refuse is not proposed again. Where no search
 *    finds a layout that meets the needs, but all candidates together do with a margin, anchors are
 *    taken away from these as long as draws agree, so that a layout is always found then.
 *  - Race. One look that chooses among many flatters: layouts that meet the needs, the cheapest
 *    first, get looks with other seeds until a fresh look would be met with 95 % or the layout is
 *    out (place/race.h). The first that holds is confirmed by a look with a seed that chose
 * nothing; refused, the next has its turn with the next seed, and the number of these looks is
 * told.
 *  - Bound. Linear programs over shares of candidates, cut by tangents of what a zone can reach at
 *    most, and branching that is limited by nodes (place/tangent.h says why it holds). It concerns
 *    linear estimates, without bias, and no other spot than the candidates.
 *  - A layout that is sufficient already is left alone unless `afresh` is set.
 *
 *  Prices are those of cost.h; without prices the number of anchors stands for the price. The
 * result depends on scenario and seed alone, not on threads. Lengths in m. */
#ifndef ANCHORWISE_PLACING_H
#define ANCHORWISE_PLACING_H

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

typedef struct aw_placing_plan {
    const aw_scenario *scenario; /**< that passed aw_map_check() */
    const bool *keep;            /**< anchors of it that stay; NULL: none need to */
    bool sturdy;                 /**< needs are met with any one anchor lost as well */
    bool afresh;                 /**< search though the layout is sufficient */
} aw_placing_plan;

/** A lower bound under this share of the layout's price says too little to be told. */
#define AW_BOUND_WORTH (2.0 / 3)

typedef enum aw_placing_end {
    AW_PLACING_LEFT,     /**< the scenario's own layout holds and is confirmed */
    AW_PLACING_FOUND,    /**< so does a layout that was found */
    AW_PLACING_ON_LINE,  /**< layouts meet every need by some looks, but none holds: the one with
                              the largest share of looks met */
    AW_PLACING_NOT_FOUND /**< none meets every need by the study's seed: the cheapest of those that
                              fall short least */
} aw_placing_end;

typedef struct aw_placing {
    aw_placing_end end;
    bool stopped; /**< by the watch: the best so far stands */
    aw_candidates candidates;
    aw_anchor *anchors; /**< the layout; names live in the candidates */
    size_t n_anchors;
    double price;     /**< of the layout, with what is paid once; NaN without prices */
    double bound;     /**< no layout is under this price, or number of anchors; infinity: none does;
                         NaN: not looked for, as in 3d */
    bool is_least;    /**< the bound is reached */
    size_t nodes;     /**< branched on for the bound */
    size_t n_layouts; /**< that were drawn */
    size_t n_looks;   /**< at them, each of all zones */
    size_t n_confirmations;    /**< layouts that held and were drawn by a seed that chose nothing */
    size_t n_own, n_own_met;   /**< looks at the layout, the confirming one apart, and those met */
    aw_zone_result *zones;     /**< by the study's seed; of the worst loss if sturdy */
    aw_zone_result *confirmed; /**< by `seed`, which chose nothing; likewise */
    aw_zone_result *all;       /**< where none is found: by all candidates together, by the study's
                                    seed, with the worst cell; AW_NO_NEED elsewhere */
    size_t n_zones;
    uint64_t seed;
    aw_verdict verdict, confirmed_verdict; /**< over the zones with a need */
} aw_placing;

/** Places anchors. True also if stopped with a layout in hand. False if stopped before, if no zone
 *  states a need, or without memory (errors); aw_placing_free() it either way. */
bool aw_placing_run(aw_placing *placing, const aw_placing_plan *plan, const aw_run *run);
void aw_placing_free(aw_placing *placing);

/** Whether the layout holds and is confirmed. */
bool aw_placing_is_sufficient(const aw_placing *placing);

/** The scenario with the layout in place of its own; must not outlive either. */
aw_scenario aw_placing_apply(const aw_placing *placing, const aw_scenario *scenario);

/** Puts the layout into the text of the scenario that it was made from: anchors that stay keep
 * their lines, new ones are added behind them, to 0.1 mm. False with an error where the text cannot
 * be patched. */
bool aw_placing_write(const aw_placing *placing, const aw_scenario *scenario, aw_edit *edit,
                      aw_errors *errors);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
