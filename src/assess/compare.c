/* Both layouts are drawn cell by cell together: what a cell needs is each draw's two errors side by
 * side, what a place needs is two tallies over the same groups of draws. */
#include "anchorwise/compare.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_cdf.h>

#include "assess/parts.h"
#include "assess/zone_assess.h"
#include "base/parallel.h"
#include "base/workers.h"
#include "map/spot.h"
#include "position/tally.h"

#define GROUPS            32
#define FALSE_DISCOVERIES 0.05

typedef struct worker {
    aw_spot spot[2];
    aw_trials *trials[2];
    aw_tally *tally[2];
    size_t meeting[2];
} worker;

/* What a cell's sign test found. */
typedef struct sign {
    double p;
    bool better;
    bool large; /* its p95 differs that way by more than near-equals do */
    size_t cell;
} sign;

typedef struct job {
    const aw_scenario *scenario[2];
    aw_scene *scene[2];
    const aw_grid *grid;
    aw_compared_cells *cells; /* of the floor; NULL for a zone */
    size_t tag[2];
    double need[2]; /* p95 */
    aw_workers workers;
    sign *signs;
} job;

/* Two-sided p of `better` wins in n fair trials. */
static double sign_p(size_t better, size_t n)
{
    const size_t fewer = better < n - better ? better : n - better;
    const double tail = gsl_cdf_binomial_P((unsigned)fewer, 0.5, (unsigned)n);
    return fmin(1, 2 * tail);
}

/* Whether the p95 that should be the larger is so by more than near-equals are; none is larger than
 * any. */
static bool is_larger(double p95, double other)
{
    if (isnan(other))
        return false;
    return isnan(p95) || p95 - other > AW_NEAR_EQUAL * p95;
}

static void compare_cell(const job *j, worker *w, size_t cell)
{
    aw_draws d[2];
    double p95[2];
    size_t better = 0, worse = 0;
    for (int k = 0; k < 2; k++) {
        aw_spot_prepare(&w->spot[k], j->scene[k], j->scenario[k], j->tag[k], j->grid,
                        j->grid->number[cell]);
        d[k] = aw_trials_run(w->trials[k], &w->spot[k].draws);
        aw_tally_add_all(w->tally[k], d[k].radius, d[k].n);
        p95[k] = aw_trials_percentile(w->trials[k], 0.95, false);
        w->meeting[k] += p95[k] <= j->need[k];
        if (j->cells != NULL)
            j->cells->p95[k][cell] = p95[k];
    }
    for (size_t i = 0; i < d[0].n; i++) {
        better += d[1].radius[i] < d[0].radius[i];
        worse += d[1].radius[i] > d[0].radius[i];
    }
    const bool wins = better > worse;
    j->signs[cell] = (sign){better + worse > 0 ? sign_p(better, better + worse) : 1, wins,
                            is_larger(p95[wins ? 0 : 1], p95[wins ? 1 : 0]), cell};
}

static void compare_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    for (size_t cell = from; cell < to; cell++)
        compare_cell(j, aw_worker(&j->workers, thread), cell);
}

static bool create_worker(void *worker_of, const void *job_of)
{
    worker *w = worker_of;
    const job *j = job_of;
    bool ready = true;
    for (int k = 0; ready && k < 2; k++) {
        const aw_scenario *s = j->scenario[k];
        w->spot[k].links = calloc(s->n_anchors, sizeof *w->spot[k].links);
        w->spot[k].shadows = aw_shadows_create(j->scene[k]);
        w->trials[k] = aw_trials_create(s->n_anchors, s->study.draws, NULL);
        w->tally[k] = aw_tally_create(GROUPS);
        ready = w->spot[k].links && w->spot[k].shadows && w->trials[k] && w->tally[k];
    }
    return ready;
}

