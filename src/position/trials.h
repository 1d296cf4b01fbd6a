/** @file trials.h
 *  Monte Carlo at one spot: every draw makes all arrivals afresh and solves the fix.
 *
 *  Each draw is one tag at rest at one spot of one installation. Random numbers are counter-based
 *  (Philox4x32-10) and named by (seed, cell, draw, anchor key, term), so a result depends neither
 * on the order of the work nor on threads nor on the processor's vector width, and two layouts use
 * the same numbers for anchors of the same name.
 *
 *  Terms: 0 white and spot error, one normal of the summed variance; 1 tail coin; 2, 3, 4 survey
 *  error along x, y, z; 5 delay; 6 tag height (anchor 0); 7 side (anchor 0): the bit that chooses
 *  between roots; 8 fade; 9 what is scattered; 10 subsets of a robust fix (their number in place of
 * the anchor's key). Terms 2 to 5 belong to the installation and use cell 0xFFFFFFFF. Fresh runs
 * (aw_trials_case.fresh) add 16 times their number to terms 0, 1 and 6 to 10. Term 32 draws
 * assumptions (sensitivity.h), by cell 0xFFFFFFFF and the assumption's number in place of the
 * anchor's key.
 *  Term 33 draws corners of regions (freedom.h), by cells from 0xFFFFFFFE downwards, and by key 0 a
 *  draw's seed.
 */
#ifndef AW_POSITION_TRIALS_H
#define AW_POSITION_TRIALS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "anchorwise/bound.h"
#include "anchorwise/link.h"
#include "position/fix.h"

/** Workspace for the draws of one spot; one for each thread. */
typedef struct aw_trials aw_trials;

/** Room for so many links and draws. `level` is the processor level to use ("base", "v3", "v4"),
 * NULL for the best. NULL without memory or if the level is not to be had. */
aw_trials *aw_trials_create(size_t most_links, size_t most_draws, const char *level);
void aw_trials_free(aw_trials *trials);

/** Draws are made by so many at a time. */
#define AW_DRAWN_TOGETHER 64

/** What is drawn. */
typedef struct aw_trials_case {
    const aw_link *links; /**< from the spot; those without outcomes are skipped */
    size_t n_links;
    const aw_bound *bound; /**< of the same links */
    double height_sigma;   /**< of true minus assumed tag height, m; 2d only */
    double spot[3];        /**< m */
    aw_site site;
    aw_solver solver;
    uint64_t seed;
    uint32_t cell;       /**< names the cell's numbers */
    uint32_t first_draw; /**< the run is of draws first_draw ... first_draw + n_draws - 1 */
    uint32_t n_draws;
    uint32_t draws_per_installation; /**< 1 normally: draw d is of group d / this */
    const uint32_t
        *installations; /**< [group]: which one, rising, at most AW_BLOCK of them, and
                             as for AW_DRAWN_TOGETHER draws more; NULL: the group's number */
    unsigned fresh; /**< names other numbers for what is not of the installation, 1 to 7; 0: those
                         of the map */
} aw_trials_case;

typedef enum aw_draw_status { AW_DRAW_FIXED, AW_DRAW_AMBIGUOUS, AW_DRAW_FAILED } aw_draw_status;

/** The draws of the last run, in order; lengths in m. Failed draws have infinite radii and errors
 * of NaN. z and rise are 0 in 2d. */
typedef struct aw_draws {
    size_t n, n_failed, n_ambiguous;
    const float *x, *y, *z; /**< error of the fix */
    const float *radius;    /**< horizontal error */
    const float *rise;      /**< vertical error, absolute */
    const float *linear;    /**< |linearised error|, of few draws whose links are fixed and
                                 where no other root can exist; or NULL */
    const uint8_t *status;  /**< aw_draw_status */
} aw_draws;

/** Runs the case, of at most most_links usable links and most_draws draws. The arrays stay valid
 * until the next run. Allocates nothing, never fails. */
aw_draws aw_trials_run(aw_trials *trials, const aw_trials_case *c);

/** Root mean square of the last run's horizontal errors, over fixes that did not fail; NaN if all
 * failed. */
double aw_trials_rms(const aw_trials *trials);

/** Percentile q of the last run's horizontal (or vertical) errors by nearest rank: the smallest
 * error with at least q n at or below it, failed draws counting as infinite. NaN if that is a
 * failed one. */
double aw_trials_percentile(const aw_trials *trials, double q, bool vertical);

/** 95 % simulation interval of the same percentile from order statistics: low[0], high[1]; NaN
 * where an end lies beyond the draws or among failed ones. */
void aw_trials_interval(const aw_trials *trials, double q, bool vertical, double ends[2]);

/** A number between 0 and 1, neither included, named like those of the draws. */
double aw_uniform(uint64_t seed, uint32_t cell, uint32_t anchor, uint32_t term, uint32_t draw);

/** Ranks (from 1) of the order statistics of n draws that enclose percentile q in (0, 1): ranks[0]
 * is the largest that lies above it with at most 2.5 % chance, 0 if none does, ranks[1] the
 * smallest that lies at or below it likewise, n + 1 if none does; the number of draws below it is
 * binomial. */
void aw_rank_interval(size_t n, double q, size_t ranks[2]);

/** Smallest of n floats with at least `rank` (from 1) values at or below it, by counting passes of
 * the kernel; n is padded with infinity to a multiple of 16. NaN if it is infinite. */
double aw_rank_value(const float values[], size_t n, size_t rank);

#endif
