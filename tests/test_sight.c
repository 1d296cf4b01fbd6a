/* Sight: lengths inside prisms against sampling, links from fixed figures, plane geometry. */
#include "links.h"

#include "base/plane.h"
#include "radio/sight.h"

/* A star-shaped polygon with ragged radii, concave as a rule; counter-clockwise. */
static aw_polygon star(uint64_t *state, aw_point corner[], size_t n)
{
    const double x = test_between(state, 3, 7), y = test_between(state, 3, 7);
    for (size_t i = 0; i < n; i++) {
        const double a = 2 * M_PI * ((double)i + 0.8 * test_uniform(state)) / (double)n;
        const double r = test_between(state, 0.8, 4);
        corner[i] = (aw_point){x + r * cos(a), y + r * sin(a)};
    }
    aw_polygon p = {.at = corner, .n = n};
    aw_polygon_close(&p);
    return p;
}

/* Share of 20 000 points along the segment that lie inside. */
static double sampled(const aw_prism *p, const double a[3], const double b[3])
{
    size_t inside = 0;
    for (size_t i = 0; i < 20000; i++) {
        const double t = ((double)i + 0.5) / 20000, z = a[2] + t * (b[2] - a[2]);
        inside +=
            z > p->base && z < p->top &&
            aw_polygon_holds(&p->footprint, a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]));
    }
    return (double)inside / 20000 *
           sqrt(pow(b[0] - a[0], 2) + pow(b[1] - a[1], 2) + pow(b[2] - a[2], 2));
}

START_TEST(lengths_inside_a_prism_are_those_of_sampling)
{
    uint64_t state = 31 + (uint64_t)_i;
    aw_point corner[12];
    const size_t n = 4 + (size_t)_i % 9;
    const aw_prism p = {star(&state, corner, n), test_between(&state, 0, 2),
                        test_between(&state, 2.5, 5)};
    double most = 0;
    for (int k = 0; k < 30; k++) {
        double a[3], b[3];
        for (int d = 0; d < 3; d++) {
            a[d] = test_between(&state, 0, 10);
            b[d] = test_between(&state, 0, 10);
        }
        if (k % 5 == 1)
            b[2] = a[2];
        if (k % 5 == 2) {
            b[0] = a[0];
            b[1] = a[1];
        }
        if (k % 5 == 3) {
            a[0] = corner[0].x;
            a[1] = corner[0].y;
            b[0] = corner[n / 2].x;
            b[1] = corner[n / 2].y;
        }
        const double got = aw_prism_length(&p, a, b);
        ck_assert_double_eq_tol(got, sampled(&p, a, b), 0.01);
        ck_assert_double_eq_tol(got, aw_prism_length(&p, b, a), 1e-9);
        most = fmax(most, got);
    }
    ck_assert_double_gt(most, 0.5);
}
END_TEST

START_TEST(a_segment_along_a_face_or_past_an_edge_is_outside)
{
    const aw_point corner[4] = {{2, 1}, {6, 1}, {6, 4}, {2, 4}};
    const aw_prism p = {{corner, 4, {2, 1}, {6, 4}}, 0.5, 3};
    const double along[][6] = {{0, 1, 1, 9, 1, 1},     {0, 4, 1, 9, 4, 1},   {2, 0, 1, 2, 9, 1},
                               {6, -3, 1, 6, 9, 2},    {0, 2, 3, 9, 2, 3},   {0, 2, 0.5, 9, 2, 0.5},
                               {0, 2, 3.1, 9, 3, 3.2}, {0, 2, 0, 9, 3, 0.4}, {1, 3, 1, 3, 5, 1}};
    for (size_t i = 0; i < sizeof along / sizeof *along; i++)
        ck_assert_msg(aw_prism_length(&p, along[i], along[i] + 3) < 1e-12, "case %zu", i);
    const double through[6] = {0, 2, 1, 9, 2, 1}, inside[6] = {3, 2, 1, 4, 2, 1};
    ck_close(aw_prism_length(&p, through, through + 3), 4, 1e-12);
    ck_close(aw_prism_length(&p, inside, inside + 3), 1, 1e-12);
}
END_TEST

/* --- links --- */

static const char *const hall =
    "anchorwise: 1\ntitle: hall\nfloor: {outline: [[0, 0], [50, 0], [50, 20], [0, 20]], ceiling: "
    "8}\n"
    "materials: {foil: {loss_db: 3, delay: 0.1}, pack: {loss_db: 8, delay: 0.3}}\n"
    "obstacles:\n"
    "  - {name: box, footprint: [[10, 5], [12, 5], [12, 8], [10, 8]], top: 4, material: pack}\n"
    "walls:\n"
    "  - {name: u, path: [[20, 2], [30, 2], [30, 10], [20, 10]], thickness: 0.2, material: pack}\n"
    "  - {name: double, path: [[40, 14], [40, 18], [40.002, 18], [40.002, 14]], thickness: 0.0006, "
    "material: foil}\n"
    "  - {name: single, path: [[45, 14], [45, 19]], thickness: 0.0006, material: pack}\n"
    "anchors:\n"
    "  - {name: west, at: [1, 6, 2]}\n  - {name: east, at: [49, 6, 2]}\n"
    "  - {name: far, at: [49, 19, 7]}\n"
    "ranging: {sigma: 0.1, range: 45, budget_db: 16}\n";

