/* Layouts side by side: what is the same is exactly 0, what is chance is not called a difference.
 */
#include "links.h"

#include <malloc.h>
#include <stdio.h>

/* A room of 8 x 8 m, 64 cells, one zone; anchors named by a prefix. */
static void read_room(aw_scenario *s, const char *prefix, const char *more)
{
    char yaml[2048];
    snprintf(
        yaml, sizeof yaml,
        "anchorwise: 1\ntitle: room\nfloor: {outline: [[0, 0], [8, 0], [8, 8], [0, 8]], ceiling: "
        "5}\nanchors:\n  - {name: %sa, at: [0.2, 0.3, 3]}\n  - {name: %sb, at: [7.7, 0.1, "
        "3.5]}\n  - {name: %sc, at: [7.8, 7.6, 3]}\n  - {name: %sd, at: [0.3, 7.7, 2.8]}\n%s"
        "ranging: {sigma: 0.1, spot_sigma: 0.1, survey_sigma: 0.02}\nzones: [{name: all, "
        "outline: [[0, 0], [8, 0], [8, 8], [0, 8]], need: {p95: 0.4}}]\nstudy: {step: 1, draws: "
        "512}\n",
        prefix, prefix, prefix, prefix, more);
    read_text(s, yaml);
}

/* Thousands of comparisons give their memory back and take it again: kept, they need half the time.
 * A checker's allocator keeps it anyhow and knows no such wish. */
static void keep_memory(void)
{
    mallopt(M_MMAP_THRESHOLD, 32 << 20);
    mallopt(M_TRIM_THRESHOLD, 256 << 20);
}

/* Of the zone, or without zones of the floor, which has the same cells. */
static aw_area_result compare(const aw_scenario *a, const aw_scenario *b)
{
    aw_errors errors = {0};
    aw_comparison c;
    ck_assert(aw_same_floor(a, b, &errors));
    ck_assert(aw_compare_run(&c, a, b, &(aw_run){2, NULL, &errors}));
    const aw_area_result place = a->n_zones > 0 ? c.zones[0] : c.floor;
    aw_comparison_free(&c);
    return place;
}

START_TEST(a_layout_against_itself_is_exactly_0)
{
    aw_scenario a, b;
    read_room(&a, "", "");
    read_room(&b, "", "");
    const aw_area_result r = compare(&a, &b);
    ck_assert_uint_eq(r.cells, 64);
    ck_assert_double_eq(r.difference, 0);
    ck_assert_double_eq(r.difference_low, 0);
    ck_assert_double_eq(r.difference_high, 0);
    ck_assert_double_eq(r.share_meeting[0], r.share_meeting[1]);
    ck_assert_uint_eq(r.better + r.worse, 0);
    ck_assert_int_eq(r.ranking, AW_NOT_TOLD_APART);
    aw_scenario_free(&a);
    aw_scenario_free(&b);
}
END_TEST

/* AW_WHOLE=1 takes so many seeds, else half of them. */
#define SEEDS 2000
static uint64_t seeds_tried(void)
{
    return getenv("AW_WHOLE") != NULL ? SEEDS : SEEDS / 2;
}

/* Whether a count is that of 5 % of n seeds, within three standard errors. */
static bool is_one_in_twenty(int count, double n)
{
    return fabs(count - 0.05 * n) <= 3 * sqrt(0.05 * 0.95 * n);
}

/* The same layout with other anchor names draws other numbers: its differences are chance. The
 * interval misses 0 in 5 % of the seeds, and any cell is told apart in at most 5 %. */
START_TEST(chance_is_not_called_a_difference)
{
    aw_scenario a, b;
    int missed = 0, told = 0;
    read_room(&a, "", "");
    read_room(&b, "other ", "");
    a.n_zones = b.n_zones = 0;
    const uint64_t n = seeds_tried();
    for (uint64_t seed = 1; seed <= n; seed++) {
        a.study.seed = b.study.seed = seed;
        const aw_area_result r = compare(&a, &b);
        const bool misses = r.difference_low > 0 || r.difference_high < 0;
        missed += misses;
        told += r.better + r.worse + r.near > 0;
        ck_assert_int_eq(r.ranking, misses ? AW_NEAR : AW_NOT_TOLD_APART);
    }
    ck_assert_msg(is_one_in_twenty(missed, (double)n), "missed 0 in %d seeds", missed);
    ck_assert_msg(told <= 0.05 * (double)n, "a cell was told apart in %d seeds", told);
    aw_scenario_free(&a);
    aw_scenario_free(&b);
}
END_TEST

/* Four more anchors make p95 a third smaller; the interval of each seed is held against the mean
 * over all, which is the long-run difference: it covers it in 95 %. */
