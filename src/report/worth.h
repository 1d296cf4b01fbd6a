/** @file
 *  What a prediction is worth, in words: the range of sites, the chance, and what both rest on. */
#ifndef AW_REPORT_WORTH_H
#define AW_REPORT_WORTH_H

#include "anchorwise/site_law.h"
#include "report/lengths.h"
#include "report/words.h"

/* Of a zone: "64 %", "> 95 %", "< 5 %", "–"; few systems show no more. */
aw_length_text aw_chance_words(const aw_zone_result *result);

/* "Nine sites in ten are expected between 0.10 and 2.1 times these figures." */
void aw_range_sentence(const aw_scenario *scenario, const char *figures, aw_text *out);

/* Under a table: what was measured, what the range and the chance rest on, and what a measurement
 * would change. */
void aw_footing_words(const aw_scenario *scenario, aw_text *out);

/* Of a need's chance: "with a chance of 80 % or more"; nothing where none is asked. */
void aw_chance_asked_words(const aw_scenario *scenario, aw_text *out);

/* "site", "equipment" or "none": the footing in one word. */
const char *aw_footing_word(const aw_scenario *scenario);
extern const char *const aw_footing_words_list[];

#endif
