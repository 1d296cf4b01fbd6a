/* Sight: lengths inside prisms against sampling, links from fixed figures. */
#include "links.h"
#include "stars.h"

#include <stdio.h>

#include "base/plane.h"
#include "radio/sight.h"

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

/* A comb with its teeth up, cut along, across, through the corners of its teeth and through both of
 * its ends: lengths by hand. */
START_TEST(lengths_inside_a_comb_are_those_counted_by_hand)
{
    const aw_point corner[8] = {{0, 0}, {7, 0}, {7, 3}, {6, 3}, {6, 1}, {1, 1}, {1, 3}, {0, 3}};
    const aw_prism p = {{corner, 8, {0, 0}, {7, 3}}, 0, 2};
    const double cut[][7] = {
        {-2, 2, 1, 9, 2, 1, 2},            /* both teeth */
        {-2, 0.5, 1, 9, 0.5, 1, 7},        /* the back */
        {-2, 1, 1, 9, 1, 1, 2},            /* along the inner face: the teeth alone */
        {3, 2, 1, 4, 2, 1, 0},             /* between the teeth */
        {0.5, 2, 1, 6.5, 2, 1, 1},         /* from tooth to tooth */
        {0.5, 9, 1, 0.5, -9, 1, 3},        /* down a tooth */
        {3, 9, 1, 3, -9, 1, 1},            /* across the back */
        {-1, 4, 1, 4, -1, 1, 2 * M_SQRT2}, /* in at a corner, tooth, gap, back */
        {5, 5, 1, 9, 1, 1, 0},             /* past a corner of the right tooth */
        {-1, 2, 1, 1, 4, 1, 0},            /* past a corner of the left one */
        {0, 2, 1, 2, 0, 1, 2 * M_SQRT2},   /* through the inner corner */
        {-1, -1, 1, 8, -1, 1, 0},          /* past the back */
        {0.5, 2, -3, 0.5, 2, 5, 2},        /* upright, from below to above */
        {0.5, 2, 0.5, 0.5, 2, 1.25, 0.75}, /* upright, inside */
        {3, 2, -3, 3, 2, 5, 0},            /* upright, between the teeth */
        {0.5, 2, 1, 0.5, 2, 1, 0},         /* nowhere to go */
        {-2, 2, 2.1, 9, 2, 2.5, 0},        /* over the top */
        {-2, 2, -0.1, 9, 2, -0.5, 0},      /* under the base */
        {0, 0.5, 3, 7, 0.5, 1, 0}};
    for (size_t i = 0; i + 1 < sizeof cut / sizeof *cut; i++) {
        ck_assert_msg(fabs(aw_prism_length(&p, cut[i], cut[i] + 3) - cut[i][6]) < 1e-12,
                      "cut %zu: %.9g, want %.9g", i, aw_prism_length(&p, cut[i], cut[i] + 3),
                      cut[i][6]);
        ck_close(aw_prism_length(&p, cut[i] + 3, cut[i]), cut[i][6], 1e-12);
    }
    /* Half of a falling line is below the top: of the half from x = 3.5 on, all is in the back. */
    const double *fall = cut[sizeof cut / sizeof *cut - 1];
    ck_close(aw_prism_length(&p, fall, fall + 3), sqrt(7 * 7 + 2 * 2) / 2, 1e-12);
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
    "  - {name: bend, path: [[48, 15], [45, 15], [45, 18]], thickness: 0.0006, material: foil}\n"
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
    ck_close(links[1].loss_db, 8, 1e-12);
    const double below[3] = {25, 0.5, 2}, above[3] = {15, 12, 2};
    aw_links_at(scene, below, links);
    ck_assert_int_eq(links[0].state, AW_LINK_CLEAR);
    /* From above the u two of its legs are in the way: one obstacle. */
    for (size_t k = 1; k < 3; k++) {
        const aw_prism leg = {s.walls[0].legs[k], 0, 8};
        ck_assert_double_gt(aw_prism_length(&leg, above, s.anchors[1].at), 0.1);
    }
    aw_links_at(scene, above, links);
    ck_assert_int_eq(links[0].state, AW_LINK_CLEAR);
    ck_assert_int_eq(links[1].state, AW_LINK_THROUGH);
    ck_close(links[1].loss_db, 8, 1e-12);
    ck_close(aw_link_bias(&links[1]), 0.3, 1e-12);
    aw_scene_free(scene);
    aw_scenario_free(&s);
}
END_TEST

