/* A quick figure ranks every exchange, the exact ones of the first few decide. A layout that meets
 * every need loses an anchor and is mended for less money; where that fails from several drops and
 * kicks, it stands. */
#include "place/search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NONE AW_NO_CANDIDATE
/* Exchanges looked at closely: so many cells' worth, within limits. */
#define WORTH 60000
#define FEW   12
#define MANY  400
/* Of these again, by all cells where the first look was a thin one. */
#define AGAIN 8
/* Of these so many at a time. */
#define BATCH 8
/* Drops that are mended, kicks of a layout that is stuck. */
#define DROPS 4
#define KICKS 6
#define LEAST 1e-9
/* Anchors of a layout beside the kept ones. */
#define MOST_ANCHORS 160
/* A layout that draws refused counts as missing so much. */
#define REFUSED 0.002
/* A greedy start ends where so many additions in a row hardly help. */
#define PATIENCE 24
#define HARDLY   0.999

static const aw_candidate *candidate(const aw_search *s, size_t c)
{
    return &s->fitness->views->candidates->list[c];
}

static size_t n_candidates(const aw_search *s)
{
    return s->fitness->views->candidates->n;
}

static size_t n_kept(const aw_search *s)
{
    return s->fitness->views->candidates->n_kept;
}

bool aw_search_create(aw_search *s, aw_fitness *f, uint64_t seed)
{
    const size_t n = f->views->candidates->n;
    *s = (aw_search){.fitness = f, .state = seed};
    s->room = MOST_ANCHORS + f->views->candidates->n_kept;
    s->room = n < s->room ? n : s->room;
    s->have = calloc(f->views->n_cells * f->views->n_states + 1, sizeof *s->have);
    s->best.at = calloc(s->room + 1, sizeof *s->best.at);
    s->now.at = calloc(s->room + 1, sizeof *s->now.at);
    s->score = calloc((s->room + 1) * n + 1, sizeof *s->score);
    s->exchanges = calloc((s->room + 1) * n + 1, sizeof *s->exchanges);
    s->trials = calloc(MANY + s->room + 1, sizeof *s->trials);
    s->best.shortfall = HUGE_VAL;
    s->held = n_kept(s);
    s->worth = WORTH;
    return aw_pool_create(&s->pool, s->room) && s->best.at && s->now.at && s->score &&
           s->exchanges && s->trials && s->have;
}

void aw_search_free(aw_search *s)
{
    aw_pool_free(&s->pool);
    free(s->have);
    free(s->best.at);
    free(s->now.at);
    free(s->score);
    free(s->exchanges);
    free(s->trials);
    *s = (aw_search){0};
}

static size_t pick(aw_search *s, size_t n)
{
    return (size_t)(aw_mix(s->state += 0x9E3779B97F4A7C15u) % n);
}

static bool is_in(const aw_chosen *l, size_t c)
{
    for (size_t i = 0; i < l->n; i++)
        if (l->at[i] == c)
            return true;
    return false;
}

static void copy(aw_chosen *to, const aw_chosen *from)
{
    memcpy(to->at, from->at, from->n * sizeof *to->at);
    to->n = from->n;
    to->price = from->price;
    to->shortfall = from->shortfall;
}

/* What a layout is to count as missing. */
static double shortfall_with(const aw_search *s, uint64_t key, double shortfall)
{
    return aw_pool_refuses(&s->pool, key) ? fmax(shortfall, REFUSED) : shortfall;
}

/* Takes `now` as it stands. */
static void settle(aw_search *s)
{
    const uint64_t key = aw_layout_key(s->now.at, s->now.n);
    s->now.price = 0;
    for (size_t i = 0; i < s->now.n; i++)
        s->now.price += candidate(s, s->now.at[i])->price;
    aw_fitness_set(s->fitness, s->now.at, s->now.n);
    s->now.shortfall = shortfall_with(s, key, aw_fitness_now(s->fitness));
    if (s->now.shortfall == 0)
        aw_pool_add(&s->pool, &s->now, NONE, NONE, s->now.price, key);
}

static bool is_better(const aw_chosen *a, const aw_chosen *b)
{
    if (a->shortfall != b->shortfall)
        return a->shortfall < b->shortfall;
    return a->price < b->price - LEAST;
}

static void note(aw_search *s)
{
    if (is_better(&s->now, &s->best))
        copy(&s->best, &s->now);
}