static void release_worker(void *worker_of)
{
    worker *w = worker_of;
    for (int k = 0; k < 2; k++) {
        free(w->spot[k].links);
        aw_shadows_free(w->spot[k].shadows);
        aw_trials_free(w->trials[k]);
        aw_tally_free(w->tally[k]);
    }
}

static const aw_worker_kind kind = {sizeof(worker), create_worker, release_worker};

static int compare_signs(const void *a, const void *b)
{
    const double p = ((const sign *)a)->p, q = ((const sign *)b)->p;
    return (p > q) - (p < q);
}

/* Benjamini and Hochberg: the cells up to the last that lies under the rising line. */
static void count_cells(aw_area_result *r, const job *j)
{
    const size_t n = j->grid->n;
    sign *signs = j->signs;
    size_t told = 0;
    qsort(signs, n, sizeof *signs, compare_signs);
    for (size_t i = 0; i < n; i++)
        if (signs[i].p <= FALSE_DISCOVERIES * (double)(i + 1) / (double)n)
            told = i + 1;
    for (size_t i = 0; i < told; i++) {
        const aw_ranking ranking = !signs[i].large   ? AW_NEAR
                                   : signs[i].better ? AW_B_BETTER
                                                     : AW_B_WORSE;
        r->better += ranking == AW_B_BETTER;
        r->worse += ranking == AW_B_WORSE;
        r->near += ranking == AW_NEAR;
        if (j->cells != NULL)
            j->cells->ranking[signs[i].cell] = ranking;
    }
}

static double finite_or_nan(double x)
{
    return isfinite(x) ? x : (double)NAN;
}

static void rank_place(aw_area_result *r, uint32_t draws)
{
    const double near = AW_NEAR_EQUAL * fmax(r->p95[0], r->p95[1]);
    r->ranking = AW_NOT_TOLD_APART;
    if (draws < 2 * GROUPS || isnan(r->difference_low))
        return;
    if (r->difference_high < 0 || r->difference_low > 0)
        r->ranking = fabs(r->difference) <= near ? AW_NEAR
                     : r->difference < 0         ? AW_B_BETTER
                                                 : AW_B_WORSE;
}

static void set_place(aw_area_result *r, const job *j)
{
    const worker *w = aw_worker(&j->workers, 0);
    const double cells = (double)j->grid->n;
    size_t meeting[2] = {0, 0};
    for (unsigned i = 0; i < j->workers.n; i++)
        for (int k = 0; k < 2; k++) {
            meeting[k] += w[i].meeting[k];
            if (i > 0)
                aw_tally_merge(w[0].tally[k], w[i].tally[k]);
        }
    for (int k = 0; k < 2; k++) {
        r->p50[k] = finite_or_nan(aw_tally_percentile(w[0].tally[k], 0.5));
        r->p95[k] = finite_or_nan(aw_tally_percentile(w[0].tally[k], 0.95));
        r->share_meeting[k] = isnan(j->need[k]) ? (double)NAN : (double)meeting[k] / cells;
    }
    const double error = aw_tally_paired_error(w[0].tally[0], w[0].tally[1], 0.95);
    const double reach = finite_or_nan(gsl_cdf_tdist_Pinv(0.975, GROUPS - 1) * error);
    r->difference = r->p95[1] - r->p95[0];
    r->difference_low = r->difference - reach;
    r->difference_high = r->difference + reach;
    count_cells(r, j);
    rank_place(r, j->scenario[0]->study.draws);
}

/* The two tallies of one place: the cells of a grid, by one tag. */
static bool draw_place(aw_area_result *r, job *j, const aw_run *run)
{
    j->signs = malloc((j->grid->n + 1) * sizeof *j->signs);
    bool done = aw_workers_create(&j->workers, run, &kind, j) && j->signs != NULL;
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for %zu cells", j->grid->n);
    else
        done = aw_parallel(j->grid->n, 2, run, compare_cells, j,
                           2 * (size_t)j->scenario[0]->study.draws);
    if (done)
        set_place(r, j);
    aw_workers_free(&j->workers);
    free(j->signs);
    return done;
}

