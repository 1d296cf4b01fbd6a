/* Drops are ranked afresh for every size of chunk. */
#include "place/take_away.h"

#include <math.h>
#include <stdlib.h>

#include "place/lessons.h"

#define NONE AW_NO_CANDIDATE

typedef struct job {
    aw_looks *looks;
    double most_ratio;
    aw_looked *now;
    aw_drop *drops;
    size_t n_drops;
    aw_trial *trials;
    size_t *left;
} job;

static bool will_do(const job *j, const aw_looked *l)
{
    return isnan(j->most_ratio) ? aw_looked_has_margin(j->looks, l)
                                : !l->few && l->ratio <= j->most_ratio;
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
            j->now = l;
            gone = 1;
        }
    }
    return gone;
}

aw_looked *aw_take_away(aw_looks *looks, aw_looked *from, double most_ratio)
{
    const size_t room = from->n + 1;
    job j = {looks,
             most_ratio,
             from,
             calloc(room, sizeof *j.drops),
             0,
             calloc(room, sizeof *j.trials),
             calloc(room, sizeof *j.left)};
    const bool ready = j.drops && j.trials && j.left;
    int going = ready ? 1 : -1;
    if (!ready)
        aw_errors_add(looks->run.errors, AW_ERROR, 0, 0, "out of memory for the draws");
    else
        aw_lessons_learn(looks->fitness, from, false);
    looks->most_ratio = isnan(most_ratio) ? 0 : most_ratio;
    for (size_t chunk = from->n / 2; going >= 0 && chunk > 1; chunk = chunk / 2)
        going = pass(&j, chunk);
    do
        going = going >= 0 ? pass(&j, 1) : -1;
    while (going > 0);
    looks->most_ratio = 0;
    free(j.drops);
    free(j.trials);
    free(j.left);
    return going < 0 ? NULL : j.now;
}
