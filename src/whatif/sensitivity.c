/* Zone by zone: today's map stays while each assumption is set to its ends, so that differences are
 * told with their own interval. Today and an end draw the same numbers, so few draws often tell a
 * difference that they could not tell a percentile to. */
#include "anchorwise/sensitivity.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_cdf.h>

#include "assess/chance.h"
#include "assess/odds.h"
#include "assess/parts.h"
#include "assess/zone_assess.h"
#include "position/tally.h"
#include "whatif/tolerance.h"

/* Draws of a cell under one joint draw: so many that a zone has about JOINT_FIXES. */
#define JOINT_FIXES 40000
#define LEAST_JOINT 64
#define MOST_JOINT  256

/* A change is told if its interval is no wider than this share of today's p95 or that of itself. */
#define OF_TODAY  0.02
#define OF_CHANGE 0.1
/* Odds as near as this to 0 or 1 are told by few draws. */
#define FEW_OF_ODDS 0.01

/* Today by few draws, looked at when an end first asks for it. */
typedef struct look {
    bool taken;
    aw_zone_result result;
    aw_map map;
} look;

/* One zone of one run, and what all runs need. */
typedef struct job {
    aw_sensitivity *out;
    const aw_scenario *scenario;
    size_t zone;
    look *looks; /* [k] by AW_FIRST_LOOK << k draws */
    bool *held;  /* by every need so far, of each joint draw */
    const aw_run *run;
} job;

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

/* --- one scenario's zone --- */

static bool has_cells(size_t *cells, const aw_scenario *s, const aw_zone *z, aw_errors *errors)
{
    aw_grid grid;
    if (!aw_grid_lay_zone(&grid, s, z, errors))
        return false;
    *cells = grid.n;
    aw_grid_free(&grid);
    return true;
}

/* Nothing is known of a zone that an assumption leaves without a cell. */
static aw_zone_result nothing_known(void)
{
    const double none = (double)NAN;
    const aw_part_result part = {none, {none, none, none}, AW_NO_NEED};
    aw_zone_result r = {.errors = {.p50 = none, .p95 = none}, .verdict = AW_UNDECIDED};
    for (int i = 0; i < AW_PARTS; i++)
        r.parts[i] = part;
    return r;
}

static bool run_zone(aw_zone_result *r, aw_map *map, const job *j, const aw_scenario *s,
                     aw_judging judging, bool without_odds)
{
    const aw_zone_plan plan = {s, &j->out->zones[j->zone], judging, without_odds, 0, NULL};
    size_t cells = 0;
    *map = (aw_map){0};
    if (!has_cells(&cells, s, plan.zone, j->run->errors))
        return false;
    *r = nothing_known();
    return cells == 0 || aw_assess_zone_run(r, map, &plan, j->run);
}

/* By AW_FIRST_LOOK << k draws, what these tell. */
static bool look_at(aw_zone_result *r, aw_map *map, const job *j, const aw_scenario *s, int k)
{
    aw_scenario few = *s;
    few.study.precision = (double)NAN;
    few.study.draws = (uint32_t)AW_FIRST_LOOK << k;
    return run_zone(r, map, j, &few, AW_JUDGE_LOOK, false);
}

/* --- one at a time --- */

static aw_estimate change_of(const aw_map *now, const aw_map *then, const aw_zone_result *today,
                             const aw_zone_result *other)
{
    const double was = today->errors.p95, is = other->errors.p95, none = (double)NAN;
    if (then->radius == NULL || (isnan(was) && isnan(is)))
        return (aw_estimate){none, none, none};
    if (isnan(was) || isnan(is)) {
        const double lost = isnan(is) ? HUGE_VAL : -HUGE_VAL;
        return (aw_estimate){lost, none, none};
    }
    const double error = aw_tally_paired_error(now->radius, then->radius, 0.95);
    const double reach = gsl_cdf_tdist_Pinv(0.975, AW_GROUPS - 1) * error;
    const bool known = isfinite(error) && now->draws >= AW_FEWEST_DRAWS * (uint64_t)now->grid.n;
    return (aw_estimate){is - was, known ? is - was - reach : none,
                         known ? is - was + reach : none};
}

