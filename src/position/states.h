/** @file states.h
 *  Links that come and go, held still: a fixed set of states of the fades for figures that cannot
 *  wait for draws.
 *
 *  A link whose weight is replaced by its expectation looks better than it is: half a link in every
 *  draw is not a link in half of them. So linear estimates are means over AW_LINK_STATES states of
 *  each cell, in each of which every link either times one known path or is lost.
 */
#ifndef AW_POSITION_STATES_H
#define AW_POSITION_STATES_H

#include "anchorwise/bound.h"

#define AW_LINK_STATES 32

/** Standard normal fades of a link in each state: one from each of AW_LINK_STATES equally likely
 *  ranges, in an order and with places inside that seed, cell and the anchor's key name. So every
 *  layout meets the same fades. */
void aw_state_fades(uint64_t seed, uint32_t cell, uint32_t key, double fades[AW_LINK_STATES]);

/** Whether fades of up to 5 sigmas change what the link times, or whether it is lost. */
bool aw_link_varies(const aw_link *link);

/** The link at a fade of so many sigmas: the one outcome that it then has, or none. */
aw_link aw_link_at_fade(const aw_link *link, double sigmas);

/** Mean length of the bias of the fix over the states with a position, m; NaN if none has one: of n
 *  links that come and go, with the fades of aw_state_fades(). Allocates nothing, never fails. */
double aw_states_bias(const aw_link links[], size_t n, aw_fix_kind dims, uint64_t seed,
                      uint32_t cell);

#endif
