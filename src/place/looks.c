/* Every zone is drawn without odds first, which are nine tenths of a look; odds only where all else
 * is met, and up to the first zone that is refused. */
#include "place/looks.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "assess/odds.h"
#include "assess/parts.h"
#include "place/pool.h"

#define NONE AW_NO_CANDIDATE
/* Losses of a zone that the first look draws, the worst by linear estimates, and the others. */
#define LOSSES      3
#define MOST_LOSSES 16
/* A share of cells by few draws must be so far off to be refused. */
#define FAR_OFF 0.1
/* No layout of candidates is looked for under that key. */
#define OWN UINT64_MAX

uint64_t aw_look_seed(uint64_t seed, uint64_t stream, size_t k)
{
    return aw_mix(seed + stream * 0xD1B54A32D192ED03u + k * 0x9E3779B97F4A7C15u) >> 1;
}

/* --- memory --- */

static bool open_look(aw_look *l, size_t zones)
{
    l->zones = calloc(zones + 1, sizeof *l->zones);
    l->lost = calloc(zones + 1, sizeof *l->lost);
    l->slack = calloc(zones * AW_PARTS + 1, sizeof *l->slack);
    return l->zones && l->lost && l->slack;
}

void aw_look_free(aw_look *l)
{
    free(l->zones);
    free(l->lost);
    free(l->slack);
    *l = (aw_look){0};
}

static void free_looked(aw_looked *l)
{
    if (l == NULL)
        return;
    aw_look_free(&l->first);
    free(l->anchors);
    free(l->at);
    free(l->slacks);
    free(l);
}

void aw_looks_forget(aw_looks *looks)
{
    for (size_t i = 0; i < looks->n; i++)
        free_looked(looks->list[i]);
    looks->n = 0;
}

void aw_looks_free(aw_looks *looks)
{
    aw_looks_forget(looks);
    free(looks->list);
    looks->list = NULL;
    looks->n = looks->room = 0;
}

static bool complain(const aw_looks *looks)
{
    aw_errors_add(looks->run.errors, AW_ERROR, 0, 0, "out of memory for the draws");
    return false;
}

static bool make_room(aw_looks *looks)
{
    if (looks->n < looks->room)
        return true;
    const size_t room = 2 * looks->room + 64;
    aw_looked **list = realloc(looks->list, room * sizeof *list);
    if (list == NULL)
        return false;
    looks->list = list;
    looks->room = room;
    return true;
}

/* --- one look --- */

typedef struct drawing {
    aw_looks *looks;
    const aw_looked *layout;
    aw_scenario scenario; /* with the layout and what to draw it by */
    aw_anchor *left;      /* without the one that is lost */
    size_t *losses;       /* room for as many as there are anchors */
    double *worst;        /* their p95 */
    size_t most_losses;
} drawing;

static size_t number_of(const aw_looks *looks, size_t zone)
{
    return (size_t)(looks->views->zones[zone].zone - looks->scenario->zones);
}

/* One zone with one anchor lost, or none. */
static bool draw_zone(drawing *d, size_t zone, size_t lost, bool odds, aw_zone_result *r)
{
    const aw_looks *looks = d->looks;
    aw_map map = {0};
    aw_scenario *s = &d->scenario;
    const aw_zone_plan plan = {.scenario = s,
                               .zone = &s->zones[number_of(looks, zone)],
                               .judging = looks->judging,
                               .without_odds = !odds};
    s->n_anchors = 0;
    for (size_t i = 0; i < d->layout->n; i++)
        if (i != lost)
            d->left[s->n_anchors++] = d->layout->anchors[i];
    const bool done = aw_assess_zone_run(r, &map, &plan, &looks->run);
    aw_map_free(&map);
    return done;
}

/* The losses of a zone that are worst by linear p95, as places in the layout; how many. Of anchors
 * that are no candidates all. */
static size_t find_losses(drawing *d, size_t zone)
{
    const aw_looked *l = d->layout;
    const size_t most = l->at != NULL && d->most_losses < l->n ? d->most_losses : l->n;
    size_t n = 0;
    if (!d->looks->sturdy)
        return 0;
    if (l->at != NULL)
        aw_fitness_set(d->looks->fitness, l->at, l->n);
    for (size_t i = 0; i < l->n; i++) {
        double p95 = 0;
        if (l->at != NULL)
            p95 = aw_error_laws_percentile(
                &aw_fitness_laws(d->looks->fitness, zone, l->at[i])->flat, 0.95, 0);
        size_t k = n < most ? n++ : most;
        for (; k > 0 && p95 > d->worst[k - 1]; k--)
            if (k < most) {
                d->worst[k] = d->worst[k - 1];
                d->losses[k] = d->losses[k - 1];
            }
        if (k < most) {
            d->worst[k] = p95;
            d->losses[k] = i;
        }
    }
    return n;
}

