/* Today and an end draw the same numbers, so few draws often tell a difference that they could not
 * tell a percentile to. */
#include "whatif/sensed.h"

#include <math.h>

#include <gsl/gsl_cdf.h>

#include "assess/chance.h"
#include "assess/parts.h"
#include "position/tally.h"
#include "whatif/alike.h"

/* A change is told if its interval is no wider than this share of today's p95 or that of itself. */
#define OF_TODAY  0.02
#define OF_CHANGE 0.1
/* Odds as near as this to 0 or 1 are told by few draws. */
#define FEW_OF_ODDS 0.01

/* A zone drawn: today's by all draws, or by few when an end first asks for it. */
typedef struct look {
    bool taken;
    aw_zone_result result;
    aw_map map;
    double without[AW_GROUPS]; /* its p95 without each group of draws */
} look;

/* An assumption at one end of its range. */
typedef struct trial {
    aw_assumption assumption;
    int end;
    int next;  /* the look that tells it, as far as is known */
    bool told; /* by a look, or as nothing changes */
} trial;

typedef struct job {
    const aw_sensed *zone;
    look now, looks[AW_LOOKS]; /* [k] by AW_FIRST_LOOK << k draws */
    int k;                     /* the look at hand */
    uint64_t name;             /* of what today's draws see */
    trial trials[2 * AW_ASSUMPTIONS];
    size_t n_trials;
} job;

/* --- the zone in one scenario --- */

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

bool aw_sensed_judge(aw_zone_result *r, aw_map *map, const aw_sensed *zone, aw_zone_plan plan,
                     const aw_run *run)
{
    size_t cells = 0;
    *map = (aw_map){0};
    plan.zone = &zone->out->zones[zone->zone];
    if (!has_cells(&cells, plan.scenario, plan.zone, run->errors))
        return false;
    *r = nothing_known();
    return cells == 0 || aw_assess_zone_run(r, map, &plan, run);
}

bool aw_sensed_beside(const aw_sensed *zone)
{
    return zone->out->today[zone->zone].errors.cells <= AW_MOST_BESIDE;
}

bool aw_sensed_pieces(const aw_sensed *zone, size_t n, aw_piece *piece, void *context)
{
    bool done = true;
    if (aw_sensed_beside(zone))
        return aw_side_by_side(n, zone->run, piece, context);
    for (size_t i = 0; done && i < n; i++)
        done = piece(context, i, zone->run);
    return done;
}

/* --- one at a time --- */

static void keep_without(look *l)
{
    l->taken = true;
    if (l->map.radius != NULL)
        aw_tally_without(l->map.radius, 0.95, l->without);
}

/* Standard error of a change of p95. */
static double error_of(const look *now, const aw_map *then)
{
    double without[AW_GROUPS];
    aw_tally_without(then->radius, 0.95, without);
    for (size_t g = 0; g < AW_GROUPS; g++)
        without[g] -= now->without[g];
    return aw_jackknife(without, AW_GROUPS);
}

static bool tells_intervals(const look *l)
{
    return l->map.draws >= AW_FEWEST_DRAWS * (uint64_t)l->map.grid.n;
}

static aw_estimate change_of(const look *now, const aw_map *then, const aw_zone_result *other)
{
    const double was = now->result.errors.p95, is = other->errors.p95, none = (double)NAN;
    if (then->radius == NULL || now->map.radius == NULL || (isnan(was) && isnan(is)))
        return (aw_estimate){none, none, none};
    if (isnan(was) || isnan(is)) {
        const double lost = isnan(is) ? HUGE_VAL : -HUGE_VAL;
        return (aw_estimate){lost, none, none};
    }
    const double error = error_of(now, then);
    const double reach = gsl_cdf_tdist_Pinv(0.975, AW_GROUPS - 1) * error;
    const bool known = isfinite(error) && tells_intervals(now);
    return (aw_estimate){is - was, known ? is - was - reach : none,
                         known ? is - was + reach : none};
}

