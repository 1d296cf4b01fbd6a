/* The sums of the layout are kept for every cell; a trial takes one view out and puts one in, then
 * asks each zone's parts for the share that is missing. */
#include "place/fitness.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "assess/instant.h"
#include "base/parallel.h"
#include "place/inside.h"

#define NONE AW_NO_CANDIDATE
/* Laws of a thin look, of all zones and at least of each, and its cells at least. */
#define THIN       800
#define THIN_LEAST 150
#define FEW_CELLS  40
/* Cells summed together. */
#define GRAIN 512

aw_calibration aw_calibration_of(const aw_need *need)
{
    aw_calibration c;
    for (int part = 0; part < AW_PARTS; part++) {
        c.scale[part] = 1;
        c.asked[part] = (double)NAN;
    }
    c.goal = 1;
    c.asked[AW_PART_FIX_SHARE] = need->fix_share;
    c.asked[AW_PART_ZONE_SHARE] = need->zone_share;
    return c;
}

/* Every so many cells of a zone for a thin look. */
static size_t stride_of(const aw_views *v, const aw_view_zone *z)
{
    const size_t laws = THIN / v->n_zones > THIN_LEAST ? THIN / v->n_zones : THIN_LEAST;
    const size_t cells = laws / v->n_states > FEW_CELLS ? laws / v->n_states : FEW_CELLS;
    return (z->grid.n + cells - 1) / cells;
}

bool aw_fitness_create(aw_fitness *f, const aw_views *v, bool sturdy, const aw_run *run)
{
    size_t most = 0;
    *f = (aw_fitness){.views = v, .sturdy = sturdy, .run = *run};
    f->run.threads = run->threads > 0 ? run->threads : 1;
    f->calibrations = calloc(v->n_zones + 1, sizeof *f->calibrations);
    f->convex = calloc(v->n_zones + 1, sizeof *f->convex);
    f->stride = calloc(v->n_zones + 1, sizeof *f->stride);
    f->layout = calloc(v->candidates->n + 1, sizeof *f->layout);
    f->base = calloc(v->n_cells * v->n_states + 1, sizeof *f->base);
    f->workers = calloc(f->run.threads, sizeof *f->workers);
    bool done = f->calibrations && f->convex && f->stride && f->layout && f->base && f->workers;
    for (size_t i = 0; i < v->n_zones; i++)
        most = v->zones[i].grid.n > most ? v->zones[i].grid.n : most;
    for (unsigned i = 0; done && i < f->run.threads; i++)
        done = aw_error_laws_create(&f->workers[i].flat, most, v->n_states) &&
               aw_error_laws_create(&f->workers[i].tall, most, v->n_states);
    for (size_t i = 0; done && i < v->n_zones; i++) {
        f->convex[i] = aw_polygon_is_convex(&v->zones[i].zone->outline);
        f->stride[i] = stride_of(v, &v->zones[i]);
        f->n_thin += (v->zones[i].grid.n + f->stride[i] - 1) / f->stride[i];
    }
    if (done)
        aw_fitness_forget(f);
    return done;
}

void aw_fitness_forget(aw_fitness *f)
{
    for (size_t i = 0; i < f->views->n_zones; i++)
        f->calibrations[i] = aw_calibration_of(&f->views->zones[i].need);
}

void aw_fitness_free(aw_fitness *f)
{
    for (unsigned i = 0; f->workers != NULL && i < f->run.threads; i++) {
        aw_error_laws_free(&f->workers[i].flat);
        aw_error_laws_free(&f->workers[i].tall);
    }
    free(f->workers);
    free(f->calibrations);
    free(f->convex);
    free(f->stride);
    free(f->layout);
    free(f->base);
    *f = (aw_fitness){0};
}

static void sum_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const aw_fitness *f = context;
    const aw_views *v = f->views;
    const size_t states = v->n_states;
    (void)thread;
    memset(&f->base[from * states], 0, (to - from) * states * sizeof *f->base);
    for (size_t cell = from; cell < to; cell++)
        for (size_t i = 0; i < f->n; i++)
            for (size_t k = 0; k < states; k++)
                aw_views_change(v, &f->base[cell * states + k], f->layout[i], cell, k, 1);
}

void aw_fitness_set(aw_fitness *f, const size_t layout[], size_t n)
{
    memcpy(f->layout, layout, n * sizeof *layout);
    f->n = n;
    aw_parallel(f->views->n_cells, GRAIN, &(aw_run){f->run.threads, NULL, NULL}, sum_cells, f, 0);
}