START_TEST(each_obstacle_adds_its_loss_and_delay_once)
{
    aw_scenario s;
    aw_link links[3];
    read_text(&s, hall);
    aw_scene *scene = aw_scene_create(&s);
    /* From inside the u, east: one leg of the wall; west: nothing but the box. */
    const double spot[3] = {25, 6, 2};
    aw_links_at(scene, spot, links);
    ck_assert_int_eq(links[0].state, AW_LINK_THROUGH);
    ck_close(links[0].loss_db, 8, 1e-12);
    ck_close(aw_link_bias(&links[0]), 0.3, 1e-12);
    ck_close(links[0].range, 24, 1e-12);
    ck_close(links[0].u[0], 1, 1e-12);
    /* From the far side of the u, below, both of its legs are crossed: one obstacle. */
    ck_close(links[1].loss_db, 8, 1e-12);
    const double below[3] = {25, 0.5, 2}, clear[3] = {15, 12, 2};
    aw_links_at(scene, below, links);
    ck_assert_int_eq(links[0].state, AW_LINK_CLEAR);
    aw_links_at(scene, clear, links);
    ck_assert_int_eq(links[0].state, AW_LINK_CLEAR);
    ck_assert_int_eq(links[1].state, AW_LINK_THROUGH);
    ck_close(links[1].loss_db, 8, 1e-12);
    aw_scene_free(scene);
    aw_scenario_free(&s);
}
END_TEST

