/** @file states.h
 *  Links that come and go, held still: a fixed set of states of the fades for figures that cannot
 *  wait for draws.
 *
 *  A link whose weight is replaced by its expectation looks better than it is: half a link in every
 *  draw is not a link in half of them. So linear estimates are means over states of each cell, in
 *  each of which every link either times one known path or is lost. What is scattered needs more of
 *  them: p95 of one cell is then apart by 7 to 21 % between seeds with 32, by 4 to 7 % with 128.
 */
#ifndef AW_POSITION_STATES_H
#define AW_POSITION_STATES_H

#include "anchorwise/bound.h"

#define AW_MOST_STATES 128

/** One state of a link. */
typedef struct aw_link_state_draw {
    double fade;      /**< of a standard normal law */
    double scattered; /**< share that names how late what is scattered is, scatter.h */
} aw_link_state_draw;

/** States of the links of a scenario: 1 where links do not come and go, 32 with a radio, and with
 *  what it scatters AW_MOST_STATES. */
size_t aw_states_of(const aw_scenario *scenario);

/** A link in each of n states: fades and shares, one from each of n equally likely ranges, in
 * orders and with places inside that seed, cell and the anchor's key name. So every layout meets
 * the same states. */
void aw_states_draw(uint64_t seed, uint32_t cell, uint32_t key, size_t n,
                    aw_link_state_draw draws[]);

/** Whether fades of up to 5 sigmas change what the link times, or whether it is lost, or whether
 *  it may time what is scattered. */
bool aw_link_varies(const aw_link *link);

/** The link in a state: the one outcome that it then has, or none. */
aw_link aw_link_in_state(const aw_link *link, const aw_link_state_draw *draw);

/** Excess of the path that it times in a state, m; NaN where it is lost. */
double aw_link_excess_in_state(const aw_link *link, const aw_link_state_draw *draw);

/** Mean length of the bias of the fix over the states with a position, m; NaN if none has one: of n
 *  links that come and go, in n_states states. Allocates nothing, never fails. */
double aw_states_bias(const aw_link links[], size_t n, size_t n_states, aw_fix_kind dims,
                      uint64_t seed, uint32_t cell);

#endif
