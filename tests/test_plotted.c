/* Sheets with plotted series against the figures they were given: every curve, bar and mark is read
 * back from the sheet's lines by its own axes and marks. Then each series is given wrongly in turn,
 * a hundredth larger, of the other sign, its neighbour's, and every time the reading has to notice.
 */
#include "draw/bars.h"
#include "plotted_curves.h"

START_TEST(curves_show_what_they_were_given)
{
    const aw_sweep w = make_sweep();
    ck_assert(shows_curves(&w, &w));
}
END_TEST

/* --- bars --- */

#define PRESENT 3
static const aw_assumption present[PRESENT] = {0, 1, 2};

static struct {
    aw_zone zones[ZONES];
    aw_zone_result today[ZONES];
    aw_sensitivity_end ends[ZONES * AW_ASSUMPTIONS * 2];
    aw_joint joint[ZONES];
} leaning;

static aw_sensitivity_end *end_of(size_t zone, size_t k, int end)
{
    return &leaning.ends[(zone * AW_ASSUMPTIONS + (size_t)present[k]) * 2 + (size_t)end];
}

static aw_sensitivity make_sensitivity(void)
{
    static const double low[ZONES][PRESENT] = {{2.91, 3.32, 3.71}, {3.11, 3.52, 4.21}};
    static const double high[ZONES][PRESENT] = {{7.13, 6.24, 5.17}, {8.13, 7.21, 6.33}};
    aw_sensitivity v = {.n_zones = ZONES,
                        .zones = leaning.zones,
                        .today = leaning.today,
                        .ends = leaning.ends,
                        .joint = leaning.joint,
                        .holding = {(double)NAN, (double)NAN, (double)NAN}};
    memset(&leaning, 0, sizeof leaning);
    for (size_t z = 0; z < ZONES; z++) {
        leaning.zones[z].name = z == 0 ? "west" : "east";
        leaning.zones[z].need.p95 = z == 0 ? 5.62 : 5.93;
        leaning.today[z].errors.p95 = z == 0 ? 4.27 : 4.79;
        leaning.today[z].verdict = AW_NO_NEED;
        leaning.today[z].parts[AW_PART_CHANCE].found.value = (double)NAN;
        leaning.joint[z] = (aw_joint){.p05 = z == 0 ? 3.05 : 3.37,
                                      .p95 = z == 0 ? 6.78 : 7.65,
                                      .holding = {(double)NAN, (double)NAN, (double)NAN}};
        for (size_t k = 0; k < PRESENT; k++)
            for (int end = 0; end < 2; end++) {
                aw_sensitivity_end *e = end_of(z, k, end);
                e->result.errors.p95 = end ? high[z][k] : low[z][k];
                e->result.errors.cells = 1;
                e->result.parts[AW_PART_CHANCE].found.value = (double)NAN;
                const double change = e->result.errors.p95 - leaning.today[z].errors.p95;
                e->change = (aw_estimate){change, change, change};
            }
    }
    for (size_t k = 0; k < PRESENT; k++)
        v.assumed[present[k]] =
            (aw_assumption_range){.present = true, .low = 1, .today = 2, .high = 3};
    return v;
}

static bool has_figure(const aw_sheet *s, double metres, double middle)
{
    mark texts[MOST];
    char figure[32];
    const size_t n = find_marks(s, AW_ITEM_TEXT, AW_INK_NOTE, (double)NAN, texts);
    snprintf(figure, sizeof figure, "%.0f", 100 * metres);
    for (size_t i = 0; i < n; i++)
        if (fabs((texts[i].low.y + texts[i].high.y) / 2 - middle) < 0.5 &&
            strcmp(texts[i].text, figure) == 0)
            return true;
    return false;
}

static bool has_head(const aw_sheet *s, const char *name, double today, double need)
{
    mark texts[MOST];
    char head[80];
    size_t n = find_marks(s, AW_ITEM_TEXT, AW_INK_NOTE, (double)NAN, texts);
    bool said = false, named = false;
    snprintf(head, sizeof head, "p95 %.0f cm today, need %.0f cm", 100 * today, 100 * need);
    for (size_t i = 0; i < n; i++)
        said = said || strcmp(texts[i].text, head) == 0;
    n = find_marks(s, AW_ITEM_TEXT, AW_INK_ZONE_NAME, (double)NAN, texts);
    for (size_t i = 0; i < n; i++)
        named = named || strcmp(texts[i].text, name) == 0;
    return said && named;
}