START_TEST(a_better_layout_is_called_so_and_its_interval_holds)
{
    aw_scenario a, b;
    static double low[SEEDS], high[SEEDS];
    const uint64_t n = seeds_tried();
    double mean = 0;
    int held = 0;
    read_room(&a, "", "");
    read_room(
        &b, "",
        "  - {name: e, at: [4, 0.1, 3]}\n  - {name: f, at: [4, 7.9, 3]}\n  - {name: g, at: [0.1, "
        "4, 3]}\n  - {name: h, at: [7.9, 4, 3]}\n");
    a.n_zones = b.n_zones = 0;
    for (uint64_t seed = 0; seed < n; seed++) {
        a.study.seed = b.study.seed = seed + 1;
        const aw_area_result r = compare(&a, &b);
        ck_assert_int_eq(r.ranking, AW_B_BETTER);
        ck_assert_uint_gt(r.better, 40);
        ck_assert_uint_eq(r.worse, 0);
        low[seed] = r.difference_low;
        high[seed] = r.difference_high;
        mean += r.difference / (double)n;
    }
    for (size_t i = 0; i < n; i++)
        held += low[i] <= mean && mean <= high[i];
    ck_assert_msg(is_one_in_twenty((int)n - held, (double)n), "held in %d seeds", held);
    aw_scenario_free(&a);
    aw_scenario_free(&b);
}
END_TEST

/* Odds are the assessment's, layout by layout; without a need or installation terms there are none.
 */
START_TEST(odds_are_those_that_assess_gives_each_layout)
{
    aw_scenario s[2];
    aw_errors errors = {0};
    aw_comparison c;
    aw_assessment a;
    read_room(&s[0], "", "");
    read_room(&s[1], "", "  - {name: e, at: [4, 0.1, 3]}\n");
    s[0].study.draws = s[1].study.draws = 64;
    s[0].ranging.survey_sigma = s[1].ranging.survey_sigma = 0.1; /* so that some fail */
    ck_assert(aw_compare_run(&c, &s[0], &s[1], &(aw_run){2, NULL, &errors}));
    ck_assert(isnan(c.floor.odds[0]) && isnan(c.floor.odds[1]));
    for (int k = 0; k < 2; k++) {
        ck_assert(aw_assess_run(&a, &s[k], &(aw_run){2, NULL, &errors}));
        ck_assert_double_eq(c.zones[0].odds[k], a.zones[0].parts[AW_PART_ODDS].found.value);
        ck_assert_double_eq(c.zones[0].odds_low[k], a.zones[0].parts[AW_PART_ODDS].found.low);
        ck_assert_double_eq(c.zones[0].odds_high[k], a.zones[0].parts[AW_PART_ODDS].found.high);
        aw_assessment_free(&a);
    }
    ck_assert_double_gt(c.zones[0].odds[1], c.zones[0].odds[0]);
    aw_comparison_free(&c);
    s[1].ranging.survey_sigma = 0;
    ck_assert(aw_compare_run(&c, &s[0], &s[1], &(aw_run){2, NULL, &errors}));
    ck_assert(!isnan(c.zones[0].odds[0]));
    ck_assert(isnan(c.zones[0].odds[1]) && isnan(c.zones[0].odds_high[1]));
    aw_comparison_free(&c);
    aw_scenario_free(&s[0]);
    aw_scenario_free(&s[1]);
}
END_TEST

/* The layouts judged side by side and by themselves; b's need is its own. */
/* b's error terms are a's times a factor and so are its errors, draw by draw, of anchors without
 * other terms: what 1.1 does is real and too little, what 1.3 does is worse, and what few draws of
 * other numbers do is nothing. */
START_TEST(a_real_difference_under_15_percent_is_near_and_no_ranking)
{
    static const double times[] = {1.1, 1.3, 1 / 1.1, 1 / 1.3};
    static const aw_ranking rankings[] = {AW_NEAR, AW_B_WORSE, AW_NEAR, AW_B_BETTER};
    aw_scenario a, b;
    read_room(&a, "", "");
    read_room(&b, "", "");
    a.n_zones = b.n_zones = 0;
    for (size_t i = 0; i < 4; i++) {
        b.ranging.sigma = times[i] * a.ranging.sigma;
        b.ranging.spot_sigma = times[i] * a.ranging.spot_sigma;
        b.ranging.survey_sigma = times[i] * a.ranging.survey_sigma;
        const aw_area_result r = compare(&a, &b);
        ck_assert_int_eq(r.ranking, rankings[i]);
        ck_close(r.p95[1] / r.p95[0], times[i], 0.01);
        ck_assert(r.difference_low > 0 || r.difference_high < 0);
        ck_assert_uint_ge(r.near, rankings[i] == AW_NEAR ? 60 : 0);
        ck_assert_uint_ge(r.better, rankings[i] == AW_B_BETTER ? 60 : 0);
        ck_assert_uint_ge(r.worse, rankings[i] == AW_B_WORSE ? 60 : 0);
        ck_assert_uint_le(r.near + r.better + r.worse, r.cells);
    }
    aw_scenario_free(&a);
    aw_scenario_free(&b);
}
END_TEST

