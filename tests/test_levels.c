/* Floor levels: where a tag is, what the ground beside a pit hides, and that a level without a
 * difference makes none. */
#include <string.h>

#include "base/plane.h"
#include "map/spot.h"
#include "radio/pit.h"
#include "links.h"

/* A wheel pit 1.4 m deep, 4 x 8 m, with a sump in it and a mezzanine at the far end. */
#define SITE                                                                                       \
    "anchorwise: 1\ntitle: Wheelset store\n"                                                       \
    "floor: {outline: [[0, 0], [30, 0], [30, 20], [0, 20]], ceiling: 8}\n"                         \
    "levels:\n"                                                                                    \
    "  - {name: wheel pit, outline: [[2, 2], [6, 2], [6, 10], [2, 10]], height: -1.4}\n"           \
    "  - {name: sump, outline: [[3, 3], [4, 3], [4, 4], [3, 4]], height: -2}\n"                    \
    "  - {name: gallery, outline: [[20, 0], [30, 0], [30, 20], [20, 20]], height: 3, slab: "       \
    "{thickness: 0.2}}\n"                                                                          \
    "anchors:\n"                                                                                   \
    "  - {name: low west, at: [0.5, 6, 0.5]}\n"                                                    \
    "  - {name: high west, at: [0.5, 6, 6]}\n"                                                     \
    "  - {name: low north, at: [4, 19, 0.5]}\n"                                                    \
    "  - {name: high north, at: [4, 19, 7]}\n"                                                     \
    "  - {name: high east, at: [29, 5, 7]}\n"                                                      \
    "tags: [{name: axle tag, height: 0.5}]\n"                                                      \
    "study: {step: 1, draws: 64}\n"

static aw_scenario site;

static void read_site(void)
{
    read_text(&site, SITE);
}

static void free_site(void)
{
    aw_scenario_free(&site);
}

START_TEST(a_tag_stands_on_the_floor_where_it_is)
{
    ck_assert(aw_floor_at(&site, 10, 10) == 0);
    ck_assert(aw_floor_at(&site, 5, 5) == -1.4);
    ck_assert(aw_floor_at(&site, 3.5, 3.5) == -2);
    ck_assert(aw_floor_at(&site, 25, 5) == 3);
    ck_assert(aw_tag_at(&site, 0, 5, 5) == -1.4 + 0.5);
    ck_assert(aw_lowest_floor(&site) == -2);
}
END_TEST

/* The gallery is 3 m up: a tag of 0.5 m could be under it, one of 3 m could not, and one of 5.5 m
 * could not stand on it. */
START_TEST(a_zone_under_a_level_is_known)
{
    aw_point corners[] = {{18, 2}, {22, 2}, {22, 5}, {18, 5}},
             beside[] = {{10, 2}, {20, 2}, {20, 5}};
    aw_zone zone = {.name = "partly", .outline = {.at = corners, .n = 4}};
    aw_polygon_close(&zone.outline);
    static const struct {
        double height;
        bool under;
    } tags[] = {{0.5, true}, {3, false}, {5.5, false}};
    for (size_t i = 0; i < 3; i++) {
        const aw_tag tag = {.name = "tag", .height = tags[i].height};
        aw_scenario other = site;
        other.tags = &tag;
        const aw_level *level = aw_level_over(&other, &zone);
        ck_assert_msg((level != NULL) == tags[i].under, "a tag of %g m", tag.height);
        ck_assert(level == NULL || strcmp(level->name, "gallery") == 0);
    }
    zone.outline = (aw_polygon){.at = beside, .n = 3};
    aw_polygon_close(&zone.outline);
    ck_assert(aw_level_over(&site, &zone) == NULL);
    ck_assert_str_eq(aw_level_at(&site, 3.5, 3.5)->name, "sump");
    ck_assert(aw_level_at(&site, 10, 10) == NULL);
}
END_TEST

/* From the pit's middle, 0.9 m under the floor, the edge 2 m to the west and the east hides what is
 * less than atan(0.9 / 2) = 24 degrees high, the edge 4 m to the north what is less than 13: the
 * low anchors, and the high one in the east, which is 25 m off and 17 degrees high. */
