/* What the setbacks of zones cannot say in a cell. */
#ifndef AW_REPORT_BORDERS_H
#define AW_REPORT_BORDERS_H

#include "anchorwise/decisions.h"
#include "anchorwise/text.h"

/* For each zone why it has no setback, where its border asks for none, and why a figure is missing.
 */
void aw_border_remarks(const aw_decisions *decisions, const aw_scenario *scenario, aw_text *out);

/* Which zones overlap, so that a report counts in each and a row may sum to more than 100 %. */
void aw_overlap_remark(const aw_scenario *scenario, aw_text *out);

/* Whether the areas of two zones overlap. */
bool aw_zones_overlap(const aw_scenario *scenario, size_t a, size_t b);

#endif
