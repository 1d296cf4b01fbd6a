/* One layout for each point of the sweep, every zone drawn for each, and then what the curve says.
 */
#include "anchorwise/sweep.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/candidates.h"
#include "anchorwise/compare.h"
#include "anchorwise/cost.h"
#include "assess/zone_assess.h"
#include "place/search.h"

/* What a zone that states no need is weighed by, m. */
#define USUAL 0.5

/* --- what a curve says --- */

static bool is_worse(double p95, double than)
{
    return p95 > than / (1 - AW_NEAR_EQUAL);
}

static double known(double p95)
{
    return isnan(p95) ? HUGE_VAL : p95;
}

/* The first point that nothing after it betters by more than 15 %. */
static size_t find_knee(const double p95[], size_t n)
{
    size_t knee = n - 1;
    double least = known(p95[n - 1]);
    for (size_t i = n; i-- > 0;) {
        const double own = known(p95[i]);
        if (isinf(own) || is_worse(own, least))
            break;
        knee = i;
        least = fmin(least, own);
    }
    return knee;
}

static aw_curve_shape find_band(const double at[], const double p95[], size_t n)
{
    size_t best = 0, from, to;
    for (size_t i = 1; i < n; i++)
        if (known(p95[i]) < known(p95[best]))
            best = i;
    for (from = best; from > 0 && !is_worse(known(p95[from - 1]), p95[best]); from--)
        continue;
    for (to = best; to + 1 < n && !is_worse(known(p95[to + 1]), p95[best]); to++)
        continue;
    const bool all = from == 0 && to == n - 1;
    return (aw_curve_shape){all ? AW_BEND_FLAT : AW_BEND_BAND, at[from], at[to], at[best]};
}

aw_curve_shape aw_curve_shape_find(aw_sweep_kind kind, const double at[], const double p95[],
                                   size_t n)
{
    bool any = false;
    for (size_t i = 0; i < n; i++)
        any = any || isfinite(p95[i]);
    if (!any)
        return (aw_curve_shape){AW_BEND_NONE, (double)NAN, (double)NAN, (double)NAN};
    if (kind == AW_SWEEP_HEIGHTS)
        return find_band(at, p95, n);
    const size_t knee = find_knee(p95, n);
    const aw_curve_shape_kind what = knee == 0       ? AW_BEND_FLAT
                                     : knee == n - 1 ? AW_BEND_FALLING
                                                     : AW_BEND_KNEE;
    return (aw_curve_shape){what, at[knee], at[n - 1], at[n - 1]};
}

/* --- the sweep --- */

typedef struct job {
    aw_sweep *sweep;
    const aw_sweep_plan *plan;
    const aw_run *run;
    aw_scenario scenario; /* with the zones that are looked at */
    aw_zone *zones;
    aw_anchor *anchors;
    aw_candidates candidates;
    aw_views views;
    aw_fitness fitness;
    aw_search search;
} job;

/* The zones with a need, else all, else the floor; each with something to be weighed by. */
static void choose_zones(job *j)
{
    const aw_scenario *s = j->plan->scenario;
    bool stated = false;
    size_t n = 0;
    for (size_t i = 0; i < s->n_zones; i++)
        stated = stated || aw_need_is_stated(&s->zones[i].need);
    for (size_t i = 0; i < s->n_zones; i++)
        if (!stated || aw_need_is_stated(&s->zones[i].need))
            j->zones[n++] = s->zones[i];
    if (n == 0) {
        const double none = (double)NAN;
        j->zones[n++] = (aw_zone){.name = "floor",
                                  .outline = s->floor.outline,
                                  .need = {none, none, none, none, none, none, none, none, none}};
    }
    for (size_t i = 0; i < n; i++) {
        j->sweep->names[i] = j->zones[i].name;
        j->sweep->asked[i] = j->zones[i].need.p95;
        if (!aw_need_is_stated(&j->zones[i].need))
            j->zones[i].need.p95 = USUAL;
    }
    j->sweep->n_zones = n;
    j->scenario = *s;
    j->scenario.zones = j->zones;
    j->scenario.n_zones = n;
}

static bool take_memory(job *j)
{
    aw_sweep *w = j->sweep;
    const size_t zones = j->plan->scenario->n_zones + 1, n = j->plan->n;
    const size_t anchors = j->plan->scenario->n_anchors + AW_MOST_CANDIDATES;
    w->at = calloc(n + 1, sizeof *w->at);
    w->price = calloc(n + 1, sizeof *w->price);
    w->names = calloc(zones, sizeof *w->names);
    w->asked = calloc(zones, sizeof *w->asked);
    w->p95 = calloc(n * zones + 1, sizeof *w->p95);
    w->bends = calloc(zones, sizeof *w->bends);
    j->zones = calloc(zones, sizeof *j->zones);
    j->anchors = calloc(anchors, sizeof *j->anchors);
    return w->at && w->price && w->names && w->asked && w->p95 && w->bends && j->zones &&
           j->anchors;
}

