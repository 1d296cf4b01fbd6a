/* The difference chart, held against the comparison it is drawn from. */
#include "draw/chart.h"
#include "draw/difference.h"
#include "draw/field.h"
#include "draw/sheet.h"
#include "sheets.h"

#define SHEETS (2 * AW_PAPERS)

/* A demo floor with two layouts, what their comparison gives and a sheet of it. */
typedef struct pair {
    aw_scenario a, b;
    aw_anchor anchors[64]; /* of b */
    aw_comparison c;
    aw_sheet sheet;
    aw_sheet sheets[SHEETS]; /* of `changed`: each paper, upright and not */
} pair;

/* Layout b: the first anchor is taken away, the second one moved by 2 m, the third one raised, and
 * one hangs in the middle of the floor. Odds would only take time. */
static void change_layout(pair *p)
{
    aw_scenario *b = &p->b;
    const aw_polygon *o = &b->floor.outline;
    const size_t n = b->n_anchors - 1;
    memcpy(p->anchors, b->anchors + 1, n * sizeof *p->anchors);
    p->anchors[0].at[0] += p->anchors[0].at[0] > o->low.x + 4 ? -2 : 2;
    p->anchors[1].at[2] -= 0.6;
    p->anchors[n] = (aw_anchor){
        .name = "new one", .at = {(o->low.x + o->high.x) / 2, o->low.y + 3, 3}, .key = 77};
    b->anchors = p->anchors;
}

static void compare_layouts(pair *p)
{
    aw_errors errors = {0};
    p->a.ranging.survey_sigma = p->b.ranging.survey_sigma = 0;
    p->a.ranging.delay_sigma = p->b.ranging.delay_sigma = 0;
    ck_assert(aw_compare_run(&p->c, &p->a, &p->b, &(aw_run){2, NULL, &errors}));
}

static void draw(pair *p, aw_paper paper, bool portrait, bool grey)
{
    aw_errors errors = {0};
    const aw_difference what = {
        .comparison = &p->c,
        .a = &p->a,
        .b = &p->b,
        .names = {"as-planned.yaml", "another.yaml"},
        .options = {.paper = paper, .portrait = portrait, .grey = grey, .date = "2026-11-25"}};
    ck_assert(aw_difference_draw(&p->sheet, &what, &errors));
}

static void make_pair(pair *p, const char *name, bool changed)
{
    read_demo(&p->a, name);
    read_demo(&p->b, name);
    if (changed)
        change_layout(p);
    compare_layouts(p);
}

static void free_pair(pair *p)
{
    aw_comparison_free(&p->c);
    aw_scenario_free(&p->a);
    aw_scenario_free(&p->b);
}

/* Each demo with a changed layout, compared and drawn once for all tests, which only read it. */
static pair changed[N_SCENARIOS];

static void make_changed(void)
{
    for (size_t i = 0; i < N_SCENARIOS; i++) {
        pair *p = &changed[i];
        make_pair(p, scenarios[i], true);
        for (int k = 0; k < SHEETS; k++) {
            draw(p, (aw_paper)(k / 2), k % 2, false);
            p->sheets[k] = p->sheet;
        }
        p->sheet = (aw_sheet){0};
    }
}

static void free_changed(void)
{
    for (size_t i = 0; i < N_SCENARIOS; i++) {
        for (int k = 0; k < SHEETS; k++)
            aw_sheet_free(&changed[i].sheets[k]);
        free_pair(&changed[i]);
    }
}

/* The same with the sheet of a paper, or without one. */
static pair with_sheet(size_t scenario, int k)
{
    pair p = changed[scenario];
    p.sheet = k < SHEETS ? p.sheets[k] : (aw_sheet){0};
    return p;
}

