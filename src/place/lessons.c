/* Lengths by their ratio, a share of cells by the scale that leaves as many within, shares of draws
 * by the difference. */
#include "place/lessons.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#define NONE AW_NO_CANDIDATE
/* How far a lesson may go. */
#define LEAST_SCALE 0.8
#define MOST_SCALE  1.6
/* From one scale to the next where a share of cells is counted. */
#define FINER 1.004
/* How loose a search for cheaper layouts starts. */
#define LOOSE 0.92
/* What a refusal adds: to the lesson of the layout refused, and at least to today's. */
#define HARDER       1.01
#define OF_CELLS     1.02
#define OF_POSITIONS 1.15
#define OF_REPORTS   1.04
#define WITHOUT      1.05
/* By how much the logarithm of p95 is taken to scatter between installations. */
#define INSTALLATIONS 0.1

static const aw_fitness_worker *laws_of(aw_fitness *f, const aw_looked *l, size_t zone)
{
    const size_t lost = l->first.lost[zone];
    return aw_fitness_laws(f, zone, lost == NONE ? NONE : l->at[lost]);
}

/* What the verdict goes by: the worse end of the interval, where it is known. */
static double drawn_length(const aw_part_result *r)
{
    return isfinite(r->found.high) ? r->found.high : r->found.value;
}

/* Drawn over linear of a length; NaN if either does not exist. */
static double length_ratio(const aw_fitness_worker *w, aw_part part, const aw_part_result *r)
{
    const double ratio = drawn_length(r) / aw_linear_length(w, part);
    return isfinite(ratio) && ratio > 0 ? ratio : (double)NAN;
}

/* The scale at which as many cells are within the need by linear estimates as by draws. */
static double scale_of_cells(const aw_fitness_worker *w, double need, const aw_part_result *r,
                             bool by_value)
{
    const double cells = (by_value ? r->found.value : r->found.low) * (double)w->flat.n;
    double scale = LEAST_SCALE;
    while (scale < MOST_SCALE && (double)aw_error_laws_within(&w->flat, need / scale, 0.95) > cells)
        scale *= FINER;
    return scale;
}

/* The scale of p95 at which as many installations meet it as the odds ask, were those of this
 * layout to scatter as usual about its linear estimate. */
static double scale_of_odds(const aw_fitness_worker *w, double need, const aw_part_result *r)
{
    const double low = fmin(fmax(r->found.low, 0.01), 0.99);
    const double gap = gsl_cdf_ugaussian_Pinv(fmin(r->asked, 0.99)) - gsl_cdf_ugaussian_Pinv(low);
    const double scale = need / aw_linear_length(w, AW_PART_P95) * exp(INSTALLATIONS * gap);
    return isfinite(scale) && scale > 0 ? scale : (double)NAN;
}

static bool is_share_of_draws(aw_part part)
{
    return part == AW_PART_FIX_SHARE || part == AW_PART_ZONE_SHARE;
}

static double between(double value, double low, double high)
{
    return fmin(fmax(value, low), high);
}

static void learn_part(aw_fitness *f, size_t zone, const aw_fitness_worker *w, aw_part part,
                       const aw_looked *l, double loose)
{
    aw_calibration *c = &f->calibrations[zone];
    const aw_part_result *r = &l->first.zones[zone].parts[part];
    if (r->verdict == AW_NO_NEED)
        return;
    if (aw_part_rows[part].is_length) {
        const double ratio = length_ratio(w, part, r);
        if (!isnan(ratio))
            c->scale[part] = between(ratio, LEAST_SCALE, MOST_SCALE) * loose;
    } else if (part == AW_PART_SHARE) {
        c->scale[part] = scale_of_cells(w, f->views->zones[zone].need.p95, r, l->by_value) * loose;
    } else if (is_share_of_draws(part) && !isnan(r->found.low)) {
        const double asked = r->asked + aw_linear_share(w, part) - r->found.low;
        c->asked[part] = 1 - (1 - between(asked, 0, 1)) / pow(loose, 3);
    }
}

void aw_lessons_learn(aw_fitness *f, const aw_looked *l, bool loose)
{
    aw_fitness_set(f, l->at, l->n);
    for (size_t i = 0; i < f->views->n_zones; i++) {
        const aw_fitness_worker *w = laws_of(f, l, i);
        f->calibrations[i] = aw_calibration_of(&f->views->zones[i].need);
        for (int part = 0; part < AW_PARTS; part++)
            learn_part(f, i, w, (aw_part)part, l, loose ? LOOSE : 1);
    }
}

