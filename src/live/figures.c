/* The floor by the tag shown and each zone by its own: a map each, or laws without a draw. */
#include "live/figures.h"

#include <math.h>
#include <stdlib.h>

#include "anchorwise/cost.h"
#include "anchorwise/vary.h"
#include "assess/instant.h"
#include "assess/parts.h"
#include "assess/pool.h"
#include "assess/zone_assess.h"

/* Draws that stand for the linear estimate. */
#define FEWEST 32

static bool run_out(const aw_run *run)
{
    aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory");
    return false;
}

static bool begin(aw_figures *f, const aw_scenario *s, size_t tag, const aw_run *run)
{
    *f = (aw_figures){.price = aw_layout_price(s), .n_zones = s->n_zones};
    if (!aw_grid_lay(&f->grid, s, s->tags[tag].height, run->errors))
        return false;
    const size_t n = f->grid.nx * f->grid.ny;
    f->p95 = malloc((n + 1) * sizeof *f->p95);
    f->zones = calloc(s->n_zones + 1, sizeof *f->zones);
    if (f->p95 == NULL || f->zones == NULL)
        return run_out(run);
    for (size_t i = 0; i < n; i++)
        f->p95[i] = NAN;
    return true;
}

void aw_figures_free(aw_figures *f)
{
    aw_grid_free(&f->grid);
    free(f->p95);
    free(f->zones);
    *f = (aw_figures){0};
}

/* --- without draws --- */

/* The laws of a grid's cells. */
static bool find_laws(aw_error_laws *laws, const aw_instant_plan *plan, const aw_run *run)
{
    *laws = (aw_error_laws){0};
    if (!aw_error_laws_create(laws, plan->grid->n, aw_states_of(plan->scenario)))
        return run_out(run);
    return aw_instant_run(laws, plan, 0, 1, run);
}

static const aw_loss no_loss;

static bool estimate_floor(aw_figures *f, const aw_scenario *s, const aw_scene *scene, size_t tag,
                           const aw_run *run)
{
    const aw_instant_plan plan = {s, scene, &f->grid, tag, false, &no_loss, 1};
    aw_error_laws laws;
    double *p95 = malloc((f->grid.n + 1) * sizeof *p95);
    const bool done = p95 != NULL ? find_laws(&laws, &plan, run) : run_out(run);
    if (done) {
        aw_error_laws_each(&laws, 0.95, p95);
        for (size_t i = 0; i < f->grid.n; i++)
            f->p95[f->grid.number[i]] = (float)p95[i];
    }
    if (p95 != NULL)
        aw_error_laws_free(&laws);
    free(p95);
    return done;
}

/* At most, or at least, what is asked; a figure that is not there does neither. */
static void judge_part(aw_zone_result *r, aw_part part, double asked, double value)
{
    aw_part_result *p = &r->parts[part];
    const bool holds = aw_part_rows[part].is_length ? value <= asked : value >= asked;
    p->asked = asked;
    p->found = (aw_estimate){value, (double)NAN, (double)NAN};
    p->verdict = isnan(asked) ? AW_NO_NEED : holds ? AW_MET : AW_NOT_MET;
    r->verdict = aw_verdict_join(r->verdict, p->verdict);
}

/* p95 and the share of cells, by the need that makes the chance or the margin hold too. What the
 * estimate does not tell is not asked. */
static void judge_laws(aw_zone_result *r, const aw_error_laws *laws, const aw_grid *grid,
                       const aw_scenario *s, const aw_need *written)
{
    const aw_need need = aw_need_of_figures(written, s);
    const double p95 = aw_error_laws_percentile(laws, 0.95, 0);
    double worst;
    const size_t at = aw_error_laws_worst(laws, 0.95, &worst);
    for (int part = 0; part < AW_PARTS; part++)
        r->parts[part].asked = (double)NAN, r->parts[part].verdict = AW_NO_NEED;
    r->verdict = AW_NO_NEED;
    r->errors.p95 = isfinite(p95) ? p95 : (double)NAN;
    judge_part(r, AW_PART_P95, need.p95, r->errors.p95);
    if (!isnan(need.share) && !isnan(need.p95))
        judge_part(r, AW_PART_SHARE, need.share,
                   (double)aw_error_laws_within(laws, need.p95, 0.95) / (double)laws->n);
    r->errors.worst_p95 = isfinite(worst) ? worst : (double)NAN;
    r->errors.worst_at[0] = r->errors.worst_at[1] = (double)NAN;
    if (at < grid->n) {
        const aw_point where = aw_grid_centre(grid, grid->number[at]);
        r->errors.worst_at[0] = where.x;
        r->errors.worst_at[1] = where.y;
    }
}

