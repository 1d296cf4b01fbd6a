/* The parts of a need: intervals that hold as often as they say, verdicts by them, and words. */
#include <gsl/gsl_cdf.h>
#include <stdio.h>
#include <string.h>

#include "assess/parts.h"
#include "report/words.h"
#include "links.h"

/* --- estimates --- */

/* Counts of 32 groups whose shares differ from group to group, as installations do, and whose sizes
 * do too. Over 2000 repeats the interval holds the true share in 95 %, within four standard errors
 * of 0.5 %. */
START_TEST(the_interval_of_a_share_holds_it_in_95_of_100)
{
    uint64_t state = 11;
    int held = 0;
    for (int k = 0; k < 2000; k++) {
        uint64_t part[AW_GROUPS] = {0}, whole[AW_GROUPS] = {0};
        for (size_t g = 0; g < AW_GROUPS; g++) {
            const double p = 0.8 + test_between(&state, -0.1, 0.1);
            whole[g] = 60 + g % 7;
            for (uint64_t i = 0; i < whole[g]; i++)
                part[g] += test_uniform(&state) < p;
        }
        const aw_estimate e = aw_estimate_share(part, whole, 64, true, 0.95);
        ck_assert_double_le(e.low, e.value);
        ck_assert_double_le(e.value, e.high);
        held += e.low <= 0.8 && 0.8 <= e.high;
    }
    ck_assert_msg(held >= 1860 && held <= 1940, "held in %d of 2000", held);
}
END_TEST

/* Without a failure in n trials shares down to z^2 / (n + z^2) are as good as none (Wilson 1927; z
 * is t31 = 2.0395). Draws that share an installation are trials only once. No interval leaves [0,
 * 1]. */
START_TEST(no_failure_seen_is_not_none)
{
    uint64_t part[AW_GROUPS], whole[AW_GROUPS];
    const double z2 = 2.0395 * 2.0395;
    for (size_t g = 0; g < AW_GROUPS; g++)
        part[g] = whole[g] = 90;
    aw_estimate e = aw_estimate_share(part, whole, 300, true, 0.95);
    ck_assert(e.value == 1 && e.high == 1);
    ck_assert_double_eq_tol(e.low, 300 / (300 + z2), 1e-5);
    e = aw_estimate_share(part, whole, 300, false, 0.95);
    ck_assert_double_eq_tol(e.low, 2880 / (2880 + z2), 1e-5);
    ck_assert_int_eq(aw_part_judge(AW_PART_FIX_SHARE, 0.9999, e).verdict, AW_UNDECIDED);
    for (size_t g = 0; g < AW_GROUPS; g++)
        part[g] = 0;
    e = aw_estimate_share(part, whole, 300, true, 0.95);
    ck_assert(e.value == 0 && e.low == 0);
    ck_assert_double_eq_tol(e.high, z2 / (300 + z2), 1e-5);
    for (size_t g = 0; g < AW_GROUPS; g++)
        part[g] = 90;
    part[3] = 0;
    e = aw_estimate_share(part, whole, 300, true, 0.95);
    ck_assert(0 < e.low && e.low < e.value && e.value < e.high && e.high < 1);
    e = aw_estimate_share(part, whole, 63, true, 0.95);
    ck_assert(e.value < 1 && isnan(e.low) && isnan(e.high));
}
END_TEST

/* Of 100 draws a cell whose p95 is the need has 99 or more within it by a chance of 3.7 %, 100 by
 * 0.6 %, and 89 or fewer by 1.1 %, 90 by 2.8 % (binomial): only the ends are sure. Of twenty cells
 * two or fewer seem sure by chance in 98.7 %, one or none in 91.1 %. */
