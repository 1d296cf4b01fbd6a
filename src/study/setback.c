/* Every border point asks for a depth by the errors drawn there; the most that one asks for is
 * partly its bad luck, so the weakest are drawn again before anything is told. */
#include "study/setback.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/spot.h"
#include "base/parallel.h"
#include "study/border.h"
#include "study/pool.h"

/* Where a tag can just be: this far off the border, m, or half a step, behind a wall on it. */
#define JUST 1e-3

/* A border point seen from one side. */
typedef struct probe {
    aw_border_point point;
    bool inside;
    aw_point spot;   /* where its errors are drawn */
    uint32_t number; /* of the cell that names their random numbers */
    aw_depth found;
    bool off_floor; /* outside, and no tag can be as far off as it takes */
} probe;

typedef struct worker {
    aw_spot spot;
    aw_trials *trials;
} worker;

typedef struct job {
    const aw_scenario *scenario;
    const aw_zone *zone;
    aw_scene *scene;
    aw_grid grid;
    probe *probes;
    size_t n;
    worker *workers;
    float *x, *y; /* errors of the draws that confirm */
} job;

/* --- gathering --- */

/* False if no tag can be at that side of the border. */
static bool find_spot(probe *p, const job *j)
{
    const double height = j->scenario->tags[j->zone->tag].height;
    const double off[] = {JUST, j->grid.step / 2}, side = p->inside ? 1 : -1;
    for (int k = 0; k < 2; k++) {
        p->spot = (aw_point){p->point.at.x + side * off[k] * p->point.inward.x,
                             p->point.at.y + side * off[k] * p->point.inward.y};
        p->number = aw_grid_number_at(&j->grid, p->spot);
        if (aw_floor_is_free(j->scenario, p->spot, height))
            return true;
    }
    return false;
}

static bool gather(job *j)
{
    const aw_polygon *o = &j->zone->outline;
    const size_t n = aw_border_count(o, j->grid.step);
    aw_border_point *points = malloc(n * sizeof *points);
    j->probes = malloc(2 * n * sizeof *j->probes);
    const bool room = points != NULL && j->probes != NULL;
    if (room)
        aw_border_walk(o, j->grid.step, points);
    for (size_t i = 0; room && i < 2 * n; i++) {
        probe p = {.point = points[i / 2], .inside = i % 2 == 0};
        if (find_spot(&p, j))
            j->probes[j->n++] = p;
    }
    free(points);
    return room;
}

/* --- measuring --- */

static void find_depth(const job *j, probe *p, const aw_cloud *cloud)
{
    p->found = aw_border_depth(&j->zone->outline, &p->point, p->inside, cloud);
    p->off_floor = false;
    if (p->inside || isnan(p->found.depth))
        return;
    const aw_point out = {p->point.at.x - p->found.depth * p->point.inward.x,
                          p->point.at.y - p->found.depth * p->point.inward.y};
    p->off_floor = !aw_floor_is_free(j->scenario, out, j->scenario->tags[j->zone->tag].height);
}

static void measure(const job *j, worker *w, probe *p)
{
    aw_spot_prepare_at(&w->spot, j->scene, j->scenario, j->zone->tag, p->spot, p->number);
    const aw_draws d = aw_trials_run(w->trials, &w->spot.draws);
    const aw_cloud cloud = {d.x, d.y, d.n};
    find_depth(j, p, &cloud);
}

static void measure_some(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    for (size_t i = from; i < to; i++)
        measure(j, &j->workers[thread], &j->probes[i]);
}

/* The depth by draws M ... 17 M - 1. */
static void confirm(const job *j, probe *p)
{
    worker *w = &j->workers[0];
    const size_t m = j->scenario->study.draws;
    aw_spot_prepare_at(&w->spot, j->scene, j->scenario, j->zone->tag, p->spot, p->number);
    for (size_t k = 0; k < AW_CONFIRMING; k++) {
        w->spot.draws.first_draw = (uint32_t)(m + k * m);
        const aw_draws d = aw_trials_run(w->trials, &w->spot.draws);
        memcpy(j->x + k * m, d.x, m * sizeof *j->x);
        memcpy(j->y + k * m, d.y, m * sizeof *j->y);
    }
    const aw_cloud cloud = {j->x, j->y, AW_CONFIRMING * m};
    find_depth(j, p, &cloud);
}

