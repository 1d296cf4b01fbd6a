/* What sets a book on paper: pages, text by Pango, tables. Lengths are mm from the upper left
 * corner, y down. Everything can be measured without being drawn. */
#ifndef AW_BOOK_PRESS_H
#define AW_BOOK_PRESS_H

#include <pango/pangocairo.h>

#include "book/writers.h"

typedef struct aw_press {
    const aw_book *book;
    const aw_book_layout *layout;
    cairo_surface_t *surface;
    cairo_t *cairo;
    double scale;                    /* of all type and spaces: 1 on A4 */
    double width, height;            /* of the page, upright */
    double left, right, top, bottom; /* of the text */
    double y;                        /* where the next thing stands */
    size_t page, pages;              /* from 1; pages 0: not yet counted */
    bool is_blank;                   /* nothing stands on the page yet */
    bool counts;                     /* pages are counted: figures are left out */
} aw_press;

typedef enum aw_type {
    AW_TYPE_BODY,
    AW_TYPE_STRONG,
    AW_TYPE_TITLE,
    AW_TYPE_HEAD,    /* the headline */
    AW_TYPE_SECTION, /* heading of a section */
    AW_TYPE_PART,    /* heading of a part of it */
    AW_TYPE_SMALL,   /* captions, letterhead */
    AW_TYPE_ITALIC,
    AW_TYPE_QUESTION,
    AW_TYPE_ANSWER,
    AW_TYPE_CELL, /* sans, in tables */
    AW_TYPE_CELL_STRONG,
    AW_TYPE_CELL_SOFT,
    AW_TYPE_UNDER,
    AW_TYPE_FOOT,
    AW_TYPES
} aw_type;

/* Where a text stands: its upper left corner, and how wide it may be; 0: as it is. */
typedef struct aw_press_place {
    double x, y, width;
} aw_press_place;

typedef struct aw_press_frame {
    double x, y, width, height;
} aw_press_frame;

/* A layout of a text at most so wide, mm; 0: as wide as it is. g_object_unref() it. */
PangoLayout *aw_press_set(aw_press *press, aw_type type, const char *text, double width,
                          PangoAlignment align);
/* Its width and height, mm. */
double aw_press_width(PangoLayout *layout);
double aw_press_height(PangoLayout *layout);
/* Draws it with its upper left corner at a place, in a colour, and frees it; its height. */
double aw_press_show(aw_press *press, PangoLayout *layout, double x, double y, long colour);
/* Height of a text, and the same drawn. */
double aw_press_text(aw_press *press, aw_type type, const char *text, aw_press_place place,
                     long colour, bool draw);

void aw_press_rule(aw_press *press, double x0, double x1, double y, double width, long colour);
void aw_press_box(aw_press *press, aw_press_frame frame, double width, long colour,
                  const double dash[2]);

/* The page ends, with its foot; the next one begins. */
void aw_press_turn(aw_press *press);
/* Turns the page unless so much has room on it, or it is blank. */
void aw_press_want(aw_press *press, double height);

/* Height of a table set whole; and the table on the page, over several with its head again where it
 * has to be. */
double aw_press_table_height(aw_press *press, const aw_book_block *table);
void aw_press_table(aw_press *press, const aw_book_block *table);

#define AW_PRESS_INK  0x16242f
#define AW_PRESS_SOFT 0x4d5b67
#define AW_PRESS_RULE 0xb9b39f
#define AW_PRESS_NEED 0x9c0f4b
#define AW_PRESS_GOOD 0x1d5e45

#endif
