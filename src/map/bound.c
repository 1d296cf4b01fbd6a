/* The bound over a floor without a draw: links cell by cell, then a block of cells in one pass.
 * What the pass leaves open is asked in double precision. */
#include <math.h>
#include <stdlib.h>

#include "base/parallel.h"
#include "anchorwise/level.h"
#include "base/workers.h"
#include "map/spot.h"
#include "position/bound_batch.h"

/* Cells handed out together. */
#define BLOCK (4 * (size_t)AW_BOUNDS_GROUP)

typedef struct worker {
    aw_link *links;
    aw_shadows *shadows;
    float *room, *weight, *anchor[3]; /* of each anchor and cell of a block; of each anchor */
    float x[BLOCK], y[BLOCK], drms[BLOCK];
} worker;

typedef struct job {
    const aw_map_plan *plan;
    aw_map *map;
    aw_scene_use use;
    aw_workers workers;
} job;

static double *value_of(const job *j, aw_layer layer)
{
    return j->map->value + (size_t)layer * j->map->grid.n;
}

/* Single precision is enough for coordinates about the block's first cell. */
static void place_anchors(const job *j, worker *w, aw_point origin)
{
    const aw_scenario *s = j->plan->scenario;
    for (size_t i = 0; i < s->n_anchors; i++) {
        w->anchor[0][i] = (float)(s->anchors[i].at[0] - origin.x);
        w->anchor[1][i] = (float)(s->anchors[i].at[1] - origin.y);
        w->anchor[2][i] = (float)(s->anchors[i].at[2] - j->map->height);
    }
}

static void find_links(const job *j, worker *w, size_t cell)
{
    const aw_grid *grid = &j->map->grid;
    const aw_point at = aw_grid_centre(grid, grid->number[cell]);
    const double height = aw_tag_at(j->plan->scenario, j->plan->tag, at.x, at.y);
    aw_cell_links(w->shadows, grid, grid->number[cell], height, w->links);
}

/* Fills column k of the block. */
static void prepare_cell(const job *j, worker *w, size_t cell, size_t k, aw_point origin)
{
    const aw_point at = aw_grid_centre(&j->map->grid, j->map->grid.number[cell]);
    size_t used = 0;
    find_links(j, w, cell);
    for (size_t i = 0; i < j->plan->scenario->n_anchors; i++) {
        w->weight[i * BLOCK + k] = (float)aw_bound_expected_weight(&w->links[i]);
        used += w->links[i].n_outcomes > 0;
    }
    w->x[k] = (float)(at.x - origin.x);
    w->y[k] = (float)(at.y - origin.y);
    value_of(j, AW_LAYER_USED)[cell] = (double)used;
}

static double ask(const job *j, worker *w, size_t cell)
{
    const aw_scenario *s = j->plan->scenario;
    find_links(j, w, cell);
    return aw_bound_drms(w->links, s->n_anchors, s->tags[j->plan->tag].fix);
}

static void fill_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    worker *w = aw_worker(&j->workers, thread);
    const aw_scenario *s = j->plan->scenario;
    const aw_point origin = aw_grid_centre(&j->map->grid, j->map->grid.number[from]);
    const aw_bound_batch cells = {s->n_anchors, to - from, w->anchor[0], w->anchor[1], w->anchor[2],
                                  w->x,         w->y,      w->weight,    BLOCK};
    place_anchors(j, w, origin);
    for (size_t cell = from; cell < to; cell++)
        prepare_cell(j, w, cell, cell - from, origin);
    /* Lanes know one height of tags. */
    if (s->tags[j->plan->tag].fix == AW_FIX_2D && s->n_levels == 0)
        aw_bound_batch_run(&cells, w->drms);
    else
        for (size_t k = 0; k < to - from; k++)
            w->drms[k] = -1;
    for (size_t cell = from; cell < to; cell++) {
        const float found = w->drms[cell - from];
        value_of(j, AW_LAYER_BOUND)[cell] = found < 0 ? ask(j, w, cell) : (double)found;
    }
}

static bool create_worker(void *worker_of, const void *job_of)
{
    worker *w = worker_of;
    const job *j = job_of;
    const size_t n = j->plan->scenario->n_anchors;
    w->links = calloc(n, sizeof *w->links);
    w->shadows = aw_shadows_create(j->use.scene);
    w->room = calloc(n * (BLOCK + 3), sizeof *w->room);
    w->weight = w->room;
    for (size_t d = 0; w->room != NULL && d < 3; d++)
        w->anchor[d] = w->room + n * (BLOCK + d);
    return w->links != NULL && w->shadows != NULL && w->room != NULL;
}

static void release_worker(void *worker_of)
{
    worker *w = worker_of;
    free(w->links);
    aw_shadows_free(w->shadows);
    free(w->room);
}

static const aw_worker_kind kind = {sizeof(worker), create_worker, release_worker};

static bool prepare(job *j, const aw_run *run)
{
    aw_map *map = j->map;
    const size_t values = map->grid.n * AW_LAYERS;
    map->height = j->plan->scenario->tags[j->plan->tag].height;
    map->value = malloc((values + 1) * sizeof *map->value);
    for (size_t i = 0; map->value != NULL && i < values; i++)
        map->value[i] = (double)NAN;
    const bool scene = aw_scene_use_begin(&j->use, j->plan->scene, j->plan->scenario);
    return map->value != NULL && scene && aw_workers_create(&j->workers, run, &kind, j);
}

bool aw_map_bound(aw_map *map, aw_grid *grid, const aw_map_plan *plan, const aw_run *run)
{
    job j = {.plan = plan, .map = map};
    *map = (aw_map){.grid = *grid};
    *grid = (aw_grid){0};
    bool done = prepare(&j, run);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for %zu cells", map->grid.n);
    else
        done = aw_parallel(map->grid.n, BLOCK, run, fill_cells, &j, 1);
    aw_workers_free(&j.workers);
    aw_scene_use_end(&j.use);
    return done;
}
