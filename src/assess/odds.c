/* Survey and delay errors stay for the life of an installation, so a zone is good or bad as a
 * whole: fixes are counted for each installation, and installations are what the odds are about. */
#include "assess/odds.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "assess/parts.h"
#include "base/parallel.h"
#include "base/workers.h"
#include "map/spot.h"

/* Fixes of an installation that the map's own left open, then, with these, of those that they leave
 * open: at last so many that their scatter is small beside that of the installations. Open is what
 * a good installation on the line, or a bad one there, gives more often than so. */
static const size_t rounds[] = {625, 1250, 2500, 5000, 10000, 20000, 40000};
#define ROUNDS     (sizeof rounds / sizeof *rounds)
#define LOOK       4    /* rounds of a look, */
#define NEAR       0.01 /* which may tell odds this near to 0 or 1 */
#define FALSE_RATE 3e-5
/* About the most draws of a cell at a time. */
#define ROOM 16384
/* The share of its fixes that an installation needs within the need, and the share of the map's
 * draws that may be on the other side of it. */
#define GOOD  0.95
#define OTHER 0.005
/* In a zone of fewer cells one fix of each tells too little of a good installation. */
#define FEWEST_CELLS 20

/* Fixes of one installation by size: bins of 3 %, from 2^-20 m to 2^17 m, named by a float's
 * exponent and top five mantissa bits; what is beyond, and what failed, is in the last. */
#define BIN_SHIFT 18
#define FIRST_BIN ((uint32_t)(127 - 20) << 5)
#define BINS      (37u << 5)

typedef struct worker {
    aw_spot spot;
    aw_trials *trials;
    uint32_t within[AW_INSTALLATIONS]; /* fixes that meet the need, of all rounds */
    uint32_t (*sizes)[BINS];           /* of each installation, likewise; NULL: not counted */
} worker;

typedef struct verdicts {
    bool open[AW_INSTALLATIONS]; /* not told yet */
    bool good[AW_INSTALLATIONS];
} verdicts;

typedef struct job {
    const aw_grid *grid;
    const aw_zone *zone;
    const aw_scenario *scenario;
    aw_scene_use use;
    aw_workers workers;
    unsigned round; /* from 1: names its numbers */
    size_t draws;   /* of a cell for each installation of this round */
    size_t all;     /* and of all rounds so far */
    uint32_t list[AW_INSTALLATIONS + AW_DRAWN_TOGETHER]; /* installations of this round, rising; the
                                                   last again for what is drawn past it */
    size_t n_listed;
    size_t from, n; /* of the list, those that are drawn together now */
    verdicts found;
    bool beside; /* begins no stage */
    double *p95; /* of each installation by its last round; NULL: not wanted */
} job;

bool aw_odds_exist(const aw_scenario *s, const aw_zone *z)
{
    return !isnan(z->need.p95) && aw_scenario_has_installation(s);
}

static size_t draws_for(size_t fixes, size_t cells)
{
    return cells > 0 ? (fixes + cells - 1) / cells : 1;
}

static void list_installations(job *j, const bool drawn[AW_INSTALLATIONS])
{
    j->n_listed = 0;
    for (uint32_t m = 0; m < AW_INSTALLATIONS; m++)
        if (drawn == NULL || drawn[m])
            j->list[j->n_listed++] = m;
    for (size_t k = j->n_listed; k > 0 && k < sizeof j->list / sizeof *j->list; k++)
        j->list[k] = j->list[j->n_listed - 1];
}

/* Of the list from `from` on, those whose draws of a cell are made together. */
static size_t together(const job *j)
{
    const size_t left = j->n_listed - j->from, most = ROOM / j->draws;
    return left < most ? left : most > 0 ? most : 1;
}

static void count_sizes(uint32_t sizes[BINS], const float radius[], size_t n)
{
    for (size_t i = 0; i < n; i++) {
        uint32_t bits;
        memcpy(&bits, &radius[i], sizeof bits);
        const uint32_t name = bits >> BIN_SHIFT;
        const uint32_t bin = name < FIRST_BIN ? 0 : name - FIRST_BIN;
        sizes[bin < BINS ? bin : BINS - 1]++;
    }
}

static double bin_edge(uint32_t bin)
{
    const uint32_t bits = (FIRST_BIN + bin) << BIN_SHIFT;
    float x;
    memcpy(&x, &bits, sizeof x);
    return (double)x;
}

/* By nearest rank, the fixes of its bin taken to lie evenly in it. */
static double size_at(const uint64_t sizes[BINS], double share, uint64_t n)
{
    const double rank = ceil(share * (double)n - 1e-9);
    double below = 0;
    for (uint32_t bin = 0; bin < BINS - 1; bin++) {
        if (below + (double)sizes[bin] >= rank && sizes[bin] > 0)
            return bin_edge(bin) +
                   (rank - below - 0.5) / (double)sizes[bin] * (bin_edge(bin + 1) - bin_edge(bin));
        below += (double)sizes[bin];
    }
    return HUGE_VAL;
}

