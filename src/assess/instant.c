/* A cell's links are found once and summed once; each loss takes its anchors out of a copy of the
 * sums. Where too little is left for the sums to be sound, the links are passed over again. */
#include "assess/instant.h"

#include <stdlib.h>
#include <string.h>

#include "base/parallel.h"
#include "base/workers.h"
#include "map/spot.h"
#include "position/states.h"

/* Memory for spreads held at a time, bytes. */
#define MOST ((size_t)64 << 20)

typedef struct worker {
    aw_link *links, *still, *left; /* as they are, in one state, without those lost */
    aw_link_state_draw (*draws)[AW_MOST_STATES];
    aw_shadows *shadows;
} worker;

typedef struct job {
    const aw_instant_plan *plan;
    aw_error_laws *spreads;
    size_t from, n;
    aw_workers workers;
} job;

size_t aw_instant_batch(const aw_scenario *scenario, size_t cells)
{
    const size_t batch = MOST / (4 * sizeof(float)) / (cells * aw_states_of(scenario) + 1);
    return batch > 0 ? batch : 1;
}

static aw_expected expect_again(const aw_instant_plan *p, worker *w, const aw_loss *loss)
{
    const aw_tag *tag = &p->scenario->tags[p->tag];
    const size_t n = p->scenario->n_anchors;
    memcpy(w->left, w->still, n * sizeof *w->left);
    for (size_t k = 0; k < loss->n; k++)
        w->left[loss->anchor[k]].n_outcomes = 0;
    const aw_bound b = aw_bound_at(w->left, n, tag->fix);
    return aw_bound_expect(&b, tag->height_sigma);
}

aw_expected aw_expected_height(const aw_expected *e)
{
    aw_expected flat = *e;
    flat.bias[0] = e->bias[2];
    flat.bias[1] = 0;
    flat.xx = e->zz;
    flat.xy = flat.yy = 0;
    return flat;
}

/* Fills laws [first, first + same) of every loss with that of the links as they are held still. */
static void fill_laws(const job *j, worker *w, size_t first, size_t same)
{
    const aw_instant_plan *p = j->plan;
    const aw_tag *tag = &p->scenario->tags[p->tag];
    aw_sums all = {0};
    for (size_t i = 0; i < p->scenario->n_anchors; i++)
        aw_sums_add(&all, &w->still[i]);
    for (size_t i = 0; i < j->n; i++) {
        const aw_loss *loss = &p->losses[j->from + i];
        aw_sums sums = all;
        for (size_t k = 0; k < loss->n; k++)
            aw_sums_remove(&sums, &w->still[loss->anchor[k]]);
        aw_expected e = aw_sums_expect(&sums, tag->fix, tag->height_sigma);
        if (!e.is_accurate)
            e = expect_again(p, w, loss);
        if (p->vertical && e.status == AW_BOUND_OK)
            e = aw_expected_height(&e);
        for (size_t law = first; law < first + same; law++)
            aw_error_laws_set(&j->spreads[i], law, &e);
    }
}

bool aw_any_link_varies(const aw_link links[], size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (aw_link_varies(&links[i]))
            return true;
    return false;
}

void aw_instant_draws(const aw_scenario *s, uint32_t cell,
                      aw_link_state_draw draws[][AW_MOST_STATES])
{
    for (size_t i = 0; i < s->n_anchors; i++)
        aw_states_draw(s->study.seed, cell, s->anchors[i].key, aw_states_of(s), draws[i]);
}

static void fill_cell(const job *j, worker *w, size_t cell)
{
    const aw_instant_plan *p = j->plan;
    const uint32_t number = p->grid->number[cell];
    const size_t states = aw_states_of(p->scenario), n = p->scenario->n_anchors;
    const aw_point at = aw_grid_centre(p->grid, number);
    const double height = aw_tag_at(p->scenario, p->tag, at.x, at.y);
    aw_cell_links(w->shadows, p->grid, number, height, w->links);
    const bool varies = states > 1 && aw_any_link_varies(w->links, n);
    if (varies)
        aw_instant_draws(p->scenario, number, w->draws);
    for (size_t k = 0; k < (varies ? states : 1); k++) {
        for (size_t i = 0; i < n; i++)
            w->still[i] = varies ? aw_link_in_state(&w->links[i], &w->draws[i][k]) : w->links[i];
        fill_laws(j, w, cell * states + k, varies ? 1 : states);
    }
}

static void fill_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    for (size_t cell = from; cell < to; cell++)
        fill_cell(j, aw_worker(&j->workers, thread), cell);
}

static bool create_worker(void *worker_of, const void *job_of)
{
    worker *w = worker_of;
    const aw_instant_plan *plan = ((const job *)job_of)->plan;
    const size_t n = plan->scenario->n_anchors;
    w->links = calloc(n, sizeof *w->links);
    w->still = calloc(n, sizeof *w->still);
    w->left = calloc(n, sizeof *w->left);
    w->draws = calloc(n, sizeof *w->draws);
    w->shadows = aw_shadows_create(plan->scene);
    return w->links && w->still && w->left && w->draws && w->shadows;
}

static void release_worker(void *worker_of)
{
    worker *w = worker_of;
    free(w->links);
    free(w->still);
    free(w->left);
    free(w->draws);
    aw_shadows_free(w->shadows);
}

static const aw_worker_kind kind = {sizeof(worker), create_worker, release_worker};

bool aw_instant_run(aw_error_laws spreads[], const aw_instant_plan *plan, size_t from, size_t n,
                    const aw_run *run)
{
    job j = {.plan = plan, .spreads = spreads, .from = from, .n = n};
    bool done = aw_workers_create(&j.workers, run, &kind, &j);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory");
    else
        done = aw_parallel(plan->grid->n, 8, run, fill_cells, &j, n);
    aw_workers_free(&j.workers);
    return done;
}