static void exchange(aw_search *s, size_t slot, size_t in)
{
    aw_chosen *l = &s->now;
    if (in == NONE)
        memmove(&l->at[slot], &l->at[slot + 1], (--l->n - slot) * sizeof *l->at);
    else
        l->at[slot] = in;
    l->n += slot == l->n && in != NONE;
    settle(s);
}

/* --- exchanges --- */

static int compare_exchanges(const void *a, const void *b)
{
    const aw_exchange *e = a, *f = b;
    if (e->score != f->score)
        return e->score < f->score ? -1 : 1;
    if (e->slot != f->slot)
        return e->slot < f->slot ? -1 : 1;
    return e->in < f->in ? -1 : 1;
}

/* How many exchanges the size of the site lets us look at closely. */
static size_t how_many(const aw_search *s)
{
    const size_t times = s->fitness->sturdy ? s->now.n + 1 : 1;
    const size_t n = s->worth / (s->fitness->n_thin * times + 1);
    return n < FEW ? FEW : n > MANY ? MANY : n;
}

/* Exchanges of what is not kept that cost less than `below` in all, by the sweep's figure; how
 * many, NONE if stopped. */
static size_t rank(aw_search *s, double below)
{
    const size_t all = n_candidates(s), free_slots = s->now.n < s->room;
    size_t n = 0;
    if (!aw_views_sweep(s->fitness->views, s->now.at, s->now.n, s->held, &s->fitness->run,
                        s->score))
        return NONE;
    for (size_t slot = s->held; slot < s->now.n + free_slots; slot++)
        for (size_t c = 0; c < all; c++) {
            const double old = slot < s->now.n ? candidate(s, s->now.at[slot])->price : 0;
            if (!is_in(&s->now, c) && s->now.price - old + candidate(s, c)->price < below - LEAST)
                s->exchanges[n++] = (aw_exchange){slot, c, s->score[slot * all + c]};
        }
    qsort(s->exchanges, n, sizeof *s->exchanges, compare_exchanges);
    return n;
}

typedef struct tried {
    aw_exchange exchange;
    double shortfall, price;
} tried;

static int compare_tried(const void *a, const void *b)
{
    const tried *t = a, *u = b;
    if (t->shortfall != u->shortfall)
        return t->shortfall < u->shortfall ? -1 : 1;
    if (t->price != u->price)
        return t->price < u->price ? -1 : 1;
    return compare_exchanges(&t->exchange, &u->exchange);
}

/* Shortfalls and prices of n of a list; beyond `enough` a shortfall is only known to be. What meets
 * every need by all cells is remembered. False if stopped. */
static bool try_some(aw_search *s, tried list[], size_t n, double enough, bool thin)
{
    const uint64_t key = aw_layout_key(s->now.at, s->now.n);
    for (size_t i = 0; i < n; i++) {
        const aw_exchange *e = &list[i].exchange;
        const size_t out = e->slot < s->now.n ? s->now.at[e->slot] : NONE;
        s->trials[i] = (aw_trial){out, e->in, 0};
        list[i].price = s->now.price + candidate(s, e->in)->price -
                        (out != NONE ? candidate(s, out)->price : 0);
    }
    if (!aw_fitness_try(s->fitness, s->trials, n, enough, thin))
        return false;
    for (size_t i = 0; i < n; i++) {
        const aw_trial *t = &s->trials[i];
        const uint64_t own = key ^ aw_candidate_key(t->out) ^ aw_candidate_key(t->in);
        list[i].shortfall = shortfall_with(s, own, t->shortfall);
        if (!thin && list[i].shortfall == 0)
            aw_pool_add(&s->pool, &s->now, t->out, t->in, list[i].price, own);
    }
    return true;
}

/* The same of a whole list, which is then sorted. Only its best `few` are wanted: batch by batch
 * the others are left as soon as they are known to be worse than those. */
static bool try_list(aw_search *s, tried list[], size_t n, size_t few, double enough, bool thin)
{
    for (size_t from = 0; from < n; from += BATCH) {
        const size_t more = n - from < BATCH ? n - from : BATCH;
        if (!try_some(s, list + from, more, enough, thin))
            return false;
        qsort(list, from + more, sizeof *list, compare_tried);
        if (from + more >= few)
            enough = fmin(enough, list[few - 1].shortfall);
    }
    return true;
}

