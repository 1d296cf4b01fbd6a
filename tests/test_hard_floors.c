/* Four floors that are hard to draw: very long, very small, crowded with names of other scripts,
 * very large. Nothing touches, nothing is lost, whatever the paper. */
#include "report/stamp.h"
#include "sheets.h"

static const char long_floor[] =
    "anchorwise: 1\ntitle: Rope walk\nfloor: {outline: [[0, 0], [200, 0], [200, 12], [0, 12]], "
    "ceiling: 6}\nanchors:\n  - {name: R1, at: [1, 0.5, 5]}\n  - {name: R2, at: [40, 11.5, 5]}\n  "
    "- {name: R3, at: [80, 0.5, 5]}\n  - {name: R4, at: [120, 11.5, 5]}\n  - {name: R5, at: [160, "
    "0.5, 5]}\n  - {name: R6, at: [199, 11.5, 5]}\nzones: [{name: walk, outline: [[2, 3], [198, "
    "3], [198, 9], [2, 9]], need: {p95: 0.6}}]\nranging: {sigma: 0.1, range: 90}\nstudy: {step: 2, "
    "draws: 40}\n";
static const char small_floor[] =
    "anchorwise: 1\ntitle: Tool crib\nfloor: {outline: [[0, 0], [6, 0], [6, 5], [0, 5]], ceiling: "
    "3}\nanchors:\n  - {name: T1, at: [0.2, 0.2, 2.5]}\n  - {name: T2, at: [5.8, 0.2, 2.5]}\n  - "
    "{name: T3, at: [5.8, 4.8, 2.5]}\n  - {name: T4, at: [0.2, 4.8, 2]}\nzones: [{name: bench, "
    "outline: [[1, 1], [3, 1], [3, 2], [1, 2]], need: {p95: 0.3}}]\nranging: {sigma: 0.1}\nstudy: "
    "{step: 0.25, draws: 40}\n";
static const char large_floor[] =
    "anchorwise: 1\ntitle: Container yard\nfloor: {outline: [[0, 0], [400, 0], [400, 300], [0, "
    "300]], ceiling: 20}\nanchors:\n  - {name: M1, at: [5, 5, 15]}\n  - {name: M2, at: [395, 5, "
    "15]}\n  - {name: M3, at: [395, 295, 15]}\n  - {name: M4, at: [5, 295, 15]}\n  - {name: M5, "
    "at: [200, 150, 18]}\nzones: [{name: quay, outline: [[10, 10], [390, 10], [390, 60], [10, "
    "60]], need: {p95: 2}}]\nranging: {sigma: 0.1, range: 500}\nstudy: {step: 5, draws: 40}\n";

/* 80 anchors and 40 zones with Chinese and Arabic names. */
static void write_crowd(aw_text *out)
{
    static const char *const anchors[] = {"锚点", "مرساة ", "K", "K"};
    static const char *const zones[] = {"装配区", "منطقة التحميل", "仓库", "ورشة الطلاء", "Bay"};
    aw_text_add(out, "anchorwise: 1\ntitle: Hall of eighty\nfloor: {outline: [[0, 0], [120, 0], "
                     "[120, 70], [0, 70]], ceiling: 9}\nanchors:\n");
    for (int i = 0; i < 80; i++)
        aw_text_format(out, "  - {name: %s%d, at: [%.1f, %.1f, %.1f]}\n", anchors[i % 4], i + 1,
                       3 + i % 10 * 12.6, 3 + i / 10 * 9.1, i % 3 ? 6.2 : 5.5);
    aw_text_add(out, "zones:\n");
    for (int i = 0; i < 40; i++) {
        const double x = 2 + i % 8 * 14.6, y = 2 + i / 8 * 13.4;
        aw_text_format(out,
                       "  - {name: %s %d, outline: [[%.1f, %.1f], [%.1f, %.1f], [%.1f, %.1f], "
                       "[%.1f, %.1f]], need: {p95: 0.5, share: 0.9}}\n",
                       zones[i % 5], i + 1, x, y, x + 12, y, x + 12, y + 11, x, y + 11);
    }
    aw_text_add(out, "ranging: {sigma: 0.1, range: 40}\nstudy: {step: 4, draws: 40}\n");
}

#define FLOORS 4
static void read_floor(aw_scenario *s, int floor)
{
    static const char *const texts[] = {long_floor, small_floor, large_floor};
    aw_errors errors = {0};
    aw_text crowd = {0};
    if (floor == 3)
        write_crowd(&crowd);
    const char *text = floor == 3 ? crowd.at : texts[floor];
    ck_assert_msg(aw_scenario_parse(s, text, strlen(text), &errors), "%s", errors.list[0].text);
    aw_errors_free(&errors);
    aw_text_free(&crowd);
}

