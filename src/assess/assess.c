/* The floor is one map; each zone is a map of its own cells, so that one zone's counts are in
 * memory at a time. Cells of a zone draw the same numbers as in the floor's map. */
#include "anchorwise/assess.h"

#include <math.h>
#include <stdlib.h>

#include "assess/parts.h"
#include "assess/pool.h"
#include "assess/zone_assess.h"

size_t aw_assess_work(const aw_scenario *s)
{
    size_t work = aw_zone_work(s, NULL);
    for (size_t i = 0; i < s->n_zones; i++)
        work += aw_zone_work(s, &s->zones[i]);
    return work;
}

static bool assess_zone(aw_zone_result *r, const aw_zone_plan *plan, const aw_run *run)
{
    aw_map map;
    const bool done = aw_assess_zone_run(r, &map, plan, run);
    aw_map_free(&map);
    return done;
}

bool aw_assess_zone(aw_zone_result *r, const aw_scenario *s, const aw_zone *z, const aw_run *run)
{
    return assess_zone(r, &(aw_zone_plan){.scenario = s, .zone = z, .judging = AW_JUDGE_ALL}, run);
}

static bool assess_floor(aw_assessment *a, const aw_scenario *s, const aw_scene *scene,
                         const aw_run *run)
{
    const aw_map_plan plan = {.scenario = s, .groups = 1, .scene = scene};
    aw_grid grid;
    if (!aw_grid_lay_zone(&grid, s, NULL, run->errors) || !aw_map_run(&a->map, &grid, &plan, run))
        return false;
    for (size_t i = 0; i < s->n_anchors; i++)
        a->used_share[i] =
            a->map.grid.n > 0 ? (double)a->map.used_in[i] / (double)a->map.grid.n : (double)NAN;
    aw_pool_map(&a->floor, &a->map, s, 0);
    return aw_pool_confirm(&a->floor, &a->map, &plan, run);
}

static bool assess_zones(aw_assessment *a, const aw_scenario *s, const aw_scene *scene,
                         const aw_run *run)
{
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone_plan plan = {
            .scenario = s, .zone = &s->zones[i], .judging = AW_JUDGE_ALL, .scene = scene};
        aw_zone_stage(run->watch, s, i, "");
        if (!assess_zone(&a->zones[i], &plan, run))
            return false;
        a->verdict = aw_verdict_join(a->verdict, a->zones[i].verdict);
    }
    return true;
}

bool aw_assess_run(aw_assessment *a, const aw_scenario *s, const aw_run *run)
{
    *a = (aw_assessment){.verdict = AW_NO_NEED};
    a->used_share = calloc(s->n_anchors, sizeof *a->used_share);
    a->zones = calloc(s->n_zones + 1, sizeof *a->zones);
    aw_scene *scene = aw_scene_create(s);
    bool done = a->used_share != NULL && a->zones != NULL && scene != NULL;
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory");
    aw_zone_stage(run->watch, s, s->n_zones, "");
    done = done && assess_floor(a, s, scene, run) && assess_zones(a, s, scene, run);
    aw_scene_free(scene);
    return done;
}

void aw_assessment_free(aw_assessment *a)
{
    aw_map_free(&a->map);
    free(a->used_share);
    free(a->zones);
    *a = (aw_assessment){0};
}
