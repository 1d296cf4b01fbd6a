/* A cell's links are found once for the anchors as they hang and once for the one anchor at all its
 * places; each place is then one link taken out and one put in. */
#include "whatif/moves.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/level.h"
#include "assess/instant.h"
#include "base/parallel.h"
#include "base/workers.h"
#include "map/spot.h"
#include "position/error_law_batch.h"
#include "position/states.h"

/* Places whose laws are made together. */
#define TOGETHER 32

typedef struct worker {
    aw_link *links, *moved; /* of the anchors as they hang; of the one anchor at all places */
    aw_sums_part *parts, *moved_parts;
    aw_link *still;   /* the anchors in the state at hand */
    bool still_known; /* made when first asked for */
    aw_link_state_draw (*draws)[AW_MOST_STATES];
    aw_shadows *shadows, *of_moved;
} worker;

/* Laws [first, first + same) are those of a cell with its links in one state, or as they are. */
typedef struct case_of {
    size_t first, same, state;
    bool held; /* in the state */
} case_of;

typedef struct job {
    const aw_moves_plan *plan;
    aw_need need; /* of stated figures */
    aw_grid grid;
    aw_scenario elsewhere;  /* its anchors are the places of a batch */
    aw_anchor *places;      /* of all */
    aw_scene *scene;        /* of elsewhere */
    aw_error_laws *spreads; /* of a batch */
    size_t from, n;
    bool vertical;
    aw_workers workers;
    aw_need_usage *uses;
    double plain[AW_PARTS]; /* linear estimates at the anchor's own place */
} job;

double aw_need_usage_of(aw_part part, double found, double asked)
{
    if (isnan(found))
        return HUGE_VAL;
    return aw_part_rows[part].is_length ? found / asked : found > 0 ? asked / found : HUGE_VAL;
}

/* --- spreads --- */

static const aw_tag *tag_of(const job *j)
{
    return &j->plan->scenario->tags[j->plan->zone->tag];
}

static aw_link link_in(const case_of *c, const aw_link *link, const aw_link_state_draw draws[])
{
    return c->held ? aw_link_in_state(link, &draws[c->state]) : *link;
}

static void add_in(const case_of *c, aw_sums *sums, const aw_sums_part *part, const aw_link *link,
                   const aw_link_state_draw draws[])
{
    const double excess =
        c->held ? aw_link_excess_in_state(link, &draws[c->state]) : aw_link_bias(link);
    if (!isnan(excess))
        aw_sums_add_part(sums, part, excess);
}

/* By passing over all links again. */
static aw_expected expect_again(const job *j, worker *w, const case_of *c, size_t i)
{
    const size_t n = j->plan->scenario->n_anchors, anchor = j->plan->anchor;
    for (size_t k = 0; k < n && !w->still_known; k++)
        w->still[k] = link_in(c, &w->links[k], w->draws[k]);
    w->still_known = true;
    w->still[anchor] = link_in(c, &w->moved[i], w->draws[anchor]);
    const aw_bound b = aw_bound_at(w->still, n, tag_of(j)->fix);
    return aw_bound_expect(&b, tag_of(j)->height_sigma);
}

static aw_expected expect(const job *j, worker *w, const case_of *c, const aw_sums *sums, size_t i)
{
    aw_expected e = aw_sums_expect(sums, tag_of(j)->fix, tag_of(j)->height_sigma);
    if (!e.is_accurate)
        e = expect_again(j, w, c, i);
    return j->vertical && e.status == AW_BOUND_OK ? aw_expected_height(&e) : e;
}

static void set_law(const job *j, worker *w, const case_of *c, const aw_sums *sums,
                    const aw_law *known, size_t i)
{
    if (known != NULL && !known->open) {
        for (size_t law = c->first; law < c->first + c->same; law++)
            aw_error_laws_put(&j->spreads[i], law, known);
        return;
    }
    const aw_expected e = expect(j, w, c, sums, i);
    for (size_t law = c->first; law < c->first + c->same; law++)
        aw_error_laws_set(&j->spreads[i], law, &e);
}

/* Of places [from, from + n), each the others' sums and one link. */
static void fill_some(const job *j, worker *w, const case_of *c, const aw_sums *others, size_t from,
                      size_t n)
{
    const bool flat = tag_of(j)->fix == AW_FIX_2D && !j->vertical;
    aw_sums sums[TOGETHER];
    aw_law laws[TOGETHER];
    for (size_t i = 0; i < n; i++) {
        sums[i] = *others;
        add_in(c, &sums[i], &w->moved_parts[from + i], &w->moved[from + i],
               w->draws[j->plan->anchor]);
    }
    if (flat)
        aw_sums_batch_expect(sums, n, tag_of(j)->height_sigma, laws);
    for (size_t i = 0; i < n; i++)
        set_law(j, w, c, &sums[i], flat ? &laws[i] : NULL, from + i);
}

