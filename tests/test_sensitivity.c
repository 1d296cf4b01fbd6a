/* Sensitivity: every figure against the assessment of the scenario written with the other value,
 * which the study never sees. */
#include "radio/paths.h"
#include "links.h"

#define HEAD                                                                                       \
    "anchorwise: 1\ntitle: T\nfloor: {outline: [[0,0],[24,0],[24,15],[0,15]], ceiling: 6}\n"       \
    "anchors:\n"                                                                                   \
    "  - {name: A1, at: [1, 1.5, 5]}\n  - {name: A2, at: [22.5, 0.5, 4.6]}\n"                      \
    "  - {name: A3, at: [23, 14.5, 5.2]}\n  - {name: A4, at: [1.5, 14, 5.1]}\n"                    \
    "  - {name: A5, at: [12.2, 14.6, 5.6]}\nstudy: {step: 1, draws: 320, seed: 4, margin: 1}\n"
#define ZONES                                                                                      \
    "zones:\n  - {name: west, outline: [[1,1],[7,1],[7,14],[1,14]], need: {p95: 0.7}}\n"           \
    "  - {name: east, outline: [[15,2],[23,2],[23,13],[15,13]]}\n"
#define PRESS(top, loss, delay)                                                                    \
    "materials: {steel: {loss_db: " loss ", delay: " delay "}}\nobstacles:\n"                      \
    "  - {name: press, footprint: [[8,5],[13,5],[13,8],[8,8]], top: " top ", material: steel}\n"
#define TAG(height, sigma) "tags:\n  - {name: t, height: " height ", height_sigma: " sigma "}\n"
#define RANGING(white, spot, share, tail, survey, delay)                                           \
    "ranging: {sigma: " white ", spot_sigma: " spot ", tail_share: " share ", tail_sigma: " tail   \
    ", survey_sigma: " survey ", delay_sigma: " delay ", range: 26}\n"
#define REACH(range, budget)                                                                       \
    "ranging: {sigma: 0.09, spot_sigma: 0.15, tail_share: 0.1, tail_sigma: 0.4, survey_sigma: "    \
    "0.02, delay_sigma: 0.03, range: " range ", budget_db: " budget "}\n"
#define TODAY RANGING("0.09", "0.15", "0.1", "0.4", "0.02", "0.03")
#define BASE  HEAD ZONES PRESS("3", "12", "0.2") TAG("1.1", "0.1") TODAY
#define STATED                                                                                     \
    "assumptions: {obstacle_tops: [-0.5, 1], losses: [0.5, 2], delays: [0.25, 3], sigma: [0.05, "  \
    "0.2], spot_sigma: [0.1, 0.3], tail_share: [0, 0.3], tail_sigma: [0.2, 0.8], survey_sigma: "   \
    "[0, 0.1], delay_sigma: [0.01, 0.2], tag_heights: [-0.6, 0.9], height_sigmas: [0, 4], range: " \
    "[20, 30], budget_db: [10, 11]}\n"
/* Under a radio: 6 dB below the limit, so that more can be written; sigma, range and budget have
 * no part. */
#define RADIO(backoff, noise, least, environment, floor)                                           \
    "radio: {scattered: false, backoff_db: " backoff ", environment: " environment                 \
    ", arrival_floor: " floor ", receiver: {noise_figure_db: " noise ", sensitivity_dbm: " least   \
    "}}\n"
#define HEARD BASE RADIO("6", "6", "-108", "open outdoor", "0.03")
#define HEARD_OF                                                                                   \
    "assumptions: {arrival_floor: [0, 0.1], power_db: [-6, 3], receiver_db: [-1, 4], shadowing: "  \
    "[0, 1.5151515151515151]}\n"

