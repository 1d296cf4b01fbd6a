/* A need and its verdict in words. */
#ifndef AW_CHART_NEEDS_H
#define AW_CHART_NEEDS_H

#include "anchorwise/assess.h"
#include "anchorwise/text.h"

/* "p95 <= 0.5, in 90 %, zone share >= 95 %"; nothing for a need that asks nothing. */
void aw_need_words(const aw_need *need, aw_text *out);

/* The parts that decided a zone's verdict: "p95, p99 and weak pockets". */
void aw_reason_words(const aw_zone_result *result, aw_text *out);

/* A sentence on each part that is asked and stands in no column of the table. */
void aw_part_remarks(const aw_zone_result *result, const char *zone, aw_text *out);

#endif
