/* Many bounds in one pass against the bound of each spot by itself. */
#include "links.h"

#include <stdio.h>

#include "position/kernel.h"

#define ANCHORS 14
#define CELLS   200
#define STRIDE  256

/* Random anchors and cells; each link usable or not, with errors of its own. */
typedef struct yard {
    double anchor[ANCHORS][3], spot[CELLS][3];
    float at[3][ANCHORS], x[STRIDE], y[STRIDE], weight[ANCHORS * STRIDE];
    aw_link link[CELLS][ANCHORS];
    aw_bound_batch cells;
} yard;

static void lay_yard(yard *y, uint64_t state)
{
    const double usable = test_between(&state, 0.2, 1), wide = test_between(&state, 10, 200);
    memset(y, 0, sizeof *y);
    for (int i = 0; i < ANCHORS; i++)
        for (int d = 0; d < 3; d++) {
            y->anchor[i][d] = d < 2 ? test_between(&state, 0, wide) : test_between(&state, 2, 9);
            y->at[d][i] = (float)(y->anchor[i][d] - (d == 2 ? 1.25 : 0));
        }
    for (int k = 0; k < CELLS; k++) {
        const double spot[3] = {test_between(&state, 0, wide), test_between(&state, 0, wide), 1.25};
        memcpy(y->spot[k], spot, sizeof spot);
        y->x[k] = (float)spot[0];
        y->y[k] = (float)spot[1];
        for (int i = 0; i < ANCHORS; i++) {
            aw_link *l = &y->link[k][i];
            *l = clear_link(1, y->anchor[i], spot, test_between(&state, 0.05, 0.5));
            l->survey = test_between(&state, 0, 0.1);
            l->n_outcomes = test_uniform(&state) < usable;
            y->weight[i * STRIDE + k] = (float)aw_bound_weight(l);
        }
    }
    y->cells = (aw_bound_batch){ANCHORS, CELLS, y->at[0],  y->at[1], y->at[2],
                                y->x,    y->y,  y->weight, STRIDE};
}

START_TEST(many_bounds_are_those_of_the_spots)
{
    yard *y = malloc(sizeof *y);
    float drms[CELLS];
    size_t open = 0, good = 0;
    lay_yard(y, 400 + (uint64_t)_i);
    aw_bound_batch_run(&y->cells, drms);
    for (int k = 0; k < CELLS; k++) {
        const aw_bound b = aw_bound_at(y->link[k], ANCHORS, AW_FIX_2D);
        if (b.status != AW_BOUND_OK)
            ck_assert(drms[k] < 0);
        good += b.status == AW_BOUND_OK;
        open += b.status == AW_BOUND_OK && drms[k] < 0;
        if (drms[k] >= 0)
            ck_assert_double_eq_tol((double)drms[k] / b.drms, 1, 1e-4);
    }
    /* What is left open is rare. */
    ck_assert_uint_ge(good, 10);
    ck_assert_uint_le(open, 1 + good / 20);
    free(y);
}
END_TEST

/* Two anchors, or three in a row with the tag: no position, so the spot has to be asked. */
START_TEST(a_cell_without_a_position_is_left_open)
{
    yard *y = malloc(sizeof *y);
    float drms[CELLS];
    lay_yard(y, 5);
    for (int k = 0; k < CELLS; k++) {
        for (int i = 0; i < ANCHORS; i++)
            y->weight[i * STRIDE + k] = i < 2 ? 10 : i == 2 && k % 2 ? 10 : 0;
        y->x[k] = (float)k;
        y->y[k] = 3;
    }
    for (int i = 0; i < 3; i++) {
        y->at[0][i] = -30 - 7 * (float)i;
        y->at[1][i] = 3;
    }
    aw_bound_batch_run(&y->cells, drms);
    for (int k = 0; k < CELLS; k++)
        ck_assert(drms[k] < 0);
    free(y);
}
END_TEST

START_TEST(every_level_gives_the_same_bounds_to_the_bit)
{
    static const char *const level[] = {"v3", "v4"};
    yard *y = malloc(sizeof *y);
    float plain[CELLS], drms[CELLS];
    lay_yard(y, 77 + (uint64_t)_i);
    aw_kernel_named("base")->bounds(&y->cells, plain);
    for (int k = 0; k < 2; k++) {
        const aw_kernel *kernel = aw_kernel_named(level[k]);
        if (kernel == NULL)
            continue;
        kernel->bounds(&y->cells, drms);
        ck_assert_int_eq(memcmp(drms, plain, sizeof plain), 0);
    }
    free(y);
}
END_TEST

