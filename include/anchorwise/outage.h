/** @file outage.h
 *  What each anchor's loss costs: every anchor lost in turn, and every pair.
 *
 *  Losses are judged by linear estimates, from error laws, from rank-one updates,
 *  scaled for each place so that with all anchors its p95 is the drawn one: with heavy tails the
 *  bare ones are low. Shares of cells are not scaled. What is called worst, and the verdict, are
 *  drawn; where a place was drawn under a loss, the drawn figures stand beside the estimates.
 *
 *  - A zone falls short under a loss if, drawn, it is not met; where it was not drawn, if a linear
 *    estimate misses a part of its need: p50, p95, p99, vertical p95, share of cells, share of
 *    draws with a fix (as the share of cells with a position).
 *  - Sturdy: every need is met with any one anchor lost. For each zone the worst losses by each of
 *    these are assessed by draws, all parts of the need together, and the worst verdict among them
 *    stands.
 *
 *  Lengths in m. NaN where a value does not exist, infinity where too few cells have a position.
 */
#ifndef ANCHORWISE_OUTAGE_H
#define ANCHORWISE_OUTAGE_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/assess.h"
#include "anchorwise/error.h"
#include "anchorwise/scenario.h"
#include "anchorwise/watch.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** One place under one loss. */
typedef struct aw_loss_figures {
    double p95;          /**< linear estimate, scaled */
    double no_fix;       /**< share of cells without a position, likewise */
    double share;        /**< of cells with p95 within the need, likewise; NaN without one */
    double vertical_p95; /**< likewise; NaN if the need does not ask for it */
    double touched;      /**< share of cells that lose their position or whose expected r.m.s. error
                              rises by AW_NO_CHANGE or more */
    bool falls_short;    /**< by draws where the loss was drawn, else by linear estimates */
    bool is_drawn;       /**< with all anchors every place is; else NaN in: */
    double drawn_p95, drawn_share, drawn_fix_share; /**< of draws with a fix */
} aw_loss_figures;

/** The worst cell of the floor, drawn 16 x as often: with all anchors that of aw_assess_run(), with
 *  one lost the worst one by linear estimate. */
typedef struct aw_loss_worst {
    double at[3];
    double p95; /**< NaN if there is none there */
} aw_loss_worst;

/** A zone's verdict with any one anchor lost. */
typedef struct aw_sturdy {
    aw_verdict verdict;       /**< AW_NO_NEED without a need */
    size_t loss;              /**< the loss that decides it */
    aw_zone_result confirmed; /**< the zone under that loss, by draws */
} aw_sturdy;

typedef struct aw_outage {
    size_t n_singles, n_losses, n_places; /**< places: the floor by the default tag, then zones */
    aw_loss *losses; /**< [0] is none, then the single ones in the scenario's order, then pairs */
    aw_loss_figures *figures; /**< figures[place * n_losses + loss] */
    aw_loss_worst *worst;     /**< for none and each single loss */
    aw_zone_result *intact;   /**< each zone with all anchors, by draws */
    aw_sturdy *sturdy;        /**< for each zone */
    aw_verdict verdict;       /**< over the zones with a need */
} aw_outage;

/** A cell whose error rises by less than this share is not touched by a loss. */
#define AW_NO_CHANGE 0.01
/** Of more anchors than this the pairs are left out. */
#define AW_MOST_PAIRED 64

/** Figures of one place (0: the floor, i: zone i - 1) under one loss. */
const aw_loss_figures *aw_outage_at(const aw_outage *outage, size_t place, size_t loss);

/** Whether losing a single anchor touches no cell anywhere, though there are positions to lose. */
bool aw_outage_is_idle(const aw_outage *outage, size_t loss);

/** Whether a pair makes a zone fall short that neither of its anchors makes fall short alone. */
bool aw_outage_pair_matters(const aw_outage *outage, size_t place, size_t loss);

/** Units of work that aw_outage_run() reports to a watch. 0 without memory. */
size_t aw_outage_work(const aw_scenario *scenario);

/** Runs the outages of a scenario that passed aw_map_check(). False if stopped (no complaint) or
 *  without memory (an error); aw_outage_free() it either way. watch may be NULL. */
bool aw_outage_run(aw_outage *outage, const aw_scenario *scenario, const aw_run *run);
void aw_outage_free(aw_outage *outage);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
