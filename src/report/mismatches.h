/** @file
 *  What two layouts differ in beside their anchors, for the outputs of comparisons. */
#ifndef AW_REPORT_MISMATCHES_H
#define AW_REPORT_MISMATCHES_H

#include "anchorwise/mismatch.h"
#include "anchorwise/text.h"

/* Their names, those beyond `most` counted. */
void aw_mismatches_words(const aw_mismatches *mismatches, size_t most, aw_text *out);

#endif