/* The mark of today beside that of the need: of the same height, and from it bars begin. */
static double today_beside(const aw_sheet *s, const mark *need)
{
    mark rules[MOST];
    const size_t n = find_marks(s, AW_ITEM_LINE, AW_INK_RULE, (double)NAN, rules);
    double nearest = (double)NAN;
    for (size_t i = 0; i < n; i++)
        if (rules[i].low.x == rules[i].high.x && rules[i].low.y == need->low.y &&
            rules[i].high.y == need->high.y &&
            !(fabs(rules[i].low.x - need->low.x) > fabs(nearest - need->low.x)))
            nearest = rules[i].low.x;
    return nearest;
}

/* Bar k of a shade from today's mark on: where its other end is, and its box. */
static double bar_end(const aw_sheet *s, const mark *need, double today, double shade, size_t k,
                      mark *bar)
{
    mark boxes[MOST];
    const size_t n = find_marks(s, AW_ITEM_FILL, AW_INK_TINT, shade, boxes);
    for (size_t i = 0; i < n; i++) {
        const bool right = is_near(boxes[i].low.x, today), left = is_near(boxes[i].high.x, today);
        if (boxes[i].low.y < need->low.y || boxes[i].high.y > need->high.y || (!left && !right))
            continue;
        *bar = boxes[i];
        if (k-- == 0)
            return right ? boxes[i].high.x : boxes[i].low.x;
    }
    return (double)NAN;
}

static bool shows_joint(const aw_sheet *s, const mark *need, double today, const aw_joint *j,
                        double origin, double per)
{
    mark boxes[MOST];
    const size_t n = find_marks(s, AW_ITEM_FILL, AW_INK_LAND, (double)NAN, boxes);
    for (size_t i = 0; i < n; i++) {
        const mark *b = &boxes[i];
        const double middle = (b->low.y + b->high.y) / 2;
        if (b->low.y > need->low.y && b->high.y < need->high.y && b->low.x < today &&
            b->high.x > today)
            return is_near(origin + per * b->low.x, j->p05) &&
                   is_near(origin + per * b->high.x, j->p95) && has_figure(s, j->p05, middle) &&
                   has_figure(s, j->p95, middle);
    }
    return false;
}

/* By the marks of today and the need, whose figures stand in the head. */
static bool shows_bars_of(const aw_sheet *s, const mark *need, const aw_sensitivity *v, size_t zone)
{
    const double today = v->today[zone].errors.p95, asked = v->zones[zone].need.p95;
    const double x = today_beside(s, need), per = (asked - today) / (need->low.x - x);
    const double origin = today - per * x;
    bool shown = has_head(s, v->zones[zone].name, today, asked) &&
                 shows_joint(s, need, x, &v->joint[zone], origin, per);
    for (size_t k = 0; shown && k < PRESENT; k++)
        for (int end = 0; end < 2; end++) {
            const double value =
                v->ends[(zone * AW_ASSUMPTIONS + (size_t)present[k]) * 2 + (size_t)end]
                    .result.errors.p95;
            mark bar = {.text = NULL};
            const double at =
                bar_end(s, need, x, end ? AW_SHADE_HIGH_END : AW_SHADE_LOW_END, k, &bar);
            shown = shown && is_near(origin + per * at, value) &&
                    has_figure(s, value, end ? bar.low.y : bar.high.y);
        }
    return shown;
}

static bool shows_bars(const aw_sensitivity *drawn, const aw_sensitivity *asked)
{
    aw_polygon floor = {.n = 0};
    const aw_scenario site = {.title = "Hall",
                              .study = {.draws = 100, .seed = 1, .precision = (double)NAN},
                              .floor = {.outline = floor}};
    const aw_bars what = {drawn, &site, options};
    mark needs[MOST], upright[ZONES];
    aw_errors errors = {0};
    aw_sheet sheet;
    size_t found = 0;
    ck_assert(aw_bars_draw(&sheet, &what, &errors));
    const size_t n = find_marks(&sheet, AW_ITEM_LINE, AW_INK_NEED, (double)NAN, needs);
    for (size_t i = 0; i < n; i++)
        if (needs[i].low.x == needs[i].high.x && found < ZONES)
            upright[found++] = needs[i];
    bool shown = found == ZONES;
    for (size_t z = 0; shown && z < ZONES; z++)
        shown = shows_bars_of(&sheet, &upright[z], asked, z);
    aw_sheet_free(&sheet);
    aw_errors_free(&errors);
    return shown;
}

