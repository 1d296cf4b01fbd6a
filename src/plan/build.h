/* How readers fill a plan. Each returns false without memory. */
#ifndef AW_PLAN_BUILD_H
#define AW_PLAN_BUILD_H

#include <jansson.h>

#include "plan/plan.h"
#include "plan/scan.h"

/* Index of a layer by its name, whose case does not count; made if there is none. */
bool aw_plan_layer_at(aw_plan *plan, const char *name, size_t *layer);

/* Adds the pieces of a GeoJSON geometry, made like `model`. What is not finite is counted as empty.
 * `project`, unless NULL, turns each position into what is stored. */
bool aw_plan_add_geometry(aw_plan *plan, const json_t *geometry, const aw_piece *model,
                          void (*project)(const aw_plan *plan, double at[2]));

bool aw_plan_add_insert(aw_plan *plan, const aw_insert *insert);

/* A note without a place. */
void aw_plan_note(aw_plan *plan, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Counts pieces by layer, and measures layers. */
void aw_plan_count(aw_plan *plan);

bool aw_plan_run_out(const aw_run *run);

/* The readers of both forms, of a file that was read. */
bool aw_plan_read_dxf(aw_plan *plan, const char text[], size_t length, const aw_run *run);
bool aw_plan_read_geojson(aw_plan *plan, const char text[], size_t length, const aw_run *run);

#endif
