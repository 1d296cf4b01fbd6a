/** @file mismatch.h
 *  What two scenarios of one floor differ in beside their anchors.
 *
 *  A comparison is of everything that differs. What can be compared (aw_same_floor() of compare.h)
 *  may still have other error terms, radios, obstacles, materials, tags, needs, prices or studies;
 *  each is named here with both values, so that no difference is put down to the layout alone.
 *  Left out are what no figure of a comparison depends on (titles, units, candidates, ranges of
 *  assumptions, `spot_length`; sigma, range and budget where both have a radio).
 */
#ifndef ANCHORWISE_MISMATCH_H
#define ANCHORWISE_MISMATCH_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/scenario.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** Bytes of a name that leads, or of what is said of it: a name of 240 and the longest figures. */
#define AW_MISMATCH_ROOM 512

typedef struct aw_mismatch {
    char what[AW_MISMATCH_ROOM];     /**< "ranging: spot_sigma", "need of bogie bay: p95" */
    const char *unit;                /**< of the numbers: "m", "dB", ...; NULL: words instead */
    bool is_error;                   /**< a length that says how far something errs */
    double number[2];                /**< of a and b; NaN: the scenario has none */
    char words[2][AW_MISMATCH_ROOM]; /**< likewise in words, lengths in the units of each */
} aw_mismatch;

/** A zeroed struct is empty. */
typedef struct aw_mismatches {
    aw_mismatch *list; /**< in the order of the scenario reference; owned */
    size_t n, room;
    bool failed; /**< memory ran out */
} aw_mismatches;

/** Fills an empty list for two scenarios that pass aw_same_floor(). False without memory;
 *  aw_mismatches_free() it either way. */
bool aw_mismatches_find(aw_mismatches *mismatches, const aw_scenario *a, const aw_scenario *b);

void aw_mismatches_free(aw_mismatches *mismatches);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
