/* A cell's links are found once and summed once; each loss takes its anchors out of a copy of the
 * sums. Where too little is left for the sums to be sound, the links are passed over again. */
#include "assess/instant.h"

#include <stdlib.h>
#include <string.h>

#include "anchorwise/level.h"
#include "base/parallel.h"
#include "base/workers.h"
#include "map/spot.h"
#include "position/states.h"

/* Memory for spreads held at a time, bytes. */
#define MOST ((size_t)64 << 20)

/* Losses whose laws are made together. */
#define TOGETHER 32

/* Laws of a cell that are the same. */
typedef struct alike {
    size_t first, n;
} alike;

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

/* The links as they are held still, without those of a loss. */
static aw_sums sums_without(const worker *w, const aw_sums *all, const aw_loss *loss)
{
    aw_sums sums = *all;
    for (size_t k = 0; k < loss->n; k++)
        aw_sums_remove(&sums, &w->still[loss->anchor[k]]);
    return sums;
}

static aw_expected expect(const aw_instant_plan *p, worker *w, const aw_sums *sums,
                          const aw_loss *loss)
{
    const aw_tag *tag = &p->scenario->tags[p->tag];
    aw_expected e = aw_sums_expect(sums, tag->fix, tag->height_sigma);
    if (!e.is_accurate)
        e = expect_again(p, w, loss);
    return p->vertical && e.status == AW_BOUND_OK ? aw_expected_height(&e) : e;
}

/* Fills laws of losses [from, from + n) with those of so many sums. */
static void set_laws(const job *j, worker *w, const aw_sums sums[], size_t from, size_t n, alike a)
{
    const aw_instant_plan *p = j->plan;
    const aw_tag *tag = &p->scenario->tags[p->tag];
    const bool flat = tag->fix == AW_FIX_2D && !p->vertical;
    aw_law laws[TOGETHER];
    if (flat)
        aw_sums_batch_expect(sums, n, tag->height_sigma, laws);
    for (size_t i = 0; i < n; i++) {
        const bool known = flat && !laws[i].open;
        const aw_expected e =
            known ? (aw_expected){0} : expect(p, w, &sums[i], &p->losses[j->from + from + i]);
        for (size_t law = a.first; law < a.first + a.n; law++)
            if (known)
                aw_error_laws_put(&j->spreads[from + i], law, &laws[i]);
            else
                aw_error_laws_set(&j->spreads[from + i], law, &e);
    }
}

/* Fills laws of every loss with that of the links as they are held still. */
static void fill_laws(const job *j, worker *w, alike a)
{
    const aw_instant_plan *p = j->plan;
    aw_sums all = {0}, sums[TOGETHER];
    for (size_t i = 0; i < p->scenario->n_anchors; i++)
        aw_sums_add(&all, &w->still[i]);
    for (size_t from = 0; from < j->n; from += TOGETHER) {
        const size_t n = j->n - from < TOGETHER ? j->n - from : TOGETHER;
        for (size_t i = 0; i < n; i++)
            sums[i] = sums_without(w, &all, &p->losses[j->from + from + i]);
        set_laws(j, w, sums, from, n, a);
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
        fill_laws(j, w, (alike){cell * states + k, varies ? 1 : states});
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
