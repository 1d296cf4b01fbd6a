/** @file sheet.h
 *  A drawing list: fills, lines and texts with a style name, laid out once and painted by any
 * writer.
 *
 *  Coordinates are millimetres of paper from the upper left corner, y down. Every point and text
 *  belongs to the sheet. Writers: SVG with real text, PDF and PNG.
 */
#ifndef AW_DRAW_SHEET_H
#define AW_DRAW_SHEET_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/error.h"
#include "anchorwise/plane.h"
#include "anchorwise/text.h"

/* To add a style: a name here and a row in ink.c. */
typedef enum aw_ink {
    AW_INK_PAPER,         /**< ground of the sheet */
    AW_INK_TINT,          /**< a shade of the ramp */
    AW_INK_FLOOR,         /**< open floor of a sheet without a field */
    AW_INK_BLIND,         /**< directions in which no anchor is heard */
    AW_INK_NO_FIX,        /**< water without a fix: its ground and dashed edge */
    AW_INK_NO_FIX_HATCH,  /**< lines across it */
    AW_INK_STIPPLE,       /**< dots where a need is missed */
    AW_INK_TIED,          /**< rings where draws do not tell whether a need is missed */
    AW_INK_BETTER,        /**< ground of cells in which the second of two layouts is better */
    AW_INK_WORSE,         /**< likewise worse; stippled too */
    AW_INK_LAND,          /**< obstacles and walls */
    AW_INK_OVERHEAD,      /**< obstacles above or below the tag: it can be there */
    AW_INK_SHORE,         /**< outline of the floor */
    AW_INK_CONTOUR,       /**< isoline at a round value */
    AW_INK_NEED,          /**< isoline of a zone's need */
    AW_INK_ZONE,          /**< border of a zone */
    AW_INK_ANCHOR,        /**< an anchor's mark */
    AW_INK_RING,          /**< ring round it */
    AW_INK_CHANGE,        /**< mark of an anchor that was added, moved or taken away */
    AW_INK_DEEP,          /**< line from an anchor to the zone that its loss costs */
    AW_INK_FELLS,         /**< likewise, where a need that is met falls */
    AW_INK_DISC,          /**< an anchor whose loss costs */
    AW_INK_REGION,        /**< edge of the region an anchor may hang in */
    AW_INK_LIMIT,         /**< the same where a need fails beyond it */
    AW_INK_OPEN,          /**< arrow at a side of it that is open */
    AW_INK_LEADER,        /**< from a mark to its label */
    AW_INK_BEARING,       /**< clear line of sight */
    AW_INK_THROUGH,       /**< line of sight through something */
    AW_INK_HEARD,         /**< bearing of a spot sheet: clear */
    AW_INK_HEARD_THROUGH, /**< likewise, through something */
    AW_INK_HIDDEN,        /**< to where an anchor is hidden */
    AW_INK_ARC,           /**< blind arc on a rim */
    AW_INK_END,           /**< where a line of sight ends */
    AW_INK_ELLIPSE,       /**< error ellipse */
    AW_INK_FRAME,         /**< frame of the sheet */
    AW_INK_RULE,          /**< thin rules, scale bar */
    AW_INK_LEFT_OUT,      /**< lines of a client's plan that made nothing */
    AW_INK_NEAT,          /**< outer line of a neat line */
    AW_INK_WINDOW,        /**< what of the floor a strip shows, on a key plan */
    AW_INK_WINDOW_BEHIND, /**< likewise, of every second one */
    AW_INK_KEY_SHORE,     /**< outline of the floor on a key plan */
    AW_INK_CROSS,         /**< crosses of the graduation on open floor */
    AW_INK_BLOCK_RULE,    /**< under the heading of a block */
    AW_INK_ROSE,          /**< compass rose */
    AW_INK_SPAR,          /**< mark of a worst spot */
    AW_INK_SPAR_MISSED,   /**< likewise where a need is missed */
    AW_INK_HALO,          /**< paper under it */
    AW_INK_NOT_MET,       /**< frame of a verdict: outer line of a need missed */
    AW_INK_NOT_MET_INNER, /**< and its inner line */
    AW_INK_MET_WELL,      /**< met with margin */
    AW_INK_MET,
    AW_INK_UNDECIDED,
    AW_INK_UNASKED,
    AW_INK_SOUNDING,      /**< text: a figure of the floor */
    AW_INK_MISSED,        /**< text: likewise, where a need is missed */
    AW_INK_VALUE,         /**< text: the value along a contour */
    AW_INK_NAME,          /**< text: anchors */
    AW_INK_ZONE_NAME,     /**< text: zones */
    AW_INK_LAND_NAME,     /**< text: obstacles at the tag's height */
    AW_INK_OVERHEAD_NAME, /**< text: those over or under it */
    AW_INK_NO_FIX_NAME,   /**< text: what water without a fix says of itself */
    AW_INK_NOTE,          /**< text: notes, legend */
    AW_INK_HEADING,       /**< text: headings of blocks */
    AW_INK_TITLE,         /**< text: the sheet's title */
    AW_INK_SHEET_TITLE,   /**< text: likewise over a plan, in capitals */
    AW_INK_SUBTITLE,      /**< text: what is shown, at the right of the title */
    AW_INK_HEADLINE,      /**< text: what the numbers say */
    AW_INK_GRADUATION,    /**< text: coordinates in a neat line */
    AW_INK_BLOCK_HEAD,    /**< text: heading of a block, in capitals */
    AW_INK_TABLE,         /**< text: given figures and words of tables, notes */
    AW_INK_TABLE_HEAD,
    AW_INK_TABLE_NAME,
    AW_INK_RESULT,  /**< text: predicted figures of tables */
    AW_INK_VERDICT, /**< text: verdicts of tables */
    AW_INK_VERDICT_MISSED,
    AW_INK_PICTURE_MISSED, /**< text: a zone under a picture whose need is missed */
    AW_INK_LABEL,          /**< text: what a field of the title block is */
    AW_INK_STAMP,          /**< text: verdicts on the plan */
    AW_INK_STAMP_MISSED,
    AW_INK_STAMP_SOFT,
    AW_INK_STAMP_PART,    /**< text: what decides, beside them */
    AW_INK_ZONE_NEED,     /**< text: what a zone needs */
    AW_INK_LETTER,        /**< text: letter of a zone */
    AW_INK_LETTER_MISSED, /**< text: likewise, on a filled ring */
    AW_INK_HEARD_NAME,    /**< text: an anchor at the rim */
    AW_INK_LOST_NAME,     /**< text: likewise, and what hides it */
    AW_INK_BLIND_NAME,    /**< text: degrees of a blind arc */
    AW_INK_BIG,           /**< text: the one figure of a panel */
    AW_INK_BIG_MISSED,
    AW_INK_CAPTION,    /**< text: what a panel shows */
    AW_INK_FELLED,     /**< text: needs that fall with a pair */
    AW_INK_LIMIT_NAME, /**< text: how far it is to what ends a region */
    AW_INK_WORST,      /**< text: figure of a worst spot */
    AW_INKS
} aw_ink;