START_TEST(bars_show_what_they_were_given)
{
    const aw_sensitivity v = make_sensitivity();
    ck_assert(shows_bars(&v, &v));
}
END_TEST

/* --- series told wrongly --- */

/* The numbers of one series, and those beside them that they could be taken for. */
typedef struct series {
    const char *name;
    double *at[POINTS], *beside[POINTS];
    size_t n;
} series;

/* Makes one of the mistakes; false if it would change nothing. */
static bool make_mistake(const series *s, int mistake)
{
    bool any = false;
    for (size_t i = 0; i < s->n; i++) {
        const double was = *s->at[i];
        *s->at[i] = mistake == 0 ? 1.01 * was : mistake == 1 ? -was : *s->beside[i];
        any = any || *s->at[i] != was;
    }
    return any;
}

#define MISTAKES 3
static const char *const mistakes[MISTAKES] = {"a hundredth larger", "of the other sign",
                                               "its neighbour's"};

/* Series k of the curves: value, low, high of each zone, its need, and the points. */
#define CURVES (ZONES * 4 + 1)
static aw_estimate *p95_at(size_t point, size_t zone)
{
    return &given.zones[point][zone].parts[AW_PART_P95].found;
}

static series curve_series(size_t k)
{
    static const char *const names[] = {"p95", "low end", "high end", "need"};
    series s = {.name = k < CURVES - 1 ? names[k % 4] : "points"};
    const size_t zone = k / 4, other = 1 - zone;
    for (size_t i = 0; i < POINTS; i++) {
        double *const a[] = {&p95_at(i, zone % ZONES)->value, &p95_at(i, zone % ZONES)->low,
                             &p95_at(i, zone % ZONES)->high};
        double *const b[] = {&p95_at(i, other % ZONES)->value, &p95_at(i, zone % ZONES)->value,
                             &p95_at(i, zone % ZONES)->value};
        if (k == CURVES - 1) {
            s.at[s.n] = &given.points[i].at;
            s.beside[s.n++] = &given.asked[0];
        } else if (k % 4 < 3) {
            s.at[s.n] = a[k % 4];
            s.beside[s.n++] = b[k % 4];
        }
    }
    if (k < CURVES - 1 && k % 4 == 3) {
        s.at[0] = &given.asked[zone];
        s.beside[0] = &given.asked[other];
        s.n = 1;
    }
    return s;
}

/* Of the bars: both ends of each assumption, today, the need and both ends of all together. */
#define BARS (ZONES * (2 * PRESENT + 4))
static series bar_series(size_t k)
{
    const size_t zone = k / (2 * PRESENT + 4), which = k % (2 * PRESENT + 4);
    series s = {.n = 1};
    if (which < 2 * PRESENT) {
        s.name = which % 2 ? "high end" : "low end";
        s.at[0] = &end_of(zone, which / 2, (int)(which % 2))->result.errors.p95;
        s.beside[0] = &end_of(zone, which / 2, 1 - (int)(which % 2))->result.errors.p95;
        return s;
    }
    static const char *const names[] = {"today", "need", "least of all", "most of all"};
    double *const at[] = {&leaning.today[zone].errors.p95, &leaning.zones[zone].need.p95,
                          &leaning.joint[zone].p05, &leaning.joint[zone].p95};
    s.name = names[which - 2 * PRESENT];
    s.at[0] = at[which - 2 * PRESENT];
    s.beside[0] = at[(which - 2 * PRESENT) ^ 1];
    return s;
}

