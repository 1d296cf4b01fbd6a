/* What each document tells of: the subject of its shape, for programs, and of its tables, for
 * people. */
#ifndef AW_REPORT_TOLD_H
#define AW_REPORT_TOLD_H

#include "anchorwise/assess.h"
#include "anchorwise/compare.h"
#include "anchorwise/cost.h"
#include "anchorwise/decisions.h"
#include "anchorwise/effort.h"
#include "anchorwise/explain.h"
#include "anchorwise/freedom.h"
#include "anchorwise/mismatch.h"
#include "anchorwise/outage.h"
#include "anchorwise/placing.h"
#include "anchorwise/sensitivity.h"
#include "anchorwise/sweep.h"
#include "radio/paths.h"
#include "report/run.h"

/* A run, and the result that it had. */
#define AW_TOLD(name, type, member)                                                                \
    typedef struct name {                                                                          \
        aw_report_run run;                                                                         \
        const type *member;                                                                        \
    } name

AW_TOLD(aw_told_assessment, aw_assessment, assessment);
AW_TOLD(aw_told_outage, aw_outage, outage);
AW_TOLD(aw_told_explanation, aw_explanation, explanation);
AW_TOLD(aw_told_sensitivity, aw_sensitivity, sensitivity);
AW_TOLD(aw_told_freedoms, aw_freedoms, all);
AW_TOLD(aw_told_sweep, aw_sweep, sweep);
extern const aw_shape aw_assessment_shape, aw_outage_shape, aw_explanation_shape,
    aw_sensitivity_shape, aw_freedom_shape, aw_sweep_shape;
/* A line of --csv: of a zone at a point. */
extern const aw_shape aw_sweep_row_shape;

/* Of a scenario, or of what is wrong with one. */
typedef struct aw_told_summary {
    aw_report_run run;
    const aw_effort *cost;   /* NULL: not told */
    const aw_errors *errors; /* warnings too */
    const aw_bill *bill;     /* NULL without prices */
} aw_told_summary;
extern const aw_shape aw_summary_shape, aw_errors_shape;

typedef struct aw_told_decisions {
    aw_report_run run;
    const aw_decisions *decisions;
    const aw_verdict *verdicts;
} aw_told_decisions;
extern const aw_shape aw_decisions_shape;

typedef struct aw_told_links {
    aw_report_run run;
    const aw_link_trace *traces;
    const double *spot;
} aw_told_links;
extern const aw_shape aw_links_shape;

/* Comparisons of the first of n layouts with each of the others. */
typedef struct aw_told_comparisons {
    aw_report_run run;
    const aw_comparison *comparisons;
    const aw_scenario *scenarios;
    const char *const *files;
    aw_mismatches *mismatches; /* of each comparison */
    size_t n;
} aw_told_comparisons;
extern const aw_shape aw_comparisons_shape;
/* False without memory; to be freed either way. */
bool aw_told_comparisons_make(aw_told_comparisons *told, const aw_comparison comparisons[],
                              const aw_scenario scenarios[], const char *const files[], size_t n);
void aw_told_comparisons_free(aw_told_comparisons *told);

typedef struct aw_told_placings {
    aw_report_run run;
    bool sturdy;
    const aw_placing *placings;
    const double *p95; /* asked of each; NULL: by the scenario's needs */
    size_t n;
} aw_told_placings;
extern const aw_shape aw_placing_shape, aw_placings_shape;

/* The subject of a whole document. */
#define AW_DOCUMENT(told)                                                                          \
    (aw_subject)                                                                                   \
    {                                                                                              \
        .of = &(told), .with = &(told)                                                             \
    }

#endif
