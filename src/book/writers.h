/** @file
 *  A book as a file: one self-contained HTML page, or a PDF. The same text, the same order; the
 * same book gives the same bytes. */
#ifndef AW_BOOK_WRITERS_H
#define AW_BOOK_WRITERS_H

#include "book/studies.h"
#include "draw/chart.h"
#include "report/book.h"

/* An image of a letterhead: the bytes of a PNG. */
typedef struct aw_book_image {
    const char *bytes; /* NULL: none */
    size_t n;
} aw_book_image;

typedef struct aw_book_layout {
    const aw_picture *pictures; /* by the number of a block's figure */
    size_t n_pictures;
    aw_paper paper;   /* upright, but for wide sections */
    const char *date; /* of the file itself; NULL: none */
    aw_book_image image;
} aw_book_layout;

/* False without memory (an error). */
bool aw_book_html(const aw_book *book, const aw_book_layout *layout, aw_text *out,
                  aw_errors *errors);
bool aw_book_pdf(const aw_book *book, const aw_book_layout *layout, aw_text *out,
                 aw_errors *errors);

/* Sheets as the pages of a PDF, with the title and the date of the first. Likewise. */
bool aw_sheets_pdf(const aw_sheet sheets[], size_t n, aw_text *out, aw_errors *errors);

/* Whether bytes are a PNG that can be drawn. */
bool aw_book_image_is_sound(const aw_book_image *image);

#endif
