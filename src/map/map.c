/* The parallel loop over cells. assess_cell() is the page to read first: all we know about one
 * cell, in order. */
#include "anchorwise/map.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/parallel.h"
#include "base/workers.h"
#include "map/interval.h"
#include "map/spot.h"
#include "position/control.h"
#include "position/error_law_batch.h"
#include "position/tally.h"

/* Cells handed out together; of few draws, whose percentiles are corrected side by side. */
#define GRAIN     4
#define GRAIN_FEW 64

/* What one thread has to itself. */
typedef struct worker {
    aw_spot spot;
    aw_trials *trials;
    aw_tally *radius, *rise;
    uint64_t *used_in;
    uint32_t *cells_within;
    uint64_t draws, failed, ambiguous;
    aw_error_laws laws; /* of the cells at hand, where draws are few; else of none */
    double shift[2][GRAIN_FEW];
} worker;

/* Percentiles that few draws leave to be corrected. */
static const struct {
    aw_layer layer;
    double q;
} corrected[2] = {{AW_LAYER_P50, 0.5}, {AW_LAYER_P95, 0.95}};

typedef struct job {
    const aw_map_plan *plan;
    aw_map *map;
    aw_scene_use use;
    aw_workers workers;
} job;

static double *value_at(aw_map *map, aw_layer layer, size_t cell)
{
    return &map->value[(size_t)layer * map->grid.n + cell];
}

/* What the links do to be received and timed, over all anchors. */
static void fill_chances(aw_map *map, size_t cell, const aw_link links[], size_t n)
{
    double received = 0, direct = 0, excess = 0;
    for (size_t i = 0; i < n; i++) {
        const aw_link_chances c = aw_link_expect(&links[i]);
        received += c.received;
        direct += c.direct;
        excess += c.received > 0 ? c.received * c.excess : 0;
    }
    *value_at(map, AW_LAYER_RECEIVED, cell) = received;
    *value_at(map, AW_LAYER_DIRECT_SHARE, cell) = received > 0 ? direct / received : (double)NAN;
    *value_at(map, AW_LAYER_LINK_BIAS, cell) = received > 0 ? excess / received : (double)NAN;
}

/* What needs no draw. */
static void fill_links(const job *j, size_t cell, const aw_spot *spot)
{
    const aw_scenario *s = j->plan->scenario;
    const aw_bound *b = &spot->bound;
    const size_t tag = j->plan->tag;
    const double value[] = {
        [AW_LAYER_USED] = (double)b->used,
        [AW_LAYER_HDOP] = b->hdop,
        [AW_LAYER_VDOP] = b->vdop,
        [AW_LAYER_PDOP] = b->pdop,
        [AW_LAYER_TDOP] = b->tdop,
        [AW_LAYER_GDOP] = b->gdop,
        [AW_LAYER_BOUND] = aw_bound_drms(spot->links, s->n_anchors, s->tags[tag].fix),
        [AW_LAYER_BIAS] = aw_spot_bias(s, tag, j->map->grid.number[cell], spot->links, b),
    };
    for (int layer = 0; layer <= AW_LAYER_BIAS; layer++)
        *value_at(j->map, (aw_layer)layer, cell) = value[layer];
    fill_chances(j->map, cell, spot->links, s->n_anchors);
}

static void fill_errors(const job *j, size_t cell, const aw_trials *trials, const aw_draws *d)
{
    const double n = (double)d->n, nan = (double)NAN;
    const bool solid = j->plan->scenario->tags[j->plan->tag].fix == AW_FIX_3D;
    const double value[AW_LAYER_VERTICAL_P95 + 1] = {
        [AW_LAYER_P50] = aw_trials_percentile(trials, 0.5, false),
        [AW_LAYER_P95] = aw_trials_percentile(trials, 0.95, false),
        [AW_LAYER_RMS] = aw_trials_rms(trials),
        [AW_LAYER_FIX_SHARE] = (n - (double)d->n_failed) / n,
        [AW_LAYER_AMBIGUOUS_SHARE] = (double)d->n_ambiguous / n,
        [AW_LAYER_VERTICAL_P50] = solid ? aw_trials_percentile(trials, 0.5, true) : nan,
        [AW_LAYER_VERTICAL_P95] = solid ? aw_trials_percentile(trials, 0.95, true) : nan,
    };
    for (int layer = AW_LAYER_P50; layer <= AW_LAYER_VERTICAL_P95; layer++)
        *value_at(j->map, (aw_layer)layer, cell) = value[layer];
}

/* The largest float that is at most x. */
static float float_below(double x)
{
    const float f = (float)x;
    return (double)f > x ? nextafterf(f, -INFINITY) : f;
}

