/* Sweeps: what a curve says, and the layouts behind it. */
#include <string.h>

#include "anchorwise.h"
#include "aw_test.h"

static const double nowhere = (double)NAN;

/* Estimates whose half interval is so large a part of them. */
static aw_curve_shape shape_of(aw_sweep_kind kind, const double p95[], size_t n, double half)
{
    double at[32];
    aw_estimate e[32];
    for (size_t i = 0; i < n; i++) {
        at[i] = 3 + (double)i;
        e[i] = (aw_estimate){p95[i], p95[i] * (1 - half), p95[i] * (1 + half)};
    }
    return aw_curve_shape_find(kind, at, e, n);
}

static aw_curve_shape counts(const double p95[], size_t n, double half)
{
    return shape_of(AW_SWEEP_COUNTS, p95, n, half);
}

/* By hand: 0.163 is a factor of 1.177, half of it one of 1.085. */
START_TEST(a_knee_is_told_only_where_the_curve_bends)
{
    const double flat[] = {1.0, 0.98, 0.91, 0.88, 0.86}, knee[] = {3.0, 1.6, 1.0, 0.98, 0.95};
    const double falling[] = {5.0, 4.0, 3.1, 2.5, 2.0, 1.6}, end[] = {3.0, 1.6, 1.0, 0.98};
    aw_curve_shape b = counts(flat, 5, 0.001);
    ck_assert_int_eq(b.kind, AW_BEND_FLAT);
    ck_assert(b.from == 3 && b.to == 7);
    b = counts(knee, 5, 0.001);
    ck_assert_int_eq(b.kind, AW_BEND_KNEE);
    ck_assert(b.from == 5 && b.to == 7 && !b.is_first && !b.falls_on);
    b = counts(falling, 6, 0.001);
    ck_assert_int_eq(b.kind, AW_BEND_FALLING);
    ck_assert(b.from == 3 && b.to == 8);
    /* The two anchors after a knee must be on the curve. */
    ck_assert_int_eq(counts(end, 4, 0.001).kind, AW_BEND_FALLING);
}
END_TEST

START_TEST(a_knee_may_be_only_the_first_and_a_curve_fall_on)
{
    const double first[] = {1.0, 0.99, 0.97, 0.8, 0.7, 0.6};
    const double on[] = {3.0, 1.6, 1.0, 0.98, 0.95, 0.9, 0.8, 0.7};
    aw_curve_shape b = counts(first, 6, 0.001);
    ck_assert_int_eq(b.kind, AW_BEND_KNEE);
    ck_assert(b.from == 3 && b.is_first && b.falls_on);
    b = counts(on, 8, 0.001);
    ck_assert_int_eq(b.kind, AW_BEND_KNEE);
    ck_assert(b.from == 5 && !b.is_first && b.falls_on);
}
END_TEST

/* A worse number changes nothing: the least so far counts. */
START_TEST(a_number_that_is_worse_carries_the_one_before)
{
    const double bump[] = {3.0, 1.6, 1.0, 1.9, 0.95, 0.94},
                 even[] = {3.0, 1.6, 1.0, 1.0, 0.95, 0.94};
    const aw_curve_shape b = counts(bump, 6, 0.001), e = counts(even, 6, 0.001);
    ck_assert_int_eq(b.kind, AW_BEND_KNEE);
    ck_assert_double_eq(b.from, e.from);
}
END_TEST

/* e = 2 sqrt(2) / 2.04 of the relative half interval: with 6 % it is 0.083 and over g / 2. */
/* Gained by two anchors before: 15 % (0.163 in logarithms) or more; by two after: under half of
 * that. */
START_TEST(a_knee_is_told_by_its_very_thresholds)
{
    const double bend[] = {1, 0.99, 0.84, 0.84, 0.84 * 0.93};
    const double shallow[] = {1, 0.99, 0.86, 0.86, 0.86 * 0.93};
    const double goes_on[] = {1, 0.99, 0.84, 0.84, 0.84 * 0.905};
    ck_assert_int_eq(counts(bend, 5, 0.001).kind, AW_BEND_KNEE);
    ck_assert_int_eq(counts(shallow, 5, 0.001).kind, AW_BEND_FALLING);
    ck_assert_int_eq(counts(goes_on, 5, 0.001).kind, AW_BEND_FALLING);
}
END_TEST

