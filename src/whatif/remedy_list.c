/* A change is one link of the spot replaced or added, so every one is a rank-one update of the
 * spot's sums: hundreds of thousands are looked at by a quick figure, the best of each anchor by
 * their p95. */
#include <math.h>
#include <string.h>

#include "base/parallel.h"
#include "place/mountable.h"
#include "whatif/remedy_search.h"

/* --- linear estimates --- */

/* A key that no anchor of the scenario has. */
uint32_t aw_free_key(const aw_scenario *s)
{
    uint32_t key = 1;
    for (size_t i = 0; i < s->n_anchors; i++)
        if (s->anchors[i].key == key) {
            key++;
            i = (size_t)-1;
        }
    return key;
}

aw_link aw_remedy_trial_link(const aw_remedy_search *j, const aw_shifted *v, size_t anchor,
                             const double at[3])
{
    const aw_scenario *s = j->spot->scenario;
    const aw_anchor moved = {.key = anchor < s->n_anchors ? s->anchors[anchor].key : aw_free_key(s),
                             .at = {at[0], at[1], at[2]}};
    return aw_link_at(v->scene, v->spot, &moved);
}

static aw_link in_state(const aw_remedy_search *j, const aw_shifted *v, const aw_link *link,
                        size_t anchor, size_t state)
{
    return v->states == 1 ? *link : aw_link_in_state(link, &j->states[anchor][state]);
}

/* The same from a pass over the links, where the sums are not sound. */
static aw_expected expect_again(const aw_remedy_search *j, const aw_shifted *v,
                                const aw_remedy_worker *w, size_t anchor, const aw_link *now,
                                size_t state)
{
    const aw_scenario *s = j->spot->scenario;
    const aw_tag *tag = &s->tags[j->spot->tag];
    aw_link *links = w->trials.links;
    for (size_t i = 0; i < s->n_anchors; i++)
        links[i] = in_state(j, v, &v->links[i], i, state);
    links[anchor] = in_state(j, v, now, anchor, state);
    const aw_bound b = aw_bound_at(links, s->n_anchors + (anchor == s->n_anchors), tag->fix);
    return aw_bound_expect(&b, tag->height_sigma);
}

/* What another link to an anchor makes of the spot in one state. */
static aw_expected expect(const aw_remedy_search *j, const aw_shifted *v, const aw_remedy_worker *w,
                          size_t anchor, const aw_link *now, size_t state)
{
    const aw_tag *tag = &j->spot->scenario->tags[j->spot->tag];
    const aw_link still = in_state(j, v, now, anchor, state);
    aw_sums sums = v->sums[state];
    if (anchor < j->spot->scenario->n_anchors) {
        const aw_link planned = in_state(j, v, &v->links[anchor], anchor, state);
        aw_sums_remove(&sums, &planned);
    }
    aw_sums_add(&sums, &still);
    const aw_expected e = aw_sums_expect(&sums, tag->fix, tag->height_sigma);
    return e.is_accurate ? e : expect_again(j, v, w, anchor, now, state);
}

void aw_remedy_estimate(const aw_remedy_search *j, const aw_shifted *v, aw_remedy_worker *w)
{
    double p95[AW_REMEDY_LOOKS];
    for (size_t i = 0; i < AW_REMEDY_LOOKS; i++) {
        const aw_remedy_look *look = i < w->n_looks ? &w->looks[i] : NULL;
        for (size_t k = 0; look != NULL && k < v->states; k++) {
            const aw_expected e = expect(j, v, w, look->of->anchor, &look->now, k);
            aw_error_laws_set(&w->laws, v->states > 1 ? k : i, &e);
        }
        if (look != NULL && v->states > 1)
            p95[i] = aw_error_laws_percentile(&w->laws, 0.95, 0);
    }
    if (v->states == 1)
        aw_error_laws_each(&w->laws, 0.95, p95);
    for (size_t i = 0; i < w->n_looks; i++)
        w->looks[i].p95 = p95[i];
}

/* What goes with p95 and costs a tenth: the mean square error over some of the states, where none
 * has a position a large one. */
#define EVERY 4
#define AWAY  1e6
static double quick_figure(const aw_remedy_search *j, const aw_remedy_worker *w, size_t anchor,
                           const aw_link *now)
{
    double sum = 0;
    for (size_t k = 0; k < j->plain.states; k += EVERY) {
        const aw_expected e = expect(j, &j->plain, w, anchor, now, k);
        sum += e.status == AW_BOUND_OK
                   ? fmin(e.xx + e.yy + e.bias[0] * e.bias[0] + e.bias[1] * e.bias[1], AWAY)
                   : AWAY;
    }
    return sum;
}

/* --- the list of changes --- */

static void see_places(void *context, size_t from, size_t to, unsigned thread)
{
    const aw_remedy_search *j = context;
    (void)thread;
    for (size_t p = from; p < to; p++)
        j->from_place[p] =
            aw_remedy_trial_link(j, &j->plain, j->spot->scenario->n_anchors, j->mounts.list[p].at);
}

bool aw_remedy_see_places(aw_remedy_search *j, const aw_run *run)
{
    aw_watch_stage(run->watch, 0, "looking from %zu places", j->mounts.n);
    return aw_parallel(j->mounts.n, 16, run, see_places, j, 0);
}

/* Under a radio an anchor's own key names its fades, so that a link seen for one more anchor serves
 * the others. */