/* Paper place of the floor's upper left corner, and mm for a metre, read off the outline. */
static aw_point find_floor(const pair *p, double *mm)
{
    const aw_polygon *o = &p->b.floor.outline;
    aw_point low = {1e9, 1e9}, high = {-1e9, -1e9};
    for (size_t i = 0; i < p->sheet.n; i++) {
        const aw_item *t = &p->sheet.items[i];
        for (size_t k = 0; t->ink == AW_INK_SHORE && t->kind == AW_ITEM_LINE && k < t->n_points;
             k++) {
            low = (aw_point){fmin(low.x, t->at[k].x), fmin(low.y, t->at[k].y)};
            high = (aw_point){fmax(high.x, t->at[k].x), fmax(high.y, t->at[k].y)};
        }
    }
    *mm = (high.x - low.x) / (o->high.x - o->low.x);
    return low;
}

static aw_point to_metres(const pair *p, aw_point paper)
{
    double mm;
    const aw_point from = find_floor(p, &mm);
    return (aw_point){p->b.floor.outline.low.x + (paper.x - from.x) / mm,
                      p->b.floor.outline.high.y - (paper.y - from.y) / mm};
}

/* Whether a place lies within the floor's box: the legend does not. */
static bool is_over(const pair *p, aw_point m)
{
    const aw_polygon *o = &p->b.floor.outline;
    return m.x > o->low.x - 1 && m.x < o->high.x + 1 && m.y > o->low.y - 1 && m.y < o->high.y + 1;
}

START_TEST(no_two_texts_touch_and_none_is_cut_on_any_floor_and_paper)
{
    for (int k = 0; k < SHEETS; k++) {
        const pair p = with_sheet((size_t)_i, k);
        check_texts(&p.sheet, scenarios[_i]);
        for (size_t i = 0; i < p.sheet.n; i++)
            ck_assert_msg(p.sheet.items[i].kind != AW_ITEM_TEXT ||
                              strstr(p.sheet.items[i].text, "…") == NULL,
                          "%s", p.sheet.items[i].text);
        ck_assert(!has_text(&p.sheet, "left out"));
        for (size_t i = 0; i < p.b.n_anchors; i++)
            ck_assert_msg(has_text(&p.sheet, p.b.anchors[i].name), "%s is not named",
                          p.b.anchors[i].name);
        ck_assert(has_text(&p.sheet, p.a.anchors[0].name));
        ck_assert(has_text(&p.sheet, "as-planned.yaml"));
        ck_assert(has_text(&p.sheet, "2026-11-25"));
    }
}
END_TEST

/* Soundings are read back: the rounded difference at the middle of the figure, bilinear between
 * cells, in cm or, for a site in feet, in inches of 0.0254 m. */
START_TEST(soundings_are_the_signed_difference_at_their_place)
{
    const pair p = with_sheet((size_t)_i, 2 * AW_PAPER_A1);
    aw_field f;
    size_t plus = 0, minus = 0;
    const aw_compared_cells *cells = &p.c.cells;
    ck_assert(aw_field_create(&f, &cells->grid));
    for (size_t k = 0; k < cells->grid.n; k++)
        f.value[cells->grid.number[k]] = cells->p95[1][k] - cells->p95[0][k];
    for (size_t i = 0; i < p.sheet.n; i++) {
        const aw_item *t = &p.sheet.items[i];
        const aw_point m =
            to_metres(&p, (aw_point){(t->low.x + t->high.x) / 2, (t->low.y + t->high.y) / 2});
        if (t->kind != AW_ITEM_TEXT || t->ink != AW_INK_SOUNDING || !is_over(&p, m) ||
            strpbrk(t->text, "AB") != NULL)
            continue;
        const bool negative = strncmp(t->text, "−", 3) == 0, positive = t->text[0] == '+';
        const double size = strtod(t->text + (negative ? 3 : positive ? 1 : 0), NULL);
        const double unit = p.b.units == AW_FEET ? 0.0254 : 0.01;
        const double want = aw_field_at(&f, m.x, m.y) / unit;
        ck_assert_msg(fabs(want - (negative ? -size : size)) <= 0.5 + 1e-6, "'%s' for %g", t->text,
                      want);
        ck_assert_msg(negative || positive || size == 0, "'%s' has no sign", t->text);
        plus += positive;
        minus += negative;
    }
    ck_assert_uint_gt(plus, 20);
    ck_assert_uint_gt(minus, 5);
    aw_field_free(&f);
}
END_TEST

