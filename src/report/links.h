/** @file
 *  The links of one spot laid open. */
#ifndef AW_REPORT_LINKS_H
#define AW_REPORT_LINKS_H

#include "anchorwise/scenario.h"
#include "anchorwise/text.h"
#include "radio/paths.h"

/** The links of every anchor of the scenario to one spot (m), with their paths. */
void aw_traces_table(const aw_link_trace traces[], const aw_scenario *scenario, const char *file,
                     const double spot[3], aw_text *out);
void aw_traces_json(const aw_link_trace traces[], const aw_scenario *scenario, const char *file,
                    const double spot[3], aw_text *out);

/* The share of a link in the solver's weight, over many fixes. */
double aw_trace_weight(const aw_link_trace traces[], size_t n, size_t i);

/* "clear", "obstructed" or "lost". */
extern const char *const aw_link_state_words[];
const char *aw_link_state_word(const aw_link *link);

#endif
