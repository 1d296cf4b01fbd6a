/* Colours that can be told apart by every kind of sight, and what tints, hatches and marks say of
 * the cells under them. */
#include "draw/field.h"
#include "base/plane.h"
#include "sheets.h"

/* --- colours as the eye has them --- */

/* sRGB to linear, IEC 61966-2-1. */
static void linear_of(long colour, double out[3])
{
    for (int k = 0; k < 3; k++) {
        const double c = (double)(colour >> (16 - 8 * k) & 255) / 255;
        out[k] = c <= 0.04045 ? c / 12.92 : pow((c + 0.055) / 1.055, 2.4);
    }
}

static const double xyz_rows[3][3] = {{0.4124564, 0.3575761, 0.1804375},
                                      {0.2126729, 0.7151522, 0.0721750},
                                      {0.0193339, 0.1191920, 0.9503041}};

/* Sight of deuteranopes and protanopes: G. Machado, M. Oliveira, L. Fernandes, IEEE Transactions on
 * Visualization and Computer Graphics 15(6), 2009, severity 1, on linear sRGB (from memory). */
static const double sights[3][3][3] = {
    {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
    {{0.367322, 0.860646, -0.227968},
     {0.280085, 0.672501, 0.047413},
     {-0.011820, 0.042940, 0.968881}},
    {{0.152286, 1.052583, -0.204868},
     {0.114503, 0.786281, 0.099216},
     {-0.003882, -0.048116, 1.051998}},
};
#define N_SIGHTS 3

static void multiply(const double m[3][3], const double v[3], double out[3])
{
    for (int i = 0; i < 3; i++)
        out[i] = m[i][0] * v[0] + m[i][1] * v[1] + m[i][2] * v[2];
}

typedef struct lab {
    double l, a, b;
} lab;

static lab lab_of(long colour, int sight)
{
    static const double white[3] = {0.95047, 1, 1.08883};
    double c[3], seen[3], xyz[3], f[3];
    linear_of(colour, c);
    multiply(sights[sight], c, seen);
    for (int k = 0; k < 3; k++)
        seen[k] = fmin(fmax(seen[k], 0), 1);
    multiply(xyz_rows, seen, xyz);
    for (int k = 0; k < 3; k++) {
        const double x = xyz[k] / white[k];
        f[k] = x > 216.0 / 24389 ? cbrt(x) : (24389.0 / 27 * x + 16) / 116;
    }
    return (lab){116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])};
}

static double hue_of(double a, double b)
{
    const double h = atan2(b, a) * 180 / M_PI;
    return h < 0 ? h + 360 : h;
}

static double cosine(double degrees)
{
    return cos(degrees * M_PI / 180);
}

/* CIEDE2000: G. Sharma, W. Wu, E. Dalal, Color Research and Application 30:21-30, 2005. */
static double distance_of(lab p, lab q)
{
    const double mean = (hypot(p.a, p.b) + hypot(q.a, q.b)) / 2, mean7 = pow(mean, 7);
    const double g = 0.5 * (1 - sqrt(mean7 / (mean7 + pow(25, 7))));
    const double a1 = p.a * (1 + g), a2 = q.a * (1 + g);
    const double c1 = hypot(a1, p.b), c2 = hypot(a2, q.b), c = (c1 + c2) / 2;
    const double h1 = hue_of(a1, p.b), h2 = hue_of(a2, q.b);
    double dh = h2 - h1, h = (h1 + h2) / 2;
    if (c1 * c2 == 0) {
        dh = 0;
        h = h1 + h2;
    } else if (fabs(h2 - h1) > 180) {
        dh += dh < 0 ? 360 : -360;
        h += h1 + h2 < 360 ? 180 : -180;
    }
    const double l = (p.l + q.l) / 2, c7 = pow(c, 7);
    const double big = 2 * sqrt(c1 * c2) * sin(dh / 2 * M_PI / 180);
    const double t = 1 - 0.17 * cosine(h - 30) + 0.24 * cosine(2 * h) + 0.32 * cosine(3 * h + 6) -
                     0.20 * cosine(4 * h - 63);
    const double turn =
        -2 * sqrt(c7 / (c7 + pow(25, 7))) * sin(60 * exp(-pow((h - 275) / 25, 2)) * M_PI / 180);
    const double x = (q.l - p.l) / (1 + 0.015 * pow(l - 50, 2) / sqrt(20 + pow(l - 50, 2)));
    const double y = (c2 - c1) / (1 + 0.045 * c), z = big / (1 + 0.015 * c * t);
    return sqrt(x * x + y * y + z * z + turn * y * z);
}

