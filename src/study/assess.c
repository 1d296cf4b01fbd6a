/* The floor is one map; each zone is a map of its own cells, so that one zone's counts are in
 * memory at a time. Cells of a zone draw the same numbers as in the floor's map. */
#include "anchorwise/assess.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_cdf.h>

#include "anchorwise/tally.h"
#include "study/odds.h"
#include "study/pool.h"

/* Groups of draws that a zone's interval resamples. */
#define GROUPS     32
#define MOST_DRAWS 1e6

size_t aw_assess_work(const aw_scenario *scenario)
{
    const size_t m = scenario->study.draws;
    aw_errors errors = {0};
    size_t work = 0;
    for (size_t i = 0; i <= scenario->n_zones; i++) {
        const aw_zone *z = i > 0 ? &scenario->zones[i - 1] : NULL;
        aw_grid grid;
        if (!aw_grid_lay_zone(&grid, scenario, z, &errors))
            continue;
        work += grid.n * m + AW_CONFIRMING * m;
        if (z != NULL && aw_odds_exist(scenario, z))
            work += grid.n * AW_INSTALLATIONS * aw_odds_draws(grid.n);
        aw_grid_free(&grid);
    }
    aw_errors_free(&errors);
    return work;
}

/* --- verdicts --- */

static aw_verdict judge(double low, double high, double limit)
{
    return high <= limit ? AW_MET : low > limit ? AW_NOT_MET : AW_UNDECIDED;
}

/* Interval of the pooled p95 and its verdict. An infinite p95 with no finite replicate is sure. */
static void judge_p95(aw_zone_result *r, const aw_map *map, const aw_zone *z, uint32_t draws)
{
    const double p95 = aw_tally_percentile(map->radius, 0.95);
    r->p95_low = r->p95_high = (double)NAN;
    if (draws >= 2 * GROUPS) {
        const double error = aw_tally_standard_error(map->radius, 0.95);
        const double reach = gsl_cdf_tdist_Pinv(0.975, GROUPS - 1) * error;
        if (isfinite(p95) && isfinite(error)) {
            r->p95_low = fmax(p95 - reach, 0);
            r->p95_high = p95 + reach;
            r->p95_verdict = judge(r->p95_low, r->p95_high, z->need.p95);
            return;
        }
        if (isinf(p95) && error == 0) {
            r->p95_verdict = AW_NOT_MET;
            return;
        }
    }
    r->p95_verdict = AW_UNDECIDED;
}

static double share_meeting(const aw_map *map, double need)
{
    const double *p95 = map->value + (size_t)AW_LAYER_P95 * map->grid.n;
    size_t meeting = 0;
    for (size_t i = 0; i < map->grid.n; i++)
        meeting += p95[i] <= need;
    return (double)meeting / (double)map->grid.n;
}

/* The interval shrinks with the root of the draws. */
static double draws_to_settle(const aw_zone_result *r, const aw_zone *z, uint32_t draws)
{
    if (r->verdict != AW_UNDECIDED || r->p95_verdict != AW_UNDECIDED)
        return (double)NAN;
    if (draws < 2 * GROUPS)
        return 2 * GROUPS;
    const double reach = (r->p95_high - r->p95_low) / 2, gap = fabs(r->errors.p95 - z->need.p95);
    const double n = ceil((double)draws * (reach / gap) * (reach / gap));
    return n <= MOST_DRAWS ? n : (double)NAN;
}

/* A need is not met if any part fails, else undecided if any part is, else met. */
static aw_verdict join(aw_verdict a, aw_verdict b)
{
    if (a == AW_NO_NEED || b == AW_NO_NEED)
        return a == AW_NO_NEED ? b : a;
    if (a == AW_NOT_MET || b == AW_NOT_MET)
        return AW_NOT_MET;
    return a == AW_UNDECIDED || b == AW_UNDECIDED ? AW_UNDECIDED : AW_MET;
}

/* --- zones --- */

