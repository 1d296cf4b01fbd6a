/* A sheet while it is laid out: the field, the scale, which places texts have taken, and what
 * stands in the strip under the floor. */
#ifndef AW_DRAW_DRAFT_H
#define AW_DRAW_DRAFT_H

#include "anchorwise/assess.h"
#include "anchorwise/compare.h"
#include "draw/chart.h"
#include "draw/field.h"
#include "draw/surface.h"
#include "map/spot.h"

typedef struct aw_box {
    aw_point low, high; /* mm */
} aw_box;

/* What a difference chart knows of each place of its field. */
typedef struct aw_contrast {
    aw_ranking *ranking; /* of b; owned */
    char *only;          /* the layout that alone has a figure there, 'A' or 'B', else 0; owned */
} aw_contrast;

/* Marks of the legend. */
typedef enum aw_symbol {
    AW_SYMBOL_SOUNDING,
    AW_SYMBOL_ONLY_A,
    AW_SYMBOL_ONLY_B,
    AW_SYMBOL_LINE,
    AW_SYMBOL_SHOAL,
    AW_SYMBOL_TIED,
    AW_SYMBOL_BETTER,
    AW_SYMBOL_WORSE,
    AW_SYMBOL_PLAIN,
    AW_SYMBOL_BLANK,
    AW_SYMBOL_LAND,
    AW_SYMBOL_ANCHOR,
    AW_SYMBOL_ADDED,
    AW_SYMBOL_REMOVED,
    AW_SYMBOL_MOVED,
    AW_SYMBOL_CROSS,
    AW_SYMBOL_ELLIPSE,
    AW_SYMBOL_LOW_END,
    AW_SYMBOL_HIGH_END,
    AW_SYMBOL_JOINT,
    AW_SYMBOL_REGION,
    AW_SYMBOL_DISC,
    AW_SYMBOL_DISC_FELLS,
    AW_SYMBOL_DISC_SPARE,
    AW_SYMBOL_WORST,
    AW_SYMBOL_WORST_MISSED
} aw_symbol;

#define AW_SYMBOLS (AW_SYMBOL_WORST_MISSED + 1)

typedef struct aw_entry {
    aw_symbol symbol;
    aw_ink ink; /* of lines */
    char text[96];
} aw_entry;

/* Shades of bars and of what they stand for. */
#define AW_SHADE_LOW_END  0.12
#define AW_SHADE_HIGH_END 0.8
#define AW_SHADE_REGION   0.3

#define AW_MOST_ENTRIES 20
#define AW_MOST_FACTS   5
#define AW_MOST_NOTES   5
/* Of a note: bytes, and lines that it is wrapped to. */
#define AW_NOTE_ROOM  640
#define AW_NOTE_LINES 5

/* What the strip says: its words, and the legend's marks in their order. */
typedef struct aw_words {
    size_t reserved; /* entries of the legend that room is kept for */
    char title[640];
    char facts[AW_MOST_FACTS][320]; /* under the title */
    size_t n_facts;
    char legend[128]; /* heading of the legend */
    aw_entry entries[AW_MOST_ENTRIES];
    size_t n_entries;
    bool ramp;
    bool flat; /* the sheet shows no floor, so no scale and no north */
    char notes[AW_MOST_NOTES][AW_NOTE_ROOM]; /* what the figures are */
    size_t n_notes;
} aw_words;

struct aw_draft;
/* A block of words beside or under a plan, laid with its upper left corner at a place and a width,
 * and drawn if asked to; returns the place below it, `at` itself if it has nothing to say. */
typedef double (*aw_lay_block)(struct aw_draft *draft, aw_point at, double width, bool draw);

/* One that stands on the sheet. */
typedef struct aw_placed_block {
    aw_lay_block lay;
    aw_point at;
    double width; /* mm */
} aw_placed_block;
#define AW_MOST_BLOCKS 8

/* A window of the plan: a sheet has one, or several that show a long floor in strips. */
typedef struct aw_window {
    aw_box map;      /* where the floor may be drawn, mm */
    aw_point origin; /* paper place of the outline's low.x, high.y */
} aw_window;
#define AW_MOST_WINDOWS 4

