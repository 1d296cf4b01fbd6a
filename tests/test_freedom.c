/* Freedom to mount: what is inside holds and what is just outside fails, both by assessing the
 * layout with the anchor moved there, which the study never sees. */
#include "links.h"

#define FLOOR_IN(cells)                                                                            \
    "anchorwise: 1\ntitle: T\nfloor: {outline: [[0,0],[24,0],[24,15],[0,15]], ceiling: 6}\n"       \
    "obstacles:\n  - {name: press, footprint: [[8,5],[13,5],[13,8],[8,8]], top: 3, material: "     \
    "metal}\n"                                                                                     \
    "tags:\n  - {name: t, height: 1.1}\n"                                                          \
    "study: {step: " cells ", seed: 4, margin: 1, odds: 0.9}\nanchors:\n"                          \
    "  - {name: A1, at: [2, 2.5, 5]}\n"                                                            \
    "  - {name: A2, at: [21.5, 1.5, 4.6]}\n"                                                       \
    "  - {name: A3, at: [22, 13.5, 5.2]}\n"                                                        \
    "  - {name: A4, at: [2.5, 13, 5.1]}\n"                                                         \
    "  - {name: A5, at: [12.2, 13.6, 5.6]}\n"
#define FLOOR   FLOOR_IN("1, draws: 320")
#define RANGING "ranging: {sigma: 0.09, spot_sigma: 0.15, range: 26"
#define BENCH   RANGING "}\n"
#define SITE    RANGING ", survey_sigma: 0.02, delay_sigma: 0.02}\n"
#define WEST    "  - {name: west, outline: [[1,1],[7,1],[7,14],[1,14]], need: {p95: 0.58}}\n"
#define BAY     "  - {name: bay, outline: [[2,4],[6,4],[6,10],[2,10]], need: {p95: 0.57}}\n"
#define EAST                                                                                       \
    "  - {name: east, outline: [[16,2],[23,2],[23,13],[16,13]], need: {p95: 0.43, share: 0.6}}\n"

static void run(aw_freedoms *f, aw_scenario *s, const char *yaml, size_t anchor, unsigned threads)
{
    aw_errors errors = {0};
    read_text(s, yaml);
    ck_assert(aw_freedom_run(f, s, anchor == SIZE_MAX ? s->n_anchors : anchor, 3,
                             &(aw_run){threads, NULL, &errors}));
    ck_assert_uint_eq(errors.n_errors, 0);
}

/* The layout with the anchor elsewhere, assessed. */
static aw_zone_result assess_moved(const aw_scenario *s, size_t anchor, const double to[3],
                                   size_t zone)
{
    aw_varied moved = aw_vary(s);
    aw_errors errors = {0};
    aw_zone_result r;
    ck_assert(aw_varied_move_anchor(&moved, anchor, to));
    ck_assert(aw_assess_zone(&r, &moved.scenario, &s->zones[zone], &(aw_run){2, NULL, &errors}));
    aw_varied_free(&moved);
    return r;
}

/* AW_WHOLE=1 makes all moves, and more of each kind. */
static bool is_whole(void)
{
    return getenv("AW_WHOLE") != NULL;
}

static uint64_t state = 12345;

/* Somewhere evenly in the region, or (one in four) in the band of heights. */
static void move_inside(const aw_freedoms *all, const aw_freedom *f, const aw_scenario *s,
                        double to[3])
{
    const double *at = s->anchors[f->anchor].at;
    memcpy(to, at, 3 * sizeof *to);
    if (test_uniform(&state) < 0.25 || f->area == 0) {
        to[2] = f->low + test_uniform(&state) * (f->high - f->low);
        return;
    }
    do {
        to[0] = at[0] + (2 * test_uniform(&state) - 1) * all->reach;
        to[1] = at[1] + (2 * test_uniform(&state) - 1) * all->reach;
    } while (!aw_freedom_holds(all, f, s, (aw_point){to[0], to[1]}));
}

