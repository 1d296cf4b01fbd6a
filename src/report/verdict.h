/** @file
 *  Verdicts in words and in the terminal's colours: the one place for both. The words stand in the
 *  table of all words (columns.h). */
#ifndef AW_REPORT_VERDICT_H
#define AW_REPORT_VERDICT_H

#include "anchorwise/assess.h"

/* In a column: "met", "NOT MET", "undecided"; "–" where nothing is asked. */
const char *aw_verdict_word(aw_verdict verdict);

/* The same of a zone, and "met with margin"; and the name of those words. */
const char *aw_zone_verdict_name(const aw_zone_result *result);
const char *aw_zone_verdict_word(const aw_zone_result *result);

/* In a sentence: "met", "not met", "undecided"; "" where nothing is asked. */
const char *aw_verdict_phrase(aw_verdict verdict);

/* What begins the verdict's colour, and what ends it; both "" without colour or a verdict. */
const char *aw_verdict_colour(aw_verdict verdict, bool colour);
const char *aw_verdict_colour_end(aw_verdict verdict, bool colour);

#endif