typedef struct aw_ink_row {
    const char *name;
    long stroke; /**< a colour of ink.c, -1: none */
    long fill;
    double width;   /**< of the line, mm */
    double dash[4]; /**< lengths of dashes and gaps in turn, mm, 0 ends them; none: full */
    double size;    /**< of the text, as a multiple of the sheet's */
    bool bold, italic, serif;
    bool halo;      /**< of paper round the letters, so that lines under a text do not cut it */
    double spacing; /**< between letters, as a share of the text's size */
} aw_ink_row;

/** Width of a halo, as a share of the text's size. */
#define AW_HALO 0.28

extern const aw_ink_row aw_ink_rows[AW_INKS];

/** Tints of the ramp. */
#define AW_TINTS 7

/** Colour of an ink at a shade in [0, 1] (only tints have shades, AW_TINTS of them, even steps
 *  apart), 0xRRGGBB; -1: none. */
long aw_ink_fill(aw_ink ink, double shade, bool grey);
long aw_ink_stroke(aw_ink ink, bool grey);

typedef enum aw_item_kind {
    AW_ITEM_FILL, /**< closed paths, even-odd */
    AW_ITEM_LINE, /**< open or closed paths */
    AW_ITEM_TEXT,
    AW_ITEM_PICTURE, /**< pale lines, its points where three of its corners lie (pale.h) */
    AW_ITEM_CLIP,    /**< what follows shows only inside these paths ... */
    AW_ITEM_FREE     /**< ... until here */
} aw_item_kind;

