/* What stands on a sheet, and the curves of a sweep read back from it. */
#ifndef AW_TESTS_PLOTTED_CURVES_H
#define AW_TESTS_PLOTTED_CURVES_H

#include <stdlib.h>
#include <string.h>

#include "draw/curves.h"
#include "draw/draft.h"
#include "aw_test.h"

#define ZONES  2
#define POINTS 4
#define NEAR   1e-6

static const aw_chart_options options = {.paper = AW_PAPER_A3};

static bool is_near(double a, double b)
{
    return fabs(a - b) <= NEAR * (1 + fabs(b));
}

/* --- what stands on a sheet --- */

/* The box of an item's lines, or of its text. */
static void find_box(const aw_item *m, aw_point *low, aw_point *high)
{
    *low = m->low;
    *high = m->high;
    if (m->kind == AW_ITEM_TEXT)
        return;
    *low = (aw_point){HUGE_VAL, HUGE_VAL};
    *high = (aw_point){-HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < m->n_points; i++) {
        low->x = fmin(low->x, m->at[i].x);
        low->y = fmin(low->y, m->at[i].y);
        high->x = fmax(high->x, m->at[i].x);
        high->y = fmax(high->y, m->at[i].y);
    }
}

typedef struct mark {
    aw_point low, high;
    const char *text;
} mark;

/* Items of a kind and an ink, of a shade where that is not NaN; how many. */
#define MOST 200
static size_t find_marks(const aw_sheet *s, aw_item_kind kind, aw_ink ink, double shade,
                         mark out[MOST])
{
    size_t n = 0;
    for (size_t i = 0; i < s->n && n < MOST; i++) {
        const aw_item *m = &s->items[i];
        if (m->kind != kind || m->ink != ink || (!isnan(shade) && m->shade != shade))
            continue;
        find_box(m, &out[n].low, &out[n].high);
        out[n++].text = m->text;
    }
    return n;
}

/* --- curves --- */

static struct {
    double asked[ZONES];
    const char *names[ZONES];
    aw_swept points[POINTS];
    aw_zone_result zones[POINTS][ZONES];
    aw_curve_shape bends[ZONES];
} given;

static aw_sweep make_sweep(void)
{
    static const double value[ZONES][POINTS] = {{1.93, 1.37, 0.84, 0.71}, {2.2, 1.6, 1.1, 0.97}};
    for (size_t i = 0; i < POINTS; i++) {
        given.points[i] = (aw_swept){.at = 4 + 3 * (double)i, .zones = given.zones[i]};
        for (size_t z = 0; z < ZONES; z++)
            given.zones[i][z].parts[AW_PART_P95].found =
                (aw_estimate){value[z][i], value[z][i] * 0.9, value[z][i] * 1.07};
    }
    given.asked[0] = 0.9;
    given.asked[1] = 1.3;
    given.names[0] = "west";
    given.names[1] = "east";
    return (aw_sweep){.kind = AW_SWEEP_COUNTS,
                      .n = POINTS,
                      .n_zones = ZONES,
                      .points = given.points,
                      .names = given.names,
                      .asked = given.asked,
                      .bends = given.bends};
}

/* A panel's axes: where they meet, and what their ticks say. */
typedef struct panel {
    aw_point low, high; /* on paper */
    double x0, per_x, y0, per_y;
} panel;

/* The straight line through two ticks of an axis: figures by their places. */
static bool find_scale(const double place[], const double figure[], size_t n, double *origin,
                       double *per)
{
    size_t least = 0, most = 0;
    for (size_t i = 0; i < n; i++) {
        least = place[i] < place[least] ? i : least;
        most = place[i] > place[most] ? i : most;
    }
    if (n < 2 || place[least] == place[most])
        return false;
    *per = (figure[most] - figure[least]) / (place[most] - place[least]);
    *origin = figure[least] - *per * place[least];
    return true;
}

static bool read_axes(const aw_sheet *s, panel *p)
{
    mark lines[MOST], texts[MOST];
    const size_t n = find_marks(s, AW_ITEM_LINE, AW_INK_RULE, (double)NAN, lines);
    const size_t m = find_marks(s, AW_ITEM_TEXT, AW_INK_NOTE, (double)NAN, texts);
    double x[MOST], y[MOST], at[MOST], p95[MOST];
    size_t nx = 0, ny = 0;
    for (size_t i = 0; i < m; i++) {
        char *end;
        const double figure = strtod(texts[i].text, &end);
        if (*end != '\0' || end == texts[i].text)
            continue;
        for (size_t k = 0; k < n; k++) {
            const mark *l = &lines[k];
            const double mx = (texts[i].low.x + texts[i].high.x) / 2;
            const bool left = is_near(l->high.x, p->low.x) && is_near(l->low.x, p->low.x - 1) &&
                              is_near(texts[i].high.x, p->low.x - 1.8) &&
                              fabs((texts[i].low.y + texts[i].high.y) / 2 - l->low.y) < 1;
            const bool under = is_near(l->low.y, p->high.y) && is_near(l->high.y, p->high.y + 1) &&
                               is_near(texts[i].low.y, p->high.y + 1.6) &&
                               fabs(mx - l->low.x) < 1e-3;
            if (left && l->low.y >= p->low.y - NEAR && l->low.y <= p->high.y + NEAR)
                y[ny] = l->low.y, p95[ny++] = figure;
            if (under && l->low.x >= p->low.x - NEAR && l->low.x <= p->high.x + NEAR)
                x[nx] = l->low.x, at[nx++] = figure;
        }
    }
    return find_scale(x, at, nx, &p->x0, &p->per_x) && find_scale(y, p95, ny, &p->y0, &p->per_y);
}

