/* Curves of a sweep: a panel for each zone, all with the same scales, so that zones can be compared
 * at a glance. The bars are simulation intervals. */
#include "draw/curves.h"

#include <math.h>
#include <stdio.h>

#include "anchorwise/report.h"
#include "draw/block.h"
#include "draw/draft.h"
#include "draw/font.h"
#include "report/figures.h"
#include "report/lengths.h"

#define MARGIN     10.0 /* mm */
#define MOST_PANEL 6
#define TICKS      5
/* Radius of the ring round a knee, and what stands over a panel, in text sizes. */
#define KNEE 0.8
#define OVER 5.6

typedef struct plot {
    aw_sheet *sheet;
    const aw_sweep *sweep;
    aw_units units;
    aw_point low, high; /* of the panel's axes on paper */
    double top;         /* p95 at the upper end, m */
    double step;        /* of the ticks */
} plot;

static const aw_estimate *p95_at(const aw_sweep *w, size_t point, size_t zone)
{
    return &w->points[point].zones[zone].parts[AW_PART_P95].found;
}

static aw_point place(const plot *p, double at, double p95)
{
    const aw_sweep *w = p->sweep;
    const double wide = w->points[w->n - 1].at - w->points[0].at;
    const double share = wide > 0 ? (at - w->points[0].at) / wide : 0.5;
    return (aw_point){p->low.x + share * (p->high.x - p->low.x),
                      p->high.y - p95 / p->top * (p->high.y - p->low.y)};
}

/* A round step that makes about so many of them up to `most`: 1, 2 or 5 times a power of ten. */
static double round_step(double most, int about)
{
    const double power = pow(10, floor(log10(most / about)));
    const double times = most / about / power;
    return power * (times <= 1 ? 1 : times <= 2 ? 2 : times <= 5 ? 5 : 10);
}

static void set_text(plot *p, aw_ink ink, const char *text, double x, double y, double across)
{
    const aw_point size = aw_sheet_measure(p->sheet, ink, text);
    aw_sheet_text(p->sheet, ink, text, (aw_point){x - across * size.x, y}, 0);
}

static void draw_axes(plot *p)
{
    const aw_sweep *w = p->sweep;
    const double text = p->sheet->text_size;
    for (double v = 0; v <= p->top * (1 + 1e-9); v += p->step) {
        const aw_point at = place(p, w->points[0].at, v);
        aw_sheet_line(p->sheet, AW_INK_RULE, (aw_point){p->low.x - 1, at.y},
                      (aw_point){p->low.x, at.y});
        set_text(p, AW_INK_NOTE, aw_small_figure("%.3g", v, p->units).text, p->low.x - 1.8,
                 at.y - 0.6 * text, 1);
    }
    double last = -HUGE_VAL;
    for (size_t i = 0; i < w->n; i++) {
        const aw_point at = place(p, w->points[i].at, 0);
        aw_sheet_line(p->sheet, AW_INK_RULE, at, (aw_point){at.x, at.y + 1});
        const aw_length_text figure = aw_coordinate_figure(
            "%.4g", w->points[i].at, w->kind == AW_SWEEP_COUNTS ? AW_METRES : p->units);
        const double half = aw_sheet_measure(p->sheet, AW_INK_NOTE, figure.text).x / 2;
        if (at.x - half > last + text) {
            set_text(p, AW_INK_NOTE, figure.text, at.x, at.y + 1.6, 0.5);
            last = at.x + half;
        }
    }
    aw_sheet_line(p->sheet, AW_INK_RULE, p->low, (aw_point){p->low.x, p->high.y});
    aw_sheet_line(p->sheet, AW_INK_RULE, (aw_point){p->low.x, p->high.y}, p->high);
}

/* Over the panel what the layout of each point costs, where there is room for the figure. */
static void draw_prices(plot *p)
{
    const aw_sweep *w = p->sweep;
    const double text = p->sheet->text_size;
    double last = -HUGE_VAL;
    for (size_t i = 0; i < w->n; i++) {
        const double x = place(p, w->points[i].at, 0).x;
        char figure[AW_FIGURE_ROOM];
        if (!isfinite(w->points[i].price) || w->points[i].price < 0)
            continue;
        aw_figure_count((size_t)(w->points[i].price + 0.5), figure);
        const double half = aw_sheet_measure(p->sheet, AW_INK_RESULT, figure).x / 2;
        if (x - half <= last + text)
            continue;
        aw_sheet_line(p->sheet, AW_INK_RULE, (aw_point){x, p->low.y - 1}, (aw_point){x, p->low.y});
        set_text(p, AW_INK_RESULT, figure, x, p->low.y - 1 - 1.3 * text, 0.5);
        last = x + half;
    }
    if (last > 0)
        aw_sheet_line(p->sheet, AW_INK_RULE, p->low, (aw_point){p->high.x, p->low.y});
}

