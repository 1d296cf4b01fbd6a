/* Place by place: spreads of its cells under a batch of losses, then what they make together. The
 * draws come last, where these estimates point. */
#include "anchorwise/level.h"
#include "anchorwise/outage.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/link.h"
#include "anchorwise/vary.h"
#include "assess/instant.h"
#include "assess/parts.h"
#include "assess/pool.h"
#include "assess/zone_assess.h"
#include "base/parallel.h"

/* Losses of a zone, worst first by p95, that are assessed by draws; the figures that losses are
 * judged by, and how many losses they may point to. */
#define CONFIRMED      3
#define JUDGED         4
#define MOST_CONFIRMED (CONFIRMED + JUDGED - 1)

const aw_loss_figures *aw_outage_at(const aw_outage *o, size_t place, size_t loss)
{
    return &o->figures[place * o->n_losses + loss];
}

bool aw_outage_is_idle(const aw_outage *o, size_t loss)
{
    bool any = false;
    for (size_t place = 0; place < o->n_places; place++) {
        if (aw_outage_at(o, place, loss)->touched > 0)
            return false;
        any = any || aw_outage_at(o, place, 0)->no_fix < 1;
    }
    return any;
}

/* The loss of a single anchor by itself. */
static size_t single_of(size_t anchor)
{
    return 1 + anchor;
}

bool aw_outage_pair_matters(const aw_outage *o, size_t place, size_t loss)
{
    const aw_loss *l = &o->losses[loss];
    return l->n == 2 && aw_outage_at(o, place, loss)->falls_short &&
           !aw_outage_at(o, place, single_of(l->anchor[0]))->falls_short &&
           !aw_outage_at(o, place, single_of(l->anchor[1]))->falls_short;
}

static size_t count_losses(size_t n)
{
    return 1 + n + (n <= AW_MOST_PAIRED ? n * (n - 1) / 2 : 0);
}

static bool list_losses(aw_outage *o, const aw_scenario *s)
{
    const size_t n = s->n_anchors;
    size_t k = 0;
    o->n_singles = n;
    o->n_places = 1 + s->n_zones;
    o->n_losses = count_losses(n);
    o->losses = calloc(o->n_losses, sizeof *o->losses);
    o->figures = calloc(o->n_losses * o->n_places, sizeof *o->figures);
    o->worst = calloc(1 + n, sizeof *o->worst);
    o->intact = calloc(o->n_places, sizeof *o->intact);
    o->sturdy = calloc(o->n_places, sizeof *o->sturdy);
    if (!o->losses || !o->figures || !o->worst || !o->intact || !o->sturdy)
        return false;
    o->losses[k++] = (aw_loss){0};
    for (size_t i = 0; i < n; i++)
        o->losses[k++] = (aw_loss){1, {i, 0}};
    for (size_t i = 0; i < n && n <= AW_MOST_PAIRED; i++)
        for (size_t j = i + 1; j < n; j++)
            o->losses[k++] = (aw_loss){2, {i, j}};
    return true;
}

/* --- linear estimates --- */

typedef struct job {
    aw_outage *outage;
    const aw_scenario *scenario;
    const aw_zone *zone; /* NULL: the floor */
    const aw_grid *grid;
    aw_error_laws *spreads;
    float *rms; /* of each cell with all anchors; infinite without a position */
    size_t place, from;
    bool vertical;
    double drawn; /* p95 of the draws with all anchors */
    double plain; /* estimated p95 with all anchors, not scaled */
} job;

static double scale_of(const job *j)
{
    return isfinite(j->drawn) && isfinite(j->plain) ? j->drawn / j->plain : 1;
}

/* Of cells whose p95 is at most so much; NaN of NaN. */
static double share_within(const job *j, const aw_error_laws *s, double most)
{
    return isnan(most) ? (double)NAN
                       : (double)aw_error_laws_within(s, most / scale_of(j), 0.95) / (double)s->n;
}

static bool falls_short(const job *j, const aw_error_laws *s, const aw_loss_figures *f)
{
    const double scale = scale_of(j);
    if (j->zone == NULL)
        return false;
    const aw_need figures = aw_need_of_figures(&j->zone->need, j->scenario), *need = &figures;
    return f->p95 > need->p95 || share_within(j, s, need->p95) < need->share ||
           1 - f->no_fix < need->fix_share ||
           (!isnan(need->p50) && scale * aw_error_laws_percentile(s, 0.5, need->p50) > need->p50) ||
           (!isnan(need->p99) && scale * aw_error_laws_percentile(s, 0.99, need->p99) > need->p99);
}