START_TEST(a_share_of_cells_is_as_sure_as_its_cells)
{
    uint32_t within[20];
    for (int i = 0; i < 20; i++)
        within[i] = i < 10 ? 99 : 90;
    aw_estimate e = aw_estimate_cells(0.5, within, 20, 100, 0.95);
    ck_assert(e.low == 0 && e.value == 0.5 && e.high == 1);
    for (int i = 0; i < 20; i++)
        within[i] = 100;
    e = aw_estimate_cells(1, within, 20, 100, 0.95);
    ck_assert(e.low == 1 && e.high == 1);
    within[0] = within[1] = 90;
    e = aw_estimate_cells(0.9, within, 20, 100, 0.95);
    ck_assert_double_eq_tol(e.low, 0.85, 1e-12);
    ck_assert(e.high == 1);
    for (int i = 0; i < 20; i++)
        within[i] = i < 2 ? 89 : 95;
    e = aw_estimate_cells(0.9, within, 20, 100, 0.95);
    ck_assert(e.low == 0 && e.high == 1);
    for (int i = 0; i < 20; i++)
        within[i] = i < 6 ? 89 : 95;
    e = aw_estimate_cells(0.7, within, 20, 100, 0.95);
    ck_assert_double_eq_tol(e.high, 0.8, 1e-12);
    ck_assert_int_eq(aw_part_judge(AW_PART_SHARE, 0.9, e).verdict, AW_NOT_MET);
    ck_assert_int_eq(aw_part_judge(AW_PART_SHARE, 0.7, e).verdict, AW_UNDECIDED);
    e = aw_estimate_cells(0.9, within, 20, 63, 0.95);
    ck_assert(isnan(e.low) && isnan(e.high));
}
END_TEST

/* p95 of a normal law's absolute value is 1.96 and the interval of 32 000 draws, as of 32 cells,
 * holds that in 95 % of 500 repeats, within four standard errors of 1 %; so does that of 640. */
START_TEST(the_interval_of_a_percentile_holds_it_in_95_of_100)
{
    const size_t draws = _i ? 32000 : 640;
    uint64_t state = 3;
    int held = 0;
    for (int k = 0; k < 500; k++) {
        aw_tally *t = aw_tally_create(AW_GROUPS);
        for (size_t i = 0; i < draws; i++)
            aw_tally_add(t, (float)fabs(test_normal(&state)), i % AW_GROUPS);
        const aw_estimate e = aw_estimate_percentile(t, 0.95, (uint32_t)draws, 0.95);
        held += e.low <= 1.95996 && 1.95996 <= e.high;
        aw_tally_free(t);
    }
    ck_assert_msg(held >= 455 && held <= 495, "held in %d of 500", held);
}
END_TEST

START_TEST(a_percentile_among_failed_draws_is_surely_infinite)
{
    aw_tally *t = aw_tally_create(AW_GROUPS);
    for (size_t i = 0; i < 640; i++)
        aw_tally_add(t, i < 320 ? 1 : (float)HUGE_VAL, i % AW_GROUPS);
    const aw_estimate e = aw_estimate_percentile(t, 0.95, 640, 0.95);
    ck_assert(isinf(e.value) && isinf(e.low) && isinf(e.high));
    ck_assert_int_eq(aw_part_judge(AW_PART_P95, 1000, e).verdict, AW_NOT_MET);
    const aw_estimate few = aw_estimate_percentile(t, 0.95, 32, 0.95);
    ck_assert_int_eq(aw_part_judge(AW_PART_P95, 1000, few).verdict, AW_UNDECIDED);
    aw_tally_free(t);
}
END_TEST

/* --- verdicts --- */