/* A ring round the point of the knee, where it is on the sheet. */
static void draw_knee(plot *p, size_t zone)
{
    const aw_sweep *w = p->sweep;
    const aw_curve_shape *bend = &w->bends[zone];
    for (size_t i = 0; i < w->n && bend->kind == AW_BEND_KNEE; i++) {
        const double p95 = p95_at(w, i, zone)->value;
        if (w->points[i].at == bend->from && p95 <= p->top)
            aw_sheet_circle(p->sheet, AW_ITEM_LINE, AW_INK_CHANGE, place(p, w->points[i].at, p95),
                            KNEE * p->sheet->text_size);
    }
}

/* The curve is broken where a point has no p95. */
static void draw_curve(plot *p, size_t zone)
{
    const aw_sweep *w = p->sweep;
    aw_item *line = aw_sheet_add(p->sheet, AW_ITEM_LINE, AW_INK_SHORE);
    for (size_t i = 0; i < w->n && line != NULL; i++) {
        const aw_estimate *e = p95_at(w, i, zone);
        if (isnan(e->value) || e->value > p->top) {
            aw_sheet_end_path(p->sheet, line);
            continue;
        }
        const aw_point at = place(p, w->points[i].at, e->value);
        aw_sheet_point(p->sheet, line, at.x, at.y);
    }
    if (line != NULL)
        aw_sheet_end_path(p->sheet, line);
    for (size_t i = 0; i < w->n; i++) {
        const aw_estimate *e = p95_at(w, i, zone);
        if (isnan(e->value) || e->value > p->top)
            continue;
        aw_sheet_circle(p->sheet, AW_ITEM_FILL, AW_INK_ANCHOR, place(p, w->points[i].at, e->value),
                        0.7);
        if (isnan(e->low) || isnan(e->high) || e->high > p->top)
            continue;
        const aw_point low = place(p, w->points[i].at, e->low),
                       high = place(p, w->points[i].at, e->high);
        aw_sheet_line(p->sheet, AW_INK_RULE, low, high);
        aw_sheet_line(p->sheet, AW_INK_RULE, (aw_point){low.x - 0.8, low.y},
                      (aw_point){low.x + 0.8, low.y});
        aw_sheet_line(p->sheet, AW_INK_RULE, (aw_point){high.x - 0.8, high.y},
                      (aw_point){high.x + 0.8, high.y});
    }
}

/* Whether the end of a curve runs just over a line at y, where its label would stand. */
static bool runs_over(const plot *p, size_t zone, double y)
{
    const aw_sweep *w = p->sweep;
    const double t = p->sheet->text_size, last = p95_at(w, w->n - 1, zone)->value;
    if (isnan(last) || last > p->top)
        return false;
    const double over = y - place(p, w->points[w->n - 1].at, last).y;
    return over > -t && over < 3 * t;
}

static void draw_need(plot *p, size_t zone)
{
    const double asked = p->sweep->asked[zone];
    if (isnan(asked) || asked > p->top)
        return;
    const aw_point at = place(p, p->sweep->points[0].at, asked);
    char text[80];
    aw_sheet_line(p->sheet, AW_INK_NEED, (aw_point){p->low.x, at.y}, (aw_point){p->high.x, at.y});
    snprintf(text, sizeof text, "need %s", aw_small_words("%.3g", asked, p->units).text);
    set_text(p, AW_INK_NOTE, text, p->high.x - 1,
             at.y + (runs_over(p, zone, at.y) ? 0.5 : -1.5) * p->sheet->text_size, 1);
}

static void draw_panel(plot *p, size_t zone)
{
    aw_text says = {0};
    const double text = p->sheet->text_size;
    draw_axes(p);
    draw_need(p, zone);
    draw_curve(p, zone);
    draw_prices(p);
    draw_knee(p, zone);
    aw_curve_shape_words(p->sweep, zone, p->units, &says);
    set_text(p, AW_INK_HEADING, p->sweep->names[zone], p->low.x, p->low.y - 5.2 * text, 0);
    set_text(p, AW_INK_NOTE, says.at != NULL ? says.at : "", p->low.x, p->low.y - 3.7 * text, 0);
    p->sheet->failed = p->sheet->failed || says.failed;
    aw_text_free(&says);
}

/* The scale of all panels: the largest p95 that is at most five times the smallest, so that one
 * hopeless layout does not flatten the rest; and every need. */
static double find_top(const aw_sweep *w, size_t zones)
{
    double least = HUGE_VAL, most = 0;
    for (size_t k = 0; k < w->n * zones; k++)
        if (!isnan(p95_at(w, k / zones, k % zones)->value))
            least = fmin(least, p95_at(w, k / zones, k % zones)->value);
    for (size_t k = 0; k < w->n * zones; k++) {
        const aw_estimate *e = p95_at(w, k / zones, k % zones);
        if (e->value <= 5 * least)
            most = fmax(most, fmax(e->value, isfinite(e->high) ? e->high : 0));
    }
    for (size_t z = 0; z < zones; z++)
        if (!isnan(w->asked[z]))
            most = fmax(most, w->asked[z]);
    return most > 0 ? 1.08 * most : 1;
}

