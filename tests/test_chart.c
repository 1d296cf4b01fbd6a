/* The sheet and what it is drawn from: places of texts, isolines, regions. */
#include "anchorwise.h"
#include "draw/chart.h"
#include "draw/field.h"
#include "draw/sheet.h"
#include "aw_test.h"
#include "sheets.h"

#include <stdio.h>
#include <string.h>

/* --- sheets --- */

static void draw(aw_sheet *sheet, aw_scenario *s, const aw_chart_options *options)
{
    aw_errors errors = {0};
    ck_assert(aw_map_check(s, &errors));
    aw_chart *chart = aw_chart_create(s, options, &(aw_run){2, NULL, &errors});
    ck_assert_msg(chart != NULL && aw_chart_draw(sheet, chart, &errors), "%s",
                  errors.n > 0 ? errors.list[0].text : "stopped");
    aw_chart_free(chart);
    aw_errors_free(&errors);
}

START_TEST(no_two_texts_touch_on_any_scenario_and_paper)
{
    aw_scenario s;
    read_demo(&s, scenarios[_i / AW_PAPERS]);
    const aw_point spots[] = {
        {s.floor.outline.low.x + 2.3, s.floor.outline.low.y + 2.7},
        {s.floor.outline.low.x + 7.1, s.floor.outline.low.y + 5.2},
    };
    for (int portrait = _i % 2; portrait <= _i % 2; portrait++) {
        const aw_chart_options options = {.layer = AW_LAYER_P95,
                                          .paper = (aw_paper)(_i % AW_PAPERS),
                                          .portrait = portrait,
                                          .spots = spots,
                                          .n_spots = 2};
        aw_sheet sheet;
        draw(&sheet, &s, &options);
        check_texts(&sheet, scenarios[_i / AW_PAPERS]);
        for (size_t i = 0; i < s.n_zones; i++)
            ck_assert_msg(has_text(&sheet, s.zones[i].name), "zone %s is not named",
                          s.zones[i].name);
        for (size_t i = 0; i < s.n_anchors; i++)
            ck_assert_msg(has_text(&sheet, s.anchors[i].name), "anchor %s is not named",
                          s.anchors[i].name);
        aw_sheet_free(&sheet);
    }
    aw_scenario_free(&s);
}
END_TEST

/* Whether the edge of a body runs through a box: points of it, 0.05 mm apart. */
static bool edge_is_in(const aw_item *body, const aw_item *text)
{
    for (size_t i = 0, n = body->ends[0]; i < n; i++) {
        const aw_point a = body->at[i], b = body->at[(i + 1) % n];
        const int steps = 1 + (int)(hypot(b.x - a.x, b.y - a.y) / 0.05);
        for (int k = 0; k <= steps; k++) {
            const double x = a.x + (b.x - a.x) * k / steps, y = a.y + (b.y - a.y) * k / steps;
            if (x > text->low.x && x < text->high.x && y > text->low.y && y < text->high.y)
                return true;
        }
    }
    return false;
}

/* On A4 a wall is thinner than a figure is high. */
START_TEST(no_figure_stands_on_a_wall_or_the_edge_of_a_body)
{
    static const char *const demos[] = {"wheel-pit", "tram-hall", "l-hall"};
    aw_scenario s;
    aw_sheet sheet;
    size_t figures = 0, bodies = 0;
    read_demo(&s, demos[_i]);
    draw(&sheet, &s, &(aw_chart_options){.layer = AW_LAYER_P95, .paper = AW_PAPER_A4});
    for (size_t i = 0; i < sheet.n; i++) {
        const aw_item *body = &sheet.items[i];
        if (body->kind != AW_ITEM_FILL || body->ink != AW_INK_LAND)
            continue;
        bodies++;
        for (size_t j = 0; j < sheet.n; j++) {
            const aw_item *text = &sheet.items[j];
            if (text->kind != AW_ITEM_TEXT ||
                (text->ink != AW_INK_SOUNDING && text->ink != AW_INK_MISSED &&
                 text->ink != AW_INK_WORST))
                continue;
            figures++;
            ck_assert_msg(!edge_is_in(body, text), "%s: '%s' stands on a body", demos[_i],
                          text->text);
        }
    }
    ck_assert(bodies > 0 && figures > 100);
    aw_sheet_free(&sheet);
    aw_scenario_free(&s);
}
END_TEST

