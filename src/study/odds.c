/* Survey and delay errors stay for the life of an installation, so a zone is good or bad as a
 * whole: fixes are counted for each installation, and installations are what the odds are about. */
#include "study/odds.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "base/parallel.h"
#include "anchorwise/spot.h"
#include "study/parts.h"

/* Fixes of every installation, and of one that these leave open: so many that their scatter is
 * small beside that of the installations. Open is what lies within so many standard errors. */
#define FIXES      5000
#define MORE_FIXES 40000
#define CLEAR      4.0
/* About the most draws of a cell at a time. */
#define ROOM 16384
/* The share of its fixes that an installation needs within the need, and the share of the map's
 * draws that may be on the other side of it. */
#define GOOD  0.95
#define OTHER 0.005
/* In a zone of fewer cells one fix of each tells too little of a good installation. */
#define FEWEST_CELLS 20

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
    unsigned threads;
    worker *workers;
    size_t draws;                 /* of a cell for each installation of this round */
    size_t from, n;               /* installations that are drawn together now */
    bool asked[AW_INSTALLATIONS]; /* in this round */
    bool good[AW_INSTALLATIONS];
} job;

bool aw_odds_exist(const aw_scenario *s, const aw_zone *z)
{
    return !isnan(z->need.p95) && aw_scenario_has_installation(s);
}

static size_t draws_for(size_t fixes, size_t cells)
{
    return cells > 0 ? (fixes + cells - 1) / cells : 1;
}

/* Installations from m on, all of them asked for, whose draws of a cell are made together. */
static size_t together(const job *j, size_t m)
{
    size_t n = 0;
    while (m + n < AW_INSTALLATIONS && j->asked[m + n] && (n == 0 || (n + 1) * j->draws <= ROOM))
        n++;
    return n;
}

