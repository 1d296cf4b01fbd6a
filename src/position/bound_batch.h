/** @file bound_batch.h
 *  The bound of many cells in one pass, sight being known: what a whole map costs when an anchor is
 *  dragged.
 *
 *  The horizontal DRMS of bound.h for a 2d fix, cells side by side in single precision by the same
 *  exactly rounded operations everywhere, good to 1e-4 of itself. A cell in which single precision
 *  may not reach that, or in which there is no position, is left open: aw_bound_at() decides.
 */
#ifndef AW_POSITION_BOUND_BATCH_H
#define AW_POSITION_BOUND_BATCH_H

#include "anchorwise/bound.h"

/** Cells are taken in groups of so many: arrays of cells have room for a multiple, and hold finite
 *  numbers there. */
#define AW_BOUNDS_GROUP 64
/** Most anchors of one case. */
#define AW_BOUNDS_ANCHORS 1024

typedef struct aw_bound_batch {
    size_t n_anchors, n_cells;
    const float *anchor_x, *anchor_y, *rise; /**< m; rise: of the anchor over the tag */
    const float *x, *y;  /**< of the cells, m; best from somewhere near, since a float ends after
                              seven digits */
    const float *weight; /**< weight[anchor * stride + cell]: of the link, by
                              aw_bound_weight() or aw_bound_expected_weight() */
    size_t stride;       /**< a multiple of AW_BOUNDS_GROUP */
} aw_bound_batch;

/** Fills drms[] (m) for n_cells; -1 in a cell that is left open. Allocates nothing, never fails.
 *  Cost: a square root and a division for each anchor and cell. */
void aw_bound_batch_run(const aw_bound_batch *cells, float drms[]);

#endif