/** What lies over what, in this order; within one depth as it was added. */
typedef enum aw_depth {
    AW_DEPTH_GROUND,   /**< tints */
    AW_DEPTH_PICTURE,  /**< the client's plan */
    AW_DEPTH_CONTOURS, /**< lines of one value */
    AW_DEPTH_NO_FIX,   /**< water without a fix */
    AW_DEPTH_MARKS,    /**< dots and rings */
    AW_DEPTH_LAND,
    AW_DEPTH_OVER, /**< everything else but texts, which are over all */
} aw_depth;

typedef struct aw_item {
    aw_item_kind kind;
    aw_depth depth;
    aw_ink ink;
    double shade;
    aw_point *at; /**< points of all paths, one after the other */
    size_t *ends; /**< index behind the last point of each path */
    bool closed;  /**< of lines */
    size_t n_paths, n_points, room_paths, room_points;
    const struct aw_pale *pale; /**< of a picture; not owned */
    char *text;
    double size;        /**< of the text, mm */
    double angle;       /**< degrees, clockwise on the page */
    aw_point place;     /**< left end of the text's baseline */
    double length;      /**< of the text along its baseline, mm */
    aw_point low, high; /**< the box of its points; of a text its own, if turned upright bounds */
} aw_item;

typedef struct aw_sheet {
    double width, height; /**< mm, of all pages, one under the other */
    size_t pages;         /**< of one depth; 0: one */
    double text_size;     /**< mm; inks' sizes are multiples of it */
    bool grey;
    char *title, *date; /**< for the file's own description; date may be NULL */
    aw_item *items;
    size_t n, room;
    aw_depth depth; /**< of what is added */
    bool failed;    /**< out of memory: nothing more is added, writers say so */
} aw_sheet;

/** Appends an empty item; NULL without memory. Valid until the next one is added. */
aw_item *aw_sheet_add(aw_sheet *sheet, aw_item_kind kind, aw_ink ink);

/** Adds a point to the item's current path, or ends that path. */
void aw_sheet_point(aw_sheet *sheet, aw_item *item, double x, double y);
void aw_sheet_end_path(aw_sheet *sheet, aw_item *item);

/** One line from a to b; one rectangle. */
void aw_sheet_line(aw_sheet *sheet, aw_ink ink, aw_point a, aw_point b);
void aw_sheet_box(aw_sheet *sheet, aw_item_kind kind, aw_ink ink, double shade, aw_point low,
                  aw_point high);

/** A closed ellipse about `centre` with half axes along x and y, turned by `turn` radians,
 * clockwise on the page. */
void aw_sheet_ellipse(aw_sheet *sheet, aw_item_kind kind, aw_ink ink, aw_point centre,
                      aw_point half, double turn);
void aw_sheet_circle(aw_sheet *sheet, aw_item_kind kind, aw_ink ink, aw_point centre,
                     double radius);

/** Adds a text whose box begins at its upper left corner `low` (before it is turned). */
void aw_sheet_text(aw_sheet *sheet, aw_ink ink, const char *text, aw_point low, double angle);

/** Takes away all items from number `n` on. */
void aw_sheet_cut(aw_sheet *sheet, size_t n);

/** Orders all items by their depth, texts behind all, so that no line runs over a text. */
void aw_sheet_order(aw_sheet *sheet);

void aw_sheet_free(aw_sheet *sheet);

/** Width and height in mm that a text takes in an ink, at the sheet's text size. */
aw_point aw_sheet_measure(const aw_sheet *sheet, aw_ink ink, const char *text);

/** Characters of the sheet's texts that no font of this machine has, each once: "'😀' (U+1F600)",
 * with commas between, the first few. */
void aw_sheet_missing(const aw_sheet *sheet, aw_text *out);

/** A text in capitals, as far as its script has them; cut to the room. */
void aw_capitals(const char *text, char *out, size_t room);

/** Writers. False without memory or if the drawing library fails (an error). `width` is in pixels.
 */
bool aw_sheet_svg(const aw_sheet *sheet, aw_text *out, aw_errors *errors);
bool aw_sheet_pdf(const aw_sheet *sheet, aw_text *out, aw_errors *errors);
bool aw_sheet_png(const aw_sheet *sheet, size_t width, aw_text *out, aw_errors *errors);

/** As SVG inside an HTML page: `name` is its id, letters and digits that no other part of the page
 * has; `label` says what it shows to who does not see it. */
bool aw_sheet_svg_inside(const aw_sheet *sheet, const char *name, const char *label, aw_text *out,
                         aw_errors *errors);

#endif
