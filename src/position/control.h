/** @file control.h
 *  Few draws made as good as many: the linearised error as control variate.
 *
 *  To first order a fix errs by l = sum g_i e_i + k h, with e_i the error of arrival i, g_i =
 *  J^-1 w_i (u_i - m) and h the wrong height: a sum whose mean and covariance are those of bound.h
 *  exactly. Where frames are not lost by chance the draws follow |l| beside the error |e|, and a
 *  figure of |e| is corrected by what the same figure of |l| misses its known value by:
 *
 *      E|e|^2 ~ mean |e|^2 - mean |l|^2 + known,      p_q ~ |e|_q - |l|_q + known.
 *
 *  The known mean square holds for any law of the errors, the known percentile for normal ones
 *  only. Figures are corrected only where the draws show that it pays: where |e|^2 - |l|^2 scatters
 *  less than |e|^2, or fewer draws lie on different sides of the two percentiles than plain draws
 *  scatter by. l knows one root: where another can exist that no draw met (as many time differences
 *  as coordinates, anchors nearly in a line, a poor matrix; see fix.h) draws do not follow it, and
 *  with a failed or an ambiguous draw nothing is corrected. (Control variates: Glasserman, Monte
 * Carlo Methods in Financial Engineering, 2003, section 4.1; from memory.)
 */
#ifndef AW_POSITION_CONTROL_H
#define AW_POSITION_CONTROL_H

#include "anchorwise/link.h"
#include "position/sums.h"
#include "position/trials.h"

/** Runs of up to so many draws follow the linearised error. */
#define AW_FEW_DRAWS 256

/** Root mean square of the horizontal errors, corrected where that pays; `plain`, which is that of
 *  the draws, elsewhere. `law` is the expected error of the case that was run. */
double aw_control_rms(const aw_draws *draws, double plain, const aw_expected *law);

/** Whether percentiles of these links' errors can be corrected: no link fades or has tails. */
bool aw_control_is_normal(const aw_link links[], size_t n);

/** |e|_q - |l|_q, m, to be added to percentile q of the law of l; NaN where the draws do not follow
 *  l, one of them failed or was ambiguous, or it does not pay. */
double aw_control_shift(const aw_draws *draws, double q);

/** Standard error of that shift, m, by resampling the draws; the same for the same draws. */
double aw_control_error(const aw_draws *draws, double q);

#endif