START_TEST(what_draws_leave_open_is_no_knee)
{
    const double knee[] = {3.0, 1.6, 1.0, 1.0, 1.0};
    ck_assert_int_eq(counts(knee, 5, 0.055).kind, AW_BEND_KNEE);
    ck_assert_int_eq(counts(knee, 5, 0.06).kind, AW_BEND_FALLING);
}
END_TEST

START_TEST(nowhere_is_no_curve)
{
    const double none[] = {nowhere, nowhere, nowhere};
    ck_assert_int_eq(counts(none, 3, 0).kind, AW_BEND_NONE);
    ck_assert_int_eq(aw_curve_shape_find(AW_SWEEP_COUNTS, NULL, NULL, 0).kind, AW_BEND_NONE);
}
END_TEST

START_TEST(a_height_is_a_band_about_the_best)
{
    const double valley[] = {2.0, 1.1, 1.0, 1.15, 1.3}, flat[] = {1.1, 1.05, 1.0, 1.1, 1.15};
    const aw_curve_shape b = shape_of(AW_SWEEP_HEIGHTS, valley, 5, 0.01);
    ck_assert_int_eq(b.kind, AW_BEND_BAND);
    ck_assert(b.from == 4 && b.to == 6 && b.best == 5);
    ck_assert_int_eq(shape_of(AW_SWEEP_HEIGHTS, flat, 5, 0.01).kind, AW_BEND_FLAT);
}
END_TEST

static const char hall[] =
    "anchorwise: 1\ntitle: hall\n"
    "floor: {outline: [[0, 0], [20, 0], [20, 12], [0, 12]], ceiling: 8}\n"
    "anchors:\n  - {name: A1, at: [0.5, 0.5, 4]}\n  - {name: A2, at: [19.5, 0.5, 4]}\n"
    "  - {name: A3, at: [19.5, 11.5, 4]}\n  - {name: A4, at: [0.5, 11.5, 5]}\n"
    "candidates:\n  lines:\n"
    "    - {name: wall, path: [[0.5, 0.5], [19.5, 0.5], [19.5, 11.5], [0.5, 11.5], [0.5, 1]], "
    "spacing: 3.8, low: 4}\n"
    "ranging: {sigma: 0.1}\n"
    "zones: [{name: z, outline: [[2, 2], [18, 2], [18, 10], [2, 10]], need: {p95: 0.4}}]\n"
    "study: {step: 2, draws: 400, seed: 3}\n";

static void sweep(aw_sweep *w, aw_scenario *s, aw_sweep_kind kind, const double at[], size_t n,
                  const bool group[], unsigned threads)
{
    aw_errors errors = {0};
    const aw_sweep_plan plan = {s, kind, at, n, false, group};
    ck_assert(aw_scenario_parse(s, hall, strlen(hall), &errors));
    ck_assert(aw_sweep_run(w, &plan, &(aw_run){threads, NULL, &errors}));
    aw_errors_free(&errors);
}

static double p95_of(const aw_sweep *w, size_t point)
{
    return w->points[point].zones[0].parts[AW_PART_P95].found.value;
}

START_TEST(more_anchors_err_less_and_threads_do_not_matter)
{
    const double at[] = {3, 4, 6, 8, 12};
    aw_sweep w, again;
    aw_scenario s, t;
    sweep(&w, &s, AW_SWEEP_COUNTS, at, 5, NULL, 1);
    sweep(&again, &t, AW_SWEEP_COUNTS, at, 5, NULL, 3);
    for (size_t i = 1; i < 5; i++) {
        ck_assert_double_lt(p95_of(&w, i), p95_of(&w, i - 1));
        ck_assert_double_le(w.points[i].score, w.points[i - 1].score);
    }
    ck_assert_uint_eq(w.n_curve, again.n_curve);
    ck_assert_int_eq(memcmp(w.curve, again.curve, w.n_curve * sizeof *w.curve), 0);
    for (size_t i = 0; i < 5; i++) {
        ck_assert_uint_eq(w.points[i].n_anchors, (size_t)at[i]);
        ck_assert_double_eq(p95_of(&w, i), w.curve[(size_t)at[i] - 3].value);
    }
    aw_sweep_free(&w);
    aw_sweep_free(&again);
    aw_scenario_free(&s);
    aw_scenario_free(&t);
}
END_TEST

