/* Both layouts are drawn cell by cell together: what a cell needs is each draw's two errors side by
 * side, what a place needs is two tallies over the same groups of draws. */
#include "anchorwise/compare.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_cdf.h>

#include "anchorwise/spot.h"
#include "anchorwise/tally.h"
#include "base/parallel.h"

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
} sign;

typedef struct job {
    const aw_scenario *scenario[2];
    aw_scene *scene[2];
    const aw_grid *grid;
    size_t tag;
    double need;
    worker *workers;
    sign *signs;
} job;

/* Two-sided p of `better` wins in n fair trials. */
static double sign_p(size_t better, size_t n)
{
    const size_t fewer = better < n - better ? better : n - better;
    const double tail = gsl_cdf_binomial_P((unsigned)fewer, 0.5, (unsigned)n);
    return fmin(1, 2 * tail);
}

static void compare_cell(const job *j, worker *w, size_t cell)
{
    aw_draws d[2];
    size_t better = 0, worse = 0;
    for (int k = 0; k < 2; k++) {
        aw_spot_prepare(&w->spot[k], j->scene[k], j->scenario[k], j->tag, j->grid,
                        j->grid->number[cell]);
        d[k] = aw_trials_run(w->trials[k], &w->spot[k].draws);
        aw_tally_add_all(w->tally[k], d[k].radius, d[k].n);
        w->meeting[k] += aw_trials_percentile(w->trials[k], 0.95, false) <= j->need;
    }
    for (size_t i = 0; i < d[0].n; i++) {
        better += d[1].radius[i] < d[0].radius[i];
        worse += d[1].radius[i] > d[0].radius[i];
    }
    j->signs[cell] =
        (sign){better + worse > 0 ? sign_p(better, better + worse) : 1, better > worse};
}

static void compare_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    for (size_t cell = from; cell < to; cell++)
        compare_cell(j, &j->workers[thread], cell);
}

static bool equip(worker *w, const job *j)
{
    bool ready = true;
    for (int k = 0; ready && k < 2; k++) {
        const aw_scenario *s = j->scenario[k];
        w->spot[k].links = calloc(s->n_anchors, sizeof *w->spot[k].links);
        w->trials[k] = aw_trials_create(s->n_anchors, s->study.draws, NULL);
        w->tally[k] = aw_tally_create(GROUPS);
        ready = w->spot[k].links != NULL && w->trials[k] != NULL && w->tally[k] != NULL;
    }
    return ready;
}

static void dismiss(worker *w)
{
    for (int k = 0; k < 2; k++) {
        free(w->spot[k].links);
        aw_trials_free(w->trials[k]);
        aw_tally_free(w->tally[k]);
    }
}

static int compare_signs(const void *a, const void *b)
{
    const double p = ((const sign *)a)->p, q = ((const sign *)b)->p;
    return (p > q) - (p < q);
}

/* Benjamini and Hochberg: the cells up to the last that lies under the rising line. */
static void count_cells(aw_place_result *r, sign signs[], size_t n)
{
    size_t told = 0;
    qsort(signs, n, sizeof *signs, compare_signs);
    for (size_t i = 0; i < n; i++)
        if (signs[i].p <= FALSE_DISCOVERIES * (double)(i + 1) / (double)n)
            told = i + 1;
    for (size_t i = 0; i < told; i++) {
        r->better += signs[i].better;
        r->worse += !signs[i].better;
    }
}

static double finite_or_nan(double x)
{
    return isfinite(x) ? x : (double)NAN;
}

static void rank_place(aw_place_result *r, uint32_t draws)
{
    const double near = AW_NEAR_EQUAL * fmax(r->p95[0], r->p95[1]);
    r->ranking = AW_NOT_TOLD_APART;
    if (draws < 2 * GROUPS || isnan(r->difference_low) || fabs(r->difference) <= near)
        return;
    if (r->difference_high < 0)
        r->ranking = AW_B_BETTER;
    else if (r->difference_low > 0)
        r->ranking = AW_B_WORSE;
}