START_TEST(verdicts_are_those_that_assess_gives_each_layout)
{
    static const double needs[] = {0.4, 0.2, 0.01, (double)NAN};
    static const aw_verdict verdicts[] = {AW_MET, AW_NOT_MET, AW_NOT_MET, AW_NO_NEED};
    aw_scenario s[2];
    aw_errors errors = {0};
    aw_comparison c;
    aw_assessment a;
    read_room(&s[0], "", "");
    read_room(&s[1], "", "  - {name: e, at: [4, 0.1, 3]}\n");
    aw_zone zone = s[1].zones[0];
    s[1].zones = &zone;
    for (size_t i = 0; i < 4; i++) {
        zone.need.p95 = needs[i];
        zone.need.margin = 1; /* by the stated errors alone */
        ck_assert(aw_compare_run(&c, &s[0], &s[1], &(aw_run){2, NULL, &errors}));
        ck_assert_int_eq(c.verdict[1], verdicts[i]);
        for (int k = 0; k < 2; k++) {
            ck_assert(aw_assess_run(&a, &s[k], &(aw_run){2, NULL, &errors}));
            ck_assert_int_eq(c.judged[k][0].verdict, a.zones[0].verdict);
            ck_assert_int_eq(c.verdict[k], a.verdict);
            ck_assert_double_eq(c.zones[0].p50[k], a.zones[0].errors.p50);
            ck_assert_double_eq(c.zones[0].p95[k], a.zones[0].errors.p95);
            const double share = a.zones[0].parts[AW_PART_SHARE].found.value;
            ck_assert(isnan(share) ? isnan(c.zones[0].share_meeting[k])
                                   : c.zones[0].share_meeting[k] == share);
            aw_assessment_free(&a);
        }
        aw_comparison_free(&c);
    }
    aw_scenario_free(&s[0]);
    aw_scenario_free(&s[1]);
}
END_TEST

/* A need on the line of one layout keeps it drawing when the other has long been told. */
START_TEST(drawn_up_to_a_precision_both_layouts_get_the_larger_number)
{
    aw_scenario s[2];
    aw_errors errors = {0};
    aw_comparison c;
    aw_zone_result alone[2];
    read_room(&s[0], "", "");
    read_room(&s[1], "", "  - {name: e, at: [4, 0.1, 3]}\n");
    aw_zone zone = s[0].zones[0];
    s[0].zones = s[1].zones = &zone;
    s[0].study.precision = s[1].study.precision = 0.04;
    ck_assert(aw_assess_zone(&alone[0], &s[0], &zone, &(aw_run){2, NULL, &errors}));
    zone.need.p95 = 1.002 * alone[0].errors.p95;
    for (int k = 0; k < 2; k++)
        ck_assert(aw_assess_zone(&alone[k], &s[k], &zone, &(aw_run){2, NULL, &errors}));
    ck_assert_uint_gt(alone[0].draws, alone[1].draws);
    ck_assert(aw_compare_run(&c, &s[0], &s[1], &(aw_run){2, NULL, &errors}));
    for (int k = 0; k < 2; k++)
        ck_assert_uint_eq(c.judged[k][0].draws, alone[0].draws);
    aw_comparison_free(&c);
    aw_scenario_free(&s[0]);
    aw_scenario_free(&s[1]);
}
END_TEST

START_TEST(the_work_announced_is_the_work_done)
{
    aw_scenario a, b;
    aw_errors errors = {0};
    aw_comparison c;
    aw_watch watch = {0};
    read_room(&a, "", "");
    read_room(&b, "", "  - {name: e, at: [4, 0.1, 3]}\n");
    for (int k = 0; k < 2; k++) {
        aw_watch_start(&watch, NULL, NULL);
        ck_assert(aw_compare_run(&c, &a, &b, &(aw_run){2, &watch, &errors}));
        ck_assert_uint_eq(atomic_load(&watch.done), aw_compare_work(&a, &b));
        aw_comparison_free(&c);
        b.ranging.survey_sigma = 0;
    }
    aw_scenario_free(&a);
    aw_scenario_free(&b);
}
END_TEST

