/* The floor by the tag shown and each zone by its own: a map each, or laws without a draw. */
#include "live/outlook.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/cost.h"
#include "anchorwise/vary.h"
#include "assess/parts.h"
#include "assess/pool.h"
#include "assess/zone_assess.h"
#include "base/parallel.h"

/* Draws that stand for the linear estimate. */
#define FEWEST 32

static bool run_out(const aw_run *run)
{
    aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory");
    return false;
}

/* Takes the grid over. */
static bool begin(aw_outlook *f, const aw_scenario *s, aw_grid *grid, const aw_run *run)
{
    const size_t n = grid->nx * grid->ny;
    *f = (aw_outlook){.grid = *grid, .price = aw_layout_price(s), .n_zones = s->n_zones};
    *grid = (aw_grid){0};
    f->p95 = malloc((n + 1) * sizeof *f->p95);
    f->zones = calloc(s->n_zones + 1, sizeof *f->zones);
    if (f->p95 == NULL || f->zones == NULL)
        return run_out(run);
    for (size_t i = 0; i < n; i++)
        f->p95[i] = NAN;
    return true;
}

void aw_outlook_free(aw_outlook *f)
{
    aw_grid_free(&f->grid);
    free(f->p95);
    free(f->zones);
    *f = (aw_outlook){0};
}

/* --- without draws --- */

/* At most, or at least, what is asked of figures so that what is written holds; a figure that is
 * not there does neither. */
static void judge_part(aw_zone_result *r, aw_part part, double written, double asked, double value)
{
    aw_part_result *p = &r->parts[part];
    const bool holds = aw_part_rows[part].is_length ? value <= asked : value >= asked;
    p->asked = written;
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
    judge_part(r, AW_PART_P95, written->p95, need.p95, r->errors.p95);
    if (!isnan(need.share) && !isnan(need.p95))
        judge_part(r, AW_PART_SHARE, written->share, need.share,
                   (double)aw_error_laws_within(laws, need.p95, 0.95) / (double)laws->n);
    r->errors.worst_p95 = isfinite(worst) ? worst : (double)NAN;
    r->errors.worst_at[0] = r->errors.worst_at[1] = (double)NAN;
    if (at < grid->n) {
        const aw_point where = aw_grid_centre(grid, grid->number[at]);
        r->errors.worst_at[0] = where.x;
        r->errors.worst_at[1] = where.y;
    }
}

typedef struct judging {
    aw_outlook *figures;
    const aw_linear *linear;
    const aw_scenario *scenario;
} judging;

static void judge_zones(void *context, size_t from, size_t to, unsigned thread)
{
    const judging *j = context;
    (void)thread;
    for (size_t i = from; i < to; i++)
        judge_laws(&j->figures->zones[i], &j->linear->fields[i + 1].laws,
                   &j->linear->fields[i + 1].grid, j->scenario, &j->scenario->zones[i].need);
}

static bool copy_grid(aw_grid *to, const aw_grid *from, const aw_run *run)
{
    *to = *from;
    to->number = malloc((from->n + 1) * sizeof *to->number);
    if (to->number == NULL)
        return run_out(run);
    memcpy(to->number, from->number, from->n * sizeof *to->number);
    return true;
}

/* Where links come and go a law for each of their states takes longer than a few draws. */
bool aw_outlook_estimate(aw_outlook *f, aw_linear *kept, const aw_linear_plan *plan,
                         const aw_run *run)
{
    const aw_scenario *s = plan->scenario;
    aw_grid grid;
    if (!aw_linear_suits(s))
        return aw_outlook_draw(f, s, plan->tag, FEWEST, run);
    if (!aw_linear_run(kept, plan, run) || !copy_grid(&grid, &kept->fields[0].grid, run) ||
        !begin(f, s, &grid, run))
        return false;
    for (size_t i = 0; i < f->grid.n; i++)
        f->p95[f->grid.number[i]] = (float)kept->fields[0].p95[i];
    f->floor.fix_share = 1;
    judging j = {f, kept, s};
    return aw_parallel(s->n_zones, 1, run, judge_zones, &j, 1);
}

/* --- by draws --- */

static bool draw_floor(aw_outlook *f, const aw_scenario *s, const aw_scene *scene, size_t tag,
                       const aw_run *run)
{
    const aw_map_plan plan = {
        .scenario = s, .tag = tag, .groups = 1, .scene = scene, .errors_alone = true};
    aw_grid grid = {0};
    aw_map map = {0};
    const bool done =
        aw_grid_lay(&grid, s, tag, run->errors) && aw_map_run(&map, &grid, &plan, run);
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
            judge_part(r, (aw_part)part, r->parts[part].asked, r->parts[part].asked,
                       r->parts[part].found.value);
    r->verdict = AW_NO_NEED;
    for (int part = 0; part < AW_PARTS; part++)
        r->verdict = aw_verdict_join(r->verdict, r->parts[part].verdict);
}

static bool draw_zones(aw_outlook *f, const aw_scenario *s, const aw_scene *scene, bool whole,
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

bool aw_outlook_draw(aw_outlook *f, const aw_scenario *s, size_t tag, uint32_t draws,
                     const aw_run *run)
{
    aw_varied fewer = aw_vary(s);
    const bool whole = draws == 0 || draws >= s->study.draws;
    if (!whole) {
        fewer.scenario.study.draws = draws;
        fewer.scenario.study.precision = (double)NAN;
    }
    aw_scene *scene = NULL;
    aw_grid grid = {0};
    bool done = aw_grid_lay(&grid, s, tag, run->errors) && begin(f, s, &grid, run);
    aw_grid_free(&grid);
    f->draws = fewer.scenario.study.draws;
    if (done && (scene = aw_scene_create(&fewer.scenario)) == NULL)
        done = run_out(run);
    done = done && draw_floor(f, &fewer.scenario, scene, tag, run) &&
           draw_zones(f, &fewer.scenario, scene, whole, run);
    aw_scene_free(scene);
    aw_varied_free(&fewer);
    return done;
}
