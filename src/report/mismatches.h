/** @file
 *  What two layouts differ in beside their anchors, for the outputs of comparisons. */
#ifndef AW_REPORT_MISMATCHES_H
#define AW_REPORT_MISMATCHES_H

#include "anchorwise/mismatch.h"
#include "anchorwise/text.h"

/* As a table under a sentence; nothing for none. Lengths in feet if the first scenario is. */
void aw_mismatches_table(const aw_mismatches *mismatches, aw_units units, aw_text *out);

/* Their names, those beyond `most` counted. */
void aw_mismatches_words(const aw_mismatches *mismatches, size_t most, aw_text *out);

#endif
