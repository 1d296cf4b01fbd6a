/* Drops are ranked afresh for every size of chunk. Where a ratio is to be kept, few draws tell on
 * the way down, against what they give of the layout that it begins with; all draws tell how far
 * down that holds. */
#include "place/take_away.h"

#include <math.h>
#include <stdlib.h>

#include "place/lessons.h"

#define NONE AW_NO_CANDIDATE

typedef struct job {
    aw_looks *looks;
    double most; /* ratio at a glance; NaN: a margin in every part is to be kept */
    aw_looked *now;
    aw_looked **way; /* each layout that did, the first one first */
    size_t n_way;
    aw_drop *drops;
    size_t n_drops;
    aw_trial *trials;
    size_t *left;
} job;

static bool will_do(const job *j, const aw_looked *l)
{
    return isnan(j->most) ? aw_looked_has_margin(j->looks, l) : l->ratio <= j->most;
}

/* What each drop misses, the least first. False if stopped. */
static bool rank(job *j)
{
    const aw_candidates *c = j->looks->candidates;
    j->n_drops = 0;
    aw_fitness_set(j->looks->fitness, j->now->at, j->now->n);
    for (size_t i = 0; i < j->now->n; i++)
        if (!c->list[j->now->at[i]].kept)
            j->trials[j->n_drops++] = (aw_trial){j->now->at[i], NONE, 0};
    if (!aw_fitness_try(j->looks->fitness, j->trials, j->n_drops, HUGE_VAL, true))
        return false;
    for (size_t i = 0; i < j->n_drops; i++)
        j->drops[i] =
            (aw_drop){j->trials[i].out, j->trials[i].shortfall, c->list[j->trials[i].out].price};
    qsort(j->drops, j->n_drops, sizeof *j->drops, aw_drop_compare);
    return true;
}

/* `now` without drops [from, to), into `left`; how many. */
static size_t without(job *j, size_t from, size_t to)
{
    size_t n = 0;
    for (size_t i = 0; i < j->now->n; i++) {
        bool gone = false;
        for (size_t k = from; k < to; k++)
            gone = gone || j->drops[k].which == j->now->at[i];
        if (!gone)
            j->left[n++] = j->now->at[i];
    }
    return n;
}

/* All chunks of a size once. 1 if any went, 0 if none, -1 if stopped. */
static int pass(job *j, size_t chunk)
{
    int gone = 0;
    if (!rank(j))
        return -1;
    for (size_t from = 0; from < j->n_drops; from += chunk) {
        const size_t to = from + chunk < j->n_drops ? from + chunk : j->n_drops;
        const size_t n = without(j, from, to);
        if (n == 0 || n == j->now->n)
            continue;
        aw_looked *l = aw_looks_at(j->looks, j->left, n, true);
        if (l == NULL)
            return -1;
        if (will_do(j, l)) {
            j->now = j->way[j->n_way++] = l;
            gone = 1;
        }
    }
    return gone;
}

/* Down by chunks. -1 if stopped or in trouble. */
static int go_down(job *j)
{
    int going = 1;
    for (size_t chunk = j->now->n / 2; going >= 0 && chunk > 1; chunk = chunk / 2)
        going = pass(j, chunk);
    do
        going = going >= 0 ? pass(j, 1) : -1;
    while (going > 0);
    return going;
}

/* The last layout on the way whose ratio by all draws is within that, by halving. False if stopped.
 */
static bool find_last(job *j, double most_ratio)
{
    size_t low = 0, high = j->n_way;
    for (size_t k = j->n_way - 1; high - low > 1; k = (low + high) / 2) {
        const aw_looked *l = aw_looks_at(j->looks, j->way[k]->at, j->way[k]->n, false);
        if (l == NULL)
            return false;
        if (l->ratio <= most_ratio)
            low = k;
        else
            high = k;
    }
    j->now = j->way[low];
    return true;
}

static bool take_away(job *j, double most_ratio)
{
    aw_lessons_learn(j->looks->fitness, j->now, false);
    if (!isnan(most_ratio)) {
        const double glance = aw_looks_glance(j->looks, j->now);
        j->most = isfinite(most_ratio) ? glance * most_ratio / j->now->ratio : most_ratio;
        if (isnan(glance))
            return false;
    }
    j->looks->at_a_glance = !isnan(most_ratio);
    const bool done = go_down(j) >= 0;
    j->looks->at_a_glance = false;
    return done && (isnan(most_ratio) || find_last(j, most_ratio));
}

aw_looked *aw_take_away(aw_looks *looks, aw_looked *from, double most_ratio)
{
    const size_t room = from->n + 1;
    job j = {.looks = looks,
             .most = (double)NAN,
             .now = from,
             .way = calloc(room, sizeof *j.way),
             .n_way = 1,
             .drops = calloc(room, sizeof *j.drops),
             .trials = calloc(room, sizeof *j.trials),
             .left = calloc(room, sizeof *j.left)};
    bool done = j.way && j.drops && j.trials && j.left;
    if (!done)
        aw_errors_add(looks->run.errors, AW_ERROR, 0, 0, "out of memory for the draws");
    else
        j.way[0] = from;
    done = done && take_away(&j, most_ratio);
    free(j.way);
    free(j.drops);
    free(j.trials);
    free(j.left);
    return done ? j.now : NULL;
}