/* Pairs 1, 7, 19, 25 and 28 of the published test data. */
START_TEST(the_distance_is_the_published_one)
{
    static const struct {
        lab p, q;
        double distance;
    } pairs[] = {
        {{50, 2.6772, -79.7751}, {50, 0, -82.7485}, 2.0425},
        {{50, 0, 0}, {50, -1, 2}, 2.3669},
        {{50, 2.5, 0}, {50, 1.8634, 0.5757}, 1.0},
        {{60.2574, -34.0099, 36.2677}, {60.4626, -34.1751, 39.4387}, 1.2644},
        {{50, 2.5, 0}, {73, 25, -18}, 27.1492},
    };
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++)
        ck_assert_double_lt(fabs(distance_of(pairs[i].p, pairs[i].q) - pairs[i].distance), 1e-4);
}
END_TEST

/* WCAG 2.1, contrast ratio. */
static double contrast(long a, long b)
{
    double la[3], lb[3], ya[3], yb[3];
    linear_of(a, la);
    linear_of(b, lb);
    multiply(xyz_rows, la, ya);
    multiply(xyz_rows, lb, yb);
    return (fmax(ya[1], yb[1]) + 0.05) / (fmin(ya[1], yb[1]) + 0.05);
}

static long tint(int k, bool grey)
{
    return aw_ink_fill(AW_INK_TINT, (double)k / (AW_TINTS - 1), grey);
}

static double to_nearest_tint(long colour, bool grey, int sight)
{
    double least = HUGE_VAL;
    for (int k = 0; k < AW_TINTS; k++)
        least = fmin(least, distance_of(lab_of(colour, sight), lab_of(tint(k, grey), sight)));
    return least;
}

/* In colour for three kinds of sight, then in grey. */
START_TEST(grounds_can_be_told_apart)
{
    const bool grey = _i == N_SIGHTS;
    const int sight = grey ? 0 : _i;
    const long land = aw_ink_fill(AW_INK_LAND, 0, grey);
    const long no_fix = aw_ink_fill(AW_INK_NO_FIX, 0, grey);
    const long better = aw_ink_fill(AW_INK_BETTER, 0, grey);
    const long worse = aw_ink_fill(AW_INK_WORSE, 0, grey);
    const long paper = aw_ink_fill(AW_INK_PAPER, 0, grey);
    for (int k = 0; k + 1 < AW_TINTS; k++)
        ck_assert_double_ge(
            distance_of(lab_of(tint(k, grey), sight), lab_of(tint(k + 1, grey), sight)), 4.5);
    ck_assert_double_ge(to_nearest_tint(land, grey, sight), 8);
    ck_assert_double_ge(to_nearest_tint(no_fix, grey, sight), 4);
    ck_assert_double_ge(distance_of(lab_of(land, sight), lab_of(no_fix, sight)), 8);
    ck_assert_double_ge(distance_of(lab_of(better, sight), lab_of(worse, sight)), 15);
    ck_assert_double_ge(distance_of(lab_of(better, sight), lab_of(paper, sight)), 8);
    ck_assert_double_ge(distance_of(lab_of(worse, sight), lab_of(paper, sight)), 8);
    ck_assert_double_ge(distance_of(lab_of(aw_ink_stroke(AW_INK_NEED, grey), sight),
                                    lab_of(aw_ink_stroke(AW_INK_CONTOUR, grey), sight)),
                        8);
}
END_TEST

