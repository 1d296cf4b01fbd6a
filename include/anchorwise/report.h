/** @file report.h
 *  Results as text: CSV of a map's cells, JSON of an assessment, a table a person reads.
 *
 *  Numbers in CSV and JSON are the shortest text that reads back to the same double. All of it is
 *  metric. A text that ran out of memory says so itself (aw_text.failed). */
#ifndef ANCHORWISE_REPORT_H
#define ANCHORWISE_REPORT_H

#include "anchorwise/assess.h"
#include "anchorwise/compare.h"
#include "anchorwise/decisions.h"
#include "anchorwise/effort.h"
#include "anchorwise/explain.h"
#include "anchorwise/freedom.h"
#include "anchorwise/map.h"
#include "anchorwise/outage.h"
#include "anchorwise/placing.h"
#include "anchorwise/scenario.h"
#include "anchorwise/sensitivity.h"
#include "anchorwise/sweep.h"
#include "anchorwise/text.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** CSV by RFC 4180, header first, one row for each cell; an empty field has no value. What was set
 *  in the scenario (vary.h) stands in a last column. */
void aw_cells_csv(const aw_map *map, const aw_scenario *scenario, aw_text *out);

/** The assessment as one JSON document; `file` is the scenario's name as given. */
void aw_assessment_json(const aw_assessment *assessment, const aw_scenario *scenario,
                        const char *file, aw_text *out);

/** The assessment for people. With `colour`, verdicts are set off by terminal colours too. */
void aw_assessment_table(const aw_assessment *assessment, const aw_scenario *scenario,
                         const char *file, bool colour, aw_text *out);

/** What a scenario describes, for a second pair of eyes: counts, areas, heights. */
void aw_scenario_summary(const aw_scenario *scenario, const char *file, aw_text *out);

/** The same as one JSON document, with what an assessment will cost unless that is NULL and the
 * warnings that reading it gave. */
void aw_scenario_summary_json(const aw_scenario *scenario, const char *file, const aw_effort *cost,
                              const aw_errors *warnings, aw_text *out);

/** What is wrong with a scenario that could not be read, as one JSON document: `errors` and
 *  `warnings`, each with `file`, `line`, `column` (null where it has no place) and `text`, and in
 *  `left_out` how many there were beyond those. */
void aw_errors_json(const aw_errors *errors, const char *file, aw_text *out);

/** About how long so many processor seconds take that many threads, and how much memory if bytes
 * are not 0: "about 12 s on 2 threads and 130 MB". */
void aw_effort_words(double seconds, double bytes, unsigned threads, aw_text *out);

/** Comparisons of the first of n layouts with each of the others, comparisons[k - 1] with layout k.
 *  What was changed in the scenarios (vary.h) is told of the first, for all. */
void aw_comparisons_table(const aw_comparison comparisons[], const aw_scenario scenarios[],
                          const char *const files[], size_t n, bool colour, aw_text *out);
void aw_comparisons_json(const aw_comparison comparisons[], const aw_scenario scenarios[],
                         const char *const files[], size_t n, aw_text *out);

/** Zone decisions for people and as one JSON document, with each zone's verdict over its need. */
void aw_decisions_table(const aw_decisions *decisions, const aw_verdict verdicts[],
                        const aw_scenario *scenario, const char *file, bool colour, aw_text *out);
void aw_decisions_json(const aw_decisions *decisions, const aw_verdict verdicts[],
                       const aw_scenario *scenario, const char *file, aw_text *out);

/** What a task takes, in words and as one JSON document. */
void aw_task_words(const aw_task *task, const aw_task_need *need, aw_units units, aw_text *out);
void aw_task_json(const aw_task *task, const aw_task_need *need, aw_text *out);

/** What each anchor's loss costs. */
void aw_outage_table(const aw_outage *outage, const aw_scenario *scenario, const char *file,
                     bool colour, aw_text *out);
void aw_outage_json(const aw_outage *outage, const aw_scenario *scenario, const char *file,
                    aw_text *out);

