/* A cell's links are found once and summed once; each loss takes its anchors out of a copy of the
 * sums. Where too little is left for the sums to be sound, the links are passed over again. */
#include "study/instant.h"

#include <stdlib.h>
#include <string.h>

#include "anchorwise/spot.h"
#include "base/parallel.h"

/* Memory for spreads held at a time, bytes. */
#define MOST ((size_t)64 << 20)

typedef struct worker {
    aw_link *links, *left;
    aw_shadows *shadows;
} worker;

typedef struct job {
    const aw_instant_plan *plan;
    aw_spreads *spreads;
    size_t from, n;
    worker *workers;
} job;

size_t aw_instant_batch(size_t cells)
{
    const size_t batch = MOST / (4 * sizeof(float)) / (cells + 1);
    return batch > 0 ? batch : 1;
}

static aw_expected expect_again(const aw_instant_plan *p, worker *w, const aw_loss *loss)
{
    const aw_tag *tag = &p->scenario->tags[p->tag];
    const size_t n = p->scenario->n_anchors;
    memcpy(w->left, w->links, n * sizeof *w->left);
    for (size_t k = 0; k < loss->n; k++)
        w->left[loss->anchor[k]].n_outcomes = 0;
    const aw_bound b = aw_bound_at(w->left, n, tag->fix);
    return aw_bound_expect(&b, tag->height_sigma);
}

/* A law of one dimension as an ellipse without width. */
static aw_expected of_height(const aw_expected *e)
{
    aw_expected flat = *e;
    flat.bias[0] = e->bias[2];
    flat.bias[1] = 0;
    flat.xx = e->zz;
    flat.xy = flat.yy = 0;
    return flat;
}

static void fill_cell(const job *j, worker *w, size_t cell)
{
    const aw_instant_plan *p = j->plan;
    const aw_tag *tag = &p->scenario->tags[p->tag];
    const aw_point at = aw_grid_centre(p->grid, p->grid->number[cell]);
    const double height = aw_tag_at(p->scenario, p->tag, at.x, at.y);
    aw_sums all = {0};
    aw_cell_links(w->shadows, p->grid, p->grid->number[cell], height, w->links);
    for (size_t i = 0; i < p->scenario->n_anchors; i++)
        aw_sums_add(&all, &w->links[i]);
    for (size_t i = 0; i < j->n; i++) {
        const aw_loss *loss = &p->losses[j->from + i];
        aw_sums sums = all;
        for (size_t k = 0; k < loss->n; k++)
            aw_sums_remove(&sums, &w->links[loss->anchor[k]]);
        aw_expected e = aw_sums_expect(&sums, tag->fix, tag->height_sigma);
        if (!e.sound)
            e = expect_again(p, w, loss);
        if (p->vertical && e.status == AW_BOUND_OK)
            e = of_height(&e);
        aw_spreads_set(&j->spreads[i], cell, &e);
    }
}

static void fill_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    for (size_t cell = from; cell < to; cell++)
        fill_cell(j, &j->workers[thread], cell);
}

bool aw_instant_run(aw_spreads spreads[], const aw_instant_plan *plan, size_t from, size_t n,
                    aw_errors *errors)
{
    const unsigned threads = plan->threads > 0 ? plan->threads : 1;
    job j = {plan, spreads, from, n, calloc(threads, sizeof *j.workers)};
    bool done = j.workers != NULL;
    for (unsigned i = 0; done && i < threads; i++) {
        j.workers[i].links = calloc(plan->scenario->n_anchors, sizeof(aw_link));
        j.workers[i].left = calloc(plan->scenario->n_anchors, sizeof(aw_link));
        j.workers[i].shadows = aw_shadows_create(plan->scene);
        done = j.workers[i].links && j.workers[i].left && j.workers[i].shadows;
    }
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
    else
        done = aw_parallel(plan->grid->n, 8, threads, fill_cells, &j, plan->watch, n);
    for (unsigned i = 0; j.workers != NULL && i < threads; i++) {
        free(j.workers[i].links);
        free(j.workers[i].left);
        aw_shadows_free(j.workers[i].shadows);
    }
    free(j.workers);
    return done;
}