/* Which ground an ink of texts stands on; -1: paper. */
static bool stands_on_water(aw_ink ink)
{
    return ink == AW_INK_SOUNDING || ink == AW_INK_MISSED || ink == AW_INK_VALUE ||
           ink == AW_INK_NAME || ink == AW_INK_ZONE_NAME || ink == AW_INK_OVERHEAD_NAME;
}

START_TEST(texts_and_marks_stand_out_from_their_ground)
{
    const bool grey = _i;
    const long paper = aw_ink_fill(AW_INK_PAPER, 0, grey), worst = tint(AW_TINTS - 1, grey);
    const long no_fix = aw_ink_fill(AW_INK_NO_FIX, 0, grey);
    for (int ink = AW_INK_SOUNDING; ink < AW_INKS; ink++) {
        const long ground = ink == AW_INK_LAND_NAME        ? aw_ink_fill(AW_INK_LAND, 0, grey)
                            : ink == AW_INK_LETTER_MISSED  ? aw_ink_fill(AW_INK_STIPPLE, 0, grey)
                            : stands_on_water((aw_ink)ink) ? worst
                                                           : paper;
        ck_assert_msg(contrast(aw_ink_fill((aw_ink)ink, 0, grey), ground) >= 4.5, "%s",
                      aw_ink_rows[ink].name); /* WCAG 2.1, level AA */
    }
    ck_assert_double_ge(contrast(aw_ink_stroke(AW_INK_NO_FIX_HATCH, grey), no_fix), 3);
    ck_assert_double_ge(contrast(aw_ink_stroke(AW_INK_NEED, grey), worst), 2.5);
}
END_TEST

/* Better is paler, in even order. */
START_TEST(tints_deepen_from_class_to_class)
{
    for (int k = 0; k + 1 < AW_TINTS; k++)
        ck_assert_double_gt(lab_of(tint(k, _i), 0).l, lab_of(tint(k + 1, _i), 0).l + 3);
}
END_TEST

/* --- what stands on the sheet --- */

typedef struct drawn {
    aw_scenario s;
    aw_sheet sheet;
    double mm;
    aw_point origin; /* paper place of the floor's upper left corner */
} drawn;

/* Reads a demo and draws its chart. */
static void draw(drawn *d, const char *name, aw_chart_options options)
{
    aw_errors errors = {0};
    read_demo(&d->s, name);
    d->s.study.draws = 200;
    aw_chart *chart = aw_chart_create(&d->s, &options, &(aw_run){2, NULL, &errors});
    ck_assert_ptr_nonnull(chart);
    ck_assert(aw_chart_draw(&d->sheet, chart, &errors));
    aw_chart_free(chart);
    const aw_polygon *o = &d->s.floor.outline;
    for (size_t i = 0; i < d->sheet.n; i++) {
        const aw_item *t = &d->sheet.items[i];
        if (t->kind != AW_ITEM_LINE || t->ink != AW_INK_SHORE)
            continue;
        d->origin = t->at[0];
        double right = t->at[0].x;
        for (size_t k = 1; k < t->n_points; k++) {
            d->origin = (aw_point){fmin(d->origin.x, t->at[k].x), fmin(d->origin.y, t->at[k].y)};
            right = fmax(right, t->at[k].x);
        }
        d->mm = (right - d->origin.x) / (o->high.x - o->low.x);
    }
}

static void release(drawn *d)
{
    aw_sheet_free(&d->sheet);
    aw_scenario_free(&d->s);
}

static aw_point metres_of(const drawn *d, aw_point paper)
{
    return (aw_point){d->s.floor.outline.low.x + (paper.x - d->origin.x) / d->mm,
                      d->s.floor.outline.high.y - (paper.y - d->origin.y) / d->mm};
}

