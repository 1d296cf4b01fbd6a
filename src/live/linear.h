/* The linear estimate of a floor and its zones, kept ready for one anchor to be moved: of every
 * cell the sums over the links of all the others. A move then costs one link a cell. */
#ifndef AW_LIVE_LINEAR_H
#define AW_LIVE_LINEAR_H

#include "live/reading.h"
#include "position/error_law_batch.h"

/* No anchor moves. */
#define AW_NONE_MOVES SIZE_MAX

/* What is asked: the scenario, which is that of `base` but for the place of one anchor. */
typedef struct aw_linear_plan {
    const aw_scenario *scenario;
    aw_reading *base;
    size_t moved; /* that anchor, or AW_NONE_MOVES: then base is the scenario's own */
    size_t tag;   /* of the floor */
} aw_linear_plan;

/* Cells of the floor, then those of each zone, with their laws. */
typedef struct aw_linear_field {
    aw_grid grid;
    size_t tag;
    struct aw_sums *rest;
    aw_error_laws laws;
    double *p95; /* of the floor's cells, m; infinite without one */
} aw_linear_field;

typedef struct aw_linear {
    aw_reading *base; /* held */
    size_t moved, tag;
    aw_linear_field *fields;
    size_t n;
} aw_linear;

/* Whether a scenario is for it: links that do not come and go, and not too many cells. */
bool aw_linear_suits(const aw_scenario *scenario);

/* Fills the laws of every field. False if stopped or with errors. */
bool aw_linear_run(aw_linear *linear, const aw_linear_plan *plan, const aw_run *run);

/* Of a zeroed struct too. */
void aw_linear_free(aw_linear *linear);

#endif
