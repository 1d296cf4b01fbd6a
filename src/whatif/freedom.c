/* Anchor by anchor: what its samples use of each need, the level up to which draws hold, the
 * region, its border drawn once more, and what fails beyond it. */
#include "anchorwise/freedom.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/vary.h"
#include "assess/zone_assess.h"
#include "base/parallel.h"
#include "whatif/region.h"

/* A zone of whose need no sample uses more than this is not drawn: linear estimates, once set to
 * the draws, are not that far off. Nor is what uses more than the most: it fails. */
#define SAFE 0.6
#define MOST 1.5
/* Halvings of a level, and samples drawn just under it each time. */
#define HALVINGS 6
#define PROBES   2
/* Times that a region is made anew after draws took something from it or gave it something. */
#define ROUNDS 100
/* About how many samples of an anchor are drawn for a zone. */
#define DRAWN 6

typedef struct job {
    aw_freedoms *out;
    const aw_scenario *scenario;
    const aw_scene *scene;
    size_t anchor; /* the one that is asked for; n_anchors: all of them */
    aw_samples *samples;
    const aw_run *run;
    bool beside; /* others are looked at at the same time: begins no stage */
    bool broken; /* stopped or without memory */
} job;

aw_point aw_freedom_corner(const aw_freedoms *f, const double at[3], size_t i, size_t j)
{
    return (aw_point){at[0] + ((double)i - AW_FREEDOM_STEPS) * f->step,
                      at[1] + ((double)j - AW_FREEDOM_STEPS) * f->step};
}

bool aw_freedom_holds(const aw_freedoms *all, const aw_freedom *f, const aw_scenario *s,
                      aw_point at)
{
    const aw_point low = aw_freedom_corner(all, s->anchors[f->anchor].at, 0, 0);
    const double x = floor((at.x - low.x) / all->step), y = floor((at.y - low.y) / all->step);
    return x >= 0 && y >= 0 && x < AW_FREEDOM_SQUARES && y < AW_FREEDOM_SQUARES &&
           f->square[(size_t)y][(size_t)x];
}

/* --- draws --- */

/* The layout with the anchor at a place. False without memory (an error); aw_varied_free() it
 * either way. */
static bool move_to(aw_varied *moved, const job *j, const double at[3])
{
    *moved = aw_vary(j->scenario);
    const bool done = aw_varied_move_anchor(moved, j->samples->anchor, at);
    if (!done)
        aw_errors_add(j->run->errors, AW_ERROR, 0, 0, "out of memory for the places of an anchor");
    return done;
}

static aw_zone_plan plan_of(const job *j, const aw_varied *moved, size_t zone)
{
    return (aw_zone_plan){.scenario = &moved->scenario,
                          .zone = &j->scenario->zones[zone],
                          .judging = AW_JUDGE_VERDICT,
                          .beside = j->beside};
}

/* The share of cells holds with a cell in hand: a place between two samples may lose one. */
static bool holds_in_hand(const aw_zone_result *r)
{
    const aw_part_result *share = &r->parts[AW_PART_SHARE];
    const double cell = 1 / (double)r->errors.cells;
    return aw_zone_holds(r) &&
           (share->verdict == AW_NO_NEED || share->found.value - cell >= share->asked ||
            share->found.value == 1);
}

/* A zone that has no cell in hand as planned is not asked for one. */
static bool keeps_its_need(const job *j, size_t zone, const aw_zone_result *r)
{
    return holds_in_hand(&j->out->today[zone]) ? holds_in_hand(r) : aw_zone_holds(r);
}

static bool holds_at(job *j, size_t zone, size_t slot)
{
    unsigned char *known = &j->samples->drawn[zone * AW_SLOTS + slot];
    aw_varied moved;
    aw_zone_result r;
    if (*known != AW_DRAWN_NOT)
        return *known == AW_DRAWN_HOLDS;
    const bool done = move_to(&moved, j, j->samples->at[slot]);
    const aw_zone_plan plan = plan_of(j, &moved, zone);
    if (!done || !aw_zone_ask(&r, &plan, j->run)) {
        j->broken = true;
    } else {
        *known = keeps_its_need(j, zone, &r) ? AW_DRAWN_HOLDS : AW_DRAWN_FAILS;
    }
    aw_varied_free(&moved);
    return *known == AW_DRAWN_HOLDS;
}

/* --- levels --- */

