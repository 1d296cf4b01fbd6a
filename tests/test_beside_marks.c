/* Two layouts side by side: bearings, ellipses, marks and what is said of them. */
#include "draw/beside.h"
#include "draw/sheet.h"
#include "draw/rim.h"
#include "pairs.h"

/* Lines of an ink whose first point is at a place of the paper. */
static size_t count_from(const aw_sheet *sheet, aw_ink ink, aw_point from)
{
    size_t n = 0;
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *item = &sheet->items[i];
        n += item->kind == AW_ITEM_LINE && item->ink == ink && item->n_points == 2 &&
             hypot(item->at[0].x - from.x, item->at[0].y - from.y) < 1e-9;
    }
    return n;
}

static bool has_line(const aw_sheet *sheet, aw_ink ink, aw_point from, aw_point to)
{
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *item = &sheet->items[i];
        if (item->kind == AW_ITEM_LINE && item->ink == ink && item->n_points == 2 &&
            hypot(item->at[0].x - from.x, item->at[0].y - from.y) < 1e-9 &&
            hypot(item->at[1].x - to.x, item->at[1].y - to.y) < 1e-9)
            return true;
    }
    return false;
}

/* The gap is the widest of all between bearings that are heard, found here by trying every degree
 * that is a bearing. */
START_TEST(the_blind_arc_is_the_widest_gap)
{
    uint64_t state = 7;
    for (int run = 0; run < 200; run++) {
        aw_link links[8];
        const size_t n = 1 + (size_t)(test_uniform(&state) * 8) % 8;
        double widest = -1;
        for (size_t i = 0; i < n; i++) {
            const double bearing = test_between(&state, 0, 2 * M_PI);
            links[i] = (aw_link){.state = i == 0 || test_uniform(&state) < 0.7 ? AW_LINK_CLEAR
                                                                               : AW_LINK_LOST,
                                 .to_anchor = {sin(bearing), cos(bearing), 0}};
        }
        for (size_t i = 0; i < n; i++) {
            double next = 2 * M_PI;
            for (size_t k = 0; k < n && links[i].state != AW_LINK_LOST; k++) {
                const double turn = atan2(links[k].to_anchor[0], links[k].to_anchor[1]) -
                                    atan2(links[i].to_anchor[0], links[i].to_anchor[1]);
                const double ahead = fmod(turn + 4 * M_PI, 2 * M_PI);
                if (k != i && links[k].state != AW_LINK_LOST)
                    next = fmin(next, ahead);
            }
            widest = links[i].state != AW_LINK_LOST ? fmax(widest, next) : widest;
        }
        ck_assert_double_eq_tol(aw_gap_of(links, n).wide, widest, 1e-9);
    }
}
END_TEST

/* Every link of a layout as its bearing: to the anchor where it is usable. */
static void check_bearings(const aw_sheet *sheet, const aw_scenario *s, const aw_beside *what,
                           const aw_item *floor)
{
    const double mm = 1000 / stated_scale(sheet);
    const double spot[3] = {what->spot.x, what->spot.y, s->tags[what->tag].height};
    const aw_point from = on_paper(s, floor, mm, spot[0], spot[1]);
    aw_link links[MOST];
    size_t of[AW_LINK_LOST + 1] = {0}, hidden = 0;
    aw_scene *scene = aw_scene_create(s);
    aw_links_at(scene, spot, links);
    for (size_t k = 0; k < s->n_anchors; k++)
        hidden += links[k].state == AW_LINK_LOST &&
                  aw_scene_clear_share(scene, spot, s->anchors[k].at) < 1;
    aw_scene_free(scene);
    for (size_t k = 0; k < s->n_anchors; k++) {
        const aw_point to = on_paper(s, floor, mm, s->anchors[k].at[0], s->anchors[k].at[1]);
        of[links[k].state]++;
        if (links[k].state != AW_LINK_LOST)
            ck_assert_msg(
                has_line(sheet,
                         links[k].state == AW_LINK_CLEAR ? AW_INK_HEARD : AW_INK_HEARD_THROUGH,
                         from, to),
                "no bearing to %s", s->anchors[k].name);
    }
    ck_assert_uint_eq(count_from(sheet, AW_INK_HEARD, from), of[AW_LINK_CLEAR]);
    ck_assert_uint_eq(count_from(sheet, AW_INK_HEARD_THROUGH, from), of[AW_LINK_THROUGH]);
    ck_assert_uint_eq(count_from(sheet, AW_INK_HIDDEN, from), hidden);
}

