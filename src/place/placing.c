/* Search and draws in turns, then the bound, then draws with a seed that chose nothing. */
#include "anchorwise/placing.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/cost.h"
#include "assess/parts.h"
#include "assess/zone_assess.h"
#include "place/lower_bound.h"
#include "place/search.h"

#define NONE AW_NO_CANDIDATE
/* Turns of search and draws. */
#define MOST_ROUNDS 16
/* Losses of a zone that are drawn, the worst by linear estimates. */
#define LOSSES 3
/* What a lesson adds where the draws say no and the linear estimates do not. */
#define HARDER     1.01
#define FINER      0.004
#define MOST_SCALE 10
/* What is added to a share of cells while choosing. */
#define MARGIN 0.005

typedef struct job {
    aw_placing *p;
    const aw_placing_plan *plan;
    aw_views views;
    aw_fitness fitness;
    aw_search search;
    aw_errors *errors;
} job;

aw_scenario aw_placing_apply(const aw_placing *p, const aw_scenario *s)
{
    aw_scenario with = *s;
    with.anchors = p->anchors;
    with.n_anchors = p->n_anchors;
    return with;
}

bool aw_placing_is_sufficient(const aw_placing *p)
{
    return !p->stopped && p->end != AW_PLACING_NOT_FOUND && p->confirmed_verdict == AW_MET;
}

static bool is_stopped(const aw_placing_plan *plan)
{
    return plan->watch != NULL && atomic_load(&plan->watch->stop);
}

/* The layout of a search as anchors. */
static void take_layout(aw_placing *p, const aw_chosen *chosen)
{
    p->n_anchors = chosen->n;
    for (size_t i = 0; i < chosen->n; i++) {
        const aw_candidate *c = &p->candidates.list[chosen->at[i]];
        p->anchors[i] =
            (aw_anchor){.name = c->name, .at = {c->at[0], c->at[1], c->at[2]}, .key = c->key};
    }
}

/* --- draws --- */

/* One zone of a layout, with anchor `lost` out of it unless that is NONE. */
static bool draw_zone(job *j, aw_zone_result *r, size_t zone, size_t lost, uint64_t seed)
{
    const aw_placing *p = j->p;
    aw_scenario s = aw_placing_apply(p, j->plan->scenario);
    aw_anchor *left = calloc(p->n_anchors + 1, sizeof *left);
    if (left == NULL) {
        aw_errors_add(j->errors, AW_ERROR, 0, 0, "out of memory for the draws");
        return false;
    }
    s.n_anchors = 0;
    for (size_t i = 0; i < p->n_anchors; i++)
        if (i != lost)
            left[s.n_anchors++] = p->anchors[i];
    s.anchors = left;
    s.study.seed = seed;
    const bool done = aw_assess_zone(r, &s, &s.zones[zone],
                                     &(aw_run){j->plan->threads, j->plan->watch, j->errors});
    free(left);
    return done;
}

static double instant_p95(job *j, size_t zone, size_t lost)
{
    const aw_fitness_worker *w = aw_fitness_laws(&j->fitness, zone, lost);
    return aw_error_laws_percentile(&w->flat, 0.95, 0);
}

/* The losses of a zone that are worst by instant p95, as places in the layout; how many. */
static size_t find_losses(job *j, size_t zone, size_t list[LOSSES])
{
    double worst[LOSSES];
    size_t n = 0;
    for (size_t i = 0; i < j->fitness.n; i++) {
        const double p95 = instant_p95(j, zone, j->fitness.layout[i]);
        size_t k = n < LOSSES ? n++ : LOSSES;
        for (; k > 0 && p95 > worst[k - 1]; k--)
            if (k < LOSSES) {
                worst[k] = worst[k - 1];
                list[k] = list[k - 1];
            }
        if (k < LOSSES) {
            worst[k] = p95;
            list[k] = i;
        }
    }
    return n;
}

/* Whether `r` is worse news than `than`. */
static bool is_worse(const aw_zone_result *r, const aw_zone_result *than)
{
    static const int rank[] = {
        [AW_NO_NEED] = 0, [AW_MET] = 1, [AW_UNDECIDED] = 2, [AW_NOT_MET] = 3};
    if (r->verdict != than->verdict)
        return rank[r->verdict] > rank[than->verdict];
    return !(r->errors.p95 <= than->errors.p95);
}

/* Draws a zone, if sturdy with the losses that matter too; the worst result stands, `lost` says of
 * which loss. The fitness holds the layout. */
