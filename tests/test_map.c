/* Grids, tallies, zones, the shed with its anchors in one row. */
#include "map/spot.h"
#include "position/tally.h"
#include "position/trials.h"
#include "links.h"

#include <stdio.h>

/* --- grid --- */

static const char *const ell =
    "anchorwise: 1\ntitle: ell\nfloor: {outline: [[0, 0], [10, 0], [10, 4], [4, 4], [4, 10], [0, "
    "10]], "
    "ceiling: 5}\n"
    "obstacles:\n  - {name: press, footprint: [[1, 1], [3, 1], [3, 3], [1, 3]], base: 0.5, top: 2, "
    "material: metal}\n"
    "walls:\n  - {name: screen, path: [[6, 0], [6, 2]], thickness: 1, top: 3, material: glass}\n"
    "anchors: [{name: a, at: [0, 0, 4]}]\nstudy: {step: 1}\n";

START_TEST(cells_are_kept_where_a_tag_can_be)
{
    aw_scenario s;
    aw_grid grid;
    aw_errors errors = {0};
    read_text(&s, ell);
    /* 64 squares of the L; 4 under the press, and 2 in the screen, x 5.5 to 6.5: a centre on an
     * edge follows the half-open rule, so 5.5 is in it and 6.5 is not. */
    const double heights[] = {0.2, 1, 2.5, 4}, cells[] = {62, 58, 62, 64};
    for (int i = 0; i < 4; i++) {
        ck_assert(lay_at(&grid, &s, heights[i], &errors));
        ck_assert_uint_eq(grid.n, (size_t)cells[i]);
        for (size_t k = 1; k < grid.n; k++)
            ck_assert_uint_gt(grid.number[k], grid.number[k - 1]);
        aw_grid_free(&grid);
    }
    aw_scenario_free(&s);
}
END_TEST

START_TEST(a_step_that_does_not_divide_the_floor_covers_it)
{
    aw_scenario s;
    aw_grid grid;
    aw_errors errors = {0};
    read_text(&s, ell);
    const double steps[] = {0.1, 0.3, 0.7, 1.9, 20};
    const size_t nx[] = {100, 34, 15, 6, 1};
    for (int i = 0; i < 5; i++) {
        s.study.step = steps[i];
        ck_assert(lay_at(&grid, &s, 4, &errors));
        ck_assert_uint_eq(grid.nx, nx[i]);
        ck_assert_uint_eq(grid.ny, nx[i]);
        ck_assert_double_eq(aw_grid_centre(&grid, (uint32_t)grid.nx).y, 1.5 * steps[i]);
        aw_grid_free(&grid);
    }
    aw_scenario_free(&s);
}
END_TEST

START_TEST(a_box_counts_its_edges_and_a_polygon_its_inside)
{
    aw_scenario s;
    aw_grid grid;
    aw_errors errors = {0};
    read_text(&s, ell);
    ck_assert(lay_at(&grid, &s, 4, &errors));
    aw_grid_clip_box(&grid, (aw_point){1.5, 0.5}, (aw_point){3.5, 2.5});
    ck_assert_uint_eq(grid.n, 9);
    const aw_point corner[3] = {{1, 0}, {4, 0}, {4, 3}};
    const aw_polygon triangle = {corner, 3, {1, 0}, {4, 3}};
    ck_assert(aw_grid_clip(&grid, &triangle));
    ck_assert_uint_ge(grid.n, 3);
    ck_assert_uint_le(grid.n, 6);
    aw_grid_free(&grid);
    aw_scenario_free(&s);
}
END_TEST

static void check_refused(const char *yaml, const char *text)
{
    aw_scenario s;
    aw_errors errors = {0};
    read_text(&s, yaml);
    ck_assert(!aw_map_check(&s, &errors));
    ck_assert_uint_eq(errors.n_errors, 1);
    ck_assert_msg(strstr(errors.list[0].text, text) != NULL, "%s", errors.list[0].text);
    ck_assert_int_gt(errors.list[0].line, 0);
    aw_errors_free(&errors);
    aw_scenario_free(&s);
}

#define FLOOR(extra)                                                                               \
    "anchorwise: 1\ntitle: t\nfloor: {outline: [[0, 0], [100, 0], [100, 100], [0, 100]], "         \
    "ceiling: "                                                                                    \
    "5}\nanchors: [{name: a, at: [0, 0, 4]}]\n" extra "\n"

