/* Zone by zone: each assumption at its ends, then all of them drawn together. */
#include "anchorwise/sensitivity.h"

#include <math.h>
#include <stdlib.h>

#include "assess/odds.h"
#include "assess/parts.h"
#include "whatif/sensed.h"
#include "whatif/tolerance.h"

/* Draws of a cell under one joint draw, and the cells that are drawn, so that a zone has about
 * JOINT_FIXES: those of a hundred joint draws differ by far more than these leave uncertain. */
#define JOINT_FIXES 30000
#define LEAST_JOINT 64
#define MOST_JOINT  256
#define JOINT_CELLS (JOINT_FIXES / LEAST_JOINT)

/* All assumptions of a zone drawn. */
typedef struct joint_draws {
    const aw_sensed *zone;
    aw_zone_result result[AW_JOINT];
} joint_draws;

const aw_sensitivity_end *aw_sensitivity_at(const aw_sensitivity *v, size_t zone, aw_assumption a,
                                            int end)
{
    return &v->ends[(zone * AW_ASSUMPTIONS + (size_t)a) * 2 + (size_t)end];
}

double aw_sensitivity_movement(const aw_sensitivity *v, size_t zone, aw_assumption a)
{
    const double low = fabs(aw_sensitivity_at(v, zone, a, 0)->change.value);
    const double high = fabs(aw_sensitivity_at(v, zone, a, 1)->change.value);
    return fmax(isnan(low) ? 0 : low, isnan(high) ? 0 : high);
}

size_t aw_sensitivity_rank(const aw_sensitivity *v, size_t zone,
                           aw_assumption order[AW_ASSUMPTIONS])
{
    size_t n = 0;
    for (int a = 0; a < AW_ASSUMPTIONS; a++) {
        size_t k = n;
        if (!v->assumed[a].present)
            continue;
        for (; k > 0 && aw_sensitivity_movement(v, zone, (aw_assumption)a) >
                            aw_sensitivity_movement(v, zone, order[k - 1]);
             k--)
            order[k] = order[k - 1];
        order[k] = (aw_assumption)a;
        n++;
    }
    return n;
}

/* --- jointly --- */