static void look_at_places(void *context, size_t from, size_t to, unsigned thread)
{
    const aw_remedy_search *j = context;
    const aw_remedy_worker *w = aw_worker(&j->workers, thread);
    const size_t none = j->spot->scenario->n_anchors;
    for (size_t p = from; p < to; p++) {
        const size_t crowded = j->mounts.list[p].crowded;
        const bool open = crowded == none || crowded == j->anchor;
        j->quick[p] = open ? quick_figure(j, w, j->anchor, &j->from_place[p]) : HUGE_VAL;
    }
}

int aw_remedy_trial_compare(const void *a, const void *b)
{
    const aw_remedy_trial *c = a, *d = b;
    if (c->p95 != d->p95)
        return c->p95 < d->p95 ? -1 : 1;
    if (c->anchor != d->anchor)
        return c->anchor < d->anchor ? -1 : 1;
    return memcmp(c->at, d->at, sizeof c->at);
}

/* Takes a change on if it is among the best so far; the list then is in order. */
static void keep(aw_remedy_search *j, const aw_remedy_trial *c)
{
    size_t i = j->n;
    if (!isfinite(c->p95) ||
        (j->n == AW_CHANGES && aw_remedy_trial_compare(c, &j->list[j->n - 1]) >= 0))
        return;
    if (j->n < AW_CHANGES)
        j->n++;
    else
        i--;
    for (; i > 0 && aw_remedy_trial_compare(c, &j->list[i - 1]) < 0; i--)
        j->list[i] = j->list[i - 1];
    j->list[i] = *c;
}

/* Looks at the changes collected in `list` and keeps the best. */
static void keep_all(aw_remedy_search *j, aw_remedy_trial list[])
{
    aw_remedy_worker *w = aw_worker(&j->workers, 0);
    aw_remedy_estimate(j, &j->plain, w);
    for (size_t i = 0; i < w->n_looks; i++) {
        list[i].p95 = w->looks[i].p95;
        keep(j, &list[i]);
    }
    w->n_looks = 0;
}

static void collect(aw_remedy_search *j, aw_remedy_trial list[], const aw_mount_place *to,
                    const aw_link *link)
{
    aw_remedy_worker *w = aw_worker(&j->workers, 0);
    aw_remedy_trial *c = &list[w->n_looks];
    *c = (aw_remedy_trial){.kind = j->kind, .anchor = j->anchor, .carried = to->carried};
    memcpy(c->at, to->at, sizeof c->at);
    w->looks[w->n_looks++] = (aw_remedy_look){c, *link, 0};
    if (w->n_looks == AW_REMEDY_LOOKS)
        keep_all(j, list);
}

static void list_heights(aw_remedy_search *j)
{
    const aw_scenario *s = j->spot->scenario;
    const double *now = s->anchors[j->anchor].at;
    aw_remedy_trial list[AW_REMEDY_LOOKS];
    for (size_t k = 0; k < j->n_heights; k++) {
        const double at[3] = {now[0], now[1], j->heights[k]};
        if (fabs(at[2] - now[2]) < AW_SHIFT_BY || !aw_mount_is_open(s, at) ||
            aw_is_crowded(s, (aw_point){at[0], at[1]}, at[2], j->anchor))
            continue;
        const aw_link link = aw_remedy_trial_link(j, &j->plain, j->anchor, at);
        const aw_mount_place to = {{at[0], at[1], at[2]}, aw_mount_carried(&j->mounts, at), 0};
        collect(j, list, &to, &link);
    }
    keep_all(j, list);
}

/* The quick figure up to which so many places are looked at more closely. */
static double quick_limit(const aw_remedy_search *j, size_t most)
{
    double best[AW_CHANGES + 1];
    size_t n = 0;
    for (size_t p = 0; p < j->mounts.n; p++) {
        const double q = j->quick[p];
        size_t i = n;
        if (n == most && q >= best[n - 1])
            continue;
        if (n < most)
            n++;
        else
            i--;
        for (; i > 0 && q < best[i - 1]; i--)
            best[i] = best[i - 1];
        best[i] = q;
    }
    return n > 0 ? best[n - 1] : 0;
}

/* Places for one anchor, or for one more. */
static bool list_places(aw_remedy_search *j, const aw_run *run)
{
    const aw_scenario *s = j->spot->scenario;
    if (!aw_parallel(j->mounts.n, 64, run, look_at_places, j, 0))
        return false;
    const double limit = quick_limit(j, AW_CHANGES);
    aw_remedy_trial list[AW_REMEDY_LOOKS];
    for (size_t p = 0; p < j->mounts.n; p++) {
        const aw_mount_place *m = &j->mounts.list[p];
        if (isinf(j->quick[p]) || j->quick[p] > limit)
            continue;
        if (j->anchor < s->n_anchors &&
            fabs(m->at[2] - s->anchors[j->anchor].at[2]) >= AW_SHIFT_BY &&
            hypot(m->at[0] - s->anchors[j->anchor].at[0], m->at[1] - s->anchors[j->anchor].at[1]) <
                1e-9)
            continue; /* that is a height */
        collect(j, list, m, &j->from_place[p]);
    }
    keep_all(j, list);
    return true;
}

/* The best changes of one kind by linear estimates, in their order. */
bool aw_remedy_list(aw_remedy_search *j, aw_remedy_kind kind, const aw_run *run)
{
    const size_t n = j->spot->scenario->n_anchors;
    bool done = true;
    j->n = 0;
    j->kind = kind;
    j->anchor = n;
    if (kind == AW_REMEDY_ADD)
        return list_places(j, run);
    for (j->anchor = 0; done && j->anchor < n; j->anchor++) {
        if (kind == AW_REMEDY_HEIGHT)
            list_heights(j);
        else
            done = list_places(j, run);
    }
    return done;
}