/* Whether `r` is worse news than `than`. */
static bool is_worse(const aw_zone_result *r, const aw_zone_result *than)
{
    static const int rank[] = {
        [AW_NO_NEED] = 0, [AW_MET] = 1, [AW_UNDECIDED] = 2, [AW_NOT_MET] = 3};
    if (r->verdict != than->verdict)
        return rank[r->verdict] > rank[than->verdict];
    return !(r->errors.p95 <= than->errors.p95);
}

/* Takes the result of one loss into the look. */
static void take_result(const aw_looks *looks, aw_look *look, size_t zone, size_t lost,
                        const aw_zone_result *r, bool first)
{
    for (int part = 0; part < AW_PARTS; part++) {
        aw_slack *slack = &look->slack[zone * AW_PARTS + (size_t)part];
        const aw_slack own = aw_slack_of(r->parts, (aw_part)part, r->errors.cells, looks->by_value);
        if (first || (!isnan(own.left) && !(own.left >= slack->left)))
            *slack = own;
    }
    if (first || is_worse(r, &look->zones[zone])) {
        look->zones[zone] = *r;
        look->lost[zone] = lost;
    }
}

/* One zone, if sturdy with the losses that matter too. */
static bool draw_losses(drawing *d, size_t zone, bool odds, aw_look *look)
{
    const size_t n = find_losses(d, zone);
    for (size_t k = 0; k <= n; k++) {
        const size_t lost = k == 0 ? NONE : d->losses[k - 1];
        aw_zone_result r;
        if (!draw_zone(d, zone, lost, odds, &r))
            return false;
        take_result(d->looks, look, zone, lost, &r, k == 0);
    }
    return true;
}

/* A zone where nothing but a share of cells is undecided counts by its value if `by_value`. */
static aw_verdict zone_verdict(const aw_zone_result *r, bool by_value)
{
    const aw_part_result *share = &r->parts[AW_PART_SHARE];
    bool alone = share->verdict == AW_UNDECIDED && share->found.value >= share->asked;
    for (int part = 0; part < AW_PARTS; part++)
        alone = alone && (part == AW_PART_SHARE || r->parts[part].verdict == AW_MET ||
                          r->parts[part].verdict == AW_NO_NEED);
    return by_value && alone ? AW_MET : r->verdict;
}

static aw_verdict verdict_of(const aw_look *look, size_t zones, bool by_value)
{
    aw_verdict v = AW_NO_NEED;
    for (size_t i = 0; i < zones; i++)
        v = aw_verdict_join(v, zone_verdict(&look->zones[i], by_value));
    return v;
}

bool aw_looks_differ_by_value(const aw_looks *looks)
{
    for (size_t i = 0; i < looks->n; i++) {
        const aw_looked *l = looks->list[i];
        if (!l->few && verdict_of(&l->first, looks->views->n_zones, false) != AW_MET &&
            verdict_of(&l->first, looks->views->n_zones, true) == AW_MET)
            return true;
    }
    return false;
}

static bool draw_zones(drawing *d, aw_look *look, bool with_odds)
{
    const aw_views *v = d->looks->views;
    for (size_t i = 0; i < v->n_zones; i++)
        if (!draw_losses(d, i, false, look))
            return false;
    look->verdict = verdict_of(look, v->n_zones, d->looks->by_value);
    for (size_t i = 0; with_odds && look->verdict == AW_MET && i < v->n_zones; i++) {
        if (!aw_odds_exist(&d->scenario, v->zones[i].zone))
            continue;
        if (!draw_losses(d, i, true, look))
            return false;
        look->verdict = verdict_of(look, v->n_zones, d->looks->by_value);
    }
    return true;
}

static void begin_stage(const aw_looks *looks, const aw_looked *l, size_t losses, const char *what)
{
    size_t work = 0;
    if (!aw_watch_shows(looks->run.watch))
        return;
    for (size_t i = 0; i < looks->views->n_zones; i++)
        work += (1 + losses) * aw_zone_work(looks->scenario, looks->views->zones[i].zone);
    aw_watch_stage(looks->run.watch, work, "%s a layout of %zu anchors", what, l->n);
}

