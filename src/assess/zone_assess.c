/* One zone: drawn as often as the study says or its precision takes, the parts of its need judged
 * in the order of their cost. */
#include "assess/zone_assess.h"

#include <math.h>

#include "assess/chance.h"
#include "assess/odds.h"
#include "assess/parts.h"
#include "assess/pool.h"
#include "assess/reports.h"
#include "map/spot.h"

size_t aw_zone_work(const aw_scenario *s, const aw_zone *z)
{
    const size_t m = isnan(s->study.precision) ? s->study.draws : 2 * AW_FIRST_LOOK;
    aw_errors errors = {0};
    aw_grid grid;
    size_t work = 0;
    if (aw_grid_lay_zone(&grid, s, z, &errors)) {
        work = grid.n * m + AW_CONFIRMING * m;
        aw_grid_free(&grid);
        if (z != NULL && !isnan(z->need.zone_share) && aw_reports_lay(&grid, s, z, &errors)) {
            work += grid.n * m;
            aw_grid_free(&grid);
        }
    }
    aw_errors_free(&errors);
    return work;
}

void aw_zone_stage(aw_watch *watch, const aw_scenario *s, size_t zone, const char *before)
{
    if (!aw_watch_shows(watch))
        return;
    if (zone == s->n_zones)
        aw_watch_stage(watch, aw_zone_work(s, NULL), "%sfloor", before);
    else
        aw_watch_stage(watch, aw_zone_work(s, &s->zones[zone]), "%szone %zu of %zu, %s", before,
                       zone + 1, s->n_zones, s->zones[zone].name);
}

/* Keeps about `most` cells, spread evenly whatever the shape: columns and rows by the plane's most
 * even additive sequence (powers of the root of x^3 = x + 1), begun elsewhere for every number. */
static void thin(aw_grid *grid, size_t most, uint32_t which)
{
    const double along = 0.7548776662466927, up = 0.5698402909980532;
    const double share = (double)most / (double)grid->n, begun = (double)which * 0.6180339887498949;
    size_t kept = 0;
    if (most >= grid->n)
        return;
    for (size_t k = 0; k < grid->n; k++) {
        const uint32_t number = grid->number[k];
        const double at =
            begun + (double)(number % grid->nx) * along + (double)(number / grid->nx) * up;
        if (at - floor(at) < share)
            grid->number[kept++] = number;
    }
    grid->n = kept > 0 ? kept : 1;
}

static aw_estimate nothing(void)
{
    return (aw_estimate){(double)NAN, (double)NAN, (double)NAN};
}

static aw_estimate share_meeting(const aw_map *map, double need, const aw_study *study)
{
    const double *p95 = map->value + (size_t)AW_LAYER_P95 * map->grid.n;
    size_t meeting = 0;
    for (size_t i = 0; i < map->grid.n; i++)
        meeting += p95[i] <= need;
    return aw_estimate_cells((double)meeting / (double)map->grid.n, map->within, map->grid.n,
                             study->draws, aw_interval_level(study));
}

static aw_estimate fix_share(const aw_map *map, const aw_scenario *s)
{
    uint64_t fixed[AW_GROUPS];
    for (size_t g = 0; g < AW_GROUPS; g++)
        fixed[g] = map->radius->total[g] - map->radius->failed[g];
    return aw_estimate_share(fixed, map->radius->total, s->study.draws,
                             aw_scenario_has_installation(s), aw_interval_level(&s->study));
}

/* What comes of the zone's own map. */
static aw_estimate estimate_part(aw_part part, const aw_map *map, const aw_scenario *s,
                                 const aw_zone *z)
{
    const uint32_t draws = s->study.draws;
    const double level = aw_interval_level(&s->study), quantile = aw_part_rows[part].quantile;
    switch (part) {
    case AW_PART_P50:
    case AW_PART_P95:
    case AW_PART_P99:
        return aw_estimate_percentile(map->radius, quantile, draws, level);
    case AW_PART_VERTICAL_P95:
        return aw_estimate_percentile(map->rise, quantile, draws, level);
    case AW_PART_SHARE:
        return share_meeting(map, z->need.p95, &s->study);
    case AW_PART_FIX_SHARE:
        return fix_share(map, s);
    default:
        return nothing();
    }
}

/* Whether the odds or the chance are about installations: where only the verdict is asked, and
 * where figures are few, the pooled p95 stands for them. */
static bool tells_installations(const aw_zone_plan *p)
{
    return aw_odds_exist(p->scenario, p->zone) && !p->without_odds;
}

/* What may take draws of its own; unless only the verdict counts these also give the installations
 * their p95, which is wanted besides where the pooled one is not sure of the chance. */