static void set_place(aw_place_result *r, const job *j, unsigned threads)
{
    const worker *w = j->workers;
    const double cells = (double)j->grid->n;
    size_t meeting[2] = {0, 0};
    for (unsigned i = 0; i < threads; i++)
        for (int k = 0; k < 2; k++) {
            meeting[k] += w[i].meeting[k];
            if (i > 0)
                aw_tally_merge(w[0].tally[k], w[i].tally[k]);
        }
    for (int k = 0; k < 2; k++) {
        r->p50[k] = finite_or_nan(aw_tally_percentile(w[0].tally[k], 0.5));
        r->p95[k] = finite_or_nan(aw_tally_percentile(w[0].tally[k], 0.95));
        r->share_meeting[k] = isnan(j->need) ? (double)NAN : (double)meeting[k] / cells;
    }
    const double error = aw_tally_paired_error(w[0].tally[0], w[0].tally[1], 0.95);
    const double reach = finite_or_nan(gsl_cdf_tdist_Pinv(0.975, GROUPS - 1) * error);
    r->difference = r->p95[1] - r->p95[0];
    r->difference_low = r->difference - reach;
    r->difference_high = r->difference + reach;
    count_cells(r, j->signs, j->grid->n);
    rank_place(r, j->scenario[0]->study.draws);
}

/* One place: the cells of a grid, by one tag. */
static bool compare_place(aw_place_result *r, job *j, unsigned threads, aw_watch *watch,
                          aw_errors *errors)
{
    *r = (aw_place_result){.cells = j->grid->n};
    j->workers = calloc(threads, sizeof *j->workers);
    j->signs = malloc((j->grid->n + 1) * sizeof *j->signs);
    bool done = j->workers != NULL && j->signs != NULL;
    for (unsigned i = 0; done && i < threads; i++)
        done = equip(&j->workers[i], j);
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for %zu cells", j->grid->n);
    else
        done = aw_parallel(j->grid->n, 2, threads, compare_cells, j, watch,
                           2 * (size_t)j->scenario[0]->study.draws);
    if (done)
        set_place(r, j, threads);
    for (unsigned i = 0; j->workers != NULL && i < threads; i++)
        dismiss(&j->workers[i]);
    free(j->workers);
    free(j->signs);
    return done;
}

static bool compare_cells_of(aw_place_result *r, job *j, const aw_zone *zone, unsigned threads,
                             aw_watch *watch, aw_errors *errors)
{
    aw_grid grid;
    if (!aw_grid_lay_zone(&grid, j->scenario[0], zone, errors))
        return false;
    j->grid = &grid;
    j->tag = zone ? zone->tag : 0;
    j->need = zone ? zone->need.p95 : (double)NAN;
    const bool done = compare_place(r, j, threads, watch, errors);
    aw_grid_free(&grid);
    return done;
}

size_t aw_compare_work(const aw_scenario *scenario)
{
    aw_errors errors = {0};
    size_t cells = 0;
    for (size_t i = 0; i <= scenario->n_zones; i++) {
        aw_grid grid;
        if (!aw_grid_lay_zone(&grid, scenario, i > 0 ? &scenario->zones[i - 1] : NULL, &errors))
            continue;
        cells += grid.n;
        aw_grid_free(&grid);
    }
    aw_errors_free(&errors);
    return 2 * cells * scenario->study.draws;
}

bool aw_compare_run(aw_comparison *c, const aw_scenario *a, const aw_scenario *b, unsigned threads,
                    aw_watch *watch, aw_errors *errors)
{
    job j = {.scenario = {a, b}, .scene = {aw_scene_create(a), aw_scene_create(b)}};
    *c = (aw_comparison){.zones = calloc(a->n_zones + 1, sizeof *c->zones)};
    threads = threads > 0 ? threads : 1;
    bool done = j.scene[0] != NULL && j.scene[1] != NULL && c->zones != NULL;
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
    done = done && compare_cells_of(&c->floor, &j, NULL, threads, watch, errors);
    for (size_t i = 0; done && i < a->n_zones; i++)
        done = compare_cells_of(&c->zones[i], &j, &a->zones[i], threads, watch, errors);
    aw_scene_free(j.scene[0]);
    aw_scene_free(j.scene[1]);
    return done;
}

void aw_comparison_free(aw_comparison *c)
{
    free(c->zones);
    *c = (aw_comparison){0};
}