/* Area of an ink's boxes over the floor, in m^2; the paths of an item are rectangles. */
static double area_of(const pair *p, aw_ink ink)
{
    double mm, area = 0;
    find_floor(p, &mm);
    for (size_t i = 0; i < p->sheet.n; i++) {
        const aw_item *t = &p->sheet.items[i];
        if (t->ink != ink || t->kind != AW_ITEM_FILL || t->n_paths == 0 ||
            !is_over(p, to_metres(p, t->at[0])))
            continue;
        for (size_t k = 0; k + 3 < t->n_points; k += 4)
            area += (t->at[k + 2].x - t->at[k].x) * (t->at[k + 2].y - t->at[k].y) / (mm * mm);
    }
    return area;
}

START_TEST(tints_cover_the_cells_that_are_told_apart_and_stipple_the_worse_ones)
{
    pair p = with_sheet((size_t)_i, SHEETS);
    size_t dots = 0;
    draw(&p, AW_PAPER_A3, false, _i % 2);
    const aw_grid *g = &p.c.cells.grid;
    const double cell = g->step * g->step;
    ck_assert_uint_gt(p.c.floor.worse, 20);
    ck_close(area_of(&p, AW_INK_WORSE) / cell, (double)p.c.floor.worse, 1e-9);
    ck_close(area_of(&p, AW_INK_BETTER) / cell + 1, (double)p.c.floor.better + 1, 1e-9);
    for (size_t i = 0; i < p.sheet.n; i++) {
        const aw_item *t = &p.sheet.items[i];
        for (size_t k = 0; t->ink == AW_INK_STIPPLE && k + 7 < t->n_points; k += 8) {
            const aw_point m = to_metres(&p, (aw_point){(t->at[k].x + t->at[k + 4].x) / 2,
                                                        (t->at[k].y + t->at[k + 4].y) / 2});
            if (!is_over(&p, m))
                continue;
            const size_t number =
                (size_t)((m.y - g->y0) / g->step) * g->nx + (size_t)((m.x - g->x0) / g->step);
            bool worse = false;
            for (size_t n = 0; n < g->n; n++)
                worse = worse || (g->number[n] == number && p.c.cells.ranking[n] == AW_B_WORSE);
            ck_assert_msg(worse, "a dot at %g, %g", m.x, m.y);
            dots++;
        }
    }
    ck_assert_uint_gt(dots, 20);
    aw_sheet_free(&p.sheet);
}
END_TEST

/* Texts of a letter alone over the floor; in the legend the same letter stands once more. */
static size_t count_letters(const aw_sheet *sheet, const char *letter)
{
    size_t n = 0;
    for (size_t i = 0; i < sheet->n; i++)
        n += sheet->items[i].kind == AW_ITEM_TEXT && sheet->items[i].ink == AW_INK_SOUNDING &&
             strcmp(sheet->items[i].text, letter) == 0;
    return n;
}

static size_t count_only(const aw_compared_cells *cells, int has)
{
    size_t n = 0;
    for (size_t k = 0; k < cells->grid.n; k++)
        n += !isnan(cells->p95[has][k]) && isnan(cells->p95[1 - has][k]);
    return n;
}

START_TEST(places_where_one_layout_has_no_figure_have_the_others_letter)
{
    size_t found = 0;
    for (int k = 0; k < SHEETS; k++) {
        const pair p = with_sheet((size_t)_i, k);
        for (int has = 0; has < 2; has++) {
            const size_t cells = count_only(&p.c.cells, has);
            const char *letter = has ? "B" : "A";
            const char *entry = has ? "only B has a p95" : "only A has a p95";
            ck_assert_int_eq(has_text(&p.sheet, entry), cells > 0);
            ck_assert_msg((count_letters(&p.sheet, letter) >= 2) == (cells > 0), "%zu cells: %s",
                          cells, letter);
            found += cells;
        }
    }
    ck_assert(_i != 0 || found > 0);
}
END_TEST

