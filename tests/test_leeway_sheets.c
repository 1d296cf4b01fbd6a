/* The sheets of sensitivity and of freedom to mount: no text touches another, and bars, regions and
 * edges stand where the figures say. */
#include "sheets.h"

static aw_chart_options look(int paper, bool grey)
{
    return (aw_chart_options){
        .paper = (aw_paper)(paper / 2), .portrait = paper % 2, .grey = grey, .date = "2026-11-25"};
}

/* Odds are a run of their own, and dear: one demo has them. */
static void read_coarse(aw_scenario *s, const char *name)
{
    read_demo(s, name);
    if (strcmp(name, "crate-hall") != 0)
        s->ranging.survey_sigma = s->ranging.delay_sigma = 0;
    s->study.draws = 24;
    s->study.step *= 3;
}

/* --- bars --- */

static bool has_full_text(const aw_sheet *sheet, const char *text)
{
    for (size_t i = 0; i < sheet->n; i++)
        if (sheet->items[i].kind == AW_ITEM_TEXT && strcmp(sheet->items[i].text, text) == 0)
            return true;
    return false;
}

START_TEST(bars_touch_no_text_on_any_paper_and_every_zone_and_tolerance_is_there)
{
    aw_scenario s;
    aw_sensitivity v;
    aw_errors errors = {0};
    read_coarse(&s, scenarios[_i]);
    ck_assert(aw_sensitivity_run(&v, &s, 2, NULL, &errors));
    for (int paper = 0; paper < 2 * AW_PAPERS; paper++) {
        const aw_bars what = {&v, &s, look(paper, false)};
        aw_sheet sheet;
        ck_assert(aw_bars_draw(&sheet, &what, &errors));
        check_texts(&sheet, scenarios[_i]);
        for (size_t z = 0; z < v.n_zones; z++)
            ck_assert_msg(has_full_text(&sheet, v.zones[z].name), "%s", v.zones[z].name);
        for (int kind = 0; kind < AW_TOLERANCES; kind++)
            ck_assert_msg(has_text(&sheet, aw_tolerance_rows[kind].name), "%s, paper %d: %s",
                          scenarios[_i], paper, aw_tolerance_rows[kind].name);
        ck_assert(has_text(&sheet, "all together, nine draws of ten"));
        ck_assert(has_text(&sheet, "Date: 2026-11-25"));
        aw_sheet_free(&sheet);
    }
    aw_sensitivity_free(&v);
    aw_scenario_free(&s);
}
END_TEST

/* Widths of the boxes of one shade. */
static size_t find_widths(const aw_sheet *sheet, double shade, double width[], size_t most)
{
    size_t n = 0;
    for (size_t i = 0; i < sheet->n && n < most; i++) {
        const aw_item *a = &sheet->items[i];
        if (a->kind == AW_ITEM_FILL && a->ink == AW_INK_TINT && a->shade == shade)
            width[n++] = fabs(a->at[2].x - a->at[0].x);
    }
    return n;
}

/* One zone, one error that counts: twice and half of it. The bar of the high end is as many times
 * as long as that of the low end as the changes of p95 are, whatever the scale. */
START_TEST(bars_are_as_long_as_p95_moves)
{
    aw_scenario s;
    aw_sensitivity v;
    aw_errors errors = {0};
    aw_sheet sheet;
    double low[4], high[4];
    const char *yaml =
        "anchorwise: 1\ntitle: T\nfloor: {outline: [[0,0],[20,0],[20,12],[0,12]], ceiling: 6}\n"
        "anchors:\n  - {name: A, at: [1,1,5]}\n  - {name: B, at: [19,1,4]}\n  - {name: C, at: "
        "[19,11,5]}\n  - {name: D, at: [1,11,4]}\nranging: {sigma: 0.1, range: 50}\nassumptions: "
        "{sigma: [0.05, 0.2], range: [50, 50], tag_heights: [0, 0]}\nzones: [{name: z, outline: "
        "[[2,2],[18,2],[18,10],[2,10]], need: {p95: 0.5}}]\nstudy: {draws: 200}\n";
    ck_assert(aw_scenario_parse(&s, yaml, strlen(yaml), &errors));
    ck_assert(aw_sensitivity_run(&v, &s, 2, NULL, &errors));
    const aw_bars what = {&v, &s, look(2, false)};
    ck_assert(aw_bars_draw(&sheet, &what, &errors));
    /* The legend's boxes come last. */
    ck_assert_uint_eq(find_widths(&sheet, 0.12, low, 4), 2);
    ck_assert_uint_eq(find_widths(&sheet, 0.8, high, 4), 2);
    const double down = -aw_sensitivity_at(&v, 0, AW_ASSUME_SIGMA, 0)->change.value;
    const double up = aw_sensitivity_at(&v, 0, AW_ASSUME_SIGMA, 1)->change.value;
    ck_assert_double_gt(down, 0.02);
    ck_assert_double_eq_tol(high[0] / low[0], up / down, 1e-6);
    aw_sheet_free(&sheet);
    aw_sensitivity_free(&v);
    aw_scenario_free(&s);
}
END_TEST

/* --- regions --- */

static double area_of(const aw_item *item)
{
    double area = 0;
    for (size_t path = 0, first = 0; path < item->n_paths; first = item->ends[path++])
        area += fabs((item->at[first + 2].x - item->at[first].x) *
                     (item->at[first + 2].y - item->at[first].y));
    return area;
}

static double length_of(const aw_sheet *sheet, aw_ink ink)
{
    double length = 0;
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *a = &sheet->items[i];
        for (size_t k = 0;
             a->kind == AW_ITEM_LINE && a->ink == ink && !a->closed && k + 1 < a->n_points; k++)
            length += hypot(a->at[k + 1].x - a->at[k].x, a->at[k + 1].y - a->at[k].y);
    }
    return length;
}