/* How much wider the interval of a change is than it may be; 0 or less if it is told. */
static double excess_of(const aw_estimate *change, double today)
{
    const double width = change->high - change->low;
    return width / fmax(OF_TODAY * today, OF_CHANGE * fabs(change->value)) - 1;
}

static aw_estimate moved_by(const aw_estimate *was, const aw_estimate *change)
{
    return (aw_estimate){was->value + change->value, was->low + change->low,
                         was->high + change->high};
}

/* Odds of few draws are told if they are near 0 or 1: those that are not lean to one half. Where
 * they are as today's of few, they are today's of all. */
static bool set_odds(aw_part_result *odds, const aw_part_result *today, const aw_part_result *now)
{
    const double few = odds->found.value;
    if (isnan(few))
        return true;
    if (fabs(few - now->found.value) <= FEW_OF_ODDS)
        *odds = *today;
    return fmin(few, 1 - few) <= FEW_OF_ODDS;
}

/* Sets what few draws say of an end to today's of all by what they say of the difference; false if
 * that may not be told so. */
static bool set_to_today(aw_sensitivity_end *sensed, const aw_scenario *other,
                         const aw_zone_result *today, const aw_zone_result *now)
{
    aw_zone_result *r = &sensed->result;
    aw_part_result *p95 = &r->parts[AW_PART_P95];
    const bool met = p95->found.value <= p95->asked;
    aw_part_result *chance = &r->parts[AW_PART_CHANCE];
    p95->found = moved_by(&today->parts[AW_PART_P95].found, &sensed->change);
    if (chance->verdict != AW_NO_NEED)
        *chance = aw_chance_moved(chance, other, p95->found.value / r->errors.p95);
    r->errors.p95 = p95->found.value;
    if (!set_odds(&r->parts[AW_PART_ODDS], &today->parts[AW_PART_ODDS], &now->parts[AW_PART_ODDS]))
        return false;
    r->verdict = AW_NO_NEED;
    for (int i = 0; i < AW_PARTS; i++)
        r->verdict = aw_verdict_join(r->verdict, r->parts[i].verdict);
    aw_chance_settle(r, other);
    return isnan(p95->asked) || met == (p95->found.value <= p95->asked);
}

/* Looks at an end by few draws, by more if the first look says how many would tell its change, but
 * by no more than a third of all. */
static bool look_at_end(bool *told, aw_sensitivity_end *sensed, const job *j,
                        const aw_scenario *other)
{
    const aw_zone_result *today = &j->out->today[j->zone];
    *told = false;
    for (int k = 0, next = 0; k < AW_LOOKS && 3 * ldexp(AW_FIRST_LOOK, k) <= today->draws;
         k = next) {
        look *now = &j->looks[k];
        aw_map then;
        if (!now->taken && !look_at(&now->result, &now->map, j, j->scenario, k))
            return false;
        now->taken = true;
        const bool done = look_at(&sensed->result, &then, j, other, k);
        sensed->change =
            done ? change_of(&now->map, &then, &now->result, &sensed->result) : (aw_estimate){0};
        aw_map_free(&then);
        const double excess = excess_of(&sensed->change, today->errors.p95);
        if (!done || !aw_zone_is_clear(&sensed->result) || !(excess < 1e6))
            return done;
        if (excess <= 0) {
            *told = set_to_today(sensed, other, today, &now->result);
            return true;
        }
        next = k + (int)ceil(2 * log2(1 + excess));
    }
    return true;
}

static bool run_end(const job *j, const aw_map *now, aw_assumption a, int end)
{
    const aw_assumption_range *assumed = &j->out->assumed[a];
    aw_sensitivity_end *sensed =
        &j->out->ends[(j->zone * AW_ASSUMPTIONS + (size_t)a) * 2 + (size_t)end];
    aw_varied other = aw_vary(j->scenario);
    aw_map then = {0};
    bool told = false;
    bool done = aw_varied_assume(&other, a, end == 0 ? assumed->low : assumed->high);
    if (!done)
        aw_errors_add(j->run->errors, AW_ERROR, 0, 0, "out of memory for an assumption");
    done = done && look_at_end(&told, sensed, j, &other.scenario);
    if (done && !told) {
        done = run_zone(&sensed->result, &then, j, &other.scenario, AW_JUDGE_PARTS, false);
        if (done)
            sensed->change = change_of(now, &then, &j->out->today[j->zone], &sensed->result);
    }
    aw_map_free(&then);
    aw_varied_free(&other);
    return done;
}

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

