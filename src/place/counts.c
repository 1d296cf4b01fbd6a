/* Linear estimates are asked for a little less than the worst zone has, again and again, until
 * exchanges do not give it; that zone then keeps what it has, and the next one is seen to. */
#include "place/counts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "assess/parts.h"
#include "place/lessons.h"

#define NONE AW_NO_CANDIDATE
/* What the worst zone is asked for next, of what it has; and where that fails. */
#define STEP 0.9
#define FINE 0.97
/* A zone without a position is asked for one, however poor. */
#define FAR 1e6
/* Laws that a look at exchanges is worth: a sweep searches for dozens of layouts. */
#define WORTH 10000
/* Steps of one layout at most. */
#define STEPS 24
/* Layouts whose scores differ by less rank alike; a layout that is so much worse by linear
 * estimates is not drawn. */
#define ALIKE     1e-6
#define FAR_WORSE 0.1
/* What better linear estimates are worth a look. */
#define WORTH_DRAWING 0.01

bool aw_counts_create(aw_counts *c, aw_looks *looks, aw_search *search)
{
    const size_t zones = looks->views->n_zones;
    *c = (aw_counts){.looks = looks, .search = search, .few = *looks, .scenario = *looks->scenario};
    search->worth = WORTH;
    c->few.scenario = &c->scenario;
    if (c->scenario.study.draws > AW_FIRST_LOOK)
        c->scenario.study.draws = AW_FIRST_LOOK;
    c->scenario.study.precision = (double)NAN;
    c->memory = calloc(7 * zones + 1, sizeof *c->memory);
    c->layout[0] = calloc(2 * search->room + 1, sizeof **c->layout);
    if (c->memory == NULL || c->layout[0] == NULL)
        return false;
    c->layout[1] = c->layout[0] + search->room;
    c->own = c->memory;
    c->other = c->own + zones;
    c->level = c->other + zones;
    for (size_t k = 0; k < 2; k++) {
        c->linear[k] = c->level + (1 + k) * zones;
        c->sorted[k] = c->level + (3 + k) * zones;
    }
    return true;
}

void aw_counts_free(aw_counts *c)
{
    aw_looks_free(&c->few);
    free(c->memory);
    free(c->layout[0]);
    *c = (aw_counts){0};
}

/* --- scores --- */

double aw_zone_score(const aw_need *need, const aw_zone_result *r)
{
    double most = r->errors.fix_share > 0 ? 0 : HUGE_VAL;
    for (int part = 0; part < AW_PART_ODDS; part++) {
        const double asked = aw_need_asks(need, (aw_part)part);
        if (!isnan(asked))
            most = fmax(most, aw_part_ratio((aw_part)part, r->parts[part].found.value, asked));
    }
    return most;
}

static void score_drawn(const aw_counts *c, const aw_looked *l, double score[])
{
    const aw_views *v = c->looks->views;
    for (size_t i = 0; i < v->n_zones; i++)
        score[i] = aw_zone_score(&v->zones[i].need, &l->first.zones[i]);
}

double aw_counts_score(const aw_counts *c, const aw_looked *l)
{
    double most = 0;
    const aw_views *v = c->looks->views;
    for (size_t i = 0; i < v->n_zones; i++)
        most = fmax(most, aw_zone_score(&v->zones[i].need, &l->first.zones[i]));
    return most;
}

static void score_linear(const aw_counts *c, const size_t layout[], size_t n, double score[])
{
    aw_fitness *f = c->search->fitness;
    aw_fitness_set(f, layout, n);
    for (size_t i = 0; i < f->views->n_zones; i++)
        score[i] = aw_linear_score(f, i, &f->calibrations[i]);
}

static int descending(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x < y) - (x > y);
}

/* Below 0 if the first layout is the better one by more than `alike` of a score. */
static int compare(const aw_counts *c, const double a[], const double b[], double alike)
{
    const size_t n = c->looks->views->n_zones;
    memcpy(c->sorted[0], a, n * sizeof *a);
    memcpy(c->sorted[1], b, n * sizeof *b);
    qsort(c->sorted[0], n, sizeof *a, descending);
    qsort(c->sorted[1], n, sizeof *b, descending);
    for (size_t i = 0; i < n; i++) {
        const double x = c->sorted[0][i], y = c->sorted[1][i];
        if (x * (1 + alike) < y)
            return -1;
        if (y * (1 + alike) < x)
            return 1;
    }
    return 0;
}

/* --- linear estimates --- */

/* Asks every zone that has no level of its own for `step` of what the worst of them has; that zone,
 * or NONE if none is left. */
static size_t set_goals(const aw_counts *c, const double score[], double step)
{
    aw_fitness *f = c->search->fitness;
    size_t worst = NONE;
    for (size_t i = 0; i < f->views->n_zones; i++)
        if (isnan(c->level[i]) && (worst == NONE || score[i] > score[worst]))
            worst = i;
    for (size_t i = 0; worst != NONE && i < f->views->n_zones; i++)
        f->calibrations[i].goal = fmin(isnan(c->level[i]) ? step * score[worst] : c->level[i], FAR);
    return worst;
}