/* By the model: wholly right holds, wholly wrong fails, else undecided; and without an interval. */
START_TEST(a_part_is_judged_by_its_interval)
{
    static const struct {
        aw_part part;
        double asked;
        aw_estimate found;
        aw_verdict verdict;
    } cases[] = {
        {AW_PART_P99, 1, {0.9, 0.8, 1}, AW_MET},
        {AW_PART_P99, 1, {1.2, 1.01, 1.3}, AW_NOT_MET},
        {AW_PART_P50, 1, {0.9, 0.8, 1.01}, AW_UNDECIDED},
        {AW_PART_VERTICAL_P95, 1, {0.9, NAN, NAN}, AW_UNDECIDED},
        {AW_PART_ZONE_SHARE, 0.9, {0.95, 0.9, 0.97}, AW_MET},
        {AW_PART_ZONE_SHARE, 0.9, {0.85, 0.8, 0.89}, AW_NOT_MET},
        {AW_PART_FIX_SHARE, 0.9, {0.91, 0.89, 0.93}, AW_UNDECIDED},
        {AW_PART_SHARE, 0.9, {0.9, 0.9, 0.9}, AW_MET},
        {AW_PART_ODDS, 0.9, {0.85, 0.79, 0.9}, AW_UNDECIDED},
    };
    const aw_part_result r = aw_part_judge(cases[_i].part, cases[_i].asked, cases[_i].found);
    ck_assert_int_eq(r.verdict, cases[_i].verdict);
}
END_TEST

/* The interval shrinks with the root of the draws: a gap of half the reach takes four times as
 * many. The slowest part counts; odds are not settled by draws. */
START_TEST(draws_to_settle_follow_the_root_of_the_draws)
{
    aw_part_result parts[AW_PARTS];
    for (int i = 0; i < AW_PARTS; i++)
        parts[i] = (aw_part_result){(double)NAN, {1, 1, 1}, AW_NO_NEED};
    ck_assert(isnan(aw_parts_draws_to_settle(parts, 1000)));
    parts[AW_PART_P95] = (aw_part_result){1.0, {1.1, 0.95, 1.25}, AW_UNDECIDED};
    ck_assert_double_eq_tol(aw_parts_draws_to_settle(parts, 1000), 2250, 1);
    parts[AW_PART_ZONE_SHARE] = (aw_part_result){0.9, {0.91, 0.89, 0.93}, AW_UNDECIDED};
    ck_assert_double_eq_tol(aw_parts_draws_to_settle(parts, 1000), 4000, 1);
    ck_assert_double_eq(aw_parts_draws_to_settle(parts, 60), 64);
    parts[AW_PART_ODDS] = (aw_part_result){0.9, {0.9, 0.85, 0.94}, AW_UNDECIDED};
    ck_assert(isnan(aw_parts_draws_to_settle(parts, 1000)));
}
END_TEST

/* --- a zone --- */

static void read_hall(aw_scenario *s, const char *need)
{
    char yaml[2048];
    snprintf(
        yaml, sizeof yaml,
        "anchorwise: 1\ntitle: hall\nfloor: {outline: [[0, 0], [12, 0], [12, 9], [0, 9]], "
        "ceiling: 6}\nanchors: [{name: a, at: [0, 0, 5]}, {name: b, at: [12, 0, 3]}, {name: c, "
        "at: [12, 9, 5]}, {name: d, at: [0, 9, 3]}, {name: e, at: [6, 0, 5.5]}, {name: f, "
        "at: [6, 9, 5.5]}, {name: g, at: [0, 4, 5.7]}, {name: h, at: [12, 4, 2.5]}]\ntags: "
        "[{name: t, height: 1, fix: 3d}]\nranging: {sigma: 0.2, budget_db: 5, spot_sigma: "
        "0.1, survey_sigma: 0.02}\nzones: [{name: bay, outline: [[3, 1], [9, 1], [9, 8], [3, "
        "8]]%s}]\nstudy: {step: 0.5, draws: 320, margin: 1}\n",
        need);
    read_text(s, yaml);
}

static aw_zone_result assess(const aw_scenario *s)
{
    aw_errors errors = {0};
    aw_assessment a;
    ck_assert(aw_assess_run(&a, s, &(aw_run){2, NULL, &errors}));
    const aw_zone_result r = a.zones[0];
    ck_assert_int_eq(a.verdict, r.verdict);
    aw_assessment_free(&a);
    return r;
}

