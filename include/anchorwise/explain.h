/** @file explain.h
 *  Why a spot is as good or poor as it is, and what would mend it.
 *
 *  - The spot as planned is drawn by draws M to 17 M - 1, those that confirm the worst cell of an
 *    assessment: for a worst cell the same figure comes out.
 *  - Causes. Each is taken away in turn and the spot drawn again with fresh random numbers: what
 *    p95 loses is the cause's own part. Parts overlap (without obstacles more anchors are heard, so
 *    that uneven directions matter less), so beside them stand order-free parts: Shapley values,
 *    the mean over all orders of removal, which add up to p95 less what is left when every cause
 *    is gone (L. S. Shapley, Contributions to the Theory of Games II, 307-317, 1953).
 *  - Remedies: one more anchor at a mountable place (the scenario's candidates, or along outline
 * and walls at heights already in use), one anchor higher or lower, one anchor moved to such a
 * place. Linear estimates make a shortlist, draws choose from it, and what is printed comes from
 * draws that chose nothing. A change is a remedy if p95 falls by more than 15 % (AW_NEAR_EQUAL of
 * compare.h).
 *
 *  Lengths in m, angles in radians. Bearings are clockwise from plan north, the +y axis. NaN where
 * a value does not exist.
 */
#ifndef ANCHORWISE_EXPLAIN_H
#define ANCHORWISE_EXPLAIN_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/assess.h"
#include "anchorwise/bound.h"
#include "anchorwise/error.h"
#include "anchorwise/link.h"
#include "anchorwise/scenario.h"
#include "anchorwise/vary.h"
#include "anchorwise/watch.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** One line of sight of the spot. */
typedef struct aw_sightline {
    aw_link link;
    double bearing, elevation; /**< of the anchor from the spot */
    size_t crossed;            /**< obstacles and walls in its way */
    const char *blocker;       /**< the one of them with the largest loss; NULL if none */
    bool too_far;              /**< out of range; under a radio lost though it crosses nothing */
} aw_sightline;

/* To add a cause: a name here, a row in causes.c with how it is taken away. */
typedef enum aw_cause_kind {
    AW_CAUSE_OBSTACLES,
    AW_CAUSE_DIRECTIONS,
    AW_CAUSE_BIAS,
    AW_CAUSE_HEIGHT,
    AW_CAUSE_SPOT,
    AW_CAUSE_INSTALLATION,
    AW_CAUSES
} aw_cause_kind;

typedef struct aw_cause_row {
    const char *key;  /**< where data leave the program */
    const char *name; /**< for people, as the subject of "costs 0.4 m" */
} aw_cause_row;

extern const aw_cause_row aw_cause_rows[AW_CAUSES];

typedef struct aw_cause {
    bool present;        /**< false: the spot does not have it, and all else is NaN */
    aw_estimate without; /**< p95 with this cause gone */
    double removal_gain; /**< p95 less that */
    double shapley;      /**< Shapley value */
} aw_cause;

typedef enum aw_remedy_kind {
    AW_REMEDY_ADD,
    AW_REMEDY_HEIGHT,
    AW_REMEDY_MOVE,
    AW_REMEDIES
} aw_remedy_kind;

/** What holds an anchor, the surest first. */
typedef enum aw_carried {
    AW_CARRIED_STATED,  /**< it is one of the scenario's `candidates` */
    AW_CARRIED_WALL,    /**< outline or wall */
    AW_CARRIED_UNSTATED /**< nothing that the scenario states: if something carries it there */
} aw_carried;

/** What a remedy may be off by, each by AW_SHIFT_BY either way. */
typedef enum aw_shift_kind {
    AW_SHIFT_NONE,
    AW_SHIFT_PLACE, /**< the anchor that it moves or adds, along x, y or z */
    AW_SHIFT_SPOT,  /**< the spot, along x or y */
    AW_SHIFT_BASE,  /**< the lower face of an obstacle near the line of sight */
    AW_SHIFT_TOP    /**< its upper face */
} aw_shift_kind;

/** m */
#define AW_SHIFT_BY 0.2

typedef struct aw_shift {
    aw_shift_kind kind;
    size_t of; /**< axis, or number of the obstacle */
    double by; /**< m */
} aw_shift;

typedef struct aw_remedy {
    aw_remedy_kind kind;
    size_t anchor;         /**< raised, lowered or moved; n_anchors for one more */
    double at[3];          /**< where it then hangs */
    aw_carried carried;    /**< what holds it there */
    aw_estimate p95;       /**< of the spot then, by draws that chose nothing */
    aw_estimate worst_p95; /**< likewise, with the shift that harms it most; NaN: no p95 then */
    aw_shift worst;        /**< that shift */
    bool robust;           /**< 15 % or more are gained with that shift too */
    double vertical_p95;   /**< likewise; 0 in 2d */
    double price;          /**< of the change, in the scenario's currency; NaN without prices */
    aw_zone_result *zones; /**< each zone then; owned */
    bool breaks;           /**< some zone that met its need does no longer */
    bool harms;            /**< that, or some zone's p95 is lost or rises by more than 15 % */
} aw_remedy;

typedef struct aw_explanation {
    double spot[3];
    size_t tag, used;
    uint32_t draws; /**< of every estimate */
    aw_estimate p95;
    double p50, fix_share, ambiguous_share;
    double vertical_p50, vertical_p95; /**< 3d only */
    aw_bound bound;
    aw_error_law spread;  /**< expected error: direction and shape */
    double along, across; /**< 95 % of errors are within this along and across the ellipse */
    double gap, gap_from, gap_to; /**< widest fan of bearings without a usable anchor */
    aw_sightline *lines;          /**< of every anchor; owned */
    aw_cause causes[AW_CAUSES];
    double p95_without_all;          /**< p95 with every cause gone */
    aw_zone_result *zones;           /**< each zone as planned; owned */
    aw_remedy remedies[AW_REMEDIES]; /**< best first; behind them what is lost with a shift, then
                                        what harms a zone, then what breaks a need */
    size_t n_remedies;
} aw_explanation;

/** Units of work that aw_explain_run() reports to a watch. 0 without memory. */
size_t aw_explain_work(const aw_scenario *scenario);

/** Explains a spot (m) by a tag. False if stopped (no complaint), without memory, or if the spot is
 *  off the floor (errors); aw_explanation_free() it either way. watch may be NULL. */
bool aw_explain_run(aw_explanation *explanation, const aw_scenario *scenario, aw_point at,
                    size_t tag, const aw_run *run);
void aw_explanation_free(aw_explanation *explanation);

/** The scenario with a remedy done. False without memory; aw_varied_free() it either way. */
bool aw_remedy_apply(aw_varied *then, const aw_remedy *remedy, const aw_scenario *scenario);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