/* Millimetres of paper for a metre, from the outline that is drawn. */
static double scale_of(const aw_sheet *sheet, const aw_scenario *s)
{
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *a = &sheet->items[i];
        if (a->kind != AW_ITEM_LINE || a->ink != AW_INK_SHORE)
            continue;
        double low = HUGE_VAL, high = -HUGE_VAL;
        for (size_t k = 0; k < a->n_points; k++) {
            low = fmin(low, a->at[k].x);
            high = fmax(high, a->at[k].x);
        }
        return (high - low) / (s->floor.outline.high.x - s->floor.outline.low.x);
    }
    ck_abort_msg("no outline");
    return 0;
}

static bool square_in(const aw_freedom *f, int i, int j)
{
    return i >= 0 && j >= 0 && i < AW_FREEDOM_SQUARES && j < AW_FREEDOM_SQUARES && f->square[j][i];
}

static bool fails_in(const aw_freedom *f, int i, int j)
{
    return i >= 0 && j >= 0 && i < AW_FREEDOM_SQUARES && j < AW_FREEDOM_SQUARES && f->fails[j][i];
}

/* Sides of squares between the region and what is not of it, those where a need fails apart. */
static void count_edges(const aw_freedoms *all, size_t n[2])
{
    static const int beside[4][2] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
    for (size_t a = 0; a < all->n; a++)
        for (int j = 0; j < AW_FREEDOM_SQUARES; j++)
            for (int i = 0; i < AW_FREEDOM_SQUARES; i++)
                for (int k = 0; k < 4 && square_in(&all->list[a], i, j); k++) {
                    const int x = i + beside[k][0], y = j + beside[k][1];
                    if (!square_in(&all->list[a], x, y))
                        n[fails_in(&all->list[a], x, y)]++;
                }
}

START_TEST(regions_have_their_area_and_edges_and_touch_no_text)
{
    aw_scenario s;
    aw_freedoms f;
    aw_errors errors = {0};
    size_t edges[2] = {0, 0};
    read_coarse(&s, scenarios[_i]);
    ck_assert(aw_freedom_run(&f, &s, s.n_anchors, 1.5, 2, NULL, &errors));
    count_edges(&f, edges);
    for (int paper = 0; paper < 2 * AW_PAPERS; paper++) {
        const aw_regions what = {&f, &s, look(paper, paper == 0)};
        aw_sheet sheet;
        ck_assert(aw_regions_draw(&sheet, &what, &errors));
        check_texts(&sheet, scenarios[_i]);
        const double mm = scale_of(&sheet, &s);
        size_t n = 0;
        for (size_t i = 0; i < sheet.n; i++)
            if (sheet.items[i].kind == AW_ITEM_FILL && sheet.items[i].ink == AW_INK_TINT &&
                n < f.n) {
                ck_assert_double_eq_tol(area_of(&sheet.items[i]), f.list[n].area * mm * mm, 1e-6);
                n++;
            }
        ck_assert_uint_eq(n, f.n);
        /* The legend has one line of the kind, 8 mm at most. */
        ck_assert_double_eq_tol(length_of(&sheet, AW_INK_REGION), (double)edges[0] * f.step * mm,
                                1e-6);
        ck_assert_double_ge(length_of(&sheet, AW_INK_LIMIT), (double)edges[1] * f.step * mm);
        ck_assert_double_le(length_of(&sheet, AW_INK_LIMIT), (double)edges[1] * f.step * mm + 15);
        aw_sheet_free(&sheet);
    }
    aw_freedom_free(&f);
    aw_scenario_free(&s);
}
END_TEST

/* A need that is met with little in hand ends some region, so that the edge above is put to the
 * test. */
START_TEST(a_tight_need_gives_a_region_an_edge_of_its_own)
{
    aw_scenario s;
    aw_freedoms f;
    aw_errors errors = {0};
    aw_sheet sheet;
    size_t edges[2] = {0, 0};
    read_demo(&s, "crate-hall");
    s.study.draws = 200;
    ck_assert(aw_freedom_run(&f, &s, 3, 2, 2, NULL, &errors));
    ck_assert_uint_eq(f.n, 1);
    count_edges(&f, edges);
    ck_assert_uint_gt(edges[1], 0);
    const aw_regions what = {&f, &s, look(2, false)};
    ck_assert(aw_regions_draw(&sheet, &what, &errors));
    ck_assert(has_text(&sheet, "beyond this edge a need fails"));
    ck_assert(has_text(&sheet, "Dairy crate hall"));
    ck_assert_double_ge(length_of(&sheet, AW_INK_LIMIT),
                        (double)edges[1] * f.step * scale_of(&sheet, &s));
    aw_sheet_free(&sheet);
    aw_freedom_free(&f);
    aw_scenario_free(&s);
}
END_TEST

static TCase *bars(void)
{
    TCase *c = tcase_create("bars");
    tcase_add_loop_test(c, bars_touch_no_text_on_any_paper_and_every_zone_and_tolerance_is_there, 0,
                        N_SCENARIOS);
    tcase_add_test(c, bars_are_as_long_as_p95_moves);
    return c;
}

static TCase *regions(void)
{
    TCase *c = tcase_create("regions");
    tcase_add_loop_test(c, regions_have_their_area_and_edges_and_touch_no_text, 0, N_SCENARIOS);
    tcase_add_test(c, a_tight_need_gives_a_region_an_edge_of_its_own);
    return c;
}

AW_TEST_MAIN("sheets: leeway", bars(), regions())