/* A site with random size, anchors, obstacles, zones, long and short names, in metres or feet. */
static void write_random_site(uint64_t *state, char *yaml, size_t room)
{
    const double w = test_between(state, 6, 140), h = test_between(state, 5, 90);
    const int anchors = 3 + (int)(test_uniform(state) * 20);
    size_t n =
        (size_t)snprintf(yaml, room,
                         "anchorwise: 1\ntitle: Random bay with a fairly long title %d\nunits: "
                         "%s\nfloor: {outline: [[0, 0], [%g, 0], [%g, %g], [0, %g]], ceiling: "
                         "8}\nanchors:\n",
                         anchors, test_uniform(state) < 0.3 ? "ft" : "m", w, w, h, h);
    for (int i = 0; i < anchors; i++)
        n += (size_t)snprintf(yaml + n, room - n, "  - {name: %s%d, at: [%.2f, %.2f, %.1f]}\n",
                              i % 5 ? "K" : "north gate ", i, test_between(state, 0, w),
                              test_between(state, 0, h), test_between(state, 2, 7));
    n += (size_t)snprintf(yaml + n, room - n, "obstacles:\n");
    for (int i = 0; i < 4; i++) {
        const double x = test_between(state, 0, w * 0.8), y = test_between(state, 0, h * 0.8);
        n +=
            (size_t)snprintf(yaml + n, room - n,
                             "  - {name: press %d, footprint: [[%g, %g], [%g, %g], [%g, %g]], top: "
                             "%.1f, material: metal}\n",
                             i, x, y, x + w * 0.15, y + h * 0.02, x + w * 0.1, y + h * 0.18,
                             test_between(state, 0.5, 5));
    }
    n += (size_t)snprintf(yaml + n, room - n, "zones:\n");
    for (int i = 0; i < 3; i++) {
        const double x = test_between(state, 0, w * 0.6), y = test_between(state, 0, h * 0.6);
        n += (size_t)snprintf(yaml + n, room - n,
                              "  - {name: %s %d, outline: [[%g, %g], [%g, %g], [%g, %g], [%g, "
                              "%g]], need: {p95: 0.4, share: 0.9}}\n",
                              i ? "bay" : "the place where wheelsets wait for the lathe", i, x, y,
                              x + w * 0.35, y, x + w * 0.35, y + h * 0.3, x, y + h * 0.3);
    }
    snprintf(yaml + n, room - n, "study: {step: %g, draws: 30}\n", (w + h) / 80);
}

