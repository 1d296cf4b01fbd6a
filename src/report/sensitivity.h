/** @file
 *  Words that the tables and the chart of a sensitivity share. */
#ifndef AW_REPORT_SENSITIVITY_H
#define AW_REPORT_SENSITIVITY_H

#include "anchorwise/sensitivity.h"
#include "anchorwise/text.h"

#define AW_ASSUMED_ROOM 24

/* A value of an assumption: "+0.3 m", "6.2 in", "× 1.5", "16 %". */
void aw_assumption_range_words(const aw_assumption_row *row, double value, aw_units units,
                               char out[AW_ASSUMED_ROOM]);

/* The need that is a tolerance's limit: "bogie bay: p95"; a dash without one. */
void aw_tolerance_limit_words(const aw_sensitivity *sensitivity, const aw_tolerance *tolerance,
                              aw_text *out);

/* Which assumptions move some p95 by 15 % or more, or fell a need, for the top of a sheet. */
void aw_sensitivity_headline(const aw_sensitivity *sensitivity, aw_text *out);

#endif