static bool judge_one(aw_comparison *c, const job *j, int k, size_t zone, uint32_t least_draws,
                      const aw_run *run)
{
    const aw_scenario *s = j->scenario[k];
    const aw_zone_plan plan = {.scenario = s,
                               .zone = &s->zones[zone],
                               .judging = AW_JUDGE_ALL,
                               .least_draws = least_draws};
    aw_map map;
    const bool done = aw_assess_zone_run(&c->judged[k][zone], &map, &plan, run);
    aw_map_free(&map);
    return done;
}

/* Under a precision a zone may take more draws in one layout; the other then gets as many. */
static bool even_out(aw_comparison *c, const job *j, size_t zone, const aw_run *run)
{
    const aw_zone_result *a = &c->judged[0][zone], *b = &c->judged[1][zone];
    bool done = true;
    while (done && a->draws > 0 && b->draws > 0 && a->draws != b->draws) {
        const int k = a->draws < b->draws ? 0 : 1;
        done = judge_one(c, j, k, zone, k == 0 ? b->draws : a->draws, run);
    }
    return done;
}

/* One zone judged in both layouts; the odds come with the verdict. */
static bool judge_zone(aw_comparison *c, const job *j, size_t zone, const aw_run *run)
{
    for (int k = 0; k < 2; k++) {
        const aw_scenario *s = j->scenario[k];
        aw_zone_result *r = &c->judged[k][zone];
        r->verdict = AW_NO_NEED;
        if (!aw_need_is_stated(&s->zones[zone].need))
            continue;
        if (!judge_one(c, j, k, zone, 0, run))
            return false;
    }
    if (!even_out(c, j, zone, run))
        return false;
    for (int k = 0; k < 2; k++) {
        const aw_zone_result *r = &c->judged[k][zone];
        if (r->verdict == AW_NO_NEED)
            continue;
        const aw_estimate *odds = &r->parts[AW_PART_ODDS].found;
        c->zones[zone].odds[k] = odds->value;
        c->zones[zone].odds_low[k] = odds->low;
        c->zones[zone].odds_high[k] = odds->high;
        c->zones[zone].chance[k] = r->parts[AW_PART_CHANCE].found.value;
        c->verdict[k] = aw_verdict_join(c->verdict[k], r->verdict);
    }
    return true;
}

/* Draws of the floor (0) or a zone, and of its verdict in both layouts. */
static size_t place_work(const aw_scenario *const both[2], size_t place, size_t n)
{
    size_t work = 2 * n * both[0]->study.draws;
    for (int k = 0; place > 0 && k < 2; k++)
        if (aw_need_is_stated(&both[k]->zones[place - 1].need))
            work += aw_zone_work(both[k], &both[k]->zones[place - 1]);
    return work;
}

static void tell_stage(const job *j, size_t place, aw_watch *watch)
{
    const aw_scenario *a = j->scenario[0];
    const size_t work = aw_watch_shows(watch) ? place_work(j->scenario, place, j->grid->n) : 0;
    if (place == 0)
        aw_watch_stage(watch, work, "floor in both");
    else
        aw_watch_stage(watch, work, "zone %zu of %zu in both, %s", place, a->n_zones,
                       a->zones[place - 1].name);
}

/* The floor (0), or a zone from 1 on. */
static bool compare_place(aw_area_result *r, job *j, size_t place, aw_grid *grid, const aw_run *run)
{
    const double nan = (double)NAN;
    j->grid = grid;
    for (int k = 0; k < 2; k++) {
        const aw_zone *z = place > 0 ? &j->scenario[k]->zones[place - 1] : NULL;
        j->tag[k] = z != NULL ? z->tag : 0;
        j->need[k] = z != NULL ? z->need.p95 : nan;
    }
    *r = (aw_area_result){.cells = grid->n,
                          .odds = {nan, nan},
                          .odds_low = {nan, nan},
                          .odds_high = {nan, nan},
                          .chance = {nan, nan}};
    tell_stage(j, place, run->watch);
    return draw_place(r, j, run);
}