/* Past the outer corner of a bend a line clips 0.71 mm of either leg, or 0.28 mm. */
START_TEST(legs_of_a_wall_add_up_before_they_count)
{
    aw_scenario s;
    read_text(&s, hall);
    aw_scene *scene = aw_scene_create(&s);
    for (int i = 0; i < 2; i++) {
        const double past = i == 0 ? 0.0005 : 0.0008, clipped = M_SQRT2 * (0.001 - past);
        const double spot[3] = {43 - past, 17, 2};
        const aw_anchor there = {.name = "there", .at = {47 - past, 13, 2}};
        for (size_t k = 0; k < 2; k++) {
            const aw_prism leg = {s.walls[1].legs[k], 0, 8};
            ck_close(aw_prism_length(&leg, spot, there.at), clipped, 1e-9);
        }
        const aw_link link = aw_link_at(scene, spot, &there);
        ck_assert_int_eq(link.state, i == 0 ? AW_LINK_THROUGH : AW_LINK_CLEAR);
        ck_close(link.loss_db, i == 0 ? 3 : 0, 1e-12);
        ck_close(aw_link_bias(&link), i == 0 ? 0.1 : 0, 1e-12);
    }
    aw_scene_free(scene);
    aw_scenario_free(&s);
}
END_TEST

/* --- thin sheets --- */

/* Whether two segments of the plan cross, and how near one comes to the other's points and back. */
static bool cuts(const double a[3], const double b[3], aw_point p, aw_point q, double *t)
{
    const double rx = b[0] - a[0], ry = b[1] - a[1], sx = q.x - p.x, sy = q.y - p.y;
    const double cross = rx * sy - ry * sx;
    const double u = ((p.x - a[0]) * ry - (p.y - a[1]) * rx) / cross;
    *t = ((p.x - a[0]) * sy - (p.y - a[1]) * sx) / cross;
    return *t > 0 && *t < 1 && u > 0 && u < 1;
}

static double gap(const double a[3], const double b[3], aw_point p, aw_point q)
{
    const aw_point from = {a[0], a[1]}, to = {b[0], b[1]};
    return fmin(fmin(aw_segment_distance(from, to, p), aw_segment_distance(from, to, q)),
                fmin(aw_segment_distance(p, q, from), aw_segment_distance(p, q, to)));
}

/* One wall of four legs in a hall, as thin as its number says. */
static void read_sheet(aw_scenario *s, uint64_t *state, double thickness)
{
    char text[1024];
    double x[8];
    for (int k = 0; k < 8; k++)
        x[k] = test_between(state, 5, 15);
    snprintf(text, sizeof text,
             "anchorwise: 1\ntitle: sheet\nfloor: {outline: [[0, 0], [20, 0], [20, 20], [0, 20]], "
             "ceiling: 8}\nmaterials: {foil: {loss_db: 3, delay: 0.1}}\nwalls: [{name: sheet, "
             "material: foil, base: 1, top: 5, thickness: %.9g, path: [[%.9g, %.9g], [%.9g, %.9g], "
             "[%.9g, %.9g], [%.9g, %.9g]]}]\nanchors: [{name: a, at: [1, 1, 2]}]\n",
             thickness, x[0], x[1], x[2], x[3], x[4], x[5], x[6], x[7]);
    read_text(s, text);
}

/* From a tenth of a micrometre up; lines from all sides, grazing and through bends and ends. */
START_TEST(a_wall_counts_whatever_its_thickness)
{
    uint64_t state = 700 + (uint64_t)_i;
    size_t through = 0, past = 0;
    for (int hall_of = 0; hall_of < 100; hall_of++) {
        aw_scenario s;
        read_sheet(&s, &state, pow(10, test_between(&state, -7, -2.8)));
        const aw_wall *w = &s.walls[0];
        aw_scene *scene = aw_scene_create(&s);
        for (int line = 0; line < 60; line++) {
            double a[3], b[3], nearest = HUGE_VAL, t;
            bool crosses = false;
            for (int k = 0; k < 3; k++) {
                a[k] = test_between(&state, k < 2 ? 0 : 1.5, k < 2 ? 20 : 4.5);
                b[k] = test_between(&state, k < 2 ? 0 : 1.5, k < 2 ? 20 : 4.5);
            }
            if (line % 3 == 0) { /* by a bend or an end, within 3 mm of it */
                const aw_point at = w->path[line / 3 % 4];
                const double miss = test_between(&state, -3e-3, 3e-3);
                const double turn = test_between(&state, 0, 2 * M_PI);
                for (int k = 0; k < 2; k++) {
                    const double along = k == 0 ? cos(turn) : sin(turn);
                    const double aside = k == 0 ? -sin(turn) : cos(turn);
                    a[k] = (k == 0 ? at.x : at.y) - 4 * along + miss * aside;
                    b[k] = a[k] + 8 * along;
                }
            }
            for (size_t k = 0; k + 1 < w->n; k++) {
                crosses = cuts(a, b, w->path[k], w->path[k + 1], &t) || crosses;
                nearest = fmin(nearest, gap(a, b, w->path[k], w->path[k + 1]));
            }
            const aw_link link =
                aw_link_at(scene, a, &(aw_anchor){.name = "b", .at = {b[0], b[1], b[2]}});
            /* A square end reaches sqrt(2) mm from the path's. */
            if (crosses)
                ck_assert_int_eq(link.state, AW_LINK_THROUGH);
            else if (nearest > 1.5e-3)
                ck_assert_int_eq(link.state, AW_LINK_CLEAR);
            through += crosses;
            past += !crosses && nearest > 1.5e-3;
        }
        aw_scene_free(scene);
        aw_scenario_free(&s);
    }
    ck_assert_uint_gt(through, 1000);
    ck_assert_uint_gt(past, 1000);
}
END_TEST