static bool estimate_odds(aw_estimate *found, const aw_map *map, const aw_zone_plan *p,
                          aw_installations *own, bool sure, const aw_run *run)
{
    const aw_scenario *s = p->scenario;
    const bool verdict = p->judging >= AW_JUDGE_VERDICT;
    aw_odds odds;
    const bool told =
        aw_odds_told(&odds, map, s->study.draws, verdict ? s->study.odds : (double)NAN);
    if (!told && p->judging == AW_JUDGE_BY_MAP)
        return true;
    if (!told && !aw_odds_run(&odds, verdict ? NULL : own->p95, map, p, run))
        return false;
    if (told && !verdict && !sure && !aw_odds_installations(own->p95, map, p, run))
        return false;
    own->n = !verdict && (!told || !sure) ? AW_INSTALLATIONS : 0;
    *found = (aw_estimate){odds.share, odds.low, odds.high};
    return true;
}

static bool estimate_zone_share(aw_estimate *found, const aw_scenario *s, const aw_zone_plan *p,
                                const aw_run *run)
{
    const aw_reports_plan plan = {s, p->scene, p->zone, p->zone, 1, false};
    aw_reports reports;
    const bool done = aw_reports_run(&reports, &plan, run);
    if (done)
        *found = aw_reports_share(&reports, 0, s);
    aw_reports_free(&reports);
    return done;
}

/* What is asked of a part, NaN if nothing. */
static double asked_of(aw_part part, const aw_zone_plan *p)
{
    if (part == AW_PART_ODDS)
        return tells_installations(p) ? p->scenario->study.odds : (double)NAN;
    if (part == AW_PART_CHANCE)
        return aw_need_chance(&p->zone->need, &p->scenario->study);
    return aw_need_asks(&p->zone->need, part);
}

/* What takes draws of its own. */
static bool is_dear(aw_part part)
{
    return part == AW_PART_ODDS || part == AW_PART_ZONE_SHARE;
}

static void judge_part(aw_zone_result *r, aw_part part, aw_estimate found, double asked)
{
    r->parts[part] = isnan(asked) ? aw_part_not_asked(found) : aw_part_judge(part, asked, found);
}

static void join_parts(aw_zone_result *r)
{
    r->verdict = AW_NO_NEED;
    for (int i = 0; i < AW_PARTS; i++)
        r->verdict = aw_verdict_join(r->verdict, r->parts[i].verdict);
}

static bool judge_chance(aw_zone_result *r, const aw_map *map, const aw_zone_plan *p,
                         const aw_installations *own, const aw_run *run)
{
    const double asked = asked_of(AW_PART_CHANCE, p);
    aw_estimate found = nothing();
    const aw_chance_case c = {p->scenario, &p->zone->need, r->parts, map, own};
    if (!isnan(asked) && !aw_chance_find(&found, &c, run->errors))
        return false;
    judge_part(r, AW_PART_CHANCE, found, asked);
    join_parts(r);
    return true;
}

/* What the zone's own map gives. */
static bool set_parts(aw_zone_result *r, const aw_map *map, const aw_zone_plan *p,
                      const aw_run *run)
{
    const aw_zone *z = p->zone;
    const aw_installations pooled = {NULL, 0};
    for (int i = 0; i < AW_PARTS; i++) {
        const aw_part part = (aw_part)i;
        const double asked = asked_of(part, p);
        r->parts[part] = aw_part_not_asked(nothing());
        if (!is_dear(part) && part != AW_PART_CHANCE &&
            (!isnan(asked) || part == AW_PART_P95 ||
             (part == AW_PART_SHARE && !isnan(z->need.p95))))
            judge_part(r, part, estimate_part(part, map, p->scenario, z), asked);
    }
    return judge_chance(r, map, p, &pooled, run);
}

/* Odds, and by the installations that they draw the chance. For a verdict only if these are asked
 * for. */
static bool set_odds(aw_zone_result *r, const aw_map *map, const aw_zone_plan *p, const aw_run *run)
{
    const aw_part_result *chance = &r->parts[AW_PART_CHANCE];
    const double asked = asked_of(AW_PART_ODDS, p);
    const bool sure =
        isnan(chance->asked) || aw_chance_is_clear(chance->found.value, chance->asked);
    double p95[AW_INSTALLATIONS];
    aw_installations own = {p95, 0};
    aw_estimate found = nothing();
    if (!tells_installations(p) || (p->judging >= AW_JUDGE_VERDICT && isnan(asked)))
        return true;
    if (!estimate_odds(&found, map, p, &own, sure, run))
        return false;
    judge_part(r, AW_PART_ODDS, found, asked);
    return judge_chance(r, map, p, &own, run);
}

