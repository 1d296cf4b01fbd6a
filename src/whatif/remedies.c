/* Hundreds of thousands of changes are looked at, hundreds shifted a little, dozens drawn, one of
 * each kind told. */
#include "whatif/remedies.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/compare.h"
#include "anchorwise/cost.h"
#include "assess/zone_assess.h"
#include "whatif/remedy_search.h"

/* Changes that are drawn at length. */
#define FINALISTS 6
/* Changes of a kind that are told, and whose effect on the zones is looked at. */
#define TRIES 3
/* Draws that choose and draws that tell begin far apart. */
#define SHORT_DRAWS 0x40000000u
#define FINAL_DRAWS 0x60000000u
#define TOLD_DRAWS  0x80000000u

/* --- what a change does elsewhere --- */

bool aw_remedy_apply(aw_varied *then, const aw_remedy *remedy, const aw_scenario *s)
{
    aw_anchor added = {.name = "new"};
    *then = aw_vary(s);
    if (remedy->kind != AW_REMEDY_ADD)
        return aw_varied_move_anchor(then, remedy->anchor, remedy->at);
    added.key = aw_free_key(s);
    memcpy(added.at, remedy->at, sizeof added.at);
    return aw_varied_add_anchor(then, &added);
}

/* Whether a figure is lost or much larger. */
static bool is_robbed(double was, double is)
{
    return !isnan(was) && !(is <= was * (1 + AW_NEAR_EQUAL));
}

static void note_harm(aw_remedy *r, const aw_zone_result *now, const aw_zone_result *then)
{
    const bool met = now->verdict == AW_MET, lost = then->verdict == AW_NOT_MET;
    const bool falls = (met && then->verdict != AW_MET) || (now->verdict == AW_UNDECIDED && lost);
    r->breaks = r->breaks || (met && lost);
    r->harms = r->harms || falls || is_robbed(now->errors.p95, then->errors.p95) ||
               is_robbed(now->errors.vertical_p95, then->errors.vertical_p95);
}

static bool judge_zones(aw_remedy *r, const aw_remedy_search *j, const aw_run *run)
{
    const aw_scenario *s = j->spot->scenario;
    aw_varied then;
    r->zones = calloc(s->n_zones + 1, sizeof *r->zones);
    bool done = aw_remedy_apply(&then, r, s) && r->zones != NULL;
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the remedies");
    for (size_t i = 0; done && i < s->n_zones; i++) {
        aw_zone_stage(run->watch, &then.scenario, i, "with a remedy: ");
        done = aw_assess_zone(&r->zones[i], &then.scenario, &s->zones[i], run);
        note_harm(r, &j->as_planned->zones[i], &r->zones[i]);
    }
    if (done)
        r->price = aw_layout_price(&then.scenario) - aw_layout_price(s);
    aw_varied_free(&then);
    return done;
}

/* --- one remedy of each kind --- */

/* Whether a p95 is 15 % better than today's, or there is one where there was none. */
static bool gains(const aw_explanation *e, double p95)
{
    return isfinite(p95) && (isnan(e->p95.value) || p95 < (1 - AW_NEAR_EQUAL) * e->p95.value);
}

/* Whether one change is to be offered before another: what holds when shifted by what is left of it
 * then, what does not by what it gives as it is. */
static bool is_better(const aw_explanation *e, const aw_remedy_trial *c, const aw_remedy_trial *d)
{
    const bool holds = gains(e, aw_remedy_trial_worst(c)),
               other = gains(e, aw_remedy_trial_worst(d));
    if (holds != other)
        return holds;
    const double x = holds ? aw_remedy_trial_worst(c) : c->p95;
    const double y = holds ? aw_remedy_trial_worst(d) : d->p95;
    return x * aw_carried_factor(c->carried) < y * aw_carried_factor(d->carried);
}

static void order(const aw_explanation *e, aw_remedy_search *j)
{
    for (size_t i = 1; i < j->n; i++)
        for (size_t k = i; k > 0 && is_better(e, &j->list[k], &j->list[k - 1]); k--) {
            const aw_remedy_trial c = j->list[k];
            j->list[k] = j->list[k - 1];
            j->list[k - 1] = c;
        }
}

/* The finalists, drawn at length, each with its worst shifts, the best first. */
static bool choose(const aw_explanation *e, aw_remedy_search *j, const aw_run *run)
{
    const uint32_t m = j->spot->scenario->study.draws, n = e->draws;
    aw_estimate worst;
    if (!aw_remedy_find_worst(j, run))
        return false;
    aw_remedy_shorten(j);
    if (!aw_remedy_draw(j, SHORT_DRAWS, m < n ? m : n, run))
        return false;
    order(e, j);
    j->n = j->n < FINALISTS ? j->n : FINALISTS;
    if (!aw_remedy_draw(j, FINAL_DRAWS, n, run))
        return false;
    for (size_t i = 0; i < j->n; i++) {
        if (!aw_remedy_trial_draw_worst(j, &j->list[i], FINAL_DRAWS, &worst, run->errors))
            return false;
    }
    order(e, j);
    return !aw_run_stopped(run);
}

