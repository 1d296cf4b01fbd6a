/* The estimate that is kept ready for one anchor: after any moves it is that of the scenario by
 * itself, which the linear estimate of outages makes another way (rank-one updates of all links).
 */
#include <string.h>

#include "anchorwise/vary.h"
#include "assess/instant.h"
#include "live/linear.h"
#include "live/outlook.h"
#include "aw_test.h"

static aw_reading *read_file(const char *path)
{
    char *bytes = NULL;
    aw_text text = {0};
    size_t n;
    aw_errors errors = {0};
    ck_assert(aw_file_read(path, &bytes, &n, &errors));
    aw_text_add_bytes(&text, bytes, n);
    aw_reading *reading = aw_reading_make(&text);
    ck_assert(reading != NULL && reading->sound);
    aw_text_free(&text);
    free(bytes);
    return reading;
}

/* p95 of each cell of a grid, the other way; to be freed. */
static double *estimate(const aw_scenario *s, const aw_grid *grid, size_t tag)
{
    static const aw_loss none;
    aw_errors errors = {0};
    aw_error_laws laws;
    aw_scene *scene = aw_scene_create(s);
    double *p95 = malloc((grid->n + 1) * sizeof *p95);
    const aw_instant_plan plan = {s, scene, grid, tag, false, &none, 1};
    ck_assert(scene != NULL && p95 != NULL);
    ck_assert(aw_error_laws_create(&laws, grid->n, 1));
    ck_assert(aw_instant_run(&laws, &plan, 0, 1, &(aw_run){1, NULL, &errors}));
    aw_error_laws_each(&laws, 0.95, p95);
    aw_error_laws_free(&laws);
    aw_scene_free(scene);
    return p95;
}

static void ck_floor(const aw_linear *l, const aw_scenario *s, size_t tag)
{
    const aw_linear_field *floor = &l->fields[0];
    double *want = estimate(s, &floor->grid, tag);
    size_t with = 0;
    for (size_t i = 0; i < floor->grid.n; i++) {
        const bool has = isfinite(want[i]);
        ck_assert_int_eq(isfinite(floor->p95[i]), has);
        with += has;
        if (has)
            ck_close(floor->p95[i] / want[i], 1, 2e-4);
    }
    ck_assert_uint_gt(with, 100);
    free(want);
}

static void drag(const char *path, size_t tag)
{
    aw_reading *base = read_file(path);
    const aw_scenario *s = &base->of.scenario;
    aw_linear linear = {0};
    aw_errors errors = {0};
    uint64_t dice = 4;
    ck_assert(aw_linear_suits(s));
    for (int i = 0; i < 6; i++) {
        const size_t moved = i % 3 == 2 ? AW_NONE_MOVES : (size_t)i % s->n_anchors;
        aw_varied now = aw_vary(s);
        const double to[3] = {test_between(&dice, s->floor.outline.low.x, s->floor.outline.high.x),
                              test_between(&dice, s->floor.outline.low.y, s->floor.outline.high.y),
                              test_between(&dice, 1, s->floor.ceiling)};
        if (moved != AW_NONE_MOVES)
            ck_assert(aw_varied_move_anchor(&now, moved, to));
        const aw_linear_plan plan = {&now.scenario, base, moved, tag};
        for (unsigned threads = 1; threads <= 3; threads++) {
            ck_assert(aw_linear_run(&linear, &plan, &(aw_run){threads, NULL, &errors}));
            ck_floor(&linear, &now.scenario, tag);
        }
        aw_varied_free(&now);
    }
    aw_linear_free(&linear);
    aw_reading_let_go(base);
}

START_TEST(a_dragged_anchor_gives_the_estimate_of_the_scenario_so_changed)
{
    drag("tests/bench/scenes/crate-hall.yaml", 0);
    drag("tests/bench/scenes/l-hall.yaml", 0);
    drag("tests/bench/scenes/tram-hall.yaml", 1);
}
END_TEST

START_TEST(figures_of_all_draws_are_those_of_assess)
{
    aw_reading *base = read_file("tests/bench/scenes/crate-hall.yaml");
    const aw_scenario *s = &base->of.scenario;
    aw_errors errors = {0};
    aw_outlook told;
    aw_assessment want;
    const aw_run run = {2, NULL, &errors};
    ck_assert(aw_outlook_draw(&told, s, 0, 0, &run));
    ck_assert(aw_assess_run(&want, s, &run));
    ck_assert_uint_eq(told.draws, s->study.draws);
    for (size_t i = 0; i < want.map.grid.n; i++) {
        const double p95 = want.map.value[AW_LAYER_P95 * want.map.grid.n + i];
        const float shown = told.p95[want.map.grid.number[i]];
        ck_assert(isnan(p95) ? isinf(shown) : shown == (float)p95);
    }
    for (size_t i = 0; i < s->n_zones; i++) {
        ck_assert_int_eq(told.zones[i].verdict, want.zones[i].verdict);
        ck_assert_int_eq(told.zones[i].with_margin, want.zones[i].with_margin);
        ck_assert_double_eq(told.zones[i].errors.p95, want.zones[i].errors.p95);
        ck_assert_double_eq(told.zones[i].parts[AW_PART_CHANCE].found.value,
                            want.zones[i].parts[AW_PART_CHANCE].found.value);
    }
    aw_assessment_free(&want);
    aw_outlook_free(&told);
    aw_reading_let_go(base);
}
END_TEST

START_TEST(cells_that_no_tag_can_be_in_are_told_from_those_without_a_figure)
{
    aw_reading *base = read_file("tests/bench/scenes/tram-hall.yaml");
    const aw_scenario *s = &base->of.scenario;
    aw_errors errors = {0};
    aw_linear linear = {0};
    aw_outlook told;
    const aw_linear_plan plan = {s, base, AW_NONE_MOVES, 0};
    ck_assert(aw_outlook_estimate(&told, &linear, &plan, &(aw_run){1, NULL, &errors}));
    size_t none = 0, without = 0;
    for (size_t i = 0; i < told.grid.nx * told.grid.ny; i++) {
        none += isnan(told.p95[i]) != 0;
        without += isinf(told.p95[i]) != 0;
    }
    ck_assert_uint_eq(none, told.grid.nx * told.grid.ny - told.grid.n);
    ck_assert_uint_gt(without, 0);
    ck_assert_uint_eq(told.draws, 0);
    aw_outlook_free(&told);
    aw_linear_free(&linear);
    aw_reading_let_go(base);
}
END_TEST

static TCase *tests(void)
{
    TCase *all = tcase_create("linear");
    tcase_add_test(all, a_dragged_anchor_gives_the_estimate_of_the_scenario_so_changed);
    tcase_add_test(all, figures_of_all_draws_are_those_of_assess);
    tcase_add_test(all, cells_that_no_tag_can_be_in_are_told_from_those_without_a_figure);
    return all;
}

AW_TEST_MAIN("live linear", tests())
