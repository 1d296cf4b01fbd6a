/** @file
 *  Sentences wrapped to the width of what shows them. */
#ifndef AW_REPORT_WRAP_H
#define AW_REPORT_WRAP_H

#include <stddef.h>

#include "anchorwise/text.h"

/* Breaks the lines of a text that are wider than so many columns at blanks, the rest of each as far
 * in as its beginning. A row of a table, which has two blanks together behind its beginning, stays
 * whole, and so does a word that is wider by itself. Without memory the text says so. */
void aw_text_wrap(aw_text *text, size_t columns);

#endif