/* Exchanges from a layout until no zone gets better at the cost of none that is worse. False if
 * stopped. */
static bool improve(aw_counts *c, size_t layout[], size_t n)
{
    const size_t zones = c->looks->views->n_zones;
    double step = STEP;
    for (size_t i = 0; i < zones; i++)
        c->level[i] = (double)NAN;
    score_linear(c, layout, n, c->own);
    for (size_t k = 0; k < STEPS; k++) {
        const size_t worst = set_goals(c, c->own, step);
        if (worst == NONE)
            break;
        if (!aw_search_exchange(c->search, layout, n))
            return false;
        const aw_chosen *best = &c->search->best;
        score_linear(c, best->at, n, c->other);
        if (compare(c, c->other, c->own, ALIKE) < 0) {
            memcpy(layout, best->at, n * sizeof *layout);
            memcpy(c->own, c->other, zones * sizeof *c->own);
            step = STEP;
        } else if (step < FINE && isfinite(c->own[worst])) {
            step = FINE;
        } else {
            c->level[worst] = c->own[worst] * (1 + ALIKE);
            step = STEP;
        }
    }
    return true;
}

/* Into the first layout the one before with one more anchor: that improves the worst zone most or,
 * if `harmless`, harms none. False if stopped. */
static bool add_one(aw_counts *c, bool harmless)
{
    const aw_looked *last = c->last;
    for (size_t i = 0; i < c->looks->views->n_zones; i++)
        c->level[i] = (double)NAN;
    score_linear(c, last->at, last->n, c->own);
    set_goals(c, c->own, STEP);
    for (size_t i = 0; harmless && i < c->looks->views->n_zones; i++)
        c->search->fitness->calibrations[i].goal = fmin(c->own[i], FAR);
    if (!aw_search_add(c->search, last->at, last->n))
        return false;
    memcpy(c->layout[0], c->search->best.at, c->search->best.n * sizeof **c->layout);
    return true;
}

/* --- draws --- */

/* Draws a layout by few draws and takes it if it is better than the best. False if stopped or in
 * trouble. */
static bool draw(aw_counts *c, const size_t layout[], size_t n, aw_looked **best)
{
    aw_looked *l = aw_looks_at(&c->few, layout, n, false);
    if (l == NULL)
        return false;
    if (*best != NULL) {
        score_drawn(c, l, c->own);
        score_drawn(c, *best, c->other);
    }
    if (*best == NULL || compare(c, c->own, c->other, ALIKE) < 0)
        *best = l;
    return true;
}

/* Improves a start and scores it. False if stopped. */
static bool finish(aw_counts *c, size_t k, size_t n)
{
    if (!improve(c, c->layout[k], n))
        return false;
    score_linear(c, c->layout[k], n, c->linear[k]);
    return true;
}

/* From the layout before and from a greedy start; of these the better one is drawn, and the other
 * if it is not far worse. False if stopped or in trouble. */
static bool search(aw_counts *c, size_t n, aw_looked **best)
{
    const bool both = c->last != NULL;
    if (both && (!add_one(c, false) || !finish(c, 0, n)))
        return false;
    if (!aw_search_greedy(c->search, n))
        return false;
    memcpy(c->layout[1], c->search->best.at, n * sizeof **c->layout);
    if (!finish(c, 1, n))
        return false;
    const size_t first = both && compare(c, c->linear[0], c->linear[1], ALIKE) <= 0 ? 0 : 1;
    if (!draw(c, c->layout[first], n, best))
        return false;
    return !both || compare(c, c->linear[1 - first], c->linear[first], FAR_WORSE) > 0 ||
           draw(c, c->layout[1 - first], n, best);
}

/* Once more, by what the draws of the best taught. False if stopped or in trouble. */
static bool search_again(aw_counts *c, size_t n, aw_looked **best)
{
    aw_lessons_learn(c->search->fitness, *best, false);
    memcpy(c->layout[0], (*best)->at, n * sizeof **c->layout);
    score_linear(c, c->layout[0], n, c->linear[1]);
    return finish(c, 0, n) && (compare(c, c->linear[0], c->linear[1], WORTH_DRAWING) >= 0 ||
                               draw(c, c->layout[0], n, best));
}

static void learn_from_last(aw_counts *c)
{
    if (c->last != NULL)
        aw_lessons_learn(c->search->fitness, c->last, false);
    else
        aw_fitness_forget(c->search->fitness);
}

bool aw_counts_next(aw_counts *c, size_t n)
{
    aw_looked *best = NULL;
    learn_from_last(c);
    if (!search(c, n, &best) || !search_again(c, n, &best))
        return false;
    aw_looked *own = aw_looks_at(c->looks, best->at, n, false);
    if (own == NULL)
        return false;
    if (c->last != NULL && aw_counts_score(c, own) > aw_counts_score(c, c->last)) {
        learn_from_last(c);
        if (!add_one(c, true))
            return false;
        aw_looked *l = aw_looks_at(c->looks, c->layout[0], n, false);
        if (l == NULL)
            return false;
        own = aw_counts_score(c, l) < aw_counts_score(c, own) ? l : own;
    }
    c->last = own;
    return true;
}