static const struct {
    aw_part part;
    const char *key;
} asked_parts[] = {{AW_PART_P95, "p95"},
                   {AW_PART_P50, "p50"},
                   {AW_PART_P99, "p99"},
                   {AW_PART_VERTICAL_P95, "vertical_p95"},
                   {AW_PART_FIX_SHARE, "fix_share"},
                   {AW_PART_ZONE_SHARE, "zone_share"}};

/* Asked for just beyond either end of its own interval a part holds or fails, asked for its value
 * it is undecided, and that alone decides the zone. p95 brings odds; they are set aside. */
START_TEST(each_part_alone_decides_the_zone)
{
    const aw_part part = asked_parts[_i].part;
    aw_scenario s;
    char need[80];
    snprintf(need, sizeof need, ", need: {%s: 0.9}", asked_parts[_i].key);
    read_hall(&s, need);
    s.study.odds = 0.0;
    if (part == AW_PART_FIX_SHARE)
        s.ranging.spot_sigma = 3; /* so rough that some fixes fail */
    aw_varied v = aw_vary(&s);
    aw_zone *zones = aw_varied_zones(&v);
    ck_assert_ptr_nonnull(zones);
    double *limit = (double *)(void *)((char *)&zones[0].need + aw_part_rows[part].offset);
    const aw_estimate e = assess(&v.scenario).parts[part].found;
    ck_assert_double_lt(e.low, e.high);
    const bool length = aw_part_rows[part].is_length;
    *limit = length ? e.high * 1.001 : e.low * 0.999;
    aw_zone_result r = assess(&v.scenario);
    ck_assert_int_eq(r.parts[part].verdict, AW_MET);
    ck_assert_int_eq(r.verdict, AW_MET);
    *limit = length ? e.low * 0.999 : e.high + (1 - e.high) / 2;
    r = assess(&v.scenario);
    ck_assert_int_eq(r.verdict, AW_NOT_MET);
    *limit = length ? (e.value + 9 * e.high) / 10 : (e.value + 9 * e.low) / 10;
    r = assess(&v.scenario);
    ck_assert_int_eq(r.verdict, AW_UNDECIDED);
    ck_assert_double_gt(r.draws_to_settle, 320);
    for (int i = 0; i < AW_PARTS; i++)
        if (i != (int)part && i != AW_PART_ODDS)
            ck_assert_int_eq(r.parts[i].verdict, AW_NO_NEED);
    aw_varied_free(&v);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(a_zone_without_a_need_has_no_verdict)
{
    aw_scenario s;
    read_hall(&s, "");
    const aw_zone_result r = assess(&s);
    ck_assert_int_eq(r.verdict, AW_NO_NEED);
    ck_assert_double_lt(r.parts[AW_PART_P95].found.low, r.errors.p95);
    ck_assert(isnan(r.parts[AW_PART_SHARE].found.value) && isnan(r.draws_to_settle));
    ck_assert_double_lt(r.errors.p95, r.errors.p99);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(the_zone_share_is_the_diagonal_of_the_confusion_table)
{
    aw_scenario s;
    aw_errors errors = {0};
    aw_decisions d;
    read_hall(&s, ", need: {zone_share: 0.5}");
    const aw_estimate asked = assess(&s).parts[AW_PART_ZONE_SHARE].found;
    ck_assert(aw_decisions_run(&d, &s, &(aw_run){1, NULL, &errors}));
    ck_assert_int_eq(memcmp(&asked, &d.zones[0].reported[0], sizeof asked), 0);
    aw_decisions_free(&d);
    aw_scenario_free(&s);
}
END_TEST

/* Without error the share lost is of places, so the even spread is what is tested: a triangle that
 * no cell border follows, and a zone that it reaches into. */
START_TEST(tags_are_spread_evenly_over_a_zone)
{
    aw_scenario s;
    aw_errors errors = {0};
    aw_decisions d;
    read_text(&s, "anchorwise: 1\ntitle: t\nfloor: {outline: [[0, 0], [20, 0], [20, 20], [0, 20]], "
                  "ceiling: 6}\nanchors: [{name: a, at: [0, 0, 1]}, {name: b, at: [20, 0, 1]}, "
                  "{name: c, at: [20, 20, 1]}, {name: d, at: [0, 20, 1]}]\nranging: {sigma: "
                  "0.0001}\nstudy: {step: 1.3, draws: 1000}\nzones:\n"
                  "  - {name: whole, outline: [[3.1, 2.3], [16.2, 4.7], [9.4, 17.9]]}\n"
                  "  - {name: low, outline: [[0, 0], [20, 0], [20, 8.11], [0, 8.11]]}\n");
    ck_assert(aw_decisions_run(&d, &s, &(aw_run){2, NULL, &errors}));
    /* The areas of the triangle, and of it under y = 8.11, by the shoelace rule. The sides meet
     * that line at x = 3.1 + 6.3 (5.81 / 15.6) and 16.2 - 6.8 (3.41 / 13.2). */
    const double whole = 0.5 * (13.1 * 15.6 - 6.3 * 2.4);
    const double left = 3.1 + 6.3 * 5.81 / 15.6, right = 16.2 - 6.8 * 3.41 / 13.2;
    const double upper = 0.5 * (right - left) * (17.9 - 8.11);
    ck_assert_double_eq_tol(d.zones[0].reported[1].value, 1 - upper / whole, 0.001);
    ck_assert_double_eq_tol(d.zones[0].reported[0].value, 1, 1e-3);
    aw_decisions_free(&d);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(what_two_needs_differ_in_is_told_with_both_values)
{
    for (size_t i = 0; i < sizeof asked_parts / sizeof *asked_parts; i++) {
        aw_scenario a, b;
        aw_errors errors = {0};
        aw_mismatches m = {0};
        char need[80];
        snprintf(need, sizeof need, ", need: {%s: 0.9}", asked_parts[i].key);
        read_hall(&a, need);
        read_hall(&b, need);
        ck_assert(aw_mismatches_find(&m, &a, &b));
        ck_assert_uint_eq(m.n, 0);
        aw_scenario_free(&b);
        snprintf(need, sizeof need, ", need: {%s: 0.8}", asked_parts[i].key);
        read_hall(&b, need);
        ck_assert(aw_same_floor(&a, &b, &errors));
        ck_assert(aw_mismatches_find(&m, &a, &b));
        ck_assert_uint_eq(m.n, 1);
        ck_assert_double_eq(m.list[0].number[0], 0.9);
        ck_assert_double_eq(m.list[0].number[1], 0.8);
        aw_mismatches_free(&m);
        aw_scenario_free(&a);
        aw_scenario_free(&b);
        aw_errors_free(&errors);
    }
}
END_TEST

/* --- words --- */

START_TEST(needs_are_told_in_the_order_of_the_table)
{
    aw_need need = {.p95 = 0.47,
                    .share = 0.9,
                    .p50 = 0.2,
                    .p99 = 1,
                    .vertical_p95 = 0.75,
                    .fix_share = 0.995,
                    .zone_share = 0.9999,
                    .chance = (double)NAN,
                    .margin = (double)NAN};
    aw_text text = {0};
    aw_need_words(&need, AW_METRES, &text);
    ck_assert_str_eq(text.at,
                     "p95 <= 0.47 m, in 90 %, p50 <= 0.2 m, p99 <= 1 m, height p95 <= 0.75 m, fix "
                     "share >= 99.5 %, zone share >= 99.99 %");
    aw_text_free(&text);
    aw_need_words(&need, AW_FEET, &text);
    ck_assert_str_eq(text.at,
                     "p95 <= 18.5 in, in 90 %, p50 <= 7.9 in, p99 <= 39.4 in, height p95 <= 29.5 "
                     "in, fix share >= 99.5 %, zone share >= 99.99 %");
    aw_text_free(&text);
}
END_TEST

START_TEST(the_reason_names_the_parts_that_decided)
{
    static const struct {
        aw_verdict p95, share, p99, zone, odds;
        const char *words;
    } cases[] = {
        {AW_NOT_MET, AW_MET, AW_NO_NEED, AW_NO_NEED, AW_NOT_MET, "p95"},
        {AW_NOT_MET, AW_NOT_MET, AW_MET, AW_NO_NEED, AW_MET, "p95 and weak pockets"},
        {AW_MET, AW_MET, AW_MET, AW_NO_NEED, AW_NOT_MET, "p95 odds"},
        {AW_NOT_MET, AW_NOT_MET, AW_NOT_MET, AW_NOT_MET, AW_NOT_MET,
         "p95, weak pockets, p99 and zone share"},
        {AW_UNDECIDED, AW_MET, AW_NO_NEED, AW_NOT_MET, AW_UNDECIDED, "zone share"},
        {AW_MET, AW_MET, AW_NO_NEED, AW_UNDECIDED, AW_UNDECIDED, "zone share and p95 odds"},
    };
    aw_zone_result r = {.verdict = AW_NO_NEED};
    aw_text text = {0};
    for (int i = 0; i < AW_PARTS; i++)
        r.parts[i].verdict = AW_NO_NEED;
    r.parts[AW_PART_P95].verdict = cases[_i].p95;
    r.parts[AW_PART_SHARE].verdict = cases[_i].share;
    r.parts[AW_PART_P99].verdict = cases[_i].p99;
    r.parts[AW_PART_ZONE_SHARE].verdict = cases[_i].zone;
    r.parts[AW_PART_ODDS].verdict = cases[_i].odds;
    for (int i = 0; i < AW_PARTS; i++)
        r.verdict = aw_verdict_join(r.verdict, r.parts[i].verdict);
    aw_reason_words(&r, &text);
    ck_assert_str_eq(text.at, cases[_i].words);
    aw_text_free(&text);
}
END_TEST

static TCase *estimates(void)
{
    TCase *tc = tcase_create("estimates");
    tcase_add_test(tc, the_interval_of_a_share_holds_it_in_95_of_100);
    tcase_add_test(tc, no_failure_seen_is_not_none);
    tcase_add_test(tc, a_share_of_cells_is_as_sure_as_its_cells);
    tcase_add_loop_test(tc, the_interval_of_a_percentile_holds_it_in_95_of_100, 0, 2);
    tcase_add_test(tc, a_percentile_among_failed_draws_is_surely_infinite);
    tcase_add_loop_test(tc, a_part_is_judged_by_its_interval, 0, 9);
    tcase_add_test(tc, draws_to_settle_follow_the_root_of_the_draws);
    return tc;
}

static TCase *zones(void)
{
    TCase *tc = tcase_create("zones");
    tcase_add_loop_test(tc, each_part_alone_decides_the_zone, 0, 6);
    tcase_add_test(tc, a_zone_without_a_need_has_no_verdict);
    tcase_add_test(tc, the_zone_share_is_the_diagonal_of_the_confusion_table);
    tcase_add_test(tc, tags_are_spread_evenly_over_a_zone);
    tcase_add_test(tc, what_two_needs_differ_in_is_told_with_both_values);
    return tc;
}

static TCase *words(void)
{
    TCase *tc = tcase_create("words");
    tcase_add_test(tc, needs_are_told_in_the_order_of_the_table);
    tcase_add_loop_test(tc, the_reason_names_the_parts_that_decided, 0, 6);
    return tc;
}

AW_TEST_MAIN("needs", estimates(), zones(), words())
