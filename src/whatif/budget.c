/* All tolerances at once: what each uses of every need is drawn by itself and added up, and looks
 * with seeds that chose nothing confirm what comes of that. */
#include <math.h>
#include <stdlib.h>

#include "assess/zone_assess.h"
#include "place/race.h"
#include "position/trials.h"
#include "whatif/need_left.h"
#include "whatif/tolerance.h"

/* What is kept of every need, as a share of what is asked. */
#define RESERVE 0.02
/* Looks that confirm, and what each part must leave on average of them, in units of its scatter
 * from look to look: with four looks' own scatter, and many parts that all have to hold, a fresh
 * look is then met with 97 % and more. */
#define LOOKS  4
#define MARGIN 2.8
/* Names of the random numbers. */
#define TERM 34u
#define CELL 0xFFFFFFFFu

typedef struct job {
    aw_sensitivity *all;
    const aw_scenario *scenario;
    const aw_run *run;
    aw_varied exact;            /* the scenario where none of the four errs */
    aw_zone_result *as_exact;   /* of each zone, by all draws; owned */
    aw_zone_result *look;       /* by few; owned */
    double *left;               /* left[zone * AW_PARTS + part]; NaN: not held; owned */
    double *uses;               /* by tolerance, rung, zone and part; NaN: not drawn yet; owned */
    size_t rung[AW_TOLERANCES]; /* on which each stands */
    uint32_t seed;              /* number of the next one */
    bool broken;                /* stopped or without memory */
} job;

static void complain(job *j)
{
    aw_errors_add(j->run->errors, AW_ERROR, 0, 0, "out of memory for the tolerances");
    j->broken = true;
}

static bool is_held(const job *j, size_t zone)
{
    return j->all->budget.held[zone];
}

/* --- what is left, and what a tolerance uses --- */

static void find_left(job *j)
{
    for (size_t z = 0; z < j->all->n_zones && !j->broken; z++) {
        aw_zone_result *r = &j->as_exact[z];
        const aw_scenario *s = &j->exact.scenario;
        double least = HUGE_VAL;
        if (!aw_need_is_stated(&j->all->zones[z].need))
            continue;
        j->broken = !aw_assess_zone(r, s, &j->all->zones[z], j->run) ||
                    !aw_need_look(&j->look[z], s, z, j->run);
        for (size_t part = 0; part < AW_PARTS && !j->broken; part++) {
            double *left = &j->left[z * AW_PARTS + part];
            j->broken = !aw_need_left(left, r, s, z, (aw_part)part, j->run);
            least = isnan(*left) ? least : fmin(least, *left);
        }
        j->all->budget.held[z] = !j->broken && r->verdict == AW_MET && least > RESERVE;
    }
}

static double *uses_at(const job *j, int kind, size_t rung, size_t zone)
{
    return &j->uses[(((size_t)kind * aw_tolerance_rungs() + rung) * j->all->n_zones + zone) *
                    AW_PARTS];
}

static void draw_zone(job *j, int kind, size_t rung, size_t zone)
{
    aw_varied other = aw_vary(&j->exact.scenario);
    aw_zone_result r;
    double *uses = uses_at(j, kind, rung, zone);
    if (!aw_tolerance_set(&other, (aw_tolerance_kind)kind, aw_tolerance_rung(rung)))
        complain(j);
    else
        j->broken = !aw_need_look(&r, &other.scenario, zone, j->run);
    for (size_t part = 0; part < AW_PARTS && !j->broken; part++)
        uses[part] = isnan(j->left[zone * AW_PARTS + part])
                         ? 0
                         : aw_need_rise((aw_part)part, &j->as_exact[zone], &j->look[zone], &r);
    aw_varied_free(&other);
}

