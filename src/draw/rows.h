/* A table as blocks show it: rows under heads, in as many columns as have room. */
#ifndef AW_DRAW_ROWS_H
#define AW_DRAW_ROWS_H

#include "draw/draft.h"

/* From base line to base line, mm on A3. */
#define AW_PITCH 3.5

typedef struct aw_rows {
    const char *heading; /* in capitals */
    size_t n;
    double column; /* least width of a column, mm on A3 */
    /* Heads over a column, and one of its rows, from x on by their base line. */
    void (*heads)(aw_draft *draft, double x, double base, double width);
    void (*row)(aw_draft *draft, size_t i, double x, double base, double width);
} aw_rows;

/* Columns side by side in a width, one at least. */
size_t aw_rows_columns(const aw_draft *draft, const aw_rows *rows, double width);

/* How many rows a column may have that stands with a plan: a table takes no more than a quarter of
 * the frame's depth. */
size_t aw_rows_most(const aw_draft *draft);

/* Whether all of a table may stand with a plan, in a width. */
bool aw_rows_fit(const aw_draft *draft, const aw_rows *rows, double width);

/* Lays n rows from number `from` on, drawn if asked to; the place below them. */
double aw_rows_lay(aw_draft *draft, const aw_rows *rows, size_t from, size_t n, aw_box box,
                   bool draw);

#endif