/* --- over a floor --- */

static const char *const hall =
    "anchorwise: 1\ntitle: hall\nfloor: {outline: [[1000, 500], [1040, 500], [1040, 512], [1020, "
    "512], [1020, 530], [1000, 530]], ceiling: 9}\n"
    "obstacles:\n"
    "  - {name: car, footprint: [[1005, 504], [1016, 504], [1016, 507], [1005, 507]], top: 4, "
    "material: metal}\n"
    "  - {name: bench, footprint: [[1006, 512], [1012, 511], [1010, 520]], top: 2, material: "
    "wood}\n"
    "walls:\n  - {name: wall, path: [[1020, 512], [1012, 512.5]], thickness: 0.2, top: 6, "
    "material: "
    "concrete}\n"
    "anchors:\n"
    "  - {name: a, at: [1000.4, 500.3, 5]}\n  - {name: b, at: [1039.5, 500.8, 6]}\n"
    "  - {name: c, at: [1039.1, 511.6, 4]}\n  - {name: d, at: [1019.7, 529.5, 5]}\n"
    "  - {name: e, at: [1000.2, 529.9, 8]}\n  - {name: f, at: [1010, 514, 7]}\n"
    "tags: [{name: t, height: 1.2, fix: %s}]\n"
    "ranging: {range: 32, survey_sigma: 0.02}\nstudy: {step: 0.5}\n";

static void run_hall(aw_map *map, const aw_scenario *s, unsigned threads)
{
    aw_errors errors = {0};
    aw_grid grid;
    const aw_map_plan plan = {.scenario = s, .groups = 1};
    ck_assert(aw_grid_lay(&grid, s, 0, &errors));
    ck_assert(aw_map_bound(map, &grid, &plan, &(aw_run){threads, NULL, &errors}));
}

/* By spots in double precision; 2d and 3d. */
START_TEST(a_bound_map_is_that_of_its_spots_for_any_number_of_threads)
{
    char text[2000];
    aw_scenario s;
    aw_map map, again;
    aw_link links[6];
    size_t without = 0;
    snprintf(text, sizeof text, hall, _i == 0 ? "2d" : "3d");
    read_text(&s, text);
    aw_scene *scene = aw_scene_create(&s);
    run_hall(&map, &s, 1);
    const double *used = map.value + AW_LAYER_USED * map.grid.n;
    const double *drms = map.value + AW_LAYER_BOUND * map.grid.n;
    for (size_t k = 0; k < map.grid.n; k++) {
        const aw_point at = aw_grid_centre(&map.grid, map.grid.number[k]);
        aw_links_at(scene, (double[3]){at.x, at.y, 1.2}, links);
        const aw_bound b = aw_bound_at(links, 6, s.tags[0].fix);
        ck_assert_double_eq(used[k], (double)b.used);
        ck_assert_int_eq(isnan(drms[k]), isnan(b.drms));
        without += b.status != AW_BOUND_OK;
        if (!isnan(b.drms))
            ck_assert_double_eq_tol(drms[k] / b.drms, 1, 1e-4);
    }
    ck_assert_uint_gt(map.grid.n, 3000);
    ck_assert_uint_gt(without, 10);
    for (unsigned threads = 2; threads < 8; threads += 5) {
        run_hall(&again, &s, threads);
        ck_assert_int_eq(memcmp(map.value, again.value, map.grid.n * AW_LAYERS * sizeof *map.value),
                         0);
        aw_map_free(&again);
    }
    aw_map_free(&map);
    aw_scene_free(scene);
    aw_scenario_free(&s);
}
END_TEST

static TCase *lanes(void)
{
    TCase *tc = tcase_create("lanes");
    tcase_add_loop_test(tc, many_bounds_are_those_of_the_spots, 0, 40);
    tcase_add_test(tc, a_cell_without_a_position_is_left_open);
    tcase_add_loop_test(tc, every_level_gives_the_same_bounds_to_the_bit, 0, 5);
    return tc;
}

static TCase *maps(void)
{
    TCase *tc = tcase_create("maps");
    tcase_add_loop_test(tc, a_bound_map_is_that_of_its_spots_for_any_number_of_threads, 0, 2);
    return tc;
}

AW_TEST_MAIN("bounds", lanes(), maps())