static aw_loss_figures *figures_of(const job *j, size_t i)
{
    return &j->outage->figures[j->place * j->outage->n_losses + j->from + i];
}

static float rms_of(const aw_error_laws *s, size_t cell)
{
    return (float)aw_error_laws_rms(s, cell);
}

static double touched_of(const job *j, const aw_error_laws *s)
{
    size_t n = 0;
    for (size_t cell = 0; cell < s->n; cell++)
        n += rms_of(s, cell) > j->rms[cell] * (1 + (float)AW_NO_CHANGE);
    return s->n > 0 ? (double)n / (double)s->n : 0;
}

static void set_figures(const job *j, size_t i)
{
    const aw_error_laws *s = &j->spreads[i];
    const double n = (double)s->n, scale = scale_of(j);
    aw_loss_figures *f = figures_of(j, i);
    double with = 0;
    for (size_t cell = 0; cell < s->n; cell++)
        with += aw_error_laws_placed(s, cell);
    f->p95 = isfinite(j->drawn) ? scale * aw_error_laws_percentile(s, 0.95, j->plain) : HUGE_VAL;
    f->touched = touched_of(j, s);
    f->no_fix = s->n > 0 ? 1 - with / n : (double)NAN;
    f->share = j->zone != NULL ? share_within(j, s, j->zone->need.p95) : (double)NAN;
    f->vertical_p95 = (double)NAN;
    f->falls_short = falls_short(j, s, f);
    f->drawn_p95 = f->drawn_share = f->drawn_fix_share = (double)NAN;
}

static void set_vertical(const job *j, size_t i)
{
    aw_loss_figures *f = figures_of(j, i);
    f->vertical_p95 = scale_of(j) * aw_error_laws_percentile(&j->spreads[i], 0.95, j->plain);
    const aw_need need = aw_need_of_figures(&j->zone->need, j->scenario);
    f->falls_short = f->falls_short || f->vertical_p95 > need.vertical_p95;
}

static void note_worst(const job *j, size_t i)
{
    const size_t loss = j->from + i;
    aw_loss_worst *w = &j->outage->worst[loss];
    const size_t cell = aw_error_laws_worst(&j->spreads[i], 0.95, &w->p95);
    w->at[0] = w->at[1] = w->at[2] = (double)NAN;
    if (cell == j->spreads[i].n)
        return;
    const aw_point at = aw_grid_centre(j->grid, j->grid->number[cell]);
    w->at[0] = at.x;
    w->at[1] = at.y;
    w->at[2] = aw_tag_at(j->scenario, 0, at.x, at.y);
}

static void set_losses(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    (void)thread;
    for (size_t i = from; i < to; i++) {
        if (j->vertical)
            set_vertical(j, i);
        else
            set_figures(j, i);
        if (j->zone == NULL && j->from + i > 0 && j->from + i <= j->outage->n_singles)
            note_worst(j, i);
    }
}

/* One batch of losses; the first batch begins with none lost, which sets the scale. */
static bool run_batch(job *j, const aw_instant_plan *plan, size_t n, const aw_run *run)
{
    bool done = aw_instant_run(j->spreads, plan, j->from, n, run);
    if (done && j->from == 0) {
        j->plain = aw_error_laws_percentile(&j->spreads[0], 0.95, 0);
        for (size_t cell = 0; cell < j->grid->n; cell++)
            j->rms[cell] = rms_of(&j->spreads[0], cell);
    }
    return done && aw_parallel(n, 1, run, set_losses, j, j->grid->n);
}

static void begin_losses(const job *j, aw_watch *watch)
{
    const size_t n = j->outage->n_losses, work = 2 * n * j->grid->n;
    if (j->zone == NULL)
        aw_watch_stage(watch, work, "floor, %zu losses", n);
    else
        aw_watch_stage(watch, work, "zone %zu of %zu, %zu losses, %s", j->place,
                       j->scenario->n_zones, n, j->zone->name);
}