/* Two legs of 0.6 mm are crossed and count together, 1.2 mm; one alone does not. */
START_TEST(legs_of_a_wall_add_up_before_they_count)
{
    aw_scenario s;
    aw_link links[3];
    read_text(&s, hall);
    aw_scene *scene = aw_scene_create(&s);
    const double spot[3] = {32, 12, 2};
    for (size_t k = 0; k < 3; k += 2) {
        const aw_prism leg = {s.walls[1].legs[k], 0, 8};
        ck_assert_double_gt(aw_prism_length(&leg, spot, s.anchors[2].at), 0.0006);
        ck_assert_double_lt(aw_prism_length(&leg, spot, s.anchors[2].at), 0.001);
    }
    aw_links_at(scene, spot, links);
    ck_assert_int_eq(links[2].state, AW_LINK_THROUGH);
    ck_close(links[2].loss_db, 3, 1e-12);
    ck_close(aw_link_bias(&links[2]), 0.1, 1e-12);
    aw_scene_free(scene);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(range_and_budget_are_inclusive_limits)
{
    aw_scenario s;
    aw_link links[3];
    read_text(&s, hall);
    const double spot[3] = {4, 6, 2};
    s.ranging.range = 45;
    s.ranging.budget_db = 16;
    aw_scene *scene = aw_scene_create(&s);
    aw_links_at(scene, spot, links);
    /* East: 45 m, through the box and the u, 16 dB. */
    ck_close(links[1].range, 45, 1e-12);
    ck_close(links[1].loss_db, 16, 1e-12);
    ck_assert_int_eq(links[1].state, AW_LINK_THROUGH);
    ck_close(aw_link_bias(&links[1]), 0.6, 1e-12);
    ck_assert_int_eq(links[2].state, AW_LINK_LOST);
    ck_assert_uint_eq(links[2].n_outcomes, 0);
    s.ranging.budget_db = 15.9;
    aw_links_at(scene, spot, links);
    ck_assert_int_eq(links[1].state, AW_LINK_LOST);
    s.ranging.budget_db = 16;
    s.ranging.range = 44.99;
    aw_links_at(scene, spot, links);
    ck_assert_int_eq(links[1].state, AW_LINK_LOST);
    aw_scene_free(scene);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(a_line_of_sight_ends_at_the_first_thing_it_meets)
{
    aw_scenario s;
    read_text(&s, hall);
    aw_scene *scene = aw_scene_create(&s);
    const double spot[3] = {4, 6, 2};
    /* The box begins 6 m on, of 45 m; 1 mm of it is let through. */
    ck_assert_double_eq_tol(aw_scene_clear_share(scene, spot, s.anchors[1].at), 6.001 / 45, 1e-5);
    ck_assert_double_eq(aw_scene_clear_share(scene, spot, s.anchors[0].at), 1);
    aw_scene_free(scene);
    aw_scenario_free(&s);
}
END_TEST

/* --- plane --- */

START_TEST(rows_and_points_agree_to_the_bit)
{
    uint64_t state = 500 + (uint64_t)_i;
    aw_point corner[20];
    double xs[20];
    const size_t n = 4 + (size_t)_i % 16;
    const aw_polygon p = star(&state, corner, n);
    for (size_t k = 0; k < 40 + n; k++) {
        const double y = k < n ? corner[k].y : test_between(&state, 0, 10);
        const size_t m = aw_polygon_row(&p, y, xs);
        ck_assert_uint_eq(m % 2, 0);
        for (int i = 0; i < 60; i++) {
            const double x = i < (int)m ? xs[i] : test_between(&state, 0, 10);
            size_t above = 0;
            for (size_t j = 0; j < m; j++)
                above += x < xs[j];
            ck_assert_int_eq(above % 2 == 1, aw_polygon_holds(&p, x, y));
        }
    }
}
END_TEST

static double turn(aw_point a, aw_point b, aw_point c)
{
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

/* All pairs of edges, crossing at an inner point of both. */
static bool crosses(const aw_point c[], size_t n)
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++) {
            const aw_point p = c[i], q = c[(i + 1) % n], r = c[j], s = c[(j + 1) % n];
            if (turn(p, q, r) * turn(p, q, s) < 0 && turn(r, s, p) * turn(r, s, q) < 0)
                return true;
        }
    return false;
}

START_TEST(self_crossing_is_found_and_nothing_else)
{
    uint64_t state = 900;
    size_t edges[2];
    const aw_point bow[4] = {{0, 0}, {4, 4}, {4, 0}, {0, 4}};
    const aw_point touch[6] = {{0, 0}, {6, 0}, {6, 4}, {3, 0}, {0, 4}, {-1, 2}};
    const aw_point fold[4] = {{0, 0}, {6, 0}, {3, 0}, {3, 4}};
    const aw_point twice[6] = {{0, 0}, {4, 0}, {2, 2}, {4, 4}, {0, 4}, {2, 2}};
    const aw_point ell[6] = {{0, 0}, {6, 0}, {6, 2}, {2, 2}, {2, 6}, {0, 6}};
    ck_assert(aw_polygon_crosses_itself(bow, 4, edges));
    ck_assert(edges[0] == 0 && edges[1] == 2);
    ck_assert(aw_polygon_crosses_itself(touch, 6, edges));
    ck_assert(aw_polygon_crosses_itself(fold, 4, edges));
    ck_assert(aw_polygon_crosses_itself(twice, 6, edges));
    ck_assert(!aw_polygon_crosses_itself(ell, 6, edges));
    for (int i = 0; i < 200; i++) {
        aw_point corner[40];
        const size_t n = 5 + (size_t)(test_uniform(&state) * 35);
        star(&state, corner, n);
        ck_assert(!aw_polygon_crosses_itself(corner, n, edges));
        const aw_point swap = corner[1];
        corner[1] = corner[3];
        corner[3] = swap;
        ck_assert_int_eq(aw_polygon_crosses_itself(corner, n, edges), crosses(corner, n));
    }
}
END_TEST

static aw_polygon square(aw_point corner[4], double x, double y, double size)
{
    const aw_point at[4] = {{x, y}, {x + size, y}, {x + size, y + size}, {x, y + size}};
    memcpy(corner, at, sizeof at);
    aw_polygon p = {.at = corner, .n = 4};
    aw_polygon_close(&p);
    return p;
}

START_TEST(touching_is_not_overlapping)
{
    aw_point a[4], b[4];
    const double other[][4] = {{4, 0, 4, 0}, {0, 4, 4, 0},  {4, 4, 4, 0}, {9, 0, 4, 0},
                               {3, 3, 4, 1}, {1, 1, 2, 1},  {0, 0, 4, 1}, {-1, -1, 9, 1},
                               {0, 1, 4, 1}, {3.9, 1, 2, 1}};
    const aw_polygon first = square(a, 0, 0, 4);
    for (size_t i = 0; i < sizeof other / sizeof *other; i++) {
        const aw_polygon second = square(b, other[i][0], other[i][1], other[i][2]);
        ck_assert_msg(aw_polygons_overlap(&first, &second) == (other[i][3] > 0), "case %zu", i);
        ck_assert_msg(aw_polygons_overlap(&second, &first) == (other[i][3] > 0), "case %zu", i);
    }
}
END_TEST

static TCase *sight(void)
{
    TCase *tc = tcase_create("sight");
    tcase_add_loop_test(tc, lengths_inside_a_prism_are_those_of_sampling, 0, 40);
    tcase_add_test(tc, a_segment_along_a_face_or_past_an_edge_is_outside);
    return tc;
}

static TCase *links(void)
{
    TCase *tc = tcase_create("links");
    tcase_add_test(tc, each_obstacle_adds_its_loss_and_delay_once);
    tcase_add_test(tc, legs_of_a_wall_add_up_before_they_count);
    tcase_add_test(tc, range_and_budget_are_inclusive_limits);
    tcase_add_test(tc, a_line_of_sight_ends_at_the_first_thing_it_meets);
    return tc;
}

static TCase *plane(void)
{
    TCase *tc = tcase_create("plane");
    tcase_add_loop_test(tc, rows_and_points_agree_to_the_bit, 0, 30);
    tcase_add_test(tc, self_crossing_is_found_and_nothing_else);
    tcase_add_test(tc, touching_is_not_overlapping);
    return tc;
}

AW_TEST_MAIN("sight", sight(), links(), plane())