static aw_point paper_of(const drawn *d, aw_point metres)
{
    return (aw_point){d->origin.x + (metres.x - d->s.floor.outline.low.x) * d->mm,
                      d->origin.y + (d->s.floor.outline.high.y - metres.y) * d->mm};
}

/* Whether a fill covers a place: parity of all its paths. */
static bool covers(const aw_item *t, aw_point p)
{
    bool inside = false;
    for (size_t path = 0, first = 0; path < t->n_paths; first = t->ends[path++])
        for (size_t i = first; i < t->ends[path]; i++) {
            const aw_point a = t->at[i], b = t->at[i + 1 < t->ends[path] ? i + 1 : first];
            if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x))
                inside = !inside;
        }
    return inside;
}

#define MOST_CLIPS 8

/* The fill of grounds on top at a place, of those that show there. */
static const aw_item *ground_at(const drawn *d, aw_point paper)
{
    const aw_item *top = NULL;
    bool shown[MOST_CLIPS] = {true};
    size_t depth = 0;
    for (size_t i = 0; i < d->sheet.n; i++) {
        const aw_item *t = &d->sheet.items[i];
        if (t->kind == AW_ITEM_CLIP) {
            ck_assert_uint_lt(depth + 1, MOST_CLIPS);
            shown[depth + 1] = shown[depth] && covers(t, paper);
            depth++;
        } else if (t->kind == AW_ITEM_FREE) {
            depth--;
        } else if (t->kind == AW_ITEM_FILL && shown[depth] &&
                   (t->ink == AW_INK_TINT || t->ink == AW_INK_NO_FIX || t->ink == AW_INK_LAND ||
                    t->ink == AW_INK_PAPER) &&
                   covers(t, paper)) {
            top = t;
        }
    }
    return top;
}

/* The classes of an error, m, and what a figure reads as: centimetres or inches, or metres or
 * feet with their unit. */
static const double classes[] = {0.2, 0.5, 1, 2, 5, 10};

static double read_figure(const char *text, aw_units units)
{
    char unit[8] = "";
    double value = 0;
    ck_assert_int_ge(sscanf(text, "%lf %7s", &value, unit), 1);
    return unit[0] == 'm'     ? value
           : unit[0] == 'f'   ? value * 0.3048
           : units == AW_FEET ? value * 0.0254
                              : value / 100;
}

/* Soundings stand on the tint of their class, whatever the sheet's range. Figures have two digits:
 * those within a rounding of a border say nothing. Figures run on between cells, and a border cuts
 * a cell straight: where noise makes the two differ, one in 40 may stand beside its tint. */
START_TEST(a_tint_means_the_same_error_on_every_sheet)
{
    drawn d = {0};
    size_t told = 0, wrong = 0;
    draw(&d, scenarios[_i], (aw_chart_options){.layer = AW_LAYER_P95, .paper = AW_PAPER_A3});
    for (size_t i = 0; i < d.sheet.n; i++) {
        const aw_item *t = &d.sheet.items[i];
        const aw_point middle = {(t->low.x + t->high.x) / 2, (t->low.y + t->high.y) / 2};
        const aw_point m = metres_of(&d, middle);
        if (t->kind != AW_ITEM_TEXT || (t->ink != AW_INK_SOUNDING && t->ink != AW_INK_MISSED) ||
            !aw_polygon_holds(&d.s.floor.outline, m.x, m.y))
            continue;
        const double value = read_figure(t->text, d.s.units);
        int class = 0;
        bool near = false;
        for (int k = 0; k < AW_TINTS - 1; k++) {
            class += value >= classes[k];
            near = near || fabs(value / classes[k] - 1) < 0.06;
        }
        if (near)
            continue;
        const aw_item *ground = ground_at(&d, middle);
        ck_assert(ground != NULL && ground->ink == AW_INK_TINT);
        wrong += fabs(ground->shade - (double)class / (AW_TINTS - 1)) > 1e-9;
        told++;
    }
    ck_assert_uint_gt(told, 40);
    ck_assert_uint_le(40 * wrong, told);
    release(&d);
}
END_TEST

