/* Explanations: causes against scenarios written without them. */
#include "explained.h"

/* --- causes --- */

/* The whole and the scenario written without one cause. */
static const struct {
    aw_cause_kind kind;
    const char *yaml;
} written[] = {
    {AW_CAUSE_OBSTACLES, FLOOR RANGING(SPOT INSTALLATION) TAG(0.3) ANCHORS STUDY(1000)},
    {AW_CAUSE_BIAS, FLOOR ON_TIME RANGING(SPOT INSTALLATION) TAG(0.3) ANCHORS STUDY(1000)},
    {AW_CAUSE_HEIGHT, FLOOR THINGS RANGING(SPOT INSTALLATION) TAG(0) ANCHORS STUDY(1000)},
    {AW_CAUSE_SPOT, FLOOR THINGS RANGING(INSTALLATION) TAG(0.3) ANCHORS STUDY(1000)},
    {AW_CAUSE_INSTALLATION, FLOOR THINGS RANGING(SPOT) TAG(0.3) ANCHORS STUDY(1000)},
};

START_TEST(a_cause_taken_away_is_the_scenario_without_it)
{
    aw_scenario s, t;
    aw_explanation e;
    read_text(&s, WHOLE STUDY(1000));
    read_text(&t, written[_i].yaml);
    explain(&e, &s, 18.3, 7.1);
    const aw_cause *c = &e.causes[written[_i].kind];
    ck_assert(c->present);
    /* 64 000 draws of another seed against 16 000: within 1.5 times the interval's half width. */
    const double want = drawn_p95(&t, 18.3, 7.1, 91, 64000);
    const double reach = 0.75 * (c->without.high - c->without.low);
    ck_assert_double_le(fabs(c->without.value - want), reach);
    ck_assert_double_eq(c->removal_gain, e.p95.value - c->without.value);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
    aw_scenario_free(&t);
}
END_TEST

/* The usable anchors of a bare hall, each at its height and distance, written at even bearings in
 * the order they had. */