/* A point is its layout assessed as it is, and its score the ratio by hand. */
START_TEST(a_point_is_its_layout_assessed)
{
    const double at[] = {4, 7};
    aw_sweep w;
    aw_scenario s;
    aw_errors errors = {0};
    sweep(&w, &s, AW_SWEEP_COUNTS, at, 2, NULL, 2);
    for (size_t i = 0; i < 2; i++) {
        aw_zone_result r;
        aw_scenario with = s;
        const aw_need need = aw_need_of_figures(&s.zones[0].need, &s);
        with.anchors = w.points[i].anchors;
        with.n_anchors = w.points[i].n_anchors;
        ck_assert(aw_assess_zone(&r, &with, &s.zones[0], &(aw_run){1, NULL, &errors}));
        ck_assert_double_eq(p95_of(&w, i), r.errors.p95);
        ck_assert_int_eq(w.points[i].verdict, r.verdict);
        ck_assert_double_eq_tol(w.points[i].score, r.errors.p95 / need.p95, 1e-12);
    }
    aw_sweep_free(&w);
    aw_scenario_free(&s);
}
END_TEST

/* The numbers that are asked for choose what is printed and nothing else. */
START_TEST(the_range_does_not_move_the_sentence)
{
    const double few[] = {4, 5}, many[] = {3, 5, 11};
    aw_sweep w[2];
    aw_scenario s[2];
    sweep(&w[0], &s[0], AW_SWEEP_COUNTS, few, 2, NULL, 2);
    sweep(&w[1], &s[1], AW_SWEEP_COUNTS, many, 3, NULL, 2);
    ck_assert_uint_eq(w[0].n_curve, w[1].n_curve);
    ck_assert_int_eq(memcmp(w[0].curve, w[1].curve, w[0].n_curve * sizeof *w[0].curve), 0);
    ck_assert_int_eq(w[0].bends[0].kind, w[1].bends[0].kind);
    ck_assert_double_eq(w[0].bends[0].from, w[1].bends[0].from);
    ck_assert_double_eq(p95_of(&w[0], 1), p95_of(&w[1], 1));
    for (int k = 0; k < 2; k++) {
        aw_sweep_free(&w[k]);
        aw_scenario_free(&s[k]);
    }
}
END_TEST

/* A point of a height sweep is the scenario with those anchors at that height, to the last bit. */
START_TEST(a_height_is_the_scenario_written_so)
{
    const double at[] = {3, 6};
    const bool group[] = {true, false, false, true};
    aw_sweep w;
    aw_scenario s;
    aw_errors errors = {0};
    aw_zone_result r;
    sweep(&w, &s, AW_SWEEP_HEIGHTS, at, 2, group, 1);
    aw_anchor anchors[4];
    memcpy(anchors, s.anchors, sizeof anchors);
    anchors[0].at[2] = anchors[3].at[2] = 6;
    aw_scenario written = s;
    written.anchors = anchors;
    ck_assert(aw_assess_zone(&r, &written, &s.zones[0], &(aw_run){1, NULL, &errors}));
    ck_assert_double_eq(p95_of(&w, 1), r.errors.p95);
    aw_sweep_free(&w);
    aw_scenario_free(&s);
}
END_TEST

static TCase *all(void)
{
    TCase *tc = tcase_create("sweep");
    tcase_add_test(tc, a_knee_is_told_only_where_the_curve_bends);
    tcase_add_test(tc, a_knee_may_be_only_the_first_and_a_curve_fall_on);
    tcase_add_test(tc, a_number_that_is_worse_carries_the_one_before);
    tcase_add_test(tc, a_knee_is_told_by_its_very_thresholds);
    tcase_add_test(tc, what_draws_leave_open_is_no_knee);
    tcase_add_test(tc, nowhere_is_no_curve);
    tcase_add_test(tc, a_height_is_a_band_about_the_best);
    tcase_add_test(tc, a_point_is_its_layout_assessed);
    tcase_add_test(tc, the_range_does_not_move_the_sentence);
    tcase_add_test(tc, more_anchors_err_less_and_threads_do_not_matter);
    tcase_add_test(tc, a_height_is_the_scenario_written_so);
    return tc;
}

AW_TEST_MAIN("sweep", all())
