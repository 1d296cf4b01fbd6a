/* The worst cell of many is partly the unluckiest, so what is printed of it comes from other draws.
 */
#include "assess/pool.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/level.h"
#include "map/spot.h"
#include "position/tally.h"

/* The cell with the largest p95, or the first without one. */
static size_t find_worst(const aw_map *map)
{
    const double *p95 = map->value + (size_t)AW_LAYER_P95 * map->grid.n;
    size_t worst = 0;
    for (size_t i = 0; i < map->grid.n; i++) {
        if (isnan(p95[i]))
            return i;
        if (p95[i] > p95[worst])
            worst = i;
    }
    return worst;
}

/* p95 of one cell from draws M ... 17 M - 1, kept together for one count. */
static double confirm(aw_spot *spot, aw_trials *trials, float radius[])
{
    const size_t m = spot->draws.n_draws, n = AW_CONFIRMING * m;
    for (size_t k = 0; k < AW_CONFIRMING; k++) {
        spot->draws.first_draw = (uint32_t)(m + k * m);
        const aw_draws d = aw_trials_run(trials, &spot->draws);
        memcpy(radius + k * m, d.radius, m * sizeof *radius);
    }
    for (size_t i = n; i < n + 16; i++)
        radius[i] = (float)HUGE_VAL;
    return aw_rank_value(radius, n, (size_t)ceil(0.95 * (double)n - 1e-9));
}

bool aw_confirm_cell(double *p95, const aw_map_plan *plan, const aw_grid *grid, uint32_t number,
                     aw_errors *errors)
{
    const aw_scenario *s = plan->scenario;
    aw_scene_use use;
    const bool scene = aw_scene_use_begin(&use, plan->scene, s);
    aw_trials *trials = aw_trials_create(s->n_anchors, s->study.draws, NULL);
    aw_spot cell = {.links = calloc(s->n_anchors + 1, sizeof *cell.links)};
    float *radius = malloc((AW_CONFIRMING * (size_t)s->study.draws + 16) * sizeof *radius);
    const bool room = scene && trials && cell.links && radius;
    if (room) {
        aw_spot_prepare(&cell, use.scene, s, plan->tag, grid, number);
        *p95 = confirm(&cell, trials, radius);
    } else {
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the worst cell");
    }
    aw_scene_use_end(&use);
    aw_trials_free(trials);
    free(cell.links);
    free(radius);
    return room;
}

static void set_worst(aw_pooled *p, const aw_map *map, const aw_scenario *s, size_t tag)
{
    const size_t worst = find_worst(map);
    const aw_point at = aw_grid_centre(&map->grid, map->grid.number[worst]);
    const double spot[3] = {at.x, at.y, aw_tag_at(s, tag, at.x, at.y)};
    memcpy(p->worst_at, spot, sizeof spot);
    p->worst_p95 = map->value[(size_t)AW_LAYER_P95 * map->grid.n + worst];
}

static double share_of(uint64_t part, uint64_t whole)
{
    return whole > 0 ? (double)part / (double)whole : (double)NAN;
}

static double finite_or_nan(double x)
{
    return isfinite(x) ? x : (double)NAN;
}

void aw_pool_map(aw_pooled *pooled, const aw_map *map, const aw_scenario *scenario, size_t tag)
{
    const bool solid = scenario->tags[tag].fix == AW_FIX_3D;
    const double nan = (double)NAN;
    *pooled = (aw_pooled){.cells = map->grid.n,
                          .vertical_p50 = nan,
                          .vertical_p95 = nan,
                          .worst_p95 = nan,
                          .worst_at = {nan, nan, nan}};
    pooled->p50 = finite_or_nan(aw_tally_percentile(map->radius, 0.5));
    pooled->p95 = finite_or_nan(aw_tally_percentile(map->radius, 0.95));
    pooled->p99 = finite_or_nan(aw_tally_percentile(map->radius, 0.99));
    if (solid) {
        pooled->vertical_p50 = finite_or_nan(aw_tally_percentile(map->rise, 0.5));
        pooled->vertical_p95 = finite_or_nan(aw_tally_percentile(map->rise, 0.95));
    }
    pooled->fix_share = share_of(map->draws - map->failed, map->draws);
    pooled->ambiguous_share = share_of(map->ambiguous, map->draws);
    if (map->grid.n > 0)
        set_worst(pooled, map, scenario, tag);
}

bool aw_pool_confirm(aw_pooled *pooled, const aw_map *map, const aw_map_plan *plan,
                     const aw_run *run)
{
    if (!isnan(pooled->worst_p95) &&
        !aw_confirm_cell(&pooled->worst_p95, plan, &map->grid, map->grid.number[find_worst(map)],
                         run->errors))
        return false;
    if (run->watch != NULL)
        atomic_fetch_add(&run->watch->done, AW_CONFIRMING * (size_t)plan->scenario->study.draws);
    return true;
}
