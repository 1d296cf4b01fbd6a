/** @file
 *  A document for people as content: sections of paragraphs, lists, boxes, tables and figures, said
 *  once. Its writers (src/book) and `report --json` say the same.
 *
 *  Texts are plain; what is emphasised is a cell's look. A figure that was computed stands in its
 *  cell as a number too, with what kind of figure it is. All memory is the book's: aw_book_free().
 *  Without memory a book fails, and nothing more is added to it. */
#ifndef AW_REPORT_BOOK_H
#define AW_REPORT_BOOK_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/assess.h"
#include "anchorwise/text.h"
#include "report/run.h"

/* How a cell looks; verdicts differ by border, mark and words. */
typedef enum aw_book_look {
    AW_LOOK_PLAIN,
    AW_LOOK_STRONG,
    AW_LOOK_SOFT,
    AW_LOOK_MISSED, /* the part of a need that fails */
    AW_LOOK_NOT_MET,
    AW_LOOK_MET,
    AW_LOOK_MET_WELL,
    AW_LOOK_UNDECIDED,
    AW_LOOK_UNASKED,
    AW_LOOKS
} aw_book_look;

/* How a figure came about. */
typedef enum aw_figure_kind {
    AW_FIGURE_STATED, /* by the scenario, or counted from it */
    AW_FIGURE_DRAWN,
    AW_FIGURE_LINEAR, /* a linear estimate */
    AW_FIGURE_KINDS
} aw_figure_kind;

typedef struct aw_book_cell {
    const char *text;
    const char *under; /* smaller, under the text; NULL: nothing */
    aw_book_look look;
    double value; /* SI, shares of 1; NaN: no figure */
    const char *unit;
    aw_figure_kind kind;
} aw_book_cell;

typedef struct aw_book_column {
    const char *head;
    bool right; /* figures stand to the right */
} aw_book_column;

typedef enum aw_block_kind {
    AW_BLOCK_TEXT,
    AW_BLOCK_HEADING, /* of a part of a section */
    AW_BLOCK_LIST,
    AW_BLOCK_BOXES, /* cells in threes: question, answer, a line under it */
    AW_BLOCK_FACTS, /* cells in twos: name, what is so */
    AW_BLOCK_TABLE,
    AW_BLOCK_FIGURE,
    AW_BLOCK_LACK, /* what is left out, and what would bring it */
    AW_BLOCK_KINDS
} aw_block_kind;

typedef struct aw_book_block {
    aw_block_kind kind;
    const char *text; /* paragraph, heading, caption */
    aw_book_column *columns;
    size_t n_columns, room_columns;
    aw_book_cell *cells; /* row by row */
    size_t n_cells, room_cells;
    bool has_total; /* the last row is a sum */
    size_t figure;  /* which of the figures that writers are given */
} aw_book_block;

typedef struct aw_book_section {
    const char *id; /* of letters and dashes */
    const char *title;
    aw_book_block *blocks;
    size_t n, room;
    bool is_front; /* before the contents, without number and heading */
    bool is_whole; /* on one page where it fits */
    bool begins_page;
    bool is_wide; /* on a page of its own, landscape */
} aw_book_section;

typedef struct aw_book {
    aw_report_run run; /* scenario and file */
    const char *kind;  /* client, visit */
    const char *title, *headline, *foot;
    const char *left[2], *right[2]; /* letterhead, NULL: nothing */
    const char *contents;           /* heading of the contents */
    const char *page_words;         /* "{0} of {1}" */
    const char *continued;          /* behind a caption on the next page */
    aw_book_section *sections;
    size_t n, room;
    void *memory;
    bool failed;
    /* Private: where goes what finds no room. */
    aw_book_section spare_section;
    aw_book_block spare_block;
    aw_book_cell spare_cell;
} aw_book;

/* A copy of a text, or of a printed one, in the book's memory; "" without memory. */
const char *aw_book_copy(aw_book *book, const char *text);
const char *aw_book_print(aw_book *book, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* The text as the book's, and it is freed. */
const char *aw_book_take(aw_book *book, aw_text *text);

/* Begins a section; what follows goes into it. The pointer is valid until the next one. */
aw_book_section *aw_book_begin(aw_book *book, const char *id, const char *title);
/* Begins a block; columns, cells and items go into it. */
aw_book_block *aw_book_add(aw_book *book, aw_block_kind kind, const char *text);
void aw_book_add_column(aw_book *book, const char *head, bool right);
aw_book_cell *aw_book_add_cell(aw_book *book, const char *text);
/* The same with a look, and with a figure. */
aw_book_cell *aw_book_add_seen(aw_book *book, const char *text, aw_book_look look);
aw_book_cell *aw_book_add_number(aw_book *book, const char *text, double value, const char *unit,
                                 aw_figure_kind kind);

void aw_book_free(aw_book *book);

/* The content as a document. */
extern const aw_shape aw_book_shape;
void aw_book_json(const aw_book *book, aw_text *out);

#endif
