/* What is best by a hair is often lost by one: of a change counts what is left of it when anchor,
 * spot or an obstacle near the way is 0.2 m off. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/compare.h"
#include "anchorwise/level.h"
#include "base/parallel.h"
#include "base/plane.h"
#include "place/mountable.h"
#include "whatif/remedy_search.h"

/* Changes that are drawn, and how many of them are the best when shifted; the others are the best
 * as they are. */
#define SHORTLIST 64
#define BY_WORST  44
/* Changes nearer to a better one than this are that one, m. */
#define CLUSTER 1.0

/* --- shifts --- */

/* Whether a change can be made with the shift, and is concerned by it. */
static bool is_concerned(const aw_remedy_search *j, const aw_remedy_trial *c, aw_shift shift,
                         double at[3])
{
    const aw_scenario *s = j->spot->scenario;
    memcpy(at, c->at, 3 * sizeof *at);
    switch (shift.kind) {
    case AW_SHIFT_PLACE:
        at[shift.of] += shift.by;
        return aw_polygon_holds(&s->floor.outline, at[0], at[1]) && at[2] > 0 &&
               at[2] < s->floor.ceiling && !aw_is_filled(s, (aw_point){at[0], at[1]}, at[2]);
    case AW_SHIFT_BASE:
    case AW_SHIFT_TOP:
        return aw_way_meets(&s->obstacles[shift.of], j->spot->at, at);
    default:
        return true;
    }
}

static void note_worst(aw_remedy_trial *c, aw_shift shift, double p95)
{
    size_t i = AW_WORST;
    for (; i > 0 && p95 > c->worst[i - 1]; i--)
        if (i < AW_WORST) {
            c->worst[i] = c->worst[i - 1];
            c->shifts[i] = c->shifts[i - 1];
        }
    if (i < AW_WORST) {
        c->worst[i] = p95;
        c->shifts[i] = shift;
    }
}

static void shift_changes(void *context, size_t from, size_t to, unsigned thread)
{
    const aw_remedy_search *j = context;
    aw_remedy_worker *w = aw_worker(&j->workers, thread);
    double at[3];
    w->n_looks = 0;
    for (size_t i = from; i < to; i++) {
        aw_remedy_trial *c = &j->list[i];
        if (is_concerned(j, c, j->shifted->shift, at))
            w->looks[w->n_looks++] =
                (aw_remedy_look){c, aw_remedy_trial_link(j, j->shifted, c->anchor, at), 0};
    }
    aw_remedy_estimate(j, j->shifted, w);
    for (size_t i = 0; i < w->n_looks; i++)
        note_worst(w->looks[i].of, j->shifted->shift, w->looks[i].p95);
    w->n_looks = 0;
}

/* Looks at the whole list with one shift. */
static bool shift_all(aw_remedy_search *j, aw_shift shift, const aw_run *run)
{
    aw_shifted v;
    bool done = aw_shifted_create(&v, j->spot, j->scene, shift);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the remedies");
    j->shifted = &v;
    done = done && aw_parallel(j->n, AW_REMEDY_LOOKS, run, shift_changes, j, 0);
    aw_shifted_free(&v);
    return done;
}

static bool is_met_by_any(const aw_remedy_search *j, size_t obstacle)
{
    const aw_obstacle *o = &j->spot->scenario->obstacles[obstacle];
    for (size_t i = 0; i < j->n; i++)
        if (aw_way_meets(o, j->spot->at, j->list[i].at))
            return true;
    return false;
}

/* Whether the spot may stand there. */
static bool is_floor(const aw_remedy_search *j, aw_shift shift)
{
    const aw_scenario *s = j->spot->scenario;
    double at[2] = {j->spot->at[0], j->spot->at[1]};
    if (shift.kind != AW_SHIFT_SPOT)
        return true;
    at[shift.of] += shift.by;
    return aw_polygon_holds(&s->floor.outline, at[0], at[1]) &&
           aw_taken_at(s, at[0], at[1], aw_tag_at(s, j->spot->tag, at[0], at[1])).by ==
               AW_TAKEN_BY_NOTHING;
}

bool aw_remedy_find_worst(aw_remedy_search *j, const aw_run *run)
{
    const aw_scenario *s = j->spot->scenario;
    bool done = true;
    aw_watch_stage(run->watch, 0, "remedies of one kind, each a little off");
    for (size_t k = 0; done && k < AW_PLAIN_SHIFTS; k++)
        if (is_floor(j, aw_shift_plain(k)))
            done = shift_all(j, aw_shift_plain(k), run);
    for (size_t o = 0, n = aw_named_obstacles(s); done && o < n; o++)
        for (size_t k = 0; done && k < AW_OBSTACLE_SHIFTS && is_met_by_any(j, o); k++)
            if (aw_shift_changes(s, aw_shift_of_obstacle(o, k)))
                done = shift_all(j, aw_shift_of_obstacle(o, k), run);
    return done;
}

double aw_remedy_trial_worst(const aw_remedy_trial *c)
{
    return fmax(c->p95, c->worst[0]);
}

double aw_carried_factor(aw_carried carried)
{
    return carried == AW_CARRIED_UNSTATED ? 1 + AW_NEAR_EQUAL : 1;
}

