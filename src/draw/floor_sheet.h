/* The grid of a sheet that shows the floor: head, plan in its neat line, and blocks of words under
 * it or beside it. All widths are mm on A3 and grow with the type. */
#ifndef AW_DRAW_FLOOR_SHEET_H
#define AW_DRAW_FLOOR_SHEET_H

#include "draw/draft.h"
#include "draw/rows.h"

/* Width of the neat line, from the window outward; what is clear round the floor in the window. */
#define AW_NEAT_WIDTH 4.6
#define AW_PLAN_CLEAR 2.4
/* Title and headline over it. */
#define AW_HEAD_DEPTH 24.4

/* Type of a paper against that of A3. */
double aw_draft_type(const aw_draft *draft);

/* Whether its pixels are so few that type is far larger than the paper's: a picture, which tells
 * less. */
bool aw_draft_is_picture(const aw_draft *draft);

/* --- blocks: aw_lay_block each --- */

double aw_lay_zones(aw_draft *draft, aw_point at, double width, bool draw);
double aw_lay_told(aw_draft *draft, aw_point at, double width, bool draw); /* zones and notes */
double aw_lay_notes(aw_draft *draft, aw_point at, double width, bool draw);
double aw_lay_anchors(aw_draft *draft, aw_point at, double width, bool draw);
double aw_lay_anchors_and_key(aw_draft *draft, aw_point at, double width, bool draw);
double aw_lay_legend(aw_draft *draft, aw_point at, double width, bool draw);
double aw_lay_picture(aw_draft *draft, aw_point at, double width, bool draw);
/* The whole floor with the strips that show it; nothing where there is one window. */
double aw_lay_key_plan(aw_draft *draft, aw_point at, double width, bool draw);
double aw_lay_title(aw_draft *draft, aw_point at, double width, bool draw);

/* The tables of zones and anchors, row by row, and how many anchors may stand beside a plan. */
#define AW_HEADING_ROOM 128
aw_rows aw_zone_rows(const aw_draft *draft);
aw_rows aw_anchor_rows(const aw_draft *draft, char heading[AW_HEADING_ROOM]);
/* The height that most anchors hang at, m; NaN if no two share one. */
double aw_common_height(const aw_scenario *scenario);
size_t aw_anchors_most(const aw_draft *draft, double width);

/* --- more_sheets.c: tables that have no room beside the plan, on sheets behind it --- */

void aw_draft_count_sheets(aw_draft *draft);
void aw_draft_add_sheets(aw_draft *draft);

/* --- plan_layout.c --- */

typedef struct aw_block_of {
    aw_lay_block lay;
    double width; /* mm on A3; of those beside a plan the first one's is the column's */
} aw_block_of;

/* Blocks in a column beside the plan, and in rows under it; both lists end with {0}. */
typedef struct aw_arrangement {
    aw_block_of beside[AW_MOST_BLOCKS], under[AW_MOST_BLOCKS];
} aw_arrangement;

/* Largest listed scale at which the floor fits an arrangement, upright or turned, whole or in
 * strips; on a tie the first. Sets scale, windows and where the blocks stand. The words must be
 * there. */
void aw_draft_lay_plan(aw_draft *draft, const aw_arrangement arrangements[], size_t n);
/* Only blocks, in rows at the foot of the sheet, of a sheet that places its own figures; the list
 * ends with {0}. Returns where they begin. */
double aw_draft_lay_strip(aw_draft *draft, const aw_block_of blocks[]);
void aw_draft_add_blocks(aw_draft *draft);

/* --- window.c --- */

/* What is drawn until it is closed shows in one window only, and texts stand in it. */
void aw_draft_open_window(aw_draft *draft, size_t window);
void aw_draft_close_window(aw_draft *draft);
/* Whether a place of paper lies in the window that is open. */
bool aw_draft_in_window(const aw_draft *draft, aw_point paper);

/* --- head.c --- */

/* Title, what is shown, and what the numbers say, over the plan. */
void aw_draft_head(aw_draft *draft, const char *subtitle, const char *headline);

/* The scales that are tried for a site's units, ending with 0. */
const unsigned *aw_listed_scales(aw_units units);

/* --- neat_line.c --- */

/* Of the window that was open, and the crosses of its graduation on open floor. */
void aw_draft_neat_line(aw_draft *draft);
void aw_draft_crosses(aw_draft *draft);

#endif