static bool draw_worst(job *j, aw_zone_result *r, size_t zone, uint64_t seed, size_t *lost)
{
    size_t list[LOSSES];
    const aw_zone *z = j->views.zones[zone].zone;
    const size_t number = (size_t)(z - j->plan->scenario->zones);
    *lost = NONE;
    if (!draw_zone(j, r, number, NONE, seed))
        return false;
    const size_t n = j->plan->sturdy ? find_losses(j, zone, list) : 0;
    for (size_t k = 0; k < n; k++) {
        aw_zone_result other;
        if (!draw_zone(j, &other, number, list[k], seed))
            return false;
        if (is_worse(&other, r)) {
            *r = other;
            *lost = list[k];
        }
    }
    return true;
}

/* --- lessons --- */

static double instant_of(job *j, size_t zone, size_t lost, aw_part part)
{
    const aw_fitness_worker *w = aw_fitness_laws(&j->fitness, zone, lost);
    const double quantile = aw_part_rows[part].quantile;
    return aw_error_laws_percentile(part == AW_PART_VERTICAL_P95 ? &w->tall : &w->flat,
                                    quantile > 0 ? quantile : 0.95, 0);
}

/* The scale at which as few cells are within the need by linear estimates as by draws. */
static double scale_of_share(job *j, size_t zone, size_t lost, const aw_part_result *r)
{
    const aw_fitness_worker *w = aw_fitness_laws(&j->fitness, zone, lost);
    const double need = j->views.zones[zone].need.p95;
    double scale = j->fitness.lessons[zone].scale[AW_PART_SHARE];
    while (scale < MOST_SCALE && (double)aw_error_laws_within(&w->flat, need / scale, 0.95) >
                                     r->found.value * (double)w->flat.n)
        scale *= 1 + FINER;
    return scale;
}

/* Holds a part's linear estimate to what draws made of it. */
static void learn_part(job *j, size_t zone, size_t lost, aw_part part, const aw_part_result *r)
{
    aw_calibration *l = &j->fitness.lessons[zone];
    const double instant = instant_of(j, zone, lost, part);
    const double drawn = isfinite(r->found.high) ? r->found.high : r->found.value;
    switch (part) {
    case AW_PART_P95:
    case AW_PART_P50:
    case AW_PART_P99:
    case AW_PART_VERTICAL_P95:
        if (isfinite(drawn) && isfinite(instant) && instant > 0)
            l->scale[part] = fmax(l->scale[part], drawn / instant);
        l->scale[part] *= HARDER;
        break;
    case AW_PART_SHARE:
        l->scale[part] = scale_of_share(j, zone, lost, r) * (1 + FINER);
        break;
    default:
        l->most_p95 = fmin(l->most_p95, instant / HARDER);
        break;
    }
}

/* A layout that draws refuse must fall short by linear estimates as well, or it comes again. */
static void learn(job *j, size_t zone, const aw_zone_result *r, size_t lost)
{
    const size_t out = lost == NONE ? NONE : j->fitness.layout[lost];
    for (int part = 0; part < AW_PARTS; part++)
        if (r->parts[part].verdict == AW_NOT_MET || r->parts[part].verdict == AW_UNDECIDED)
            learn_part(j, zone, out, (aw_part)part, &r->parts[part]);
    if (aw_fitness_of_zone(&j->fitness, zone, out) == 0)
        j->fitness.lessons[zone].most_p95 = instant_p95(j, zone, out) / HARDER;
}

/* --- turns --- */

/* Another seed moves a share of cells: while choosing it is held to so much more. */
static bool is_close(const aw_zone_result *r)
{
    const aw_part_result *share = &r->parts[AW_PART_SHARE];
    return share->verdict == AW_MET && share->asked < 1 - MARGIN &&
           share->found.value < share->asked + MARGIN;
}

/* Every zone with a need, drawn so many times. */
static void begin_drawing(const job *j, size_t times)
{
    const aw_scenario *s = j->plan->scenario;
    size_t work = 0;
    if (!aw_watch_shows(j->plan->watch))
        return;
    for (size_t i = 0; i < s->n_zones; i++)
        if (aw_need_is_stated(&s->zones[i].need))
            work += times * aw_zone_work(s, &s->zones[i]);
    aw_watch_stage(j->plan->watch, work, "drawing a layout of %zu anchors", j->p->n_anchors);
}

/* Draws the layout that stands. False if stopped or in trouble. */
static bool draw_layout(job *j, aw_zone_result results[], uint64_t seed, aw_verdict *verdict,
                        bool learning)
{
    *verdict = AW_NO_NEED;
    begin_drawing(j, j->plan->sturdy ? 1 + LOSSES : 1);
    for (size_t i = 0; i < j->views.n_zones; i++) {
        const size_t number = (size_t)(j->views.zones[i].zone - j->plan->scenario->zones);
        size_t lost;
        if (!draw_worst(j, &results[number], i, seed, &lost))
            return false;
        const bool close = learning && is_close(&results[number]);
        *verdict = aw_verdict_join(*verdict, close ? AW_UNDECIDED : results[number].verdict);
        if (close)
            learn_part(j, i, lost == NONE ? NONE : j->fitness.layout[lost], AW_PART_SHARE,
                       &results[number].parts[AW_PART_SHARE]);
        if (learning && results[number].verdict != AW_MET)
            learn(j, i, &results[number], lost);
    }
    return true;
}

