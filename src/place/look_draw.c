/* What one look draws is kept until its odds are known, which the same maps tell. */
#include "place/look_draw.h"

#include <math.h>
#include <stdlib.h>

#include "assess/odds.h"
#include "assess/parts.h"

#define NONE AW_NO_CANDIDATE

bool aw_looks_complain(const aw_looks *looks)
{
    aw_errors_add(looks->run.errors, AW_ERROR, 0, 0, "out of memory for the draws");
    return false;
}

/* A zone with an anchor lost, or none, drawn; its map tells the odds. */
typedef struct drawn {
    size_t zone, lost;
    aw_zone_result result;
    aw_map map;
} drawn;

typedef struct drawing {
    aw_looks *looks;
    const aw_looked *layout;
    aw_scenario scenario; /* with the layout and what to draw it by */
    aw_anchor *left;      /* without the one that is lost */
    size_t *losses;       /* room for as many as there are anchors */
    double *worst;        /* their p95 */
    size_t most_losses;
    drawn *list; /* what was drawn without odds, zone by zone */
    size_t n, room;
} drawing;

static size_t number_of(const aw_looks *looks, size_t zone)
{
    return (size_t)(looks->views->zones[zone].zone - looks->scenario->zones);
}

/* The plan of a zone with one anchor lost, or none; it stands until the next. */
static aw_zone_plan plan_of(drawing *d, size_t zone, size_t lost, bool odds)
{
    aw_scenario *s = &d->scenario;
    s->n_anchors = 0;
    for (size_t i = 0; i < d->layout->n; i++)
        if (i != lost)
            d->left[s->n_anchors++] = d->layout->anchors[i];
    return (aw_zone_plan){.scenario = s,
                          .zone = &s->zones[number_of(d->looks, zone)],
                          .judging = d->looks->judging,
                          .without_odds = !odds};
}

static drawn *next_drawn(drawing *d)
{
    if (d->n == d->room) {
        drawn *list = realloc(d->list, (2 * d->room + 8) * sizeof *list);
        if (list == NULL)
            return NULL;
        d->list = list;
        d->room = 2 * d->room + 8;
    }
    d->list[d->n] = (drawn){0};
    return &d->list[d->n++];
}

/* One of them without odds; NULL if stopped or in trouble. */
static const drawn *draw_zone(drawing *d, size_t zone, size_t lost)
{
    const aw_zone_plan plan = plan_of(d, zone, lost, false);
    drawn *one = next_drawn(d);
    if (one == NULL) {
        aw_looks_complain(d->looks);
        return NULL;
    }
    one->zone = zone;
    one->lost = lost;
    return aw_assess_zone_run(&one->result, &one->map, &plan, &d->looks->run) ? one : NULL;
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

/* One zone without odds, if sturdy with the losses that matter too. */
static bool draw_losses(drawing *d, size_t zone, aw_look *look)
{
    const size_t n = find_losses(d, zone);
    for (size_t k = 0; k <= n; k++) {
        const drawn *one = draw_zone(d, zone, k == 0 ? NONE : d->losses[k - 1]);
        if (one == NULL)
            return false;
        take_result(d->looks, look, zone, one->lost, &one->result, k == 0);
    }
    return true;
}

/* The same with odds, by the maps that there are. */
static bool add_odds(drawing *d, size_t zone, aw_look *look)
{
    bool first = true;
    for (size_t k = 0; k < d->n; k++) {
        drawn *one = &d->list[k];
        if (one->zone != zone)
            continue;
        const aw_zone_plan plan = plan_of(d, zone, one->lost, true);
        if (!aw_zone_add_odds(&one->result, &one->map, &plan, &d->looks->run))
            return false;
        take_result(d->looks, look, zone, one->lost, &one->result, first);
        first = false;
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

/* Every zone without odds first, which are nine tenths of a look; odds only where all else is met,
 * and up to the first zone that is refused. */
static bool draw_zones(drawing *d, aw_look *look, bool with_odds)
{
    const aw_views *v = d->looks->views;
    for (size_t i = 0; i < v->n_zones; i++)
        if (!draw_losses(d, i, look))
            return false;
    look->verdict = verdict_of(look, v->n_zones, d->looks->by_value);
    for (size_t i = 0; with_odds && look->verdict == AW_MET && i < v->n_zones; i++) {
        if (!aw_odds_exist(&d->scenario, v->zones[i].zone))
            continue;
        if (!add_odds(d, i, look))
            return false;
        look->verdict = verdict_of(look, v->n_zones, d->looks->by_value);
    }
    return true;
}

bool aw_look_draw(aw_look *look, aw_looks *looks, const aw_looked *l, uint64_t seed, size_t losses,
                  bool few)
{
    drawing d = {.looks = looks,
                 .layout = l,
                 .scenario = *looks->scenario,
                 .left = calloc(l->n + 1, sizeof *d.left),
                 .losses = calloc(l->n + 1, sizeof *d.losses),
                 .worst = calloc(l->n + 1, sizeof *d.worst),
                 .most_losses = losses};
    bool done = (d.left && d.losses && d.worst) || aw_looks_complain(looks);
    d.scenario.anchors = d.left;
    d.scenario.study.seed = seed;
    if (few) {
        d.scenario.study.draws = AW_FIRST_LOOK;
        d.scenario.study.precision = (double)NAN;
    }
    done = done && draw_zones(&d, look, !few);
    for (size_t k = 0; k < d.n; k++)
        aw_map_free(&d.list[k].map);
    free(d.list);
    free(d.left);
    free(d.losses);
    free(d.worst);
    looks->n_drawn += done && !few;
    return done;
}
