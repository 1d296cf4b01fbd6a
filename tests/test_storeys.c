/* Levels that one can stand under and levels that are solid, against the same site written by hand:
 * a slab as an obstacle over a flat floor, a tag as high as the level lifts it. */
#include "links.h"

#define HALL                                                                                       \
    "anchorwise: 1\ntitle: Bogie store\n"                                                          \
    "floor: {outline: [[0, 0], [30, 0], [30, 20], [0, 20]], ceiling: 9}\n"                         \
    "anchors:\n"                                                                                   \
    "  - {name: south west, at: [0.3, 0.3, 7]}\n  - {name: south east, at: [29.7, 0.3, 8]}\n"      \
    "  - {name: north east, at: [29.7, 19.7, 7]}\n  - {name: north west, at: [0.3, 19.7, 8]}\n"    \
    "  - {name: under west, at: [19, 0.4, 2.5]}\n  - {name: under east, at: [29.6, 19, 2.4]}\n"    \
    "  - {name: under north, at: [19.5, 19.6, 2.6]}\n  - {name: under south, at: [29, 0.3, "       \
    "2.2]}\n"                                                                                      \
    "ranging: {sigma: 0.1, spot_sigma: 0.15}\nstudy: {step: 1, draws: 128}\n"

#define SLAB                                                                                       \
    HALL "levels: [{name: gallery, outline: [[18, 0], [30, 0], [30, 20], [18, 20]], height: 3.5, " \
         "slab: {thickness: 0.25, material: metal}}]\n"
#define BY_HAND                                                                                    \
    HALL "obstacles: [{name: slab, footprint: [[18, 0], [30, 0], [30, 20], [18, 20]], base: "      \
         "3.25, top: 3.5, material: metal}]\n"
#define ZONE(more)                                                                                 \
    "zones: [{name: bench, outline: [[19, 2], [28, 2], [28, 18], [19, 18]], need: {p95: 0.5, "     \
    "share: 0.9}" more "}]\n"

static void check_same(const aw_zone_result *a, const aw_zone_result *b)
{
    ck_assert_uint_eq(a->errors.cells, b->errors.cells);
    ck_assert(a->errors.p50 == b->errors.p50 && a->errors.p95 == b->errors.p95);
    ck_assert(a->errors.fix_share == b->errors.fix_share);
    ck_assert(a->verdict == b->verdict);
}

/* Assesses the only zone of two texts and holds one against the other. */
static void check_pair(const char *text, const char *by_hand)
{
    aw_errors errors = {0};
    aw_scenario s[2];
    aw_assessment a[2] = {0};
    read_text(&s[0], text);
    read_text(&s[1], by_hand);
    for (int i = 0; i < 2; i++)
        ck_assert(aw_assess_run(&a[i], &s[i], &(aw_run){2, NULL, &errors}));
    check_same(&a[0].zones[0], &a[1].zones[0]);
    for (int i = 0; i < 2; i++) {
        aw_assessment_free(&a[i]);
        aw_scenario_free(&s[i]);
    }
    aw_errors_free(&errors);
}

START_TEST(under_a_slab_figures_are_those_of_a_hall_with_the_slab_in_it)
{
    check_pair(SLAB ZONE(", level: floor"), BY_HAND ZONE(""));
}
END_TEST

START_TEST(on_a_slab_figures_are_those_of_a_tag_as_high)
{
    check_pair(SLAB "tags: [{name: cart, height: 1}]\n" ZONE(""),
               BY_HAND "tags: [{name: cart, height: 4.5}]\n" ZONE(""));
    check_pair(SLAB "tags: [{name: cart, height: 1}]\n" ZONE(", level: gallery"),
               BY_HAND "tags: [{name: cart, height: 4.5}]\n" ZONE(""));
}
END_TEST

START_TEST(two_storeys_of_one_place_are_two_tags_and_two_figures)
{
    aw_errors errors = {0};
    aw_scenario s;
    aw_assessment a = {0};
    read_text(&s, SLAB "zones:\n  - {name: upper, outline: [[19, 2], [28, 2], [28, 18], [19, 18]], "
                       "need: {p95: 9}}\n"
                       "  - {name: lower, outline: [[19, 2], [28, 2], [28, 18], [19, 18]], need: "
                       "{p95: 9}, level: floor}\n"
                       "  - {name: lower too, outline: [[20, 2], [28, 2], [28, 18], [20, 18]], "
                       "need: {p95: 9}, level: floor}\n");
    ck_assert_uint_eq(s.n_tags, 2);
    ck_assert_str_eq(s.tags[1].name, "tag on the floor");
    ck_assert(s.zones[1].tag == 1 && s.zones[2].tag == 1 && s.zones[0].tag == 0);
    ck_assert(aw_tag_at(&s, 0, 24, 10) == 3.5 + s.tags[0].height);
    ck_assert(aw_tag_at(&s, 1, 24, 10) == s.tags[0].height);
    ck_assert(aw_tag_at(&s, 1, 4, 10) == aw_tag_at(&s, 0, 4, 10));
    ck_assert(aw_assess_run(&a, &s, &(aw_run){2, NULL, &errors}));
    ck_assert(a.zones[0].errors.p95 != a.zones[1].errors.p95);
    aw_assessment_free(&a);
    aw_scenario_free(&s);
}
END_TEST

#define DOCK                                                                                       \
    HALL "levels: [{name: dock, outline: [[18, 0], [24, 0], [24, 20], [18, 20]], height: 2}]\n"
#define BLOCK                                                                                      \
    HALL "obstacles: [{name: dock, footprint: [[18, 0], [24, 0], [24, 20], [18, 20]], base: 0, "   \
         "top: 2, material: concrete}]\n"