static void try_cell(const job *j, worker *w, size_t cell)
{
    aw_spot *spot = &w->spot;
    aw_spot_prepare(spot, j->use.scene, j->scenario, j->zone->tag, j->grid, j->grid->number[cell]);
    spot->draws.draws_per_installation = (uint32_t)j->draws;
    spot->draws.installations = j->list;
    spot->draws.fresh = j->round;
    spot->draws.first_draw = (uint32_t)(j->from * j->draws);
    spot->draws.n_draws = (uint32_t)(j->n * j->draws);
    const aw_draws d = aw_trials_run(w->trials, &spot->draws);
    for (size_t k = 0, i = 0; k < j->n; k++)
        for (size_t r = 0; r < j->draws; r++, i++)
            w->within[j->list[j->from + k]] += (double)d.radius[i] <= j->zone->need.p95;
    for (size_t k = 0; w->sizes != NULL && k < j->n; k++)
        count_sizes(w->sizes[j->list[j->from + k]], d.radius + k * j->draws, j->draws);
}

static void try_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    for (size_t cell = from; cell < to; cell++)
        try_cell(j, aw_worker(&j->workers, thread), cell);
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

/* By n fixes, of which so many meet the need. On the line 5 % do not, a binomial number. */
static void judge_one(verdicts *v, size_t m, uint64_t within, size_t n)
{
    const unsigned misses = (unsigned)(n - within), of = (unsigned)n;
    const bool good = (double)within >= GOOD * (double)n - 1e-9;
    const double chance = good ? gsl_cdf_binomial_P(misses, 1 - GOOD, of)
                               : gsl_cdf_binomial_Q(misses - 1, 1 - GOOD, of);
    v->good[m] = good;
    v->open[m] = chance > FALSE_RATE;
}

/* By the map's own draws, as far as these go: draw m is one fix a cell of installation m. */
static size_t judge_by_map(verdicts *v, const aw_map *map, uint32_t draws)
{
    const size_t n = draws < AW_INSTALLATIONS ? draws : AW_INSTALLATIONS;
    memset(v->open, true, sizeof v->open);
    for (size_t m = 0; m < n; m++)
        judge_one(v, m, map->cells_within[m], map->grid.n);
    return n;
}

static uint64_t gather_within(const job *j, size_t m)
{
    uint64_t within = 0;
    for (unsigned i = 0; i < j->workers.n; i++)
        within += ((const worker *)aw_worker(&j->workers, i))->within[m];
    return within;
}

static double gather_p95(const job *j, size_t m)
{
    uint64_t sizes[BINS] = {0};
    for (unsigned i = 0; i < j->workers.n; i++) {
        const uint32_t *counted = ((const worker *)aw_worker(&j->workers, i))->sizes[m];
        for (uint32_t bin = 0; bin < BINS; bin++)
            sizes[bin] += counted[bin];
    }
    return size_at(sizes, GOOD, j->all * j->grid->n);
}

static void judge_round(job *j)
{
    for (size_t k = 0; k < j->n_listed; k++) {
        const uint32_t m = j->list[k];
        if (j->p95 != NULL)
            j->p95[m] = gather_p95(j, m);
        if (j->found.open[m])
            judge_one(&j->found, m, gather_within(j, m), j->all * j->grid->n);
    }
}

static size_t count_open(const verdicts *v)
{
    size_t n = 0;
    for (size_t m = 0; m < AW_INSTALLATIONS; m++)
        n += v->open[m];
    return n;
}

static size_t count_good(const verdicts *v, size_t n)
{
    size_t good = 0;
    for (size_t m = 0; m < n; m++)
        good += v->good[m];
    return good;
}

/* Whether the verdict of n installations against what is asked is the same with all open ones good
 * or bad. */
static bool is_settled(const verdicts *v, size_t n, double asked)
{
    aw_odds least, most;
    size_t sure = 0, open = 0;
    for (size_t m = 0; m < n; m++) {
        sure += v->good[m] && !v->open[m];
        open += v->open[m];
    }
    set_share(&least, sure, n);
    set_share(&most, sure + open, n);
    return !isnan(asked) && (least.share >= asked) == (most.share >= asked) &&
           (least.low >= asked) == (most.low >= asked) &&
           (least.high < asked) == (most.high < asked);
}

/* Some installations at a time, each time in all cells, for which their lasting errors are kept. */
static bool run_round(job *j, size_t draws, const aw_run *run)
{
    bool done = true;
    j->round++;
    j->draws = draws;
    j->all += draws;
    if (!j->beside && aw_watch_shows(run->watch))
        aw_watch_stage(run->watch, j->grid->n * j->n_listed * draws, "odds, %s", j->zone->name);
    for (j->from = 0; done && j->from < j->n_listed; j->from += j->n) {
        j->n = together(j);
        done = aw_parallel(j->grid->n, 1, run, try_cells, j, j->n * j->draws);
    }
    return done;
}

