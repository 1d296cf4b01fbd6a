/* Layouts side by side: what is the same is exactly 0, what is chance is not called a difference.
 */
#include "links.h"

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

/* Of the zone, or without zones of the floor, which has the same cells. */
static aw_place_result compare(const aw_scenario *a, const aw_scenario *b)
{
    aw_errors errors = {0};
    aw_comparison c;
    ck_assert(aw_same_floor(a, b, &errors));
    ck_assert(aw_compare_run(&c, a, b, 2, NULL, &errors));
    const aw_place_result place = a->n_zones > 0 ? c.zones[0] : c.floor;
    aw_comparison_free(&c);
    return place;
}

START_TEST(a_layout_against_itself_is_exactly_0)
{
    aw_scenario a, b;
    read_room(&a, "", "");
    read_room(&b, "", "");
    const aw_place_result r = compare(&a, &b);
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

/* The same layout with other anchor names draws other numbers: its differences are chance. Over
 * 2000 seeds the interval misses 0 in 3.5 to 6.5 % of the cases, and any cell is
 * told apart in at most 5 %. */
START_TEST(chance_is_not_called_a_difference)
{
    aw_scenario a, b;
    int missed = 0, told = 0;
    read_room(&a, "", "");
    read_room(&b, "other ", "");
    a.n_zones = b.n_zones = 0;
    for (uint64_t seed = 1; seed <= 2000; seed++) {
        a.study.seed = b.study.seed = seed;
        const aw_place_result r = compare(&a, &b);
        missed += r.difference_low > 0 || r.difference_high < 0;
        told += r.better + r.worse > 0;
        ck_assert_int_eq(r.ranking, AW_NOT_TOLD_APART);
    }
    ck_assert_msg(missed >= 70 && missed <= 130, "the interval missed 0 in %d of 2000", missed);
    ck_assert_msg(told <= 100, "a cell was told apart in %d of 2000", told);
    aw_scenario_free(&a);
    aw_scenario_free(&b);
}
END_TEST

/* Four more anchors make p95 a third smaller; the interval of each of 2000 seeds is held against
 * the mean over all, which is the long-run difference: it covers it in 93 to 97 %. */
START_TEST(a_better_layout_is_called_so_and_its_interval_holds)
{
    aw_scenario a, b;
    static double low[2000], high[2000];
    double mean = 0;
    int held = 0;
    read_room(&a, "", "");
    read_room(
        &b, "",
        "  - {name: e, at: [4, 0.1, 3]}\n  - {name: f, at: [4, 7.9, 3]}\n  - {name: g, at: [0.1, "
        "4, 3]}\n  - {name: h, at: [7.9, 4, 3]}\n");
    a.n_zones = b.n_zones = 0;
    for (uint64_t seed = 0; seed < 2000; seed++) {
        a.study.seed = b.study.seed = seed + 1;
        const aw_place_result r = compare(&a, &b);
        ck_assert_int_eq(r.ranking, AW_B_BETTER);
        ck_assert_uint_gt(r.better, 40);
        ck_assert_uint_eq(r.worse, 0);
        low[seed] = r.difference_low;
        high[seed] = r.difference_high;
        mean += r.difference / 2000;
    }
    for (size_t i = 0; i < 2000; i++)
        held += low[i] <= mean && mean <= high[i];
    ck_assert_msg(held >= 1860 && held <= 1940, "held in %d of 2000", held);
    aw_scenario_free(&a);
    aw_scenario_free(&b);
}
END_TEST

START_TEST(other_floors_are_refused_with_the_reason)
{
    aw_scenario a, b;
    aw_errors errors = {0};
    read_room(&a, "", "");
    read_room(&b, "", "");
    b.floor.ceiling = 6;
    ck_assert(!aw_same_floor(&a, &b, &errors));
    ck_assert_ptr_nonnull(strstr(errors.list[0].text, "ceilings"));
    b.floor.ceiling = 5;
    b.study.draws = 100;
    ck_assert(!aw_same_floor(&a, &b, &errors));
    ck_assert_ptr_nonnull(strstr(errors.list[1].text, "draws"));
    aw_errors_free(&errors);
    aw_scenario_free(&a);
    aw_scenario_free(&b);
}
END_TEST

static TCase *compares(void)
{
    TCase *tc = tcase_create("compare");
    tcase_add_test(tc, a_layout_against_itself_is_exactly_0);
    tcase_add_test(tc, chance_is_not_called_a_difference);
    tcase_add_test(tc, a_better_layout_is_called_so_and_its_interval_holds);
    tcase_add_test(tc, other_floors_are_refused_with_the_reason);
    return tc;
}

AW_TEST_MAIN("compare", compares())
