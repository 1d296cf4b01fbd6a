/** @file
 *  A table for people: columns as wide as their widest text as a terminal shows it. */
#ifndef AW_REPORT_TABLE_H
#define AW_REPORT_TABLE_H

#include "anchorwise/text.h"

#define AW_TABLE_COLUMNS 12

/* Rows of cells, added one after the other. A zeroed struct with `columns` set is empty; cells are
 * copied. A row that is left short is filled with empty cells. */
typedef struct aw_table {
    size_t columns;
    const char *align; /* one letter a column: l or r */
    char **cells;
    size_t n, room;
    bool failed;
} aw_table;

void aw_table_add(aw_table *table, const char *format, ...) __attribute__((format(printf, 2, 3)));
void aw_table_end_row(aw_table *table);

/* Writes all rows, two spaces between columns, no spaces at the end of a line. */
void aw_table_write(const aw_table *table, aw_text *out);
void aw_table_free(aw_table *table);

/* Shares as people read them: whole percent; a dash where there is no value. Each returns `out`. */
#define AW_FIGURE_ROOM 24
const char *aw_figure_share(double share, char out[AW_FIGURE_ROOM]);

/* The same where something is asked, at least: with as many more digits as it takes to show on
 * which side of that the share is (89.8 % where 90 % is asked). NaN: nothing is asked. */
const char *aw_figure_share_asked(double share, double asked, char out[AW_FIGURE_ROOM]);

/* Adds digits to a figure until it stands on the side of what is asked (at most or at least) that
 * its value is on; both in the unit shown, which follows the digits. */
void aw_figure_tell_apart(double value, double asked, bool at_most, const char *unit,
                          char out[AW_FIGURE_ROOM]);

/* A count with a thin gap between thousands. */
const char *aw_figure_count(size_t count, char out[AW_FIGURE_ROOM]);

#endif
