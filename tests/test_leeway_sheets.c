/* The sheets of sensitivity and of freedom to mount: no text touches another, and bars, regions and
 * edges stand where the figures say. */
#include "draw/bars.h"
#include "draw/chart.h"
#include "draw/regions.h"
#include "draw/sheet.h"
#include "sheets.h"

static aw_chart_options look(int paper, bool grey)
{
    return (aw_chart_options){
        .paper = (aw_paper)(paper / 2), .portrait = paper % 2, .grey = grey, .date = "2026-11-25"};
}

/* --- bars --- */

static bool has_full_text(const aw_sheet *sheet, const char *text)
{
    for (size_t i = 0; i < sheet->n; i++)
        if (sheet->items[i].kind == AW_ITEM_TEXT && strcmp(sheet->items[i].text, text) == 0)
            return true;
    return false;
}

static aw_zone_result make_result(const aw_zone *zone, uint64_t *state)
{
    const double none = (double)NAN, lost = test_between(state, 0, 1) < 0.1;
    aw_zone_result r = {.verdict = (aw_verdict)(3 * test_between(state, 0, 1))};
    r.errors.cells = 10;
    r.errors.p95 = lost ? none : pow(10, test_between(state, -1.3, 0.7));
    r.parts[AW_PART_P95] = (aw_part_result){zone->need.p95, {r.errors.p95, 0, 0}, AW_NOT_MET};
    r.parts[AW_PART_ODDS].found.value =
        test_between(state, 0, 1) < 0.2 ? none : test_between(state, 0, 1);
    return r;
}

/* A result of figures by chance, lost ones among them: where texts stand follows from figures
 * alone. */
static void make_sensitivity(aw_sensitivity *v, const aw_scenario *s, uint64_t state)
{
    const size_t n = s->n_zones;
    *v = (aw_sensitivity){.n_zones = n,
                          .zones = calloc(n, sizeof *v->zones),
                          .today = calloc(n, sizeof *v->today),
                          .ends = calloc(n * AW_ASSUMPTIONS * 2, sizeof *v->ends),
                          .joint = calloc(n, sizeof *v->joint),
                          .holding = {0.5, 0.4, 0.6}};
    ck_assert(v->zones && v->today && v->ends && v->joint);
    for (int a = 0; a < AW_ASSUMPTIONS; a++)
        v->assumed[a] = aw_assumption_range_of(s, (aw_assumption)a);
    for (size_t z = 0; z < n; z++) {
        v->zones[z] = s->zones[z];
        v->today[z] = make_result(&s->zones[z], &state);
        const double p95 = pow(10, test_between(&state, -1, 0.5));
        v->joint[z] = (aw_joint){p95 / 2, p95, z % 2 ? HUGE_VAL : 2 * p95, {0.5, 0.4, 0.6}};
        for (size_t k = 0; k < 2 * AW_ASSUMPTIONS; k++) {
            aw_sensitivity_end *e = &v->ends[z * 2 * AW_ASSUMPTIONS + k];
            e->result = make_result(&s->zones[z], &state);
            e->change.value = e->result.errors.p95 - v->today[z].errors.p95;
        }
    }
    for (int kind = 0; kind < AW_TOLERANCES; kind++)
        v->tolerances[kind] =
            (aw_tolerance){0.1, kind == 1 ? (double)NAN : 0.04 * kind, 0, v->today[0]};
}

