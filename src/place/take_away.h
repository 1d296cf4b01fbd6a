/* A smaller layout from one that will do, by taking anchors away while draws agree. */
#ifndef AW_PLACE_TAKE_AWAY_H
#define AW_PLACE_TAKE_AWAY_H

#include "place/looks.h"

/* Chunks of half of the anchors that are not kept, then half of that, down to single ones as long
 * as any goes: those that miss least by linear estimates first. What is left must meet every need
 * with a margin by one look; or, if `most_ratio` is not NaN, have no worse ratio than that. NULL if
 * stopped or in trouble; at least `from` itself else. */
aw_looked *aw_take_away(aw_looks *looks, aw_looked *from, double most_ratio);

#endif
