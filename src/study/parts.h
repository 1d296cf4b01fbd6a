/* The parts of a need: their estimates from 32 groups of draws, and their verdicts. */
#ifndef AW_STUDY_PARTS_H
#define AW_STUDY_PARTS_H

#include <stdint.h>

#include "anchorwise/assess.h"
#include "anchorwise/tally.h"

/* Groups of draws that an interval resamples, and the draws from which on it is given. */
#define AW_GROUPS       32
#define AW_FEWEST_DRAWS (2 * AW_GROUPS)

/* Percentile q of a tally of AW_GROUPS groups. Both ends are infinite where the percentile falls
 * among failed draws whichever group is left out, NaN where that depends on the group. */
aw_estimate aw_estimate_percentile(const aw_tally *tally, double q, uint32_t draws);

/* Share of `part` in `whole`, both counted for each of AW_GROUPS groups. */
aw_estimate aw_estimate_share(const uint64_t part[], const uint64_t whole[], uint32_t draws);

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