static void check_moves_inside(const char *yaml, int moves)
{
    aw_scenario s;
    aw_freedoms f;
    run(&f, &s, yaml, SIZE_MAX, 2);
    ck_assert_uint_eq(f.n, s.n_anchors);
    ck_assert_uint_eq(f.n_kept, s.n_zones);
    for (int k = 0; k < moves; k++) {
        const aw_freedom *one = &f.list[(size_t)k % f.n];
        double to[3];
        move_inside(&f, one, &s, to);
        for (size_t zone = 0; zone < s.n_zones; zone++) {
            const aw_zone_result r = assess_moved(&s, one->anchor, to, zone);
            ck_assert_msg(r.verdict != AW_NOT_MET, "%s at (%.3f, %.3f, %.3f): p95 %.4f share %.3f",
                          s.anchors[one->anchor].name, to[0], to[1], to[2], r.errors.p95,
                          r.parts[AW_PART_SHARE].found.value);
        }
    }
    aw_freedom_free(&f);
    aw_scenario_free(&s);
}

START_TEST(random_moves_inside_the_regions_fail_no_need)
{
    check_moves_inside(FLOOR BENCH "zones:\n" WEST EAST, is_whole() ? 200 : 100);
}
END_TEST

START_TEST(moves_inside_keep_the_odds_too)
{
    check_moves_inside(is_whole() ? FLOOR SITE "zones:\n" WEST
                                  : FLOOR_IN("2, draws: 100") SITE "zones:\n" BAY,
                       is_whole() ? 20 : 5);
}
END_TEST

/* Links that come and go: a weak radio, behind a press and with walls beyond reach for many. */
START_TEST(moves_inside_hold_under_a_radio_and_in_a_pit_too)
{
    check_moves_inside(FLOOR "radio: {receiver: {sensitivity_dbm: -101}}\n"
                             "levels: [{name: pit, outline: [[3,3],[5,3],[5,9],[3,9]], height: "
                             "-1}]\n"
                             "ranging: {spot_sigma: 0.15}\nzones:\n"
                             "  - {name: west, outline: [[1,1],[7,1],[7,14],[1,14]], need: {p95: "
                             "0.46, fix_share: 0.985}}\n",
                       is_whole() ? 40 : 20);
}
END_TEST

/* The part that is named fails at the first place beyond, by draws of its own; each region has an
 * end that is a need's, else the test would show nothing. */
