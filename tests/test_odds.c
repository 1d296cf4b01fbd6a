/* Odds against the exact ones of a cell whose errors are circular: the tag stands in the middle of
 * four anchors, so that delays of sigma d move a fix by d / sqrt(2) along either axis for the life
 * of an installation, and white errors of sigma w by w / sqrt(2) in every fix. */
#include <gsl/gsl_sf_bessel.h>
#include <math.h>

#include "assess/odds.h"
#include "assess/parts.h"
#include "links.h"

#define HALL                                                                                       \
    "anchorwise: 1\ntitle: Middle\nfloor: {outline: [[0, 0], [40, 0], [40, 40], [0, 40]], "        \
    "ceiling: 9}\nanchors:\n  - {name: a, at: [4, 20, 1.2]}\n  - {name: b, at: [36, 20, 1.2]}\n"   \
    "  - {name: c, at: [20, 4, 1.2]}\n  - {name: d, at: [20, 36, 1.2]}\n"                          \
    "tags: [{name: t, height: 1.2}]\n"                                                             \
    "zones: [{name: z, outline: [[19.5, 19.5], [20.5, 19.5], [20.5, 20.5], [19.5, 20.5]], "        \
    "need: {p95: 1}}]\nstudy: {step: %g, draws: 400, seed: %d}\n"                                  \
    "ranging: {sigma: %g, delay_sigma: %g}\n"

/* Share of fixes within r that stand b off on average: Rice's law by the trapezoidal rule. */
static double share_within(double r, double b, double sigma)
{
    const int n = 4000;
    double sum = 0;
    for (int i = 1; i < n; i++) {
        const double x = r * i / n, gap = (x - b) / sigma;
        sum += x / (sigma * sigma) * exp(-gap * gap / 2) *
               gsl_sf_bessel_I0_scaled(x * b / (sigma * sigma));
    }
    const double gap = (r - b) / sigma;
    return (sum + r / (2 * sigma * sigma) * exp(-gap * gap / 2) *
                      gsl_sf_bessel_I0_scaled(r * b / (sigma * sigma))) *
           r / n;
}

/* The offset at which 95 % of the fixes are within r. */
static double most_offset(double r, double sigma)
{
    double low = 0, high = r;
    for (int i = 0; i < 50; i++) {
        const double middle = (low + high) / 2;
        *(share_within(r, middle, sigma) >= 0.95 ? &low : &high) = middle;
    }
    return low;
}

/* The zone with its need and its map. */
typedef struct middle {
    aw_scenario s;
    aw_zone zone;
    aw_map map;
} middle;

static void lay(middle *m, const double errors_and_need[3], double step, int seed)
{
    char text[2000];
    aw_errors errors = {0};
    aw_grid grid;
    snprintf(text, sizeof text, HALL, step, seed, errors_and_need[0], errors_and_need[1]);
    read_text(&m->s, text);
    m->zone = m->s.zones[0];
    m->zone.need.p95 = errors_and_need[2];
    m->map = (aw_map){0};
    const aw_map_plan plan = {
        .scenario = &m->s, .tag = m->zone.tag, .groups = AW_GROUPS, .limit = m->zone.need.p95};
    ck_assert(aw_grid_lay_zone(&grid, &m->s, &m->zone, &errors));
    ck_assert(aw_map_run(&m->map, &grid, &plan, &(aw_run){2, NULL, &errors}));
}

/* Odds, and how many fixes they took. */
static aw_odds odds_judged(const middle *m, double asked, aw_judging judging, size_t *fixes)
{
    aw_errors errors = {0};
    aw_odds odds;
    aw_watch watch = {0};
    aw_scenario s = m->s;
    s.study.odds = asked;
    const aw_zone_plan plan = {.scenario = &s, .zone = &m->zone, .judging = judging};
    ck_assert(aw_odds_run(&odds, NULL, &m->map, &plan, &(aw_run){2, &watch, &errors}));
    *fixes = watch.done;
    return odds;
}

static aw_odds odds_of(const middle *m, double asked)
{
    size_t fixes;
    return odds_judged(m, asked, isnan(asked) ? AW_JUDGE_PARTS : AW_JUDGE_VERDICT, &fixes);
}

static void clear(middle *m)
{
    aw_map_free(&m->map);
    aw_scenario_free(&m->s);
}

/* White error, delay and need, m: hardly any white error; as much as delay; far more. */
static const double cases[][3] = {{0.001, 0.3, 0.3}, {0.001, 0.3, 0.15}, {0.1, 0.1, 0.2},
                                  {0.1, 0.1, 0.25},  {0.2, 0.05, 0.36},  {0.2, 0.05, 0.35}};

/* By one cell, whose map leaves all installations open, and by 400, whose map judges many. */
START_TEST(odds_are_those_of_circular_errors)
{
    const double *c = cases[_i / 2], step = _i % 2 ? 0.05 : 40;
    const double most = most_offset(c[2], c[0] / sqrt(2));
    const double exact = 1 - exp(-most * most / (c[1] * c[1]));
    double share = 0;
    const int runs = 4;
    for (int k = 0; k < runs; k++) {
        middle m;
        lay(&m, c, step, 10 + k);
        ck_assert_uint_eq(m.map.grid.n, _i % 2 ? 400 : 1);
        share += odds_of(&m, (double)NAN).share / runs;
        clear(&m);
    }
    const double error = sqrt(exact * (1 - exact) / (runs * AW_INSTALLATIONS));
    ck_assert(exact > 0.02 && exact < 0.98);
    ck_assert_msg(fabs(share - exact) < 4 * error + 0.01, "%g, exact %g", share, exact);
}
END_TEST

