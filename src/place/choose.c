/* A first layout that a look meets; cheaper ones from it; the race. What the race throws out, asks
 * for more and the turn begins again. Where searches end without any, all candidates tell whether
 * there is one, and anchors are taken away from them. */
#include "place/choose.h"

#include <math.h>
#include <string.h>

#include "place/lessons.h"
#include "place/take_away.h"

/* Layouts looked at until one is met. */
#define CLIMBS 24
/* After so many, every refusal counts for one more. */
#define PRESSING 4
/* After so many, all candidates tell whether more are worth it, by the ratio that they have. */
#define FAR_SHORT 1.25
/* Turns of looking for cheaper ones, the steps of each, layouts looked at in a step. */
#define TURNS 8
#define STEPS 10
#define FEW   5
/* Turns of search and race. */
#define ROUNDS 8
/* How much cheaper is worth a look. */
#define CHEAPER 0.99
/* A lesson is learned from a layout that is no further off than that. */
#define NEAR 1.15
/* Layouts that fall short as little as the least do so by a ratio of at most so much of its. */
#define AS_LITTLE 1.02

/* --- what was drawn --- */

/* Of equal prices the one with more to spare. */
static bool is_cheaper(const aw_looked *a, const aw_looked *b)
{
    return b == NULL || a->price < b->price - 1e-9 ||
           (a->price < b->price + 1e-9 && a->ratio < b->ratio);
}

/* The cheapest that meets every need by its first look and is not out. */
static aw_looked *cheapest_met(const aw_looks *looks)
{
    aw_looked *best = NULL;
    for (size_t i = 0; i < looks->n; i++) {
        aw_looked *l = looks->list[i];
        if (l->first.verdict == AW_MET && l->race != AW_RACE_OUT && is_cheaper(l, best))
            best = l;
    }
    return best;
}

/* The cheapest of those whose ratio is no worse than that. */
static aw_looked *cheapest_within(const aw_looks *looks, double ratio)
{
    aw_looked *best = NULL;
    for (size_t i = 0; i < looks->n; i++) {
        aw_looked *l = looks->list[i];
        if (l->at != NULL && !l->few && l->ratio <= ratio && is_cheaper(l, best))
            best = l;
    }
    return best;
}

bool aw_choice_is_met(const aw_choice *c)
{
    for (size_t i = 0; i < c->looks->n; i++)
        if (c->looks->list[i]->at != NULL && c->looks->list[i]->first.verdict == AW_MET)
            return true;
    return false;
}

static double least_ratio(const aw_looks *looks)
{
    double least = HUGE_VAL;
    for (size_t i = 0; i < looks->n; i++)
        if (looks->list[i]->at != NULL && !looks->list[i]->few)
            least = fmin(least, looks->list[i]->ratio);
    return least;
}

aw_looked *aw_choice_nearest(const aw_choice *c)
{
    const aw_looks *looks = c->looks;
    aw_looked *best = NULL;
    double most = 0;
    for (size_t i = 0; i < looks->n; i++) {
        aw_looked *l = looks->list[i];
        const double met = (double)(l->n_looks - l->n_unmet) / (double)l->n_looks;
        if (l->at == NULL || l->first.verdict != AW_MET)
            continue;
        if (met > most || (met >= most && is_cheaper(l, best))) {
            best = l;
            most = met;
        }
    }
    return best != NULL ? best : cheapest_within(looks, least_ratio(looks) * AS_LITTLE);
}

/* --- search and draws --- */

/* The layout whose lessons serve a search for cheaper ones. */
static void learn_for_cheaper(aw_choice *c)
{
    const double least = least_ratio(c->looks);
    const aw_looked *teacher = cheapest_within(c->looks, fmax(least, NEAR));
    if (teacher != NULL)
        aw_lessons_learn(c->looks->fitness, teacher, true);
}

