/* Two layouts side by side: what stands in each panel and where, and what the words say of it. */
#include "draw/beside.h"
#include "draw/chart.h"
#include "draw/sheet.h"
#include "pairs.h"

START_TEST(no_two_texts_touch_on_any_floor_and_paper)
{
    for (int portrait = 0; portrait <= 1; portrait++) {
        pair p;
        aw_sheet sheet;
        const char *name = scenarios[_i / AW_PAPERS];
        read_pair(&p, name, 3.1, 2.7);
        p.what.options =
            (aw_chart_options){.paper = (aw_paper)(_i % AW_PAPERS), .portrait = portrait};
        draw(&sheet, &p.what);
        check_texts(&sheet, name);
        ck_assert_msg(!has_text(&sheet, "…"), "%s is cut", find_text(&sheet, "…")->text);
        ck_assert(has_text(&sheet, "° blind"));
        aw_sheet_free(&sheet);
        free_pair(&p);
    }
}
END_TEST

START_TEST(long_titles_and_captions_are_cut_and_touch_nothing)
{
    pair p;
    aw_sheet sheet;
    char title[400] = "", caption[400] = "";
    for (int i = 0; i < 30; i++) {
        strncat(title, "bogie works ", sizeof title - strlen(title) - 1);
        strncat(caption, "moved again ", sizeof caption - strlen(caption) - 1);
    }
    read_pair(&p, "tram-hall", 65, 30);
    p.a.title = title;
    p.what.before.caption = p.what.after.caption = caption;
    p.what.options.portrait = _i;
    draw(&sheet, &p.what);
    check_texts(&sheet, "long");
    ck_assert(has_text(&sheet, "1:"));
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

START_TEST(both_panels_have_the_stated_scale)
{
    for (int paper = AW_PAPER_A4; paper < AW_PAPERS; paper++) {
        pair p;
        aw_sheet sheet;
        const aw_item *floors[2];
        read_pair(&p, scenarios[_i], 3.1, 2.7);
        p.what.options.paper = (aw_paper)paper;
        draw(&sheet, &p.what);
        find_floors(&sheet, floors);
        const aw_polygon *o = &p.a.floor.outline;
        const double mm = 1000 / stated_scale(&sheet);
        for (int k = 0; k < 2; k++)
            for (size_t i = 0; i < o->n; i++) {
                const aw_point at = on_paper(&p.a, floors[k], mm, o->at[i].x, o->at[i].y);
                ck_close(floors[k]->at[i].x, at.x, 1e-12);
                ck_close(floors[k]->at[i].y, at.y, 1e-12);
            }
        aw_sheet_free(&sheet);
        free_pair(&p);
    }
}
END_TEST

START_TEST(panels_stand_side_by_side_or_on_a_sheet_upright_one_above_the_other)
{
    pair p;
    aw_sheet sheet;
    const aw_item *floors[2];
    read_pair(&p, "tram-hall", 65, 30);
    draw(&sheet, &p.what);
    find_floors(&sheet, floors);
    ck_assert_double_eq(floors[0]->at[0].y, floors[1]->at[0].y);
    ck_assert_double_gt(floors[1]->at[0].x, floors[0]->at[0].x + 100);
    aw_sheet_free(&sheet);
    p.what.options.portrait = true;
    draw(&sheet, &p.what);
    find_floors(&sheet, floors);
    ck_assert_double_eq(floors[0]->at[0].x, floors[1]->at[0].x);
    ck_assert_double_gt(floors[1]->at[0].y, floors[0]->at[0].y + 50);
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

/* 1.23 m are 120 cm by two figures. */
START_TEST(caption_and_figures_stand_over_their_window)
{
    static const char *const texts[2][3] = {{"As planned", "120 cm", "p95 (120 to 130)"},
                                            {"With the change", "71 cm", "p95 (67 to 75)"}};
    pair p;
    aw_sheet sheet;
    double tops[2], lefts[2], rights[2];
    size_t n = 0;
    read_pair(&p, "tram-hall", 65, 30);
    p.what.tag = 1;
    p.what.options = (aw_chart_options){.date = "2026-11-25", .revision = "C"};
    draw(&sheet, &p.what);
    for (size_t i = 0; i < sheet.n; i++)
        if (sheet.items[i].ink == AW_INK_NEAT && sheet.items[i].kind == AW_ITEM_LINE) {
            ck_assert_uint_lt(n, 2);
            lefts[n] = sheet.items[i].at[0].x;
            rights[n] = sheet.items[i].at[2].x;
            tops[n++] = sheet.items[i].at[0].y;
        }
    ck_assert_uint_eq(n, 2);
    for (int k = 0; k < 2; k++)
        for (int i = 0; i < 3; i++) {
            const aw_item *text = find_text(&sheet, texts[k][i]);
            ck_assert_double_ge(text->low.x, lefts[k] - 1);
            ck_assert_double_le(text->high.x, rights[k] + 1);
            ck_assert_double_lt(text->high.y, tops[k]);
        }
    ck_assert(has_text(&sheet, "4 of 18 heard, HDOP 2.4"));
    ck_assert(has_text(&sheet, "Tram overhaul hall"));
    ck_assert(has_text(&sheet, "spot (65.00, 30.00) m · bogie tag, 0.9 m, 2d fix"));
    ck_assert(has_text(&sheet, "2026-11-25"));
    ck_assert_uint_eq(count_texts(&sheet, "plan north"), 1);
    ck_assert_uint_eq(count_texts(&sheet, "MARKS"), 1);
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

/* 1.23 m are 48.4 in; 0.3048 m are a foot. */
START_TEST(a_site_in_feet_reads_in_feet_and_inches)
{
    pair p;
    aw_sheet sheet;
    read_pair(&p, "crate-hall", 110 * 0.3048, 30 * 0.3048);
    draw(&sheet, &p.what);
    ck_assert(has_text(&sheet, "48 in"));
    ck_assert(has_text(&sheet, "spot (110.00, 30.00) ft"));
    ck_assert(has_text(&sheet, "p95 (46 to 51)"));
    ck_assert(has_text(&sheet, "crate trolley, 3.3 ft"));
    ck_assert(!has_text(&sheet, " cm"));
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

/* A spot nearly in line with a row of anchors that has no others: its ellipse is long. */
START_TEST(a_huge_ellipse_stays_in_its_panel)
{
    pair p;
    aw_sheet sheet;
    double longest = 0;
    size_t panels = 0;
    read_pair(&p, "washing-shed", 3.1, 1.2);
    draw(&sheet, &p.what);
    for (size_t i = 1; i + 1 < sheet.n; i++) {
        const aw_item *item = &sheet.items[i], *clip = item - 1;
        if (item->ink != AW_INK_ELLIPSE || item->kind != AW_ITEM_LINE || clip->kind != AW_ITEM_CLIP)
            continue;
        for (size_t k = 0; k < item->n_points; k++)
            longest = fmax(longest, fabs(item->at[k].x - item->at[0].x));
        ck_assert_double_ge(clip->at[0].x, 0);
        ck_assert_double_le(clip->at[2].x, sheet.width);
        ck_assert_int_eq((item + 1)->kind, AW_ITEM_FREE);
        panels++;
    }
    ck_assert_uint_eq(panels, 2);
    ck_assert_double_gt(longest, 20);
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

START_TEST(what_is_not_known_is_not_said)
{
    pair p;
    aw_sheet sheet;
    read_pair(&p, "tram-hall", 65, 30);
    p.what.before.p95 = (double)NAN;
    p.what.after.p95_low = p.what.after.p95_high = (double)NAN;
    draw(&sheet, &p.what);
    ck_assert_uint_eq(count_texts(&sheet, "no p95"), 1);
    ck_assert_uint_eq(count_texts(&sheet, "71 cm"), 1);
    ck_assert(!has_text(&sheet, "In brackets"));
    aw_sheet_free(&sheet);
    /* Out of reach of every anchor but the nearest there is no position, hence no ellipse. */
    p.a.ranging.range = p.b.ranging.range = 9;
    draw(&sheet, &p.what);
    ck_assert(has_text(&sheet, "heard, no position"));
    ck_assert(!has_text(&sheet, "error ellipse"));
    for (size_t i = 0; i < sheet.n; i++)
        ck_assert_int_ne(sheet.items[i].ink, AW_INK_ELLIPSE);
    aw_sheet_free(&sheet);
    free_pair(&p);
}
END_TEST

static TCase *beside(void)
{
    TCase *tc = tcase_create("beside");
    tcase_add_loop_test(tc, no_two_texts_touch_on_any_floor_and_paper, 0, N_SCENARIOS * AW_PAPERS);
    tcase_add_loop_test(tc, long_titles_and_captions_are_cut_and_touch_nothing, 0, 2);
    tcase_add_loop_test(tc, both_panels_have_the_stated_scale, 0, N_SCENARIOS);
    tcase_add_test(tc, panels_stand_side_by_side_or_on_a_sheet_upright_one_above_the_other);
    tcase_add_test(tc, caption_and_figures_stand_over_their_window);
    tcase_add_test(tc, a_site_in_feet_reads_in_feet_and_inches);
    tcase_add_test(tc, a_huge_ellipse_stays_in_its_panel);
    tcase_add_test(tc, what_is_not_known_is_not_said);
    return tc;
}

AW_TEST_MAIN("beside", beside())