/* Reports are drawn at least as often as the study says. */
static bool set_zone_share(aw_zone_result *r, const aw_zone_plan *p, uint32_t least_draws,
                           const aw_run *run)
{
    const double asked = asked_of(AW_PART_ZONE_SHARE, p);
    aw_scenario s = *p->scenario;
    aw_estimate found = nothing();
    if (isnan(asked))
        return true;
    if (s.study.draws < least_draws)
        s.study.draws = least_draws;
    if (!estimate_zone_share(&found, &s, p, run))
        return false;
    judge_part(r, AW_PART_ZONE_SHARE, found, asked);
    join_parts(r);
    return true;
}

/* How clear of its line a part must be at a coarse look: by half its interval more; a share of
 * cells, whose interval takes every cell near its line for lost, by so much and a cell. */
#define CLEARANCE 1.5
#define OF_CELLS  0.04

static bool is_clear(const aw_zone_result *r, aw_part part)
{
    const aw_part_result *p = &r->parts[part];
    const double gap = p->asked - p->found.value;
    if (aw_part_rows[part].is_length && isinf(p->found.low))
        return true; /* surely infinite */
    if (part == AW_PART_SHARE)
        return p->verdict != AW_UNDECIDED && fabs(gap) > OF_CELLS + 1 / (double)r->errors.cells;
    const double reach = gap > 0 ? p->found.high - p->found.value : p->found.value - p->found.low;
    return fabs(gap) > CLEARANCE * reach;
}

bool aw_zone_is_clear(const aw_zone_result *r)
{
    for (int i = 0; i < AW_PARTS; i++)
        if (i != AW_PART_ODDS && r->parts[i].verdict != AW_NO_NEED && !is_clear(r, (aw_part)i))
            return false;
    return true;
}

/* What takes draws of its own: for a verdict only if all else holds. */
static bool set_dear_parts(aw_zone_result *r, const aw_map *map, const aw_zone_plan *p,
                           uint32_t least_draws, const aw_run *run)
{
    const bool verdict = p->judging >= AW_JUDGE_VERDICT;
    if (p->judging == AW_JUDGE_LOOK && !aw_zone_is_clear(r))
        return true;
    if ((!verdict || aw_zone_holds(r)) && !set_zone_share(r, p, least_draws, run))
        return false;
    return (verdict && !aw_zone_holds(r)) || set_odds(r, map, p, run);
}

/* A part that clearly fails is enough; a need that holds does so in every part. */
static aw_verdict clear_verdict(const aw_zone_result *r)
{
    bool all = true, any = false;
    for (int i = 0; i < AW_PARTS; i++) {
        const aw_part part = (aw_part)i;
        if (r->parts[part].verdict == AW_NO_NEED)
            continue;
        any = true;
        if (r->parts[part].verdict == AW_NOT_MET && is_clear(r, part))
            return AW_NOT_MET;
        all = all && r->parts[part].verdict == AW_MET && is_clear(r, part);
    }
    return any && all ? AW_MET : AW_UNDECIDED;
}

static aw_map_plan map_plan_of(const aw_zone_plan *p)
{
    return (aw_map_plan){.scenario = p->scenario,
                         .tag = p->zone->tag,
                         .groups = AW_GROUPS,
                         .limit = p->zone->need.p95,
                         .scene = p->scene,
                         .errors_alone = true};
}

/* Draws a zone and judges what its map gives. */
static bool look_once(aw_zone_result *r, aw_map *map, const aw_zone_plan *p, const aw_run *run)
{
    const aw_map_plan plan = map_plan_of(p);
    aw_grid grid;
    *map = (aw_map){0};
    *r = (aw_zone_result){
        .verdict = AW_NO_NEED, .draws_to_settle = (double)NAN, .draws = p->scenario->study.draws};
    if (!aw_grid_lay_zone(&grid, p->scenario, p->zone, run->errors))
        return false;
    if (p->most_cells > 0)
        thin(&grid, p->most_cells, p->which_cells);
    if (!aw_map_run(map, &grid, &plan, run))
        return false;
    aw_pool_map(&r->errors, map, p->scenario, p->zone->tag);
    return set_parts(r, map, p, run);
}

/* Whether the interval of p95 is as narrow as asked for, or there surely is no p95, and no part
 * stands on its line. */
static bool is_precise(const aw_zone_result *r, double precision)
{
    const aw_estimate *p95 = &r->parts[AW_PART_P95].found;
    for (int i = 0; i < AW_PARTS; i++)
        if (r->parts[i].verdict == AW_UNDECIDED)
            return false;
    return p95->high - p95->low <= precision * p95->value || isinf(p95->low);
}