/* One law of a zone. */
static void set_law(const aw_fitness *f, const aw_view_zone *z, size_t law, const aw_sums *sums,
                    aw_point at, aw_fitness_worker *w)
{
    const double least = (double)aw_view_zone_least(z);
    aw_expected e = aw_sums_expect(sums, z->tag->fix, z->tag->height_sigma);
    aw_error_laws_set(&w->flat, law, &e);
    w->reach += fmin(1, (double)sums->used / least);
    if (!isnan(z->need.zone_share))
        w->inside +=
            aw_share_inside(&z->zone->outline, f->convex[z - f->views->zones], at.x, at.y, &e);
    if (!isnan(z->need.vertical_p95)) {
        e = e.status == AW_BOUND_OK ? aw_expected_height(&e) : e;
        aw_error_laws_set(&w->tall, law, &e);
    }
}

/* Laws of every stride-th cell, in all its states. */
static void set_laws(const aw_fitness *f, const aw_view_zone *z, size_t stride, const size_t out[2],
                     size_t in, aw_fitness_worker *w)
{
    const aw_views *v = f->views;
    const size_t n = (z->grid.n + stride - 1) / stride;
    w->flat.n = w->tall.n = n;
    w->reach = w->inside = 0;
    for (size_t k = 0; k < n; k++) {
        const size_t i = aw_views_nth(k, stride, z->grid.n), cell = z->first + i;
        const aw_point at = aw_grid_centre(&z->grid, z->grid.number[i]);
        for (size_t state = 0; state < v->n_states; state++) {
            aw_sums sums = f->base[cell * v->n_states + state];
            for (int o = 0; o < 2; o++)
                if (out[o] != NONE)
                    aw_views_change(v, &sums, out[o], cell, state, -1);
            if (in != NONE)
                aw_views_change(v, &sums, in, cell, state, 1);
            set_law(f, z, k * v->n_states + state, &sums, at, w);
        }
    }
    w->reach /= (double)(n * v->n_states);
    w->inside = isnan(z->need.zone_share) ? (double)NAN : w->inside / (double)(n * v->n_states);
}

/* What is missing to a share that is asked, as a part of it. */
static double missing(double asked, double found)
{
    return asked > 0 && found < asked ? (asked - found) / asked : 0;
}

/* Of a length whose linear estimate may be so many times the drawn one. */
static double share_of_errors(const aw_error_laws *s, double asked, double times, double q)
{
    return isnan(asked) ? 0 : missing(q, aw_error_laws_share(s, asked * times));
}

/* A share that is asked, when its distance from 1 may be so many times larger. */
static double eased(double asked, double times)
{
    return asked - (times - 1) * (1 - asked);
}

double aw_linear_length(const aw_fitness_worker *w, aw_part part)
{
    return aw_error_laws_percentile(part == AW_PART_VERTICAL_P95 ? &w->tall : &w->flat,
                                    aw_part_rows[part].quantile, 0);
}

double aw_linear_share(const aw_fitness_worker *w, aw_part part)
{
    double with = 0;
    if (part == AW_PART_ZONE_SHARE)
        return w->inside;
    for (size_t i = 0; i < w->flat.n; i++)
        with += aw_error_laws_placed(&w->flat, i);
    return with / (double)w->flat.n;
}

/* The largest share of positions that any part of a need takes. */
static double reach_for(const aw_need *need, double goal)
{
    double most = 0;
    for (int part = 0; part < AW_PARTS; part++) {
        const double quantile = aw_part_rows[part].quantile;
        if (!isnan(aw_need_asks(need, (aw_part)part)))
            most = fmax(most, quantile > 0 ? quantile
                              : part == AW_PART_SHARE
                                  ? 0
                                  : eased(aw_need_asks(need, (aw_part)part), goal));
    }
    return most;
}

static double shortfall_of(const aw_calibration *c, const aw_need *need, const aw_fitness_worker *w)
{
    const double *scale = c->scale, goal = c->goal;
    const double fixes = eased(c->asked[AW_PART_FIX_SHARE], goal);
    const double inside = eased(c->asked[AW_PART_ZONE_SHARE], goal);
    double sum = share_of_errors(&w->flat, need->p95, goal / scale[AW_PART_P95], 0.95);
    sum += share_of_errors(&w->flat, need->p50, goal / scale[AW_PART_P50], 0.5);
    sum += share_of_errors(&w->flat, need->p99, goal / scale[AW_PART_P99], 0.99);
    sum += share_of_errors(&w->tall, need->vertical_p95, goal / scale[AW_PART_VERTICAL_P95], 0.95);
    if (!isnan(need->share))
        sum +=
            missing(eased(need->share, goal),
                    (double)aw_error_laws_within(&w->flat, need->p95 / scale[AW_PART_SHARE], 0.95) /
                        (double)w->flat.n);
    if (!isnan(fixes))
        sum += missing(fixes, aw_linear_share(w, AW_PART_FIX_SHARE));
    if (!isnan(inside))
        sum += missing(inside, w->inside);
    return sum + missing(reach_for(need, goal), w->reach);
}

