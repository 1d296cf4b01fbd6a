/* Names of any script in tables and sentences: their room in columns, cut if need be, and kept from
 * turning round what stands beside them. */
#ifndef AW_REPORT_NAMES_H
#define AW_REPORT_NAMES_H

#include <stddef.h>

#include "anchorwise/text.h"

/* Columns that a text takes on a terminal: two for a wide character, none for a combining one or
 * for colours. */
size_t aw_shown_width(const char *text);

/* The text, or as many whole characters of it as leave room for an ellipsis in so many columns. */
void aw_add_cut(const char *text, size_t columns, aw_text *out);

/* Puts what is written from right to left in the text behind `from` between isolates (U+2068,
 * U+2069), so that figures beside it stay where they were put. They take no columns. A cell with
 * nothing from left to right in it is isolated whole, elsewhere each run from its first letter to
 * its last. */
void aw_isolate_names(aw_text *text, size_t from);

#endif