START_TEST(bars_touch_no_text_on_any_paper_and_every_zone_and_tolerance_is_there)
{
    aw_scenario s;
    aw_errors errors = {0};
    read_demo(&s, scenarios[_i % N_SCENARIOS]);
    for (int paper = 0; paper < 2 * AW_PAPERS; paper++) {
        aw_sensitivity v;
        aw_sheet sheet;
        make_sensitivity(&v, &s, (uint64_t)(100 * _i + paper));
        const aw_bars what = {&v, &s, look(paper, paper == 0)};
        ck_assert(aw_bars_draw(&sheet, &what, &errors));
        check_texts(&sheet, scenarios[_i % N_SCENARIOS]);
        for (size_t z = 0; z < v.n_zones; z++)
            ck_assert_msg(has_full_text(&sheet, v.zones[z].name), "%s", v.zones[z].name);
        for (int kind = 0; kind < AW_TOLERANCES; kind++)
            ck_assert_msg(has_text(&sheet, aw_tolerance_rows[kind].name), "%s, paper %d: %s",
                          s.title, paper, aw_tolerance_rows[kind].name);
        ck_assert(has_text(&sheet, "2026-11-25"));
        ck_assert_msg(has_text(&sheet, "place."), "%s, paper %d: cautions are cut", s.title, paper);
        aw_sheet_free(&sheet);
        aw_sensitivity_free(&v);
    }
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
        "[[2,2],[18,2],[18,10],[2,10]], need: {p95: 0.5}}]\nstudy: {draws: 200, margin: 1}\n";
    ck_assert(aw_scenario_parse(&s, yaml, strlen(yaml), &errors));
    ck_assert(aw_sensitivity_run(&v, &s, &(aw_run){2, NULL, &errors}));
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
        aw_point low = a->at[0], high = low;
        for (size_t k = 1; k < a->n_points; k++) {
            low = (aw_point){fmin(low.x, a->at[k].x), fmin(low.y, a->at[k].y)};
            high = (aw_point){fmax(high.x, a->at[k].x), fmax(high.y, a->at[k].y)};
        }
        /* The floor may be turned by a quarter. */
        const aw_polygon *o = &s->floor.outline;
        return fmax(high.x - low.x, high.y - low.y) /
               fmax(o->high.x - o->low.x, o->high.y - o->low.y);
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

/* Regions by chance about every anchor, and squares by chance in which a need fails. */
static void make_freedoms(aw_freedoms *f, const aw_scenario *s, uint64_t state)
{
    *f = (aw_freedoms){.reach = 2,
                       .step = 0.25,
                       .n = s->n_anchors,
                       .list = calloc(s->n_anchors, sizeof *f->list),
                       .today = calloc(s->n_zones, sizeof *f->today),
                       .kept = calloc(s->n_zones, sizeof *f->kept)};
    ck_assert(f->list && f->today && f->kept);
    for (size_t z = 1; z < s->n_zones; z++)
        f->kept[z] = true;
    f->today[0].parts[AW_PART_P95].verdict = AW_NOT_MET;
    f->n_kept = s->n_zones - 1;
    for (size_t a = 0; a < f->n; a++) {
        aw_freedom *r = &f->list[a];
        const double share = test_between(&state, 0, 1);
        r->anchor = a;
        r->low = s->anchors[a].at[2] - 1;
        r->high = s->anchors[a].at[2] + 0.5;
        for (int j = 0; j < AW_FREEDOM_SQUARES; j++)
            for (int i = 0; i < AW_FREEDOM_SQUARES; i++) {
                r->square[j][i] = test_between(&state, 0, 1) < share;
                r->fails[j][i] = !r->square[j][i] && test_between(&state, 0, 1) < 0.3;
                r->area += r->square[j][i] ? f->step * f->step : 0;
            }
    }
}

START_TEST(regions_have_their_area_and_edges_and_touch_no_text)
{
    aw_scenario s;
    aw_errors errors = {0};
    read_demo(&s, scenarios[_i]);
    for (int paper = 0; paper < 2 * AW_PAPERS; paper++) {
        aw_freedoms f;
        aw_sheet sheet;
        size_t edges[2] = {0, 0}, n = 0;
        make_freedoms(&f, &s, (uint64_t)(100 * _i + paper));
        count_edges(&f, edges);
        const aw_regions what = {&f, &s, look(paper, paper == 0)};
        ck_assert(aw_regions_draw(&sheet, &what, &errors));
        check_texts(&sheet, scenarios[_i]);
        ck_assert(has_text(&sheet, "NOT KEPT"));
        const double mm = scale_of(&sheet, &s), side = f.step * mm;
        for (size_t i = 0; i < sheet.n && n < f.n; i++)
            if (sheet.items[i].kind == AW_ITEM_FILL && sheet.items[i].ink == AW_INK_TINT)
                ck_assert_double_eq_tol(area_of(&sheet.items[i]), f.list[n++].area * mm * mm, 1e-6);
        ck_assert_uint_eq(n, f.n);
        ck_assert_double_eq_tol(length_of(&sheet, AW_INK_REGION), (double)edges[0] * side, 1e-6);
        /* The legend has one more of this kind. */
        const double limits = length_of(&sheet, AW_INK_LIMIT) - (double)edges[1] * side;
        ck_assert(limits > 0 && limits < 15);
        aw_sheet_free(&sheet);
        aw_freedom_free(&f);
    }
    aw_scenario_free(&s);
}
END_TEST

/* What of number k along an axis is left of a square within half a size. */
static double left_of(const aw_freedoms *all, int k, double half)
{
    const double low = (k - AW_FREEDOM_STEPS) * all->step;
    return fmax(fmin(low + all->step, half) - fmax(low, -half), 0);
}

static bool is_left(const aw_freedoms *all, const aw_freedom *f, int i, int j)
{
    return square_in(f, i, j) && left_of(all, i, f->shared.half) > 0 &&
           left_of(all, j, f->shared.half) > 0;
}

/* Area and border, m, of a region cut to its size. */
static double cut_area(const aw_freedoms *all, const aw_freedom *f, double *border)
{
    double area = 0;
    for (int j = 0; j < AW_FREEDOM_SQUARES; j++)
        for (int i = 0; i < AW_FREEDOM_SQUARES; i++) {
            const double wide = left_of(all, i, f->shared.half),
                         deep = left_of(all, j, f->shared.half);
            if (!is_left(all, f, i, j))
                continue;
            area += wide * deep;
            *border += (!is_left(all, f, i - 1, j) + !is_left(all, f, i + 1, j)) * deep +
                       (!is_left(all, f, i, j - 1) + !is_left(all, f, i, j + 1)) * wide;
        }
    return area;
}

START_TEST(what_all_share_has_its_area_and_edges_and_touches_no_text)
{
    aw_scenario s;
    aw_errors errors = {0};
    read_demo(&s, scenarios[_i]);
    for (int paper = 0; paper < 2 * AW_PAPERS; paper++) {
        aw_freedoms f;
        aw_sheet sheet;
        double border = 0;
        size_t n = 0;
        uint64_t state = (uint64_t)(100 * _i + paper);
        make_freedoms(&f, &s, state);
        f.together = true;
        f.corners_met = 199;
        f.shared = calloc(s.n_zones + 1, sizeof *f.shared);
        for (size_t a = 0; a < f.n; a++)
            f.list[a].shared.half = a % 5 == 4 ? 0 : test_between(&state, 0.05, 2);
        const aw_regions what = {&f, &s, look(paper, paper == 0)};
        ck_assert(aw_regions_draw(&sheet, &what, &errors));
        check_texts(&sheet, scenarios[_i]);
        ck_assert(has_text(&sheet, "All anchors at once"));
        ck_assert(f.n < 5 || has_text(&sheet, "stands still"));
        const double mm = scale_of(&sheet, &s);
        for (size_t i = 0; i < sheet.n && n < f.n; i++)
            if (sheet.items[i].kind == AW_ITEM_FILL && sheet.items[i].ink == AW_INK_TINT)
                ck_assert_double_eq_tol(area_of(&sheet.items[i]),
                                        cut_area(&f, &f.list[n++], &border) * mm * mm, 1e-6);
        ck_assert_uint_eq(n, f.n);
        ck_assert_double_eq_tol(length_of(&sheet, AW_INK_REGION), border * mm, 1e-6);
        ck_assert_double_eq(length_of(&sheet, AW_INK_LIMIT), 0);
        aw_sheet_free(&sheet);
        aw_freedom_free(&f);
    }
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
    s.study.draws = 100;
    s.study.margin = 1;
    aw_varied tight = aw_vary(&s);
    aw_zone_result today;
    ck_assert(aw_assess_zone(&today, &s, &s.zones[2], &(aw_run){2, NULL, &errors}));
    aw_varied_zones(&tight)[2].need.p95 = 1.03 * today.parts[AW_PART_P95].found.high;
    ck_assert(aw_freedom_run(&f, &tight.scenario, 3, 2, &(aw_run){2, NULL, &errors}));
    ck_assert_uint_eq(f.n, 1);
    count_edges(&f, edges);
    ck_assert_uint_gt(edges[1], 0);
    ck_assert_str_eq(s.zones[f.list[0].limiting_zone].name, "dispatch");
    const aw_regions what = {&f, &tight.scenario, look(2, false)};
    ck_assert(aw_regions_draw(&sheet, &what, &errors));
    ck_assert(has_text(&sheet, "beyond it a need fails"));
    ck_assert(has_text(&sheet, "Dairy crate hall"));
    ck_assert_double_ge(length_of(&sheet, AW_INK_LIMIT),
                        (double)edges[1] * f.step * scale_of(&sheet, &s));
    aw_sheet_free(&sheet);
    aw_freedom_free(&f);
    aw_varied_free(&tight);
    aw_scenario_free(&s);
}
END_TEST

static TCase *bars(void)
{
    TCase *c = tcase_create("bars");
    tcase_add_loop_test(c, bars_touch_no_text_on_any_paper_and_every_zone_and_tolerance_is_there, 0,
                        10 * N_SCENARIOS);
    tcase_add_test(c, bars_are_as_long_as_p95_moves);
    return c;
}

static TCase *regions(void)
{
    TCase *c = tcase_create("regions");
    tcase_add_loop_test(c, regions_have_their_area_and_edges_and_touch_no_text, 0, N_SCENARIOS);
    tcase_add_test(c, a_tight_need_gives_a_region_an_edge_of_its_own);
    tcase_add_loop_test(c, what_all_share_has_its_area_and_edges_and_touches_no_text, 0,
                        N_SCENARIOS);
    return c;
}

AW_TEST_MAIN("sheets: leeway", bars(), regions())