static uint32_t count_within(const aw_draws *d, float limit, uint32_t cells_within[])
{
    uint32_t within = 0;
    for (size_t i = 0; i < d->n; i++) {
        const uint32_t is = d->radius[i] <= limit;
        within += is;
        cells_within[i] += is;
    }
    return within;
}

static void pool_draws(worker *w, const aw_draws *d, bool solid)
{
    aw_tally_add_all(w->radius, d->radius, d->n);
    if (solid)
        aw_tally_add_all(w->rise, d->rise, d->n);
    w->draws += d->n;
    w->failed += d->n_failed;
    w->ambiguous += d->n_ambiguous;
}

/* Keeps of one cell what correct_cells() needs. */
static void prepare_correction(const job *j, worker *w, size_t cell, size_t at, const aw_draws *d)
{
    const aw_trials_case *c = &w->spot.draws;
    const aw_expected law = aw_bound_expect(&w->spot.bound, c->height_sigma);
    double *rms = value_at(j->map, AW_LAYER_RMS, cell);
    const bool normal = aw_control_is_normal(c->links, c->n_links);
    aw_error_laws_set(&w->laws, at, &law);
    *rms = aw_control_rms(d, *rms, &law);
    for (int k = 0; k < 2; k++)
        w->shift[k][at] = normal ? aw_control_shift(d, corrected[k].q) : (double)NAN;
}

/* Corrected figures stand in for the plain ones together, and only in their order. */
static void correct_cell(const job *j, const worker *w, size_t cell, size_t at,
                         const double known[])
{
    double figure[2];
    for (int k = 0; k < 2; k++) {
        const double better = known[k] + w->shift[k][at];
        figure[k] = better > 0 ? better : *value_at(j->map, corrected[k].layer, cell);
    }
    for (int k = 0; k < 2 && figure[0] <= figure[1]; k++)
        *value_at(j->map, corrected[k].layer, cell) = figure[k];
}

/* A corrected figure may lie outside the interval of the plain one. */
static void widen_interval(aw_map *map, aw_layer layer, size_t cell)
{
    const double value = *value_at(map, layer, cell);
    map->ends[0][cell] = fmin(map->ends[0][cell], value);
    map->ends[1][cell] = fmax(map->ends[1][cell], value);
}

static void correct_cells(const job *j, const worker *w, size_t from, size_t n)
{
    double known[2][GRAIN_FEW];
    for (int k = 0; k < 2; k++)
        aw_error_laws_each(&w->laws, corrected[k].q, known[k]);
    for (size_t i = 0; i < n; i++)
        correct_cell(j, w, from + i, i, (double[2]){known[0][i], known[1][i]});
    for (size_t i = 0; i < n; i++)
        widen_interval(j->map, j->plan->interval_of, from + i);
}

static void fill_interval(const job *j, const aw_trials *trials, size_t cell, const aw_draws *d)
{
    const aw_layer layer = j->plan->interval_of;
    double ends[2];
    aw_layer_interval(layer, trials, d, *value_at(j->map, layer, cell), ends);
    for (int k = 0; k < 2; k++)
        j->map->ends[k][cell] = ends[k];
}

static void assess_cell(const job *j, worker *w, size_t cell, size_t at)
{
    const aw_scenario *s = j->plan->scenario;
    const size_t tag = j->plan->tag;
    aw_spot *spot = &w->spot;

    aw_spot_prepare(spot, j->use.scene, s, tag, &j->map->grid, j->map->grid.number[cell]);
    const aw_draws draws = aw_trials_run(w->trials, &spot->draws);
    if (!j->plan->errors_alone)
        fill_links(j, cell, spot);
    fill_errors(j, cell, w->trials, &draws);
    fill_interval(j, w->trials, cell, &draws);
    j->map->within[cell] = count_within(&draws, float_below(j->plan->limit), w->cells_within);
    if (w->laws.n > 0)
        prepare_correction(j, w, cell, at, &draws);
    pool_draws(w, &draws, s->tags[tag].fix == AW_FIX_3D);
    for (size_t i = 0; i < s->n_anchors; i++)
        w->used_in[i] += spot->links[i].n_outcomes > 0;
}

static void assess_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    worker *w = aw_worker(&j->workers, thread);
    for (size_t cell = from; cell < to; cell++)
        assess_cell(j, w, cell, cell - from);
    if (w->laws.n > 0)
        correct_cells(j, w, from, to - from);
}

/* A tag with a known height has no vertical errors to pool. */
static size_t rise_groups(const aw_map_plan *plan)
{
    return plan->scenario->tags[plan->tag].fix == AW_FIX_3D ? plan->groups : 1;
}