/* A deck of half a millimetre: whatever comes in above and leaves below, at any angle. */
START_TEST(a_sheet_that_lies_flat_counts_whatever_its_height)
{
    aw_scenario s;
    uint64_t state = 77;
    size_t through = 0;
    read_text(&s, "anchorwise: 1\ntitle: deck\nfloor: {outline: [[0, 0], [20, 0], [20, 20], [0, "
                  "20]], ceiling: 8}\nmaterials: {tin: {loss_db: 5, delay: 0.2}}\nobstacles:\n"
                  "  - {name: deck, footprint: [[5, 5], [15, 5], [15, 15], [5, 15]], base: 3, top: "
                  "3.0005, material: tin}\nanchors: [{name: a, at: [1, 1, 2]}]\n");
    aw_scene *scene = aw_scene_create(&s);
    for (int line = 0; line < 4000; line++) {
        double a[3], b[3];
        for (int k = 0; k < 2; k++) {
            a[k] = test_between(&state, 2, 18);
            b[k] = test_between(&state, 2, 18);
        }
        a[2] = test_between(&state, 0, 3);
        b[2] = test_between(&state, 0, 3) + (line % 2 == 0 ? 3.0005 : 0);
        const double share = (3 - a[2]) / (b[2] - a[2]);
        const double x = a[0] + share * (b[0] - a[0]), y = a[1] + share * (b[1] - a[1]);
        const bool inner = x > 5.1 && x < 14.9 && y > 5.1 && y < 14.9;
        const bool outer = x > 4.9 && x < 15.1 && y > 4.9 && y < 15.1;
        const bool rises = line % 2 == 0;
        if (rises && inner != outer)
            continue;
        const aw_link link =
            aw_link_at(scene, a, &(aw_anchor){.name = "b", .at = {b[0], b[1], b[2]}});
        ck_assert_int_eq(link.state, rises && inner ? AW_LINK_THROUGH : AW_LINK_CLEAR);
        through += rises && inner;
    }
    ck_assert_uint_gt(through, 400);
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

/* A yard of ragged blocks and crooked walls, some over, some under most lines of sight. */
static void print_yard(FILE *out, uint64_t *state)
{
    fputs("anchorwise: 1\ntitle: yard\nfloor: {outline: [[0, 0], [60, 0], [60, 40], [0, 40]], "
          "ceiling: 9}\nmaterials:\n",
          out);
    for (int i = 0; i < 16; i++)
        fprintf(out, "  m%d: {loss_db: %.4f, delay: %.4f}\n", i, test_between(state, 0.1, 6),
                test_between(state, 0, 0.5));
    fputs("obstacles:\n", out);
    for (int i = 0; i < 10; i++) {
        const double x = test_between(state, 4, 56), y = test_between(state, 4, 36);
        fprintf(out, "  - {name: o%d, material: m%d, base: %.3f, top: %.3f, footprint: [", i, i,
                test_between(state, 0, 2), test_between(state, 2.1, 8));
        for (int k = 0; k < 9; k++) {
            const double a = 2 * M_PI * k / 9, r = test_between(state, 0.5, 4);
            fprintf(out, "%s[%.4f, %.4f]", k ? ", " : "", x + r * cos(a), y + r * sin(a));
        }
        fputs("]}\n", out);
    }
    fputs("walls:\n", out);
    for (int i = 0; i < 6; i++) {
        fprintf(out, "  - {name: w%d, material: m%d, top: %.3f, thickness: %.4f, path: [", i,
                10 + i, test_between(state, 2, 8), test_between(state, 0.0004, 0.3));
        for (int k = 0; k < 5; k++)
            fprintf(out, "%s[%.4f, %.4f]", k ? ", " : "", test_between(state, 1, 59),
                    test_between(state, 1, 39));
        fputs("]}\n", out);
    }
    fputs("anchors:\n", out);
    for (int i = 0; i < 9; i++)
        fprintf(out, "  - {name: a%d, at: [%.4f, %.4f, %.4f]}\n", i, test_between(state, 0, 60),
                test_between(state, 0, 40), test_between(state, 0, 9));
    fputs("ranging: {sigma: 0.1, range: 44, budget_db: 14}\n", out);
}

/* Loss and delay of all obstacles and walls that one segment crosses, each asked by itself. */
static bool sum_crossed(const aw_scenario *s, const double a[3], const double b[3], double sum[2])
{
    bool any = false;
    sum[0] = sum[1] = 0;
    for (size_t i = 0; i < s->n_obstacles + s->n_walls; i++) {
        const bool wall = i >= s->n_obstacles;
        const aw_wall *w = wall ? &s->walls[i - s->n_obstacles] : NULL;
        const aw_obstacle *o = wall ? NULL : &s->obstacles[i];
        double length = 0;
        for (size_t k = 0; k < (wall ? w->n - 1 : 1); k++) {
            const aw_prism p = {wall ? w->legs[k] : o->footprint, wall ? w->base : o->base,
                                wall ? w->top : o->top};
            length += aw_prism_length(&p, a, b);
        }
        if (length <= 0.001)
            continue;
        const aw_material *m = &s->materials[wall ? w->material : o->material];
        any = true;
        sum[0] += m->loss_db;
        sum[1] += m->delay;
    }
    return any;
}

static void check_link(const aw_scenario *s, const aw_link *l, const double a[3], const double b[3])
{
    double sum[2];
    const bool crosses = sum_crossed(s, a, b, sum);
    const double range = sqrt(pow(a[0] - b[0], 2) + pow(a[1] - b[1], 2) + pow(a[2] - b[2], 2));
    ck_close(l->range, range, 1e-12);
    ck_close(l->loss_db, sum[0], 1e-12);
    if (range > 44 || sum[0] > 14) {
        ck_assert_int_eq(l->state, AW_LINK_LOST);
        ck_assert_uint_eq(l->n_outcomes, 0);
        return;
    }
    ck_assert_int_eq(l->state, crosses ? AW_LINK_THROUGH : AW_LINK_CLEAR);
    ck_assert_uint_eq(l->n_outcomes, 1);
    ck_close(aw_link_bias(l), sum[1], 1e-12);
}

START_TEST(a_link_is_what_each_thing_in_its_way_makes_of_it)
{
    uint64_t state = 70 + (uint64_t)_i;
    char *yaml = NULL;
    size_t length, seen[3] = {0};
    aw_scenario s;
    aw_link links[9];
    FILE *out = open_memstream(&yaml, &length);
    print_yard(out, &state);
    fclose(out);
    read_text(&s, yaml);
    aw_scene *scene = aw_scene_create(&s);
    for (int k = 0; k < 200; k++) {
        const double spot[3] = {test_between(&state, 0, 60), test_between(&state, 0, 40),
                                test_between(&state, 0, 3)};
        aw_links_at(scene, spot, links);
        for (size_t i = 0; i < 9; i++) {
            check_link(&s, &links[i], spot, s.anchors[i].at);
            seen[links[i].state]++;
        }
    }
    /* All three kinds were among them. */
    for (int kind = 0; kind < 3; kind++)
        ck_assert_uint_gt(seen[kind], 40);
    aw_scene_free(scene);
    aw_scenario_free(&s);
    free(yaml);
}
END_TEST

static TCase *sight(void)
{
    TCase *tc = tcase_create("sight");
    tcase_add_loop_test(tc, lengths_inside_a_prism_are_those_of_sampling, 0, 40);
    tcase_add_test(tc, lengths_inside_a_comb_are_those_counted_by_hand);
    tcase_add_test(tc, a_segment_along_a_face_or_past_an_edge_is_outside);
    return tc;
}

static TCase *links(void)
{
    TCase *tc = tcase_create("links");
    tcase_add_test(tc, each_obstacle_adds_its_loss_and_delay_once);
    tcase_add_test(tc, legs_of_a_wall_add_up_before_they_count);
    tcase_add_loop_test(tc, a_wall_counts_whatever_its_thickness, 0, 4);
    tcase_add_test(tc, a_sheet_that_lies_flat_counts_whatever_its_height);
    tcase_add_test(tc, range_and_budget_are_inclusive_limits);
    tcase_add_loop_test(tc, a_link_is_what_each_thing_in_its_way_makes_of_it, 0, 8);
    tcase_add_test(tc, a_line_of_sight_ends_at_the_first_thing_it_meets);
    return tc;
}

AW_TEST_MAIN("sight", sight(), links())
