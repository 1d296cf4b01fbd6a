/* Links that come and go: fixed states of the fades against draws. */
#include <stdio.h>

#include "links.h"

#include "assess/instant.h"
#include "radio/paths.h"

#define STATES AW_MOST_STATES

START_TEST(fades_and_shares_are_one_of_each_likely_range)
{
    aw_link_state_draw draws[STATES], again[STATES], other[STATES];
    const size_t n = _i == 0 ? STATES : 32;
    size_t moved = 0;
    aw_states_draw(1, 77, 12345, n, draws);
    aw_states_draw(1, 77, 12345, n, again);
    aw_states_draw(1, 77, 12346, n, other);
    bool met[2][STATES] = {{false}};
    for (size_t i = 0; i < n; i++) {
        const size_t range[2] = {(size_t)(0.5 * erfc(-draws[i].fade * M_SQRT1_2) * (double)n),
                                 (size_t)(draws[i].scattered * (double)n)};
        for (size_t k = 0; k < 2; k++) {
            ck_assert_uint_lt(range[k], n);
            ck_assert(!met[k][range[k]]);
            met[k][range[k]] = true;
        }
        ck_assert(memcmp(&draws[i], &again[i], sizeof draws[i]) == 0);
        moved += draws[i].fade != other[i].fade && draws[i].scattered != other[i].scattered;
    }
    ck_assert_uint_eq(moved, n);
}
END_TEST

/* Over many cells two anchors' fades are uncorrelated and standard, and so are a link's fade and
 * its share. */
START_TEST(draws_of_two_anchors_have_nothing_in_common)
{
    double both = 0, square = 0, fourth = 0, own = 0;
    const uint32_t cells = 3000;
    for (uint32_t cell = 0; cell < cells; cell++) {
        aw_link_state_draw a[32], b[32];
        aw_states_draw(9, cell, 1, 32, a);
        aw_states_draw(9, cell, 2, 32, b);
        for (size_t i = 0; i < 32; i++) {
            both += a[i].fade * b[i].fade;
            own += a[i].fade * (a[i].scattered - 0.5) * sqrt(12);
            square += a[i].fade * a[i].fade;
            fourth += pow(a[i].fade, 4);
        }
    }
    const double n = cells * 32.0;
    ck_assert_double_lt(fabs(both) / sqrt(n), 4);
    ck_assert_double_lt(fabs(own) / sqrt(n), 4);
    ck_assert_double_eq_tol(square / n, 1, 0.01);
    ck_assert_double_eq_tol(fourth / n, 3, 0.1);
}
END_TEST

static aw_link in_state(const aw_link *link, double fade, double share)
{
    return aw_link_in_state(link, &(aw_link_state_draw){fade, share});
}

START_TEST(a_link_held_still_has_the_outcome_of_its_fade)
{
    aw_link link = link_towards(3, 4, 0);
    ck_assert(!aw_link_varies(&link));
    link.fade_sigma = 4;
    ck_assert(!aw_link_varies(&link));
    link.n_outcomes = 2;
    link.outcomes[1] = (aw_outcome){2, 0.7, "mirrored"};
    link.lost_db = 6;
    ck_assert(aw_link_varies(&link));
    ck_assert_double_eq(in_state(&link, -3, 0.5).outcomes[0].excess, 0);
    ck_assert_double_eq(in_state(&link, 0.49, 0.5).outcomes[0].excess, 0);
    ck_assert_double_eq(in_state(&link, 0.5, 0.5).outcomes[0].excess, 0.7);
    ck_assert_uint_eq(in_state(&link, 1.5, 0.5).n_outcomes, 1);
    ck_assert_uint_eq(in_state(&link, 1.51, 0.5).n_outcomes, 0);
    link.n_outcomes = 1;
    link.lost_db = 21;
    ck_assert(!aw_link_varies(&link));
}
END_TEST

/* Found up to a fade of 3 dB, never before 0.1 m; X is 0 below a share of 0.11, and 0.1963 m at
 * half of the spots. */
START_TEST(what_is_scattered_comes_first_where_it_is_earlier)
{
    aw_link link = link_towards(3, 4, 0);
    link.fade_sigma = 4;
    link.n_outcomes = 2;
    link.outcomes[0].excess = 0.15;
    link.outcomes[1] = (aw_outcome){2, HUGE_VAL, "scattered"};
    link.lost_db = 3;
    link.scatters = true;
    link.scattered_db = 3;
    link.scattered_least = 0.1;
    ck_assert(aw_link_varies(&link));
    ck_assert_double_eq(in_state(&link, 0, 0.1).outcomes[0].excess, 0.1);
    ck_assert_double_eq(in_state(&link, 0, 0.5).outcomes[0].excess, 0.15);
    ck_assert_double_eq_tol(in_state(&link, 0.6, 0.5).outcomes[0].excess, 0.1963, 1e-4);
    ck_assert(!in_state(&link, 0.6, 0.5).scatters);
    ck_assert_uint_eq(in_state(&link, 0.8, 0.5).n_outcomes, 0);
    ck_assert_double_eq(aw_link_bias(&link), 0.15);
    link.scattered_db = -1;
    ck_assert_double_eq(in_state(&link, 0, 0.1).outcomes[0].excess, 0.15);
}
END_TEST

