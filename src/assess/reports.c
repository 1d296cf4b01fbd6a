/* Tags stand anywhere in a zone, not at the centres of cells: a cell's draws are spread over its
 * square, each with the error it has at the centre. */
#include "assess/reports.h"

#include <math.h>
#include <stdlib.h>

#include "anchorwise/decisions.h"
#include "base/parallel.h"
#include "base/workers.h"
#include "base/plane.h"
#include "map/spot.h"

/* Parts of a cell's side for the share of area. */
#define PARTS 4

/* The additive recurrence of the inverse powers of the plastic number, the real root of
 * x^3 = x + 1: its points are spread evenly over the square for any stretch of draws and for every
 * 32nd draw alike. */
#define STEP_X 0.75487766624669276
#define STEP_Y 0.56984029099805327

typedef struct worker {
    aw_spot spot;
    aw_trials *trials;
    aw_reports reports;
} worker;

typedef struct job {
    const aw_reports_plan *plan;
    const aw_grid *grid;
    aw_workers workers;
} job;

static bool in_zone(const aw_zone *zone, double x, double y)
{
    const aw_polygon *p = &zone->outline;
    return x >= p->low.x && x <= p->high.x && y >= p->low.y && y <= p->high.y &&
           aw_polygon_holds(p, x, y);
}

static double part_of_square(double step, uint32_t draw)
{
    const double way = 0.5 + step * (double)draw;
    return way - floor(way) - 0.5;
}

/* A tag at p whose fix errs by (x, y), not a number for no fix. */
static void count_report(aw_reports *r, const aw_reports_plan *plan, aw_point p, double x, double y,
                         size_t group)
{
    bool somewhere = false;
    r->whole[group]++;
    if (isnan(x)) {
        r->count[(r->n_zones + 1) * AW_GROUPS + group]++;
        return;
    }
    for (size_t i = 0; i < plan->n_zones; i++)
        if (in_zone(&plan->zones[i], p.x + x, p.y + y)) {
            r->count[i * AW_GROUPS + group]++;
            somewhere = true;
        }
    r->count[r->n_zones * AW_GROUPS + group] += !somewhere;
}

/* Whether at least 99 % of the draws are reported in the zone from a tag at p. */
static bool is_right(const aw_zone *zone, aw_point p, const aw_draws *d)
{
    size_t inside = 0;
    for (size_t m = 0; m < d->n; m++)
        inside += in_zone(zone, p.x + (double)d->x[m], p.y + (double)d->y[m]);
    return (double)inside >= AW_RIGHT * (double)d->n - 1e-9;
}

static void count_area(aw_reports *r, const aw_reports_plan *plan, aw_point centre, double step,
                       const aw_draws *d)
{
    for (int i = 0; i < PARTS; i++)
        for (int j = 0; j < PARTS; j++) {
            const aw_point p = {centre.x + ((i + 0.5) / PARTS - 0.5) * step,
                                centre.y + ((j + 0.5) / PARTS - 0.5) * step};
            if (!in_zone(plan->in, p.x, p.y))
                continue;
            r->places++;
            r->right += is_right(plan->in, p, d);
        }
}

static void count_cell(const job *j, worker *w, size_t cell)
{
    const aw_reports_plan *plan = j->plan;
    const aw_grid *g = j->grid;
    const aw_point centre = aw_grid_centre(g, g->number[cell]);
    aw_spot_prepare(&w->spot, plan->scene, plan->scenario, plan->in->tag, g, g->number[cell]);
    const aw_draws d = aw_trials_run(w->trials, &w->spot.draws);
    for (size_t m = 0; m < d.n; m++) {
        const aw_point p = {centre.x + part_of_square(STEP_X, (uint32_t)m) * g->step,
                            centre.y + part_of_square(STEP_Y, (uint32_t)m) * g->step};
        if (in_zone(plan->in, p.x, p.y))
            count_report(&w->reports, plan, p, (double)d.x[m], (double)d.y[m], m % AW_GROUPS);
    }
    if (plan->area)
        count_area(&w->reports, plan, centre, g->step, &d);
}

static void count_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    for (size_t cell = from; cell < to; cell++)
        count_cell(j, aw_worker(&j->workers, thread), cell);
}

bool aw_reports_lay(aw_grid *grid, const aw_scenario *s, const aw_zone *zone, aw_errors *errors)
{
    const aw_polygon *o = &zone->outline;
    if (!aw_grid_lay(grid, s, zone->tag, errors))
        return false;
    const double half = grid->step / 2, reach = grid->step * sqrt(0.5);
    size_t kept = 0;
    aw_grid_clip_box(grid, (aw_point){o->low.x - half, o->low.y - half},
                     (aw_point){o->high.x + half, o->high.y + half});
    for (size_t i = 0; i < grid->n; i++) {
        const aw_point c = aw_grid_centre(grid, grid->number[i]);
        if (aw_polygon_holds(o, c.x, c.y) || aw_polygon_edge_distance(o, c) <= reach)
            grid->number[kept++] = grid->number[i];
    }
    grid->n = kept;
    return true;
}

static bool make_room(aw_reports *r, size_t n_zones)
{
    *r = (aw_reports){.n_zones = n_zones,
                      .count = calloc((n_zones + 2) * AW_GROUPS, sizeof *r->count)};
    return r->count != NULL;
}

static bool create_worker(void *worker_of, const void *job_of)
{
    worker *w = worker_of;
    const job *j = job_of;
    const aw_scenario *s = j->plan->scenario;
    w->spot.links = calloc(s->n_anchors, sizeof *w->spot.links);
    w->spot.shadows = aw_shadows_create(j->plan->scene);
    w->trials = aw_trials_create(s->n_anchors, s->study.draws, NULL);
    return make_room(&w->reports, j->plan->n_zones) && w->spot.links && w->spot.shadows &&
           w->trials;
}

static void release_worker(void *worker_of)
{
    worker *w = worker_of;
    free(w->spot.links);
    aw_shadows_free(w->spot.shadows);
    aw_trials_free(w->trials);
    aw_reports_free(&w->reports);
}

static const aw_worker_kind kind = {sizeof(worker), create_worker, release_worker};

static void collect(aw_reports *r, const aw_reports *part)
{
    for (size_t i = 0; i < (r->n_zones + 2) * AW_GROUPS; i++)
        r->count[i] += part->count[i];
    for (size_t g = 0; g < AW_GROUPS; g++)
        r->whole[g] += part->whole[g];
    r->places += part->places;
    r->right += part->right;
}

bool aw_reports_run(aw_reports *r, const aw_reports_plan *plan, const aw_run *run)
{
    aw_grid grid = {0};
    job j = {.plan = plan, .grid = &grid};
    bool done = make_room(r, plan->n_zones) && aw_workers_create(&j.workers, run, &kind, &j);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the decisions of a zone");
    done = done && aw_reports_lay(&grid, plan->scenario, plan->in, run->errors) &&
           aw_parallel(grid.n, 1, run, count_cells, &j, plan->scenario->study.draws);
    for (unsigned i = 0; done && i < j.workers.n; i++)
        collect(r, &((worker *)aw_worker(&j.workers, i))->reports);
    aw_workers_free(&j.workers);
    aw_grid_free(&grid);
    return done;
}

aw_estimate aw_reports_share(const aw_reports *r, size_t column, const aw_scenario *s)
{
    return aw_estimate_share(r->count + column * AW_GROUPS, r->whole, s->study.draws,
                             aw_scenario_has_installation(s), aw_interval_level(&s->study));
}

void aw_reports_free(aw_reports *r)
{
    free(r->count);
    *r = (aw_reports){0};
}