START_TEST(uneven_directions_are_the_same_anchors_turned_to_even_bearings)
{
    const double x = 3.1, y = 4.2;
    aw_scenario s;
    aw_explanation e;
    read_text(&s, FLOOR RANGING(SPOT INSTALLATION) TAG(0) ANCHORS STUDY(1000));
    explain(&e, &s, x, y);
    aw_anchor even[8];
    size_t used = 0;
    double first = 0;
    for (size_t i = 0; i < s.n_anchors; i++) {
        const double *at = s.anchors[i].at, azimuth = atan2(at[1] - y, at[0] - x);
        size_t before = 0;
        if (e.lines[i].link.n_outcomes == 0)
            continue;
        for (size_t k = 0; k < s.n_anchors; k++)
            before += e.lines[k].link.n_outcomes > 0 &&
                      atan2(s.anchors[k].at[1] - y, s.anchors[k].at[0] - x) < azimuth;
        even[used] = s.anchors[i];
        even[used].at[0] = (double)before; /* its place in the order, until all are known */
        first = before == 0 ? azimuth : first;
        even[used].at[1] = hypot(at[0] - x, at[1] - y);
        used++;
    }
    ck_assert_uint_ge(used, 4);
    for (size_t k = 0; k < used; k++) {
        const double turn = first + 2 * M_PI * even[k].at[0] / (double)used, far = even[k].at[1];
        even[k].at[0] = x + far * cos(turn);
        even[k].at[1] = y + far * sin(turn);
    }
    aw_scenario t = s;
    t.anchors = even;
    t.n_anchors = used;
    const aw_cause *c = &e.causes[AW_CAUSE_DIRECTIONS];
    const double want = drawn_p95(&t, x, y, 92, 64000);
    ck_assert_double_le(fabs(c->without.value - want), 0.75 * (c->without.high - c->without.low));
    ck_assert_double_gt(c->removal_gain, e.p95.high - e.p95.low);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(fair_parts_add_up_to_the_whole)
{
    static const double at[][2] = {{18.3, 7.1}, {2.2, 15.1}, {28.8, 9.4}, {9.7, 3.3}};
    aw_scenario s;
    aw_explanation e;
    double sum = 0;
    size_t present = 0;
    read_text(&s, WHOLE STUDY(100));
    explain(&e, &s, at[_i][0], at[_i][1]);
    for (int k = 0; k < AW_CAUSES; k++)
        if (e.causes[k].present) {
            sum += e.causes[k].shapley;
            present++;
        }
    ck_assert_uint_ge(present, 5);
    ck_assert_double_le(fabs(sum - (e.p95.value - e.p95_without_all)), 1e-12);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

/* What a scenario does not have is no cause. */
START_TEST(a_bare_hall_has_no_cause_but_its_directions)
{
    aw_scenario s;
    aw_explanation e;
    read_text(&s, FLOOR RANGING("") TAG(0) ANCHORS STUDY(200));
    explain(&e, &s, 3.1, 4.2);
    for (int k = 0; k < AW_CAUSES; k++)
        ck_assert_int_eq(e.causes[k].present, k == AW_CAUSE_DIRECTIONS);
    ck_assert_double_eq(e.causes[AW_CAUSE_DIRECTIONS].shapley, e.p95.value - e.p95_without_all);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

/* Anchors of one height and distance that lie evenly gain nothing by being spread evenly: the same
 * law, drawn twice. */
START_TEST(an_even_ring_gains_nothing_by_being_spread)
{
    aw_scenario s;
    aw_explanation e;
    read_text(
        &s,
        FLOOR RANGING("") TAG(
            0) "anchors:\n  - {name: A, at: [21, 9, 4]}\n  - {name: B, at: [12, 14.196152423, 4]}\n"
               "  - {name: C, at: [12, 3.803847577, 4]}\n  - {name: D, at: [9, 9, 4]}\n"
               "  - {name: E, at: [18, 14.196152423, 4]}\n  - {name: F, at: [18, 3.803847577, "
               "4]}\n" STUDY(1000));
    explain(&e, &s, 15, 9);
    const aw_cause *c = &e.causes[AW_CAUSE_DIRECTIONS];
    ck_assert_double_le(fabs(c->removal_gain),
                        0.75 * (e.p95.high - e.p95.low + c->without.high - c->without.low));
    /* A circle of sigma sqrt(2 / 6) x 0.09 in plan, cosine of the elevation 6 / hypot(6, 2.9). */
    const double cosine = 6 / hypot(6, 2.9), sigma = 0.09 * sqrt(2.0 / 6) / cosine;
    ck_assert_double_le(fabs(e.p95.value / (sigma * sqrt(-2 * log(0.05))) - 1), 0.03);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

/* --- lines of sight --- */

START_TEST(each_line_says_what_is_in_its_way)
{
    aw_scenario s;
    aw_explanation e;
    read_text(&s, WHOLE STUDY(64));
    explain(&e, &s, 10, 7.5);
    /* Due east of the spot the press reaches from 11 to 17 m, 3 m high. */
    ck_assert_str_eq(e.lines[1].blocker, "press");
    ck_assert_int_eq(e.lines[1].link.state, AW_LINK_LOST);
    ck_assert_uint_eq(e.lines[1].crossed, 1);
    ck_assert_ptr_null(e.lines[0].blocker);
    ck_assert_str_eq(e.lines[3].blocker, "office");
    ck_assert_int_eq(e.lines[3].link.state, AW_LINK_THROUGH);
    /* A1 lies at (-9.7, -7.1): atan2(-9.7, -7.1) clockwise from north. */
    ck_close(e.lines[0].bearing, atan2(-9.7, -7.1) + 2 * M_PI, 1e-12);
    ck_close(e.lines[0].elevation, atan2(3.9, hypot(9.7, 7.1)), 1e-12);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(the_widest_gap_is_between_neighbouring_bearings)
{
    aw_scenario s;
    aw_explanation e;
    read_text(&s, WHOLE STUDY(64));
    explain(&e, &s, 10, 7.5);
    for (size_t i = 0; i < s.n_anchors; i++) {
        double turn = e.lines[i].bearing - e.gap_from;
        turn += turn < -1e-12 ? 2 * M_PI : 0;
        if (e.lines[i].link.n_outcomes > 0)
            ck_assert(turn < 1e-12 || turn > e.gap - 1e-12);
    }
    double turn = e.gap_to - e.gap_from;
    turn += turn < 0 ? 2 * M_PI : 0;
    ck_close(turn, e.gap, 1e-12);
    aw_explanation_free(&e);
    aw_scenario_free(&s);
}
END_TEST

static TCase *causes(void)
{
    TCase *tc = tcase_create("causes");
    tcase_set_timeout(tc, 60);
    tcase_add_loop_test(tc, a_cause_taken_away_is_the_scenario_without_it, 0, 5);
    tcase_add_test(tc, uneven_directions_are_the_same_anchors_turned_to_even_bearings);
    tcase_add_loop_test(tc, fair_parts_add_up_to_the_whole, 0, 4);
    tcase_add_test(tc, a_bare_hall_has_no_cause_but_its_directions);
    tcase_add_test(tc, an_even_ring_gains_nothing_by_being_spread);
    return tc;
}

static TCase *lines(void)
{
    TCase *tc = tcase_create("lines of sight");
    tcase_add_test(tc, each_line_says_what_is_in_its_way);
    tcase_add_test(tc, the_widest_gap_is_between_neighbouring_bearings);
    return tc;
}

AW_TEST_MAIN("explain", causes(), lines())