START_TEST(what_is_too_large_is_refused_by_name)
{
    check_refused(FLOOR("study: {step: 0.04}"),
                  "step: 0.04 m makes 6250000 cells, more than 4000000; "
                  "a step of 0.05 m would do");
    check_refused(FLOOR("study: {step: 0.06, draws: 1000000}"), "more than 1e12");
    check_refused(
        FLOOR("zones: [{name: z, outline: [[10.6, 10.6], [10.9, 10.6], [10.9, 10.9], [10.6, "
              "10.9]]}]\nstudy: {step: 1}"),
        "zone 'z' holds no cell at a step of 1 m; 0.5 m would do");
    /* A step fine enough for the zone would be too fine for the floor. */
    check_refused(
        "anchorwise: 1\ntitle: t\nfloor: {outline: [[0, 0], [1000, 0], [1000, 1000], [0, "
        "1000]], ceiling: 5}\nanchors: [{name: a, at: [0, 0, 4]}]\nzones: [{name: z, outline: "
        "[[500.51, 500.51], [500.62, 500.51], [500.62, 500.62], [500.51, 500.62]]}]\nstudy: "
        "{step: 1}\n",
        "too small");
    check_refused(FLOOR("zones: [{name: z, outline: [[200, 10], [201, 10], [201, 11]]}]"),
                  "off the floor, inside obstacles, or too small");
}
END_TEST

/* --- tally --- */

static int compare(const void *a, const void *b)
{
    const float x = *(const float *)a, y = *(const float *)b;
    return (x > y) - (x < y);
}

START_TEST(pooled_percentiles_lie_within_a_bin_of_the_exact_ones)
{
    static float values[30000];
    uint64_t state = 5 + (uint64_t)_i;
    aw_tally *all = aw_tally_create(32), *parts[3];
    for (int k = 0; k < 3; k++)
        parts[k] = aw_tally_create(32);
    for (size_t i = 0; i < 30000; i++) {
        values[i] = i % 50 == 0 ? (float)HUGE_VAL : (float)exp(2 * test_normal(&state) - 1);
        aw_tally_add(all, values[i], i % 32);
        aw_tally_add(parts[(i * 7) % 3], values[i], i % 32);
    }
    qsort(values, 30000, sizeof *values, compare);
    aw_tally_merge(parts[1], parts[2]);
    aw_tally_merge(parts[0], parts[1]);
    for (double q = 0.05; q < 0.98; q += 0.05) {
        const double exact = (double)values[(size_t)ceil(q * 30000 - 1e-9) - 1];
        const double got = aw_tally_percentile(all, q);
        ck_assert_double_ge(got, exact);
        ck_assert_double_le(got, exact * 1.001);
        ck_assert_double_eq(got, aw_tally_percentile(parts[0], q));
    }
    ck_assert(isinf(aw_tally_percentile(all, 0.985)));
    aw_tally_free(all);
    for (int k = 0; k < 3; k++)
        aw_tally_free(parts[k]);
}
END_TEST

/* Over 300 repeats the mean square of half an interval of one standard error is the variance of the
 * percentile: within 25 %, where 300 repeats alone leave 8 %. */
START_TEST(the_interval_of_one_standard_error_is_the_percentiles_spread)
{
    uint64_t state = 99;
    double sum = 0, squares = 0, claimed = 0, ends[2];
    for (int k = 0; k < 300; k++) {
        aw_tally *t = aw_tally_create(32);
        for (size_t i = 0; i < 32000; i++)
            aw_tally_add(t, (float)hypot(test_normal(&state), 0.4 * test_normal(&state)), i % 32);
        const double p = aw_tally_percentile(t, 0.95);
        sum += p;
        squares += p * p;
        aw_tally_interval(t, 0.95, 1, ends);
        claimed += pow((ends[1] - ends[0]) / 2, 2);
        aw_tally_free(t);
    }
    const double variance = squares / 300 - pow(sum / 300, 2);
    ck_assert_double_eq_tol(claimed / 300 / variance, 1, 0.25);
}
END_TEST

/* --- the shed --- */

/* Runs all cells of a shed with a row of eight anchors at y and counts draws. */
typedef struct shed {
    size_t fixes, wrong, ambiguous, cells;
} shed;