static bool is_few(const aw_map_plan *plan)
{
    return plan->scenario->study.draws <= AW_FEW_DRAWS;
}

static bool create_worker(void *worker_of, const void *job_of)
{
    worker *w = worker_of;
    const job *j = job_of;
    const aw_map_plan *plan = j->plan;
    const aw_scenario *s = plan->scenario;
    w->spot.links = calloc(s->n_anchors, sizeof *w->spot.links);
    w->spot.shadows = aw_shadows_create(j->use.scene);
    w->trials = aw_trials_create(s->n_anchors, s->study.draws, NULL);
    w->radius = aw_tally_create(plan->groups);
    w->rise = aw_tally_create(rise_groups(plan));
    w->used_in = calloc(s->n_anchors, sizeof *w->used_in);
    w->cells_within = calloc(s->study.draws, sizeof *w->cells_within);
    if (is_few(plan) && !aw_error_laws_create(&w->laws, GRAIN_FEW, 1))
        return false;
    return w->spot.links && w->spot.shadows && w->trials && w->radius && w->rise && w->used_in &&
           w->cells_within;
}

static void release_worker(void *worker_of)
{
    worker *w = worker_of;
    free(w->spot.links);
    aw_shadows_free(w->spot.shadows);
    aw_trials_free(w->trials);
    aw_tally_free(w->radius);
    aw_tally_free(w->rise);
    free(w->used_in);
    free(w->cells_within);
    aw_error_laws_free(&w->laws);
}

static const aw_worker_kind kind = {sizeof(worker), create_worker, release_worker};

/* Takes a tally over from the first worker, adds that of any other. */
static void take_tally(aw_tally **all, aw_tally **own)
{
    if (*all != NULL) {
        aw_tally_merge(*all, *own);
        return;
    }
    *all = *own;
    *own = NULL;
}

static void collect(aw_map *map, worker *w, const aw_scenario *s)
{
    take_tally(&map->radius, &w->radius);
    take_tally(&map->rise, &w->rise);
    map->draws += w->draws;
    map->failed += w->failed;
    map->ambiguous += w->ambiguous;
    for (size_t i = 0; i < s->n_anchors; i++)
        map->used_in[i] += w->used_in[i];
    for (size_t i = 0; i < s->study.draws; i++)
        map->cells_within[i] += w->cells_within[i];
}

static bool prepare(job *j, const aw_run *run)
{
    const aw_scenario *s = j->plan->scenario;
    aw_map *map = j->map;
    map->tag = j->plan->tag;
    map->height = s->tags[j->plan->tag].height;
    map->value = malloc((map->grid.n + 1) * AW_LAYERS * sizeof *map->value);
    for (size_t i = 0; map->value != NULL && i < map->grid.n * AW_LAYERS; i++)
        map->value[i] = (double)NAN;
    map->used_in = calloc(s->n_anchors, sizeof *map->used_in);
    map->within = calloc(map->grid.n + 1, sizeof *map->within);
    for (int k = 0; k < 2; k++)
        map->ends[k] = malloc((map->grid.n + 1) * sizeof *map->ends[k]);
    map->cells_within = calloc(s->study.draws, sizeof *map->cells_within);
    const bool scene = aw_scene_use_begin(&j->use, j->plan->scene, s);
    return map->value && map->used_in && map->within && map->ends[0] && map->ends[1] &&
           map->cells_within && scene && aw_workers_create(&j->workers, run, &kind, j);
}

bool aw_map_run(aw_map *map, aw_grid *grid, const aw_map_plan *plan, const aw_run *run)
{
    job j = {.plan = plan, .map = map};
    *map = (aw_map){.grid = *grid};
    *grid = (aw_grid){0};
    bool done = prepare(&j, run);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for %zu cells", map->grid.n);
    else
        done = aw_parallel(map->grid.n, is_few(plan) ? GRAIN_FEW : GRAIN, run, assess_cells, &j,
                           plan->scenario->study.draws);
    for (unsigned i = 0; done && i < j.workers.n; i++)
        collect(map, aw_worker(&j.workers, i), plan->scenario);
    aw_workers_free(&j.workers);
    aw_scene_use_end(&j.use);
    return done;
}

void aw_map_free(aw_map *map)
{
    aw_grid_free(&map->grid);
    free(map->value);
    free(map->used_in);
    free(map->within);
    free(map->cells_within);
    free(map->ends[0]);
    free(map->ends[1]);
    aw_tally_free(map->radius);
    aw_tally_free(map->rise);
    *map = (aw_map){0};
}