static bool set_need(aw_zone_result *r, const aw_map *map, const aw_scenario *s, const aw_zone *z,
                     unsigned threads, aw_watch *watch, aw_errors *errors)
{
    judge_p95(r, map, z, s->study.draws);
    r->band_low = r->errors.p95 / AW_PREDICTION_BAND;
    r->band_high = r->errors.p95 * AW_PREDICTION_BAND;
    if (isnan(z->need.p95)) {
        r->p95_verdict = AW_NO_NEED;
        return true;
    }
    r->share_meeting = share_meeting(map, z->need.p95);
    if (!isnan(z->need.share))
        r->share_verdict = r->share_meeting >= z->need.share ? AW_MET : AW_NOT_MET;
    if (aw_odds_exist(s, z)) {
        aw_odds odds;
        if (!aw_odds_run(&odds, &map->grid, z, s, threads, watch, errors))
            return false;
        r->odds = odds.share;
        r->odds_low = odds.low;
        r->odds_high = odds.high;
        r->odds_verdict = odds.low >= s->study.odds   ? AW_MET
                          : odds.high < s->study.odds ? AW_NOT_MET
                                                      : AW_UNDECIDED;
    }
    r->verdict = join(r->p95_verdict, join(r->share_verdict, r->odds_verdict));
    r->draws_to_settle = draws_to_settle(r, z, s->study.draws);
    return true;
}

static bool assess_zone(aw_zone_result *r, const aw_scenario *s, const aw_zone *z, unsigned threads,
                        aw_watch *watch, aw_errors *errors)
{
    const double nan = (double)NAN;
    const aw_map_plan plan = {s, z->tag, GROUPS, threads, watch};
    aw_grid grid;
    aw_map map;
    *r = (aw_zone_result){.share_meeting = nan,
                          .odds = nan,
                          .odds_low = nan,
                          .odds_high = nan,
                          .p95_verdict = AW_NO_NEED,
                          .share_verdict = AW_NO_NEED,
                          .odds_verdict = AW_NO_NEED,
                          .verdict = AW_NO_NEED,
                          .draws_to_settle = nan};
    if (!aw_grid_lay_zone(&grid, s, z, errors))
        return false;
    const bool done = aw_map_run(&map, &grid, &plan, errors) &&
                      aw_pool_map(&r->errors, &map, s, z->tag, watch, errors) &&
                      set_need(r, &map, s, z, threads, watch, errors);
    aw_map_free(&map);
    return done;
}

static bool assess_floor(aw_assessment *a, const aw_scenario *s, unsigned threads, aw_watch *watch,
                         aw_errors *errors)
{
    const aw_map_plan plan = {s, 0, 1, threads, watch};
    aw_grid grid;
    if (!aw_grid_lay_zone(&grid, s, NULL, errors) || !aw_map_run(&a->map, &grid, &plan, errors))
        return false;
    for (size_t i = 0; i < s->n_anchors; i++)
        a->used_share[i] =
            a->map.grid.n > 0 ? (double)a->map.used_in[i] / (double)a->map.grid.n : (double)NAN;
    return aw_pool_map(&a->floor, &a->map, s, 0, watch, errors);
}

bool aw_assess_run(aw_assessment *a, const aw_scenario *s, unsigned threads, aw_watch *watch,
                   aw_errors *errors)
{
    *a = (aw_assessment){.verdict = AW_NO_NEED};
    a->used_share = calloc(s->n_anchors, sizeof *a->used_share);
    a->zones = calloc(s->n_zones + 1, sizeof *a->zones);
    if (a->used_share == NULL || a->zones == NULL) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
        return false;
    }
    if (!assess_floor(a, s, threads, watch, errors))
        return false;
    for (size_t i = 0; i < s->n_zones; i++) {
        if (!assess_zone(&a->zones[i], s, &s->zones[i], threads, watch, errors))
            return false;
        a->verdict = join(a->verdict, a->zones[i].verdict);
    }
    return true;
}

void aw_assessment_free(aw_assessment *a)
{
    aw_map_free(&a->map);
    free(a->used_share);
    free(a->zones);
    *a = (aw_assessment){0};
}
