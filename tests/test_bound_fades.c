/* The bound of links that come and go: its factors against a fine grid of fades, the whole against
 * other algebra and against fades drawn at random, and what it must not depend on. */
#include "links.h"

#include <gsl/gsl_linalg.h>
#include <stdio.h>

#include "map/spot.h"

#define LINKS 7

/* Links of a spot in mid-air, with limits of all kinds; the last four are always received if asked
 * for. */
static void draw_links(aw_link links[LINKS], uint64_t *state, bool some_stay)
{
    for (size_t i = 0; i < LINKS; i++) {
        aw_link *l = &links[i];
        *l = link_towards(test_between(state, -9, 9), test_between(state, -9, 9),
                          test_between(state, -3, 6));
        l->key = 100 + (uint32_t)i;
        l->white = test_between(state, 0.03, 0.2);
        l->spot = test_between(state, 0, 0.3);
        l->survey = test_between(state, 0, 0.05);
        l->believed = test_between(state, 0.03, 0.2);
        l->fade_sigma = test_between(state, 0.8, 6);
        l->lost_db = test_between(state, -5, 12);
        l->n_outcomes = 1 + i % 3;
        l->outcomes[1] = (aw_outcome){test_between(state, -6, 0), 0.3, "over"};
        l->outcomes[2] = (aw_outcome){test_between(state, 0, 6), 0.9, "mirrored"};
        if (some_stay && i >= 3)
            l->lost_db = HUGE_VAL;
    }
}

/* Both factors by the trapezoid rule over half a million fades of a normal density. */
static void by_grid(const aw_link *link, double *received, double *mean)
{
    double all = 0, timed = 0, information = 0;
    for (int i = -250000; i <= 250000; i++) {
        const double z = i * 3.2e-5, density = exp(-z * z / 2);
        const aw_link still = aw_link_in_state(link, &(aw_link_state_draw){z, 0.5});
        all += density;
        if (still.n_outcomes == 0)
            continue;
        timed += density;
        information += density / aw_link_variance(&still);
    }
    *received = timed / all;
    *mean = information / timed;
}

START_TEST(each_weight_is_that_of_a_fine_grid_of_fades)
{
    uint64_t state = 60 + (uint64_t)_i;
    aw_link links[LINKS];
    double least = 1;
    draw_links(links, &state, false);
    for (size_t i = 0; i < LINKS; i++) {
        double received, mean;
        by_grid(&links[i], &received, &mean);
        ck_assert_double_eq_tol(aw_bound_expected_weight(&links[i]) / (received * mean), 1, 2e-4);
        least = fmin(least, received);
    }
    ck_assert_double_lt(least, 0.9);
    links[0].lost_db = HUGE_VAL;
    ck_assert_double_eq(aw_bound_expected_weight(&links[0]), aw_bound_weight(&links[0]));
    links[0].n_outcomes = 0;
    ck_assert_double_eq(aw_bound_expected_weight(&links[0]), 0);
}
END_TEST

/* Square of the horizontal DRMS with the offset as one more unknown, by GSL. */
static double by_columns(const aw_link links[], const double weight[], size_t dims)
{
    gsl_matrix *m = gsl_matrix_calloc(dims + 1, dims + 1);
    for (size_t i = 0; i < LINKS; i++) {
        double row[4] = {links[i].u[0], links[i].u[1], links[i].u[2], 1};
        row[dims] = 1;
        for (size_t r = 0; r <= dims; r++)
            for (size_t c = 0; c <= dims; c++)
                *gsl_matrix_ptr(m, r, c) += weight[i] * row[r] * row[c];
    }
    gsl_linalg_cholesky_decomp1(m);
    gsl_linalg_cholesky_invert(m);
    const double square = gsl_matrix_get(m, 0, 0) + gsl_matrix_get(m, 1, 1);
    gsl_matrix_free(m);
    return square;
}

START_TEST(the_bound_is_the_position_block_of_the_inverse)
{
    uint64_t state = 90 + (uint64_t)_i;
    const aw_fix_kind dims = _i % 2 == 0 ? AW_FIX_2D : AW_FIX_3D;
    aw_link links[LINKS];
    double weight[LINKS];
    draw_links(links, &state, false);
    for (size_t i = 0; i < LINKS; i++) {
        double received, mean;
        by_grid(&links[i], &received, &mean);
        weight[i] = received * mean;
    }
    ck_assert_double_eq_tol(
        aw_bound_drms(links, LINKS, dims) / sqrt(by_columns(links, weight, (size_t)dims)), 1, 2e-4);
    ck_assert(isnan(aw_bound_drms(links, (size_t)dims, dims)));
}
END_TEST