static void draw(aw_sheet *sheet, aw_scenario *s, aw_chart_options options)
{
    aw_errors errors = {0};
    options.layer = AW_LAYER_P95;
    options.assessed = true;
    aw_chart *chart = aw_chart_create(s, &options, &(aw_run){2, NULL, &errors});
    ck_assert_ptr_nonnull(chart);
    ck_assert(aw_chart_draw(sheet, chart, &errors));
    aw_chart_free(chart);
}

/* Whether a name stands whole in an ink's text. */
static bool is_named(const aw_sheet *sheet, aw_ink ink, const char *name)
{
    for (size_t i = 0; i < sheet->n; i++)
        if (sheet->items[i].kind == AW_ITEM_TEXT && sheet->items[i].ink == ink &&
            strcmp(sheet->items[i].text, name) == 0)
            return true;
    return false;
}

static const aw_paper papers[] = {AW_PAPER_A4, AW_PAPER_A3, AW_PAPER_A1};
#define N_PAPERS 3

START_TEST(nothing_touches_and_every_zone_and_anchor_is_listed)
{
    aw_scenario s;
    aw_sheet sheet;
    read_floor(&s, _i / N_PAPERS);
    draw(&sheet, &s, (aw_chart_options){.paper = papers[_i % N_PAPERS], .grey = _i % 2 == 1});
    check_texts(&sheet, s.title);
    for (size_t i = 0; i < s.n_zones; i++) {
        const char *letter = aw_zone_letter(i).text;
        ck_assert_msg(is_named(&sheet, AW_INK_TABLE_NAME, s.zones[i].name), "%s", s.zones[i].name);
        ck_assert_msg(is_named(&sheet, AW_INK_LETTER, letter) ||
                          is_named(&sheet, AW_INK_LETTER_MISSED, letter),
                      "%s", letter);
    }
    for (size_t i = 0; i < s.n_anchors; i++)
        ck_assert_msg(is_named(&sheet, AW_INK_TABLE_NAME, s.anchors[i].name), "%s",
                      s.anchors[i].name);
    aw_sheet_free(&sheet);
    aw_scenario_free(&s);
}
END_TEST

/* A table over a quarter of the frame's depth goes on behind: the first sheet says so, pages are of
 * one depth, and a PDF has as many. */
START_TEST(long_tables_have_a_sheet_of_their_own)
{
    aw_scenario s;
    aw_sheet sheet;
    aw_text pdf = {0};
    aw_errors errors = {0};
    read_floor(&s, 3);
    draw(&sheet, &s, (aw_chart_options){.paper = AW_PAPER_A3});
    ck_assert_uint_eq(sheet.pages, 2);
    ck_assert_double_eq(sheet.height, 2 * 297);
    ck_assert(has_text(&sheet, "1 of 2"));
    ck_assert(has_text(&sheet, "2 of 2"));
    ck_assert(has_text(&sheet, "needs and figures on sheet 2"));
    ck_assert(aw_sheet_pdf(&sheet, &pdf, &errors));
    size_t pages = 0;
    for (size_t i = 0; i + 11 < pdf.n; i++)
        pages += memcmp(pdf.at + i, "/Type /Page", 11) == 0 && pdf.at[i + 11] != 's';
    ck_assert_uint_eq(pages, 2);
    aw_text_free(&pdf);
    aw_sheet_free(&sheet);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(a_character_that_no_font_has_is_told)
{
    aw_sheet sheet = {.width = 100, .height = 100, .text_size = 3};
    aw_text missing = {0};
    aw_sheet_text(&sheet, AW_INK_NAME, "plain", (aw_point){5, 5}, 0);
    aw_sheet_missing(&sheet, &missing);
    ck_assert_uint_eq(missing.n, 0);
    /* A code point that is assigned to nobody has a sign in no font. */
    aw_sheet_text(&sheet, AW_INK_NAME, "bay \xF0\xBF\xBF\xBD", (aw_point){5, 15}, 0);
    aw_sheet_missing(&sheet, &missing);
    ck_assert_ptr_nonnull(missing.at);
    ck_assert_ptr_nonnull(strstr(missing.at, "U+3FFFD"));
    aw_text_free(&missing);
    aw_sheet_free(&sheet);
}
END_TEST

static TCase *floors(void)
{
    TCase *tc = tcase_create("floors");
    tcase_add_loop_test(tc, nothing_touches_and_every_zone_and_anchor_is_listed, 0,
                        FLOORS * N_PAPERS);
    tcase_add_test(tc, long_tables_have_a_sheet_of_their_own);
    tcase_add_test(tc, a_character_that_no_font_has_is_told);
    return tc;
}

AW_TEST_MAIN("hard floors", floors())