static bool run_place(job *j, const aw_scene *scene, const aw_run *run)
{
    const size_t most = aw_instant_batch(j->scenario, j->grid->n), all = j->outage->n_losses;
    const size_t batch = most < all ? most : all;
    const aw_instant_plan plan = {
        j->scenario,       scene, j->grid, j->zone ? j->zone->tag : 0, j->vertical,
        j->outage->losses, all};
    begin_losses(j, run->watch);
    j->spreads = calloc(batch, sizeof *j->spreads);
    j->rms = calloc(j->grid->n + 1, sizeof *j->rms);
    bool done = j->spreads != NULL && j->rms != NULL;
    for (size_t i = 0; done && i < batch; i++)
        done = aw_error_laws_create(&j->spreads[i], j->grid->n, aw_states_of(j->scenario));
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for %zu cells", j->grid->n);
    for (j->from = 0; done && j->from < all; j->from += batch)
        done = run_batch(j, &plan, all - j->from < batch ? all - j->from : batch, run);
    for (size_t i = 0; j->spreads != NULL && i < batch; i++)
        aw_error_laws_free(&j->spreads[i]);
    free(j->spreads);
    free(j->rms);
    return done;
}

/* --- draws --- */

/* The scenario with the anchors of a loss out of it. False without memory (an error);
 * aw_varied_free() it either way. */
static bool lose(aw_varied *left, const aw_scenario *s, const aw_loss *loss, aw_errors *errors)
{
    bool done = true;
    *left = aw_vary(s);
    for (size_t i = s->n_anchors; done && i-- > 0;)
        if ((loss->n > 0 && loss->anchor[0] == i) || (loss->n > 1 && loss->anchor[1] == i))
            done = aw_varied_drop_anchor(left, i);
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the losses");
    return done;
}

/* How bad a loss is for a place by one figure; what has no figure is not bad. */
static double badness_by(const aw_loss_figures *f, int figure)
{
    const double by[JUDGED] = {f->p95, f->no_fix, -f->share, f->vertical_p95};
    return isnan(by[figure]) ? -HUGE_VAL : by[figure];
}

static bool is_listed(const size_t list[], size_t n, size_t loss)
{
    for (size_t k = 0; k < n; k++)
        if (list[k] == loss)
            return true;
    return false;
}

/* The worst single losses of a place: CONFIRMED by p95, and the worst by each other figure. Returns
 * how many. */
static size_t find_worst_losses(const aw_outage *o, size_t place, size_t list[MOST_CONFIRMED])
{
    size_t n = 0;
    for (int figure = 0; figure < JUDGED; figure++)
        for (int more = figure == 0 ? CONFIRMED : 1; more > 0; more--) {
            size_t worst = 0;
            double bad = -HUGE_VAL;
            for (size_t loss = 1; loss <= o->n_singles; loss++) {
                const double own = badness_by(aw_outage_at(o, place, loss), figure);
                if (own > bad && (figure > 0 || !is_listed(list, n, loss))) {
                    worst = loss;
                    bad = own;
                }
            }
            if (worst > 0 && !is_listed(list, n, worst))
                list[n++] = worst;
        }
    return n;
}

static void set_drawn(aw_outage *o, size_t zone, size_t loss, const aw_zone_result *r)
{
    aw_loss_figures *f = &o->figures[(zone + 1) * o->n_losses + loss];
    f->is_drawn = true;
    f->drawn_p95 = r->errors.p95;
    f->drawn_share = r->parts[AW_PART_SHARE].found.value;
    f->drawn_fix_share = r->errors.fix_share;
    f->falls_short = r->verdict == AW_NOT_MET;
}

static bool judge_zone(aw_outage *o, const aw_scenario *s, size_t zone, const aw_run *run)
{
    aw_sturdy *sturdy = &o->sturdy[zone];
    size_t list[MOST_CONFIRMED];
    *sturdy = (aw_sturdy){.verdict = AW_NO_NEED};
    set_drawn(o, zone, 0, &o->intact[zone]);
    if (!aw_need_is_stated(&s->zones[zone].need))
        return true;
    const size_t n = find_worst_losses(o, zone + 1, list);
    for (size_t k = 0; k < n; k++) {
        aw_varied left;
        aw_zone_result r;
        bool done = lose(&left, s, &o->losses[list[k]], run->errors);
        if (done) {
            aw_zone_stage(run->watch, &left.scenario, zone, "with a loss: ");
            done = aw_assess_zone(&r, &left.scenario, &s->zones[zone], run);
        }
        aw_varied_free(&left);
        if (!done)
            return false;
        set_drawn(o, zone, list[k], &r);
        if (aw_verdict_join(sturdy->verdict, r.verdict) != sturdy->verdict)
            *sturdy = (aw_sturdy){r.verdict, list[k], r};
    }
    return true;
}

/* With all anchors the draws that chose the worst cell have confirmed it. */
static void set_intact_floor(aw_outage *o, const aw_pooled *drawn)
{
    aw_loss_figures *f = &o->figures[0];
    f->is_drawn = true;
    f->drawn_p95 = drawn->p95;
    f->drawn_fix_share = drawn->fix_share;
    o->worst[0].p95 = drawn->worst_p95;
    memcpy(o->worst[0].at, drawn->worst_at, sizeof o->worst[0].at);
}