/* What a search by counts stands on. */
static bool prepare_counts(job *j)
{
    const aw_sweep_plan *p = j->plan;
    if (!aw_candidates_list(&j->candidates, &j->scenario, NULL, j->run->errors))
        return false;
    j->sweep->n_candidates = j->candidates.n;
    size_t *n = &j->sweep->n;
    while (p->as_many && *n > 1 && p->at[*n - 1] > (double)j->candidates.n)
        --*n;
    if (p->at[*n - 1] > (double)j->candidates.n) {
        aw_errors_add(j->run->errors, AW_ERROR, 0, 0,
                      "%.0f anchors are more than the %zu candidates", p->at[*n - 1],
                      j->candidates.n);
        return false;
    }
    if (!aw_views_make(&j->views, &j->scenario, &j->candidates, j->run))
        return false;
    if (aw_fitness_create(&j->fitness, &j->views, false, j->run) &&
        aw_search_create(&j->search, &j->fitness, j->scenario.study.seed))
        return true;
    aw_errors_add(j->run->errors, AW_ERROR, 0, 0, "out of memory for the search");
    return false;
}

/* The layout of a point. False if stopped. */
static bool lay_point(job *j, double at)
{
    const aw_scenario *s = j->plan->scenario;
    double figure;
    j->scenario.anchors = j->anchors;
    if (j->plan->kind == AW_SWEEP_HEIGHTS) {
        memcpy(j->anchors, s->anchors, s->n_anchors * sizeof *j->anchors);
        for (size_t i = 0; i < s->n_anchors; i++)
            if (j->plan->group == NULL || j->plan->group[i])
                j->anchors[i].at[2] = at;
        return true;
    }
    if (!aw_search_count(&j->search, (size_t)at, &figure))
        return false;
    j->scenario.n_anchors = j->search.best.n;
    for (size_t i = 0; i < j->search.best.n; i++) {
        const aw_candidate *c = &j->candidates.list[j->search.best.at[i]];
        j->anchors[i] =
            (aw_anchor){.name = c->name, .at = {c->at[0], c->at[1], c->at[2]}, .key = c->key};
    }
    return true;
}

static void begin(const job *j, size_t i, bool draws)
{
    const bool heights = j->plan->kind == AW_SWEEP_HEIGHTS;
    const double unit = heights && j->plan->scenario->units == AW_FEET ? AW_FOOT : 1;
    size_t work = 0;
    if (!aw_watch_shows(j->run->watch))
        return;
    for (size_t z = 0; draws && z < j->sweep->n_zones; z++)
        work += aw_zone_work(&j->scenario, &j->zones[z]);
    aw_watch_stage(j->run->watch, work, "point %zu of %zu, %g %s%s", i + 1, j->sweep->n,
                   j->plan->at[i] / unit,
                   !heights    ? "anchors"
                   : unit != 1 ? "ft"
                               : "m",
                   draws ? ", drawn" : "");
}

static bool run_point(job *j, size_t i)
{
    aw_sweep *w = j->sweep;
    const aw_sweep_plan *p = j->plan;
    w->at[i] = p->at[i];
    if (p->kind == AW_SWEEP_COUNTS)
        begin(j, i, false);
    if (!lay_point(j, p->at[i]))
        return false;
    begin(j, i, true);
    w->price[i] = aw_layout_price(&j->scenario);
    for (size_t z = 0; z < w->n_zones; z++) {
        aw_zone_result r;
        if (!aw_assess_zone(&r, &j->scenario, &j->zones[z], j->run))
            return false;
        w->p95[i * w->n_zones + z] = r.parts[AW_PART_P95].found;
        if (!isfinite(w->p95[i * w->n_zones + z].value))
            w->p95[i * w->n_zones + z] = (aw_estimate){(double)NAN, (double)NAN, (double)NAN};
    }
    return true;
}

static bool find_bends(job *j)
{
    aw_sweep *w = j->sweep;
    double *curve = calloc(w->n + 1, sizeof *curve);
    for (size_t z = 0; curve != NULL && z < w->n_zones; z++) {
        for (size_t i = 0; i < w->n; i++)
            curve[i] = w->p95[i * w->n_zones + z].value;
        w->bends[z] = aw_curve_shape_find(w->kind, w->at, curve, w->n);
    }
    free(curve);
    return curve != NULL;
}

bool aw_sweep_run(aw_sweep *w, const aw_sweep_plan *plan, const aw_run *run)
{
    aw_errors *errors = run->errors;
    job j = {.sweep = w, .plan = plan, .run = run};
    *w = (aw_sweep){.kind = plan->kind, .n = plan->n};
    const size_t before = errors->n_errors;
    bool done = take_memory(&j);
    if (done) {
        choose_zones(&j);
        done = plan->kind == AW_SWEEP_HEIGHTS || prepare_counts(&j);
    }
    for (size_t i = 0; done && i < w->n; i++)
        done = run_point(&j, i);
    done = done && find_bends(&j);
    if (!done && errors->n_errors == before && !aw_run_stopped(run))
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the sweep");
    aw_search_free(&j.search);
    aw_fitness_free(&j.fitness);
    aw_views_free(&j.views);
    aw_candidates_free(&j.candidates);
    free(j.zones);
    free(j.anchors);
    return done;
}

void aw_sweep_free(aw_sweep *w)
{
    free(w->at);
    free(w->price);
    free(w->names);
    free(w->asked);
    free(w->p95);
    free(w->bends);
    *w = (aw_sweep){0};
}
