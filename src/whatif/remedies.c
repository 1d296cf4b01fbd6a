/* A change is one link of the spot replaced or added, so every one is a rank-one update of the
 * spot's sums: thousands are looked at, dozens drawn, one of each kind told. */
#include "whatif/remedies.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/candidates.h"
#include "anchorwise/compare.h"
#include "anchorwise/cost.h"
#include "assess/instant.h"
#include "assess/zone_assess.h"
#include "base/parallel.h"
#include "position/error_law_batch.h"
#include "position/states.h"
#include "position/sums.h"

/* Changes of a kind that are drawn, and of these the ones drawn again at length. */
#define SHORTLIST 64
#define FINALISTS 6
/* Changes whose effect on the zones is looked at. */
#define TRIES 3
/* Draws that choose and draws that tell begin far apart. */
#define SHORT_DRAWS 0x40000000u
#define FINAL_DRAWS 0x60000000u
#define TOLD_DRAWS  0x80000000u
/* Heights tried for an anchor that stays in place: every so many m, from so low to so far under
 * the ceiling. */
#define RISE         0.5
#define LOWEST       2.5
#define UNDER        0.3
#define MOST_CEILING 60

typedef struct change {
    aw_remedy_kind kind;
    size_t anchor;
    double at[3];
    double figure; /* p95: instant, then drawn */
} change;

typedef struct job {
    const aw_trial_spot *spot;
    const aw_explanation *as_planned;
    const aw_scene *scene;
    size_t states;                /* of links that come and go: 1 or AW_LINK_STATES */
    aw_sums sums[AW_LINK_STATES]; /* in each, of all links as planned */
    aw_error_laws laws;           /* of one cell */
    double (*places)[3];
    aw_link *from_place; /* the spot's link to an anchor there */
    size_t n_places;
    change *list;
    size_t n, room;
    uint32_t first, draws;
    aw_workers workers;
} job;

/* --- the list of changes --- */

/* The link in one state of the spot; as it is where links have no states. */
static aw_link held_still(const job *j, const aw_link *link, size_t state)
{
    double fades[AW_LINK_STATES];
    if (j->states == 1)
        return *link;
    aw_state_fades(j->spot->scenario->study.seed, j->spot->cell, link->key, fades);
    return aw_link_at_fade(link, fades[state]);
}

/* The same from a pass over the links, where the sums are not sound. */
static aw_expected expect_again(const job *j, const change *c, const aw_link *now, size_t state)
{
    const aw_tag *tag = &j->spot->scenario->tags[j->spot->tag];
    const size_t n = j->spot->scenario->n_anchors;
    aw_link *links = ((const aw_trial_worker *)aw_worker(&j->workers, 0))->links;
    for (size_t i = 0; i < n; i++)
        links[i] = held_still(j, &j->as_planned->lines[i].link, state);
    links[c->anchor] = held_still(j, now, state);
    const aw_bound b = aw_bound_at(links, n + (c->kind == AW_REMEDY_ADD), tag->fix);
    return aw_bound_expect(&b, tag->height_sigma);
}

/* What a change makes of the spot in one state. */
static aw_expected expect(const job *j, const change *c, const aw_link *now, size_t state)
{
    const aw_tag *tag = &j->spot->scenario->tags[j->spot->tag];
    const aw_link still = held_still(j, now, state);
    aw_sums sums = j->sums[state];
    if (c->kind != AW_REMEDY_ADD) {
        const aw_link planned = held_still(j, &j->as_planned->lines[c->anchor].link, state);
        aw_sums_remove(&sums, &planned);
    }
    aw_sums_add(&sums, &still);
    const aw_expected e = aw_sums_expect(&sums, tag->fix, tag->height_sigma);
    return e.sound ? e : expect_again(j, c, now, state);
}

/* What a change makes of the spot by linear estimates; infinity without a position. */
static double instant_p95(job *j, const change *c, const aw_link *now)
{
    if (j->states == 1) {
        const aw_expected e = expect(j, c, now, 0);
        if (e.status != AW_BOUND_OK)
            return HUGE_VAL;
        const aw_error_law law = aw_error_law_of(e.bias[0], e.bias[1], e.xx, e.xy, e.yy);
        return aw_error_law_percentile(&law, 0.95);
    }
    for (size_t k = 0; k < j->states; k++) {
        const aw_expected e = expect(j, c, now, k);
        aw_error_laws_set(&j->laws, k, &e);
    }
    return aw_error_laws_percentile(&j->laws, 0.95, 0);
}