START_TEST(each_panel_has_the_bearings_of_its_layout)
{
    pair p;
    aw_sheet sheet;
    const aw_item *floors[2];
    const double tags[] = {0, 1};
    read_pair(&p, _i < 2 ? "tram-hall" : "l-hall", _i < 2 ? 65 : 12, _i < 2 ? 30 : 10);
    p.what.tag = _i < 2 ? (size_t)tags[_i] : 0;
    draw(&sheet, &p.what);
    find_floors(&sheet, floors);
    check_bearings(&sheet, &p.a, &p.what, floors[0]);
    check_bearings(&sheet, &p.b, &p.what, floors[1]);
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

/* Half the greatest extent of the ellipse round a place of the paper, mm. */
static double reach_of_ellipse(const aw_sheet *sheet, aw_point centre)
{
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *item = &sheet->items[i];
        double x = 0, y = 0, most = 0;
        if (item->ink != AW_INK_ELLIPSE || item->kind != AW_ITEM_LINE)
            continue;
        for (size_t k = 0; k < item->n_points; k++) {
            x += item->at[k].x / (double)item->n_points;
            y += item->at[k].y / (double)item->n_points;
            most = fmax(most, hypot(item->at[k].x - centre.x, item->at[k].y - centre.y));
        }
        if (hypot(x - centre.x, y - centre.y) < 1e-6)
            return most;
    }
    ck_abort_msg("no ellipse at the spot");
}

static double major_of(const aw_scenario *s, const aw_beside *what)
{
    const double spot[3] = {what->spot.x, what->spot.y, s->tags[what->tag].height};
    aw_link links[MOST];
    aw_scene *scene = aw_scene_create(s);
    aw_links_at(scene, spot, links);
    aw_scene_free(scene);
    const aw_bound bound = aw_bound_at(links, s->n_anchors, s->tags[what->tag].fix);
    return aw_bound_error_law(&bound, s->tags[what->tag].height_sigma).major;
}