/* Three anchors nearby are heard, two at the far end in some of the draws: without
 * them the corner's errors across the hall are large. */
#define CORNER                                                                                     \
    "anchorwise: 1\ntitle: T\nfloor: {outline: [[0,0],[24,0],[24,40],[0,40]], ceiling: 8}\n"       \
    "radio: {receiver: {sensitivity_dbm: -95}}\n"                                                  \
    "ranging: {spot_sigma: 0.15}\ntags: [{name: t}]\n"                                             \
    "zones: [{name: corner, outline: [[1,2],[7,2],[7,8],[1,8]], need: {p95: 1}}]\n"                \
    "study: {step: 1, draws: 4000, seed: 3}\nanchors:\n"                                           \
    "  - {name: A, at: [0.5, 0.5, 6]}\n  - {name: B, at: [9, 0.5, 6]}\n"                           \
    "  - {name: C, at: [22, 8, 6]}\n"                                                              \
    "  - {name: D, at: [3, 39.5, 6]}\n  - {name: E, at: [14, 39.5, 6]}\n"

/* p95 with every link's weight times its chance of being received. */
static double by_expected_weights(const aw_scenario *s, const aw_scene *scene, const aw_grid *grid)
{
    aw_error_laws laws;
    ck_assert(aw_error_laws_create(&laws, grid->n, 1));
    for (size_t cell = 0; cell < grid->n; cell++) {
        const aw_point at = aw_grid_centre(grid, grid->number[cell]);
        aw_sums sums = {0};
        for (size_t i = 0; i < s->n_anchors; i++) {
            aw_link_trace t;
            aw_link_trace_at(scene, (double[3]){at.x, at.y, s->tags[0].height}, &s->anchors[i], &t);
            t.link.white /= sqrt(t.received);
            t.link.spot /= sqrt(t.received);
            t.link.believed /= sqrt(t.received);
            aw_sums_add(&sums, &t.link);
        }
        const aw_expected e = aw_sums_expect(&sums, AW_FIX_2D, 0);
        aw_error_laws_set(&laws, cell, &e);
    }
    const double p95 = aw_error_laws_percentile(&laws, 0.95, 0);
    aw_error_laws_free(&laws);
    return p95;
}

static double by_states(const aw_scenario *s, const aw_scene *scene, const aw_grid *grid)
{
    const aw_loss none = {0};
    const aw_instant_plan plan = {
        .scenario = s, .scene = scene, .grid = grid, .losses = &none, .n_losses = 1};
    aw_errors errors = {0};
    aw_error_laws laws;
    ck_assert(aw_error_laws_create(&laws, grid->n, aw_states_of(s)));
    ck_assert(aw_instant_run(&laws, &plan, 0, 1, &(aw_run){2, NULL, &errors}));
    const double p95 = aw_error_laws_percentile(&laws, 0.95, 0);
    aw_error_laws_free(&laws);
    return p95;
}

START_TEST(states_agree_with_draws_where_expected_weights_flatter_by_a_third)
{
    aw_scenario s;
    aw_errors errors = {0};
    aw_grid grid;
    aw_zone_result drawn;
    read_text(&s, CORNER);
    aw_scene *scene = aw_scene_create(&s);
    ck_assert(aw_grid_lay_zone(&grid, &s, &s.zones[0], &errors));
    ck_assert(aw_assess_zone(&drawn, &s, &s.zones[0], &(aw_run){2, NULL, &errors}));
    const double weights = by_expected_weights(&s, scene, &grid);
    const double states = by_states(&s, scene, &grid), draws = drawn.errors.p95;
    if (getenv("AW_PRINT") != NULL)
        printf("p95: draws %.3f, states %.3f, expected weights %.3f\n", draws, states, weights);
    ck_assert_double_eq_tol(states, draws, 0.1 * draws);
    ck_assert_double_lt(weights, draws * 2 / 3);
    aw_grid_free(&grid);
    aw_scene_free(scene);
    aw_scenario_free(&s);
}
END_TEST

