/** @file influence.h
 *  The expected error of the robust fix (robust.h) to first order, without draws.
 *
 *  Links as in link.h, each of its one excess b_i (aw_link_bias()); s_i what the solver believes,
 *  sigma_i the true error, psi(t) = t times the factor of a weight, g_i = (u_i, 1). The fix solves
 *  sum g psi(t) / s = 0. Its mean, with the offset, is the root theta of the same equation of
 * means,
 *
 *      sum g E psi((b - g^T theta + n) / s) / s = 0,   n ~ N(0, sigma^2), or the mixture of a tail;
 *
 *  with H = sum g g^T E psi' / s^2 and V = sum g g^T var psi / s^2 its covariance is H^-1 V H^-1
 *  (Hampel, Ronchetti, Rousseeuw, Stahel, Robust Statistics, 1986). Means are sums over 16 points
 * of Gauss and Hermite, those of psi' by Stein's identity, E psi' = E psi(mu + tau x) x / tau. The
 * root by Tukey's factors is looked for from that by Huber's, as the fix does. Consensus has no
 * such formula: where it decides, draws alone tell.
 */
#ifndef AW_POSITION_INFLUENCE_H
#define AW_POSITION_INFLUENCE_H

#include "position/states.h"

/** Expected horizontal error of the robust fix at one spot, that of a wrong height included (in
 * 2d); NaN without a position, or where the equation of means leads to none. Allocates nothing,
 * never fails. Cost: some microseconds a link. */
aw_error_law aw_robust_error_law(const aw_link links[], size_t n, aw_fix_kind dims,
                                 double height_sigma);

/** aw_states_bias() of the robust fix; states without a law count as the plain fix has it. */
double aw_robust_states_bias(const aw_link links[], size_t n, size_t n_states, aw_fix_kind dims,
                             uint64_t seed, uint32_t cell);

#endif