static bool create_worker(void *worker_of, const void *job_of)
{
    worker *w = worker_of;
    const job *j = job_of;
    const size_t most = draws_for(rounds[ROUNDS - 1], j->grid->n), n = most > ROOM ? most : ROOM;
    w->spot.links = calloc(j->scenario->n_anchors, sizeof(aw_link));
    w->spot.shadows = aw_shadows_create(j->use.scene);
    w->trials = aw_trials_create(j->scenario->n_anchors, n, NULL);
    w->sizes = j->p95 != NULL ? calloc(AW_INSTALLATIONS, sizeof *w->sizes) : NULL;
    return w->spot.links != NULL && w->spot.shadows != NULL && w->trials != NULL &&
           (w->sizes != NULL || j->p95 == NULL);
}

static void release_worker(void *worker_of)
{
    worker *w = worker_of;
    free(w->spot.links);
    aw_shadows_free(w->spot.shadows);
    aw_trials_free(w->trials);
    free(w->sizes);
}

static const aw_worker_kind kind = {sizeof(worker), create_worker, release_worker};

static bool is_near_end(const verdicts *v)
{
    const double share = (double)count_good(v, AW_INSTALLATIONS) / AW_INSTALLATIONS;
    return fmin(share, 1 - share) <= NEAR + 1e-9;
}

/* As many rounds as it takes; all that are open have had all of them. For their p95 all
 * installations are drawn in the first. In a zone of many cells the map's own fixes are enough of a
 * round. */
static bool run_rounds(job *j, bool known, const aw_zone_plan *p, const aw_run *run)
{
    const double asked = p->judging >= AW_JUDGE_VERDICT ? p->scenario->study.odds : (double)NAN;
    const size_t from = known ? 2 : 1; /* fewest draws of a cell that tell more */
    for (size_t i = 0; i < (p->judging == AW_JUDGE_LOOK ? LOOK : ROUNDS); i++) {
        const size_t draws = draws_for(rounds[i], j->grid->n);
        const bool all = j->all == 0 && j->p95 != NULL;
        if (!all && (count_open(&j->found) == 0 || is_settled(&j->found, AW_INSTALLATIONS, asked)))
            return true;
        if (i == LOOK && p->judging == AW_JUDGE_END && is_near_end(&j->found))
            return true;
        if (draws == j->all || (!all && draws < from))
            continue;
        list_installations(j, all ? NULL : j->found.open);
        if (!run_round(j, draws - j->all, run))
            return false;
        judge_round(j);
    }
    return true;
}

/* Fixes scatter about what an installation gives: of one on the other side a quarter to a half of
 * the draws would be, in zones of enough cells. */
static bool nearly_all_alike(aw_odds *odds, const aw_map *map, uint32_t draws)
{
    const size_t n = draws < AW_INSTALLATIONS ? draws : AW_INSTALLATIONS;
    const double few = OTHER * (double)draws;
    uint32_t good = 0;
    for (uint32_t m = 0; m < draws; m++)
        good += (double)map->cells_within[m] >= GOOD * (double)map->grid.n - 1e-9;
    const bool all = (double)(draws - good) <= few && map->grid.n >= FEWEST_CELLS;
    set_share(odds, all ? n : 0, n);
    return all || (double)good <= few;
}

bool aw_odds_told(aw_odds *odds, const aw_map *map, uint32_t draws, double asked)
{
    verdicts v = {0};
    if (draws < AW_FEWEST_DRAWS)
        return false;
    if (nearly_all_alike(odds, map, draws))
        return true;
    const size_t n = judge_by_map(&v, map, draws);
    set_share(odds, count_good(&v, n), n);
    return is_settled(&v, n, asked);
}

static bool prepare(job *j, double p95[], const aw_map *map, const aw_zone_plan *p,
                    const aw_run *run)
{
    *j = (job){.grid = &map->grid,
               .zone = p->zone,
               .scenario = p->scenario,
               .beside = p->beside,
               .p95 = p95};
    if (aw_scene_use_begin(&j->use, p->scene, p->scenario) &&
        aw_workers_create(&j->workers, run, &kind, j))
        return true;
    aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the odds of a zone");
    return false;
}

static void end(job *j)
{
    aw_workers_free(&j->workers);
    aw_scene_use_end(&j->use);
}

bool aw_odds_run(aw_odds *odds, double p95[], const aw_map *map, const aw_zone_plan *p,
                 const aw_run *run)
{
    job j;
    bool done = prepare(&j, p95, map, p, run);
    const size_t known = judge_by_map(&j.found, map, p->scenario->study.draws);
    done = done && run_rounds(&j, known == AW_INSTALLATIONS, p, run);
    set_share(odds, count_good(&j.found, AW_INSTALLATIONS), AW_INSTALLATIONS);
    end(&j);
    return done;
}

bool aw_odds_installations(double p95[], const aw_map *map, const aw_zone_plan *p,
                           const aw_run *run)
{
    job j;
    bool done = prepare(&j, p95, map, p, run);
    list_installations(&j, NULL);
    done = done && run_round(&j, draws_for(rounds[0], map->grid.n), run);
    if (done)
        judge_round(&j);
    end(&j);
    return done;
}