/* The same scenario written with the high end of each stated range. */
static const char *const written[AW_ASSUMPTIONS] = {
    [AW_ASSUME_TOPS] = HEAD ZONES PRESS("4", "12", "0.2") TAG("1.1", "0.1") TODAY,
    [AW_ASSUME_LOSSES] = HEAD ZONES PRESS("3", "24", "0.2") TAG("1.1", "0.1") TODAY,
    [AW_ASSUME_DELAYS] = HEAD ZONES PRESS("3", "12", "0.6000000000000001") TAG("1.1", "0.1") TODAY,
    [AW_ASSUME_SIGMA] = HEAD ZONES PRESS("3", "12", "0.2") TAG("1.1", "0.1")
        RANGING("0.2", "0.15", "0.1", "0.4", "0.02", "0.03"),
    [AW_ASSUME_SPOT] = HEAD ZONES PRESS("3", "12", "0.2") TAG("1.1", "0.1")
        RANGING("0.09", "0.3", "0.1", "0.4", "0.02", "0.03"),
    [AW_ASSUME_TAIL_SHARE] = HEAD ZONES PRESS("3", "12", "0.2") TAG("1.1", "0.1")
        RANGING("0.09", "0.15", "0.3", "0.4", "0.02", "0.03"),
    [AW_ASSUME_TAIL] = HEAD ZONES PRESS("3", "12", "0.2") TAG("1.1", "0.1")
        RANGING("0.09", "0.15", "0.1", "0.8", "0.02", "0.03"),
    [AW_ASSUME_SURVEY] = HEAD ZONES PRESS("3", "12", "0.2") TAG("1.1", "0.1")
        RANGING("0.09", "0.15", "0.1", "0.4", "0.1", "0.03"),
    [AW_ASSUME_DELAY] = HEAD ZONES PRESS("3", "12", "0.2") TAG("1.1", "0.1")
        RANGING("0.09", "0.15", "0.1", "0.4", "0.02", "0.2"),
    [AW_ASSUME_TAG_HEIGHTS] = HEAD ZONES PRESS("3", "12", "0.2") TAG("2.0", "0.1") TODAY,
    [AW_ASSUME_HEIGHT_SIGMAS] = HEAD ZONES PRESS("3", "12", "0.2") TAG("1.1", "0.4") TODAY,
    [AW_ASSUME_RANGE] = HEAD ZONES PRESS("3", "12", "0.2") TAG("1.1", "0.1") REACH("30", "20"),
    [AW_ASSUME_BUDGET] = HEAD ZONES PRESS("3", "12", "0.2") TAG("1.1", "0.1") REACH("26", "11"),
    [AW_ASSUME_FLOOR] = BASE RADIO("6", "6", "-108", "open outdoor", "0.1"),
    [AW_ASSUME_POWER] = BASE RADIO("3", "6", "-108", "open outdoor", "0.03"),
    [AW_ASSUME_RECEIVER] = BASE RADIO("6", "10", "-104", "open outdoor", "0.03"),
    /* 3.96 dB, in line of sight and beyond, become the 6 dB of this environment. */
    [AW_ASSUME_SHADOWING] = BASE RADIO("6", "6", "-108", "industrial", "0.03"),
};

static bool is_of_radio(int assumption)
{
    return assumption == AW_ASSUME_FLOOR || assumption == AW_ASSUME_POWER ||
           assumption == AW_ASSUME_RECEIVER || assumption == AW_ASSUME_SHADOWING;
}

static void run(aw_sensitivity *v, aw_scenario *s, const char *yaml, unsigned threads)
{
    aw_errors errors = {0};
    read_text(s, yaml);
    ck_assert(aw_sensitivity_run(v, s, &(aw_run){threads, NULL, &errors}));
    ck_assert_uint_eq(errors.n_errors, 0);
}

static aw_zone_result assess(const char *yaml, size_t zone)
{
    aw_scenario s;
    aw_errors errors = {0};
    aw_zone_result r;
    read_text(&s, yaml);
    ck_assert(aw_assess_zone(&r, &s, &s.zones[zone], &(aw_run){2, NULL, &errors}));
    aw_scenario_free(&s);
    return r;
}