#define BEHIND                                                                                     \
    "zones: [{name: yard, outline: [[25, 1], [29, 1], [29, 19], [25, 19]], need: {p95: 1}}]\n"

START_TEST(a_level_without_a_slab_hides_what_lies_behind)
{
    check_pair(DOCK BEHIND, BLOCK BEHIND);
    aw_scenario s;
    read_text(&s, DOCK BEHIND);
    ck_assert(s.n_obstacles == 1 && s.obstacles[0].is_level && aw_named_obstacles(&s) == 0);
    ck_assert(s.obstacles[0].base == 0 && s.obstacles[0].top == 2);
    aw_scene *scene = aw_scene_create(&s);
    const char *met = NULL;
    ck_assert_uint_eq(aw_scene_crossed(scene, (double[3]){10, 10, 1}, (double[3]){29, 10, 1}, &met),
                      1);
    ck_assert_str_eq(met, "dock");
    ck_assert_uint_eq(
        aw_scene_crossed(scene, (double[3]){10, 10, 2.1}, (double[3]){29, 10, 2.1}, &met), 0);
    aw_scene_free(scene);
    aw_scenario_free(&s);
}
END_TEST

/* A plinth on a mezzanine is solid down to the mezzanine, and one can still stand under both. */
START_TEST(a_plinth_is_solid_down_to_what_it_stands_on)
{
    aw_scenario s;
    read_text(&s, HALL
              "levels:\n"
              "  - {name: gallery, outline: [[18, 0], [30, 0], [30, 20], [18, 20]], height: 3.5, "
              "slab: {thickness: 0.25}}\n"
              "  - {name: plinth, outline: [[20, 2], [22, 2], [22, 4], [20, 4]], height: 4.1}\n"
              "zones: [{name: low, outline: [[19, 1], [29, 1], [29, 19], [19, 19]], level: "
              "floor}]\n");
    ck_assert_uint_eq(s.n_obstacles, 2);
    ck_assert(s.obstacles[1].base == 3.5 && s.obstacles[1].top == 4.1);
    ck_assert(aw_floor_at(&s, 21, 3) == 4.1 && aw_floor_at(&s, 25, 3) == 3.5);
    aw_scenario_free(&s);
}
END_TEST

/* With a radio: two that are both under the slab hear each other as in the hall without it, and
 * through it a metal slab lets nothing. */
START_TEST(a_slab_parts_storeys_and_leaves_each_its_own)
{
    static const double spot[3] = {24, 10, 1};
    aw_scenario s[2];
    aw_link links[2][8];
    read_text(&s[0], SLAB "radio: {scattered: false}\n" ZONE(", level: floor"));
    read_text(&s[1], HALL "radio: {scattered: false}\n");
    for (int i = 0; i < 2; i++) {
        aw_scene *scene = aw_scene_create(&s[i]);
        aw_links_at(scene, spot, links[i]);
        aw_scene_free(scene);
    }
    for (int k = 4; k < 8; k++)
        ck_assert(links[0][k].n_outcomes > 0 && links[0][k].outcomes[0].excess == 0 &&
                  links[1][k].outcomes[0].excess == 0);
    ck_assert(links[1][1].n_outcomes > 0 && links[1][1].outcomes[0].excess == 0);
    ck_assert(links[0][1].n_outcomes == 0 || links[0][1].outcomes[0].excess > 0.05);
    aw_scenario_free(&s[0]);
    aw_scenario_free(&s[1]);
}
END_TEST

/* Each zone on a level of its own: more tags than any site has are refused, not made. */
START_TEST(more_than_64_tags_on_levels_are_refused)
{
    for (int n = 64; n <= 65; n++) {
        aw_text text = {0};
        aw_errors errors = {0};
        aw_scenario s;
        aw_text_add(&text, HALL "levels:\n");
        for (int i = 0; i < n; i++)
            aw_text_format(&text,
                           "  - {name: l%d, outline: [[1, 1], [9, 1], [9, 9]], height: %g, slab: "
                           "{thickness: 0.01}}\n",
                           i, 1 + 0.05 * i);
        aw_text_add(&text, "zones:\n");
        for (int i = 0; i < n; i++)
            aw_text_format(
                &text, "  - {name: z%d, outline: [[1, 1], [9, 1], [9, 9]], level: l%d}\n", i, i);
        ck_assert(aw_scenario_parse(&s, text.at, text.n, &errors) == (n == 64));
        ck_assert_uint_eq(errors.n_errors, (size_t)(n - 64));
        bool told = n == 64;
        for (size_t i = 0; i < errors.n; i++)
            told = told || strstr(errors.list[i].text, "one more than 64 tags") != NULL;
        ck_assert(told);
        aw_scenario_free(&s);
        aw_errors_free(&errors);
        aw_text_free(&text);
    }
}
END_TEST

static TCase *storeys(void)
{
    TCase *tests = tcase_create("storeys");
    tcase_add_test(tests, under_a_slab_figures_are_those_of_a_hall_with_the_slab_in_it);
    tcase_add_test(tests, on_a_slab_figures_are_those_of_a_tag_as_high);
    tcase_add_test(tests, two_storeys_of_one_place_are_two_tags_and_two_figures);
    tcase_add_test(tests, a_level_without_a_slab_hides_what_lies_behind);
    tcase_add_test(tests, a_plinth_is_solid_down_to_what_it_stands_on);
    tcase_add_test(tests, a_slab_parts_storeys_and_leaves_each_its_own);
    tcase_add_test(tests, more_than_64_tags_on_levels_are_refused);
    return tests;
}

AW_TEST_MAIN("storeys", storeys())