/* A cell without a figure lies on the ground of no fix, unless land is over it, and only such a
 * cell does. */
START_TEST(no_fix_is_no_water)
{
    drawn d = {0};
    aw_errors errors = {0};
    aw_grid grid;
    aw_map map;
    size_t gaps = 0, wrong = 0, words = 0;
    draw(&d, "tram-hall", (aw_chart_options){.layer = AW_LAYER_P95, .paper = AW_PAPER_A3});
    const aw_map_plan plan = {.scenario = &d.s, .groups = 1};
    ck_assert(aw_grid_lay_zone(&grid, &d.s, NULL, &errors));
    ck_assert(aw_map_run(&map, &grid, &plan, &(aw_run){2, NULL, &errors}));
    for (size_t k = 0; k < map.grid.n; k++) {
        const aw_point c = aw_grid_centre(&map.grid, map.grid.number[k]);
        bool other = false;
        for (size_t i = 0; i < d.s.n_zones; i++)
            other = other ||
                    (d.s.zones[i].tag != 0 && aw_polygon_holds(&d.s.zones[i].outline, c.x, c.y));
        if (other)
            continue;
        const bool gap = isnan(map.value[(size_t)AW_LAYER_P95 * map.grid.n + k]);
        const aw_item *ground = ground_at(&d, paper_of(&d, c));
        gaps += gap;
        wrong += (ground->ink == AW_INK_NO_FIX) != gap;
    }
    for (size_t i = 0; i < d.sheet.n; i++)
        words +=
            d.sheet.items[i].kind == AW_ITEM_TEXT && strcmp(d.sheet.items[i].text, "NO FIX") == 0;
    ck_assert_uint_gt(gaps, 100);
    ck_assert_uint_eq(wrong, 0);
    ck_assert_uint_ge(words, 2);
    aw_map_free(&map);
    release(&d);
}
END_TEST

/* What an item's octagon is centred on. */
static aw_point octagon(const aw_item *t, size_t k)
{
    return (aw_point){(t->at[k].x + t->at[k + 4].x) / 2, (t->at[k].y + t->at[k + 4].y) / 2};
}

/* Dots stand in cells whose interval lies over the need, rings in those whose interval holds it,
 * and no cell of either kind is without one: cells are larger than the lattice. */
START_TEST(dots_and_rings_tell_missed_cells_from_tied_ones)
{
    static int marks[2][1 << 16];
    drawn d = {0};
    aw_errors errors = {0};
    size_t checked[2] = {0};
    draw(&d, "washing-shed", (aw_chart_options){.layer = AW_LAYER_P95, .paper = AW_PAPER_A3});
    aw_grid grid;
    aw_map map;
    const aw_map_plan plan = {.scenario = &d.s, .groups = 1, .interval_of = AW_LAYER_P95};
    ck_assert(aw_grid_lay_zone(&grid, &d.s, NULL, &errors));
    ck_assert(aw_map_run(&map, &grid, &plan, &(aw_run){2, NULL, &errors}));
    memset(marks, 0, sizeof marks);
    for (size_t i = 0; i < d.sheet.n; i++) {
        const aw_item *t = &d.sheet.items[i];
        if ((t->ink != AW_INK_STIPPLE && t->ink != AW_INK_TIED) || t->n_paths < 20)
            continue;
        for (size_t k = 0; k + 7 < t->n_points; k += 8) {
            const aw_point m = metres_of(&d, octagon(t, k));
            const size_t at = (size_t)((m.y - map.grid.y0) / map.grid.step) * map.grid.nx +
                              (size_t)((m.x - map.grid.x0) / map.grid.step);
            marks[t->ink == AW_INK_TIED][at]++;
        }
    }
    for (size_t k = 0; k < map.grid.n; k++) {
        const aw_point c = aw_grid_centre(&map.grid, map.grid.number[k]);
        double need = (double)NAN;
        for (size_t i = d.s.n_zones; i-- > 0;)
            if (aw_polygon_holds(&d.s.zones[i].outline, c.x, c.y))
                need = d.s.zones[i].need.p95;
        const int *of[2] = {&marks[0][map.grid.number[k]], &marks[1][map.grid.number[k]]};
        const double low = map.ends[0][k], high = map.ends[1][k];
        ck_assert(isnan(low) || low <= high);
        if (!(low > need))
            ck_assert_int_eq(*of[0], 0);
        if (!(low <= need && high >= need))
            ck_assert_int_eq(*of[1], 0);
        checked[0] += *of[0] > 0;
        checked[1] += *of[1] > 0;
    }
    ck_assert_uint_gt(checked[0], 20);
    ck_assert_uint_gt(checked[1], 20);
    aw_map_free(&map);
    release(&d);
}
END_TEST