/* Draws refused it: searches walk round it, and are asked for more. */
static bool refuse(aw_choice *c, aw_looked *const layouts[], size_t n)
{
    bool done = n == 0 || aw_lessons_harden(c->looks->fitness, layouts, n);
    for (size_t i = 0; done && i < n; i++)
        done = aw_pool_refuse(&c->search->pool, layouts[i]->key);
    if (!done)
        aw_errors_add(c->looks->run.errors, AW_ERROR, 0, 0, "out of memory for the search");
    return done;
}

/* What the search ends with, drawn; NULL if stopped. `fresh` says that it was not seen before. */
static aw_looked *look_at_end(aw_choice *c, bool *fresh)
{
    const aw_chosen *end = &c->search->best;
    *fresh = aw_looks_find(c->looks, aw_layout_key(end->at, end->n)) == NULL;
    return aw_looks_at(c->looks, end->at, end->n, false);
}

/* Whether all candidates together fall so far short, by linear estimates, that it is not worth to
 * go on climbing; more anchors are not always better, so a little short says nothing. */
static bool is_vain(aw_choice *c)
{
    aw_fitness *f = c->looks->fitness;
    size_t all[AW_MOST_CANDIDATES];
    double most = 0;
    for (size_t i = 0; i < c->looks->candidates->n; i++)
        all[i] = i;
    aw_fitness_set(f, all, c->looks->candidates->n);
    for (size_t i = 0; i < f->views->n_zones; i++) {
        const aw_calibration plain = aw_calibration_of(&f->views->zones[i].need);
        most = fmax(most, aw_linear_score(f, i, &plain));
    }
    return most > FAR_SHORT;
}

/* Looks at what the search ends with until a look is met. Where it ends with what it knows, it
 * begins afresh, and what falls short counts for more. */
static bool climb(aw_choice *c)
{
    bool fresh = true, again = false;
    for (size_t k = 0; k < CLIMBS && c->best == NULL && (fresh || !again); k++) {
        if (k == PRESSING && is_vain(c))
            return true;
        again = !fresh;
        aw_looked *l = look_at_end(c, &fresh);
        if (l == NULL)
            return false;
        if (l->first.verdict == AW_MET && l->race != AW_RACE_OUT) {
            c->best = l;
            return true;
        }
        if (k == 0 && l->ratio < NEAR)
            aw_lessons_learn(c->looks->fitness, l, false);
        for (size_t i = 0; i <= k / PRESSING; i++)
            if (!refuse(c, &l, 1))
                return false;
        const bool going =
            fresh ? aw_search_from(c->search, l->at, l->n) : aw_search_run(c->search);
        if (!going)
            return false;
    }
    return true;
}

/* Looks at the cheapest of the pool that are worth it, up to the first that is met, which is the
 * best then; how many, -1 if stopped. */
static int look_at_pool(aw_choice *c)
{
    const aw_pool *p = &c->search->pool;
    const double below = c->best->price * CHEAPER;
    aw_looked *refused[FEW];
    int n = 0;
    bool met = false;
    for (size_t i = 0; i < p->n && n < FEW && !met && p->list[i].price <= below; i++) {
        if (aw_looks_find(c->looks, p->keys[i]) != NULL)
            continue;
        aw_looked *l = aw_looks_at(c->looks, p->list[i].at, p->list[i].n, true);
        if (l == NULL)
            return -1;
        met = l->first.verdict == AW_MET;
        if (met)
            c->best = l;
        else
            refused[n] = l;
        n++;
    }
    if (!refuse(c, refused, (size_t)(n - met)))
        return -1;
    aw_lessons_ease(c->looks->fitness, c->best);
    return n;
}

/* One turn: lessons loose, then harder with every refusal. 1 if the best got cheaper, 0 if not, -1
 * if stopped. */
static int take_turn(aw_choice *c, bool afresh)
{
    const aw_looked *before = c->best;
    learn_for_cheaper(c);
    for (size_t step = 0; step < STEPS; step++) {
        const bool searched = step == 0 && afresh
                                  ? aw_search_run(c->search)
                                  : aw_search_from(c->search, c->best->at, c->best->n);
        const int n = searched ? look_at_pool(c) : -1;
        if (n < 0)
            return -1;
        if (n == 0 && step > 0)
            break;
    }
    return c->best != before;
}