/* A key that no anchor of the scenario has. */
static uint32_t free_key(const aw_scenario *s)
{
    uint32_t key = 1;
    for (size_t i = 0; i < s->n_anchors; i++)
        if (s->anchors[i].key == key) {
            key++;
            i = (size_t)-1;
        }
    return key;
}

static aw_link link_to(const job *j, size_t anchor, const double at[3])
{
    const aw_scenario *s = j->spot->scenario;
    const aw_anchor moved = {.key = anchor < s->n_anchors ? s->anchors[anchor].key : free_key(s),
                             .at = {at[0], at[1], at[2]}};
    return aw_link_at(j->scene, j->spot->at, &moved);
}

/* Lists a change, unless no mount of the scenario's prices reaches there. */
static void list_change(job *j, aw_remedy_kind kind, size_t anchor, const double at[3],
                        const aw_link *now)
{
    change *c = &j->list[j->n];
    if (j->n == j->room ||
        (aw_has_prices(j->spot->scenario) && isnan(aw_anchor_price(j->spot->scenario, at))))
        return;
    *c = (change){kind, anchor, {at[0], at[1], at[2]}, 0};
    c->figure = instant_p95(j, c, now);
    if (isfinite(c->figure))
        j->n++;
}

static void list_heights(job *j, size_t anchor)
{
    const aw_scenario *s = j->spot->scenario;
    const double high = fmin(s->floor.ceiling, MOST_CEILING) - UNDER, *now = s->anchors[anchor].at;
    for (double z = LOWEST; z <= high + 1e-9; z += RISE) {
        const double at[3] = {now[0], now[1], fmin(z, high)};
        const aw_link link = link_to(j, anchor, at);
        if (fabs(at[2] - now[2]) > RISE / 2)
            list_change(j, AW_REMEDY_HEIGHT, anchor, at, &link);
    }
}

static int compare_changes(const void *a, const void *b)
{
    const change *c = a, *d = b;
    if (c->figure != d->figure)
        return c->figure < d->figure ? -1 : 1;
    if (c->anchor != d->anchor)
        return c->anchor < d->anchor ? -1 : 1;
    return memcmp(c->at, d->at, sizeof c->at);
}

/* All changes of one kind, the best by linear estimates first. */
static void list_kind(job *j, aw_remedy_kind kind)
{
    const aw_scenario *s = j->spot->scenario;
    j->n = 0;
    for (size_t a = 0; a < s->n_anchors && kind == AW_REMEDY_HEIGHT; a++)
        list_heights(j, a);
    for (size_t p = 0; p < j->n_places && kind != AW_REMEDY_HEIGHT; p++) {
        if (kind == AW_REMEDY_ADD)
            list_change(j, kind, s->n_anchors, j->places[p], &j->from_place[p]);
        for (size_t a = 0; a < s->n_anchors && kind == AW_REMEDY_MOVE; a++)
            list_change(j, kind, a, j->places[p], &j->from_place[p]);
    }
    qsort(j->list, j->n, sizeof *j->list, compare_changes);
}

/* --- draws --- */

static aw_estimate draw_change(const job *j, const aw_trial_worker *w, const change *c,
                               uint32_t first, uint32_t draws)
{
    const aw_scenario *s = j->spot->scenario;
    aw_bound bound;
    for (size_t i = 0; i < s->n_anchors; i++)
        w->links[i] = j->as_planned->lines[i].link;
    w->links[c->anchor] = link_to(j, c->anchor, c->at);
    const aw_trials_case k =
        aw_spot_trials_case(j->spot, w->links, s->n_anchors + (c->kind == AW_REMEDY_ADD),
                            s->tags[j->spot->tag].height_sigma, first, draws, &bound);
    const aw_draws d = aw_trials_run(w->trials, &k);
    return aw_spot_trials_p95(w->trials, &d, &k);
}

static void draw_changes(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    for (size_t i = from; i < to; i++) {
        const double p95 =
            draw_change(j, aw_worker(&j->workers, thread), &j->list[i], j->first, j->draws).value;
        j->list[i].figure = isnan(p95) ? HUGE_VAL : p95;
    }
}

/* Keeps the first `most` of the list, drawn and in order of what the draws say. */
static bool choose(job *j, size_t most, uint32_t first, uint32_t draws, const aw_run *run)
{
    j->n = j->n < most ? j->n : most;
    if (j->n > 0)
        aw_watch_stage(run->watch, j->n * draws, "the best of %zu remedies of one kind", j->n);
    j->first = first;
    j->draws = draws;
    if (!aw_parallel(j->n, 1, run, draw_changes, j, draws))
        return false;
    qsort(j->list, j->n, sizeof *j->list, compare_changes);
    return true;
}

/* --- what a change does elsewhere --- */