static void stand_on(job *j, const aw_chosen *chosen)
{
    take_layout(j->p, chosen);
    aw_fitness_set(&j->fitness, chosen->at, chosen->n);
}

/* What was drawn was another layout. */
static void forget_draws(aw_placing *p)
{
    p->verdict = AW_NO_NEED;
    for (size_t i = 0; i < p->n_zones; i++)
        p->zones[i].verdict = AW_NO_NEED;
}

/* Searches until draws agree. False if stopped or in trouble. */
static bool search_and_draw(job *j)
{
    aw_placing *p = j->p;
    bool done = aw_search_run(&j->search);
    for (p->rounds = 1; done; p->rounds++) {
        stand_on(j, &j->search.best);
        const bool good = j->search.best.shortfall == 0;
        done = draw_layout(j, p->zones, j->plan->scenario->study.seed, &p->verdict, good);
        if (!done || !good || p->verdict == AW_MET || p->rounds == MOST_ROUNDS)
            break;
        done = aw_search_from(&j->search, NULL, 0);
    }
    if (!done && j->search.best.n > 0) {
        stand_on(j, &j->search.best);
        forget_draws(p);
    }
    p->end = p->verdict == AW_MET ? AW_PLACING_FOUND : AW_PLACING_NOT_FOUND;
    return done;
}

/* Where draws come out smaller than linear estimates the bound is asked for that much less. */
static double slack_of(job *j)
{
    double slack = 1;
    for (size_t i = 0; i < j->views.n_zones; i++) {
        const size_t number = (size_t)(j->views.zones[i].zone - j->plan->scenario->zones);
        const double drawn = j->p->zones[number].errors.p95, instant = instant_p95(j, i, NONE);
        if (!j->plan->sturdy && isfinite(drawn) && isfinite(instant))
            slack = fmax(slack, instant / drawn);
    }
    return slack;
}

/* Searches again from where the bound points to; what is cheaper and stands by draws is taken. */
static bool follow_hints(job *j, const aw_lower_bound *least)
{
    aw_placing *p = j->p;
    bool done = true;
    for (size_t i = 0; done && i < least->n_hints; i++) {
        const double before = j->search.best.price;
        aw_zone_result *zones = calloc(p->n_zones + 1, sizeof *zones);
        aw_verdict verdict;
        aw_search other = {0};
        done = zones != NULL && aw_search_create(&other, &j->fitness, i);
        if (done && least->n_in_hint[i] <= other.room)
            done = aw_search_from(&other, least->hints[i], least->n_in_hint[i]);
        if (done && other.best.shortfall == 0 && other.best.price < before - 1e-9) {
            stand_on(j, &other.best);
            done = draw_layout(j, zones, j->plan->scenario->study.seed, &verdict, false);
            if (done && verdict == AW_MET) {
                const aw_chosen spare = j->search.best;
                j->search.best = other.best;
                other.best = spare;
                memcpy(p->zones, zones, p->n_zones * sizeof *zones);
            }
        }
        aw_search_free(&other);
        free(zones);
    }
    stand_on(j, &j->search.best);
    return done;
}

/* What is paid once, whatever the layout. */
static double paid_once(const aw_scenario *s)
{
    aw_scenario none = *s;
    none.n_anchors = 0;
    return aw_has_prices(s) ? aw_layout_price(&none) : 0;
}

static bool find_bound(job *j)
{
    aw_placing *p = j->p;
    const aw_scenario *s = j->plan->scenario;
    const bool found = p->end == AW_PLACING_FOUND, whole = !aw_has_prices(s);
    const double known = found ? j->search.best.price : HUGE_VAL;
    aw_lower_bound least;
    bool done = aw_lower_bound_find(&least, &j->views, slack_of(j), j->plan->sturdy, known, whole,
                                    j->plan->threads, j->plan->watch);
    p->bound = least.price + paid_once(s);
    p->nodes = least.nodes;
    if (done && found)
        done = follow_hints(j, &least);
    p->is_least = found && p->bound >= j->search.best.price + paid_once(s) - 1e-6;
    aw_lower_bound_free(&least);
    return done;
}

/* A seed that nobody chose: splitmix64 of the study's. */
static uint64_t other_seed(uint64_t seed)
{
    uint64_t z = seed + 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return (z ^ (z >> 31)) >> 1;
}

