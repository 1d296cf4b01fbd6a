/** @file spreads.h
 *  Expected horizontal errors of many cells at once, and what they make together: the instant
 *  figures of a zone.
 *
 *  A zone's percentile q is the radius at which the mean over its cells of the share of errors
 *  within it is q; a cell without a position has a share of 0 at every radius. Each cell's error is
 *  the normal law of aw_spread; with heavy tails such percentiles come out 5 to 10 % low at p95
 *  (docs/model.md), so they are first looks, scaled or confirmed by draws before they are printed.
 *
 *  Where links come and go (states.h) a cell is the mean of several laws, one for each state.
 *
 *  Cells are handled side by side in single precision by the same exactly rounded operations
 *  everywhere: shares are good to 1e-5, percentiles to 1e-4 of themselves; less where the bias is
 *  hundreds of half axes.
 */
#ifndef ANCHORWISE_SPREADS_H
#define ANCHORWISE_SPREADS_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/sums.h"

/** Laws of n cells in the axes of their ellipses, m: those of cell i are i x states and on. */
typedef struct aw_spreads {
    size_t n;
    size_t states;         /**< laws of each cell: 1 or AW_LINK_STATES */
    float *along, *across; /**< bias along the major and the minor axis */
    float *major, *minor;  /**< 1-sigma half axes */
    void *memory;
} aw_spreads;

/** Room for n cells of so many states, all without a position. False without memory;
 *  aw_spreads_free() it either way. */
bool aw_spreads_create(aw_spreads *spreads, size_t n, size_t states);
void aw_spreads_free(aw_spreads *spreads);

/** Sets one law: that of cell x states + state. */
void aw_spreads_set(aw_spreads *spreads, size_t law, const aw_expected *expected);

/** Share of a cell's states with a position. */
double aw_spreads_placed(const aw_spreads *spreads, size_t cell);

/** Root of the mean square error of a cell, over its states with a position and divided by their
 *  share, m; infinity for a cell without a position. */
double aw_spreads_rms(const aw_spreads *spreads, size_t cell);

/** Share of errors within a radius (m), over all cells. */
double aw_spreads_share(const aw_spreads *spreads, double radius);

/** Percentile q over all cells, m; infinity if too few cells have a position. `guess` (m) is where
 *  to look first; any value that is not above 0 means no guess. */
double aw_spreads_percentile(const aw_spreads *spreads, double q, double guess);

/** Percentile q of each of the n cells of one state by itself, m; infinity for a cell without a
 *  position. */
void aw_spreads_each(const aw_spreads *spreads, double q, double percentile[]);

/** How many cells have at least a share q of their errors within a radius. */
size_t aw_spreads_within(const aw_spreads *spreads, double radius, double q);

/** The cell with the largest percentile q, the first on a tie, and that percentile; the first cell
 *  with too few positions for it and infinity if there is one; n if there is no cell. */
size_t aw_spreads_worst(const aw_spreads *spreads, double q, double *percentile);

#endif
