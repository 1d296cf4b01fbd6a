/* The sums of the layout are kept for every cell; a trial takes one view out and puts one in, then
 * asks each zone's parts for the share that is missing. */
#include "place/fitness.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "assess/instant.h"
#include "base/parallel.h"

#define NONE AW_NO_CANDIDATE
/* Cells of a thin look, of all zones and at least of each. */
#define THIN       800
#define THIN_LEAST 150
/* Cells summed together. */
#define GRAIN 512

bool aw_fitness_create(aw_fitness *f, const aw_views *v, bool sturdy, unsigned threads,
                       aw_watch *watch)
{
    size_t most = 0;
    *f = (aw_fitness){.views = v, .sturdy = sturdy, .threads = threads, .watch = watch};
    f->lessons = calloc(v->n_zones + 1, sizeof *f->lessons);
    f->stride = calloc(v->n_zones + 1, sizeof *f->stride);
    f->layout = calloc(v->candidates->n + 1, sizeof *f->layout);
    f->base = calloc(v->n_cells + 1, sizeof *f->base);
    f->workers = calloc(threads, sizeof *f->workers);
    bool done = f->lessons && f->stride && f->layout && f->base && f->workers;
    for (size_t i = 0; i < v->n_zones; i++)
        most = v->zones[i].grid.n > most ? v->zones[i].grid.n : most;
    for (unsigned i = 0; done && i < threads; i++)
        done = aw_error_laws_create(&f->workers[i].flat, most, 1) &&
               aw_error_laws_create(&f->workers[i].tall, most, 1);
    for (size_t i = 0; done && i < v->n_zones; i++) {
        aw_calibration *l = &f->lessons[i];
        for (int part = 0; part < AW_PARTS; part++)
            l->scale[part] = 1;
        l->most_p95 = HUGE_VAL;
        l->fix_share = v->zones[i].need.fix_share;
        const size_t share = THIN / v->n_zones > THIN_LEAST ? THIN / v->n_zones : THIN_LEAST;
        f->stride[i] = (v->zones[i].grid.n + share - 1) / share;
        f->n_thin += (v->zones[i].grid.n + f->stride[i] - 1) / f->stride[i];
    }
    return done;
}

void aw_fitness_free(aw_fitness *f)
{
    for (unsigned i = 0; f->workers != NULL && i < f->threads; i++) {
        aw_error_laws_free(&f->workers[i].flat);
        aw_error_laws_free(&f->workers[i].tall);
    }
    free(f->workers);
    free(f->lessons);
    free(f->stride);
    free(f->layout);
    free(f->base);
    *f = (aw_fitness){0};
}

static void sum_cells(void *context, size_t from, size_t to, unsigned thread)
{
    const aw_fitness *f = context;
    const aw_views *v = f->views;
    (void)thread;
    memset(&f->base[from], 0, (to - from) * sizeof *f->base);
    for (size_t cell = from; cell < to; cell++)
        for (size_t i = 0; i < f->n; i++)
            aw_view_change(&f->base[cell], &v->view[f->layout[i] * v->n_cells + cell], 1);
}

void aw_fitness_set(aw_fitness *f, const size_t layout[], size_t n)
{
    memcpy(f->layout, layout, n * sizeof *layout);
    f->n = n;
    aw_parallel(f->views->n_cells, GRAIN, &(aw_run){f->threads, NULL, NULL}, sum_cells, f, 0);
}

/* Cell k of a thin look, moved about so that no row or column of the grid is favoured. */
static size_t nth(size_t k, size_t stride, size_t n)
{
    const size_t i = k * stride + 7 * k % stride;
    return i < n ? i : n - 1;
}

static void set_laws(const aw_fitness *f, const aw_view_zone *z, size_t stride, const size_t out[2],
                     size_t in, aw_fitness_worker *w)
{
    const bool tall = !isnan(z->need.vertical_p95);
    const size_t n = (z->grid.n + stride - 1) / stride, cells = f->views->n_cells;
    w->flat.n = w->tall.n = n;
    for (size_t k = 0; k < n; k++) {
        const size_t i = nth(k, stride, z->grid.n);
        const aw_view *view = &f->views->view[z->first + i];
        aw_sums sums = f->base[z->first + i];
        for (int o = 0; o < 2; o++)
            if (out[o] != NONE)
                aw_view_change(&sums, &view[out[o] * cells], -1);
        if (in != NONE)
            aw_view_change(&sums, &view[in * cells], 1);
        aw_expected e = aw_sums_expect(&sums, z->tag->fix, z->tag->height_sigma);
        aw_error_laws_set(&w->flat, k, &e);
        if (tall) {
            e = e.status == AW_BOUND_OK ? aw_expected_height(&e) : e;
            aw_error_laws_set(&w->tall, k, &e);
        }
    }
}

/* What is missing to a share that is asked, as a part of it. */
static double missing(double asked, double found)
{
    return found < asked ? (asked - found) / asked : 0;
}

static double share_of_errors(const aw_error_laws *s, double asked, double scale, double q)
{
    return isnan(asked) ? 0 : missing(q, aw_error_laws_share(s, asked / scale));
}

static double positions_of(const aw_error_laws *s)
{
    double with = 0;
    for (size_t i = 0; i < s->n; i++)
        with += aw_error_laws_placed(s, i);
    return with / (double)s->n;
}

static double shortfall_of(const aw_calibration *l, const aw_need *need, const aw_fitness_worker *w)
{
    const double *scale = l->scale;
    double sum = share_of_errors(&w->flat, need->p95, scale[AW_PART_P95], 0.95);
    sum += share_of_errors(&w->flat, need->p50, scale[AW_PART_P50], 0.5);
    sum += share_of_errors(&w->flat, need->p99, scale[AW_PART_P99], 0.99);
    sum += share_of_errors(&w->tall, need->vertical_p95, scale[AW_PART_VERTICAL_P95], 0.95);
    if (!isnan(need->share))
        sum +=
            missing(need->share,
                    (double)aw_error_laws_within(&w->flat, need->p95 / scale[AW_PART_SHARE], 0.95) /
                        (double)w->flat.n);
    if (!isnan(l->fix_share))
        sum += missing(l->fix_share, positions_of(&w->flat));
    if (isfinite(l->most_p95))
        sum += share_of_errors(&w->flat, l->most_p95, 1, 0.95);
    return sum;
}

/* All zones with up to two candidates out and one in, until it is enough. */
static double sum_zones(const aw_fitness *f, const size_t out[2], size_t in, double enough,
                        bool thin, aw_fitness_worker *w)
{
    double sum = 0;
    for (size_t i = 0; i < f->views->n_zones && sum <= enough; i++) {
        const aw_view_zone *z = &f->views->zones[i];
        set_laws(f, z, thin ? f->stride[i] : 1, out, in, w);
        sum += shortfall_of(&f->lessons[i], &z->need, w);
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
    return aw_parallel(n, 1, &(aw_run){n > 1 ? f->threads : 1, f->watch, NULL}, try_some, &j, 0);
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

double aw_fitness_of_zone(aw_fitness *f, size_t zone, size_t lost)
{
    const aw_fitness_worker *w = aw_fitness_laws(f, zone, lost);
    return shortfall_of(&f->lessons[zone], &f->views->zones[zone].need, w);
}