static void try_cell(const job *j, worker *w, size_t cell)
{
    aw_spot *spot = &w->spot;
    aw_spot_prepare(spot, j->scene, j->scenario, j->zone->tag, j->grid, j->grid->number[cell]);
    spot->draws.draws_per_installation = (uint32_t)j->draws;
    spot->draws.fresh = true;
    spot->draws.first_draw = (uint32_t)(j->from * j->draws);
    spot->draws.n_draws = (uint32_t)(j->n * j->draws);
    const aw_draws d = aw_trials_run(w->trials, &spot->draws);
    for (size_t k = 0, i = 0; k < j->n; k++)
        for (size_t r = 0; r < j->draws; r++, i++)
            w->within[j->from + k] += (double)d.radius[i] <= j->zone->need.p95;
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

static void set_share(aw_odds *odds, size_t good, size_t n)
{
    odds->share = (double)good / (double)n;
    aw_binomial_interval(good, n, &odds->low, &odds->high);
}

/* Judges the installations of a round; those whose fixes lie too near the line are asked for in the
 * next. How many these are. */
static size_t judge(job *j)
{
    const double n = (double)(j->draws * j->grid->n);
    size_t open = 0;
    for (size_t m = 0; m < AW_INSTALLATIONS; m++) {
        uint64_t within = 0;
        if (!j->asked[m])
            continue;
        for (unsigned i = 0; i < j->threads; i++) {
            within += j->workers[i].within[m];
            j->workers[i].within[m] = 0;
        }
        const double share = (double)within / n, error = sqrt(GOOD * (1 - GOOD) / n);
        j->good[m] = (double)within >= GOOD * n - 1e-9;
        j->asked[m] = fabs(share - GOOD) < CLEAR * error;
        open += j->asked[m];
    }
    return open;
}

static size_t count_good(const job *j, bool open_too)
{
    size_t n = 0;
    for (size_t m = 0; m < AW_INSTALLATIONS; m++)
        n += open_too && j->asked[m] ? 1 : !open_too && j->asked[m] ? 0 : j->good[m];
    return n;
}

/* Whether the verdict against what is asked is the same with all open installations good or bad. */
static bool is_settled(const job *j, double asked)
{
    aw_odds least, most;
    set_share(&least, count_good(j, false), AW_INSTALLATIONS);
    set_share(&most, count_good(j, true), AW_INSTALLATIONS);
    return !isnan(asked) && (least.share >= asked) == (most.share >= asked) &&
           (least.low >= asked) == (most.low >= asked) &&
           (least.high < asked) == (most.high < asked);
}

/* Some installations at a time, each time in all cells, for which their lasting errors are kept. */
static bool run_round(job *j, size_t fixes, size_t installations, aw_watch *watch)
{
    bool done = true;
    j->draws = draws_for(fixes, j->grid->n);
    if (aw_watch_shows(watch))
        aw_watch_stage(watch, j->grid->n * installations * j->draws, "odds, %s", j->zone->name);
    for (j->from = 0; done && j->from<AW_INSTALLATIONS; j->from += j->n> 0 ? j->n : 1) {
        j->n = together(j, j->from);
        if (j->n > 0)
            done = aw_parallel(j->grid->n, 1, j->threads, try_cells, j, watch, j->n * j->draws);
    }
    return done;
}

static bool equip(job *j)
{
    const size_t most = draws_for(MORE_FIXES, j->grid->n), n = most > ROOM ? most : ROOM;
    bool ready = j->scene != NULL && j->workers != NULL;
    for (unsigned i = 0; ready && i < j->threads; i++) {
        worker *w = &j->workers[i];
        w->spot.links = calloc(j->scenario->n_anchors, sizeof(aw_link));
        w->spot.shadows = aw_shadows_create(j->scene);
        w->trials = aw_trials_create(j->scenario->n_anchors, n, NULL);
        ready = w->spot.links != NULL && w->spot.shadows != NULL && w->trials != NULL;
    }
    return ready;
}

bool aw_odds_told(aw_odds *odds, const aw_map *map, uint32_t draws)
{
    const size_t n = draws < AW_INSTALLATIONS ? draws : AW_INSTALLATIONS;
    const double few = OTHER * (double)draws;
    uint32_t good = 0;
    for (uint32_t m = 0; m < draws; m++)
        good += (double)map->cells_within[m] >= GOOD * (double)map->grid.n - 1e-9;
    const bool all = (double)(draws - good) <= few && map->grid.n >= FEWEST_CELLS;
    if (draws < AW_FEWEST_DRAWS || !(all || (double)good <= few))
        return false;
    set_share(odds, all ? n : 0, n);
    return true;
}

bool aw_odds_run(aw_odds *odds, const aw_grid *grid, const aw_zone *zone,
                 const aw_scenario *scenario, double asked, unsigned threads, aw_watch *watch,
                 aw_errors *errors)
{
    threads = threads > 0 ? threads : 1;
    job j = {.grid = grid,
             .zone = zone,
             .scenario = scenario,
             .scene = aw_scene_create(scenario),
             .threads = threads,
             .workers = calloc(threads, sizeof *j.workers)};
    size_t open = AW_INSTALLATIONS;
    memset(j.asked, true, sizeof j.asked);
    bool done = equip(&j);
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the odds of a zone");
    done = done && run_round(&j, FIXES, open, watch);
    if (done && (open = judge(&j)) > 0 && !is_settled(&j, asked)) {
        done = run_round(&j, MORE_FIXES, open, watch);
        judge(&j);
    }
    memset(j.asked, false, sizeof j.asked);
    set_share(odds, count_good(&j, false), AW_INSTALLATIONS);
    for (unsigned i = 0; j.workers != NULL && i < threads; i++) {
        free(j.workers[i].spot.links);
        aw_shadows_free(j.workers[i].spot.shadows);
        aw_trials_free(j.workers[i].trials);
    }
    free(j.workers);
    aw_scene_free(j.scene);
    return done;
}
