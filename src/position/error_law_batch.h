/** @file error_law_batch.h
 *  Expected horizontal errors of many cells at once, and what they make together: the instant
 *  figures of a zone.
 *
 *  A zone's percentile q is the radius at which the mean over its cells of the share of errors
 *  within it is q; a cell without a position has a share of 0 at every radius. Each cell's error is
 *  the normal law of aw_error_law; with heavy tails such percentiles come out 5 to 10 % low at p95
 *  (docs/model.md), so they are first looks, scaled or confirmed by draws before they are printed.
 *
 *  Where links come and go (states.h) a cell is the mean of several laws, one for each state.
 *
 *  Cells are handled side by side in single precision by the same exactly rounded operations
 *  everywhere: shares are good to 1e-5, percentiles to 1e-4 of themselves; less where the bias is
 *  hundreds of half axes.
 */
#ifndef AW_POSITION_ERROR_LAW_BATCH_H
#define AW_POSITION_ERROR_LAW_BATCH_H

#include <stdbool.h>
#include <stddef.h>

#include "position/sums_batch.h"

/** Laws of n cells in the axes of their ellipses, m: those of cell i are i x states and on. */
typedef struct aw_error_laws {
    size_t n;
    size_t states;         /**< laws of each cell: states.h */
    float *along, *across; /**< bias along the major and the minor axis */
    float *major, *minor;  /**< 1-sigma half axes */
    void *memory;
} aw_error_laws;

/** Room for n cells of so many states, all without a position. False without memory;
 *  aw_error_laws_free() it either way. */
bool aw_error_laws_create(aw_error_laws *spreads, size_t n, size_t states);
void aw_error_laws_free(aw_error_laws *spreads);

/** Sets one law: that of cell x states + state. */
void aw_error_laws_set(aw_error_laws *spreads, size_t law, const aw_expected *expected);

/** Sets it as a law that is not open. */
void aw_error_laws_put(aw_error_laws *spreads, size_t law, const aw_law *as);

/** Share of a cell's states with a position. */
double aw_error_laws_placed(const aw_error_laws *spreads, size_t cell);

/** Root of the mean square error of a cell, over its states with a position and divided by their
 *  share, m; infinity for a cell without a position. */
double aw_error_laws_rms(const aw_error_laws *spreads, size_t cell);

/** Share of errors within a radius (m), over all cells. */
double aw_error_laws_share(const aw_error_laws *spreads, double radius);

/** Percentile q over all cells, m; infinity if too few cells have a position. `guess` (m) is where
 *  to look first; any value that is not above 0 means no guess. */
double aw_error_laws_percentile(const aw_error_laws *spreads, double q, double guess);

/** Percentile q of each of the n cells of one state by itself, m; infinity for a cell without a
 *  position. */
void aw_error_laws_each(const aw_error_laws *spreads, double q, double percentile[]);

/** How many cells have at least a share q of their errors within a radius. */
size_t aw_error_laws_within(const aw_error_laws *spreads, double radius, double q);

/** The cell with the largest percentile q, the first on a tie, and that percentile; the first cell
 *  with too few positions for it and infinity if there is one; n if there is no cell. */
size_t aw_error_laws_worst(const aw_error_laws *spreads, double q, double *percentile);

#endif