static bool compare_zone(aw_comparison *c, job *j, size_t zone, const aw_run *run)
{
    aw_grid grid;
    if (!aw_grid_lay_zone(&grid, j->scenario[0], &j->scenario[0]->zones[zone], run->errors))
        return false;
    const bool done =
        compare_place(&c->zones[zone], j, zone + 1, &grid, run) && judge_zone(c, j, zone, run);
    aw_grid_free(&grid);
    return done;
}

static bool compare_floor(aw_comparison *c, job *j, const aw_run *run)
{
    aw_compared_cells *cells = &c->cells;
    if (!aw_grid_lay_zone(&cells->grid, j->scenario[0], NULL, run->errors))
        return false;
    for (int k = 0; k < 2; k++)
        cells->p95[k] = malloc((cells->grid.n + 1) * sizeof *cells->p95[k]);
    cells->ranking = calloc(cells->grid.n + 1, sizeof *cells->ranking);
    if (cells->p95[0] == NULL || cells->p95[1] == NULL || cells->ranking == NULL) {
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for %zu cells", cells->grid.n);
        return false;
    }
    j->cells = cells;
    const bool done = compare_place(&c->floor, j, 0, &cells->grid, run);
    j->cells = NULL;
    return done;
}

/* b by the step, the draws and the seed of a, so that cells and draws are the same. */
static aw_scenario by_study_of(const aw_scenario *a, const aw_scenario *b)
{
    aw_scenario s = *b;
    s.study.step = a->study.step;
    s.study.draws = a->study.draws;
    s.study.precision = a->study.precision;
    s.study.seed = a->study.seed;
    return s;
}

size_t aw_compare_work(const aw_scenario *a, const aw_scenario *b)
{
    const aw_scenario other = by_study_of(a, b), *const both[2] = {a, &other};
    aw_errors errors = {0};
    size_t work = 0;
    for (size_t i = 0; i <= a->n_zones; i++) {
        aw_grid grid;
        if (!aw_grid_lay_zone(&grid, a, i > 0 ? &a->zones[i - 1] : NULL, &errors))
            continue;
        work += place_work(both, i, grid.n);
        aw_grid_free(&grid);
    }
    aw_errors_free(&errors);
    return work;
}

static bool make_room(aw_comparison *c, const job *j, aw_errors *errors)
{
    const size_t n = j->scenario[0]->n_zones + 1;
    *c = (aw_comparison){.zones = calloc(n, sizeof *c->zones), .verdict = {AW_NO_NEED, AW_NO_NEED}};
    bool room = c->zones != NULL;
    for (int k = 0; k < 2; k++) {
        c->judged[k] = calloc(n, sizeof *c->judged[k]);
        room = room && c->judged[k] != NULL && j->scene[k] != NULL;
    }
    if (!room)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
    return room;
}

bool aw_compare_run(aw_comparison *c, const aw_scenario *a, const aw_scenario *b, const aw_run *run)
{
    const aw_scenario other = by_study_of(a, b);
    job j = {.scenario = {a, &other}, .scene = {aw_scene_create(a), aw_scene_create(&other)}};
    bool done = make_room(c, &j, run->errors) && compare_floor(c, &j, run);
    for (size_t i = 0; done && i < a->n_zones; i++)
        done = compare_zone(c, &j, i, run);
    aw_scene_free(j.scene[0]);
    aw_scene_free(j.scene[1]);
    return done;
}

void aw_comparison_free(aw_comparison *c)
{
    free(c->zones);
    aw_grid_free(&c->cells.grid);
    free(c->cells.p95[0]);
    free(c->cells.p95[1]);
    free(c->cells.ranking);
    free(c->judged[0]);
    free(c->judged[1]);
    *c = (aw_comparison){0};
}