static void fill_laws(const job *j, worker *w, const case_of *c)
{
    aw_sums others = {0};
    for (size_t i = 0; i < j->plan->scenario->n_anchors; i++)
        if (i != j->plan->anchor)
            add_in(c, &others, &w->parts[i], &w->links[i], w->draws[i]);
    w->still_known = false;
    for (size_t from = 0; from < j->n; from += TOGETHER)
        fill_some(j, w, c, &others, from, j->n - from < TOGETHER ? j->n - from : TOGETHER);
}

static void list_parts(aw_sums_part parts[], const aw_link links[], size_t n)
{
    for (size_t i = 0; i < n; i++)
        parts[i] = aw_sums_part_of(&links[i]);
}

static void fill_cell(const job *j, worker *w, size_t cell)
{
    const aw_scenario *s = j->plan->scenario;
    const uint32_t number = j->grid.number[cell];
    const size_t states = aw_states_of(s);
    const aw_point at = aw_grid_centre(&j->grid, number);
    const double height = aw_tag_at(s, j->plan->zone->tag, at.x, at.y);
    aw_cell_links(w->shadows, &j->grid, number, height, w->links);
    aw_cell_links(w->of_moved, &j->grid, number, height, w->moved);
    const bool varies = states > 1 && (aw_any_link_varies(w->links, s->n_anchors) ||
                                       aw_any_link_varies(w->moved, j->n));
    if (varies)
        aw_instant_draws(s, number, w->draws);
    list_parts(w->parts, w->links, s->n_anchors);
    list_parts(w->moved_parts, w->moved, j->n);
    for (size_t k = 0; k < (varies ? states : 1); k++)
        fill_laws(j, w, &(case_of){cell * states + k, varies ? 1 : states, k, varies});
}

static void fill_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    for (size_t cell = from; cell < to; cell++)
        fill_cell(j, aw_worker(&j->workers, thread), cell);
}

/* --- figures --- */

/* The linear estimate of a part; NaN for what only draws know. */
static double figure_of(const job *j, const aw_error_laws *s, aw_part part, double guess)
{
    const aw_part_result *p95 = &j->plan->today->parts[AW_PART_P95];
    const double n = (double)s->n;
    double with = 0;
    switch (part) {
    case AW_PART_P50:
    case AW_PART_P95:
    case AW_PART_VERTICAL_P95:
    case AW_PART_P99:
        return aw_error_laws_percentile(s, aw_part_rows[part].quantile, guess);
    case AW_PART_SHARE:
        return (double)aw_error_laws_within(
                   s, j->need.p95 * j->plain[AW_PART_P95] / p95->found.value, 0.95) /
               n;
    case AW_PART_FIX_SHARE:
        for (size_t cell = 0; cell < s->n; cell++)
            with += aw_error_laws_placed(s, cell);
        return with / n;
    default:
        return (double)NAN;
    }
}

static bool is_asked(const job *j, aw_part part)
{
    const bool instant = part < AW_PART_ZONE_SHARE;
    return instant && !isnan(aw_need_asks(&j->need, part)) &&
           (part == AW_PART_VERTICAL_P95) == j->vertical;
}

/* The figure at a place, set to the draws' at the anchor's own. */
static double set_to_draws(const job *j, aw_part part, double figure)
{
    const double drawn = j->plan->today->parts[part].found.value, plain = j->plain[part];
    return aw_part_rows[part].is_length ? figure * drawn / plain : figure + drawn - plain;
}

/* Whether a percentile surely stays within a length: one look, where to find it takes several. */
static bool stays_within(const aw_error_laws *s, aw_part part, double length)
{
    const double quantile = aw_part_rows[part].quantile;
    return quantile > 0 && length > 0 && aw_error_laws_share(s, length) >= quantile;
}

static void set_use(const job *j, size_t i)
{
    aw_need_usage *use = &j->uses[j->from + i];
    for (int k = 0; k < AW_PARTS; k++) {
        const aw_part part = (aw_part)k;
        const double asked = aw_need_asks(&j->need, part);
        const double unit = set_to_draws(j, part, 1);
        if (!is_asked(j, part) || stays_within(&j->spreads[i], part, use->share * asked / unit))
            continue;
        const double figure = figure_of(j, &j->spreads[i], part, j->plain[part]);
        const double share = aw_need_usage_of(part, set_to_draws(j, part, figure), asked);
        if (share > use->share)
            *use = (aw_need_usage){share, part};
    }
}