START_TEST(from_a_pit_low_anchors_are_hidden_and_high_ones_are_not)
{
    const double spot[3] = {4, 6, aw_tag_at(&site, 0, 4, 6)};
    static const bool usable[] = {false, true, false, true, false};
    const char *met;
    aw_link links[5];
    aw_scene *scene = aw_scene_create(&site);
    aw_links_at(scene, spot, links);
    for (int i = 0; i < 5; i++)
        ck_assert_msg((links[i].n_outcomes > 0) == usable[i], "%s", site.anchors[i].name);
    ck_assert_uint_eq(aw_scene_crossed(scene, spot, site.anchors[0].at, &met), 1);
    ck_assert_str_eq(met, "wheel pit");
    /* 2 of 3.5 m lie before the edge. */
    ck_assert_double_eq_tol(aw_scene_clear_share(scene, spot, site.anchors[0].at), 2 / 3.5, 1e-9);
    aw_scene_free(scene);
}
END_TEST

/* The line leaves the pit at its edge, x = 6, in a height that is linear in the anchor's: it is
 * free exactly from the floor up. */
START_TEST(the_ground_hides_up_to_the_floor_and_no_further)
{
    const double spot[3] = {4, 6, -0.9};
    for (double over = -0.2; over < 0.2; over += 0.013) {
        const double at_edge = over, far[3] = {10, 6, spot[2] + (at_edge - spot[2]) * 3};
        const double share = aw_pit_meet(&site, spot, far).share;
        const double back = aw_pit_meet(&site, far, spot).share;
        ck_assert(isinf(share) == (over >= 0) && isinf(back) == (over >= 0));
        if (over < 0) {
            ck_assert_double_eq_tol(share, 1.0 / 3, 1e-12);
            ck_assert_double_eq_tol(back, 2.0 / 3, 1e-12);
        }
    }
}
END_TEST

START_TEST(a_step_inside_a_pit_hides_too)
{
    /* From the sump's floor, 0.3 m over it, to the far side of the pit at the pit's own floor. */
    const double sump[3] = {3.5, 3.5, -1.7}, across[3] = {3.5, 9, -1.39};
    const aw_pit_edge met = aw_pit_meet(&site, sump, across);
    ck_assert_str_eq(met.level->name, "sump");
    const double above[3] = {3.5, 9, 2};
    ck_assert(isinf(aw_pit_meet(&site, sump, above).share));
}
END_TEST

START_TEST(a_gallery_is_open_underneath)
{
    const double under[3] = {15, 10, 1}, beyond[3] = {29, 10, 2};
    ck_assert(isinf(aw_pit_meet(&site, under, beyond).share));
}
END_TEST

/* The share by marching along the line: the first place below the floor there. */
START_TEST(the_share_is_where_a_march_along_the_line_meets_ground)
{
    uint64_t state = 44;
    size_t hidden = 0;
    for (int k = 0; k < 400; k++) {
        const double a[3] = {test_between(&state, 2.1, 5.9), test_between(&state, 2.1, 9.9),
                             test_between(&state, -1.3, 0)};
        const double b[3] = {test_between(&state, 0, 19.9), test_between(&state, 0, 20),
                             test_between(&state, 0.1, 7)};
        double met = HUGE_VAL;
        if (a[2] < aw_floor_at(&site, a[0], a[1]) || b[2] < aw_floor_at(&site, b[0], b[1]))
            continue;
        for (int i = 0; i <= 40000 && isinf(met); i++) {
            const double t = i / 40000.0, x = a[0] + t * (b[0] - a[0]),
                         y = a[1] + t * (b[1] - a[1]);
            if (a[2] + t * (b[2] - a[2]) < aw_floor_at(&site, x, y))
                met = t;
        }
        const double share = aw_pit_meet(&site, a, b).share;
        ck_assert_msg(isinf(share) == isinf(met) || share > 0.9999, "%d: %g %g", k, share, met);
        if (!isinf(met) && !isinf(share))
            ck_assert_double_eq_tol(share, met, 1e-4);
        hidden += !isinf(share);
    }
    ck_assert_uint_gt(hidden, 50);
}
END_TEST

