/** @file sums.h
 *  The expected error of a spot from running sums over its links, so that one anchor more or less
 *  costs a few additions and not a pass over all.
 *
 *  With believed weights o = 1/believed^2 and true variances s^2 the sums are those of o, o u, o
 * uu, o^2 s^2, o^2 s^2 u, o^2 s^2 uu, o b and o b u; from them follow J_o, C_fix, bias and height
 * gain of bound.h by expanding (u - m). Adding and removing a link is a rank-one update of each.
 *
 *  Rounding. Every update leaves an error of about 2^-53 of the largest sum there ever was, and
 * these add up like steps of a random walk; where the anchors that are left scatter little, J is a
 * small difference of such sums. Below AW_SUMS_SOUND that error is under 1e-10 of the result; above
 * it aw_sums_expect() says so and the caller passes over the links again (aw_bound_at()).
 */
#ifndef AW_POSITION_SUMS_H
#define AW_POSITION_SUMS_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/bound.h"

/** A zeroed struct is the sum over no links. */
typedef struct aw_sums {
    double w, wu[3], wuu[6]; /**< uu: xx, xy, yy, xz, yz, zz */
    double v, vu[3], vuu[6]; /**< of o^2 s^2 */
    double b, bu[3];         /**< of o b */
    size_t used;             /**< usable links now in the sums */
    double most;             /**< largest w there ever was */
    double updates;          /**< links added and removed */
} aw_sums;

/** What a link adds to the sums, whatever it times; without outcomes nothing. */
typedef struct aw_sums_part {
    bool usable;
    double w, v, u[3];
} aw_sums_part;

aw_sums_part aw_sums_part_of(const aw_link *link);
/** Adds it with so much excess, m. */
void aw_sums_add_part(aw_sums *sums, const aw_sums_part *part, double excess);

/** Adds a link, or removes one that was added before. A link without outcomes changes nothing. */
void aw_sums_add(aw_sums *sums, const aw_link *link);
void aw_sums_remove(aw_sums *sums, const aw_link *link);

/** Relative rounding error of the expected error up to which the sums are sound. */
#define AW_SUMS_SOUND 1e-10

/** The expected error of a fix. Everything is NaN unless status is AW_BOUND_OK. */
typedef struct aw_expected {
    aw_bound_status status;
    bool is_accurate; /**< false: rounding may exceed AW_SUMS_SOUND, so pass over the links again */
    double bias[3];
    double xx, xy, yy, zz; /**< covariance C_fix + height_sigma^2 k k^T, m^2; zz in 3d only */
} aw_expected;

/** Expected error from the sums; a condition of J above AW_CONDITION_LIMIT is singular. */
aw_expected aw_sums_expect(const aw_sums *sums, aw_fix_kind dims, double height_sigma);

/** The same from a bound. */
aw_expected aw_bound_expect(const aw_bound *bound, double height_sigma);

#endif
