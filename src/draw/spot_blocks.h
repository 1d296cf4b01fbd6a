/* The blocks of a spot sheet, each an aw_lay_block of an aw_beside. */
#ifndef AW_DRAW_SPOT_BLOCKS_H
#define AW_DRAW_SPOT_BLOCKS_H

#include "draw/draft.h"

/* What p95 would be without each of its causes, against today's and the need. */
double aw_lay_causes(aw_draft *draft, aw_point at, double width, bool draw);
/* p95 of every zone before and after the remedy, and its price. */
double aw_lay_effects(aw_draft *draft, aw_point at, double width, bool draw);
/* The floor, small, with the window and the spot. */
double aw_lay_where(aw_draft *draft, aw_point at, double width, bool draw);
double aw_lay_marks_and_notes(aw_draft *draft, aw_point at, double width, bool draw);

#endif