static bool estimate_zone(aw_zone_result *r, const aw_scenario *s, const aw_scene *scene,
                          const aw_zone *zone, const aw_run *run)
{
    aw_grid grid;
    aw_error_laws laws = {0};
    bool done = aw_grid_lay_zone(&grid, s, zone, run->errors);
    if (done) {
        const aw_instant_plan plan = {s, scene, &grid, zone->tag, false, &no_loss, 1};
        done = find_laws(&laws, &plan, run);
    }
    if (done)
        judge_laws(r, &laws, &grid, s, &zone->need);
    aw_error_laws_free(&laws);
    aw_grid_free(&grid);
    return done;
}

/* Where links come and go a law for each of their states takes longer than a few draws. */
bool aw_figures_estimate(aw_figures *f, const aw_scenario *s, size_t tag, const aw_run *run)
{
    if (aw_states_of(s) > 1)
        return aw_figures_draw(f, s, tag, FEWEST, run);
    aw_scene *scene = NULL;
    bool done = begin(f, s, tag, run);
    if (done && (scene = aw_scene_create(s)) == NULL)
        done = run_out(run);
    done = done && estimate_floor(f, s, scene, tag, run);
    for (size_t i = 0; done && i < s->n_zones; i++)
        done = estimate_zone(&f->zones[i], s, scene, &s->zones[i], run);
    f->floor.fix_share = 1;
    aw_scene_free(scene);
    return done;
}

/* --- by draws --- */

static bool draw_floor(aw_figures *f, const aw_scenario *s, const aw_scene *scene, size_t tag,
                       const aw_run *run)
{
    const aw_map_plan plan = {
        .scenario = s, .tag = tag, .groups = 1, .scene = scene, .errors_alone = true};
    aw_grid grid = {0};
    aw_map map = {0};
    const bool done = aw_grid_lay(&grid, s, s->tags[tag].height, run->errors) &&
                      aw_map_run(&map, &grid, &plan, run);
    for (size_t i = 0; done && i < map.grid.n; i++) {
        const double p95 = map.value[AW_LAYER_P95 * map.grid.n + i];
        f->p95[map.grid.number[i]] = isnan(p95) ? INFINITY : (float)p95;
    }
    if (done)
        aw_pool_map(&f->floor, &map, s, tag);
    aw_map_free(&map);
    return done;
}

/* Few draws leave much undecided that all will tell: until then a part stands as its value does. */
static void judge_by_values(aw_zone_result *r)
{
    for (int part = 0; part < AW_PARTS; part++)
        if (r->parts[part].verdict == AW_UNDECIDED)
            judge_part(r, (aw_part)part, r->parts[part].asked, r->parts[part].found.value);
    r->verdict = AW_NO_NEED;
    for (int part = 0; part < AW_PARTS; part++)
        r->verdict = aw_verdict_join(r->verdict, r->parts[part].verdict);
}

static bool draw_zones(aw_figures *f, const aw_scenario *s, const aw_scene *scene, bool whole,
                       const aw_run *run)
{
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone_plan plan = {.scenario = s,
                                   .zone = &s->zones[i],
                                   .judging = whole ? AW_JUDGE_ALL : AW_JUDGE_LOOK,
                                   .scene = scene,
                                   .without_odds = !whole};
        aw_map map = {0};
        const bool done = aw_assess_zone_run(&f->zones[i], &map, &plan, run);
        aw_map_free(&map);
        if (!done)
            return false;
        if (!whole)
            judge_by_values(&f->zones[i]);
    }
    return true;
}

bool aw_figures_draw(aw_figures *f, const aw_scenario *s, size_t tag, uint32_t draws,
                     const aw_run *run)
{
    aw_varied fewer = aw_vary(s);
    const bool whole = draws == 0 || draws >= s->study.draws;
    if (!whole) {
        fewer.scenario.study.draws = draws;
        fewer.scenario.study.precision = (double)NAN;
    }
    aw_scene *scene = NULL;
    bool done = begin(f, s, tag, run);
    f->draws = fewer.scenario.study.draws;
    if (done && (scene = aw_scene_create(&fewer.scenario)) == NULL)
        done = run_out(run);
    done = done && draw_floor(f, &fewer.scenario, scene, tag, run) &&
           draw_zones(f, &fewer.scenario, scene, whole, run);
    aw_scene_free(scene);
    aw_varied_free(&fewer);
    return done;
}