typedef struct aw_draft {
    aw_sheet *sheet;
    const aw_scenario *scenario;
    const aw_chart_options *options;
    size_t tag;                  /* whose height tells land from what hangs over it */
    const aw_contrast *contrast; /* of a difference chart, else NULL */
    aw_words words;
    aw_field field;                  /* what the figures are of; the caller's */
    const aw_surface *surface;       /* what is drawn of it; the caller's */
    const aw_assessment *assessment; /* of the zones, or NULL */
    double common_height; /* of anchors, m: not told on the plan; NaN: all are, infinite: none */
    bool turned;          /* the floor by a quarter, its +y to the right */
    bool whole;           /* however long, it is not cut into strips */
    size_t page, n_pages; /* the one that is drawn, from 0, and how many there are */
    const void *study;    /* what the blocks of this kind of sheet tell of; the caller's */
    aw_placed_block blocks[AW_MOST_BLOCKS];
    size_t n_blocks;
    double mm;      /* millimetres of paper for a metre */
    unsigned scale; /* 1 : scale */
    aw_window windows[AW_MOST_WINDOWS];
    size_t n_windows, window;          /* which one is drawn */
    double match[AW_MOST_WINDOWS - 1]; /* m along the floor: where strips go on in the next one */
    aw_box frame;                      /* between the margins, mm */
    aw_point origin;                   /* of the window that is drawn */
    aw_box map;                        /* likewise */
    aw_box *taken;                     /* boxes of texts and marks, owned */
    size_t n_taken, room_taken;
    double levels[16]; /* borders of classes; of a difference, within the field's range */
    size_t n_levels;
    size_t n_left_out;              /* labels for which there was no place */
    bool marked[AW_SYMBOLS];        /* anchors' marks and the ellipse: whether it was drawn */
    bool sighted[AW_LINK_LOST + 1]; /* whether a line of sight in that state was drawn */
} aw_draft;

/* --- labels.c: places for texts --- */

typedef enum aw_keep_off {
    AW_KEEP_OFF_NONE,
    AW_KEEP_OFF_MOST,
    AW_KEEP_OFF_ALL,
    AW_KEEP_OFF_LINES
} aw_keep_off;

aw_point aw_draft_to_paper(const aw_draft *draft, aw_point metres);
aw_point aw_draft_to_metres(const aw_draft *draft, aw_point paper);
/* Box of paper round a polygon of the floor. */
aw_box aw_draft_box_of(const aw_draft *draft, const aw_polygon *polygon);
/* The same as far as it lies in the map's box; may be empty, its high under its low. */
aw_box aw_draft_shown_box(const aw_draft *draft, const aw_polygon *polygon);
bool aw_draft_is_free(const aw_draft *draft, aw_box box);
/* Whether a line that was drawn runs through a box of paper: the outline, a bearing, an ellipse or
 * a change; or those, land and borders of zones; or those, contours and the edge of no fix. */
bool aw_draft_is_crossed(const aw_draft *draft, aw_box box, aw_keep_off keep_off);
void aw_draft_take(aw_draft *draft, aw_box box);
/* Sets a text with its upper left corner at `low` if its place is free and inside `within`; takes
 * the place. */
bool aw_draft_try_text(aw_draft *draft, aw_ink ink, const char *text, aw_point low, double angle,
                       aw_box within);
/* Sets a text anyhow and takes its place. */
void aw_draft_set_text(aw_draft *draft, aw_ink ink, const char *text, aw_point low);
/* Lines of text, the first in `ink`, the others as notes. */
typedef struct aw_label {
    aw_ink ink;
    const char *const *lines;
    size_t n;
} aw_label;
/* Its size; and setting it in a box of that size, whose place is taken. */
aw_point aw_draft_label_size(const aw_draft *draft, const aw_label *label);
void aw_draft_set_label(aw_draft *draft, const aw_label *label, aw_box box);
/* Sets a label next to a mark: at its sides, `gap` mm off, else further off with a leader. False if
 * there is no place within `reach` mm. */
bool aw_draft_label(aw_draft *draft, const aw_label *label, aw_point mark, double gap,
                    double reach);
