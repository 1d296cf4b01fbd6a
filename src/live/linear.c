/* First the sums of what stays, once; then the one link that moves, every time. */
#include "live/linear.h"

#include <math.h>
#include <stdlib.h>

#include "anchorwise/level.h"
#include "anchorwise/vary.h"
#include "base/parallel.h"
#include "base/workers.h"
#include "map/spot.h"
#include "position/states.h"
#include "position/sums.h"

/* Cells handed out together, and side by side for their percentiles. */
#define GRAIN 64
#define SLICE ((size_t)1024)
/* Cells of floor and zones together, beyond which a few draws are told in place of an estimate. */
#define MOST_CELLS 1e6

static bool run_out(const aw_run *run)
{
    aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory");
    return false;
}

static double cells_of(const aw_scenario *s, const aw_polygon *of)
{
    return (of->high.x - of->low.x) * (of->high.y - of->low.y) / (s->study.step * s->study.step);
}

bool aw_linear_suits(const aw_scenario *s)
{
    double cells = cells_of(s, &s->floor.outline);
    for (size_t i = 0; i < s->n_zones; i++)
        cells += cells_of(s, &s->zones[i].outline);
    return aw_states_of(s) == 1 && cells <= MOST_CELLS;
}

/* --- the loop over cells --- */

typedef struct job {
    const aw_scenario *scenario;
    const aw_scene *scene; /* of that */
    aw_linear_field *field;
    size_t moved;
    bool inaccurate; /* some cell's sums were */
    aw_workers workers;
} job;

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

static bool run_cells(job *j, aw_body *body, const aw_run *run)
{
    j->workers = (aw_workers){0};
    const bool done = aw_workers_create(&j->workers, run, &kind, j)
                          ? aw_parallel(j->field->grid.n, GRAIN, run, body, j, 1)
                          : run_out(run);
    aw_workers_free(&j->workers);
    return done;
}

/* --- what stays --- */

static void sum_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    aw_cell_finder *w = aw_worker(&j->workers, thread);
    for (size_t cell = from; cell < to; cell++) {
        aw_sums sums = {0};
        aw_cell_find(w, &j->field->grid, j->field->grid.number[cell], j->field->tag);
        for (size_t i = 0; i < j->scenario->n_anchors; i++)
            if (i != j->moved)
                aw_sums_add(&sums, &w->links[i]);
        j->field->rest[cell] = sums;
    }
}

static bool make_field(aw_linear_field *f, const aw_scenario *s, const aw_run *run)
{
    f->rest = malloc((f->grid.n + 1) * sizeof *f->rest);
    f->p95 = malloc((f->grid.n + 1) * sizeof *f->p95);
    return (f->rest != NULL && f->p95 != NULL &&
            aw_error_laws_create(&f->laws, f->grid.n, aw_states_of(s))) ||
           run_out(run);
}

static bool lay_fields(aw_linear *l, const aw_scenario *s, const aw_run *run)
{
    l->n = s->n_zones + 1;
    l->fields = calloc(l->n, sizeof *l->fields);
    if (l->fields == NULL)
        return run_out(run);
    l->fields[0].tag = l->tag;
    if (!aw_grid_lay(&l->fields[0].grid, s, l->tag, run->errors))
        return false;
    for (size_t i = 1; i < l->n; i++) {
        l->fields[i].tag = s->zones[i - 1].tag;
        if (!aw_grid_lay_zone(&l->fields[i].grid, s, &s->zones[i - 1], run->errors))
            return false;
    }
    return true;
}

void aw_linear_free(aw_linear *l)
{
    for (size_t i = 0; l->fields != NULL && i < l->n; i++) {
        aw_grid_free(&l->fields[i].grid);
        aw_error_laws_free(&l->fields[i].laws);
        free(l->fields[i].rest);
        free(l->fields[i].p95);
    }
    free(l->fields);
    aw_reading_let_go(l->base);
    *l = (aw_linear){0};
}

static bool prepare(aw_linear *l, const aw_linear_plan *plan, const aw_run *run)
{
    const aw_scenario *s = &plan->base->of.scenario;
    aw_linear_free(l);
    *l = (aw_linear){.moved = plan->moved, .tag = plan->tag};
    aw_scene *scene = aw_scene_create(s);
    bool done = scene != NULL ? lay_fields(l, s, run) : run_out(run);
    for (size_t i = 0; done && i < l->n; i++) {
        job j = {.scenario = s, .scene = scene, .field = &l->fields[i], .moved = plan->moved};
        done = make_field(&l->fields[i], s, run) && run_cells(&j, sum_cells, run);
    }
    aw_scene_free(scene);
    if (done)
        l->base = aw_reading_hold(plan->base);
    else
        aw_linear_free(l);
    return done;
}

