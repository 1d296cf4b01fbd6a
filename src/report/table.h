/** @file
 *  A table for people, in at most AW_TABLE_WIDTH columns of a terminal.
 *
 *  Columns are as wide as their widest text. Where all of them together are wider than the table
 *  may be, headings are broken into lines first, then texts, a line's rest two columns further in;
 *  columns that still find no room go on below, behind the first column again. Figures are never
 *  broken. A column in which no row has a value, nothing but dashes, is left out. */
#ifndef AW_REPORT_TABLE_H
#define AW_REPORT_TABLE_H

#include "anchorwise/assess.h"
#include "anchorwise/text.h"

#define AW_TABLE_WIDTH   100
#define AW_TABLE_COLUMNS 64

typedef struct aw_cell {
    char *text;
    aw_verdict colour; /* whose colour it has */
} aw_cell;

/* Rows of cells, added one after the other; cells are copied. A zeroed struct with `columns` and
 * `align` set is empty. */
typedef struct aw_table {
    size_t columns;
    char align[AW_TABLE_COLUMNS + 1]; /* one letter a column: l, broken if need be; L or r, never */
    size_t heads;                     /* rows of headings before the others */
    bool colour;
    aw_cell *cells;
    size_t n, room;
    bool failed;
} aw_table;

void aw_table_add(aw_table *table, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* The cell that was added last gets a verdict's colour, where the table has colours. */
void aw_table_colour(aw_table *table, aw_verdict verdict);
/* Fills a row that is left short with empty cells. */
void aw_table_end_row(aw_table *table);

/* Writes all rows, two spaces between columns, no spaces at the end of a line, and frees the table.
 * Nothing without rows beside headings. */
void aw_table_write(aw_table *table, aw_text *out);
void aw_table_free(aw_table *table);

#endif