static bool cheapen(aw_choice *c, bool afresh)
{
    int better = 1;
    for (size_t k = 0; k < TURNS && better > 0; k++)
        better = take_turn(c, afresh && k == 0);
    return better >= 0;
}

/* --- the race --- */

bool aw_choose_proved(aw_choice *c, aw_looked *l, bool *holds)
{
    while (l->race == AW_RACE_ON)
        if (!aw_looks_again(c->looks, l))
            return false;
    *holds = false;
    if (l->race != AW_RACE_HOLDS)
        return true;
    c->seed = aw_look_seed(c->looks->scenario->study.seed, 0, ++c->n_confirmations);
    aw_look_free(&c->confirmed);
    if (!aw_looks_confirm(c->looks, l, c->seed, &c->confirmed))
        return false;
    *holds = c->confirmed.verdict == AW_MET;
    l->race = *holds ? AW_RACE_HOLDS : AW_RACE_OUT;
    return true;
}

/* The cheapest first, until one is proved or none is left. */
static bool race(aw_choice *c)
{
    for (;;) {
        aw_looked *l = cheapest_met(c->looks);
        bool holds = false;
        c->best = l;
        if (l == NULL)
            return true;
        if (!aw_choose_proved(c, l, &holds))
            return false;
        if (holds) {
            c->winner = l;
            return true;
        }
        if (!refuse(c, &l, 1))
            return false;
    }
}

/* The layout that the race left nearest, to start from for a dearer one. */
static bool search_beside(aw_choice *c)
{
    const aw_looked *l = aw_choice_nearest(c);
    return aw_search_from(c->search, l->at, l->n);
}

/* --- all candidates --- */

/* With the worst cell, for what is told of them. */
static bool look_at_all(aw_choice *c)
{
    const size_t n = c->looks->candidates->n;
    size_t all[AW_MOST_CANDIDATES];
    for (size_t i = 0; i < n; i++)
        all[i] = i;
    const aw_judging judging = c->looks->judging;
    c->looks->judging = AW_JUDGE_ALL;
    c->all = aw_looks_at(c->looks, all, n, false);
    c->looks->judging = judging;
    return c->all != NULL;
}

/* From all candidates, or where these fall short from what falls short as little, to a layout that
 * is not larger than need be. */
static bool come_down(aw_choice *c, bool met)
{
    const double least = least_ratio(c->looks);
    aw_looked *from = met ? c->all : cheapest_within(c->looks, least * AS_LITTLE);
    aw_looked *l = aw_take_away(c->looks, from, met ? (double)NAN : least * AS_LITTLE);
    if (l == NULL)
        return false;
    c->best = l->first.verdict == AW_MET && l->race != AW_RACE_OUT ? l : NULL;
    return c->best == NULL || (cheapen(c, false) && race(c));
}

/* Search and race in turns; where these find none, from all candidates if they have a margin. */
static bool take_turns(aw_choice *c)
{
    if (!aw_search_run(c->search))
        return false;
    for (size_t k = 0; k < ROUNDS && c->winner == NULL; k++) {
        if (!climb(c))
            return false;
        if (c->best == NULL)
            break;
        if (!cheapen(c, k == 0) || !race(c))
            return false;
        if (c->winner == NULL && !search_beside(c))
            return false;
    }
    if (c->winner != NULL)
        return true;
    return look_at_all(c) && (!aw_looked_has_margin(c->looks, c->all) || come_down(c, true));
}

static void begin_by_value(aw_choice *c)
{
    aw_looks_forget(c->looks);
    c->looks->by_value = true;
    c->best = c->all = NULL;
    c->search->pool.n_refused = 0;
    aw_fitness_forget(c->looks->fitness);
}

bool aw_choose(aw_choice *c)
{
    if (!take_turns(c))
        return false;
    if (c->winner == NULL && aw_looks_differ_by_value(c->looks)) {
        begin_by_value(c);
        if (!take_turns(c))
            return false;
    }
    return c->winner != NULL || aw_choice_is_met(c) || come_down(c, false);
}