/* Bias over the states of ragged spots, by a pass over the links of each state. */
START_TEST(the_bias_is_a_mean_over_the_states)
{
    uint64_t state = 40 + (uint64_t)_i;
    const aw_fix_kind dims = _i % 2 == 0 ? AW_FIX_2D : AW_FIX_3D;
    for (int spot = 0; spot < 40; spot++) {
        aw_link links[7], still[7];
        double bias = 0, with = 0;
        for (size_t i = 0; i < 7; i++) {
            links[i] = link_towards(test_between(&state, -9, 9), test_between(&state, -9, 9),
                                    test_between(&state, -3, 6));
            links[i].key = 100 + (uint32_t)i;
            links[i].white = test_between(&state, 0.03, 0.2);
            links[i].believed = test_between(&state, 0.03, 0.2);
            links[i].fade_sigma = i < 5 ? 4 : 0;
            links[i].n_outcomes = 1 + i % 3;
            links[i].outcomes[1] = (aw_outcome){test_between(&state, -2, 2), 0.3, "over"};
            links[i].outcomes[2] = (aw_outcome){test_between(&state, 2, 4), 0.9, "mirrored"};
            links[i].lost_db = i < 5 ? test_between(&state, -3, 9) : HUGE_VAL;
            links[i].scatters = i % 2 == 0;
            links[i].scattered_db = test_between(&state, -3, 9);
            links[i].scattered_least = test_between(&state, 0, 0.4);
        }
        for (size_t k = 0; k < STATES; k++) {
            for (size_t i = 0; i < 7; i++) {
                aw_link_state_draw draws[STATES];
                aw_states_draw(3, (uint32_t)spot, links[i].key, STATES, draws);
                still[i] = aw_link_in_state(&links[i], &draws[k]);
            }
            const aw_bound b = aw_bound_at(still, 7, dims);
            if (b.status != AW_BOUND_OK)
                continue;
            bias += sqrt(b.bias[0] * b.bias[0] + b.bias[1] * b.bias[1]);
            with++;
        }
        ck_assert_double_gt(with, 0);
        ck_close(aw_states_bias(links, 7, STATES, dims, 3, (uint32_t)spot), bias / with, 1e-6);
    }
}
END_TEST

/* A cell of many states is the mean of its laws: by one cell of one state for each. */
/* Of a radio, and of one that scatters: more than go side by side. */
static const size_t of_a_cell[] = {32, AW_MOST_STATES};

START_TEST(a_cell_is_the_mean_of_its_states)
{
    const size_t n = of_a_cell[_i];
    uint64_t state = 5;
    aw_error_laws cells, laws;
    ck_assert(aw_error_laws_create(&cells, 3, n));
    for (size_t c = 0; c < 3; c++) {
        double want;
        ck_assert(aw_error_laws_create(&laws, n, 1));
        for (size_t k = 0; k < n; k++) {
            const aw_expected e = {.status = k == 7 ? AW_BOUND_SINGULAR : AW_BOUND_OK,
                                   .bias = {test_between(&state, -1, 1), 0, 0},
                                   .xx = test_between(&state, 0.01, 1 + (double)c),
                                   .yy = test_between(&state, 0.01, 1)};
            aw_error_laws_set(&cells, c * n + k, &e);
            aw_error_laws_set(&laws, k, &e);
        }
        ck_assert_double_eq_tol(aw_error_laws_placed(&cells, c), ((double)n - 1) / (double)n,
                                1e-12);
        want = aw_error_laws_percentile(&laws, 0.9, 0);
        ck_assert_uint_eq(aw_error_laws_within(&cells, want * 1.001, 0.9) -
                              aw_error_laws_within(&cells, want * 0.999, 0.9),
                          1);
        aw_error_laws_free(&laws);
    }
    double most, at = 0;
    const size_t worst = aw_error_laws_worst(&cells, 0.9, &most);
    ck_assert_uint_lt(worst, 3);
    ck_assert_uint_eq(aw_error_laws_within(&cells, most * 1.001, 0.9), 3);
    ck_assert_uint_eq(aw_error_laws_within(&cells, most * 0.999, 0.9), 2);
    ck_assert_uint_eq(aw_error_laws_worst(&cells, 0.995, &at), 0);
    ck_assert(isinf(at));
    aw_error_laws_free(&cells);
}
END_TEST

static TCase *all(void)
{
    TCase *c = tcase_create("states");
    tcase_add_loop_test(c, fades_and_shares_are_one_of_each_likely_range, 0, 2);
    tcase_add_test(c, draws_of_two_anchors_have_nothing_in_common);
    tcase_add_test(c, a_link_held_still_has_the_outcome_of_its_fade);
    tcase_add_test(c, what_is_scattered_comes_first_where_it_is_earlier);
    tcase_add_test(c, states_agree_with_draws_where_expected_weights_flatter_by_a_third);
    tcase_add_loop_test(c, the_bias_is_a_mean_over_the_states, 0, 4);
    tcase_add_loop_test(c, a_cell_is_the_mean_of_its_states, 0, 2);
    return c;
}

AW_TEST_MAIN("states", all())
