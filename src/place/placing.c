/* The scenario's own layout, if it will do; else a choice by search and draws, and the bound. */
#include "anchorwise/placing.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/cost.h"
#include "assess/parts.h"
#include "assess/zone_assess.h"
#include "place/choose.h"
#include "place/lower_bound.h"

#define NONE AW_NO_CANDIDATE

typedef struct job {
    aw_placing *p;
    const aw_placing_plan *plan;
    const aw_run *run;
    const aw_scenario *scenario; /* with the needs that are placed for */
    aw_views views;
    aw_fitness fitness;
    aw_search search;
    aw_looks looks;
    aw_choice choice;
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
    return p->end == AW_PLACING_LEFT || p->end == AW_PLACING_FOUND;
}

/* --- what is told --- */

/* Results by view zone to those by the scenario's. */
static void tell_zones(const job *j, const aw_look *look, aw_zone_result results[])
{
    for (size_t i = 0; i < j->views.n_zones; i++)
        results[j->views.zones[i].zone - j->scenario->zones] = look->zones[i];
}

static aw_verdict join_zones(const aw_zone_result zones[], size_t n)
{
    aw_verdict v = AW_NO_NEED;
    for (size_t i = 0; i < n; i++)
        v = aw_verdict_join(v, zones[i].verdict);
    return v;
}

static void tell_layout(job *j, const aw_looked *l)
{
    aw_placing *p = j->p;
    memcpy(p->anchors, l->anchors, l->n * sizeof *l->anchors);
    p->n_anchors = l->n;
    p->n_own = l->n_looks;
    p->n_own_met = l->n_looks - l->n_unmet;
    tell_zones(j, &l->first, p->zones);
    p->verdict = join_zones(p->zones, p->n_zones);
}

/* A search that was stopped before anything was drawn. */
static void tell_search(job *j)
{
    const aw_chosen *best = &j->search.best;
    for (size_t i = 0; i < best->n; i++) {
        const aw_candidate *c = &j->p->candidates.list[best->at[i]];
        j->p->anchors[i] =
            (aw_anchor){.name = c->name, .at = {c->at[0], c->at[1], c->at[2]}, .key = c->key};
    }
    j->p->n_anchors = best->n;
}

static void tell_choice(job *j)
{
    aw_placing *p = j->p;
    const aw_choice *c = &j->choice;
    const aw_looked *l = c->winner != NULL ? c->winner
                         : c->best != NULL ? c->best
                                           : aw_choice_nearest(c);
    p->n_layouts = j->looks.n_layouts;
    p->n_looks = j->looks.n_drawn;
    p->n_confirmations = c->n_confirmations;
    if (l != NULL)
        tell_layout(j, l);
    else
        tell_search(j);
    p->end = c->winner != NULL && !c->winner->by_value ? AW_PLACING_FOUND
             : l != NULL && l->first.verdict == AW_MET ? AW_PLACING_ON_LINE
                                                       : AW_PLACING_NOT_FOUND;
    if (c->winner != NULL) {
        p->seed = c->seed;
        tell_zones(j, &c->confirmed, p->confirmed);
        p->confirmed_verdict = join_zones(p->confirmed, p->n_zones);
    }
}

/* What all candidates together give, the worst cell of each zone too. */
static void tell_all(job *j)
{
    if (j->choice.all != NULL && j->p->end == AW_PLACING_NOT_FOUND)
        tell_zones(j, &j->choice.all->first, j->p->all);
}

/* --- the bound --- */

/* Where draws come out smaller than linear estimates, across or in height, the bound is asked for
 * that much less. */
static double slack_of(job *j, const aw_looked *l)
{
    double slack = 1;
    if (l == NULL || j->plan->sturdy)
        return slack;
    aw_fitness_set(&j->fitness, l->at, l->n);
    for (size_t i = 0; i < j->views.n_zones; i++) {
        const aw_pooled *e = &l->first.zones[i].errors;
        const aw_fitness_worker *w = aw_fitness_laws(&j->fitness, i, NONE);
        const double across = aw_linear_length(w, AW_PART_P95) / e->p95;
        const double up = isnan(j->views.zones[i].need.vertical_p95)
                              ? (double)NAN
                              : aw_linear_length(w, AW_PART_VERTICAL_P95) / e->vertical_p95;
        slack = isfinite(across) ? fmax(slack, across) : slack;
        slack = isfinite(up) ? fmax(slack, up) : slack;
    }
    return slack;
}

/* What is paid once, whatever the layout. */
static double paid_once(const aw_scenario *s)
{
    aw_scenario none = *s;
    none.n_anchors = 0;
    return aw_has_prices(s) ? aw_layout_price(&none) : 0;
}

/* In 3d draws of single layouts come out further under linear estimates than those of the layout
 * found, so the bound would not hold: it is left out. */