/* A copy to draw from is spoilt, the series itself stays. */
/* A ring stands round the knee of the zone that has one, and a price over each point. */
START_TEST(knees_and_prices_stand_at_their_points)
{
    static const aw_scenario site = {
        .title = "Hall", .study = {.draws = 100, .seed = 1}, .prices = {.currency = "EUR"}};
    aw_sweep w = make_sweep();
    panel panels[ZONES];
    mark rings[MOST], prices[MOST];
    aw_errors errors = {0};
    aw_sheet sheet;
    const size_t knee = 2;
    for (size_t i = 0; i < w.n; i++)
        w.points[i].price = 410 + 90 * (double)i;
    w.bends[0] = (aw_curve_shape){.kind = AW_BEND_KNEE, .from = w.points[knee].at};
    ck_assert(aw_sweep_draw(&sheet, &w, &site, &options, &errors));
    ck_assert_uint_eq(find_panels(&sheet, panels), ZONES);
    const panel *p = &panels[0];
    ck_assert(read_axes(&sheet, &panels[0]));
    ck_assert_uint_eq(find_marks(&sheet, AW_ITEM_LINE, AW_INK_CHANGE, (double)NAN, rings), 1);
    const double x = (rings[0].low.x + rings[0].high.x) / 2,
                 y = (rings[0].low.y + rings[0].high.y) / 2;
    ck_assert_double_eq_tol(p->x0 + p->per_x * x, w.points[knee].at, 1e-3);
    ck_assert_double_eq_tol(p->y0 + p->per_y * y,
                            w.points[knee].zones[0].parts[AW_PART_P95].found.value, 1e-3);
    ck_assert_uint_eq(find_marks(&sheet, AW_ITEM_TEXT, AW_INK_RESULT, (double)NAN, prices),
                      ZONES * POINTS);
    for (size_t i = 0; i < POINTS; i++) {
        ck_assert_double_eq_tol(atof(prices[i].text), w.points[i].price, 0.5);
        ck_assert_double_eq_tol(p->x0 + p->per_x * (prices[i].low.x + prices[i].high.x) / 2,
                                w.points[i].at, 1e-3);
    }
    w.bends[0].kind = AW_BEND_NONE;
    aw_sheet_free(&sheet);
    aw_errors_free(&errors);
}
END_TEST

START_TEST(every_curve_told_wrongly_is_noticed)
{
    for (int m = 0; m < MISTAKES; m++) {
        const aw_sweep asked = make_sweep();
        double need[ZONES];
        aw_swept points[POINTS];
        aw_zone_result zones[POINTS][ZONES];
        memcpy(points, given.points, sizeof points);
        memcpy(zones, given.zones, sizeof zones);
        memcpy(need, given.asked, sizeof need);
        for (size_t i = 0; i < POINTS; i++)
            points[i].zones = zones[i];
        aw_sweep meant = asked;
        meant.points = points;
        meant.asked = need;
        const series s = curve_series((size_t)_i);
        ck_assert(make_mistake(&s, m));
        ck_assert_msg(!shows_curves(&asked, &meant), "%s %s", s.name, mistakes[m]);
    }
}
END_TEST

START_TEST(every_bar_told_wrongly_is_noticed)
{
    for (int m = 0; m < MISTAKES; m++) {
        const aw_sensitivity drawn = make_sensitivity();
        aw_zone zones[ZONES];
        aw_zone_result today[ZONES];
        aw_joint joint[ZONES];
        static aw_sensitivity_end ends[ZONES * AW_ASSUMPTIONS * 2];
        memcpy(zones, leaning.zones, sizeof zones);
        memcpy(today, leaning.today, sizeof today);
        memcpy(joint, leaning.joint, sizeof joint);
        memcpy(ends, leaning.ends, sizeof ends);
        aw_sensitivity meant = drawn;
        meant.zones = zones;
        meant.today = today;
        meant.joint = joint;
        meant.ends = ends;
        const series s = bar_series((size_t)_i);
        ck_assert(make_mistake(&s, m));
        ck_assert_msg(!shows_bars(&drawn, &meant), "%s %s", s.name, mistakes[m]);
    }
}
END_TEST

static TCase *all(void)
{
    TCase *c = tcase_create("plotted");
    tcase_add_test(c, curves_show_what_they_were_given);
    tcase_add_test(c, knees_and_prices_stand_at_their_points);
    tcase_add_test(c, bars_show_what_they_were_given);
    tcase_add_loop_test(c, every_curve_told_wrongly_is_noticed, 0, CURVES);
    tcase_add_loop_test(c, every_bar_told_wrongly_is_noticed, 0, BARS);
    return c;
}

AW_TEST_MAIN("plotted", all())