/* Where the verdict alone is asked for it is the one of all fixes, told by the map or drawn. */
START_TEST(asked_for_the_verdict_alone_odds_have_the_same)
{
    size_t told_ones = 0;
    for (int k = 0; k < 24; k++) {
        const double wanted = k % 2 ? 0.4 : 0.95;
        middle m;
        lay(&m, cases[k % 6], k / 12 ? 0.05 : 40, 30 + k);
        const aw_odds whole = odds_of(&m, (double)NAN), asked = odds_of(&m, wanted);
        aw_odds told;
        ck_assert((whole.share >= wanted) == (asked.share >= wanted));
        ck_assert((whole.low >= wanted) == (asked.low >= wanted));
        ck_assert((whole.high < wanted) == (asked.high < wanted));
        if (aw_odds_told(&told, &m.map, m.s.study.draws, wanted)) {
            told_ones++;
            ck_assert((whole.low >= wanted) == (told.low >= wanted));
            ck_assert((whole.high < wanted) == (told.high < wanted));
        }
        clear(&m);
    }
    ck_assert(told_ones >= 4);
}
END_TEST

/* At an end of a range odds near 0 or 1 are told by fewer fixes, all others by as many. */
START_TEST(an_end_has_the_odds_of_all_fixes_or_nearly)
{
    size_t shorter = 0, as_long = 0;
    for (int k = 0; k < 9; k++) {
        middle m;
        size_t fixes, all;
        lay(&m, (double[3]){0.2, 0.05, 0.31 + 0.01 * k}, 0.05, 40 + k);
        const aw_odds whole = odds_judged(&m, (double)NAN, AW_JUDGE_PARTS, &all);
        const aw_odds end = odds_judged(&m, (double)NAN, AW_JUDGE_END, &fixes);
        const bool near = fmin(end.share, 1 - end.share) < 0.0125;
        ck_assert(fixes == all ? end.share == whole.share : fixes < all && near);
        ck_assert_double_le(fabs(end.share - whole.share), 0.0125);
        shorter += fixes < all;
        as_long += fixes == all && !near;
        clear(&m);
    }
    ck_assert_uint_ge(shorter, 2);
    ck_assert_uint_ge(as_long, 2);
}
END_TEST

/* What the map's own draws tell of a cell: one fix of each of 400 installations. */
START_TEST(a_map_tells_odds_only_where_they_are_0_or_1)
{
    static const uint32_t good[] = {0, 2, 3, 200, 397, 398, 400};
    for (size_t k = 0; k < sizeof good / sizeof *good; k++) {
        uint32_t cells_within[400] = {0};
        aw_odds odds;
        aw_map map = {.grid = {.n = 20}, .cells_within = cells_within};
        for (uint32_t m = 0; m < 400; m++)
            cells_within[m] = m < good[k] ? 19 : 18;
        const bool told = aw_odds_told(&odds, &map, 400, (double)NAN);
        ck_assert(told == (good[k] <= 2 || good[k] >= 398));
        if (told)
            ck_assert_double_eq(odds.share, good[k] > 200 ? 1 : 0);
    }
}
END_TEST

/* The interval is of the draws there are, and nothing is told by few of them, or of a few cells. */
START_TEST(what_a_map_tells_is_as_sure_as_its_draws)
{
    static const uint32_t draws[] = {1, 20, 63, 64, 128, 200, 1000};
    for (size_t k = 0; k < 2 * sizeof draws / sizeof *draws; k++) {
        const uint32_t n = draws[k / 2];
        const bool good = k % 2;
        uint32_t cells_within[1000];
        double low, high;
        aw_odds odds;
        aw_map map = {.grid = {.n = 20}, .cells_within = cells_within};
        for (uint32_t m = 0; m < n; m++)
            cells_within[m] = good ? 20 : 3;
        ck_assert(aw_odds_told(&odds, &map, n, (double)NAN) == (n >= 64));
        if (n >= 64) {
            const uint32_t counted = n < 200 ? n : 200;
            aw_binomial_interval(good ? counted : 0, counted, &low, &high);
            ck_assert(odds.share == good && odds.low == low && odds.high == high);
        }
        map.grid.n = 19;
        ck_assert(aw_odds_told(&odds, &map, n, (double)NAN) == (n >= 64 && !good));
    }
}
END_TEST

static TCase *laws(void)
{
    TCase *tc = tcase_create("laws");
    tcase_add_loop_test(tc, odds_are_those_of_circular_errors, 0, 2 * sizeof cases / sizeof *cases);
    tcase_add_test(tc, asked_for_the_verdict_alone_odds_have_the_same);
    tcase_add_test(tc, an_end_has_the_odds_of_all_fixes_or_nearly);
    tcase_add_test(tc, a_map_tells_odds_only_where_they_are_0_or_1);
    tcase_add_test(tc, what_a_map_tells_is_as_sure_as_its_draws);
    return tc;
}

AW_TEST_MAIN("odds", laws())