/* Four links stay, so that every draw has a position; fades by another generator. */
START_TEST(no_mean_square_over_fades_is_below_the_bound)
{
    uint64_t state = 120 + (uint64_t)_i;
    for (int spot = 0; spot < 20; spot++) {
        aw_link links[LINKS], still[LINKS];
        double square = 0;
        draw_links(links, &state, true);
        for (int draw = 0; draw < 2000; draw++) {
            for (size_t i = 0; i < LINKS; i++)
                still[i] =
                    aw_link_in_state(&links[i], &(aw_link_state_draw){test_normal(&state), 0.5});
            const aw_bound b = aw_bound_at(still, LINKS, AW_FIX_2D);
            ck_assert_int_eq(b.status, AW_BOUND_OK);
            square += b.drms * b.drms / 2000;
        }
        const double bound = aw_bound_drms(links, LINKS, AW_FIX_2D);
        ck_assert_double_gt(sqrt(square), bound * 0.999);
        ck_assert_double_lt(bound, aw_bound_drms(links + 3, LINKS - 3, AW_FIX_2D));
    }
}
END_TEST

/* --- halls --- */

#define ANCHORS 6
#define THINGS  6

typedef struct plan {
    double anchor[ANCHORS][3], thing[THINGS][6];
    uint64_t seed;
    const char *names, *stuff, *faces;
} plan;

static void draw_plan(plan *p, uint64_t *state)
{
    *p = (plan){.seed = 1, .names = "N", .stuff = "metal", .faces = "concrete"};
    for (int i = 0; i < ANCHORS; i++)
        for (int k = 0; k < 3; k++)
            p->anchor[i][k] = test_between(state, k < 2 ? 0.5 : 3,
                                           k == 0   ? 39.5
                                           : k == 1 ? 19.5
                                                    : 6);
    for (int i = 0; i < THINGS; i++)
        for (int k = 0; k < 6; k++)
            p->thing[i][k] = k == 0   ? test_between(state, 1, 33)
                             : k == 1 ? test_between(state, 1, 13)
                             : k < 4  ? test_between(state, 0.1, 6)
                                      : test_between(state, 1.5, 7);
}

/* Every second thing is of the plan's stuff; `without_thing` and those from `n_anchors` on are left
 * out. */
static void read_plan(aw_scenario *s, const plan *p, int n_anchors, int without_thing)
{
    static const char *const stuff[] = {"wood", "plasterboard", "brick"};
    char *yaml = NULL;
    size_t length;
    FILE *out = open_memstream(&yaml, &length);
    fprintf(
        out,
        "anchorwise: 1\ntitle: hall\nmaterials: {dull: {loss_db: 3}}\nfloor: {outline: [[0, 0], "
        "[40, 0], [40, 20], [0, 20]], ceiling: 7.5, material: %s, ceiling_material: %s, "
        "wall_material: %s}\n"
        "radio: {channel: 5, scattered: false}\nranging: {spot_sigma: 0.1, survey_sigma: "
        "0.02}\nobstacles:\n"
        "  - {name: crate, footprint: [[38, 18], [39, 18], [39, 19], [38, 19]], top: 1, "
        "material: dull}\n",
        p->faces, p->faces, p->faces);
    for (int i = 0; i < THINGS; i++) {
        const double *t = p->thing[i];
        if (i != without_thing)
            fprintf(out,
                    "  - {name: o%d, material: %s, top: %.9g, footprint: [[%.9g, %.9g], [%.9g, "
                    "%.9g], [%.9g, %.9g], [%.9g, %.9g]]}\n",
                    i, i % 2 ? p->stuff : stuff[i / 2], t[4], t[0], t[1], t[0] + t[2], t[1],
                    t[0] + t[2], t[1] + t[3], t[0], t[1] + t[3]);
    }
    fputs("anchors:\n", out);
    for (int i = 0; i < n_anchors; i++)
        fprintf(out, "  - {name: %s%d, at: [%.9g, %.9g, %.9g]}\n", p->names, i, p->anchor[i][0],
                p->anchor[i][1], p->anchor[i][2]);
    fprintf(out, "study: {step: 2, draws: 1, seed: %u}\n", (unsigned)p->seed);
    fclose(out);
    read_text(s, yaml);
    free(yaml);
}

#define CELLS 200

/* The bound at CELLS places, whether something stands there or not. */
static void bounds_of(const aw_scenario *s, double drms[CELLS])
{
    aw_link links[ANCHORS];
    aw_scene *scene = aw_scene_create(s);
    for (int k = 0; k < CELLS; k++) {
        aw_links_at(scene, (double[3]){1 + 2 * (k % 20), 1 + 2 * (k / 20), 1}, links);
        drms[k] = aw_bound_drms(links, s->n_anchors, AW_FIX_2D);
    }
    aw_scene_free(scene);
}

/* Counts the places where `more` is better than `less`; nowhere may it be worse by more than that
 * share. */
static size_t count_better(const double more[CELLS], const double less[CELLS], double share)
{
    size_t better = 0;
    for (int k = 0; k < CELLS; k++) {
        if (!isnan(less[k]))
            ck_assert_double_le(more[k], less[k] * (1 + share));
        better += isnan(less[k]) ? (size_t)!isnan(more[k]) : (size_t)(more[k] < less[k] * 0.999);
    }
    return better;
}