/* Whether a asks for more than b; of two without any depth, whichever comes less near to right. */
static bool is_weaker(const probe *a, const probe *b)
{
    if (isnan(a->found.depth) != isnan(b->found.depth))
        return isnan(a->found.depth);
    if (!isnan(a->found.depth))
        return a->found.depth > b->found.depth;
    return a->inside ? a->found.share < b->found.share : a->found.share > b->found.share;
}

/* The weakest probes of one side, weakest first; of equals the earlier. */
static size_t find_weakest(const job *j, bool inside, probe *weakest[AW_WEAKEST])
{
    size_t n = 0;
    for (size_t i = 0; i < j->n; i++) {
        probe *p = &j->probes[i];
        size_t k = n;
        if (p->inside != inside || p->off_floor)
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

static bool tell(aw_setback *setback, const job *j, bool inside, aw_watch *watch)
{
    const double nan = (double)NAN;
    probe *weakest[AW_WEAKEST];
    const size_t n = find_weakest(j, inside, weakest);
    *setback = (aw_setback){nan, {nan, nan}, nan};
    const probe *most = NULL;
    for (size_t k = 0; k < n; k++) {
        if (watch != NULL && atomic_load(&watch->stop))
            return false;
        confirm(j, weakest[k]);
        if (watch != NULL)
            atomic_fetch_add(&watch->done, AW_CONFIRMING * (size_t)j->scenario->study.draws);
        if (!weakest[k]->off_floor && (most == NULL || is_weaker(weakest[k], most)))
            most = weakest[k];
    }
    if (most != NULL)
        *setback = (aw_setback){
            most->found.depth, {most->point.at.x, most->point.at.y}, most->found.share};
    return true;
}

static bool equip(job *j, unsigned threads)
{
    const aw_scenario *s = j->scenario;
    const size_t draws = AW_CONFIRMING * (size_t)s->study.draws;
    j->scene = aw_scene_create(s);
    j->workers = calloc(threads, sizeof *j->workers);
    j->x = malloc(draws * sizeof *j->x);
    j->y = malloc(draws * sizeof *j->y);
    bool ready = j->scene != NULL && j->workers != NULL && j->x != NULL && j->y != NULL;
    for (unsigned i = 0; ready && i < threads; i++) {
        worker *w = &j->workers[i];
        w->spot.links = calloc(s->n_anchors, sizeof *w->spot.links);
        w->trials = aw_trials_create(s->n_anchors, s->study.draws, NULL);
        ready = w->spot.links != NULL && w->trials != NULL;
    }
    return ready && gather(j);
}

static void dismiss(job *j, unsigned threads)
{
    for (unsigned i = 0; j->workers != NULL && i < threads; i++) {
        free(j->workers[i].spot.links);
        aw_trials_free(j->workers[i].trials);
    }
    free(j->workers);
    free(j->probes);
    free(j->x);
    free(j->y);
    aw_scene_free(j->scene);
    aw_grid_free(&j->grid);
}

size_t aw_setback_work(const aw_scenario *s, const aw_zone *zone)
{
    const size_t m = s->study.draws;
    return 2 * m * (aw_border_count(&zone->outline, s->study.step) + AW_WEAKEST * AW_CONFIRMING);
}

bool aw_setback_run(aw_zone_decisions *d, const aw_scenario *s, const aw_zone *zone,
                    unsigned threads, aw_watch *watch, aw_errors *errors)
{
    threads = threads > 0 ? threads : 1;
    job j = {.scenario = s, .zone = zone};
    if (!aw_grid_lay(&j.grid, s, s->tags[zone->tag].height, errors))
        return false;
    bool done = equip(&j, threads);
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the border of a zone");
    done = done && aw_parallel(j.n, 1, threads, measure_some, &j, watch, s->study.draws) &&
           tell(&d->inside, &j, true, watch) && tell(&d->outside, &j, false, watch);
    dismiss(&j, threads);
    return done;
}