static bool draw(aw_looks *looks, const aw_looked *l, uint64_t seed, size_t losses, bool few,
                 aw_look *look)
{
    drawing d = {.looks = looks,
                 .layout = l,
                 .scenario = *looks->scenario,
                 .left = calloc(l->n + 1, sizeof *d.left),
                 .losses = calloc(l->n + 1, sizeof *d.losses),
                 .worst = calloc(l->n + 1, sizeof *d.worst),
                 .most_losses = losses};
    bool done = (d.left && d.losses && d.worst) || complain(looks);
    d.scenario.anchors = d.left;
    d.scenario.study.seed = seed;
    if (few) {
        d.scenario.study.draws = AW_FIRST_LOOK;
        d.scenario.study.precision = (double)NAN;
    }
    done = done && draw_zones(&d, look, !few);
    free(d.left);
    free(d.losses);
    free(d.worst);
    looks->n_drawn += done && !few;
    return done;
}

/* --- the first --- */

static double ratio_of(const aw_look *look, size_t zones)
{
    double most = 0;
    for (size_t i = 0; i < zones; i++)
        for (int part = 0; part < AW_PART_ODDS; part++) {
            const aw_part_result *r = &look->zones[i].parts[part];
            if (r->verdict != AW_NO_NEED)
                most = fmax(most, aw_part_ratio((aw_part)part, r->found.value, r->asked));
        }
    return most;
}

/* Whether few draws are enough to refuse: an interval lies wholly on the wrong side, or a share of
 * cells is far off; or none is met at a glance. */
static bool is_hopeless(const aw_looks *looks, const aw_look *look)
{
    const size_t zones = looks->views->n_zones;
    if (looks->at_a_glance)
        return look->verdict != AW_MET;
    for (size_t i = 0; i < zones; i++)
        for (int part = 0; part < AW_PARTS; part++) {
            const aw_part_result *r = &look->zones[i].parts[part];
            if (r->verdict == AW_NOT_MET &&
                (part != AW_PART_SHARE || r->found.value < r->asked - FAR_OFF))
                return true;
        }
    return false;
}

static void add_slacks(const aw_looks *looks, aw_looked *l, const aw_look *look)
{
    for (size_t i = 0; i < looks->views->n_zones * AW_PARTS; i++)
        if (!isnan(look->slack[i].left))
            aw_slacks_add(&l->slacks[i], &look->slack[i]);
    l->n_looks++;
    l->n_unmet += look->verdict != AW_MET;
}

/* Whether few draws are so few that they pay. */
static bool few_differ(const aw_looks *looks)
{
    return looks->scenario->study.draws > 2 * AW_FIRST_LOOK;
}

static bool look_first(aw_looks *looks, aw_looked *l, bool few)
{
    const uint64_t seed = looks->scenario->study.seed;
    const size_t zones = looks->views->n_zones;
    l->few = few && few_differ(looks);
    l->n_looks = l->n_unmet = 0;
    memset(l->slacks, 0, zones * AW_PARTS * sizeof *l->slacks);
    begin_stage(looks, l, looks->sturdy ? LOSSES : 0, "drawing");
    if (l->few && !draw(looks, l, seed, LOSSES, true, &l->first))
        return false;
    l->few = l->few && is_hopeless(looks, &l->first);
    if (!l->few && !draw(looks, l, seed, LOSSES, false, &l->first))
        return false;
    l->ratio = ratio_of(&l->first, zones);
    l->race = l->first.verdict == AW_MET ? AW_RACE_ON : AW_RACE_OUT;
    add_slacks(looks, l, &l->first);
    return true;
}

double aw_looks_glance(aw_looks *looks, const aw_looked *l)
{
    aw_look look = {0};
    double ratio = (double)NAN;
    if (!few_differ(looks))
        return l->ratio;
    begin_stage(looks, l, looks->sturdy ? LOSSES : 0, "drawing");
    if (!open_look(&look, looks->views->n_zones))
        complain(looks);
    else if (draw(looks, l, looks->scenario->study.seed, LOSSES, true, &look))
        ratio = ratio_of(&look, looks->views->n_zones);
    aw_look_free(&look);
    return ratio;
}

aw_looked *aw_looks_find(const aw_looks *looks, uint64_t key)
{
    for (size_t i = 0; i < looks->n; i++)
        if (looks->list[i]->key == key)
            return looks->list[i];
    return NULL;
}