START_TEST(no_two_texts_touch_on_a_random_site)
{
    uint64_t state = 900 + (uint64_t)_i;
    char yaml[8192];
    aw_errors errors = {0};
    aw_scenario s;
    aw_sheet sheet;
    write_random_site(&state, yaml, sizeof yaml);
    ck_assert_msg(aw_scenario_parse(&s, yaml, strlen(yaml), &errors), "%s", errors.list[0].text);
    aw_errors_free(&errors);
    const aw_chart_options options = {
        .layer = AW_LAYER_P95, .paper = (aw_paper)(_i % AW_PAPERS), .portrait = _i % 2 == 1};
    draw(&sheet, &s, &options);
    check_texts(&sheet, yaml);
    aw_sheet_free(&sheet);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(every_layer_with_values_draws)
{
    aw_scenario s;
    read_demo(&s, "scenery-store");
    s.study.step = 1;
    const aw_chart_options options = {.layer = (aw_layer)_i, .paper = AW_PAPER_A4};
    aw_sheet sheet;
    draw(&sheet, &s, &options);
    check_texts(&sheet, aw_layer_rows[_i].key);
    ck_assert(has_text(&sheet, aw_layer_rows[_i].name));
    aw_sheet_free(&sheet);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(the_drawn_scale_is_the_stated_one)
{
    aw_scenario s;
    aw_sheet sheet;
    read_demo(&s, "tram-hall");
    const aw_chart_options options = {.layer = AW_LAYER_HDOP, .paper = AW_PAPER_A3};
    draw(&sheet, &s, &options);
    ck_assert(has_text(&sheet, "1:200 on A3"));
    for (size_t i = 0; i < sheet.n; i++)
        if (sheet.items[i].ink == AW_INK_SHORE && sheet.items[i].kind == AW_ITEM_LINE) {
            const aw_point *at = sheet.items[i].at;
            ck_close(hypot(at[1].x - at[0].x, at[1].y - at[0].y), 72.0 * 1000 / 200, 1e-12);
            ck_close(hypot(at[2].x - at[1].x, at[2].y - at[1].y), 38.0 * 1000 / 200, 1e-12);
        }
    aw_sheet_free(&sheet);
    aw_scenario_free(&s);
}
END_TEST

/* The boxes of an ink's lines, one for each item; how many. */
#define MOST_FLOORS 4
typedef struct bounds {
    aw_point low, high;
} bounds;

static size_t find_frames(const aw_sheet *sheet, aw_ink ink, bounds out[MOST_FLOORS])
{
    size_t n = 0;
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *t = &sheet->items[i];
        if (t->ink != ink || t->kind != AW_ITEM_LINE)
            continue;
        ck_assert_uint_lt(n, MOST_FLOORS);
        bounds f = {t->at[0], t->at[0]};
        for (size_t k = 1; k < t->n_points; k++) {
            f.low = (aw_point){fmin(f.low.x, t->at[k].x), fmin(f.low.y, t->at[k].y)};
            f.high = (aw_point){fmax(f.high.x, t->at[k].x), fmax(f.high.y, t->at[k].y)};
        }
        out[n++] = f;
    }
    return n;
}

/* The room of the plan with its neat lines: what blocks leave, whose headings end at their rules.
 */
static bounds find_room(const aw_sheet *sheet, const bounds *first, const bounds *last)
{
    const double k = sheet->text_size / 2.35;
    bounds room = {first->low, {sheet->width - first->low.x, sheet->height}};
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *t = &sheet->items[i];
        if (t->ink != AW_INK_BLOCK_RULE || t->kind != AW_ITEM_LINE)
            continue;
        if (t->at[0].x > first->high.x && t->at[0].y < last->high.y)
            room.high.x = fmin(room.high.x, t->at[0].x - 7.5 * k);
        else if (t->at[0].y > last->high.y)
            room.high.y = fmin(room.high.y, t->at[0].y - (3.6 + 5.5) * k);
    }
    return room;
}

/* Whether a floor, mm, fits a room in n strips, 1.8 mm between their neat lines of 4.6 mm, clear of
 * these by 2.4 mm, each with 3 % of the floor's length in common with the next. */
static bool strips_fit(const bounds *room, double wide, double deep, size_t n, double k)
{
    const double w = room->high.x - room->low.x - 9.2 * k;
    const double h = (room->high.y - room->low.y - 1.8 * k * (double)(n - 1)) / (double)n - 9.2 * k;
    return wide * (1 + 0.03 * (double)(n - 1)) <= (double)n * w - 4.8 * k && deep <= h - 4.8 * k &&
           (n == 1 || wide > 2 * deep);
}

/* The list of scales is written here once more; the floor is drawn at one of them, and the next
 * larger one is too large for the room between head, strip and column, in any number of strips. */
