/* How far the error of each arrival moves the fix, to first order. */
#ifndef AW_POSITION_GAINS_H
#define AW_POSITION_GAINS_H

#include "anchorwise/bound.h"

/* gain[axis][i] = row `axis` of J^-1 w_i (u_i - m) for the n links, weights as believed, in x and
 * y. The links have a position. */
void aw_gains_at(const aw_link *const link[], const double weight[], size_t n, int dims,
                 float *const gain[2]);

#endif
