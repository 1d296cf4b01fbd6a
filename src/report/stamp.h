/** @file
 *  A zone's verdict as a stamp, and a sheet's first sentence: what decides, in few words. */
#ifndef AW_REPORT_STAMP_H
#define AW_REPORT_STAMP_H

#include "anchorwise/assess.h"
#include "anchorwise/text.h"

/* "NOT MET", "MET WITH MARGIN", "MET", "UNDECIDED", "NO NEED STATED". */
const char *aw_stamp_word(const aw_zone_result *result);

/* Where words stand: on a sheet errors are in its soundings' unit, in a text as in its tables. */
typedef enum aw_stood { AW_IN_A_TEXT, AW_ON_A_SHEET } aw_stood;

/* The part that decides: "87 of 95 % of cells", "p95 0.75 m"; where it is not met with what is
 * asked: "p95 1.1 of 1.0 m", on a sheet "p95 110 of 100 cm". Nothing without a need. */
void aw_stamp_part(const aw_zone_result *result, aw_units units, aw_stood where, aw_text *out);

/* How far a zone is from its need: the largest lack of a part, as a share of what is asked; 0 where
 * all are met. */
double aw_zone_lack(const aw_zone_result *result);

/* How many needs are met, and the zone that is furthest from it, by the same figures. */
void aw_headline_words(const aw_assessment *assessment, const aw_scenario *scenario, aw_stood where,
                       aw_text *out);

/* "A" to "Z", "AA", ...: the letter of a zone by its place in the scenario, on every sheet. */
typedef struct aw_letter_text {
    char text[4];
} aw_letter_text;
aw_letter_text aw_zone_letter(size_t zone);

#endif
