/** @file
 *  A comparison in words that can be read aloud: one sentence for a place, one for the whole. */
#ifndef AW_REPORT_SENTENCES_H
#define AW_REPORT_SENTENCES_H

#include "anchorwise/compare.h"
#include "anchorwise/text.h"

/* The floor, or a zone from 1 on. */
const aw_area_result *aw_compared_area(const aw_comparison *comparison, size_t place);

/* Lengths in m; ends with its full stop. */
void aw_area_sentence(const aw_area_result *place, const char *name, aw_units units, aw_text *out);

/* How many cells of the floor gain and lose, and the zones that do so most, for the top of a sheet.
 */
void aw_change_headline(const aw_comparison *comparison, const aw_scenario *scenario, aw_text *out);

/* Whether b is worse in cells that hang together over more than 1 % of the floor. */
bool aw_has_worse_patch(const aw_comparison *comparison);

/* All places of a comparison; the scenario is either of the two. */
void aw_whole_sentence(const aw_comparison *comparison, const aw_scenario *scenario, aw_text *out);

#endif