static int compare_doubles(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

static double ranked(const double sorted[AW_JOINT], double q)
{
    return sorted[(size_t)ceil(q * AW_JOINT - 1e-9) - 1];
}

static aw_estimate share_of(size_t n)
{
    aw_estimate e = {.value = (double)n / AW_JOINT};
    aw_binomial_interval(n, AW_JOINT, &e.low, &e.high);
    return e;
}

static uint32_t draws_of_joint(const aw_scenario *s, size_t cells)
{
    const size_t n = JOINT_FIXES / (cells + 1);
    const size_t held = n < LEAST_JOINT ? LEAST_JOINT : n < MOST_JOINT ? n : MOST_JOINT;
    return s->study.draws < held ? s->study.draws : (uint32_t)held;
}

static bool run_joint_draw(void *context, size_t draw, const aw_run *run)
{
    joint_draws *all = context;
    const aw_sensed *z = all->zone;
    double values[AW_ASSUMPTIONS];
    aw_varied other = aw_vary(z->scenario);
    aw_map map = {0};
    aw_assumptions_draw(z->scenario, (uint32_t)draw, values);
    bool done = aw_varied_assume_all(&other, values);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the assumptions");
    other.scenario.study.precision = (double)NAN;
    other.scenario.study.draws = draws_of_joint(z->scenario, z->out->today[z->zone].errors.cells);
    const aw_zone_plan plan = {.scenario = &other.scenario,
                               .judging = AW_JUDGE_PARTS,
                               .without_odds = true,
                               .most_cells = JOINT_CELLS,
                               .which_cells = (uint32_t)draw,
                               .beside = aw_sensed_beside(z)};
    done = done && aw_sensed_judge(&all->result[draw], &map, z, plan, run);
    aw_map_free(&map);
    aw_varied_free(&other);
    return done;
}

/* `held` tells of each joint draw whether every need so far held. */
static bool run_joint(const aw_sensed *z, bool held[AW_JOINT])
{
    const double none = (double)NAN;
    const bool stated = aw_need_is_stated(&z->out->zones[z->zone].need);
    aw_joint *joint = &z->out->joint[z->zone];
    joint_draws all = {.zone = z};
    double p95[AW_JOINT];
    size_t holding = 0;
    if (!aw_sensed_pieces(z, AW_JOINT, run_joint_draw, &all))
        return false;
    for (size_t draw = 0; draw < AW_JOINT; draw++) {
        const aw_zone_result *r = &all.result[draw];
        const bool holds = !stated || (r->errors.cells > 0 && aw_zone_holds(r));
        p95[draw] = isnan(r->errors.p95) ? HUGE_VAL : r->errors.p95;
        holding += holds;
        held[draw] = held[draw] && holds;
    }
    qsort(p95, AW_JOINT, sizeof *p95, compare_doubles);
    *joint = (aw_joint){ranked(p95, 0.05), ranked(p95, 0.5), ranked(p95, 0.95),
                        stated ? share_of(holding) : (aw_estimate){none, none, none}};
    return true;
}

/* --- the study --- */

/* A zone with each assumption at both its ends, or with all of them drawn. */
static size_t zone_work(const aw_scenario *s, const aw_zone *z, bool jointly)
{
    aw_scenario joint = *s;
    size_t ends = 1;
    joint.study.draws = LEAST_JOINT;
    for (int a = 0; a < AW_ASSUMPTIONS; a++)
        ends += aw_assumption_range_of(s, (aw_assumption)a).present ? 2 : 0;
    return jointly ? AW_JOINT * aw_zone_work(&joint, z) : ends * aw_zone_work(s, z);
}

static void begin(const aw_sensed *j, bool jointly)
{
    const aw_sensitivity *v = j->out;
    const aw_zone *z = j->scenario->n_zones > 0 ? &v->zones[j->zone] : NULL;
    if (aw_watch_shows(j->run->watch))
        aw_watch_stage(j->run->watch, zone_work(j->scenario, z, jointly), "zone %zu of %zu, %s, %s",
                       j->zone + 1, v->n_zones,
                       jointly ? "all assumptions together" : "one assumption at a time",
                       v->zones[j->zone].name);
}

static size_t zones_of(const aw_scenario *s)
{
    return s->n_zones > 0 ? s->n_zones : 1;
}

size_t aw_sensitivity_work(const aw_scenario *s)
{
    size_t work = 0;
    for (size_t i = 0; i < zones_of(s); i++) {
        const aw_zone *z = s->n_zones > 0 ? &s->zones[i] : NULL;
        work += zone_work(s, z, false) + zone_work(s, z, true);
    }
    return work + aw_tolerances_work(s);
}

static bool take_zones(aw_sensitivity *v, const aw_scenario *s)
{
    v->n_zones = zones_of(s);
    v->zones = calloc(v->n_zones, sizeof *v->zones);
    v->today = calloc(v->n_zones, sizeof *v->today);
    v->ends = calloc(v->n_zones * AW_ASSUMPTIONS * 2, sizeof *v->ends);
    v->joint = calloc(v->n_zones, sizeof *v->joint);
    v->without_room = calloc(v->n_zones * AW_TOLERANCES, sizeof *v->without_room);
    v->budget.held = calloc(v->n_zones, sizeof *v->budget.held);
    if (v->zones == NULL || v->today == NULL || v->ends == NULL || v->joint == NULL ||
        v->without_room == NULL || v->budget.held == NULL)
        return false;
    for (size_t i = 0; i < s->n_zones; i++)
        v->zones[i] = s->zones[i];
    if (s->n_zones == 0) {
        const double none = (double)NAN;
        v->zones[0] = (aw_zone){.name = "floor",
                                .outline = s->floor.outline,
                                .need = {none, none, none, none, none, none, none, none, none}};
    }
    for (int a = 0; a < AW_ASSUMPTIONS; a++)
        v->assumed[a] = aw_assumption_range_of(s, (aw_assumption)a);
    return true;
}

static void set_holding(aw_sensitivity *v, const bool held[AW_JOINT])
{
    bool stated = false;
    size_t n = 0;
    for (size_t i = 0; i < v->n_zones; i++)
        stated = stated || aw_need_is_stated(&v->zones[i].need);
    for (size_t i = 0; i < AW_JOINT; i++)
        n += held[i];
    const double none = (double)NAN;
    v->holding = stated ? share_of(n) : (aw_estimate){none, none, none};
}

bool aw_sensitivity_run(aw_sensitivity *v, const aw_scenario *s, const aw_run *run)
{
    bool held[AW_JOINT];
    *v = (aw_sensitivity){0};
    bool done = take_zones(v, s);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the zones");
    for (size_t i = 0; i < AW_JOINT; i++)
        held[i] = true;
    for (size_t i = 0; done && i < v->n_zones; i++) {
        const aw_sensed zone = {v, s, i, run};
        begin(&zone, false);
        done = aw_sensed_ends(&zone);
        begin(&zone, true);
        done = done && run_joint(&zone, held);
    }
    if (done)
        set_holding(v, held);
    return done && aw_tolerances_run(v, s, run) && aw_budget_run(v, s, run);
}

void aw_sensitivity_free(aw_sensitivity *v)
{
    free(v->zones);
    free(v->today);
    free(v->ends);
    free(v->joint);
    free(v->without_room);
    free(v->budget.held);
    *v = (aw_sensitivity){0};
}
