/* Sweeps: what a curve says, and the layouts behind it. */
#include <string.h>

#include "anchorwise.h"
#include "aw_test.h"

static const double nowhere = (double)NAN;

/* By hand: 15 % less than 1.0 is 0.85. */
START_TEST(a_knee_is_told_only_where_the_curve_bends)
{
    const double at[] = {3, 4, 5, 6, 7};
    const double flat[] = {1.0, 0.95, 0.9, 0.92, 0.88}, knee[] = {3.0, 1.6, 1.0, 0.95, 0.9};
    const double falling[] = {5.0, 3.0, 2.0, 1.5, 1.0}, gap[] = {nowhere, nowhere, 1.0, 0.9, 0.95};
    const double none[] = {nowhere, nowhere, nowhere, nowhere, nowhere};
    aw_curve_shape b = aw_curve_shape_find(AW_SWEEP_COUNTS, at, flat, 5);
    ck_assert_int_eq(b.kind, AW_BEND_FLAT);
    b = aw_curve_shape_find(AW_SWEEP_COUNTS, at, knee, 5);
    ck_assert_int_eq(b.kind, AW_BEND_KNEE);
    ck_assert_double_eq(b.from, 5);
    b = aw_curve_shape_find(AW_SWEEP_COUNTS, at, falling, 5);
    ck_assert_int_eq(b.kind, AW_BEND_FALLING);
    b = aw_curve_shape_find(AW_SWEEP_COUNTS, at, gap, 5);
    ck_assert_int_eq(b.kind, AW_BEND_KNEE);
    ck_assert_double_eq(b.from, 5);
    ck_assert_int_eq(aw_curve_shape_find(AW_SWEEP_COUNTS, at, none, 5).kind, AW_BEND_NONE);
}
END_TEST

START_TEST(a_height_is_a_band_about_the_best)
{
    const double at[] = {3, 4, 5, 6, 7};
    const double valley[] = {2.0, 1.1, 1.0, 1.15, 1.3}, flat[] = {1.1, 1.05, 1.0, 1.1, 1.15};
    aw_curve_shape b = aw_curve_shape_find(AW_SWEEP_HEIGHTS, at, valley, 5);
    ck_assert_int_eq(b.kind, AW_BEND_BAND);
    ck_assert_double_eq(b.from, 4);
    ck_assert_double_eq(b.to, 6);
    ck_assert_double_eq(b.best, 5);
    ck_assert_int_eq(aw_curve_shape_find(AW_SWEEP_HEIGHTS, at, flat, 5).kind, AW_BEND_FLAT);
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

START_TEST(more_anchors_err_less_and_threads_do_not_matter)
{
    const double at[] = {3, 4, 6, 8, 12};
    aw_sweep w, again;
    aw_scenario s, t;
    sweep(&w, &s, AW_SWEEP_COUNTS, at, 5, NULL, 1);
    sweep(&again, &t, AW_SWEEP_COUNTS, at, 5, NULL, 3);
    for (size_t i = 1; i < 5; i++)
        ck_assert_double_lt(w.p95[i].value, w.p95[i - 1].value);
    ck_assert_int_eq(memcmp(w.p95, again.p95, 5 * sizeof *w.p95), 0);
    ck_assert(w.p95[2].low < w.p95[2].value && w.p95[2].value < w.p95[2].high);
    aw_sweep_free(&w);
    aw_sweep_free(&again);
    aw_scenario_free(&s);
    aw_scenario_free(&t);
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
    ck_assert_double_eq(w.p95[1].value, r.errors.p95);
    aw_sweep_free(&w);
    aw_scenario_free(&s);
}
END_TEST

static TCase *all(void)
{
    TCase *tc = tcase_create("sweep");
    tcase_add_test(tc, a_knee_is_told_only_where_the_curve_bends);
    tcase_add_test(tc, a_height_is_a_band_about_the_best);
    tcase_add_test(tc, more_anchors_err_less_and_threads_do_not_matter);
    tcase_add_test(tc, a_height_is_the_scenario_written_so);
    return tc;
}

AW_TEST_MAIN("sweep", all())