/* What a tolerance uses of a zone's need, by part; drawn when it is first asked for. */
static const double *uses_of(job *j, int kind, size_t zone)
{
    static const double nothing[AW_PARTS];
    const double *uses = uses_at(j, kind, j->rung[kind], zone);
    if (j->rung[kind] == 0)
        return nothing;
    if (isnan(uses[0]))
        draw_zone(j, kind, j->rung[kind], zone);
    return uses;
}

static bool suffices(job *j)
{
    for (size_t z = 0; z < j->all->n_zones; z++)
        for (size_t part = 0; is_held(j, z) && part < AW_PARTS; part++) {
            double sum = 0;
            for (int kind = 0; kind < AW_TOLERANCES && !j->broken; kind++)
                sum += uses_of(j, kind, z)[part];
            if (j->broken || sum > j->left[z * AW_PARTS + part] - RESERVE)
                return false;
        }
    return true;
}

/* --- rungs --- */

/* Each as many rungs below its own tolerance, none below the lowest. */
static void step_down(job *j, const size_t from[AW_TOLERANCES], size_t by)
{
    for (int kind = 0; kind < AW_TOLERANCES; kind++)
        j->rung[kind] = from[kind] > by ? from[kind] - by : 0;
}

static void find_top(const job *j, size_t top[AW_TOLERANCES])
{
    for (int kind = 0; kind < AW_TOLERANCES; kind++) {
        const double most = j->all->tolerances[kind].most;
        top[kind] = aw_tolerance_rungs() - 1;
        while (top[kind] > 0 && aw_tolerance_rung(top[kind]) > most)
            top[kind]--;
    }
}

/* The same step down for all by halving, then each up in turn while every need allows it. */
static void share_out(job *j)
{
    size_t top[AW_TOLERANCES], low = 0, high = aw_tolerance_rungs();
    find_top(j, top);
    step_down(j, top, 0);
    if (!suffices(j)) {
        while (high - low > 1 && !j->broken) {
            const size_t middle = (low + high) / 2;
            step_down(j, top, middle);
            if (suffices(j))
                high = middle;
            else
                low = middle;
        }
        step_down(j, top, high);
    }
    for (bool any = true; any && !j->broken;) {
        any = false;
        for (int kind = 0; kind < AW_TOLERANCES && !j->broken; kind++) {
            if (j->rung[kind] + 1 >= aw_tolerance_rungs())
                continue;
            j->rung[kind]++;
            if (suffices(j))
                any = true;
            else
                j->rung[kind]--;
        }
    }
}

/* --- looks --- */

/* One more look at every zone that is held: adds its slacks. False if broken. */
static bool look_again(job *j, const aw_scenario *s, aw_slacks slacks[])
{
    aw_scenario again = *s;
    again.study.seed =
        (uint64_t)(aw_uniform(j->scenario->study.seed, CELL, 0, TERM, j->seed++) * 0x1p53);
    for (size_t z = 0; z < j->all->n_zones; z++) {
        aw_zone_result r;
        if (!is_held(j, z))
            continue;
        if (!aw_assess_zone(&r, &again, &j->all->zones[z], j->run))
            return false;
        for (int part = 0; part < AW_PARTS; part++) {
            const aw_slack slack = aw_slack_of(r.parts, (aw_part)part, r.errors.cells, false);
            if (r.parts[part].verdict != AW_NO_NEED)
                aw_slacks_add(&slacks[z * AW_PARTS + (size_t)part], &slack);
        }
    }
    return true;
}

/* The part with the least margin, in units of what it scatters from look to look, and its zone. */
static double least_margin(const job *j, const aw_slacks slacks[], size_t *zone)
{
    double least = HUGE_VAL;
    for (size_t k = 0; k < j->all->n_zones * AW_PARTS; k++) {
        const double margin = slacks[k].n > 0 ? aw_slacks_margin(&slacks[k]) : HUGE_VAL;
        if (!(margin >= least)) {
            least = margin;
            *zone = k / AW_PARTS;
        }
    }
    return least;
}

/* Whether looks confirm the rungs; if not, the zone that refuses them. A look that is not met ends
 * it. */