START_TEST(just_outside_the_need_that_is_named_fails)
{
    aw_scenario s;
    aw_freedoms f;
    size_t needs = 0, sure = 0;
    run(&f, &s, FLOOR BENCH "zones:\n" WEST EAST, SIZE_MAX, 2);
    for (size_t i = 0; i < f.n; i++)
        for (int side = 0; side < AW_SIDES; side++) {
            const aw_limit *l = &f.list[i].sides[side];
            if (l->kind != AW_LIMIT_NEED)
                continue;
            needs++;
            const aw_zone_result r = assess_moved(&s, f.list[i].anchor, l->beyond, l->zone);
            const aw_part_result *p = &r.parts[l->part];
            const double cell = 1 / (double)r.errors.cells;
            ck_assert_double_eq(p->found.value, l->found.value);
            ck_assert(!l->in_hand || l->part == AW_PART_SHARE);
            if (l->in_hand)
                ck_assert_double_lt(p->found.value, p->asked + cell + 1e-9);
            else if (l->part == AW_PART_SHARE)
                ck_assert_double_lt(p->found.value, p->asked);
            else
                ck_assert_double_gt(p->found.value, p->asked);
            ck_assert_int_eq(p->verdict, l->verdict);
            sure += p->verdict == AW_NOT_MET;
        }
    ck_assert_uint_ge(needs, 6);
    ck_assert_uint_ge(sure, 1);
    aw_freedom_free(&f);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(regions_are_the_same_for_any_number_of_threads_and_for_one_anchor_alone)
{
    aw_scenario s, t;
    aw_freedoms f, g;
    run(&f, &s, FLOOR BENCH "zones:\n" WEST, SIZE_MAX, 1);
    run(&g, &t, FLOOR BENCH "zones:\n" WEST, 3, 3);
    ck_assert_uint_eq(g.n, 1);
    ck_assert_uint_eq(g.list[0].anchor, 3);
    ck_assert(memcmp(f.list[3].square, g.list[0].square, sizeof f.list[3].square) == 0);
    ck_assert_double_eq(f.list[3].low, g.list[0].low);
    ck_assert_double_eq(f.list[3].high, g.list[0].high);
    for (int side = 0; side < AW_SIDES; side++) {
        ck_assert_int_eq(f.list[3].sides[side].kind, g.list[0].sides[side].kind);
        ck_assert_double_eq(f.list[3].sides[side].distance, g.list[0].sides[side].distance);
    }
    aw_freedom_free(&f);
    aw_freedom_free(&g);
    aw_scenario_free(&s);
    aw_scenario_free(&t);
}
END_TEST

/* Out of range of every tag, it serves nobody: all that ends its freedom is the house. By hand: 3 m
 * in squares of 0.375 m; 2 m from the outline west are five squares, up to a ceiling 1 m above two.
 */
START_TEST(an_anchor_that_nobody_hears_is_held_by_the_house_alone)
{
    aw_scenario s;
    aw_freedoms f;
    run(&f, &s,
        "anchorwise: 1\ntitle: T\nfloor: {outline: [[0,0],[90,0],[90,9],[0,9]], ceiling: 6}\n"
        "ranging: {range: 20}\nstudy: {step: 1, draws: 64, margin: 1}\nanchors:\n"
        "  - {name: A, at: [70, 0.5, 4]}\n  - {name: B, at: [89, 0.5, 4]}\n"
        "  - {name: C, at: [80, 8.5, 4]}\n  - {name: far, at: [2, 4.5, 5]}\n"
        "zones:\n  - {name: z, outline: [[76,2],[84,2],[84,7],[76,7]], need: {p95: 1}}\n",
        3, 1);
    ck_assert_int_eq(f.list[0].sides[AW_SIDE_EAST].kind, AW_LIMIT_REACH);
    ck_close(f.list[0].sides[AW_SIDE_EAST].distance, 3, 1e-12);
    ck_assert_int_eq(f.list[0].sides[AW_SIDE_WEST].kind, AW_LIMIT_OUTLINE);
    ck_close(f.list[0].sides[AW_SIDE_WEST].distance, 5 * 0.375, 1e-12);
    ck_assert_int_eq(f.list[0].sides[AW_SIDE_UP].kind, AW_LIMIT_OUTLINE);
    ck_close(f.list[0].high, 5 + 2 * 0.375, 1e-12);
    ck_close(f.list[0].area, (8 + 5) * 16 * 0.375 * 0.375, 1e-9);
    aw_freedom_free(&f);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(no_region_reaches_into_an_obstacle_or_beside_another_anchor)
{
    aw_scenario s;
    aw_freedoms f;
    run(&f, &s,
        "anchorwise: 1\ntitle: T\nfloor: {outline: [[0,0],[20,0],[20,12],[0,12]], ceiling: 6}\n"
        "obstacles:\n  - {name: post, footprint: [[5.1,5.1],[5.2,5.1],[5.2,5.2],[5.1,5.2]], "
        "material: air}\n"
        "study: {step: 1, draws: 64, margin: 1}\nanchors:\n"
        "  - {name: A, at: [4, 4, 4]}\n  - {name: B, at: [19, 0.5, 4]}\n"
        "  - {name: C, at: [10, 11.5, 4]}\n  - {name: D, at: [6, 3, 4]}\n"
        "zones:\n  - {name: z, outline: [[8,4],[12,4],[12,8],[8,8]], need: {p95: 9}}\n",
        0, 1);
    for (int k = 0; k < 4000; k++) {
        const aw_point p = {1 + 6 * test_uniform(&state), 1 + 6 * test_uniform(&state)};
        if (!aw_freedom_holds(&f, &f.list[0], &s, p))
            continue;
        ck_assert_double_ge(hypot(p.x - 6, p.y - 3), 1 - 0.1);
    }
    /* The post is thinner than the samples' distance. */
    ck_assert(!aw_freedom_holds(&f, &f.list[0], &s, (aw_point){5.15, 5.15}));
    ck_assert(aw_freedom_holds(&f, &f.list[0], &s, (aw_point){3, 3}));
    aw_freedom_free(&f);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(a_forbidden_area_ends_region_and_band)
{
    aw_scenario s;
    aw_freedoms f;
    run(&f, &s,
        FLOOR BENCH
        "candidates: {forbidden: [{name: crane way, outline: [[3,0],[6,0],[6,15],[3,15]]"
        ", base: 4, top: 6}, {name: duct, outline: [[0,0],[3,0],[3,6],[0,6]], base: 2, "
        "top: 4}]}\nzones:\n" WEST,
        0, 2);
    ck_assert_int_eq(f.list[0].sides[AW_SIDE_EAST].kind, AW_LIMIT_FORBIDDEN);
    ck_assert_double_lt(2 + f.list[0].sides[AW_SIDE_EAST].distance, 3);
    ck_assert_int_eq(f.list[0].sides[AW_SIDE_DOWN].kind, AW_LIMIT_FORBIDDEN);
    ck_assert_double_gt(f.list[0].low, 4);
    aw_freedom_free(&f);
    aw_scenario_free(&s);
}
END_TEST

/* Which side of its line an outline counts to is a matter of code, not of walls. */
START_TEST(anchors_on_opposite_walls_have_the_same_freedom)
{
    aw_scenario s;
    aw_freedoms f;
    aw_errors errors = {0};
    read_text(&s, "anchorwise: 1\ntitle: T\nfloor: {outline: [[0,0],[24,0],[24,12],[0,12]], "
                  "ceiling: 6}\nanchors:\n  - {name: W, at: [0, 6, 5]}\n  - {name: E, at: [24, 6, "
                  "5]}\n  - {name: S, at: [12, 0, 4]}\n  - {name: N, at: [12, 12, 4]}\nstudy: "
                  "{step: 2, draws: 100}\nranging: {sigma: 0.1}\nzones: [{name: z, outline: "
                  "[[2,2],[22,2],[22,10],[2,10]], need: {p95: 2}}]\n");
    ck_assert(aw_freedom_run(&f, &s, s.n_anchors, 2, &(aw_run){2, NULL, &errors}));
    for (size_t pair = 0; pair < 4; pair += 2) {
        ck_assert_double_eq(f.list[pair].area, 2); /* 2 m either way along the wall, 0.5 m deep */
        ck_assert_double_eq(f.list[pair].area, f.list[pair + 1].area);
        ck_assert_double_eq(f.list[pair].low, f.list[pair + 1].low);
    }
    aw_freedom_free(&f);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(needs_that_are_not_met_today_are_left_out)
{
    aw_scenario s;
    aw_freedoms f;
    run(&f, &s,
        FLOOR BENCH "zones:\n" WEST
                    "  - {name: vain, outline: [[8,9],[14,9],[14,12],[8,12]], need: {p95: 0.01}}\n",
        0, 1);
    ck_assert(f.kept[0] && !f.kept[1]);
    ck_assert_uint_eq(f.n_kept, 1);
    aw_freedom_free(&f);
    aw_scenario_free(&s);
    run(&f, &s,
        FLOOR BENCH "zones:\n  - {name: vain, outline: [[8,9],[14,9],[14,12],[8,12]], need: {p95: "
                    "0.01}}\n",
        0, 1);
    ck_assert_uint_eq(f.n_kept, 0);
    ck_assert_uint_eq(f.n, 0);
    aw_freedom_free(&f);
    aw_scenario_free(&s);
}
END_TEST

static TCase *freedoms(void)
{
    TCase *tc = tcase_create("freedoms");
    tcase_add_test(tc, random_moves_inside_the_regions_fail_no_need);
    tcase_add_test(tc, moves_inside_keep_the_odds_too);
    tcase_add_test(tc, moves_inside_hold_under_a_radio_and_in_a_pit_too);
    tcase_add_test(tc, just_outside_the_need_that_is_named_fails);
    tcase_add_test(tc, regions_are_the_same_for_any_number_of_threads_and_for_one_anchor_alone);
    tcase_add_test(tc, an_anchor_that_nobody_hears_is_held_by_the_house_alone);
    tcase_add_test(tc, no_region_reaches_into_an_obstacle_or_beside_another_anchor);
    tcase_add_test(tc, needs_that_are_not_met_today_are_left_out);
    tcase_add_test(tc, a_forbidden_area_ends_region_and_band);
    tcase_add_test(tc, anchors_on_opposite_walls_have_the_same_freedom);
    return tc;
}

AW_TEST_MAIN("freedom", freedoms())
