/* A layout is entered once it was looked at, and is found again by its key. */
#include "place/looks.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "assess/parts.h"
#include "place/look_draw.h"
#include "place/pool.h"

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

static void begin_stage(const aw_looks *looks, const aw_looked *l, size_t losses, const char *what)
{
    size_t work = 0;
    if (!aw_watch_shows(looks->run.watch))
        return;
    for (size_t i = 0; i < looks->views->n_zones; i++)
        work += (1 + losses) * aw_zone_work(looks->scenario, looks->views->zones[i].zone);
    aw_watch_stage(looks->run.watch, work, "%s a layout of %zu anchors", what, l->n);
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
    if (l->few && !aw_look_draw(&l->first, looks, l, seed, LOSSES, true))
        return false;
    l->few = l->few && is_hopeless(looks, &l->first);
    if (!l->few && !aw_look_draw(&l->first, looks, l, seed, LOSSES, false))
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
        aw_looks_complain(looks);
    else if (aw_look_draw(&look, looks, l, looks->scenario->study.seed, LOSSES, true))
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
        aw_looks_complain(looks);
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
    bool done = open_look(&look, looks->views->n_zones) || aw_looks_complain(looks);
    done = done && aw_look_draw(&look, looks, l, seed, MOST_LOSSES, false);
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
    return (open_look(look, looks->views->n_zones) || aw_looks_complain(looks)) &&
           aw_look_draw(look, looks, l, seed, MOST_LOSSES, false);
}
