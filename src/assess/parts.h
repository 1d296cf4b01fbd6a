/** @file
 *  The parts of a need: their estimates from 32 groups of draws, and their verdicts. */
#ifndef AW_ASSESS_PARTS_H
#define AW_ASSESS_PARTS_H

#include <stdint.h>

#include "anchorwise/assess.h"
#include "position/tally.h"

/* Groups of draws that an interval resamples, and the draws from which on it is given. */
#define AW_GROUPS       32
#define AW_FEWEST_DRAWS (2 * AW_GROUPS)

/* A zone that is drawn up to a precision is looked at after so many draws, and then after twice as
 * many as before, so often at most. */
#define AW_FIRST_LOOK 128
#define AW_LOOKS      8

/* The level of intervals: 95 %, and where the draws are looked at several times so high that all
 * looks together err in 5 %. */
double aw_interval_level(const aw_study *study);

/* Percentile q of a tally of AW_GROUPS groups. An end of its interval is infinite among failed
 * draws, the upper one also beyond all draws. */
aw_estimate aw_estimate_percentile(const aw_tally *tally, double q, uint32_t draws, double level);

/* Share of `part` in `whole`, both counted for each of AW_GROUPS groups, with Wilson's interval of
 * as many trials as the scatter of the groups amounts to. Where they do not differ these are all
 * draws of all cells or, if those of one number are `shared` (one installation), one cell's. */
aw_estimate aw_estimate_share(const uint64_t part[], const uint64_t whole[], uint32_t draws,
                              bool shared, double level);

/* Share of n cells that meet a p95 need, of whose draws within[i] are within it. A cell surely
 * meets it (or surely fails) where so many (so few) draws within have a chance of at most 2.5 % if
 * its p95 is just the need. The ends count the sure cells, less as many as chance alone may put
 * there. */
aw_estimate aw_estimate_cells(double value, const uint32_t within[], size_t n, uint32_t draws,
                              double level);

/* A part that is not asked, found or not. */
aw_part_result aw_part_not_asked(aw_estimate found);

/* The verdict of a part by its interval. */
aw_part_result aw_part_judge(aw_part part, double asked, aw_estimate found);

/* Fails if either does, else undecided if either is. */
aw_verdict aw_verdict_join(aw_verdict a, aw_verdict b);

/* Draws that would settle every undecided part; NaN if that takes more than can be asked for or if
 * draws would not settle one. The interval shrinks with the root of the draws. */
double aw_parts_draws_to_settle(const aw_part_result parts[AW_PARTS], uint32_t draws);

#endif