/* Where only draws know a part, p95 stands for it: what it is of today's. */
static void set_stand_in(const job *j, size_t i)
{
    aw_need_usage *use = &j->uses[j->from + i];
    const double plain = j->plain[AW_PART_P95];
    if (isnan(j->plan->zone->need.zone_share) || j->vertical ||
        stays_within(&j->spreads[i], AW_PART_P95, use->share * plain))
        return;
    const double share = figure_of(j, &j->spreads[i], AW_PART_P95, plain) / plain;
    if (share > use->share)
        *use = (aw_need_usage){share, AW_PART_ZONE_SHARE};
}

static void set_uses(void *context, size_t from, size_t to, unsigned thread)
{
    (void)thread;
    for (size_t i = from; i < to; i++) {
        set_use(context, i);
        set_stand_in(context, i);
    }
}

/* --- batches --- */

static bool create_worker(void *worker_of, const void *job_of)
{
    worker *w = worker_of;
    const job *j = job_of;
    const size_t n = j->plan->scenario->n_anchors;
    w->links = calloc(n, sizeof *w->links);
    w->still = calloc(n, sizeof *w->still);
    w->moved = calloc(j->n, sizeof *w->moved);
    w->parts = calloc(n, sizeof *w->parts);
    w->moved_parts = calloc(j->n, sizeof *w->moved_parts);
    w->draws = calloc(n, sizeof *w->draws);
    w->shadows = aw_shadows_create(j->plan->scene);
    w->of_moved = aw_shadows_create(j->scene);
    return w->links && w->still && w->moved && w->parts && w->moved_parts && w->draws &&
           w->shadows && w->of_moved;
}

static void release_worker(void *worker_of)
{
    worker *w = worker_of;
    free(w->links);
    free(w->still);
    free(w->moved);
    free(w->parts);
    free(w->moved_parts);
    free(w->draws);
    aw_shadows_free(w->shadows);
    aw_shadows_free(w->of_moved);
}

static const aw_worker_kind kind = {sizeof(worker), create_worker, release_worker};

static bool run_batch(job *j, const aw_run *run)
{
    j->elsewhere.anchors = j->places + j->from;
    j->elsewhere.n_anchors = j->n;
    j->scene = aw_scene_create(&j->elsewhere);
    bool done = j->scene != NULL && aw_workers_create(&j->workers, run, &kind, j);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the places of an anchor");
    done = done && aw_parallel(j->grid.n, 8, run, fill_cells, j, j->n);
    for (int k = 0; done && j->from == 0 && k < AW_PARTS; k++)
        if (is_asked(j, (aw_part)k) || (k == AW_PART_P95 && !j->vertical))
            j->plain[k] = figure_of(j, &j->spreads[0], (aw_part)k, 0);
    done = done && aw_parallel(j->n, 1, run, set_uses, j, 0);
    aw_workers_free(&j->workers);
    aw_scene_free(j->scene);
    return done;
}

static bool run_all(job *j, size_t batch, const aw_run *run)
{
    const size_t all = j->plan->n;
    for (j->from = 0; j->from < all; j->from += batch) {
        j->n = all - j->from < batch ? all - j->from : batch;
        if (!run_batch(j, run))
            return false;
    }
    return true;
}

static bool make_room(job *j, size_t batch)
{
    const aw_moves_plan *p = j->plan;
    j->elsewhere = *p->scenario;
    j->places = calloc(p->n, sizeof *j->places);
    j->spreads = calloc(batch, sizeof *j->spreads);
    bool done = j->places != NULL && j->spreads != NULL;
    for (size_t i = 0; done && i < batch; i++)
        done = aw_error_laws_create(&j->spreads[i], j->grid.n, aw_states_of(p->scenario));
    for (size_t i = 0; done && i < p->n; i++) {
        j->places[i] = p->scenario->anchors[p->anchor];
        memcpy(j->places[i].at, p->to[i], sizeof p->to[i]);
    }
    return done;
}

bool aw_moves_run(aw_need_usage uses[], const aw_moves_plan *plan, const aw_run *run)
{
    job j = {
        .plan = plan, .need = aw_need_of_figures(&plan->zone->need, plan->scenario), .uses = uses};
    if (!aw_grid_lay_zone(&j.grid, plan->scenario, plan->zone, run->errors))
        return false;
    const size_t most = aw_instant_batch(plan->scenario, j.grid.n),
                 batch = plan->n < most ? plan->n : most;
    bool done = make_room(&j, batch);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the places of an anchor");
    for (size_t i = 0; i < plan->n; i++)
        uses[i] = (aw_need_usage){i > 0 ? plan->enough : 0, AW_PARTS};
    done = done && run_all(&j, batch, run);
    if (done && !isnan(plan->zone->need.vertical_p95)) {
        j.vertical = true;
        done = run_all(&j, batch, run);
    }
    for (size_t i = 0; j.spreads != NULL && i < batch; i++)
        aw_error_laws_free(&j.spreads[i]);
    free(j.spreads);
    free(j.places);
    aw_grid_free(&j.grid);
    return done;
}
