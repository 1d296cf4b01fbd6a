/* What a link does over its fades: against fades drawn one by one, and over a floor without a radio
 * against its plain counts. */
#include <string.h>

#include "links.h"

static void check_against_draws(const aw_link *link, uint64_t seed)
{
    enum { DRAWS = 200000 };
    uint64_t state = seed;
    double received = 0, direct = 0, excess = 0;
    for (int i = 0; i < DRAWS; i++) {
        const double fade = link->fade_sigma * test_normal(&state);
        const aw_outcome *timed = NULL;
        for (size_t k = 0; k < link->n_outcomes; k++)
            if (fade >= link->outcomes[k].fade_db)
                timed = &link->outcomes[k];
        if (fade > link->lost_db || timed == NULL)
            continue;
        received++;
        excess += timed->excess;
        direct += strcmp(timed->name, "direct") == 0;
    }
    const aw_link_chances c = aw_link_expect(link);
    /* Four standard errors of a share of so many draws. */
    ck_assert_double_eq_tol(c.received, received / DRAWS, 0.0045);
    ck_assert_double_eq_tol(c.direct, direct / DRAWS, 0.0045);
    if (received > 1000)
        ck_assert_double_eq_tol(c.excess, excess / received, 0.02);
}

START_TEST(chances_are_shares_of_fades)
{
    uint64_t state = 60 + (uint64_t)_i;
    aw_link link = link_towards(10, 3, 4);
    link.fade_sigma = test_between(&state, 1, 7);
    link.lost_db = test_between(&state, -6, 15);
    link.n_outcomes = 1 + (size_t)_i % 4;
    static const char *const names[] = {"direct", "over", "around", "mirrored"};
    link.outcomes[0] = (aw_outcome){-HUGE_VAL, 0, names[0]};
    for (size_t k = 1; k < link.n_outcomes; k++)
        link.outcomes[k] =
            (aw_outcome){-4 + 3 * (double)k + test_between(&state, 0, 2),
                         link.outcomes[k - 1].excess + test_between(&state, 0.05, 1), names[k]};
    check_against_draws(&link, (uint64_t)_i);
}
END_TEST

START_TEST(without_fades_a_link_is_one_path_or_none)
{
    aw_link link = link_towards(10, 3, 4);
    aw_link_chances c = aw_link_expect(&link);
    ck_assert(c.received == 1 && c.direct == 1 && c.excess == 0);
    link.outcomes[0] = (aw_outcome){-HUGE_VAL, 0.25, "through"};
    c = aw_link_expect(&link);
    ck_assert(c.received == 1 && c.direct == 0 && c.excess == 0.25);
    link.n_outcomes = 0;
    c = aw_link_expect(&link);
    ck_assert(c.received == 0 && c.direct == 0 && isnan(c.excess));
}
END_TEST

/* Brick is 0.108 m late: of the arrivals those through the wall. */
START_TEST(without_a_radio_the_layers_are_counts)
{
    aw_scenario s;
    aw_grid grid;
    aw_map map;
    aw_errors errors = {0};
    read_text(&s, "anchorwise: 1\ntitle: Hall\n"
                  "floor: {outline: [[0, 0], [20, 0], [20, 12], [0, 12]], ceiling: 6}\n"
                  "walls: [{name: w, path: [[8, 0], [8, 12]], thickness: 0.2, material: brick}]\n"
                  "anchors:\n  - {name: A, at: [0, 0, 5]}\n  - {name: B, at: [20, 0, 4]}\n"
                  "  - {name: C, at: [20, 12, 5]}\n  - {name: D, at: [0, 12, 4]}\n"
                  "  - {name: E, at: [9, 12, 5]}\nranging: {range: 18}\n"
                  "study: {step: 1, draws: 16}\n");
    ck_assert(lay_at(&grid, &s, 1, &errors));
    const aw_map_plan plan = {.scenario = &s, .groups = 1};
    ck_assert(aw_map_run(&map, &grid, &plan, &(aw_run){1, NULL, &errors}));
    aw_scene *scene = aw_scene_create(&s);
    for (size_t i = 0; i < map.grid.n; i++) {
        const aw_point at = aw_grid_centre(&map.grid, map.grid.number[i]);
        aw_link links[5];
        double used = 0, clear = 0;
        aw_links_at(scene, (double[3]){at.x, at.y, 1}, links);
        for (int k = 0; k < 5; k++) {
            used += links[k].state != AW_LINK_LOST;
            clear += links[k].state == AW_LINK_CLEAR;
        }
        ck_assert(map.value[AW_LAYER_RECEIVED * map.grid.n + i] == used);
        ck_assert(map.value[AW_LAYER_USED * map.grid.n + i] == used);
        ck_assert_double_eq_tol(map.value[AW_LAYER_DIRECT_SHARE * map.grid.n + i], clear / used,
                                1e-12);
        ck_assert_double_eq_tol(map.value[AW_LAYER_LINK_BIAS * map.grid.n + i],
                                (used - clear) / used * 0.108, 1e-12);
    }
    aw_scene_free(scene);
    aw_map_free(&map);
    aw_scenario_free(&s);
}
END_TEST

static TCase *chances_case(void)
{
    TCase *tc = tcase_create("chances");
    tcase_add_loop_test(tc, chances_are_shares_of_fades, 0, 16);
    tcase_add_test(tc, without_fades_a_link_is_one_path_or_none);
    tcase_add_test(tc, without_a_radio_the_layers_are_counts);
    return tc;
}

AW_TEST_MAIN("chances", chances_case())