static double weigh(const aw_remedy_trial *c)
{
    return aw_remedy_trial_worst(c) * aw_carried_factor(c->carried);
}

static int compare_worst(const void *a, const void *b)
{
    const double x = weigh(a), y = weigh(b);
    return x != y ? (x < y ? -1 : 1) : aw_remedy_trial_compare(a, b);
}

static bool is_near(const aw_remedy_trial *c, const aw_remedy_trial *d)
{
    const double x = c->at[0] - d->at[0], y = c->at[1] - d->at[1], z = c->at[2] - d->at[2];
    return c->anchor == d->anchor && x * x + y * y + z * z < CLUSTER * CLUSTER;
}

/* Moves to the front, in their order, up to `most` changes behind the first `begun` that are near
 * none of those before them. Returns how many stand there then. */
static size_t pick_clusters(aw_remedy_search *j, size_t begun, size_t most)
{
    size_t n = begun;
    for (size_t i = begun; i < j->n && n < most; i++) {
        bool fresh = true;
        for (size_t k = 0; fresh && k < n; k++)
            fresh = !is_near(&j->list[i], &j->list[k]);
        if (!fresh)
            continue;
        const aw_remedy_trial c = j->list[i];
        memmove(&j->list[n + 1], &j->list[n], (i - n) * sizeof c);
        j->list[n++] = c;
    }
    return n;
}

/* The best when shifted, then the best as they are, one for each cluster. */
void aw_remedy_shorten(aw_remedy_search *j)
{
    qsort(j->list, j->n, sizeof *j->list, compare_worst);
    const size_t n = pick_clusters(j, 0, BY_WORST);
    qsort(j->list + n, j->n - n, sizeof *j->list, aw_remedy_trial_compare);
    j->n = pick_clusters(j, n, SHORTLIST);
}

/* --- draws --- */

static aw_estimate draw_shifted(const aw_remedy_search *j, const aw_shifted *v,
                                const aw_remedy_worker *w, const aw_remedy_trial *c, uint32_t first)
{
    const aw_scenario *s = j->spot->scenario;
    aw_trial_spot spot = *j->spot;
    double at[3];
    aw_bound bound;
    is_concerned(j, c, v->shift, at);
    memcpy(spot.at, v->spot, sizeof spot.at);
    memcpy(w->trials.links, v->links, s->n_anchors * sizeof *v->links);
    w->trials.links[c->anchor] = aw_remedy_trial_link(j, v, c->anchor, at);
    aw_trials_case k =
        aw_spot_case(&spot, w->trials.links, s->n_anchors + (c->kind == AW_REMEDY_ADD), &bound);
    k.first_draw = first;
    k.n_draws = j->draws;
    const aw_draws d = aw_trials_run(w->trials.trials, &k);
    return aw_spot_trials_p95(w->trials.trials, &d, &k);
}

/* Each p95 as drawn; with shifts it is taken to rise as linear estimates say. */
static void draw_changes(void *context, size_t from, size_t to, unsigned thread)
{
    const aw_remedy_search *j = context;
    for (size_t i = from; i < to; i++) {
        aw_remedy_trial *c = &j->list[i];
        const double p95 =
            draw_shifted(j, &j->plain, aw_worker(&j->workers, thread), c, j->first).value;
        for (size_t k = 0; k < AW_WORST; k++)
            c->worst[k] = isnan(p95) || isinf(c->p95) ? HUGE_VAL : c->worst[k] * p95 / c->p95;
        c->p95 = isnan(p95) ? HUGE_VAL : p95;
    }
}

bool aw_remedy_draw(aw_remedy_search *j, uint32_t first, uint32_t draws, const aw_run *run)
{
    if (j->n > 0)
        aw_watch_stage(run->watch, j->n * draws, "the best of %zu remedies of one kind", j->n);
    j->first = first;
    j->draws = draws;
    return aw_parallel(j->n, 1, run, draw_changes, j, draws);
}

aw_estimate aw_remedy_trial_draw(const aw_remedy_search *j, const aw_remedy_trial *c,
                                 uint32_t first)
{
    return draw_shifted(j, &j->plain, aw_worker(&j->workers, 0), c, first);
}

bool aw_remedy_trial_draw_worst(const aw_remedy_search *j, aw_remedy_trial *c, uint32_t first,
                                aw_estimate *worst, aw_errors *errors)
{
    const aw_remedy_worker *w = aw_worker(&j->workers, 0);
    aw_shift shifts[AW_WORST];
    memcpy(shifts, c->shifts, sizeof shifts);
    memset(c->worst, 0, sizeof c->worst);
    *worst = (aw_estimate){0, 0, 0};
    for (size_t k = 0; k < AW_WORST && shifts[k].kind != AW_SHIFT_NONE; k++) {
        aw_shifted v;
        const bool done = aw_shifted_create(&v, j->spot, j->scene, shifts[k]);
        if (done) {
            const aw_estimate p95 = draw_shifted(j, &v, w, c, first);
            note_worst(c, shifts[k], isnan(p95.value) ? HUGE_VAL : p95.value);
            if (isnan(p95.value) || p95.value > worst->value)
                *worst = p95;
        } else {
            aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the remedies");
        }
        aw_shifted_free(&v);
        if (!done)
            return false;
    }
    return true;
}