/* As many draws as the study says; or as its precision takes, looked at whenever they have doubled,
 * for a verdict no more than the study says. Leaves the last number in the scenario. */
static bool look_until_precise(aw_zone_result *r, aw_map *map, const aw_zone_plan *p,
                               aw_scenario *s, const aw_run *run)
{
    const bool verdict = p->judging >= AW_JUDGE_VERDICT;
    const double precision = s->study.precision;
    const uint32_t last = AW_FIRST_LOOK << (AW_LOOKS - 1);
    const uint32_t most = verdict && s->study.draws < last ? s->study.draws : last;
    if (isnan(precision))
        return look_once(r, map, p, run);
    s->study.draws = p->least_draws > AW_FIRST_LOOK ? p->least_draws
                     : most < AW_FIRST_LOOK         ? most
                                                    : AW_FIRST_LOOK;
    while (look_once(r, map, p, run)) {
        const double next = 2.0 * s->study.draws * (double)map->grid.n * (double)s->n_anchors;
        if (s->study.draws >= most || next > AW_MOST_WORK ||
            (verdict ? clear_verdict(r) != AW_UNDECIDED : is_precise(r, precision)))
            return true;
        s->study.draws = s->study.draws < most / 2 ? 2 * s->study.draws : most;
        aw_map_free(map);
    }
    return false;
}

static void settle(aw_zone_result *r, const aw_scenario *s)
{
    aw_chance_settle(r, s);
    r->draws_to_settle = r->verdict == AW_UNDECIDED
                             ? aw_parts_draws_to_settle(r->parts, s->study.draws)
                             : (double)NAN;
}

/* All of it in one scene, which no number of draws changes. */
static bool assess_in_scene(aw_zone_result *r, aw_map *map, const aw_zone_plan *p,
                            const aw_run *run)
{
    aw_scenario s = *p->scenario;
    aw_zone zone = *p->zone;
    aw_zone_plan plan = *p;
    zone.need = aw_need_with_margin(&zone.need, &s.study);
    plan.scenario = &s;
    plan.zone = &zone;
    if (!look_until_precise(r, map, &plan, &s, run))
        return false;
    const aw_map_plan drawn = map_plan_of(&plan);
    bool done = p->judging != AW_JUDGE_ALL || aw_pool_confirm(&r->errors, map, &drawn, run);
    done = done && set_dear_parts(r, map, &plan, p->scenario->study.draws, run);
    settle(r, &s);
    return done;
}

bool aw_assess_zone_run(aw_zone_result *r, aw_map *map, const aw_zone_plan *p, const aw_run *run)
{
    aw_zone_plan plan = *p;
    aw_scene_use use;
    *map = (aw_map){0};
    bool done = aw_scene_use_begin(&use, p->scene, p->scenario);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for a zone");
    plan.scene = use.scene;
    done = done && assess_in_scene(r, map, &plan, run);
    aw_scene_use_end(&use);
    return done;
}

bool aw_zone_add_odds(aw_zone_result *r, const aw_map *map, const aw_zone_plan *p,
                      const aw_run *run)
{
    aw_scenario s = *p->scenario;
    aw_zone zone = *p->zone;
    aw_zone_plan plan = *p;
    aw_scene_use use;
    bool done = aw_scene_use_begin(&use, p->scene, p->scenario);
    if (!done)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for a zone");
    s.study.draws = r->draws;
    zone.need = aw_need_with_margin(&zone.need, &s.study);
    plan.scenario = &s;
    plan.zone = &zone;
    plan.scene = use.scene;
    done = done && set_odds(r, map, &plan, run);
    aw_scene_use_end(&use);
    settle(r, &s);
    return done;
}

bool aw_zone_ask(aw_zone_result *r, const aw_zone_plan *plan, const aw_run *run)
{
    aw_scenario few = *plan->scenario;
    aw_zone_plan coarse = *plan, whole = *plan;
    aw_map map = {0};
    coarse.scenario = &few;
    coarse.judging = AW_JUDGE_BY_MAP;
    whole.judging = AW_JUDGE_VERDICT;
    few.study.draws = AW_FIRST_LOOK;
    few.study.precision = (double)NAN;
    if (plan->scenario->study.draws > 2 * AW_FIRST_LOOK) {
        const bool done = aw_assess_zone_run(r, &map, &coarse, run);
        aw_map_free(&map);
        if (!done || clear_verdict(r) != AW_UNDECIDED)
            return done;
    }
    const bool done = aw_assess_zone_run(r, &map, &whole, run);
    aw_map_free(&map);
    return done;
}