/* --- what moves --- */

/* The scenario has the anchor that moves, or none of consequence. */
static void move_cells(void *context, size_t from, size_t to, unsigned thread)
{
    job *j = context;
    aw_cell_finder *w = aw_worker(&j->workers, thread);
    const aw_tag *tag = &j->scenario->tags[j->field->tag];
    for (size_t cell = from; cell < to; cell++) {
        aw_sums sums = j->field->rest[cell];
        if (j->moved != AW_NONE_MOVES) {
            aw_cell_find(w, &j->field->grid, j->field->grid.number[cell], j->field->tag);
            aw_sums_add(&sums, &w->links[0]);
        }
        const aw_expected e = aw_sums_expect(&sums, tag->fix, tag->height_sigma);
        aw_error_laws_set(&j->field->laws, cell, &e);
        if (!e.is_accurate)
            __atomic_store_n(&j->inaccurate, true, __ATOMIC_RELAXED);
    }
}

/* Passes over the links again where sums were not sound. */
static bool mend_cells(aw_linear_field *f, const aw_scenario *s, const aw_linear *l,
                       const aw_run *run)
{
    aw_scene *scene = aw_scene_create(s);
    aw_link *links = calloc(s->n_anchors, sizeof *links);
    const aw_tag *tag = &s->tags[f->tag];
    const bool done = (scene != NULL && links != NULL) || run_out(run);
    for (size_t cell = 0; done && cell < f->grid.n; cell++) {
        const aw_point at = aw_grid_centre(&f->grid, f->grid.number[cell]);
        const double spot[3] = {at.x, at.y, aw_tag_at(s, f->tag, at.x, at.y)};
        aw_sums sums = f->rest[cell];
        if (l->moved != AW_NONE_MOVES) {
            const aw_link link = aw_link_at(scene, spot, &s->anchors[l->moved]);
            aw_sums_add(&sums, &link);
        }
        if (aw_sums_expect(&sums, tag->fix, tag->height_sigma).is_accurate)
            continue;
        aw_links_at(scene, spot, links);
        const aw_bound b = aw_bound_at(links, s->n_anchors, tag->fix);
        const aw_expected e = aw_bound_expect(&b, tag->height_sigma);
        aw_error_laws_set(&f->laws, cell, &e);
    }
    free(links);
    aw_scene_free(scene);
    return done;
}

static void find_percentiles(void *context, size_t from, size_t to, unsigned thread)
{
    const aw_linear_field *f = context;
    (void)thread;
    for (size_t k = from; k < to; k++) {
        const size_t at = k * SLICE, left = f->grid.n - at;
        aw_error_laws part = f->laws;
        part.n = left < SLICE ? left : SLICE;
        part.along += at;
        part.across += at;
        part.major += at;
        part.minor += at;
        aw_error_laws_each(&part, 0.95, f->p95 + at);
    }
}

bool aw_linear_run(aw_linear *l, const aw_linear_plan *plan, const aw_run *run)
{
    const aw_scenario *s = plan->scenario;
    const bool ready = l->base == plan->base && l->moved == plan->moved && l->tag == plan->tag;
    if (!ready && !prepare(l, plan, run))
        return false;
    aw_varied alone = aw_vary(s);
    if (plan->moved != AW_NONE_MOVES) {
        alone.scenario.anchors = &s->anchors[plan->moved];
        alone.scenario.n_anchors = 1;
    }
    aw_scene *scene = aw_scene_create(&alone.scenario);
    bool done = scene != NULL || run_out(run);
    for (size_t i = 0; done && i < l->n; i++) {
        aw_linear_field *f = &l->fields[i];
        job j = {.scenario = &alone.scenario, .scene = scene, .field = f, .moved = plan->moved};
        done = run_cells(&j, move_cells, run) && (!j.inaccurate || mend_cells(f, s, l, run));
    }
    aw_linear_field *floor = l->fields;
    done = done &&
           aw_parallel((floor->grid.n + SLICE - 1) / SLICE, 1, run, find_percentiles, floor, SLICE);
    aw_scene_free(scene);
    aw_varied_free(&alone);
    return done;
}