/* The panels, from left to right and down: each has an upright axis and a level one that meet. */
static size_t find_panels(const aw_sheet *s, panel out[ZONES])
{
    mark lines[MOST];
    const size_t n = find_marks(s, AW_ITEM_LINE, AW_INK_RULE, (double)NAN, lines);
    size_t found = 0;
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < n; k++)
            if (lines[i].low.x == lines[i].high.x && lines[k].low.y == lines[k].high.y &&
                lines[i].high.y == lines[k].low.y && lines[i].low.x == lines[k].low.x &&
                lines[k].high.x - lines[k].low.x > 20 && lines[i].high.y - lines[i].low.y > 20 &&
                found < ZONES)
                out[found++] = (panel){.low = {lines[i].low.x, lines[i].low.y},
                                       .high = {lines[k].high.x, lines[k].high.y}};
    return found;
}

static bool is_inside(const panel *p, const mark *m)
{
    return m->low.x >= p->low.x - 2 && m->high.x <= p->high.x + 2 && m->low.y >= p->low.y - 2 &&
           m->high.y <= p->high.y + 2;
}

/* Whether a panel shows the points, intervals, need and name of a zone. */
static bool shows_zone(const aw_sheet *s, const panel *p, const aw_sweep *w, size_t zone)
{
    mark dots[MOST], rules[MOST], needs[MOST], names[MOST];
    const size_t n = find_marks(s, AW_ITEM_FILL, AW_INK_ANCHOR, (double)NAN, dots);
    const size_t m = find_marks(s, AW_ITEM_LINE, AW_INK_RULE, (double)NAN, rules);
    const size_t needed = find_marks(s, AW_ITEM_LINE, AW_INK_NEED, (double)NAN, needs);
    const size_t named = find_marks(s, AW_ITEM_TEXT, AW_INK_HEADING, (double)NAN, names);
    size_t points = 0, intervals = 0;
    bool need = false, name = false;
    for (size_t i = 0; i < w->n; i++) {
        const aw_estimate *e = &w->points[i].zones[zone].parts[AW_PART_P95].found;
        for (size_t k = 0; k < n; k++) {
            const double x = (dots[k].low.x + dots[k].high.x) / 2,
                         y = (dots[k].low.y + dots[k].high.y) / 2;
            points += is_inside(p, &dots[k]) && is_near(p->x0 + p->per_x * x, w->points[i].at) &&
                      is_near(p->y0 + p->per_y * y, e->value);
        }
        for (size_t k = 0; k < m; k++)
            intervals += is_inside(p, &rules[k]) && rules[k].low.x == rules[k].high.x &&
                         is_near(p->x0 + p->per_x * rules[k].low.x, w->points[i].at) &&
                         is_near(p->y0 + p->per_y * rules[k].high.y, e->low) &&
                         is_near(p->y0 + p->per_y * rules[k].low.y, e->high);
    }
    for (size_t k = 0; k < needed; k++)
        need = need || (is_inside(p, &needs[k]) &&
                        is_near(p->y0 + p->per_y * needs[k].low.y, w->asked[zone]));
    for (size_t k = 0; k < named; k++)
        name =
            name || (is_near(names[k].low.x, p->low.x) && names[k].high.y < p->low.y &&
                     names[k].high.y > p->low.y - 20 && strcmp(names[k].text, w->names[zone]) == 0);
    return points == w->n && intervals == w->n && need && name;
}

static bool shows_curves(const aw_sweep *drawn, const aw_sweep *asked)
{
    static const aw_scenario site = {.title = "Hall", .study = {.draws = 100, .seed = 1}};
    panel panels[ZONES];
    aw_errors errors = {0};
    aw_sheet sheet;
    ck_assert(aw_sweep_draw(&sheet, drawn, &site, &options, &errors));
    bool shown = find_panels(&sheet, panels) == ZONES;
    for (size_t z = 0; shown && z < ZONES; z++)
        shown = read_axes(&sheet, &panels[z]) && shows_zone(&sheet, &panels[z], asked, z);
    aw_sheet_free(&sheet);
    aw_errors_free(&errors);
    return shown;
}

#endif
