/* Every border point asks for a depth by the errors drawn there; the most that one asks for is
 * partly its bad luck, so the weakest are drawn again before anything is told. */
#include "assess/setback.h"

#include <math.h>
#include <stdlib.h>

#include "anchorwise/level.h"
#include "assess/pool.h"
#include "assess/probe.h"
#include "base/parallel.h"
#include "base/workers.h"

#define CHOSEN (2 * (size_t)AW_WEAKEST)

typedef struct job {
    const aw_run *run;
    const aw_scenario *scenario;
    const aw_zone *zone;
    const aw_scene *scene;
    aw_grid grid;
    aw_probe *probes;
    size_t n;
    aw_workers workers;
    aw_probe *weakest[CHOSEN]; /* inside first */
    size_t chosen[2];          /* how many outside, inside */
} job;

static bool gather(job *j)
{
    const aw_polygon *o = &j->zone->outline;
    const size_t n = aw_border_count(o, j->grid.step);
    aw_border_point *points = malloc(n * sizeof *points);
    j->probes = malloc(2 * n * sizeof *j->probes);
    const bool room = points != NULL && j->probes != NULL;
    if (room)
        aw_border_walk(o, j->grid.step, points);
    for (size_t i = 0; room && i < 2 * n; i++)
        j->probes[j->n++] = (aw_probe){.point = points[i / 2], .inside = i % 2 == 0};
    free(points);
    return room;
}

static void seek_some(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    for (size_t i = from; i < to; i++)
        aw_probe_seek(&j->probes[i], aw_worker(&j->workers, thread));
}

static void confirm_some(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    for (size_t i = from; i < to; i++)
        aw_probe_confirm(j->weakest[i], aw_worker(&j->workers, thread), AW_CONFIRMING);
}

/* Whether a asks for more than b; of two without any depth, whichever comes less near to right. */
static bool is_weaker(const aw_probe *a, const aw_probe *b)
{
    if (isnan(a->depth) != isnan(b->depth))
        return isnan(a->depth);
    if (!isnan(a->depth))
        return a->depth > b->depth;
    return a->inside ? a->share < b->share : a->share > b->share;
}

/* Where a tag can be no deeper, nothing can be asked for. */
static bool asks(const aw_probe *p)
{
    return p->end == AW_PROBE_RIGHT || p->end == AW_PROBE_WRONG;
}

/* The weakest probes of one side, weakest first; of equals the earlier. */
static size_t find_weakest(const job *j, bool inside, aw_probe *weakest[AW_WEAKEST])
{
    size_t n = 0;
    for (size_t i = 0; i < j->n; i++) {
        aw_probe *p = &j->probes[i];
        size_t k = n;
        if (p->inside != inside || !asks(p))
            continue;
        for (; k > 0 && is_weaker(p, weakest[k - 1]); k--)
            if (k < AW_WEAKEST)
                weakest[k] = weakest[k - 1];
        if (k < AW_WEAKEST)
            weakest[k] = p;
        n += n < AW_WEAKEST;
    }
    return n;
}

static bool confirm(job *j, const aw_run *run)
{
    const aw_run few = {run->threads < CHOSEN ? run->threads : CHOSEN, run->watch, run->errors};
    j->chosen[true] = find_weakest(j, true, j->weakest);
    j->chosen[false] = find_weakest(j, false, j->weakest + j->chosen[true]);
    return aw_parallel(j->chosen[true] + j->chosen[false], 1, &few, confirm_some, j,
                       AW_PROBE_LOOKS_AT_LAST * AW_CONFIRMING * (size_t)j->scenario->study.draws);
}

/* Border points on whose side no tag can be deep enough. */
static void tell_cramped(aw_setback *b, const job *j, bool inside)
{
    const aw_probe *most = NULL;
    for (size_t i = 0; i < j->n; i++) {
        const aw_probe *p = &j->probes[i];
        if (p->inside != inside || p->end != AW_PROBE_BLOCKED)
            continue;
        b->cramped++;
        if (most == NULL || is_weaker(p, most))
            most = p;
    }
    if (most == NULL)
        return;
    b->cramped_at[0] = most->point.at.x;
    b->cramped_at[1] = most->point.at.y;
    b->cramped_share = most->share;
}

