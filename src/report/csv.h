/** @file
 *  CSV by RFC 4180 from the rows of shapes: a column for each member, by its key, in full
 * precision.
 */
#ifndef AW_REPORT_CSV_H
#define AW_REPORT_CSV_H

#include "report/shape.h"

/* The header of rows like this one: members that it may lack, and lacks, have no column. */
void aw_csv_head(const aw_shape *shape, const aw_subject *row, aw_text *out);

/* A row. A field without a value is empty. */
void aw_csv_row(const aw_shape *shape, const aw_subject *row, aw_text *out);

/* A text as a field, in quotes. */
void aw_csv_text(const char *text, aw_text *out);

/* What was set in a scenario, "PATH = VALUE" with "; " between: the field of a column `set`, which
 * is there if something was, and last. */
void aw_csv_set(const aw_scenario *scenario, aw_text *out);

#endif