/* To the mean of today's and the lesson of the layout refused, and some more. */
static double harder_scale(double scale, double lesson)
{
    if (isnan(lesson))
        return scale * WITHOUT;
    return fmax(sqrt(scale * lesson * HARDER), scale * HARDER);
}

static void harden_part(aw_calibration *c, const aw_fitness_worker *w, const aw_need *need,
                        aw_part part, const aw_looked *l, size_t zone)
{
    const aw_part_result *r = &l->first.zones[zone].parts[part];
    if (aw_part_rows[part].is_length)
        c->scale[part] = harder_scale(c->scale[part], length_ratio(w, part, r));
    else if (part == AW_PART_SHARE)
        c->scale[part] =
            fmax(harder_scale(c->scale[part], scale_of_cells(w, need->p95, r, l->by_value)),
                 c->scale[part] * OF_CELLS);
    else if (part == AW_PART_FIX_SHARE)
        c->asked[part] = 1 - (1 - c->asked[part]) / OF_POSITIONS;
    else if (part == AW_PART_ZONE_SHARE)
        c->asked[part] = 1 - (1 - c->asked[part]) / OF_REPORTS;
    else if (part == AW_PART_CHANCE)
        c->scale[AW_PART_P95] *= OF_CELLS;
    else
        c->scale[AW_PART_P95] = harder_scale(c->scale[AW_PART_P95], scale_of_odds(w, need->p95, r));
}

/* Refused by a look, or by the race, which other looks may have decided. */
static bool is_at_fault(const aw_looked *l, size_t zone, aw_part part)
{
    const aw_verdict verdict = l->first.zones[zone].parts[part].verdict;
    const aw_slacks *s = &l->slacks[zone * AW_PARTS + (size_t)part];
    return verdict == AW_NOT_MET || verdict == AW_UNDECIDED ||
           (l->n_looks > 1 && s->n > 0 && !aw_slacks_suffice(s));
}

static void harden_by(aw_fitness *f, const aw_looked *l)
{
    aw_fitness_set(f, l->at, l->n);
    for (size_t i = 0; i < f->views->n_zones; i++) {
        const aw_need *need = &f->views->zones[i].need;
        const aw_fitness_worker *w = laws_of(f, l, i);
        for (int part = 0; part < AW_PARTS; part++)
            if (is_at_fault(l, i, (aw_part)part))
                harden_part(&f->calibrations[i], w, need, (aw_part)part, l, i);
    }
}

static void take_harder(aw_calibration *c, const aw_calibration *other)
{
    for (int part = 0; part < AW_PARTS; part++) {
        c->scale[part] = fmax(c->scale[part], other->scale[part]);
        c->asked[part] = fmax(c->asked[part], other->asked[part]);
    }
}

bool aw_lessons_harden(aw_fitness *f, aw_looked *const layouts[], size_t n)
{
    const size_t zones = f->views->n_zones, bytes = zones * sizeof *f->calibrations;
    aw_calibration *before = malloc(bytes + 1), *most = malloc(bytes + 1);
    const bool done = before != NULL && most != NULL;
    if (done) {
        memcpy(before, f->calibrations, bytes);
        memcpy(most, f->calibrations, bytes);
    }
    for (size_t k = 0; done && k < n; k++) {
        memcpy(f->calibrations, before, bytes);
        harden_by(f, layouts[k]);
        for (size_t i = 0; i < zones; i++)
            take_harder(&most[i], &f->calibrations[i]);
    }
    if (done)
        memcpy(f->calibrations, most, bytes);
    free(before);
    free(most);
    return done;
}

static void ease_part(aw_calibration *c, const aw_fitness_worker *w, const aw_need *need,
                      aw_part part)
{
    const double asked = aw_need_asks(need, part);
    if (isnan(asked))
        return;
    if (aw_part_rows[part].is_length)
        c->scale[part] = fmin(c->scale[part], asked / aw_linear_length(w, part));
    else if (is_share_of_draws(part))
        c->asked[part] = fmin(c->asked[part], aw_linear_share(w, part));
    else
        while (c->scale[part] > LEAST_SCALE * LOOSE &&
               (double)aw_error_laws_within(&w->flat, need->p95 / c->scale[part], 0.95) <
                   asked * (double)w->flat.n)
            c->scale[part] /= FINER;
}

void aw_lessons_ease(aw_fitness *f, const aw_looked *l)
{
    aw_fitness_set(f, l->at, l->n);
    for (size_t i = 0; i < f->views->n_zones; i++) {
        const aw_need *need = &f->views->zones[i].need;
        const aw_fitness_worker *w = laws_of(f, l, i);
        for (int part = 0; part < AW_PARTS; part++)
            ease_part(&f->calibrations[i], w, need, (aw_part)part);
    }
}
