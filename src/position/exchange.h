/** @file exchange.h
 *  A quick figure of many layouts that differ by one anchor: what a search sweeps over before it
 *  looks closely.
 *
 *  The figure of a cell is q^2 / (1 + q^2), near 0 where the cell is good and near 1 where it is
 *  poor, with
 *
 *      q = flat (C_xx + C_yy) + tall C_zz,   C = J^-1,
 *
 *  J as in bound.h from sums of w, w u and w uu over the anchors; `flat` and `tall`, 1/m^2, make it
 * 1 where the cell just reaches what is asked. That of a layout is the sum over its cells. Single
 *  precision: a cell whose anchors scatter little may come out as anything from 0 to 1.
 *
 *  Cells go AW_EXCHANGE_CELLS side by side: each sum is a plane of so many floats, planes in the
 *  order w, wx, wy, wxx, wxy, wyy and in 3d wz, wxz, wyz, wzz. Same bits at every processor level.
 */
#ifndef AW_POSITION_EXCHANGE_H
#define AW_POSITION_EXCHANGE_H

#include <stddef.h>

#include "anchorwise/scenario.h"

#define AW_EXCHANGE_CELLS 64

/** Planes of a block of cells: 6 or 10. */
size_t aw_exchange_planes(aw_fix_kind dims);

/** What a block of cells is asked: a plane of each, 1/m^2. */
typedef struct aw_exchange_need {
    const float *flat, *tall;
} aw_exchange_need;

/** Figures of n layouts over one block of cells: layout k has the sums `left` + more[k]. Arrays
 * hold planes of AW_EXCHANGE_CELLS floats, more[] n blocks of them one behind the other. A cell of
 *  padding has flat = tall = 0 and counts 0. Allocates nothing. */
void aw_exchange_score(aw_fix_kind dims, const float left[], const float more[], size_t n,
                       const aw_exchange_need *need, float score[]);

#endif
