/** @file
 *  What a spot's sheet says first. */
#ifndef AW_REPORT_EXPLAIN_H
#define AW_REPORT_EXPLAIN_H

#include "anchorwise/explain.h"
#include "anchorwise/text.h"

/* How large p95 is, what is heard and how much of the horizon is blind, and the first remedy. */
void aw_spot_headline(const aw_explanation *explanation, const aw_scenario *scenario, aw_text *out);

#endif
