/* One look at a layout. */
#ifndef AW_PLACE_LOOK_DRAW_H
#define AW_PLACE_LOOK_DRAW_H

#include "place/looks.h"

/* Draws all zones into an opened look by that seed; if sturdy with so many losses of each, the
 * worst by linear estimates; by few draws without odds if `few`. False if stopped or in trouble (an
 * error). */
bool aw_look_draw(aw_look *look, aw_looks *looks, const aw_looked *layout, uint64_t seed,
                  size_t losses, bool few);

/* That memory is wanting; false. */
bool aw_looks_complain(const aw_looks *looks);

#endif