/* Index 0: links of fixed figures; 1: with a radio. */
START_TEST(each_end_is_the_scenario_written_with_that_value)
{
    aw_scenario s;
    aw_sensitivity v;
    const bool radio = _i == 1;
    const char *base = radio ? HEARD : BASE;
    const aw_zone_result today[2] = {assess(base, 0), assess(base, 1)};
    run(&v, &s, radio ? HEARD HEARD_OF : BASE STATED, 2);
    for (int a = 0; a < AW_ASSUMPTIONS; a++) {
        if (radio != is_of_radio(a))
            continue;
        ck_assert(v.assumed[a].present && v.assumed[a].stated);
        for (size_t zone = 0; zone < 2; zone++) {
            const aw_zone_result r = assess(written[a], zone);
            const aw_sensitivity_end *high = aw_sensitivity_at(&v, zone, (aw_assumption)a, 1);
            ck_assert_msg(r.errors.p95 == high->result.errors.p95, "%s: %.9g, written %.9g",
                          aw_assumption_rows[a].key, high->result.errors.p95, r.errors.p95);
            ck_assert_int_eq(r.verdict, high->result.verdict);
            ck_assert_double_eq(high->change.value, r.errors.p95 - today[zone].errors.p95);
            if (zone == 0)
                ck_assert_double_eq(r.parts[AW_PART_ODDS].found.value,
                                    high->result.parts[AW_PART_ODDS].found.value);
        }
    }
    aw_sensitivity_free(&v);
    aw_scenario_free(&s);
}
END_TEST

/* A text with more cells and draws. */
static char *with_draws(const char *yaml, unsigned draws)
{
    const char *at = strstr(yaml, "draws: 320") + strlen("draws: ");
    char *text = NULL;
    ck_assert_int_gt(asprintf(&text, "%.*s%u%s", (int)(at - yaml), yaml, draws, at + strlen("320")),
                     0);
    return text;
}

static aw_zone_result assess_with(const char *yaml, unsigned draws, size_t zone)
{
    char *text = with_draws(yaml, draws);
    const aw_zone_result r = assess(text, zone);
    free(text);
    return r;
}

/* Where few draws tell a change: against the scenario written with that value and four times the
 * draws. A change is told to 1 % of today's p95 or 5 % of itself by a 95 % interval, here allowed
 * twice that; odds of 200 installations scatter by 0.035 at most. */
