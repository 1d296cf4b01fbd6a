/** @file
 *  What a spot's sheet says first, and words on its lines of sight that its table and the report
 *  share. */
#ifndef AW_REPORT_EXPLAIN_H
#define AW_REPORT_EXPLAIN_H

#include "anchorwise/explain.h"
#include "anchorwise/text.h"

/* How large p95 is, what is heard and how much of the horizon is blind, and the first remedy. */
void aw_spot_headline(const aw_explanation *explanation, const aw_scenario *scenario, aw_text *out);

/* "clear", "lost behind wheel lathe and more (104 dB)", "bent over pit, 0.02 m late". */
void aw_sightline_words(const aw_sightline *line, aw_units units, aw_text *out);

#endif