/* All zones with up to two candidates out and one in, until it is enough. */
static double sum_zones(const aw_fitness *f, const size_t out[2], size_t in, double enough,
                        bool thin, aw_fitness_worker *w)
{
    double sum = 0;
    for (size_t i = 0; i < f->views->n_zones && sum <= enough; i++) {
        const aw_view_zone *z = &f->views->zones[i];
        set_laws(f, z, thin ? f->stride[i] : 1, out, in, w);
        sum += shortfall_of(&f->calibrations[i], &z->need, w);
    }
    return sum;
}

static double try_one(const aw_fitness *f, const aw_trial *t, double enough, bool thin,
                      aw_fitness_worker *w)
{
    double sum = sum_zones(f, (const size_t[2]){t->out, NONE}, t->in, enough, thin, w);
    for (size_t i = 0; f->sturdy && i < f->n && sum <= enough; i++)
        if (f->layout[i] != t->out)
            sum +=
                sum_zones(f, (const size_t[2]){t->out, f->layout[i]}, t->in, enough - sum, thin, w);
    if (f->sturdy && t->in != NONE && sum <= enough) /* the new one itself is lost */
        sum += sum_zones(f, (const size_t[2]){t->out, NONE}, NONE, enough - sum, thin, w);
    return sum;
}

typedef struct job {
    aw_fitness *fitness;
    aw_trial *trials;
    double enough;
    bool thin;
} job;

static void try_some(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    for (size_t i = from; i < to; i++)
        j->trials[i].shortfall =
            try_one(j->fitness, &j->trials[i], j->enough, j->thin, &j->fitness->workers[thread]);
}

bool aw_fitness_try(aw_fitness *f, aw_trial trials[], size_t n, double enough, bool thin)
{
    job j = {f, trials, enough, thin};
    return aw_parallel(n, 1, &(aw_run){n > 1 ? f->run.threads : 1, f->run.watch, NULL}, try_some,
                       &j, 0);
}

double aw_fitness_now(aw_fitness *f)
{
    const aw_trial as_it_is = {NONE, NONE, 0};
    return try_one(f, &as_it_is, HUGE_VAL, false, &f->workers[0]);
}

const aw_fitness_worker *aw_fitness_laws(aw_fitness *f, size_t zone, size_t lost)
{
    set_laws(f, &f->views->zones[zone], 1, (const size_t[2]){lost, NONE}, NONE, &f->workers[0]);
    return &f->workers[0];
}

double aw_part_ratio(aw_part part, double found, double asked)
{
    if (aw_part_rows[part].is_length)
        return isnan(found) ? HUGE_VAL : found / asked;
    if (isnan(found))
        return 0;
    return asked < 1 ? (1 - found) / (1 - asked) : found < asked ? HUGE_VAL : 1;
}

/* Of one part, by the laws of its zone and what draws taught. */
static double linear_part(const aw_need *need, const aw_calibration *k, const aw_fitness_worker *w,
                          aw_part part)
{
    if (aw_part_rows[part].is_length)
        return aw_part_ratio(part, aw_linear_length(w, part) * k->scale[part],
                             aw_need_asks(need, part));
    if (part == AW_PART_SHARE) {
        const size_t within = aw_error_laws_within(&w->flat, need->p95 / k->scale[part], 0.95);
        return aw_part_ratio(part, (double)within / (double)w->flat.n, need->share);
    }
    return aw_part_ratio(part, aw_linear_share(w, part), k->asked[part]);
}

double aw_linear_score(aw_fitness *f, size_t zone, const aw_calibration *calibration)
{
    const aw_need *need = &f->views->zones[zone].need;
    const aw_fitness_worker *w = aw_fitness_laws(f, zone, NONE);
    double most = 0;
    for (int part = 0; part < AW_PART_ODDS; part++)
        if (!isnan(aw_need_asks(need, (aw_part)part)))
            most = fmax(most, linear_part(need, calibration, w, (aw_part)part));
    return most;
}

void aw_fitness_count(const aw_fitness *f, unsigned char have[])
{
    for (size_t i = 0; i < f->views->n_cells * f->views->n_states; i++)
        have[i] = (unsigned char)(f->base[i].used < 255 ? f->base[i].used : 255);
}

int aw_drop_compare(const void *a, const void *b)
{
    const aw_drop *d = a, *e = b;
    if (d->shortfall != e->shortfall)
        return d->shortfall < e->shortfall ? -1 : 1;
    if (d->price != e->price)
        return d->price > e->price ? -1 : 1;
    return (d->which > e->which) - (d->which < e->which);
}
