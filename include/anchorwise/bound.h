/** @file bound.h
 *  What the geometry of a spot allows, before any simulation: DOP, the bound, what this solver
 *  reaches, the bias it carries and how it follows a wrong tag height.
 *
 *  Model. Links as in link.h; unknowns x, y (height known) or x, y, z, and the common offset. With
 *  weights w_i, W = sum w_i and m = sum w_i u_i / W, eliminating the offset leaves the information
 *
 *      J_w = sum w_i (u_i - m)(u_i - m)^T,
 *
 *  the weighted scatter of the lines of sight. Weighted least squares on time differences with
 * their full covariance has the same J, whichever anchor is the reference.
 *
 *  - DOP: w = 1. HDOP^2 = Jxx^-1 + Jyy^-1, VDOP^2 = Jzz^-1, TDOP^2 = 1/n + m^T J^-1 m,
 *    PDOP^2 = HDOP^2 + VDOP^2, GDOP^2 = position part + TDOP^2.
 *  - Bound C = J^-1 with w = 1/sigma^2, sigma^2 the true variance: the Cramer-Rao bound for
 * Gaussian errors; with tails, the best a linear estimator can do. A true sigma under 1e-5 of the
 * believed one counts as that, so that a link without error bounds the position and does not hide
 * it.
 *  - C_fix = J_o^-1 [sum o^2 sigma^2 (u - m)(u - m)^T] J_o^-1 with the believed weights o, m with
 * o: what the solver here reaches to first order. Equal to C where o = 1/sigma^2.
 *  - bias = J_o^-1 sum o (u - m) b; height gain k = J_o^-1 sum o (u - m)_xy u_z: a true height dz
 *    above the assumed one moves a 2d fix by k dz.
 *
 *  Sources: Torrieri, IEEE T-AES 20(2):183-198, 1984 (bound); Langley, GPS World 10(5):52-59, 1999
 *  (DOP). docs/model.md has the derivation.
 */
#ifndef ANCHORWISE_BOUND_H
#define ANCHORWISE_BOUND_H

#include <stddef.h>

#include "anchorwise/link.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** An outcome, not an error: a corner with two anchors is a valid question. */
typedef enum aw_bound_status {
    AW_BOUND_OK,
    AW_BOUND_TOO_FEW, /**< fewer usable links than unknowns, the offset included */
    AW_BOUND_SINGULAR /**< one direction cannot be observed: condition of J above 1e12 */
} aw_bound_status;

/** Lengths in m. Matrices are symmetric and full; in 2d their third row and column are 0. Every
 *  double is NaN unless status is AW_BOUND_OK, and what exists only in 3d (vdop, pdop) is NaN in
 * 2d; height_gain is NaN in 3d. */
typedef struct aw_bound {
    aw_bound_status status;
    size_t used; /**< usable links; always valid */
    int dims;    /**< 2 or 3; always valid */
    double hdop, vdop, pdop, tdop, gdop;
    double bound[3][3]; /**< C, m^2 */
    double fix[3][3];   /**< C_fix, m^2 */
    double drms;        /**< sqrt(Cxx + Cyy) of the bound */
    double bias[3];
    double height_gain[2]; /**< m per m */
} aw_bound;

/** Bound at one spot from n links (0 is allowed); links without outcomes are skipped. Allocates
 *  nothing, never fails. Cost: three passes over the links. */
aw_bound aw_bound_at(const aw_link links[], size_t n, aw_fix_kind dims);

/** The weight that the bound gives a link, 1/variance in 1/m^2; 0 for a link without outcomes. */
double aw_bound_weight(const aw_link *link);

/** The same for what comes and goes: its chance of being received times the mean of 1/variance over
 *  the fades at which it is. Both follow from the link's law: received is a frame up to lost_db of
 * a normal fade, and the errors of a link do not change with its fade, so the second factor is
 *  aw_bound_weight(). */
double aw_bound_expected_weight(const aw_link *link);

/** Horizontal DRMS (m) of the bound over fades: the position block of the inverse of
 *
 *      sum P(received) E[1/sigma^2 | received] [u; 1][u; 1]^T,
 *
 *  NaN where that has none (statuses of aw_bound_at()). The information of one draw is such a sum
 *  over the links that it received; the inverse is convex, so by Jensen's inequality the mean of
 * the bound over draws is not below it, nor, for Gaussian errors, the mean square of any estimator
 * that is right on average (with tails: of any linear one). One more anchor adds a positive matrix
 * and never raises it. No random numbers: names and seed play no part. For links that are always
 *  received it is drms of aw_bound_at(). */
double aw_bound_drms(const aw_link links[], size_t n, aw_fix_kind dims);

/** Largest condition number of J for which a position exists. */
#define AW_CONDITION_LIMIT 1e12

/** An expected horizontal error: a normal law with a mean. */
typedef struct aw_error_law {
    double bias[2];      /**< m */
    double xx, xy, yy;   /**< covariance, m^2 */
    double major, minor; /**< 1-sigma half axes, m, major >= minor */
    double azimuth;      /**< of the major axis, radians from +x towards +y, in (-pi/2, pi/2] */
} aw_error_law;

/** The expected horizontal error N(bias, C_fix + height_sigma^2 k k^T); all NaN if there is no
 *  position. In 3d height_sigma plays no part. */
aw_error_law aw_bound_error_law(const aw_bound *bound, double height_sigma);

/** A spread from a bias and a covariance. */
aw_error_law aw_error_law_of(double bias_x, double bias_y, double xx, double xy, double yy);

/** Share of errors at most `radius` long, by quadrature (64-point Gauss-Legendre along the minor
 *  axis); without scatter 1 from the length of the bias on. NaN for a spread of NaN. */
double aw_error_law_share(const aw_error_law *spread, double radius);

/** The radius within which a share q in (0, 1) of the errors falls, to about 1e-9 of itself;
 * without scatter the length of the bias. */
double aw_error_law_percentile(const aw_error_law *spread, double q);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