START_TEST(both_ellipses_have_the_stated_magnification)
{
    static const double spots[4][2] = {{65, 30}, {40, 8}, {12, 10}, {30, 9}};
    static const char *const names[4] = {"tram-hall", "washing-shed", "l-hall", "crate-hall"};
    pair p;
    aw_sheet sheet;
    const aw_item *floors[2];
    double times = 1;
    read_pair(&p, names[_i], spots[_i][0], spots[_i][1]);
    draw(&sheet, &p.what);
    find_floors(&sheet, floors);
    const double mm = 1000 / stated_scale(&sheet);
    const char *stated = find_text(&sheet, "ellipse of 95 %")->text;
    ck_assert_int_eq(sscanf(stated, "ellipse of 95 %% drawn ×%lf", &times), 1);
    for (int k = 0; k < 2; k++) {
        const aw_scenario *s = k == 0 ? &p.a : &p.b;
        const aw_point at = on_paper(s, floors[k], mm, p.what.spot.x, p.what.spot.y);
        ck_close(reach_of_ellipse(&sheet, at), SIGMAS_95 * major_of(s, &p.what) * mm * times, 1e-6);
    }
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

static bool has_ink_above(const aw_sheet *sheet, aw_ink ink, double strip)
{
    for (size_t i = 0; i < sheet->n; i++)
        if (sheet->items[i].kind != AW_ITEM_TEXT && sheet->items[i].ink == ink &&
            sheet->items[i].n_points > 0 && sheet->items[i].at[0].y < strip)
            return true;
    return false;
}

START_TEST(the_legend_has_the_marks_that_are_drawn_and_no_others)
{
    static const struct {
        const char *text;
        aw_ink ink;
    } marks[] = {{"heard through it", AW_INK_HEARD_THROUGH},
                 {"lost, at what hides it", AW_INK_HIDDEN},
                 {"error ellipse", AW_INK_ELLIPSE},
                 {"border of a zone", AW_INK_ZONE}};
    pair p;
    aw_sheet sheet;
    read_pair(&p, scenarios[_i / 2], 3.1, 2.7);
    if (_i % 2 == 1)
        p.what.after.scenario = &p.a;
    draw(&sheet, &p.what);
    const double strip = find_text(&sheet, "MARKS")->low.y;
    for (size_t k = 0; k < sizeof marks / sizeof *marks; k++)
        ck_assert_msg(has_text(&sheet, marks[k].text) == has_ink_above(&sheet, marks[k].ink, strip),
                      "%s: %s", scenarios[_i / 2], marks[k].text);
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

/* 0.15 is the share under which measured layouts keep no order (compare.h). */
START_TEST(two_p95_too_near_each_other_to_be_ranked_are_said_to_be_near)
{
    pair p;
    aw_sheet sheet;
    read_pair(&p, "tram-hall", 65, 30);
    for (int near = 0; near <= 1; near++) {
        p.what.before.p95 = 1;
        p.what.after.p95 = near ? 0.86 : 0.84;
        draw(&sheet, &p.what);
        ck_assert_int_eq(has_text(&sheet, "less than 15 % apart"), near);
        aw_sheet_free(&sheet);
    }
    free_pair(&p);
}
END_TEST

START_TEST(bench_figures_of_either_layout_are_called_so)
{
    pair p;
    aw_sheet sheet;
    read_pair(&p, "tram-hall", 65, 30);
    for (int k = 0; k < 3; k++) {
        aw_scenario bench = k == 1 ? p.a : p.b;
        bench.ranging.spot_sigma = bench.ranging.tail_sigma = bench.ranging.survey_sigma =
            bench.ranging.delay_sigma = 0;
        p.what.before.scenario = k == 1 ? &bench : &p.a;
        p.what.after.scenario = k == 2 ? &bench : &p.b;
        draw(&sheet, &p.what);
        ck_assert_int_eq(has_text(&sheet, "BENCH FIGURES"), k > 0);
        ck_assert_int_eq(has_text(&sheet, "Site figures"), k == 0);
        aw_sheet_free(&sheet);
    }
    free_pair(&p);
}
END_TEST

START_TEST(a_spot_off_the_floor_is_refused)
{
    pair p;
    aw_sheet sheet;
    aw_errors errors = {0};
    read_pair(&p, "crate-hall", 119 * 0.3048, 30 * 0.3048);
    ck_assert(!aw_beside_draw(&sheet, &p.what, &errors));
    ck_assert_uint_eq(errors.n_errors, 1);
    ck_assert_str_eq(errors.list[0].text, "the spot 119,30 ft is off the floor");
    aw_sheet_free(&sheet);
    aw_errors_free(&errors);
    free_pair(&p);
}
END_TEST

START_TEST(the_same_input_gives_the_same_bytes_and_grey_has_no_colour)
{
    pair p;
    aw_errors errors = {0};
    aw_text svg[2] = {{0}};
    read_pair(&p, "tram-hall", 65, 30);
    p.what.options.grey = true;
    for (int k = 0; k < 2; k++) {
        aw_sheet sheet;
        draw(&sheet, &p.what);
        ck_assert(aw_sheet_svg(&sheet, &svg[k], &errors));
        aw_sheet_free(&sheet);
    }
    ck_assert_str_eq(svg[0].at, svg[1].at);
    size_t colours = 0;
    for (const char *at = svg[0].at; (at = strchr(at, '#')) != NULL; at++)
        if (strspn(at + 1, "0123456789abcdefABCDEF") >= 6) {
            ck_assert_msg(strncmp(at + 1, at + 3, 2) == 0 && strncmp(at + 3, at + 5, 2) == 0,
                          "%.7s", at);
            colours++;
        }
    ck_assert_uint_gt(colours, 5);
    aw_text_free(&svg[0]);
    aw_text_free(&svg[1]);
    free_pair(&p);
}
END_TEST

static TCase *beside(void)
{
    TCase *tc = tcase_create("beside marks");
    tcase_add_test(tc, the_blind_arc_is_the_widest_gap);
    tcase_add_loop_test(tc, each_panel_has_the_bearings_of_its_layout, 0, 3);
    tcase_add_loop_test(tc, both_ellipses_have_the_stated_magnification, 0, 4);
    tcase_add_loop_test(tc, the_legend_has_the_marks_that_are_drawn_and_no_others, 0,
                        2 * N_SCENARIOS);
    tcase_add_test(tc, two_p95_too_near_each_other_to_be_ranked_are_said_to_be_near);
    tcase_add_test(tc, bench_figures_of_either_layout_are_called_so);
    tcase_add_test(tc, a_spot_off_the_floor_is_refused);
    tcase_add_test(tc, the_same_input_gives_the_same_bytes_and_grey_has_no_colour);
    return tc;
}

AW_TEST_MAIN("beside marks", beside())