START_TEST(no_larger_listed_scale_fits)
{
    static const double metric[] = {20,  25,  40,  50,  75,  100, 125,
                                    150, 200, 250, 300, 400, 500, 600};
    static const double feet[] = {24, 48, 96, 120, 192, 240, 360, 480, 600};
    aw_scenario s;
    aw_sheet sheet;
    bounds floors[MOST_FLOORS], neat[MOST_FLOORS];
    read_demo(&s, scenarios[_i / AW_PAPERS]);
    s.study.step *= 3;
    const aw_chart_options options = {.layer = AW_LAYER_BOUND, .paper = (aw_paper)(_i % AW_PAPERS)};
    draw(&sheet, &s, &options);
    const size_t strips = find_frames(&sheet, AW_INK_SHORE, floors);
    ck_assert_uint_eq(find_frames(&sheet, AW_INK_NEAT, neat), strips);
    const aw_polygon *o = &s.floor.outline;
    const double k = sheet.text_size / 2.35, x = o->high.x - o->low.x, y = o->high.y - o->low.y;
    const double w = floors[0].high.x - floors[0].low.x, h = floors[0].high.y - floors[0].low.y;
    const bool turned = fabs(w / h - x / y) > fabs(w / h - y / x);
    const double scale = 1000 * (turned ? y : x) / w;
    const double *list = s.units == AW_FEET ? feet : metric;
    const size_t n = s.units == AW_FEET ? 9 : 14;
    size_t at = 0;
    while (at < n && fabs(list[at] / scale - 1) > 1e-9)
        at++;
    ck_assert_msg(at < n, "1:%g is not listed", scale);
    const bounds room = find_room(&sheet, &neat[0], &neat[strips - 1]);
    const double larger = at > 0 ? scale / list[at - 1] : HUGE_VAL;
    ck_assert(strips_fit(&room, w, h, strips, k - 1e-9));
    for (size_t i = 1; i <= MOST_FLOORS; i++)
        ck_assert_msg(!strips_fit(&room, w * larger, h * larger, i, k), "1:%g would fit in %zu",
                      list[at - 1], i);
    aw_sheet_free(&sheet);
    aw_scenario_free(&s);
}
END_TEST

/* Strips go on in each other: what each shows of the floor overlaps the next by 3 to 6 % of its
 * length, and together they show all of it. */
START_TEST(strips_overlap_and_show_all_of_a_long_floor)
{
    aw_scenario s;
    aw_sheet sheet;
    bounds floors[MOST_FLOORS], neat[MOST_FLOORS];
    read_demo(&s, "washing-shed");
    const aw_chart_options options = {.layer = AW_LAYER_BOUND, .paper = AW_PAPER_A3};
    draw(&sheet, &s, &options);
    const size_t n = find_frames(&sheet, AW_INK_SHORE, floors);
    ck_assert_uint_eq(n, 2);
    ck_assert_uint_eq(find_frames(&sheet, AW_INK_NEAT, neat), n);
    ck_assert(has_text(&sheet, "scale, two strips"));
    double from[2], to[2];
    for (size_t i = 0; i < n; i++) {
        const double long_side = floors[i].high.x - floors[i].low.x;
        from[i] = (neat[i].low.x + 4.25 - floors[i].low.x) / long_side;
        to[i] = (neat[i].high.x - 4.25 - floors[i].low.x) / long_side;
    }
    ck_assert_double_lt(from[0], 0);
    ck_assert_double_gt(to[1], 1);
    ck_assert_double_gt(to[0] - from[1], 0.03);
    ck_assert_double_lt(to[0] - from[1], 0.06 + 1e-9);
    aw_sheet_free(&sheet);
    aw_scenario_free(&s);
}
END_TEST

/* --- isolines and regions, on fields made for it --- */

#define NX 37
#define NY 29

/* Waves with noise; with gaps if asked for. */
static void make_field(aw_field *f, uint64_t seed, bool gaps)
{
    const aw_grid frame = {.x0 = -3.1, .y0 = 7.7, .step = 0.43, .nx = NX, .ny = NY};
    uint64_t state = seed;
    ck_assert(aw_field_create(f, &frame));
    for (size_t j = 0; j < NY; j++)
        for (size_t i = 0; i < NX; i++) {
            const size_t at = j * NX + i;
            f->value[at] = 1.3 +
                           sin(0.31 * (double)i + 0.1 * (double)seed) * cos(0.23 * (double)j) +
                           0.4 * test_uniform(&state);
            f->kept[at] = true;
            if (gaps && test_uniform(&state) < 0.05)
                f->value[at] = (double)NAN;
        }
}

