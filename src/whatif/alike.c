/* Links cost little beside their draws, so each cell's are looked at, term by term. */
#include "whatif/alike.h"

#include <stdlib.h>
#include <string.h>

#include "anchorwise/level.h"
#include "anchorwise/site_law.h"
#include "base/parallel.h"
#include "base/workers.h"
#include "map/spot.h"

typedef struct job {
    const aw_scenario *scenario;
    size_t tag;
    aw_grid grid;
    aw_scene *scene;
    aw_workers workers;
    uint64_t *names; /* of each cell */
} job;

/* The mixing step of splitmix64 (Steele, Lea, Flood, OOPSLA 2014). */
static void mix(uint64_t *name, uint64_t more)
{
    uint64_t x = (*name + 0x9E3779B97F4A7C15u) ^ more;
    x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9u;
    x = (x ^ (x >> 27)) * 0x94D049BB133111EBu;
    *name = x ^ (x >> 31);
}

static void mix_figure(uint64_t *name, double figure)
{
    uint64_t bits;
    memcpy(&bits, &figure, sizeof bits);
    mix(name, bits);
}

static void mix_link(uint64_t *name, const aw_link *l)
{
    const double terms[] = {l->to_anchor[0], l->to_anchor[1], l->to_anchor[2], l->white,
                            l->spot,         l->tail,         l->tail_share,   l->survey,
                            l->delay,        l->believed,     l->fade_sigma,   l->lost_db};
    mix(name, l->n_outcomes);
    if (l->n_outcomes == 0)
        return;
    mix(name, l->key);
    for (size_t i = 0; i < sizeof terms / sizeof *terms; i++)
        mix_figure(name, terms[i]);
    if (l->scatters) {
        mix_figure(name, l->scattered_db);
        mix_figure(name, l->scattered_least);
    }
    for (size_t i = 0; i < l->n_outcomes; i++) {
        mix_figure(name, l->outcomes[i].fade_db);
        mix_figure(name, l->outcomes[i].excess);
    }
}

static void name_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    const aw_scenario *s = j->scenario;
    const aw_cell_finder *w = aw_worker(&j->workers, thread);
    for (size_t cell = from; cell < to; cell++) {
        const uint32_t number = j->grid.number[cell];
        const double height = aw_cell_find(w, &j->grid, number, j->tag);
        j->names[cell] = number;
        mix_figure(&j->names[cell], height);
        for (size_t i = 0; i < s->n_anchors; i++)
            mix_link(&j->names[cell], &w->links[i]);
    }
}

static bool create_worker(void *worker_of, const void *job_of)
{
    const job *j = job_of;
    return aw_cell_finder_create(worker_of, j->scene, j->scenario);
}

static void release_worker(void *worker_of)
{
    aw_cell_finder_free(worker_of);
}

static const aw_worker_kind kind = {sizeof(aw_cell_finder), create_worker, release_worker};

bool aw_zone_name(uint64_t *name, const aw_scenario *s, const aw_zone *zone, const aw_run *run)
{
    job j = {.scenario = s, .tag = zone->tag};
    if (!aw_grid_lay_zone(&j.grid, s, zone, run->errors))
        return false;
    j.scene = aw_scene_create(s);
    j.names = calloc(j.grid.n + 1, sizeof *j.names);
    bool done = j.scene != NULL && j.names != NULL && aw_workers_create(&j.workers, run, &kind, &j);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for %zu cells", j.grid.n);
    done = done && aw_parallel(j.grid.n, 64, run, name_cells, &j, 0);
    *name = j.grid.n;
    mix_figure(name, s->tags[zone->tag].height_sigma);
    mix_figure(name, aw_ranging_rms(&s->ranging, &s->radio));
    for (size_t cell = 0; done && cell < j.grid.n; cell++)
        mix(name, j.names[cell]);
    aw_workers_free(&j.workers);
    aw_scene_free(j.scene);
    free(j.names);
    aw_grid_free(&j.grid);
    return done;
}
