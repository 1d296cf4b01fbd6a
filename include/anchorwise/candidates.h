/** @file candidates.h
 *  Places that could carry an anchor: of the scenario's `candidates`, or where it has none every
 *  mountable place (explain.h) and the places of its own anchors.
 *
 *  Left out are places in a forbidden area or inside something solid, higher than every mount of
 *  the prices reaches, and those within 1 cm of an earlier one. A place where an anchor of the
 *  scenario hangs keeps that anchor's name and key, so that its random numbers stay. */
#ifndef ANCHORWISE_CANDIDATES_H
#define ANCHORWISE_CANDIDATES_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/error.h"
#include "anchorwise/scenario.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

typedef struct aw_candidate {
    char name[64]; /**< of an anchor there; no two have the same */
    double at[3];  /**< m */
    double price;  /**< of an anchor there (cost.h); 1 without prices */
    uint32_t key;  /**< of its random numbers */
    size_t anchor; /**< of the scenario, that hangs there; n_anchors if none does */
    bool kept;     /**< that anchor is to stay */
} aw_candidate;

typedef struct aw_candidates {
    aw_candidate *list; /**< kept ones first; owned */
    size_t n, n_kept;
    size_t n_forbidden, n_filled, n_out_of_reach; /**< left out, and why */
    bool stated;                                  /**< by the scenario, and not merely mountable */
} aw_candidates;

/** Most of them. */
#define AW_MOST_CANDIDATES 2000

/** Whether the scenario says where anchors may be placed. */
bool aw_has_candidates(const aw_scenario *scenario);

/** Whether a place (m) lies in a forbidden area of the scenario's `candidates`. */
bool aw_is_forbidden(const aw_scenario *scenario, const double at[3]);

/** Lists them. `keep[i]` says that anchor i of the scenario is to stay, wherever it hangs; NULL:
 *  none is. False, with an error, if there are too many or without memory. aw_candidates_free() it
 *  either way. */
bool aw_candidates_list(aw_candidates *candidates, const aw_scenario *scenario, const bool keep[],
                        aw_errors *errors);
/** Adds a warning, at its place, of every point and line of the scenario's `candidates` that has
 *  places inside an obstacle or a wall: how many, the first, and inside what. False, with an error,
 *  without memory. */
bool aw_candidates_warn(const aw_scenario *scenario, aw_errors *errors);

void aw_candidates_free(aw_candidates *candidates);

/** Places where an anchor may be mounted though the scenario states none: along outline and walls
 * at the heights in use; at least 1 m from every anchor, with whom it would share its reflections.
 *  Returns how many there are; writes at most `room`. */
size_t aw_mountable(const aw_scenario *scenario, double (*places)[3], size_t room);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