static bool confirm_worst(aw_outage *o, const aw_scenario *s, const aw_grid *grid,
                          aw_errors *errors)
{
    for (size_t loss = 1; loss <= o->n_singles; loss++) {
        aw_loss_worst *w = &o->worst[loss];
        if (isnan(w->at[0]))
            continue;
        aw_varied left;
        const uint32_t cell = aw_grid_number_at(grid, (aw_point){w->at[0], w->at[1]});
        const aw_map_plan plan = {.scenario = &left.scenario};
        const bool done = lose(&left, s, &o->losses[loss], errors) &&
                          aw_confirm_cell(&w->p95, &plan, grid, cell, errors);
        aw_varied_free(&left);
        if (!done)
            return false;
    }
    return true;
}

/* --- the study --- */

size_t aw_outage_work(const aw_scenario *s)
{
    const size_t losses = count_losses(s->n_anchors);
    aw_errors errors = {0};
    size_t work = aw_assess_work(s), confirmed = 0;
    for (size_t i = 0; i <= s->n_zones; i++) {
        aw_grid grid;
        if (!aw_grid_lay_zone(&grid, s, i > 0 ? &s->zones[i - 1] : NULL, &errors))
            continue;
        work += 2 * losses * grid.n;
        confirmed += i > 0 && aw_need_is_stated(&s->zones[i - 1].need);
        aw_grid_free(&grid);
    }
    aw_errors_free(&errors);
    return work + confirmed * CONFIRMED * (work / (s->n_zones + 1) / 4);
}

static bool run_floor(aw_outage *o, const aw_scenario *s, const aw_scene *scene, const aw_run *run)
{
    const aw_map_plan plan = {.scenario = s, .groups = 1, .scene = scene, .errors_alone = true};
    aw_grid grid;
    aw_map map;
    aw_pooled drawn;
    if (!aw_grid_lay_zone(&grid, s, NULL, run->errors))
        return false;
    aw_zone_stage(run->watch, s, s->n_zones, "with every anchor: ");
    bool done = aw_map_run(&map, &grid, &plan, run);
    if (done) {
        aw_pool_map(&drawn, &map, s, 0);
        done = aw_pool_confirm(&drawn, &map, &plan, run);
    }
    if (done) {
        job j = {.outage = o, .scenario = s, .grid = &map.grid, .drawn = drawn.p95};
        done = run_place(&j, scene, run) && confirm_worst(o, s, &map.grid, run->errors);
        set_intact_floor(o, &drawn);
    }
    aw_map_free(&map);
    return done;
}

static bool run_zone(aw_outage *o, const aw_scenario *s, const aw_scene *scene, size_t zone,
                     const aw_run *run)
{
    const aw_zone *z = &s->zones[zone];
    aw_grid grid;
    aw_zone_stage(run->watch, s, zone, "with every anchor: ");
    if (!aw_assess_zone(&o->intact[zone], s, z, run) || !aw_grid_lay_zone(&grid, s, z, run->errors))
        return false;
    job j = {.outage = o,
             .scenario = s,
             .zone = z,
             .grid = &grid,
             .place = zone + 1,
             .drawn = o->intact[zone].errors.p95};
    bool done = run_place(&j, scene, run);
    if (done && !isnan(z->need.vertical_p95)) {
        j.vertical = true;
        j.drawn = o->intact[zone].errors.vertical_p95;
        done = run_place(&j, scene, run);
    }
    done = done && judge_zone(o, s, zone, run);
    aw_grid_free(&grid);
    o->verdict = aw_verdict_join(o->verdict, o->sturdy[zone].verdict);
    return done;
}

bool aw_outage_run(aw_outage *o, const aw_scenario *s, const aw_run *run)
{
    *o = (aw_outage){.verdict = AW_NO_NEED};
    aw_scene *scene = aw_scene_create(s);
    bool done = scene != NULL && list_losses(o, s);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the losses");
    done = done && run_floor(o, s, scene, run);
    for (size_t i = 0; done && i < s->n_zones; i++)
        done = run_zone(o, s, scene, i, run);
    aw_scene_free(scene);
    return done;
}

void aw_outage_free(aw_outage *o)
{
    free(o->losses);
    free(o->figures);
    free(o->worst);
    free(o->intact);
    free(o->sturdy);
    *o = (aw_outage){0};
}
