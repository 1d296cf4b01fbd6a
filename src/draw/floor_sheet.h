/* The grid of a sheet that shows the floor: head, plan in its neat line, and blocks of words under
 * it or beside it. All widths are mm on A3 and grow with the type. */
#ifndef AW_DRAW_FLOOR_SHEET_H
#define AW_DRAW_FLOOR_SHEET_H

#include "draw/draft.h"

/* Width of the neat line, from the window outward; what is clear round the floor in the window. */
#define AW_NEAT_WIDTH 4.6
#define AW_PLAN_CLEAR 2.4

/* Type of a paper against that of A3. */
double aw_draft_type(const aw_draft *draft);

/* Whether its pixels are so few that type is far larger than the paper's: a picture, which tells
 * less. */
bool aw_draft_is_picture(const aw_draft *draft);

/* --- blocks.c: each is laid with its upper left corner at a place and a width, and drawn if asked
 * to; they return the place below them. --- */

typedef double (*aw_lay_block)(aw_draft *draft, aw_point at, double width, bool draw);

double aw_lay_zones(aw_draft *draft, aw_point at, double width, bool draw);
double aw_lay_told(aw_draft *draft, aw_point at, double width, bool draw); /* both */
double aw_lay_notes(aw_draft *draft, aw_point at, double width, bool draw);
double aw_lay_anchors(aw_draft *draft, aw_point at, double width, bool draw);
double aw_lay_legend(aw_draft *draft, aw_point at, double width, bool draw);
double aw_lay_picture(aw_draft *draft, aw_point at, double width, bool draw);
double aw_lay_title(aw_draft *draft, aw_point at, double width, bool draw);

/* --- plan_layout.c --- */

/* Largest listed scale at which the floor fits any layout of this paper, upright or turned, over a
 * strip of blocks or beside a column; sets scale, origin, map and where the blocks stand. The
 * words must be there. */
void aw_draft_lay_plan(aw_draft *draft);
void aw_draft_add_blocks(aw_draft *draft);
/* Title, what is shown, and what the numbers say, over the plan. */
void aw_draft_head(aw_draft *draft, const char *subtitle, const char *headline);

/* The scales that are tried for a site's units, ending with 0. */
const unsigned *aw_listed_scales(aw_units units);

/* --- neat_line.c --- */

void aw_draft_neat_line(aw_draft *draft);

#endif