bool aw_remedy_apply(aw_varied *then, const aw_remedy *remedy, const aw_scenario *s)
{
    aw_anchor added = {.name = "new"};
    *then = aw_vary(s);
    if (remedy->kind != AW_REMEDY_ADD)
        return aw_varied_move_anchor(then, remedy->anchor, remedy->at);
    added.key = free_key(s);
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

static bool judge_zones(aw_remedy *r, const job *j, const aw_run *run)
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

/* Tells a change by draws of its own; whether it mends the spot. */
static bool tell(aw_remedy *r, const aw_explanation *e, job *j, const change *c, uint32_t first)
{
    const aw_trial_worker *w = aw_worker(&j->workers, 0);
    *r = (aw_remedy){.kind = c->kind, .anchor = c->anchor};
    memcpy(r->at, c->at, sizeof r->at);
    r->p95 = draw_change(j, w, c, first, e->draws);
    r->vertical_p95 = aw_trials_percentile(w->trials, 0.95, true);
    return !isnan(r->p95.value) &&
           (r->p95.value < (1 - AW_NEAR_EQUAL) * e->p95.value || isnan(e->p95.value));
}

/* The best change of a kind, told by draws of its own; none if it does not mend the spot. Where it
 * harms a zone the next best are tried, and if all do the first stands. */
static bool find_remedy(aw_explanation *e, job *j, aw_remedy_kind kind, const aw_run *run)
{
    const uint32_t m = j->spot->scenario->study.draws, n = e->draws;
    aw_remedy *best = &e->remedies[e->n_remedies], other;
    list_kind(j, kind);
    if (!choose(j, SHORTLIST, SHORT_DRAWS, m < n ? m : n, run) ||
        !choose(j, FINALISTS, FINAL_DRAWS, n, run))
        return false;
    if (j->n == 0 || !tell(best, e, j, &j->list[0], TOLD_DRAWS + (uint32_t)kind * TRIES * n))
        return true;
    e->n_remedies++;
    if (!judge_zones(best, j, run))
        return false;
    for (uint32_t i = 1; i < j->n && i < TRIES && best->harms; i++) {
        if (!tell(&other, e, j, &j->list[i], TOLD_DRAWS + ((uint32_t)kind * TRIES + i) * n))
            break;
        const bool done = judge_zones(&other, j, run);
        const bool better = done && !other.harms;
        free(better ? best->zones : other.zones);
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
    return r->p95.value < s->p95.value ? -1 : r->p95.value > s->p95.value;
}

static bool make_room(job *j, const aw_run *run, uint32_t draws)
{
    const aw_scenario *s = j->spot->scenario;
    const size_t heights = (size_t)(MOST_CEILING / RISE) + 2;
    j->n_places = aw_mountable(s, NULL, 0);
    j->room = s->n_anchors * (j->n_places > heights ? j->n_places : heights) + j->n_places;
    j->places = calloc(j->n_places + 1, sizeof *j->places);
    j->from_place = calloc(j->n_places + 1, sizeof *j->from_place);
    j->list = calloc(j->room + 1, sizeof *j->list);
    j->states = aw_instant_states(s);
    return aw_trial_workers_create(&j->workers, run, s->n_anchors + 1, draws) &&
           aw_error_laws_create(&j->laws, 1, j->states) && j->places && j->from_place && j->list;
}

static void free_room(job *j)
{
    aw_workers_free(&j->workers);
    aw_error_laws_free(&j->laws);
    free(j->places);
    free(j->from_place);
    free(j->list);
}

bool aw_remedies_run(aw_explanation *e, const aw_trial_spot *spot, const aw_scene *scene,
                     const aw_run *run)
{
    const aw_scenario *s = spot->scenario;
    job j = {.spot = spot, .as_planned = e, .scene = scene};
    bool done = make_room(&j, run, e->draws);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the remedies");
    if (done) {
        aw_mountable(s, j.places, j.n_places);
        for (size_t i = 0; i < j.n_places; i++)
            j.from_place[i] = link_to(&j, s->n_anchors, j.places[i]);
        for (size_t k = 0; k < j.states; k++)
            for (size_t i = 0; i < s->n_anchors; i++) {
                const aw_link still = held_still(&j, &e->lines[i].link, k);
                aw_sums_add(&j.sums[k], &still);
            }
    }
    for (int kind = 0; done && kind < AW_REMEDIES; kind++)
        done = find_remedy(e, &j, (aw_remedy_kind)kind, run);
    if (done)
        qsort(e->remedies, e->n_remedies, sizeof *e->remedies, compare_remedies);
    free_room(&j);
    return done;
}