START_TEST(one_more_anchor_never_raises_the_bound)
{
    uint64_t state = 300 + (uint64_t)_i;
    double more[CELLS], less[CELLS];
    aw_scenario s;
    plan p;
    size_t better = 0;
    for (int hall = 0; hall < 4; hall++) {
        draw_plan(&p, &state);
        for (int n = 3; n <= ANCHORS; n++) {
            read_plan(&s, &p, n, -1);
            bounds_of(&s, more);
            aw_scenario_free(&s);
            better += n > 3 ? count_better(more, less, 1e-9) : 0;
            memcpy(less, more, sizeof less);
        }
    }
    ck_assert_uint_gt(better, 200);
}
END_TEST

/* Of what lets waves through and mirrors nothing, in a hall that mirrors nothing: what mirrors can
 * make a frame received that nothing else does. Half a percent, for edges passed closely may add
 * hundredths of a decibel to the field, and of two ways that nearly coincide, whose powers add, one
 * may go with a body that it bends round. */
START_TEST(nothing_taken_away_raises_the_bound_where_nothing_mirrors)
{
    uint64_t state = 400 + (uint64_t)_i;
    double more[CELLS], less[CELLS];
    aw_scenario s;
    plan p;
    size_t better = 0;
    for (int hall = 0; hall < 4; hall++) {
        draw_plan(&p, &state);
        p.stuff = p.faces = "dull";
        read_plan(&s, &p, ANCHORS, -1);
        bounds_of(&s, less);
        aw_scenario_free(&s);
        for (int thing = 0; thing < THINGS; thing++) {
            read_plan(&s, &p, ANCHORS, thing);
            bounds_of(&s, more);
            aw_scenario_free(&s);
            better += count_better(more, less, 5e-3);
        }
    }
    ck_assert_uint_gt(better, 50);
}
END_TEST

static void run_plan(const plan *p, bool drawn, aw_map *map)
{
    aw_scenario s;
    aw_errors errors = {0};
    aw_grid grid;
    read_plan(&s, p, ANCHORS, -1);
    const aw_map_plan whole = {.scenario = &s, .groups = 1};
    ck_assert(aw_grid_lay(&grid, &s, 0, &errors));
    ck_assert((drawn ? aw_map_run : aw_map_bound)(map, &grid, &whole, &(aw_run){2, NULL, &errors}));
    aw_scenario_free(&s);
}

/* The layers that charts and tables are made of. */
START_TEST(names_and_seed_leave_the_bound_as_it_is)
{
    uint64_t state = 500 + (uint64_t)_i;
    const bool drawn = _i % 2 == 0;
    aw_map before, after;
    plan p;
    draw_plan(&p, &state);
    run_plan(&p, drawn, &before);
    p.names = "gate ";
    run_plan(&p, drawn, &after);
    const size_t n = before.grid.n, size = n * sizeof *before.value;
    const double *bound = before.value + AW_LAYER_BOUND * n;
    ck_assert_uint_gt(n, 100);
    ck_assert_int_eq(memcmp(bound, after.value + AW_LAYER_BOUND * n, size), 0);
    aw_map_free(&after);
    p.seed = 77;
    run_plan(&p, drawn, &after);
    ck_assert_int_eq(memcmp(bound, after.value + AW_LAYER_BOUND * n, size), 0);
    aw_map_free(&after);
    aw_map_free(&before);
}
END_TEST

START_TEST(the_layer_of_draws_and_that_without_are_one)
{
    uint64_t state = 600 + (uint64_t)_i;
    aw_map drawn, instant;
    plan p;
    size_t compared = 0;
    draw_plan(&p, &state);
    run_plan(&p, true, &drawn);
    run_plan(&p, false, &instant);
    const size_t from = AW_LAYER_BOUND * drawn.grid.n;
    for (size_t k = from; k < from + drawn.grid.n; k++) {
        ck_assert_int_eq(isnan(drawn.value[k]), isnan(instant.value[k]));
        if (isnan(drawn.value[k]))
            continue;
        ck_assert_double_eq_tol(instant.value[k] / drawn.value[k], 1, 1e-4);
        compared++;
    }
    ck_assert_uint_gt(compared, 50);
    aw_map_free(&drawn);
    aw_map_free(&instant);
}
END_TEST

static TCase *factors(void)
{
    TCase *c = tcase_create("factors");
    tcase_add_loop_test(c, each_weight_is_that_of_a_fine_grid_of_fades, 0, 4);
    tcase_add_loop_test(c, the_bound_is_the_position_block_of_the_inverse, 0, 4);
    tcase_add_loop_test(c, no_mean_square_over_fades_is_below_the_bound, 0, 4);
    return c;
}

static TCase *halls(void)
{
    TCase *c = tcase_create("halls");
    tcase_add_loop_test(c, one_more_anchor_never_raises_the_bound, 0, 4);
    tcase_add_loop_test(c, nothing_taken_away_raises_the_bound_where_nothing_mirrors, 0, 4);
    tcase_add_loop_test(c, names_and_seed_leave_the_bound_as_it_is, 0, 4);
    tcase_add_loop_test(c, the_layer_of_draws_and_that_without_are_one, 0, 3);
    return c;
}

AW_TEST_MAIN("bound over fades", factors(), halls())