START_TEST(marks_of_anchors_are_in_the_legend_if_they_are_drawn)
{
    static const char *const words[] = {"anchor added", "anchor taken away", "moved, from"};
    pair p = {0};
    make_pair(&p, "tram-hall", _i);
    draw(&p, AW_PAPER_A4, false, false);
    for (size_t i = 0; i < 3; i++)
        ck_assert_int_eq(has_text(&p.sheet, words[i]), _i);
    ck_assert_int_eq(has_text(&p.sheet, ", was "), _i);
    aw_sheet_free(&p.sheet);
    free_pair(&p);
}
END_TEST

START_TEST(a_layout_against_itself_is_plain_paper_with_nothing_but_0)
{
    pair p = {0};
    size_t zeros = 0;
    make_pair(&p, "tram-hall", false);
    draw(&p, AW_PAPER_A4, false, false);
    ck_assert_double_eq(area_of(&p, AW_INK_BETTER) + area_of(&p, AW_INK_WORSE), 0);
    for (size_t i = 0; i < p.sheet.n; i++) {
        const aw_item *t = &p.sheet.items[i];
        ck_assert(t->ink != AW_INK_VALUE);
        ck_assert((t->ink != AW_INK_CONTOUR && t->ink != AW_INK_STIPPLE) || t->n_points == 0 ||
                  !is_over(&p, to_metres(&p, t->at[0])));
        if (t->kind != AW_ITEM_TEXT || t->ink != AW_INK_SOUNDING ||
            !is_over(&p, to_metres(&p, t->low)))
            continue;
        ck_assert_str_eq(t->text, "0");
        zeros++;
    }
    ck_assert_uint_gt(zeros, 100);
    ck_assert(has_text(&p.sheet, "not told apart from A anywhere"));
    ck_assert(!has_text(&p.sheet, "B told apart as"));
    ck_assert(!has_text(&p.sheet, "contour"));
    aw_sheet_free(&p.sheet);
    free_pair(&p);
}
END_TEST

/* Lightness by its luma: the two tints and plain paper are three greys, and the worse one is
 * stippled besides. */
START_TEST(tints_differ_from_paper_and_from_one_another_without_colour)
{
    const long better = aw_ink_fill(AW_INK_BETTER, 0, true) & 255;
    const long worse = aw_ink_fill(AW_INK_WORSE, 0, true) & 255;
    const long paper = aw_ink_fill(AW_INK_PAPER, 0, true) & 255;
    ck_assert_int_ge(paper - better, 20);
    ck_assert_int_ge(better - worse, 10);
}
END_TEST

static TCase *differences(void)
{
    TCase *tc = tcase_create("difference");
    tcase_add_unchecked_fixture(tc, make_changed, free_changed);
    tcase_add_loop_test(tc, no_two_texts_touch_and_none_is_cut_on_any_floor_and_paper, 0,
                        N_SCENARIOS);
    tcase_add_loop_test(tc, soundings_are_the_signed_difference_at_their_place, 0, N_SCENARIOS);
    tcase_add_loop_test(tc, tints_cover_the_cells_that_are_told_apart_and_stipple_the_worse_ones, 0,
                        N_SCENARIOS);
    tcase_add_loop_test(tc, places_where_one_layout_has_no_figure_have_the_others_letter, 0,
                        N_SCENARIOS);
    tcase_add_loop_test(tc, marks_of_anchors_are_in_the_legend_if_they_are_drawn, 0, 2);
    tcase_add_test(tc, a_layout_against_itself_is_plain_paper_with_nothing_but_0);
    tcase_add_test(tc, tints_differ_from_paper_and_from_one_another_without_colour);
    return tc;
}

AW_TEST_MAIN("difference", differences())