/* The best exchange at a price below `below` whose shortfall is at most `enough`: of those that the
 * sweep puts first, the best few of a thin look by all cells. 1 found, 0 none, -1 stopped. */
static int find_exchange(aw_search *s, double below, double enough, tried *best)
{
    tried list[MANY];
    const bool thin = s->fitness->n_thin < s->fitness->views->n_cells;
    const size_t most = how_many(s);
    size_t n = rank(s, below);
    if (n == NONE)
        return -1;
    n = n < most ? n : most;
    for (size_t i = 0; i < n; i++)
        list[i].exchange = s->exchanges[i];
    if (!try_list(s, list, n, thin ? AGAIN : 1, thin ? HUGE_VAL : enough, thin))
        return -1;
    n = thin && n > AGAIN ? AGAIN : n;
    if (thin && !try_list(s, list, n, 1, enough, false))
        return -1;
    if (n == 0 || !(list[0].shortfall <= enough))
        return 0;
    *best = list[0];
    return 1;
}

/* Exchanges while they help, at a price below `below`. False if stopped. */
static bool mend(aw_search *s, double below)
{
    while (s->now.shortfall > 0) {
        tried best;
        const int found = find_exchange(s, below, s->now.shortfall * (1 - LEAST), &best);
        if (found <= 0)
            return found == 0;
        exchange(s, best.exchange.slot, best.exchange.in);
    }
    return true;
}

/* Exchanges for cheaper candidates while every need stays met. False if stopped. */
static bool cheapen(aw_search *s)
{
    for (;;) {
        tried best;
        const int found = find_exchange(s, s->now.price, 0, &best);
        if (found <= 0)
            return found == 0;
        exchange(s, best.exchange.slot, best.exchange.in);
    }
}

/* --- drops --- */

/* What each drop from `best` would miss, the least first, of equal ones the dearest. NONE if
 * stopped. */
static size_t rank_drops(aw_search *s, aw_drop list[])
{
    const size_t kept = n_kept(s), n = s->best.n - kept;
    copy(&s->now, &s->best);
    settle(s);
    for (size_t i = 0; i < n; i++)
        s->trials[i] = (aw_trial){s->now.at[kept + i], NONE, 0};
    if (!aw_fitness_try(s->fitness, s->trials, n, HUGE_VAL, true))
        return NONE;
    for (size_t i = 0; i < n; i++)
        list[i] =
            (aw_drop){kept + i, s->trials[i].shortfall, candidate(s, s->now.at[kept + i])->price};
    qsort(list, n, sizeof *list, aw_drop_compare);
    return n;
}

/* Two random exchanges of what is not kept. */
static void kick(aw_search *s)
{
    const size_t kept = n_kept(s);
    for (int i = 0; i < 2 && s->now.n > kept; i++) {
        const size_t slot = kept + pick(s, s->now.n - kept), in = pick(s, n_candidates(s));
        if (!is_in(&s->now, in))
            s->now.at[slot] = in;
    }
    settle(s);
}

/* Whether `now` is cheaper than the best and meets every need; takes it then. */
static bool take_if_better(aw_search *s)
{
    const bool better = is_better(&s->now, &s->best);
    note(s);
    return better;
}

/* Counts one try of as many as there may be. */
static void count_try(aw_search *s)
{
    if (s->fitness->run.watch != NULL)
        atomic_fetch_add(&s->fitness->run.watch->done, 1);
}

/* One anchor less, mended for less money than the best costs: 1 done, 0 not found, -1 stopped. */
static int descend_once(aw_search *s, aw_drop list[])
{
    const size_t n = rank_drops(s, list);
    if (n == NONE)
        return -1;
    aw_watch_stage(s->fitness->run.watch, (n < DROPS ? n : DROPS) + (size_t)s->kicks,
                   "cheaper than %zu anchors at %.6g", s->best.n, s->best.price);
    for (size_t i = 0; i < n && i < DROPS; i++, count_try(s)) {
        copy(&s->now, &s->best);
        exchange(s, list[i].which, NONE);
        if (!mend(s, s->best.price))
            return -1;
        if (take_if_better(s))
            return 1;
    }
    for (int k = 0; n > 0 && k < s->kicks; k++, count_try(s)) {
        copy(&s->now, &s->best);
        exchange(s, list[pick(s, n < DROPS ? n : DROPS)].which, NONE);
        kick(s);
        if (s->now.price < s->best.price - LEAST && !mend(s, s->best.price))
            return -1;
        if (s->now.price < s->best.price - LEAST && take_if_better(s))
            return 1;
    }
    return 0;
}