/* Relative tints: soundings in a zone stand on the tint of their share of its need. */
START_TEST(relative_tints_are_shares_of_the_need)
{
    static const double borders[] = {0.5, 1, 2}, steps[] = {1, 2, 4, 6};
    drawn d = {0};
    size_t told = 0, wrong = 0;
    draw(&d, "tram-hall",
         (aw_chart_options){.layer = AW_LAYER_P95, .paper = AW_PAPER_A3, .relative = true});
    for (size_t i = 0; i < d.sheet.n; i++) {
        const aw_item *t = &d.sheet.items[i];
        const aw_point middle = {(t->low.x + t->high.x) / 2, (t->low.y + t->high.y) / 2};
        const aw_point m = metres_of(&d, middle);
        double need = (double)NAN;
        bool near = false;
        int class = 0;
        if (t->kind != AW_ITEM_TEXT || (t->ink != AW_INK_SOUNDING && t->ink != AW_INK_MISSED))
            continue;
        for (size_t z = d.s.n_zones; z-- > 0;)
            if (aw_polygon_holds(&d.s.zones[z].outline, m.x, m.y) && !isnan(d.s.zones[z].need.p95))
                need = d.s.zones[z].need.p95;
        if (isnan(need))
            continue;
        for (int k = 0; k < 3; k++) {
            class += read_figure(t->text, d.s.units) >= borders[k] * need;
            near = near || fabs(read_figure(t->text, d.s.units) / (borders[k] * need) - 1) < 0.06;
        }
        if (near)
            continue;
        wrong += fabs(ground_at(&d, middle)->shade - steps[class] / (AW_TINTS - 1)) > 1e-9;
        told++;
    }
    ck_assert_uint_gt(told, 40);
    ck_assert_uint_le(40 * wrong, told);
    release(&d);
}
END_TEST

static TCase *colours(void)
{
    TCase *tc = tcase_create("colours");
    tcase_add_test(tc, the_distance_is_the_published_one);
    tcase_add_loop_test(tc, grounds_can_be_told_apart, 0, N_SIGHTS + 1);
    tcase_add_loop_test(tc, texts_and_marks_stand_out_from_their_ground, 0, 2);
    tcase_add_loop_test(tc, tints_deepen_from_class_to_class, 0, 2);
    return tc;
}

static TCase *grounds(void)
{
    TCase *tc = tcase_create("grounds");
    tcase_add_loop_test(tc, a_tint_means_the_same_error_on_every_sheet, 0, N_SCENARIOS);
    tcase_add_test(tc, no_fix_is_no_water);
    tcase_add_test(tc, dots_and_rings_tell_missed_cells_from_tied_ones);
    tcase_add_test(tc, relative_tints_are_shares_of_the_need);
    return tc;
}

AW_TEST_MAIN("tints", colours(), grounds())