/* aw_stands_at_tag() of the tag that is drawn. */
bool aw_draft_is_solid(const aw_draft *draft, const aw_polygon *footprint, double base, double top);
/* Whether the corners of a box of paper lie in a polygon of the floor. */
bool aw_draft_is_in(const aw_polygon *polygon, aw_point metres);
bool aw_draft_is_on(const aw_draft *draft, const aw_polygon *polygon, aw_box box);
/* Whether a box of paper lies on open floor: inside the outline and off all land. */
bool aw_draft_on_water(const aw_draft *draft, aw_box box);

/* --- water.c, no_fix.c: what the field looks like --- */

void aw_draft_choose_levels(aw_draft *draft);
/* Shade of the water above `band` borders of classes. */
double aw_draft_shade(const aw_draft *draft, size_t band);
/* Classes by the need: up to half of it, itself, twice it, and over. */
#define AW_RELATIVE_BANDS 4
double aw_draft_relative_shade(size_t band);
extern const double aw_relative_borders[AW_RELATIVE_BANDS - 1];
/* What follows lies at a depth and shows on the floor only, until that is closed. */
void aw_draft_open_floor(aw_draft *draft, aw_depth depth);
void aw_draft_close_floor(aw_draft *draft);
/* What follows shows in one room of the surface only, until it is freed. */
void aw_draft_open_room(aw_draft *draft, size_t room);
/* What follows shows in a zone only, until it is freed. */
void aw_draft_open_zone(aw_draft *draft, const aw_zone *zone);
void aw_draft_tints(aw_draft *draft);
/* Open floor of a sheet that shows no quantity. */
void aw_draft_water(aw_draft *draft);
/* Where there is no figure: hatched ground with a dashed edge. */
void aw_draft_gaps(aw_draft *draft);
/* Says so, in each piece that has room for the words. */
void aw_draft_no_fix_names(aw_draft *draft);

/* --- shoals.c: what a cell is to its need --- */

typedef enum aw_standing {
    AW_STANDS_UNASKED,
    AW_STANDS_MET,
    AW_STANDS_TIED,  /* its simulation interval holds the need */
    AW_STANDS_MISSED /* wholly over it; of a difference, b is worse */
} aw_standing;

aw_standing aw_draft_standing(const aw_draft *draft, size_t cell);
aw_standing aw_draft_standing_at(const aw_draft *draft, aw_point metres);
/* Dots where a need is missed, or b is worse; rings where they are tied. They keep off texts, which
 * must be there. */
void aw_draft_shoals(aw_draft *draft);

/* --- rings.c --- */

/* Rings round what is at least `level` in a room, in mm of paper, all closed; small ones are left
 * out, of a need those in which no cell is clear of it. False without memory. */
bool aw_draft_rings(const aw_draft *draft, size_t room, double level, bool of_need,
                    aw_paths *rings);

/* --- contour_lines.c, soundings.c, figure.c --- */

void aw_draft_contours(aw_draft *draft);
void aw_draft_soundings(aw_draft *draft);
/* Text of a value in the layer's unit, as soundings and contours show it. */
void aw_draft_figure(const aw_draft *draft, double value, char out[24]);
/* Text of a border between classes, a length with its unit from 1 m on. */
void aw_draft_border(const aw_draft *draft, double value, char out[24]);
/* The unit's name: "cm", "inches", "%" or "". */
const char *aw_draft_unit(const aw_draft *draft);
/* Whether the chart shows the quantity that needs are about. */
bool aw_draft_shows_needs(const aw_draft *draft);

/* The p95 that a zone asks, NaN for none; also where the chart is by a tag that is not the zone's,
 * of which the need does not speak. */
double aw_draft_need(const aw_draft *draft, const aw_zone *zone);

/* --- land.c: what stands on the floor --- */

void aw_draft_land(aw_draft *draft);
void aw_draft_land_names(aw_draft *draft);
void aw_draft_zones(aw_draft *draft);

/* --- anchors.c --- */

/* The scenario's anchors. With another layout, `before`, those that it has not, that hang elsewhere
 * and that only it has get marks of their own. */