/* Whether a place lies next to the border of the lattice or to a centre without a value. */
static bool is_at_an_edge(const aw_field *f, aw_point p)
{
    const double u = (p.x - f->x0) / f->step - 0.5, v = (p.y - f->y0) / f->step - 0.5;
    if (u < 1e-9 || v < 1e-9 || u > NX - 1 - 1e-9 || v > NY - 1 - 1e-9)
        return true;
    for (long j = (long)floor(v - 1e-9); j <= (long)ceil(v + 1e-9); j++)
        for (long i = (long)floor(u - 1e-9); i <= (long)ceil(u + 1e-9); i++)
            for (long dj = -1; dj <= 1; dj++)
                for (long di = -1; di <= 1; di++)
                    if (j + dj >= 0 && j + dj < NY && i + di >= 0 && i + di < NX &&
                        isnan(f->value[(j + dj) * NX + i + di]))
                        return true;
    return false;
}

START_TEST(isolines_lie_at_their_value_and_end_only_at_edges)
{
    aw_field f;
    aw_paths paths;
    size_t points = 0;
    make_field(&f, (uint64_t)_i, _i % 2 == 1);
    const double level = 0.8 + 0.1 * _i;
    ck_assert(aw_field_trace(&f, level, &paths));
    for (size_t k = 0; k < paths.n; k++) {
        const aw_outline *p = &paths.list[k];
        for (size_t i = 0; i < p->n; i++, points++) {
            const double got = aw_field_at(&f, p->at[i].x, p->at[i].y);
            /* Next to a gap only the two centres of the edge have values. */
            if (!isnan(got))
                ck_close(got, level, 1e-9);
        }
        if (!p->closed) {
            ck_assert(is_at_an_edge(&f, p->at[0]));
            ck_assert(is_at_an_edge(&f, p->at[p->n - 1]));
        }
    }
    ck_assert_uint_gt(points, 30);
    aw_paths_free(&paths);
    aw_field_free(&f);
}
END_TEST

static double turn(aw_point a, aw_point b, aw_point c)
{
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

static bool cross(aw_point a, aw_point b, aw_point c, aw_point d)
{
    return turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
}

START_TEST(isolines_never_cross)
{
    static aw_point from[20000], to[20000];
    aw_field f;
    size_t n = 0;
    make_field(&f, 77 + (uint64_t)_i, _i % 2 == 1);
    for (double level = 0.6; level < 2.4; level += 0.2) {
        aw_paths paths;
        ck_assert(aw_field_trace(&f, level, &paths));
        for (size_t k = 0; k < paths.n; k++)
            for (size_t i = 0; i + (paths.list[k].closed ? 0 : 1) < paths.list[k].n; i++) {
                from[n] = paths.list[k].at[i];
                to[n++] = paths.list[k].at[(i + 1) % paths.list[k].n];
            }
        aw_paths_free(&paths);
    }
    ck_assert_uint_gt(n, 300);
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++)
            ck_assert_msg(!cross(from[i], to[i], from[j], to[j]), "segments %zu and %zu", i, j);
    aw_field_free(&f);
}
END_TEST

static TCase *sheets(void)
{
    TCase *tc = tcase_create("sheets");
    tcase_add_loop_test(tc, no_two_texts_touch_on_any_scenario_and_paper, 0,
                        N_SCENARIOS * AW_PAPERS);
    tcase_add_loop_test(tc, no_figure_stands_on_a_wall_or_the_edge_of_a_body, 0, 3);
    tcase_add_loop_test(tc, no_two_texts_touch_on_a_random_site, 0,
                        getenv("AW_WHOLE") != NULL ? 50 : 15);
    tcase_add_loop_test(tc, every_layer_with_values_draws, 0, AW_LAYERS);
    return tc;
}

static TCase *scales(void)
{
    TCase *tc = tcase_create("scales");
    tcase_add_test(tc, the_drawn_scale_is_the_stated_one);
    tcase_add_loop_test(tc, no_larger_listed_scale_fits, 0, N_SCENARIOS * AW_PAPERS);
    tcase_add_test(tc, strips_overlap_and_show_all_of_a_long_floor);
    return tc;
}

static TCase *fields(void)
{
    TCase *tc = tcase_create("fields");
    tcase_add_loop_test(tc, isolines_lie_at_their_value_and_end_only_at_edges, 0, 10);
    tcase_add_loop_test(tc, isolines_never_cross, 0, 4);
    return tc;
}

AW_TEST_MAIN("chart", sheets(), scales(), fields())