static void run_map(const char *yaml, aw_scenario *s, aw_map *map)
{
    aw_errors errors = {0};
    aw_grid grid;
    read_text(s, yaml);
    ck_assert(aw_grid_lay(&grid, s, 0, &errors));
    const aw_map_plan plan = {.scenario = s, .groups = 1};
    ck_assert(aw_map_run(map, &grid, &plan, &(aw_run){2, NULL, &errors}));
    aw_errors_free(&errors);
}

/* Every cell of every layer, to the bit. */
START_TEST(a_level_without_a_difference_makes_none)
{
    static const char plain[] =
        "anchorwise: 1\ntitle: Hall\nfloor: {outline: [[0, 0], [20, 0], [20, 12], [0, 12]], "
        "ceiling: "
        "6}\n%s"
        "obstacles: [{name: rack, footprint: [[8, 3], [12, 3], [12, 4], [8, 4]], top: 4, material: "
        "metal}]\n"
        "anchors:\n  - {name: A, at: [0, 0, 5]}\n  - {name: B, at: [20, 0, 4]}\n"
        "  - {name: C, at: [20, 12, 5]}\n  - {name: D, at: [0, 12, 4]}\n  - {name: E, at: [9, 12, "
        "5]}\n"
        "study: {step: 1, draws: 300}\n";
    static const char level[] =
        "levels: [{name: yard, outline: [[3, 2], [15, 2], [15, 9], [3, 9]], height: 0}]\n";
    char text[2][2000];
    aw_scenario s[2];
    aw_map map[2];
    for (int i = 0; i < 2; i++) {
        snprintf(text[i], sizeof text[i], plain, i == 0 ? "" : level);
        run_map(text[i], &s[i], &map[i]);
    }
    ck_assert_uint_eq(map[0].grid.n, map[1].grid.n);
    ck_assert_mem_eq(map[0].value, map[1].value, map[0].grid.n * AW_LAYERS * sizeof *map[0].value);
    for (int i = 0; i < 2; i++) {
        aw_map_free(&map[i]);
        aw_scenario_free(&s[i]);
    }
}
END_TEST

/* Rows of cells and single spots agree to the bit across a pit's edge. */
START_TEST(rows_and_spots_agree_across_levels)
{
    aw_errors errors = {0};
    aw_grid grid;
    aw_link by_row[5], by_spot[5];
    aw_scene *scene = aw_scene_create(&site);
    aw_shadows *shadows = aw_shadows_create(scene);
    ck_assert(lay_at(&grid, &site, 0.5, &errors));
    for (size_t i = 0; i < grid.n; i++) {
        const aw_point at = aw_grid_centre(&grid, grid.number[i]);
        const double spot[3] = {at.x, at.y, aw_tag_at(&site, 0, at.x, at.y)};
        aw_cell_links(shadows, &grid, grid.number[i], spot[2], by_row);
        aw_links_at(scene, spot, by_spot);
        for (int k = 0; k < 5; k++) {
            ck_assert_uint_eq(by_row[k].n_outcomes, by_spot[k].n_outcomes);
            ck_assert(by_row[k].loss_db == by_spot[k].loss_db &&
                      by_row[k].range == by_spot[k].range);
        }
    }
    aw_grid_free(&grid);
    aw_shadows_free(shadows);
    aw_scene_free(scene);
}
END_TEST

static TCase *levels_case(void)
{
    TCase *tc = tcase_create("levels");
    tcase_add_checked_fixture(tc, read_site, free_site);
    tcase_add_test(tc, a_tag_stands_on_the_floor_where_it_is);
    tcase_add_test(tc, a_zone_under_a_level_is_known);
    tcase_add_test(tc, from_a_pit_low_anchors_are_hidden_and_high_ones_are_not);
    tcase_add_test(tc, the_ground_hides_up_to_the_floor_and_no_further);
    tcase_add_test(tc, a_step_inside_a_pit_hides_too);
    tcase_add_test(tc, a_gallery_is_open_underneath);
    tcase_add_test(tc, the_share_is_where_a_march_along_the_line_meets_ground);
    tcase_add_test(tc, a_level_without_a_difference_makes_none);
    tcase_add_test(tc, rows_and_spots_agree_across_levels);
    return tc;
}

AW_TEST_MAIN("levels", levels_case())