static bool find_bound(job *j)
{
    aw_placing *p = j->p;
    const aw_scenario *s = j->scenario;
    const aw_looked *won = j->choice.winner;
    const double known = won != NULL ? won->price : HUGE_VAL;
    const double once = paid_once(s);
    if (j->views.dims == AW_FIX_3D)
        return true;
    aw_lower_bound least;
    const aw_lower_bound_plan plan = {.views = &j->views,
                                      .slack = slack_of(j, won),
                                      .sturdy = j->plan->sturdy,
                                      .known = known,
                                      .worth = won != NULL ? AW_BOUND_WORTH * (known + once) - once
                                                           : HUGE_VAL,
                                      .whole = !aw_has_prices(s)};
    const bool done = aw_lower_bound_find(&least, &plan, j->run);
    if (done) {
        p->bound = least.price + once;
        p->nodes = least.nodes;
        p->is_least = won != NULL && p->bound >= known + once - 1e-6;
    }
    return done;
}

/* --- the study --- */

static bool prepare(job *j)
{
    const aw_placing_plan *plan = j->plan;
    if (!aw_views_make(&j->views, j->scenario, &j->p->candidates, SIZE_MAX, j->run))
        return false;
    j->looks = (aw_looks){.scenario = j->scenario,
                          .candidates = &j->p->candidates,
                          .views = &j->views,
                          .fitness = &j->fitness,
                          .sturdy = plan->sturdy,
                          .judging = AW_JUDGE_PARTS,
                          .run = *j->run};
    j->choice = (aw_choice){.looks = &j->looks, .search = &j->search};
    if (aw_fitness_create(&j->fitness, &j->views, plan->sturdy, j->run) &&
        aw_search_create(&j->search, &j->fitness, j->scenario->study.seed))
        return true;
    aw_errors_add(j->run->errors, AW_ERROR, 0, 0, "out of memory for the search");
    return false;
}

/* Whether the scenario's own layout holds. False if stopped or in trouble. */
static bool leave_alone(job *j, bool *left)
{
    aw_looked *own = aw_looks_own(&j->looks);
    *left = false;
    if (own == NULL || own->first.verdict != AW_MET)
        return own != NULL;
    if (!aw_choose_proved(&j->choice, own, left))
        return false;
    if (*left)
        j->choice.winner = own;
    return true;
}

static bool place(job *j)
{
    bool left = false;
    if (!prepare(j))
        return false;
    bool done = j->plan->afresh || leave_alone(j, &left);
    done = done && (left || aw_choose(&j->choice));
    tell_choice(j);
    if (left)
        j->p->end = AW_PLACING_LEFT;
    tell_all(j);
    return done && (left || find_bound(j));
}

static bool is_any_need_stated(const aw_scenario *s)
{
    for (size_t i = 0; i < s->n_zones; i++)
        if (aw_need_is_stated(&s->zones[i].need))
            return true;
    return false;
}

static bool take_memory(aw_placing *p, const aw_scenario *s)
{
    p->anchors = calloc(p->candidates.n + s->n_anchors + 1, sizeof *p->anchors);
    p->zones = calloc(s->n_zones + 1, sizeof *p->zones);
    p->confirmed = calloc(s->n_zones + 1, sizeof *p->confirmed);
    p->all = calloc(s->n_zones + 1, sizeof *p->all);
    if (!p->anchors || !p->zones || !p->confirmed || !p->all)
        return false;
    for (size_t i = 0; i < s->n_zones; i++)
        p->zones[i].verdict = p->confirmed[i].verdict = p->all[i].verdict = AW_NO_NEED;
    return true;
}

bool aw_placing_run(aw_placing *p, const aw_placing_plan *plan, const aw_run *run)
{
    aw_errors *errors = run->errors;
    const aw_scenario *s = plan->scenario;
    *p = (aw_placing){.end = AW_PLACING_NOT_FOUND,
                      .n_zones = s->n_zones,
                      .price = (double)NAN,
                      .bound = (double)NAN,
                      .verdict = AW_NO_NEED,
                      .confirmed_verdict = AW_NO_NEED};
    job j = {.p = p, .plan = plan, .run = run, .scenario = s};
    const size_t before = errors->n_errors;
    if (!is_any_need_stated(s)) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "no zone states a need, so there is nothing to meet");
        return false;
    }
    if (!aw_candidates_list(&p->candidates, s, plan->keep, errors))
        return false;
    const bool done = take_memory(p, s) && place(&j);
    if (!done && !aw_run_stopped(run) && errors->n_errors == before)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the placing");
    aw_look_free(&j.choice.confirmed);
    aw_looks_free(&j.looks);
    aw_search_free(&j.search);
    aw_fitness_free(&j.fitness);
    aw_views_free(&j.views);
    p->stopped = aw_run_stopped(run);
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
    free(p->all);
    *p = (aw_placing){0};
}