static void begin(const job *j, bool jointly)
{
    const aw_sensitivity *v = j->out;
    const aw_zone *z = j->scenario->n_zones > 0 ? &v->zones[j->zone] : NULL;
    if (aw_watch_shows(j->run->watch))
        aw_watch_stage(j->run->watch, zone_work(j->scenario, z, jointly), "zone %zu of %zu, %s, %s",
                       j->zone + 1, v->n_zones,
                       jointly ? "all assumptions together" : "one assumption at a time",
                       v->zones[j->zone].name);
}

static bool run_ends(job *j)
{
    look looks[AW_LOOKS] = {0};
    aw_map now = {0};
    begin(j, false);
    j->looks = looks;
    bool done = run_zone(&j->out->today[j->zone], &now, j, j->scenario, AW_JUDGE_PARTS, false);
    for (int a = 0; a < AW_ASSUMPTIONS; a++)
        for (int end = 0; done && j->out->assumed[a].present && end < 2; end++)
            done = run_end(j, &now, (aw_assumption)a, end);
    aw_map_free(&now);
    for (int k = 0; k < AW_LOOKS; k++)
        aw_map_free(&looks[k].map);
    return done;
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

static uint32_t joint_draws(const aw_scenario *s, size_t cells)
{
    const size_t n = JOINT_FIXES / (cells + 1);
    const size_t held = n < LEAST_JOINT ? LEAST_JOINT : n < MOST_JOINT ? n : MOST_JOINT;
    return s->study.draws < held ? s->study.draws : (uint32_t)held;
}

static bool run_joint_draw(const job *j, uint32_t draw, aw_zone_result *r)
{
    double values[AW_ASSUMPTIONS];
    aw_varied other = aw_vary(j->scenario);
    aw_map map = {0};
    aw_assumptions_draw(j->scenario, draw, values);
    bool done = aw_varied_assume_all(&other, values);
    if (!done)
        aw_errors_add(j->run->errors, AW_ERROR, 0, 0, "out of memory for the assumptions");
    other.scenario.study.precision = (double)NAN;
    other.scenario.study.draws = joint_draws(j->scenario, j->out->today[j->zone].errors.cells);
    done = done && run_zone(r, &map, j, &other.scenario, AW_JUDGE_PARTS, true);
    aw_map_free(&map);
    aw_varied_free(&other);
    return done;
}

static bool run_joint(const job *j)
{
    const double none = (double)NAN;
    const bool stated = aw_need_is_stated(&j->out->zones[j->zone].need);
    aw_joint *joint = &j->out->joint[j->zone];
    double p95[AW_JOINT];
    size_t holding = 0;
    begin(j, true);
    for (uint32_t draw = 0; draw < AW_JOINT; draw++) {
        aw_zone_result r;
        if (!run_joint_draw(j, draw, &r))
            return false;
        const bool holds = !stated || (r.errors.cells > 0 && aw_zone_holds(&r));
        p95[draw] = isnan(r.errors.p95) ? HUGE_VAL : r.errors.p95;
        holding += holds;
        j->held[draw] = j->held[draw] && holds;
    }
    qsort(p95, AW_JOINT, sizeof *p95, compare_doubles);
    *joint = (aw_joint){ranked(p95, 0.05), ranked(p95, 0.5), ranked(p95, 0.95),
                        stated ? share_of(holding) : (aw_estimate){none, none, none}};
    return true;
}

/* --- the study --- */

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
    if (v->zones == NULL || v->today == NULL || v->ends == NULL || v->joint == NULL)
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
        job j = {v, s, i, NULL, held, run};
        done = run_ends(&j) && run_joint(&j);
    }
    if (done)
        set_holding(v, held);
    return done && aw_tolerances_run(v, s, run);
}

void aw_sensitivity_free(aw_sensitivity *v)
{
    free(v->zones);
    free(v->today);
    free(v->ends);
    free(v->joint);
    *v = (aw_sensitivity){0};
}