static shed run_shed(double row, double least_off)
{
    char yaml[2048];
    size_t n =
        (size_t)snprintf(yaml, sizeof yaml,
                         "anchorwise: 1\ntitle: shed\nfloor: {outline: [[0, 0], [60, 0], [60, "
                         "9], [0, 9]], ceiling: 6}\nranging: {sigma: 0.1, range: 70}\ntags: "
                         "[{name: t, height: 1.2}]\nstudy: {step: 0.75}\nanchors:\n");
    for (int i = 0; i < 8; i++)
        n += (size_t)snprintf(yaml + n, sizeof yaml - n, "  - {name: R%d, at: [%g, %g, 4.8]}\n", i,
                              1.3 + 8.1 * i + (i % 3) * 0.4, row);
    aw_scenario s;
    aw_errors errors = {0};
    aw_grid grid;
    shed result = {0};
    read_text(&s, yaml);
    ck_assert(lay_at(&grid, &s, 1.2, &errors));
    aw_scene *scene = aw_scene_create(&s);
    aw_trials *trials = aw_trials_create(8, 100, NULL);
    aw_link links[8];
    aw_spot spot = {.links = links};
    for (size_t k = 0; k < grid.n; k++) {
        const aw_point at = aw_grid_centre(&grid, grid.number[k]);
        if (fabs(at.y - row) < least_off)
            continue;
        aw_spot_prepare(&spot, scene, &s, 0, &grid, grid.number[k]);
        spot.draws.n_draws = 100;
        const aw_draws d = aw_trials_run(trials, &spot.draws);
        result.cells++;
        for (size_t i = 0; i < d.n; i++) {
            if (d.status[i] == AW_DRAW_FAILED)
                continue;
            result.fixes++;
            result.ambiguous += d.status[i] == AW_DRAW_AMBIGUOUS;
            result.wrong += (at.y + (double)d.y[i] - row) * (at.y - row) < 0;
        }
    }
    aw_trials_free(trials);
    aw_scene_free(scene);
    aw_grid_free(&grid);
    aw_scenario_free(&s);
    return result;
}

START_TEST(a_row_along_the_wall_leaves_fixes_on_the_right_side)
{
    const shed r = run_shed(0.3, 5);
    ck_assert_uint_gt(r.cells, 300);
    ck_assert_uint_gt(r.fixes, r.cells * 99);
    ck_assert_double_le((double)r.wrong / (double)r.fixes, 0.001);
}
END_TEST

/* Right at the row a fix may end on it, where both sides are one place; and of two roots outside
 * the shed only the nearer one stands. The rest is ambiguous. */
START_TEST(a_row_down_the_middle_puts_half_the_fixes_on_the_wrong_side)
{
    const shed r = run_shed(4.5, 0.5), off = run_shed(4.5, 1.5);
    ck_assert_uint_gt(r.fixes, r.cells * 99);
    ck_assert_double_eq_tol((double)r.wrong / (double)r.fixes, 0.5, 0.03);
    ck_assert_double_gt((double)r.ambiguous / (double)r.fixes, 0.9);
    ck_assert_double_gt((double)off.ambiguous / (double)off.fixes, 0.97);
    ck_assert_double_eq_tol((double)off.wrong / (double)off.fixes, 0.5, 0.02);
}
END_TEST

static TCase *grids(void)
{
    TCase *tc = tcase_create("grids");
    tcase_add_test(tc, cells_are_kept_where_a_tag_can_be);
    tcase_add_test(tc, a_step_that_does_not_divide_the_floor_covers_it);
    tcase_add_test(tc, a_box_counts_its_edges_and_a_polygon_its_inside);
    tcase_add_test(tc, what_is_too_large_is_refused_by_name);
    return tc;
}

static TCase *tallies(void)
{
    TCase *tc = tcase_create("tallies");
    tcase_add_loop_test(tc, pooled_percentiles_lie_within_a_bin_of_the_exact_ones, 0, 3);
    tcase_add_test(tc, the_interval_of_one_standard_error_is_the_percentiles_spread);
    return tc;
}

static TCase *sheds(void)
{
    TCase *tc = tcase_create("sheds");
    tcase_add_test(tc, a_row_along_the_wall_leaves_fixes_on_the_right_side);
    tcase_add_test(tc, a_row_down_the_middle_puts_half_the_fixes_on_the_wrong_side);
    return tc;
}

AW_TEST_MAIN("map", grids(), tallies(), sheds())