static bool place_afresh(job *j)
{
    aw_placing *p = j->p;
    const aw_placing_plan *plan = j->plan;
    bool done = aw_views_make(&j->views, plan->scenario, &p->candidates, plan->threads, plan->watch,
                              j->errors);
    if (!done)
        return false;
    if (!aw_fitness_create(&j->fitness, &j->views, plan->sturdy, plan->threads, plan->watch) ||
        !aw_search_create(&j->search, &j->fitness, plan->scenario->study.seed)) {
        aw_errors_add(j->errors, AW_ERROR, 0, 0, "out of memory for the search");
        return false;
    }
    return search_and_draw(j) && find_bound(j) &&
           draw_layout(j, p->confirmed, p->seed, &p->confirmed_verdict, false);
}

/* --- the study --- */

/* Draws the scenario's own layout, if sturdy with every anchor lost in turn; the worst results
 * stand. With `brief` it ends at the first zone that is not met. */
static bool draw_own(job *j, aw_zone_result results[], uint64_t seed, bool brief,
                     aw_verdict *verdict)
{
    const aw_scenario *s = j->plan->scenario;
    const size_t losses = j->plan->sturdy ? s->n_anchors : 0;
    *verdict = AW_NO_NEED;
    begin_drawing(j, 1 + losses);
    for (size_t i = 0; i < s->n_zones; i++) {
        const bool stated = aw_need_is_stated(&s->zones[i].need);
        for (size_t lost = 0; stated && lost <= losses; lost++) {
            aw_zone_result r;
            if (!draw_zone(j, &r, i, lost > 0 ? lost - 1 : NONE, seed))
                return false;
            if (lost == 0 || is_worse(&r, &results[i]))
                results[i] = r;
            *verdict = aw_verdict_join(*verdict, r.verdict);
            if (brief && *verdict != AW_MET)
                return true;
        }
    }
    return true;
}

/* Whether the scenario's own layout will do; confirms it then. False if stopped or in trouble. */
static bool leave_alone(job *j, bool *left)
{
    const aw_scenario *s = j->plan->scenario;
    aw_placing *p = j->p;
    for (size_t i = 0; i < s->n_anchors; i++)
        p->anchors[i] = s->anchors[i];
    p->n_anchors = s->n_anchors;
    bool done = draw_own(j, p->zones, s->study.seed, true, &p->verdict);
    *left = done && p->verdict == AW_MET;
    if (*left) {
        p->end = AW_PLACING_LEFT;
        return draw_own(j, p->confirmed, p->seed, false, &p->confirmed_verdict);
    }
    p->n_anchors = 0;
    forget_draws(p);
    return done;
}

static bool run(job *j)
{
    const aw_placing_plan *plan = j->plan;
    const aw_scenario *s = plan->scenario;
    bool left = false, stated = false;
    for (size_t i = 0; i < s->n_zones; i++)
        stated = stated || aw_need_is_stated(&s->zones[i].need);
    if (!stated) {
        aw_errors_add(j->errors, AW_ERROR, 0, 0,
                      "no zone states a need, so there is nothing to meet");
        return false;
    }
    if (!plan->afresh && !leave_alone(j, &left))
        return false;
    return left || place_afresh(j);
}

bool aw_placing_run(aw_placing *p, const aw_placing_plan *plan, aw_errors *errors)
{
    const aw_scenario *s = plan->scenario;
    *p = (aw_placing){.end = AW_PLACING_NOT_FOUND,
                      .n_zones = s->n_zones,
                      .price = (double)NAN,
                      .bound = (double)NAN,
                      .seed = other_seed(s->study.seed),
                      .verdict = AW_NO_NEED,
                      .confirmed_verdict = AW_NO_NEED};
    job j = {.p = p, .plan = plan, .errors = errors};
    const size_t before = errors->n_errors;
    if (!aw_candidates_list(&p->candidates, s, plan->keep, errors))
        return false;
    p->anchors = calloc(p->candidates.n + s->n_anchors + 1, sizeof *p->anchors);
    p->zones = calloc(s->n_zones + 1, sizeof *p->zones);
    p->confirmed = calloc(s->n_zones + 1, sizeof *p->confirmed);
    bool done = p->anchors && p->zones && p->confirmed;
    for (size_t i = 0; done && i < s->n_zones; i++)
        p->zones[i].verdict = p->confirmed[i].verdict = AW_NO_NEED;
    done = done && run(&j);
    if (!done && !is_stopped(plan) && errors->n_errors == before)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the placing");
    aw_search_free(&j.search);
    aw_fitness_free(&j.fitness);
    aw_views_free(&j.views);
    p->stopped = is_stopped(plan);
    const aw_scenario placed = aw_placing_apply(p, s);
    p->price = aw_layout_price(&placed);
    return done || (p->stopped && p->n_anchors > 0);
}

void aw_placing_free(aw_placing *p)
{
    aw_candidates_free(&p->candidates);
    free(p->anchors);
    free(p->zones);
    free(p->confirmed);
    *p = (aw_placing){0};
}