static bool is_confirmed(job *j, size_t *zone)
{
    aw_slacks *slacks = calloc(j->all->n_zones * AW_PARTS, sizeof *slacks);
    aw_varied other = aw_vary(&j->exact.scenario);
    bool sound = slacks != NULL, met = true;
    for (int kind = 0; kind < AW_TOLERANCES && sound; kind++)
        sound = aw_tolerance_set(&other, (aw_tolerance_kind)kind, aw_tolerance_rung(j->rung[kind]));
    if (!sound)
        complain(j);
    for (size_t n = 0; n < LOOKS && met && !j->broken; n++) {
        j->broken = !look_again(j, &other.scenario, slacks);
        met = !j->broken && least_margin(j, slacks, zone) >= (n + 1 < LOOKS ? 0 : MARGIN);
    }
    aw_varied_free(&other);
    free(slacks);
    return met && !j->broken;
}

/* One rung down what uses most of a zone's need; false if nothing is left to go down. */
static bool give_way(job *j, size_t zone)
{
    int worst = -1;
    double most = -1;
    for (int kind = 0; kind < AW_TOLERANCES && !j->broken; kind++) {
        double uses = 0;
        for (size_t part = 0; j->rung[kind] > 0 && part < AW_PARTS; part++)
            uses = fmax(uses, uses_of(j, kind, zone)[part]);
        if (j->rung[kind] > 0 && uses > most) {
            most = uses;
            worst = kind;
        }
    }
    if (worst >= 0)
        j->rung[worst]--;
    return worst >= 0;
}

/* --- all --- */

static bool make_room(job *j)
{
    const size_t n = j->all->n_zones, all = AW_TOLERANCES * aw_tolerance_rungs() * n * AW_PARTS;
    j->exact = aw_vary(j->scenario);
    j->as_exact = calloc(n, sizeof *j->as_exact);
    j->look = calloc(n, sizeof *j->look);
    j->left = calloc(n * AW_PARTS, sizeof *j->left);
    j->uses = calloc(all, sizeof *j->uses);
    bool sound = j->as_exact != NULL && j->look != NULL && j->left != NULL && j->uses != NULL;
    for (size_t k = 0; sound && k < all; k++)
        j->uses[k] = (double)NAN;
    for (int kind = 0; sound && kind < AW_TOLERANCES; kind++)
        sound = aw_tolerance_set(&j->exact, (aw_tolerance_kind)kind, 0);
    if (!sound)
        complain(j);
    return sound;
}

static bool any_is_held(const job *j)
{
    for (size_t z = 0; z < j->all->n_zones; z++)
        if (is_held(j, z))
            return true;
    return false;
}

bool aw_budget_run(aw_sensitivity *v, const aw_scenario *s, const aw_run *run)
{
    job j = {.all = v, .scenario = s, .run = run};
    bool stated = false, found = false;
    size_t zone = 0;
    for (size_t z = 0; z < v->n_zones; z++)
        stated = stated || aw_need_is_stated(&v->zones[z].need);
    for (int kind = 0; kind < AW_TOLERANCES; kind++)
        v->budget.most[kind] = (double)NAN;
    if (!stated)
        return true;
    aw_watch_stage(run->watch, 0, "all tolerances together");
    if (make_room(&j))
        find_left(&j);
    if (!j.broken && any_is_held(&j)) {
        share_out(&j);
        do
            found = !j.broken && is_confirmed(&j, &zone);
        while (!found && !j.broken && give_way(&j, zone));
    }
    for (int kind = 0; kind < AW_TOLERANCES && found; kind++)
        v->budget.most[kind] = aw_tolerance_rung(j.rung[kind]);
    v->budget.looks = found ? LOOKS : 0;
    aw_varied_free(&j.exact);
    free(j.as_exact);
    free(j.look);
    free(j.left);
    free(j.uses);
    return !j.broken;
}