/* Cell by cell: p95 is the map's of each layout, and the rankings are those that were counted. */
START_TEST(cells_of_the_floor_are_those_of_the_maps)
{
    aw_scenario s[2];
    aw_errors errors = {0};
    aw_comparison c;
    size_t better = 0, worse = 0, near = 0;
    read_room(&s[0], "", "");
    read_room(&s[1], "", "  - {name: e, at: [4, 0.1, 3]}\n  - {name: f, at: [4, 7.9, 3]}\n");
    ck_assert(aw_compare_run(&c, &s[0], &s[1], &(aw_run){2, NULL, &errors}));
    for (int k = 0; k < 2; k++) {
        const aw_map_plan plan = {.scenario = &s[k], .groups = 1};
        aw_grid grid;
        aw_map map;
        ck_assert(aw_grid_lay_zone(&grid, &s[k], NULL, &errors));
        ck_assert(aw_map_run(&map, &grid, &plan, &(aw_run){2, NULL, &errors}));
        ck_assert_uint_eq(map.grid.n, c.cells.grid.n);
        for (size_t i = 0; i < map.grid.n; i++) {
            ck_assert_uint_eq(map.grid.number[i], c.cells.grid.number[i]);
            ck_assert_double_eq(map.value[AW_LAYER_P95 * map.grid.n + i], c.cells.p95[k][i]);
        }
        aw_map_free(&map);
    }
    for (size_t i = 0; i < c.cells.grid.n; i++) {
        better += c.cells.ranking[i] == AW_B_BETTER;
        worse += c.cells.ranking[i] == AW_B_WORSE;
        const double p95 = c.cells.p95[0][i], other = c.cells.p95[1][i];
        ck_assert(c.cells.ranking[i] != AW_B_BETTER || other < (1 - AW_NEAR_EQUAL) * p95);
        ck_assert(c.cells.ranking[i] != AW_B_WORSE || p95 < (1 - AW_NEAR_EQUAL) * other);
        near += fabs(other - p95) <= AW_NEAR_EQUAL * fmax(p95, other);
    }
    ck_assert_uint_eq(better, c.floor.better);
    ck_assert_uint_eq(worse, c.floor.worse);
    ck_assert_uint_gt(better, 10);
    ck_assert_uint_gt(near, 5);
    aw_comparison_free(&c);
    aw_scenario_free(&s[0]);
    aw_scenario_free(&s[1]);
}
END_TEST

START_TEST(other_floors_are_refused_with_the_reason)
{
    aw_scenario a, b;
    aw_errors errors = {0};
    aw_zone zone;
    aw_point corners[4];
    const aw_level level = {.outline = {.at = corners, .n = 4}, .height = -1};
    read_room(&a, "", "");
    read_room(&b, "", "");
    zone = b.zones[0];
    memcpy(corners, zone.outline.at, sizeof corners);
    corners[0].x += 1;
    zone.outline.at = corners;
    b.zones = &zone;
    ck_assert(!aw_same_floor(&a, &b, &errors));
    ck_assert_ptr_nonnull(strstr(errors.list[0].text, "zones"));
    b.levels = &level;
    b.n_levels = 1;
    ck_assert(!aw_same_floor(&a, &b, &errors));
    ck_assert_ptr_nonnull(strstr(errors.list[1].text, "levels"));
    b.floor.outline.at = corners;
    ck_assert(!aw_same_floor(&a, &b, &errors));
    ck_assert_ptr_nonnull(strstr(errors.list[2].text, "outlines"));
    aw_errors_free(&errors);
    aw_scenario_free(&a);
    aw_scenario_free(&b);
}
END_TEST

static TCase *compares(void)
{
    TCase *tc = tcase_create("compare");
    tcase_add_checked_fixture(tc, keep_memory, NULL);
    tcase_add_test(tc, a_layout_against_itself_is_exactly_0);
    tcase_add_test(tc, chance_is_not_called_a_difference);
    tcase_add_test(tc, a_better_layout_is_called_so_and_its_interval_holds);
    tcase_add_test(tc, odds_are_those_that_assess_gives_each_layout);
    tcase_add_test(tc, a_real_difference_under_15_percent_is_near_and_no_ranking);
    tcase_add_test(tc, verdicts_are_those_that_assess_gives_each_layout);
    tcase_add_test(tc, drawn_up_to_a_precision_both_layouts_get_the_larger_number);
    tcase_add_test(tc, the_work_announced_is_the_work_done);
    tcase_add_test(tc, cells_of_the_floor_are_those_of_the_maps);
    tcase_add_test(tc, other_floors_are_refused_with_the_reason);
    return tc;
}

AW_TEST_MAIN("compare", compares())
