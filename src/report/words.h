/** @file
 *  What several outputs say in the same words. */
#ifndef AW_REPORT_WORDS_H
#define AW_REPORT_WORDS_H

#include "anchorwise/assess.h"
#include "anchorwise/text.h"
#include "report/lengths.h"

/* "p95 <= 0.5 m, in 90 %, zone share >= 95 %"; nothing for a need that asks nothing. */
void aw_need_words(const aw_need *need, aw_units units, aw_text *out);

/* The parts that decided a zone's verdict: "p95, p99 and weak pockets". */
void aw_reason_words(const aw_zone_result *result, aw_text *out);

/* What stands behind a zone's verdict: its reasons, or "with margin"; nothing where it is just met.
 */
void aw_behind_verdict(const aw_zone_result *result, aw_text *out);

/* A part's value with its unit, and with the digits that its verdict takes. */
aw_length_text aw_part_words(const aw_part_result *result, aw_part part, aw_units units);

/* That the figures are bench figures, if they are. */
void aw_bench_warning(const aw_scenario *scenario, aw_text *out);

/* Where the figures of `ranging` were measured, if the scenario names such a place. */
void aw_start_words(const aw_scenario *scenario, aw_text *out);

/* What a prediction is not. */
void aw_caution(aw_text *out);

/* "1000 draws", and where zones are drawn up to a precision "1000 draws (zones: p95 to 2 %)". */
typedef struct aw_draws_text {
    char text[64];
} aw_draws_text;
aw_draws_text aw_draws_words(const aw_study *study);

/* "1000 draws, seed 1, site figures"; with an empty line the last of what heads a study. */
void aw_settings_words(const aw_scenario *scenario, aw_text *out);
void aw_run_words(const aw_scenario *scenario, aw_text *out);

/* A place of a study: "floor", or a zone's name from 1 on. */
const char *aw_area_name(const aw_scenario *scenario, size_t place);

/* The head of a table: "TITLE (FILE)", and a line "set: PATH = VALUE" for each change that was laid
 * over the scenario; and those lines alone. */
void aw_title_words(const aw_scenario *scenario, const char *file, aw_text *out);
void aw_changes_words(const aw_scenario *scenario, aw_text *out);

#endif