/* Takes a layout into the list once it was looked at. */
static aw_looked *enter(aw_looks *looks, aw_looked *l, bool few)
{
    if (l == NULL || l->anchors == NULL || l->slacks == NULL || !make_room(looks) ||
        !open_look(&l->first, looks->views->n_zones)) {
        complain(looks);
        free_looked(l);
        return NULL;
    }
    if (!look_first(looks, l, few)) {
        free_looked(l);
        return NULL;
    }
    looks->list[looks->n++] = l;
    looks->n_layouts++;
    return l;
}

static aw_looked *make_looked(const aw_looks *looks, size_t n)
{
    aw_looked *l = calloc(1, sizeof *l);
    if (l == NULL)
        return NULL;
    l->n = n;
    l->by_value = looks->by_value;
    l->anchors = calloc(n + 1, sizeof *l->anchors);
    l->slacks = calloc(looks->views->n_zones * AW_PARTS + 1, sizeof *l->slacks);
    return l;
}

aw_looked *aw_looks_at(aw_looks *looks, const size_t layout[], size_t n, bool few)
{
    const uint64_t key = aw_layout_key(layout, n);
    aw_looked *l = aw_looks_find(looks, key);
    if (l != NULL && (few || !l->few))
        return l;
    if (l != NULL) /* few draws were enough then, and all are asked for now */
        return look_first(looks, l, false) ? l : NULL;
    l = make_looked(looks, n);
    if (l != NULL && l->anchors != NULL && (l->at = calloc(n + 1, sizeof *l->at)) != NULL) {
        l->key = key;
        for (size_t i = 0; i < n; i++) {
            const aw_candidate *c = &looks->candidates->list[layout[i]];
            l->at[i] = layout[i];
            l->price += c->price;
            l->anchors[i] =
                (aw_anchor){.name = c->name, .at = {c->at[0], c->at[1], c->at[2]}, .key = c->key};
        }
    }
    return enter(looks, l, few);
}

aw_looked *aw_looks_own(aw_looks *looks)
{
    const aw_scenario *s = looks->scenario;
    aw_looked *l = make_looked(looks, s->n_anchors);
    if (l != NULL && l->anchors != NULL)
        memcpy(l->anchors, s->anchors, s->n_anchors * sizeof *l->anchors);
    if (l != NULL)
        l->key = OWN;
    return enter(looks, l, false);
}

bool aw_looked_has_margin(const aw_looks *looks, const aw_looked *l)
{
    if (l->first.verdict != AW_MET)
        return false;
    for (size_t i = 0; i < looks->views->n_zones * AW_PARTS; i++)
        if (!isnan(l->first.slack[i].left) && !aw_slack_has_margin(&l->first.slack[i]))
            return false;
    return true;
}

/* --- the others --- */

static aw_race_end judge(const aw_looks *looks, const aw_looked *l)
{
    bool all_hold = l->n_looks >= AW_RACE_FEWEST;
    if (l->n_unmet >= 2)
        return AW_RACE_OUT;
    for (size_t i = 0; i < looks->views->n_zones * AW_PARTS; i++) {
        if (l->slacks[i].n == 0)
            continue;
        const aw_race_end end = aw_slacks_judge(&l->slacks[i]);
        if (end == AW_RACE_OUT)
            return AW_RACE_OUT;
        all_hold = all_hold && end == AW_RACE_HOLDS;
    }
    if (all_hold)
        return AW_RACE_HOLDS;
    return l->n_looks < AW_RACE_MOST ? AW_RACE_ON : AW_RACE_OUT;
}

bool aw_looks_again(aw_looks *looks, aw_looked *l)
{
    aw_look look = {0};
    const uint64_t seed = aw_look_seed(looks->scenario->study.seed, 1, l->n_looks);
    begin_stage(looks, l, looks->sturdy ? l->n : 0, "drawing again");
    bool done = open_look(&look, looks->views->n_zones) || complain(looks);
    done = done && draw(looks, l, seed, MOST_LOSSES, false, &look);
    if (done) {
        add_slacks(looks, l, &look);
        l->race = judge(looks, l);
    }
    aw_look_free(&look);
    return done;
}

bool aw_looks_confirm(aw_looks *looks, const aw_looked *l, uint64_t seed, aw_look *look)
{
    *look = (aw_look){0};
    begin_stage(looks, l, looks->sturdy ? l->n : 0, "confirming");
    return (open_look(look, looks->views->n_zones) || complain(looks)) &&
           draw(looks, l, seed, MOST_LOSSES, false, look);
}
