/* Where the fixes of tags in a zone are reported. */
#ifndef AW_ASSESS_REPORTS_H
#define AW_ASSESS_REPORTS_H

#include "assess/parts.h"

/* Counts for each group of draws: of fixes reported in each zone asked about, elsewhere, and of
 * draws without a fix. */
typedef struct aw_reports {
    size_t n_zones;
    uint64_t *count; /* count[column * AW_GROUPS + group], n_zones + 2 columns; owned */
    uint64_t whole[AW_GROUPS];
    uint64_t places, right; /* of the zone's area, and of it where decisions are right */
} aw_reports;

/* What to count. */
typedef struct aw_reports_plan {
    const aw_scenario *scenario;
    const aw_scene *scene; /* of it */
    const aw_zone *in;     /* where the tags are */
    const aw_zone *zones;  /* where they may be reported */
    size_t n_zones;
    bool area; /* whether to fill places and right */
} aw_reports_plan;

/* The cells whose square reaches into a zone, by its tag. False without memory or over the limit of
 * cells (an error). */
bool aw_reports_lay(aw_grid *grid, const aw_scenario *scenario, const aw_zone *zone,
                    aw_errors *errors);

/* False if stopped (no complaint) or without memory (an error); aw_reports_free() it either way. */
bool aw_reports_run(aw_reports *reports, const aw_reports_plan *plan, const aw_run *run);

/* Column of a zone asked about, or n_zones: elsewhere, n_zones + 1: no fix. */
aw_estimate aw_reports_share(const aw_reports *reports, size_t column, const aw_scenario *scenario);

void aw_reports_free(aw_reports *reports);

#endif