static bool descend(aw_search *s)
{
    aw_drop *list = calloc(s->room + 1, sizeof *list);
    int done = list != NULL ? 1 : -1;
    while (done == 1 && s->best.shortfall == 0) {
        copy(&s->now, &s->best);
        settle(s);
        if (!cheapen(s)) {
            done = -1;
            break;
        }
        note(s);
        done = descend_once(s, list);
    }
    free(list);
    return done >= 0;
}

/* The candidate that lowers the quick figure most for its price, or brings most links to cells that
 * have too few for a position: there the figure is as poor with one link as with none, and this is
 * the greedy choice of set multicover. NONE if stopped. */
static size_t find_addition(aw_search *s, double *figure)
{
    const size_t all = n_candidates(s), n = s->now.n;
    size_t best = NONE;
    double most = 0;
    if (!aw_views_sweep(s->fitness->views, s->now.at, n, n, &s->fitness->run, s->score))
        return NONE;
    aw_fitness_count(s->fitness, s->have);
    for (size_t c = 0; c < all; c++) {
        if (is_in(&s->now, c))
            continue;
        const double gained =
            *figure - s->score[n * all + c] + aw_views_reach(s->fitness->views, c, s->have);
        const double gain = gained / (candidate(s, c)->price + LEAST);
        if (best == NONE || gain > most) {
            best = c;
            most = gain;
        }
    }
    *figure = best != NONE ? s->score[n * all + best] : *figure;
    return best;
}

static void begin(aw_search *s, const size_t layout[], size_t n)
{
    s->pool.n = 0;
    s->best.shortfall = HUGE_VAL;
    s->now.n = n;
    for (size_t i = 0; i < n; i++)
        s->now.at[i] = layout != NULL ? layout[i] : i;
    settle(s);
}

/* Additions until every need is met or nothing helps any more; `best` is then the one that misses
 * least. False if stopped. */
static bool add_greedily(aw_search *s)
{
    double figure = (double)s->fitness->views->n_cells, least = s->now.shortfall;
    size_t idle = 0;
    aw_watch_stage(s->fitness->run.watch, 0, "anchors until every need is met");
    note(s);
    while (s->now.shortfall > 0 && s->now.n < s->room && idle < PATIENCE) {
        const size_t c = find_addition(s, &figure);
        if (c == NONE)
            return false;
        exchange(s, s->now.n, c);
        note(s);
        idle = s->now.shortfall < least * HARDLY ? 0 : idle + 1;
        least = fmin(least, s->now.shortfall);
    }
    return true;
}

bool aw_search_run(aw_search *s)
{
    s->kicks = KICKS;
    begin(s, NULL, n_kept(s));
    if (!add_greedily(s))
        return false;
    copy(&s->now, &s->best);
    settle(s);
    if (!mend(s, HUGE_VAL))
        return false;
    note(s);
    return descend(s);
}

bool aw_search_from(aw_search *s, const size_t layout[], size_t n)
{
    s->kicks = 0;
    begin(s, layout, n);
    note(s);
    if (!mend(s, HUGE_VAL))
        return false;
    note(s);
    return descend(s);
}

bool aw_search_exchange(aw_search *s, const size_t layout[], size_t n)
{
    const size_t room = s->room;
    s->room = n;
    begin(s, layout, n);
    note(s);
    const bool done = mend(s, HUGE_VAL);
    note(s);
    s->room = room;
    return done;
}

bool aw_search_add(aw_search *s, const size_t layout[], size_t n)
{
    tried best;
    begin(s, layout, n);
    s->held = n;
    const int found = find_exchange(s, HUGE_VAL, HUGE_VAL, &best);
    s->held = n_kept(s);
    if (found > 0)
        exchange(s, n, best.exchange.in);
    copy(&s->best, &s->now);
    return found > 0;
}

bool aw_search_greedy(aw_search *s, size_t n)
{
    double figure = (double)s->fitness->views->n_cells;
    begin(s, NULL, n_kept(s));
    while (s->now.n < n) {
        const size_t c = find_addition(s, &figure);
        if (c == NONE)
            return false;
        exchange(s, s->now.n, c);
    }
    copy(&s->best, &s->now);
    return true;
}