static aw_estimate no_change(const look *now)
{
    const double none = (double)NAN, end = tells_intervals(now) ? 0 : none;
    return isnan(now->result.errors.p95) ? (aw_estimate){none, none, none}
                                         : (aw_estimate){0, end, end};
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

static aw_sensitivity_end *end_of(const job *j, const trial *t)
{
    const size_t end =
        (j->zone->zone * AW_ASSUMPTIONS + (size_t)t->assumption) * 2 + (size_t)t->end;
    return &j->zone->out->ends[end];
}

/* The scenario of an end; false without memory. */
static bool assume(aw_varied *other, const job *j, const trial *t, const aw_run *run)
{
    const aw_assumption_range *assumed = &j->zone->out->assumed[t->assumption];
    *other = aw_vary(j->zone->scenario);
    if (aw_varied_assume(other, t->assumption, t->end == 0 ? assumed->low : assumed->high))
        return true;
    aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for an assumption");
    return false;
}

/* An end that changes nothing which the draws see is today. */
static bool look_for_change(void *context, size_t i, const aw_run *run)
{
    job *j = context;
    trial *t = &j->trials[i];
    uint64_t name = 0;
    aw_varied other;
    const bool done =
        assume(&other, j, t, run) &&
        aw_zone_name(&name, &other.scenario, &j->zone->out->zones[j->zone->zone], run);
    t->told = done && name == j->name;
    if (t->told) {
        aw_sensitivity_end *sensed = end_of(j, t);
        sensed->result = j->now.result;
        sensed->change = no_change(&j->now);
    }
    aw_varied_free(&other);
    return done;
}

/* By AW_FIRST_LOOK << k draws, what these tell. */
static bool look_at(aw_zone_result *r, aw_map *map, const job *j, const aw_scenario *s,
                    const aw_run *run)
{
    aw_scenario few = *s;
    const aw_zone_plan plan = {
        .scenario = &few, .judging = AW_JUDGE_LOOK, .beside = aw_sensed_beside(j->zone)};
    few.study.precision = (double)NAN;
    few.study.draws = (uint32_t)AW_FIRST_LOOK << j->k;
    return aw_sensed_judge(r, map, j->zone, plan, run);
}

/* Looks at an end; at how many draws next, if the look says how many would tell its change. */
static bool look_at_end(void *context, size_t i, const aw_run *run)
{
    job *j = context;
    trial *t = &j->trials[i];
    aw_sensitivity_end *sensed = end_of(j, t);
    const look *now = &j->looks[j->k];
    aw_map then = {0};
    aw_varied other;
    if (t->told || t->next != j->k)
        return true;
    t->next = AW_LOOKS;
    bool done = assume(&other, j, t, run);
    done = done && look_at(&sensed->result, &then, j, &other.scenario, run);
    if (done) {
        sensed->change = change_of(now, &then, &sensed->result);
        const double excess = excess_of(&sensed->change, j->now.result.errors.p95);
        if (aw_zone_is_clear(&sensed->result) && excess <= 0)
            t->told = set_to_today(sensed, &other.scenario, &j->now.result, &now->result);
        else if (aw_zone_is_clear(&sensed->result) && excess < 1e6)
            t->next = j->k + (int)ceil(2 * log2(1 + excess));
    }
    aw_map_free(&then);
    aw_varied_free(&other);
    return done;
}

static bool draw_end(void *context, size_t i, const aw_run *run)
{
    job *j = context;
    trial *t = &j->trials[i];
    aw_sensitivity_end *sensed = end_of(j, t);
    aw_map then = {0};
    aw_varied other;
    if (t->told)
        return true;
    bool done = assume(&other, j, t, run);
    const aw_zone_plan plan = {
        .scenario = &other.scenario, .judging = AW_JUDGE_END, .beside = aw_sensed_beside(j->zone)};
    done = done && aw_sensed_judge(&sensed->result, &then, j->zone, plan, run);
    if (done)
        sensed->change = change_of(&j->now, &then, &sensed->result);
    aw_map_free(&then);
    aw_varied_free(&other);
    return done;
}

static void list_ends(job *j)
{
    j->n_trials = 0;
    for (int a = 0; a < AW_ASSUMPTIONS; a++)
        for (int end = 0; j->zone->out->assumed[a].present && end < 2; end++)
            j->trials[j->n_trials++] = (trial){.assumption = (aw_assumption)a, .end = end};
}

static bool is_asked_for(const job *j)
{
    for (size_t i = 0; i < j->n_trials; i++)
        if (!j->trials[i].told && j->trials[i].next == j->k)
            return true;
    return false;
}

/* By few draws, by more where that may tell an end's change, but by no more than a third of all. */
static bool look_at_ends(job *j)
{
    bool done = true;
    for (j->k = 0; j->k < AW_LOOKS && 3 * ldexp(AW_FIRST_LOOK, j->k) <= j->now.result.draws;
         j->k++) {
        look *now = &j->looks[j->k];
        if (!is_asked_for(j))
            continue;
        if (!look_at(&now->result, &now->map, j, j->zone->scenario, j->zone->run))
            return false;
        keep_without(now);
        done = done && aw_sensed_pieces(j->zone, j->n_trials, look_at_end, j);
    }
    return done;
}

bool aw_sensed_ends(const aw_sensed *zone)
{
    const aw_zone_plan plan = {.scenario = zone->scenario, .judging = AW_JUDGE_PARTS};
    job j = {.zone = zone};
    bool done = aw_sensed_judge(&j.now.result, &j.now.map, zone, plan, zone->run);
    list_ends(&j);
    if (done) {
        zone->out->today[zone->zone] = j.now.result;
        keep_without(&j.now);
        done = aw_zone_name(&j.name, zone->scenario, &zone->out->zones[zone->zone], zone->run) &&
               aw_sensed_pieces(zone, j.n_trials, look_for_change, &j) && look_at_ends(&j) &&
               aw_sensed_pieces(zone, j.n_trials, draw_end, &j);
    }
    aw_map_free(&j.now.map);
    for (int k = 0; k < AW_LOOKS; k++)
        aw_map_free(&j.looks[k].map);
    return done;
}