/* A line on what was changed in the scenario, cut to the sheet. */
static void draw_changes(aw_sheet *sheet, const aw_scenario *s, double y)
{
    const aw_draft d = {.sheet = sheet};
    char note[AW_NOTE_ROOM], line[AW_NOTE_ROOM + 4];
    aw_changes_note(s, note);
    if (note[0] == '\0')
        return;
    aw_block_fit(&d, AW_INK_NOTE, note, sheet->width - 2 * MARGIN - 6, line, sizeof line);
    aw_sheet_text(sheet, AW_INK_NOTE, line, (aw_point){MARGIN + 3, y}, 0);
}

static bool has_knee(const aw_sweep *w)
{
    for (size_t z = 0; z < w->n_zones; z++)
        if (w->bends[z].kind == AW_BEND_KNEE)
            return true;
    return false;
}

static void draw_notes(plot *p, const aw_scenario *s, const aw_chart_options *options, size_t zones)
{
    aw_sheet *sheet = p->sheet;
    const double text = sheet->text_size, y = sheet->height - MARGIN - 3 * text;
    const bool priced = s->prices.currency != NULL;
    char line[800];
    aw_sheet_text(sheet, AW_INK_TITLE, s->title, (aw_point){MARGIN + 3, MARGIN + 2}, 0);
    snprintf(line, sizeof line,
             "p95 in %s against the %s%s; bars: what more draws could make of it (%u "
             "draws, seed %llu, %s figures)%s%s%s%s",
             aw_small_unit(s->units),
             p->sweep->kind == AW_SWEEP_COUNTS ? "number of anchors, the best layout found of each"
                                               : "mounting height in ",
             p->sweep->kind == AW_SWEEP_COUNTS ? "" : aw_coordinate_unit(s->units), s->study.draws,
             (unsigned long long)s->study.seed, aw_scenario_is_site(s) ? "site" : "bench",
             options->date ? "; " : "", options->date ? options->date : "",
             options->revision ? "; revision " : "", options->revision ? options->revision : "");
    aw_sheet_text(sheet, AW_INK_NOTE, line, (aw_point){MARGIN + 3, MARGIN + 3 + 2.4 * text}, 0);
    draw_changes(sheet, s, MARGIN + 3 + 4 * text);
    snprintf(line, sizeof line,
             "A prediction from the stated assumptions, not a promise. Points above "
             "the frame and without p95 are left out.%s%s%s%s%s",
             has_knee(p->sweep) ? " Rose ring: the knee." : "",
             priced ? " Over each panel: what the layout costs, " : "",
             priced ? s->prices.currency : "", priced ? "." : "",
             zones < p->sweep->n_zones ? " More zones are in the table." : "");
    aw_sheet_text(sheet, AW_INK_NOTE, line, (aw_point){MARGIN + 3, y}, 0);
}

static void draw(plot *p, const aw_scenario *s, const aw_chart_options *options)
{
    aw_sheet *sheet = p->sheet;
    const aw_sweep *w = p->sweep;
    const size_t zones = w->n_zones < MOST_PANEL ? w->n_zones : MOST_PANEL;
    const size_t columns = zones > 2 ? 2 : 1, rows = (zones + columns - 1) / columns;
    const double unit = s->units == AW_FEET ? AW_FOOT / 12 : 1;
    const double text = sheet->text_size, head = MARGIN + 7 * text, foot = MARGIN + 5 * text;
    const double wide = (sheet->width - 2 * MARGIN) / (double)columns;
    const double tall = (sheet->height - head - foot) / (double)rows;
    p->top = find_top(w, zones);
    p->step = round_step(p->top / unit, TICKS) * unit;
    for (size_t z = 0; z < zones; z++) {
        const double x = MARGIN + wide * (double)(z % columns),
                     y = head + tall * (double)(z / columns);
        p->low = (aw_point){x + 5 * text, y + OVER * text};
        p->high = (aw_point){x + wide - 3 * text, y + tall - 3 * text};
        draw_panel(p, z);
    }
    draw_notes(p, s, options, zones);
    aw_sheet_box(sheet, AW_ITEM_LINE, AW_INK_FRAME, 0, (aw_point){MARGIN, MARGIN},
                 (aw_point){sheet->width - MARGIN, sheet->height - MARGIN});
    aw_sheet_order(sheet);
}

bool aw_sweep_draw(aw_sheet *sheet, const aw_sweep *sweep, const aw_scenario *s,
                   const aw_chart_options *options, aw_errors *errors)
{
    const aw_paper_row *paper = &aw_paper_rows[options->paper];
    plot p = {.sheet = sheet, .sweep = sweep, .units = s->units};
    *sheet = (aw_sheet){.grey = options->grey,
                        .width = options->portrait ? paper->height : paper->width,
                        .height = options->portrait ? paper->width : paper->height,
                        .text_size = fmax(paper->text_size, options->least_text)};
    const bool room = aw_font_has_room();
    if (room) {
        aw_sheet_box(sheet, AW_ITEM_FILL, AW_INK_PAPER, 0, (aw_point){0, 0},
                     (aw_point){sheet->width, sheet->height});
        draw(&p, s, options);
    }
    if (!room || sheet->failed)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the chart");
    return room && !sheet->failed;
}
