/** @file robust.h
 *  A fix that survives late arrivals: what follows the plain one where the solver is robust.
 *
 *  With r_i what the fix leaves of arrival i and s_i = 1/sqrt(weight_i) what the solver believes of
 *  it, t_i = r_i / s_i. Nothing arrives early, so only late arrivals, t > 0, are doubted:
 *
 *  1. the plain fix (fix.h); where there is none, the anchors' centroid, on the floor;
 *  2. Huber, one-sided: six times a new factor of every weight, 1 up to t = 1.345 and 1.345 / t
 *     beyond, and one step of Gauss-Newton;
 *  3. Tukey, one-sided: six more, 1 up to t = 0, (1 - (t / 4.685)^2)^2 beyond, at least 1e-3;
 *  4. consensus, where the outcome is suspicious and more than one arrival is left over: from it
 *     the fix of as few arrivals as do, then three steps with all of t < 3, of every such subset up
 *     to 60 and of 60 drawn ones beyond; of those in the site's surroundings the one with the least
 *     score, sum t^2 of early and min(t^2, 9) of late ones, if that is less, of equal ones the
 *     nearest to the outcome, and six steps of 3.
 *
 *  Suspicious is an outcome with some t < -3.5 (further, by as much as an error of a tail is larger
 *  than what is believed, where errors have tails), or with |t| < 3 in fewer than 0.6 n of n
 * arrivals or in fewer than are needed to have one left over. A step longer than a quarter of the
 * site's diagonal is cut to that, and none is taken where the scatter of the lines of sight is
 * singular. The plain fix stands, or there is none, where no arrival is left over, where the
 * outcome has left the site's surroundings, and where by the score it is worse than the plain one
 * by more than AW_AS_GOOD, which chance does not do; where there was no plain fix, if it still
 * moves.
 *
 *  Sources: Huber, Ann. Math. Stat. 35:73-101, 1964; Beaton and Tukey, Technometrics 16:147-185,
 *  1974; Fischler and Bolles, CACM 24:381-395, 1981; the truncated score: Torr and Zisserman, CVIU
 *  78:138-156, 2000. One-sided, and in this order: own measurements.
 */
#ifndef AW_POSITION_ROBUST_H
#define AW_POSITION_ROBUST_H

#include <stdint.h>

#include "position/fix.h"

#define AW_HUBER      1.345
#define AW_TUKEY      4.685
#define AW_LEAST      1e-3 /* factor of a weight */
#define AW_REWEIGHTED 6    /* times */
#define AW_EARLY      (-3.5)
#define AW_WITHIN     3.0
#define AW_SHARE      0.6
#define AW_SUBSETS    60
/** A step is at most this share of the site's diagonal. */
#define AW_LONGEST 0.25

/** Names the random numbers of a draw's subsets; see trials.h. */
typedef struct aw_draw_name {
    uint64_t seed;
    uint32_t cell, draw, term;
} aw_draw_name;

typedef struct aw_robust {
    aw_fix fix;    /**< residual: its score */
    bool tried;    /**< by consensus */
    bool doubtful; /**< suspicious to the end */
} aw_robust;

/** From the plain fix of a problem, found or not. Allocates nothing, never fails. Cost: three times
 *  that of a plain fix; by consensus sixty times. */
aw_robust aw_robust_find(const aw_fix_problem *problem, const aw_fix *plain,
                         const aw_draw_name *name);

/** Number `index` of the subsets of m of n in the order of their least members, m at most 4; and
 * how many there are. */
uint64_t aw_subsets(size_t n, size_t m);
void aw_subset_at(uint64_t index, size_t n, size_t m, size_t members[4]);

#endif