typedef struct ranked {
    double share;
    size_t slot;
} ranked;

static int compare_ranked(const void *a, const void *b)
{
    const ranked *p = a, *q = b;
    if (p->share != q->share)
        return p->share < q->share ? -1 : 1;
    return p->slot < q->slot ? -1 : 1;
}

static size_t rank_samples(const job *j, size_t zone, ranked list[AW_SLOTS])
{
    size_t n = 0;
    for (size_t slot = 0; slot < AW_SLOTS; slot++)
        if (j->samples->blocked[slot] == AW_LIMIT_REACH)
            list[n++] = (ranked){j->samples->uses[zone * AW_SLOTS + slot].share, slot};
    qsort(list, n, sizeof *list, compare_ranked);
    return n;
}

/* How many of the list use at most a share. */
static size_t count_within(const ranked list[], size_t n, double share)
{
    while (n > 0 && list[n - 1].share > share)
        n--;
    return n;
}

/* Whether those of the first n that use most hold by draws. */
static bool top_holds(job *j, size_t zone, const ranked list[], size_t n)
{
    for (size_t k = 0; k < PROBES && k < n && !j->broken; k++)
        if (!holds_at(j, zone, list[n - 1 - k].slot))
            return false;
    return !j->broken;
}

static double find_level(job *j, size_t zone)
{
    ranked list[AW_SLOTS];
    const size_t n = rank_samples(j, zone, list), most = count_within(list, n, MOST);
    double low = j->samples->uses[zone * AW_SLOTS + aw_slot_own()].share;
    if (list[n - 1].share <= SAFE)
        return HUGE_VAL;
    if (most == 0 || top_holds(j, zone, list, most))
        return most == n ? HUGE_VAL : MOST;
    double high = list[most - 1].share;
    for (int i = 0; i < HALVINGS && !j->broken; i++) {
        const double middle = (low + high) / 2;
        if (top_holds(j, zone, list, count_within(list, n, middle)))
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* --- the border --- */

/* The samples of the region, and of the band, that use most of a need. */
static size_t find_most_used(const job *j, const aw_freedom *f, size_t zone)
{
    const aw_need_usage *uses = &j->samples->uses[zone * AW_SLOTS];
    size_t most = aw_slot_own();
    for (size_t y = 0; y < AW_FREEDOM_SQUARES; y++)
        for (size_t x = 0; x < AW_FREEDOM_SQUARES; x++)
            for (size_t k = 0; f->square[y][x] && k < 4; k++) {
                const size_t slot = aw_slot_corner(x + k % 2, y + k / 2);
                if (uses[slot].share > uses[most].share)
                    most = slot;
            }
    return most;
}

/* Lowers the level of a zone whose need fails at a sample; whether it did. */
static bool gives_up(job *j, size_t zone, size_t slot)
{
    const double share = j->samples->uses[zone * AW_SLOTS + slot].share;
    if (share <= SAFE || slot == aw_slot_own() || holds_at(j, zone, slot) || j->broken)
        return false;
    j->samples->level[zone] = nextafter(share, 0);
    return true;
}

static bool border_gives_up(job *j, const aw_freedom *f)
{
    bool any = false;
    for (size_t z = 0; z < j->scenario->n_zones; z++) {
        if (!j->out->kept[z])
            continue;
        any = gives_up(j, z, find_most_used(j, f, z)) || any;
        for (int side = 0; side < AW_SIDES; side++)
            any = gives_up(j, z, aw_region_last(f, (aw_side)side, j->out->step)) || any;
    }
    return any;
}

static size_t find_slot(const aw_samples *x, const double at[3])
{
    size_t slot = 0;
    while (memcmp(x->at[slot], at, sizeof x->at[slot]) != 0)
        slot++;
    return slot;
}

/* Whether some first place beyond, that linear estimates gave up, holds by draws after all: for
 * each zone that they name, until one fails. */
static bool border_wins(job *j, const aw_freedom *f)
{
    bool any = false;
    for (int side = 0; side < AW_SIDES && !j->broken; side++) {
        const aw_limit *l = &f->sides[side];
        if (l->kind != AW_LIMIT_NEED)
            continue;
        const size_t slot = find_slot(j->samples, l->beyond), n = j->scenario->n_zones;
        for (size_t z = l->zone; z < n && holds_at(j, z, slot) && !j->broken;
             z = aw_sample_offends(j->samples, slot))
            any = true;
    }
    return any;
}

/* What fails beyond a side by its need, told by the draws and the rule by which it was given up. */
static void tell_limit(job *j, aw_limit *limit)
{
    aw_varied moved;
    aw_zone_result r;
    aw_map map = {0};
    if (limit->kind != AW_LIMIT_NEED)
        return;
    bool drawn = move_to(&moved, j, limit->beyond);
    const aw_zone_plan plan = plan_of(j, &moved, limit->zone);
    drawn = drawn && aw_assess_zone_run(&r, &map, &plan, j->run);
    aw_map_free(&map);
    aw_varied_free(&moved);
    if (!drawn) {
        j->broken = true;
        return;
    }
    const aw_part failed = aw_zone_fails_by(&r);
    limit->in_hand = failed == AW_PARTS && !keeps_its_need(j, limit->zone, &r);
    limit->part = failed != AW_PARTS ? failed : limit->in_hand ? AW_PART_SHARE : limit->part;
    limit->found = r.parts[limit->part].found;
    limit->verdict = r.parts[limit->part].verdict;
}

/* --- one anchor --- */

static bool find_uses(job *j)
{
    const aw_samples *x = j->samples;
    const size_t own = aw_slot_own();
    double(*to)[3] = calloc(AW_SLOTS, sizeof *to);
    aw_need_usage *uses = calloc(AW_SLOTS, sizeof *uses);
    size_t slots[AW_SLOTS] = {own}, n = 1;
    bool done = to != NULL && uses != NULL;
    if (!done)
        aw_errors_add(j->run->errors, AW_ERROR, 0, 0, "out of memory for the places of an anchor");
    for (size_t slot = 0; slot < AW_SLOTS; slot++)
        if (x->blocked[slot] == AW_LIMIT_REACH && slot != own)
            slots[n++] = slot;
    for (size_t k = 0; done && k < n; k++)
        memcpy(to[k], x->at[slots[k]], sizeof to[k]);
    for (size_t z = 0; done && z < j->scenario->n_zones; z++) {
        const aw_moves_plan plan = {j->scenario,
                                    j->scene,
                                    &j->scenario->zones[z],
                                    &j->out->today[z],
                                    x->anchor,
                                    (const double(*)[3])to,
                                    n,
                                    SAFE};
        if (!j->out->kept[z])
            continue;
        done = aw_moves_run(uses, &plan, j->run);
        for (size_t k = 0; k < n; k++)
            x->uses[z * AW_SLOTS + slots[k]] = uses[k];
    }
    free(to);
    free(uses);
    return done;
}

/* Units of looking at an anchor's places by linear estimates, or by draws. */
static size_t work_of(const job *j, bool draws)
{
    const aw_scenario *s = j->scenario;
    size_t work = 0;
    for (size_t z = 0; z < s->n_zones; z++)
        if (j->out->kept[z])
            work += draws ? DRAWN * aw_zone_work(s, &s->zones[z])
                          : AW_SLOTS * j->out->today[z].errors.cells;
    return work;
}

static void begin(const job *j, bool draws)
{
    const aw_scenario *s = j->scenario;
    const size_t anchor = j->samples->anchor;
    if (!j->beside && aw_watch_shows(j->run->watch))
        aw_watch_stage(j->run->watch, work_of(j, draws), "anchor %zu of %zu, %s, %s", anchor + 1,
                       s->n_anchors, draws ? "drawn" : "looked at", s->anchors[anchor].name);
}

static void begin_beside(const job *j, size_t n)
{
    if (aw_watch_shows(j->run->watch))
        aw_watch_stage(j->run->watch, n * (work_of(j, false) + work_of(j, true)),
                       "places of %zu anchors", n);
}

static bool look_at(job *j, size_t anchor, aw_freedom *f)
{
    aw_samples_lay(j->samples, j->scenario, anchor, j->out->step);
    memset(j->samples->drawn, AW_DRAWN_NOT, j->scenario->n_zones * AW_SLOTS);
    begin(j, false);
    if (!find_uses(j))
        return false;
    begin(j, true);
    for (size_t z = 0; z < j->scenario->n_zones && !j->broken; z++)
        j->samples->level[z] = j->out->kept[z] ? find_level(j, z) : HUGE_VAL;
    for (int round = 0; round < ROUNDS && !j->broken; round++) {
        aw_region_fill(f, j->samples);
        if (!border_gives_up(j, f) && !border_wins(j, f))
            break;
    }
    for (int side = 0; side < AW_SIDES && !j->broken; side++)
        tell_limit(j, &f->sides[side]);
    return !j->broken;
}

/* --- the study --- */

size_t aw_freedom_work(const aw_scenario *s, size_t n_anchors)
{
    size_t work = 0;
    for (size_t i = 0; i < s->n_zones; i++) {
        aw_scenario one = *s;
        one.study.draws = 1;
        one.study.precision = (double)NAN;
        const size_t once = aw_zone_work(s, &s->zones[i]);
        const size_t cells = aw_zone_work(&one, &s->zones[i]);
        work += once;
        if (aw_need_is_stated(&s->zones[i].need))
            work += n_anchors * (cells * AW_SLOTS + DRAWN * once);
    }
    return work;
}

static bool judge_today(aw_freedoms *f, const aw_scenario *s, const aw_run *run)
{
    for (size_t z = 0; z < s->n_zones; z++) {
        aw_zone_stage(run->watch, s, z, "as planned: ");
        if (!aw_assess_zone(&f->today[z], s, &s->zones[z], run))
            return false;
        f->kept[z] = aw_need_is_stated(&s->zones[z].need) && aw_zone_holds(&f->today[z]);
        f->n_kept += f->kept[z];
    }
    return true;
}

static bool equip(job *j, aw_samples *x)
{
    const size_t zones = j->scenario->n_zones + 1;
    j->samples = x;
    x->kept = j->out->kept;
    x->uses = calloc(zones * AW_SLOTS, sizeof *x->uses);
    x->level = calloc(zones, sizeof *x->level);
    x->drawn = calloc(zones, AW_SLOTS);
    return x->uses != NULL && x->level != NULL && x->drawn != NULL;
}

/* One of the anchors that are asked for, with whichever threads the run has. */
static bool look_at_one(void *context, size_t i, const aw_run *run)
{
    const job *all = context;
    const size_t n = all->scenario->n_anchors;
    aw_samples *x = calloc(1, sizeof *x);
    job j = *all;
    j.run = run;
    bool done = x != NULL && j.scene != NULL && equip(&j, x);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the places of an anchor");
    done = done && look_at(&j, all->anchor < n ? all->anchor : i, &all->out->list[i]);
    if (x != NULL) {
        free(x->uses);
        free(x->level);
        free(x->drawn);
    }
    free(x);
    return done;
}

/* Anchors go side by side, a thread to each, where there are several for every thread and none of
 * them has maps of many cells. */
static bool go_beside(const job *j, size_t n)
{
    for (size_t z = 0; z < j->scenario->n_zones; z++)
        if (j->out->kept[z] && j->out->today[z].errors.cells > AW_MOST_BESIDE)
            return false;
    return n >= 2 * aw_run_threads(j->run);
}

static bool look_at_all(job *j)
{
    const size_t n = j->anchor < j->scenario->n_anchors ? 1 : j->scenario->n_anchors;
    bool done = true;
    j->beside = go_beside(j, n);
    if (j->beside) {
        begin_beside(j, n);
        done = aw_side_by_side(n, j->run, look_at_one, j);
    }
    for (size_t i = 0; !j->beside && done && i < n; i++)
        done = look_at_one(j, i, j->run);
    j->out->n = n;
    return done;
}

bool aw_freedom_run(aw_freedoms *f, const aw_scenario *s, size_t anchor, double reach,
                    const aw_run *run)
{
    *f = (aw_freedoms){.reach = reach, .step = reach / AW_FREEDOM_STEPS};
    f->list = calloc(s->n_anchors, sizeof *f->list);
    f->today = calloc(s->n_zones + 1, sizeof *f->today);
    f->kept = calloc(s->n_zones + 1, sizeof *f->kept);
    if (f->list == NULL || f->today == NULL || f->kept == NULL) {
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the anchors");
        return false;
    }
    if (!judge_today(f, s, run))
        return false;
    if (f->n_kept == 0)
        return true;
    aw_scene *scene = aw_scene_create(s);
    job j = {.out = f, .scenario = s, .scene = scene, .anchor = anchor, .run = run};
    const bool done = look_at_all(&j);
    aw_scene_free(scene);
    return done;
}

void aw_freedom_free(aw_freedoms *f)
{
    free(f->list);
    free(f->today);
    free(f->kept);
    free(f->shared);
    *f = (aw_freedoms){0};
}