/** Where anchors are placed, what that costs, what it reaches and what nothing can be under. */
void aw_placing_table(const aw_placing *placing, const aw_scenario *scenario, const char *file,
                      bool sturdy, bool colour, aw_text *out);
/** A line for each part of a zone's need that is not met or undecided, drawn with a seed. */
void aw_zone_shortfall(const aw_zone_result *result, const char *zone, uint64_t seed,
                       aw_units units, aw_text *out);
/** What a layout that is not found sufficient falls short of, a line for each zone and part;
 * nothing for one that is. */
void aw_placing_shortfall(const aw_placing *placing, const aw_scenario *scenario, bool sturdy,
                          aw_text *out);
void aw_placing_json(const aw_placing *placing, const aw_scenario *scenario, const char *file,
                     bool sturdy, aw_text *out);

/** Price against accuracy: n placings, each with every zone's p95 at p95[k] (m). */
typedef struct aw_placings {
    const aw_placing *list;
    const double *p95;
    size_t n;
    bool sturdy; /**< with any one anchor lost */
} aw_placings;

void aw_placings_table(const aw_placings *placings, const aw_scenario *scenario, const char *file,
                       bool colour, aw_text *out);
void aw_placings_json(const aw_placings *placings, const aw_scenario *scenario, const char *file,
                      aw_text *out);

/** Error against number or height: for people, as JSON, as CSV (one row for each point and zone,
 *  likewise).
 */
void aw_sweep_table(const aw_sweep *sweep, const aw_scenario *scenario, const char *file,
                    aw_text *out);
void aw_sweep_json(const aw_sweep *sweep, const aw_scenario *scenario, const char *file,
                   aw_text *out);
void aw_sweep_csv(const aw_sweep *sweep, const aw_scenario *scenario, aw_text *out);

/** What a zone's curve says, in a sentence: "flat between 4 and 12 anchors: ...". */
void aw_curve_shape_words(const aw_sweep *sweep, size_t zone, aw_units units, aw_text *out);

/** How much the figures lean on the assumptions, and the tolerances: a table for each zone, of many
 *  zones a row for each; and all assumptions of one zone, by its place in `zones`. */
void aw_sensitivity_table(const aw_sensitivity *sensitivity, const aw_scenario *scenario,
                          const char *file, bool colour, aw_text *out);
void aw_sensitivity_zone_table(const aw_sensitivity *sensitivity, const aw_scenario *scenario,
                               const char *file, size_t zone, bool colour, aw_text *out);
void aw_sensitivity_json(const aw_sensitivity *sensitivity, const aw_scenario *scenario,
                         const char *file, aw_text *out);

/** Where anchors may hang instead. */
void aw_freedom_table(const aw_freedoms *freedoms, const aw_scenario *scenario, const char *file,
                      aw_text *out);
void aw_freedom_json(const aw_freedoms *freedoms, const aw_scenario *scenario, const char *file,
                     aw_text *out);

/** Why a spot is as it is, and what would mend it. */
void aw_explanation_table(const aw_explanation *explanation, const aw_scenario *scenario,
                          const char *file, aw_text *out);
void aw_explanation_json(const aw_explanation *explanation, const aw_scenario *scenario,
                         const char *file, aw_text *out);

/** Sentences on a spot (m) where no tag can be, or that lies on a level with room beneath it;
 * nothing of others. Ends with an empty line. */
void aw_spot_remarks(const aw_scenario *scenario, const double spot[3], aw_text *out);

/** A remedy in a few words: "N1 raised from 6.2 to 8.2 m". */
void aw_remedy_words(const aw_remedy *remedy, const aw_scenario *scenario, aw_text *out);

/** The JSON Schema (draft 2020-12) of all these documents, and the same as a page to read
 *  (Markdown). */
void aw_output_schema(aw_text *out);
void aw_output_reference(aw_text *out);

/** Every starting point: its figures, what was measured where and when, and which share of the
 * sites is expected to be no worse. */
void aw_starts_reference(aw_text *out);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
