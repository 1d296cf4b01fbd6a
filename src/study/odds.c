/* Survey and delay errors stay for the life of an installation, so a zone is good or bad as a
 * whole: fixes are counted for each installation, and installations are what the odds are about. */
#include "study/odds.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_cdf.h>

#include "base/parallel.h"
#include "anchorwise/spot.h"

#define FIXES 5000

typedef struct worker {
    aw_spot spot;
    aw_trials *trials;
    uint32_t within[AW_INSTALLATIONS]; /* fixes that meet the need */
} worker;

typedef struct job {
    const aw_grid *grid;
    const aw_zone *zone;
    const aw_scenario *scenario;
    aw_scene *scene;
    size_t draws;
    worker *workers;
} job;

bool aw_odds_exist(const aw_scenario *s, const aw_zone *z)
{
    return !isnan(z->need.p95) && aw_scenario_has_installation(s);
}

size_t aw_odds_draws(size_t cells)
{
    return cells > 0 ? (FIXES + cells - 1) / cells : 0;
}

static void try_cell(const job *j, worker *w, size_t cell)
{
    aw_spot *spot = &w->spot;
    aw_spot_prepare(spot, j->scene, j->scenario, j->zone->tag, j->grid, j->grid->number[cell]);
    spot->draws.n_draws = (uint32_t)(AW_INSTALLATIONS * j->draws);
    spot->draws.draws_per_installation = (uint32_t)j->draws;
    spot->draws.fresh = true;
    const aw_draws d = aw_trials_run(w->trials, &spot->draws);
    for (size_t m = 0, i = 0; m < AW_INSTALLATIONS; m++)
        for (size_t r = 0; r < j->draws; r++, i++)
            w->within[m] += (double)d.radius[i] <= j->zone->need.p95;
}

static void try_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    for (size_t cell = from; cell < to; cell++)
        try_cell(j, &j->workers[thread], cell);
}

void aw_binomial_interval(size_t k, size_t n, double *low, double *high)
{
    const double a = (double)k, b = (double)(n - k);
    *low = k == 0 ? 0 : gsl_cdf_beta_Pinv(0.025, a, b + 1);
    *high = k == n ? 1 : gsl_cdf_beta_Pinv(0.975, a + 1, b);
}

static void set_odds(aw_odds *odds, const job *j, unsigned threads)
{
    const double fixes = (double)(j->draws * j->grid->n);
    size_t good = 0;
    for (size_t m = 0; m < AW_INSTALLATIONS; m++) {
        uint64_t within = 0;
        for (unsigned i = 0; i < threads; i++)
            within += j->workers[i].within[m];
        good += (double)within >= 0.95 * fixes - 1e-9;
    }
    odds->share = (double)good / AW_INSTALLATIONS;
    aw_binomial_interval(good, AW_INSTALLATIONS, &odds->low, &odds->high);
}

bool aw_odds_run(aw_odds *odds, const aw_grid *grid, const aw_zone *zone,
                 const aw_scenario *scenario, unsigned threads, aw_watch *watch, aw_errors *errors)
{
    threads = threads > 0 ? threads : 1;
    job j = {grid,
             zone,
             scenario,
             aw_scene_create(scenario),
             aw_odds_draws(grid->n),
             calloc(threads, sizeof *j.workers)};
    bool done = j.scene != NULL && j.workers != NULL;
    for (unsigned i = 0; done && i < threads; i++) {
        j.workers[i].spot.links = calloc(scenario->n_anchors, sizeof(aw_link));
        j.workers[i].spot.shadows = aw_shadows_create(j.scene);
        j.workers[i].trials =
            aw_trials_create(scenario->n_anchors, AW_INSTALLATIONS * j.draws, NULL);
        done = j.workers[i].spot.links && j.workers[i].spot.shadows && j.workers[i].trials;
    }
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the odds of a zone");
    else
        done = aw_parallel(grid->n, 1, threads, try_cells, &j, watch, AW_INSTALLATIONS * j.draws);
    if (done)
        set_odds(odds, &j, threads);
    for (unsigned i = 0; j.workers != NULL && i < threads; i++) {
        free(j.workers[i].spot.links);
        aw_shadows_free(j.workers[i].spot.shadows);
        aw_trials_free(j.workers[i].trials);
    }
    free(j.workers);
    aw_scene_free(j.scene);
    return done;
}