/* What takes the places across the border from p over `foot`, within half a step. */
static aw_taken look_across(const job *j, aw_point p, aw_point foot)
{
    const aw_scenario *s = j->scenario;
    const double far = fmax(hypot(foot.x - p.x, foot.y - p.y), 1e-9);
    aw_taken taken = {AW_TAKEN_BY_NOTHING, NULL};
    for (int k = 0; k <= 8 && taken.by == AW_TAKEN_BY_NOTHING; k++) {
        const double part = 1 + fmax(k * j->grid.step / 16, 1e-3) / far;
        const double x = p.x + part * (foot.x - p.x), y = p.y + part * (foot.y - p.y);
        taken = aw_taken_at(s, x, y, aw_tag_at(s, j->zone->tag, x, y));
    }
    return taken;
}

/* Of the edges that are about as near to the probe's place as its depth, the first beyond which no
 * tag can be. */
static aw_taken find_beyond(const job *j, const aw_probe *p)
{
    const aw_polygon *outline = &j->zone->outline;
    aw_taken taken = {AW_TAKEN_BY_NOTHING, NULL};
    for (size_t i = 0; i < outline->n && taken.by == AW_TAKEN_BY_NOTHING; i++) {
        const aw_point foot = aw_border_foot(outline, i, p->at);
        if (hypot(foot.x - p->at.x, foot.y - p->at.y) <= 1.1 * p->nearest)
            taken = look_across(j, p->at, foot);
    }
    return taken;
}

static void tell(aw_setback *b, const job *j, bool inside)
{
    const double nan = (double)NAN;
    *b = (aw_setback){.depth = nan,
                      .at = {nan, nan},
                      .share = nan,
                      .no_fix = nan,
                      .place = {nan, nan},
                      .cramped_at = {nan, nan},
                      .cramped_share = nan};
    const aw_probe *most = NULL;
    aw_probe *const *weakest = j->weakest + (inside ? 0 : j->chosen[true]);
    for (size_t k = 0; k < j->chosen[inside]; k++)
        if (asks(weakest[k]) && (most == NULL || is_weaker(weakest[k], most)))
            most = weakest[k];
    tell_cramped(b, j, inside);
    if (most == NULL)
        return;
    b->depth = most->depth;
    b->share = most->share;
    b->no_fix = most->no_fix;
    if (inside)
        b->beyond = find_beyond(j, most);
    b->at[0] = most->point.at.x;
    b->at[1] = most->point.at.y;
    b->place[0] = most->at.x;
    b->place[1] = most->at.y;
}

static bool create_prober(void *prober, const void *job_of)
{
    aw_prober *w = prober;
    const job *j = job_of;
    const aw_scenario *s = j->scenario;
    const size_t draws = AW_CONFIRMING * (size_t)s->study.draws;
    *w = (aw_prober){.scenario = s,
                     .zone = j->zone,
                     .scene = j->scene,
                     .grid = &j->grid,
                     .run = j->run,
                     .trials = aw_trials_create(s->n_anchors, s->study.draws, NULL),
                     .x = malloc(draws * sizeof *w->x),
                     .y = malloc(draws * sizeof *w->y)};
    w->spot.links = calloc(s->n_anchors, sizeof *w->spot.links);
    return w->spot.links != NULL && w->trials != NULL && w->x != NULL && w->y != NULL;
}

static void release_prober(void *prober)
{
    aw_prober *w = prober;
    free(w->spot.links);
    free(w->x);
    free(w->y);
    aw_trials_free(w->trials);
}

static const aw_worker_kind kind = {sizeof(aw_prober), create_prober, release_prober};

size_t aw_setback_work(const aw_scenario *s, const aw_zone *zone)
{
    const size_t m = s->study.draws;
    return 2 * m *
           (AW_PROBE_LOOKS * aw_border_count(&zone->outline, s->study.step) +
            AW_PROBE_LOOKS_AT_LAST * AW_WEAKEST * AW_CONFIRMING);
}

bool aw_setback_run(aw_zone_decisions *d, const aw_scene *scene, const aw_scenario *s,
                    const aw_zone *zone, const aw_run *run)
{
    job j = {.run = run, .scenario = s, .zone = zone, .scene = scene};
    bool done = aw_grid_lay(&j.grid, s, zone->tag, run->errors);
    if (done && (!aw_workers_create(&j.workers, run, &kind, &j) || !gather(&j))) {
        done = false;
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the border of a zone");
    }
    done = done &&
           aw_parallel(j.n, 1, run, seek_some, &j, AW_PROBE_LOOKS * (size_t)s->study.draws) &&
           confirm(&j, run);
    if (done) {
        tell(&d->inside, &j, true);
        tell(&d->outside, &j, false);
    }
    aw_workers_free(&j.workers);
    free(j.probes);
    aw_grid_free(&j.grid);
    return done;
}