START_TEST(ends_told_by_few_draws_are_those_of_many)
{
    aw_scenario s;
    aw_sensitivity v;
    size_t by_few = 0, ends = 0;
    char *text = with_draws(BASE STATED, 1000);
    run(&v, &s, text, 2);
    for (size_t zone = 0; zone < 2; zone++) {
        const aw_zone_result now = assess_with(BASE, 4000, zone);
        for (int a = 0; a < AW_ASSUMPTIONS; a++) {
            if (is_of_radio(a))
                continue;
            const aw_zone_result then = assess_with(written[a], 4000, zone);
            const aw_sensitivity_end *high = aw_sensitivity_at(&v, zone, (aw_assumption)a, 1);
            const double change = then.errors.p95 - now.errors.p95;
            const double told = high->change.value;
            ck_assert_msg(fabs(told - change) < fmax(0.02 * now.errors.p95, 0.1 * fabs(change)),
                          "%s: change %.9g, of many draws %.9g", aw_assumption_rows[a].key, told,
                          change);
            ck_close(high->result.errors.p95, v.today[zone].errors.p95 + told, 1e-12);
            ck_assert(high->result.verdict == then.verdict || then.verdict == AW_UNDECIDED);
            if (zone == 0)
                ck_assert_double_le(fabs(high->result.parts[AW_PART_ODDS].found.value -
                                         then.parts[AW_PART_ODDS].found.value),
                                    0.07);
            const bool moves = high->change.low != 0 || high->change.high != 0;
            ck_assert(moves || memcmp(&high->result, &v.today[zone], sizeof high->result) == 0);
            ck_assert_double_le(high->change.high - high->change.low,
                                high->result.draws < 1000 || !moves
                                    ? fmax(0.02 * v.today[zone].errors.p95, 0.1 * fabs(told))
                                    : HUGE_VAL);
            by_few += high->result.draws < 1000 || !moves;
            ends++;
        }
    }
    ck_assert_msg(by_few > ends / 3, "%zu of %zu", by_few, ends);
    free(text);
    aw_sensitivity_free(&v);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(what_moves_p95_most_comes_first_and_a_range_of_no_width_moves_nothing)
{
    aw_scenario s;
    aw_sensitivity v;
    aw_assumption order[AW_ASSUMPTIONS];
    double last = HUGE_VAL;
    run(&v, &s,
        BASE "assumptions: {sigma: [0.01, 0.5], losses: [1, 1], delays: [1, 1], obstacle_tops: [0, "
             "0]}\n",
        2);
    const size_t n = aw_sensitivity_rank(&v, 0, order);
    ck_assert_uint_eq(n, 13);
    ck_assert_int_eq(order[0], AW_ASSUME_SIGMA);
    for (size_t k = 0; k < n; k++) {
        const double low = fabs(aw_sensitivity_at(&v, 0, order[k], 0)->change.value);
        const double high = fabs(aw_sensitivity_at(&v, 0, order[k], 1)->change.value);
        ck_assert_double_le(fmax(low, high), last);
        last = fmax(low, high);
    }
    ck_assert_double_eq(aw_sensitivity_at(&v, 0, AW_ASSUME_LOSSES, 1)->change.value, 0);
    ck_assert_double_eq(aw_sensitivity_at(&v, 0, AW_ASSUME_LOSSES, 1)->change.high, 0);
    aw_sensitivity_free(&v);
    aw_scenario_free(&s);
}
END_TEST

static aw_link_trace trace_with(const aw_scenario *s, aw_assumption a, double value)
{
    aw_varied other = aw_vary(s);
    aw_link_trace trace;
    ck_assert(aw_varied_assume(&other, a, value));
    aw_scene *scene = aw_scene_create(&other.scenario);
    aw_link_trace_at(scene, (const double[3]){20, 8, 1.5}, &s->anchors[0], &trace);
    aw_scene_free(scene);
    aw_varied_free(&other);
    return trace;
}

/* A wall of brick and a partition with a loss added: what P.2040 gives and what is written both
 * are a material's loss. */
START_TEST(losses_and_delays_of_slabs_are_told_too)
{
    aw_scenario s;
    read_text(&s, HEAD "radio: {}\nmaterials: {clad: {based_on: brick, loss_db: 3, delay: "
                       "0.1}}\nwalls:\n  - {name: w, path: [[8,1],[8,14]], material: "
                       "brick}\n  - {name: v, path: [[14,1],[14,14]], material: clad}\n");
    const aw_path now = trace_with(&s, AW_ASSUME_LOSSES, 1).paths[0];
    const aw_path more = trace_with(&s, AW_ASSUME_LOSSES, 1.5).paths[0];
    const aw_path late = trace_with(&s, AW_ASSUME_DELAYS, 2).paths[0];
    ck_assert_int_eq(now.kind, AW_PATH_THROUGH);
    ck_assert_double_gt(now.loss_db, 3);
    ck_close(more.loss_db, 1.5 * now.loss_db, 1e-9);
    ck_assert_double_eq(more.excess, now.excess);
    ck_assert_double_gt(now.excess, 0.1);
    ck_close(late.excess, 2 * now.excess, 1e-9);
    aw_scenario_free(&s);
}
END_TEST

/* Common random numbers: all errors in proportion, p95 is so too, and the difference is told far
 * better than either figure. Twice the only error of a linear problem is twice the error; the fix
 * is linear to first order in sigma over range, here 0.02 of 10 m. */
START_TEST(twice_the_only_error_is_twice_the_p95)
{
    aw_scenario s;
    aw_sensitivity v;
    run(&v, &s, HEAD ZONES "ranging: {sigma: 0.01}\nassumptions: {sigma: [0.005, 0.02]}\n", 2);
    const double now = v.today[0].errors.p95;
    const aw_sensitivity_end *high = aw_sensitivity_at(&v, 0, AW_ASSUME_SIGMA, 1);
    const aw_estimate *p95 = &v.today[0].parts[AW_PART_P95].found;
    ck_close(high->change.value / now, 1, 0.01);
    ck_close(aw_sensitivity_at(&v, 0, AW_ASSUME_SIGMA, 0)->change.value / now, -0.5, 0.01);
    ck_assert_double_lt(high->change.high - high->change.low, 1.2 * (p95->high - p95->low));
    aw_sensitivity_free(&v);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(what_is_not_there_is_not_assumed)
{
    aw_scenario s;
    read_text(&s, HEAD "ranging: {sigma: 0.1}\n");
    for (int a = 0; a < AW_ASSUMPTIONS; a++)
        ck_assert_int_eq(aw_assumption_range_of(&s, (aw_assumption)a).present,
                         a == AW_ASSUME_SIGMA || a == AW_ASSUME_TAG_HEIGHTS ||
                             a == AW_ASSUME_RANGE);
    aw_scenario_free(&s);
    read_text(&s, HEAD "radio: {}\n");
    for (int a = 0; a < AW_ASSUMPTIONS; a++)
        ck_assert_int_eq(aw_assumption_range_of(&s, (aw_assumption)a).present,
                         is_of_radio(a) || a == AW_ASSUME_TAG_HEIGHTS);
    aw_scenario_free(&s);
    /* A wall to the ceiling is the building: its top is no assumption, its loss is. */
    read_text(&s, HEAD "walls:\n  - {name: w, path: [[5,5],[9,5]], material: brick}\n");
    ck_assert(!aw_assumption_range_of(&s, AW_ASSUME_TOPS).present);
    ck_assert(aw_assumption_range_of(&s, AW_ASSUME_LOSSES).present);
    aw_scenario_free(&s);
}
END_TEST

/* Half of the draws on either side of today's value, evenly: of 4000 draws the share below is
 * within 4 sigma of a half (0.032), and so is the share in the lower half of the lower side of a
 * quarter. */
START_TEST(joint_draws_have_todays_value_as_their_median)
{
    aw_scenario s;
    size_t below = 0, far = 0, together = 0;
    read_text(&s, BASE STATED);
    for (uint32_t draw = 0; draw < 4000; draw++) {
        double values[AW_ASSUMPTIONS], again[AW_ASSUMPTIONS];
        aw_assumptions_draw(&s, draw, values);
        aw_assumptions_draw(&s, draw, again);
        ck_assert(memcmp(values, again, sizeof values) == 0);
        for (int a = 0; a < AW_ASSUMPTIONS; a++) {
            const aw_assumption_range x = aw_assumption_range_of(&s, (aw_assumption)a);
            ck_assert_int_eq(x.present, !is_of_radio(a));
            ck_assert(!x.present || (values[a] >= x.low && values[a] <= x.high));
        }
        below += values[AW_ASSUME_SIGMA] < 0.09;
        far += values[AW_ASSUME_SIGMA] < 0.07;
        together += values[AW_ASSUME_SIGMA] < 0.09 && values[AW_ASSUME_SPOT] < 0.15;
    }
    ck_assert_double_le(fabs((double)below / 4000 - 0.5), 0.032);
    ck_assert_double_le(fabs((double)far / 4000 - 0.25), 0.028);
    ck_assert_double_le(fabs((double)together / 4000 - 0.25), 0.028);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(ranges_of_no_width_leave_every_joint_draw_at_today)
{
    aw_scenario s;
    aw_sensitivity v;
    run(&v, &s,
        HEAD ZONES "ranging: {sigma: 0.1}\nassumptions: {sigma: [0.1, 0.1], tag_heights: [0, 0]}\n",
        2);
    ck_assert_double_eq(v.joint[0].p05, v.joint[0].p95);
    ck_assert_double_eq(v.holding.value, 1);
    ck_assert_double_eq(v.holding.high, 1);
    /* Exact 95 % interval of 100 of 100: 0.025^(1/100). */
    ck_close(v.holding.low, pow(0.025, 0.01), 1e-12);
    aw_sensitivity_free(&v);
    aw_scenario_free(&s);
}
END_TEST

/* The scenario's verdict on its first zone with one error as large. */
static aw_verdict judge_with(const aw_scenario *s, aw_tolerance_kind kind, double value)
{
    aw_scenario other = *s;
    aw_tag tag = s->tags[0];
    aw_errors errors = {0};
    aw_zone_result r;
    other.tags = &tag;
    if (kind == AW_TOLERANCE_SURVEY)
        other.ranging.survey_sigma = value;
    else if (kind == AW_TOLERANCE_DELAY)
        other.ranging.delay_sigma = value;
    else if (kind == AW_TOLERANCE_HEIGHT)
        tag.height_sigma = value;
    else
        other.ranging.sigma = sqrt(s->ranging.sigma * s->ranging.sigma + value * value);
    ck_assert(aw_assess_zone(&r, &other, &other.zones[0], &(aw_run){2, NULL, &errors}));
    return r.verdict;
}

/* Steps between round values are a third at most. */
START_TEST(a_tolerance_is_met_by_a_verdict_and_the_next_round_value_is_not)
{
    aw_scenario s;
    aw_sensitivity v;
    run(&v, &s, BASE, 2);
    for (int k = 0; k < AW_TOLERANCES; k++) {
        const aw_tolerance *t = &v.tolerances[k];
        const aw_tolerance_kind kind = (aw_tolerance_kind)k;
        ck_assert_double_gt(t->most, 0.01);
        ck_assert_int_eq(judge_with(&s, kind, t->most), AW_MET);
        if (t->most >= AW_MOST_TOLERANCE)
            continue;
        ck_assert_int_ne(judge_with(&s, kind, t->most * 4 / 3 * (1 + 1e-9)), AW_MET);
        ck_assert_uint_eq(t->zone, 0);
        ck_assert_int_ne(t->limit.verdict, AW_MET);
    }
    ck_assert_double_lt(v.tolerances[AW_TOLERANCE_SURVEY].most, AW_MOST_TOLERANCE);
    ck_assert_double_lt(v.tolerances[AW_TOLERANCE_CLOCK].most, AW_MOST_TOLERANCE);
    ck_assert_str_eq(aw_tolerance_words(AW_TOLERANCE_SURVEY, 0.16), "a tape will do");
    ck_assert_str_eq(aw_tolerance_words(AW_TOLERANCE_SURVEY, 0.02), "a total station");
    aw_sensitivity_free(&v);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(where_even_none_of_an_error_fails_there_is_no_room_and_the_need_is_named)
{
    aw_scenario s;
    aw_sensitivity v;
    run(&v, &s,
        HEAD "zones:\n  - {name: vain, outline: [[1,1],[7,1],[7,14],[1,14]], need: {p95: "
             "0.05}}\nranging: {sigma: 0.2}\n",
        2);
    for (int kind = 0; kind < AW_TOLERANCES; kind++) {
        ck_assert(isnan(v.tolerances[kind].most));
        ck_assert_uint_eq(v.tolerances[kind].zone, 0);
        ck_assert_int_eq(v.tolerances[kind].limit.parts[AW_PART_P95].verdict, AW_NOT_MET);
        ck_assert_ptr_null(aw_tolerance_words((aw_tolerance_kind)kind, v.tolerances[kind].most));
    }
    aw_sensitivity_free(&v);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(threads_change_nothing_and_a_floor_without_zones_is_looked_at_whole)
{
    aw_scenario s, t;
    aw_sensitivity v, w;
    run(&v, &s, HEAD "ranging: {sigma: 0.1}\n", 1);
    run(&w, &t, HEAD "ranging: {sigma: 0.1}\n", 3);
    ck_assert_uint_eq(v.n_zones, 1);
    ck_assert_str_eq(v.zones[0].name, "floor");
    ck_assert(isnan(v.holding.value) && isnan(v.tolerances[0].most));
    ck_assert(memcmp(v.joint, w.joint, sizeof *v.joint) == 0);
    for (int end = 0; end < 2; end++)
        ck_assert_double_eq(aw_sensitivity_at(&v, 0, AW_ASSUME_SIGMA, end)->result.errors.p95,
                            aw_sensitivity_at(&w, 0, AW_ASSUME_SIGMA, end)->result.errors.p95);
    aw_sensitivity_free(&v);
    aw_sensitivity_free(&w);
    aw_scenario_free(&s);
    aw_scenario_free(&t);
}
END_TEST

static TCase *assumptions(void)
{
    TCase *tc = tcase_create("assumptions");
    tcase_add_loop_test(tc, each_end_is_the_scenario_written_with_that_value, 0, 2);
    tcase_add_test(tc, ends_told_by_few_draws_are_those_of_many);
    tcase_add_test(tc, losses_and_delays_of_slabs_are_told_too);
    tcase_add_test(tc, what_moves_p95_most_comes_first_and_a_range_of_no_width_moves_nothing);
    tcase_add_test(tc, twice_the_only_error_is_twice_the_p95);
    tcase_add_test(tc, what_is_not_there_is_not_assumed);
    tcase_add_test(tc, joint_draws_have_todays_value_as_their_median);
    tcase_add_test(tc, ranges_of_no_width_leave_every_joint_draw_at_today);
    tcase_add_test(tc, a_tolerance_is_met_by_a_verdict_and_the_next_round_value_is_not);
    tcase_add_test(tc, where_even_none_of_an_error_fails_there_is_no_room_and_the_need_is_named);
    tcase_add_test(tc, threads_change_nothing_and_a_floor_without_zones_is_looked_at_whole);
    return tc;
}

AW_TEST_MAIN("sensitivity", assumptions())
