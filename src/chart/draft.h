/* A chart while it is laid out: the sheet, the field, the scale, and which places texts have taken.
 */
#ifndef AW_CHART_DRAFT_H
#define AW_CHART_DRAFT_H

#include "anchorwise/chart.h"
#include "chart/field.h"

typedef struct aw_box {
    aw_point low, high; /* mm */
} aw_box;

typedef struct aw_draft {
    aw_sheet *sheet;
    const aw_scenario *scenario;
    const aw_chart_options *options;
    aw_field field;  /* of the layer; the chart's */
    aw_field filled; /* the same without gaps; the chart's */
    double mm;       /* millimetres of paper for a metre */
    unsigned scale;  /* 1 : scale */
    aw_point origin; /* paper place of the outline's low.x, high.y */
    aw_box map;      /* where the floor may be drawn */
    aw_box strip;    /* where title, legend and notes stand */
    aw_box *taken;   /* boxes of texts and marks, owned */
    size_t n_taken, room_taken;
    double levels[16]; /* contour values within the field's range */
    size_t n_levels;
    size_t n_left_out; /* labels for which there was no place */
} aw_draft;

/* --- labels.c: places for texts --- */

aw_point aw_draft_place(const aw_draft *draft, aw_point metres);
bool aw_draft_is_free(const aw_draft *draft, aw_box box);
void aw_draft_take(aw_draft *draft, aw_box box);
/* Sets a text with its upper left corner at `low` if its place is free and inside `within`; takes
 * the place. */
bool aw_draft_try_text(aw_draft *draft, aw_ink ink, const char *text, aw_point low, double angle,
                       aw_box within);
/* Sets a text anyhow and takes its place. */
void aw_draft_set_text(aw_draft *draft, aw_ink ink, const char *text, aw_point low);
/* Size of lines of text, the first in `ink`, the others as notes; and setting them in a box of that
 * size, whose place is taken. */
aw_point aw_draft_lines_size(const aw_draft *draft, aw_ink ink, const char *const lines[],
                             size_t n);
void aw_draft_set_lines(aw_draft *draft, aw_ink ink, const char *const lines[], size_t n,
                        aw_box box);
/* Sets lines of text next to a mark: at its sides, else further off with a leader. False if there
 * is no place within `reach` mm. */
bool aw_draft_label(aw_draft *draft, aw_ink ink, const char *const lines[], size_t n, aw_point mark,
                    double gap, double reach);
/* Whether something of these heights stands at the default tag's height. */
bool aw_draft_is_solid(const aw_draft *draft, double base, double top);
/* Whether the corners of a box of paper lie in a polygon of the floor. */
bool aw_draft_is_on(const aw_draft *draft, const aw_polygon *polygon, aw_box box);
/* Whether a box of paper lies on open floor: inside the outline and off all land. */
bool aw_draft_on_water(const aw_draft *draft, aw_box box);

/* --- water.c: what the field looks like --- */

void aw_draft_choose_levels(aw_draft *draft);
/* Shade of the water above `band` contour values. */
double aw_draft_shade(const aw_draft *draft, size_t band);
void aw_draft_tints(aw_draft *draft);
void aw_draft_shoals(aw_draft *draft);
void aw_draft_contours(aw_draft *draft);
void aw_draft_soundings(aw_draft *draft);
/* Text of a value in the layer's unit, as soundings and contours show it. */
void aw_draft_figure(const aw_draft *draft, double value, char out[24]);
/* The unit's name: "cm", "in", "%" or "". */
const char *aw_draft_unit(const aw_draft *draft);
/* Whether the chart shows the quantity that needs are about. */
bool aw_draft_shows_needs(const aw_draft *draft);

/* --- land.c: what stands on the floor --- */

void aw_draft_land(aw_draft *draft);
void aw_draft_land_names(aw_draft *draft);
void aw_draft_zones(aw_draft *draft);
void aw_draft_zone_names(aw_draft *draft);
void aw_draft_anchors(aw_draft *draft);

/* --- bearings.c --- */

/* False without memory (an error). */
bool aw_draft_bearings(aw_draft *draft, aw_errors *errors);

/* --- frame.c, legend.c: frame, title, notes, legend --- */

void aw_draft_lay_frame(aw_draft *draft);
void aw_draft_frame(aw_draft *draft);
void aw_draft_legend(aw_draft *draft, aw_box box);

#endif