/* Tells a change by draws of its own. */
static bool tell(aw_remedy *r, const aw_explanation *e, aw_remedy_search *j,
                 const aw_remedy_trial *c, uint32_t first, aw_errors *errors)
{
    const aw_remedy_worker *w = aw_worker(&j->workers, 0);
    aw_remedy_trial told = *c;
    *r = (aw_remedy){.kind = c->kind, .anchor = c->anchor, .carried = c->carried};
    memcpy(r->at, c->at, sizeof r->at);
    j->draws = e->draws;
    r->p95 = aw_remedy_trial_draw(j, c, first);
    r->vertical_p95 = aw_trials_percentile(w->trials.trials, 0.95, true);
    if (!aw_remedy_trial_draw_worst(j, &told, first, &r->worst_p95, errors))
        return false;
    r->worst = told.shifts[0];
    if (r->p95.value > r->worst_p95.value) {
        r->worst_p95 = r->p95;
        r->worst = (aw_shift){AW_SHIFT_NONE, 0, 0};
    }
    r->robust = gains(e, r->worst_p95.value);
    return true;
}

/* The best change of a kind, told by draws of its own; none if the best three do not mend the spot.
 * Where it harms a zone the next best are tried, and if all do the first stands. */
static bool find_remedy(aw_explanation *e, aw_remedy_search *j, aw_remedy_kind kind,
                        const aw_run *run)
{
    aw_remedy *best = NULL, other;
    if (!aw_remedy_list(j, kind, run) || !choose(e, j, run))
        return false;
    for (uint32_t i = 0; i < j->n && i < TRIES && (best == NULL || best->harms); i++) {
        const uint32_t first = TOLD_DRAWS + ((uint32_t)kind * TRIES + i) * e->draws;
        if (!tell(&other, e, j, &j->list[i], first, run->errors))
            return false;
        if (!gains(e, other.p95.value) || (best != NULL && best->robust && !other.robust))
            continue;
        const bool done = judge_zones(&other, j, run);
        if (best == NULL)
            e->n_remedies++;
        const bool better = best == NULL || (done && !other.harms);
        if (best != NULL)
            free(better ? best->zones : other.zones);
        best = &e->remedies[e->n_remedies - 1];
        if (better)
            *best = other;
        if (!done)
            return false;
    }
    return true;
}

static int compare_remedies(const void *a, const void *b)
{
    const aw_remedy *r = a, *s = b;
    if (r->breaks != s->breaks)
        return r->breaks ? 1 : -1;
    if (r->harms != s->harms)
        return r->harms ? 1 : -1;
    if (r->robust != s->robust)
        return s->robust ? 1 : -1;
    const double p =
        (r->robust ? r->worst_p95.value : r->p95.value) * aw_carried_factor(r->carried);
    const double q =
        (r->robust ? s->worst_p95.value : s->p95.value) * aw_carried_factor(s->carried);
    return p < q ? -1 : p > q;
}

/* --- all --- */

typedef struct room {
    size_t links, states;
    uint32_t draws;
} room;

static bool create_worker(void *worker_of, const void *room_of)
{
    aw_remedy_worker *w = worker_of;
    const room *r = room_of;
    w->trials.links = calloc(r->links, sizeof(aw_link));
    w->trials.trials = aw_trials_create(r->links, r->draws, NULL);
    return w->trials.links != NULL && w->trials.trials != NULL &&
           aw_error_laws_create(&w->laws, r->states > 1 ? 1 : AW_REMEDY_LOOKS, r->states);
}

static void release_worker(void *worker_of)
{
    aw_remedy_worker *w = worker_of;
    free(w->trials.links);
    aw_trials_free(w->trials.trials);
    aw_error_laws_free(&w->laws);
}

static bool make_room(aw_remedy_search *j, const aw_run *run)
{
    static const aw_worker_kind kind = {sizeof(aw_remedy_worker), create_worker, release_worker};
    const aw_scenario *s = j->spot->scenario;
    if (!aw_shifted_create(&j->plain, j->spot, j->scene, aw_shift_plain(AW_PLAIN_SHIFTS)) ||
        !aw_mounts_list(&j->mounts, s))
        return false;
    const room r = {s->n_anchors + 1, j->plain.states, j->as_planned->draws};
    j->n_heights = aw_mount_heights(s, j->heights, AW_MOST_MOUNT_HEIGHTS);
    j->states = calloc(s->n_anchors + 1, sizeof *j->states);
    j->from_place = calloc(j->mounts.n + 1, sizeof *j->from_place);
    j->quick = calloc(j->mounts.n + 1, sizeof *j->quick);
    j->list = calloc(AW_CHANGES + 1, sizeof *j->list);
    if (j->states == NULL || j->from_place == NULL || j->quick == NULL || j->list == NULL)
        return false;
    for (size_t i = 0; i <= s->n_anchors && j->plain.states > 1; i++)
        aw_states_draw(s->study.seed, j->spot->cell,
                       i < s->n_anchors ? s->anchors[i].key : aw_free_key(s), j->plain.states,
                       j->states[i]);
    return aw_workers_create(&j->workers, run, &kind, &r);
}

static void free_room(aw_remedy_search *j)
{
    aw_workers_free(&j->workers);
    aw_shifted_free(&j->plain);
    aw_mounts_free(&j->mounts);
    free(j->states);
    free(j->from_place);
    free(j->quick);
    free(j->list);
}

bool aw_remedies_run(aw_explanation *e, const aw_trial_spot *spot, const aw_scene *scene,
                     const aw_run *run)
{
    aw_remedy_search j = {.spot = spot, .as_planned = e, .scene = scene};
    bool done = make_room(&j, run);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the remedies");
    done = done && aw_remedy_see_places(&j, run);
    for (int kind = 0; done && kind < AW_REMEDIES; kind++)
        done = find_remedy(e, &j, (aw_remedy_kind)kind, run);
    if (done)
        qsort(e->remedies, e->n_remedies, sizeof *e->remedies, compare_remedies);
    free_room(&j);
    return done;
}