void aw_draft_anchors(aw_draft *draft, const aw_scenario *before);
/* Of a sheet of one layout, apart, since other texts come between. */
void aw_draft_anchor_marks(aw_draft *draft);
void aw_draft_anchor_names(aw_draft *draft);
/* One mark by its symbol. */
void aw_draft_anchor_mark(aw_draft *draft, aw_symbol symbol, aw_point at);
/* --- stamps.c --- */

/* Marks of the zones' worst spots; then each zone's letter, name, need and verdict as far as there
 * is room; then the figures of the worst spots. */
void aw_draft_worst_spots(aw_draft *draft);
void aw_draft_zone_blocks(aw_draft *draft);
void aw_draft_worst_figures(aw_draft *draft);
void aw_draft_worst_mark(aw_draft *draft, aw_point foot, bool missed, double lean);
/* The letter of a zone in its ring; filled where its need is not met. */
void aw_draft_letter(aw_draft *draft, size_t zone, bool missed, aw_point middle);
/* What a zone reached, NULL where that is not known or of another tag than the chart's. */
const aw_zone_result *aw_draft_result(const aw_draft *draft, size_t zone);

/* Adds the legend's entries of the anchors' marks that were drawn. */
void aw_draft_list_anchors(aw_draft *draft);

/* --- bearings.c --- */

/* The bearings of all spots of the options. False without memory (an error). */
bool aw_draft_bearings(aw_draft *draft, aw_errors *errors);
/* Lines of sight of a prepared spot. */
void aw_draft_sight(aw_draft *draft, const aw_scene *scene, const aw_spot *spot);
/* Radius of the circle that holds 95 % of a circular normal law, in sigmas. */
#define AW_SIGMAS_95 2.4477468
/* The magnification that brings an ellipse to a size that can be seen: 1, 2, 5, 10 ... */
double aw_draft_magnification(const aw_draft *draft, const aw_error_law *spread);
/* The 95 % ellipse of a spot, no further than the map's box; it takes its place unless it is too
 * large for that. Nothing for a spread of NaN. */
void aw_draft_ellipse(aw_draft *draft, const aw_error_law *spread, aw_point metres, double times);
/* Adds the legend's entries of the bearings that were drawn, `ellipse` being that of the ellipse.
 */
void aw_draft_list_bearings(aw_draft *draft, const char *ellipse);

/* --- frame.c, legend.c: words and legend --- */

/* Makes an empty sheet. False, the sheet failed, if the font libraries might want for memory.
 * aw_draft_close() the draft either way. */
bool aw_draft_open(aw_draft *draft);
/* Orders the items of the sheet and frees what the draft owns. False if the sheet failed, for want
 * of memory (an error). */
bool aw_draft_close(aw_draft *draft, aw_errors *errors);
/* Paper and text size. */
void aw_draft_begin(aw_draft *draft);
/* One mark of the legend, and its ramp of tints, as wide as the box. */
void aw_draft_symbol(aw_draft *draft, const aw_entry *entry, aw_point at);
void aw_draft_ramp(aw_draft *draft, aw_box box);
/* Whether something stands at the tag's height, or hangs over it or lies under it. */
bool aw_draft_has_land(const aw_draft *draft, bool solid);
/* Each adds one line of its kind to the words. */
void aw_draft_fact(aw_draft *draft, const char *format, ...) __attribute__((format(printf, 2, 3)));
void aw_draft_note(aw_draft *draft, const char *format, ...) __attribute__((format(printf, 2, 3)));
void aw_draft_entry(aw_draft *draft, aw_symbol symbol, aw_ink ink, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/* Takes the entries of lines away that are not on the sheet. */
void aw_draft_drop_unseen(aw_draft *draft);
/* Entries of what stands on the floor: land, what hangs over the tag, zones. */
void aw_draft_list_land(aw_draft *draft);
void aw_draft_list_zones(aw_draft *draft);
/* Whether cells of the floor have no figure. */
bool aw_draft_has_gaps(const aw_draft *draft);
/* The note on bench or site figures, and before it the one on what was changed in the scenario. */
void aw_draft_note_terms(aw_draft *draft);
/* "Set: obstacles.crane.base = 1.6; ...", nothing without a change. */
void aw_changes_note(const aw_scenario *scenario, char out[AW_NOTE_ROOM]);

#endif
