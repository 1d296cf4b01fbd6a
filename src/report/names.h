/** @file
 *  Names of any script in tables and sentences: their room in columns, where lines may break, and
 * kept from turning round what stands beside them. */
#ifndef AW_REPORT_NAMES_H
#define AW_REPORT_NAMES_H

#include <stddef.h>

#include "anchorwise/text.h"

/* Columns that a text, or n bytes of it, takes on a terminal: two for a wide character, none for a
 * combining one; of a text none for colours. */
size_t aw_shown_width(const char *text);
size_t aw_width_of(const char *text, size_t n);

/* Bytes of the longest beginning of a text that fits into so many columns and ends where a line may
 * break (Unicode's annex 14, but no figure is parted from its unit); where none does, before the
 * first character that has no room, but one character at least. A blank at its end takes no room.
 */
#define AW_MOST_IN_LINE 2048 /* bytes that are looked at */
size_t aw_line_length(const char *text, size_t columns);

/* Columns of the widest piece of a text that no line may break. */
size_t aw_longest_piece(const char *text);

/* Puts what is written from right to left in the text behind `from` between isolates (U+2068,
 * U+2069), so that figures beside it stay where they were put. They take no columns. A cell with
 * nothing from left to right in it is isolated whole, elsewhere each run from its first letter to
 * its last. */
void aw_isolate_names(aw_text *text, size_t from);

#endif
