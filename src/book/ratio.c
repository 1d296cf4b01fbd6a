/* Curves of a sweep in one panel: every zone over its own need, so that one line at 1 is the need
 * of all. Curves differ by mark and dash and are named at their end; without a p95 there is no
 * mark. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "book/figures.h"

#define WIDE  180.0 /* mm */
#define TALL  72.0
#define TEXT  2.6
#define LEFT  14.0
#define RIGHT 46.0
#define HEAD  5.0
#define FOOT  12.0
#define MOST  3.0 /* of p95 over its need */
#define LEAST 0.25
#define ZONES 6

typedef struct plot {
    aw_sheet *sheet;
    const aw_sweep *sweep;
    size_t zones[ZONES], n;
} plot;

static double ratio_at(const aw_sweep *w, size_t point, size_t zone)
{
    return w->points[point].zones[zone].parts[AW_PART_P95].found.value / w->asked[zone];
}

static aw_point place(const plot *p, double at, double ratio)
{
    const aw_sweep *w = p->sweep;
    const double first = w->points[0].at, wide = fmax(1, w->points[w->n - 1].at - first);
    const double up = log(fmax(fmin(ratio, MOST), LEAST) / LEAST) / log(MOST / LEAST);
    return (aw_point){LEFT + (at - first) / wide * (WIDE - LEFT - RIGHT),
                      TALL - FOOT - up * (TALL - FOOT - HEAD)};
}

/* Those with a need whose p95 is highest at the end, none before all. */
static void choose_zones(plot *p)
{
    const aw_sweep *w = p->sweep;
    for (size_t k = 0; k < ZONES; k++) {
        size_t best = w->n_zones;
        double highest = -1;
        for (size_t z = 0; z < w->n_zones; z++) {
            const double last = ratio_at(w, w->n - 1, z), height = isnan(last) ? HUGE_VAL : last;
            bool taken = isnan(w->asked[z]);
            for (size_t i = 0; i < p->n; i++)
                taken = taken || p->zones[i] == z;
            if (!taken && height > highest) {
                highest = height;
                best = z;
            }
        }
        if (best < w->n_zones)
            p->zones[p->n++] = best;
    }
}

static void set_text(plot *p, aw_ink ink, const char *text, aw_point at, double across, double down)
{
    const aw_point size = aw_sheet_measure(p->sheet, ink, text);
    aw_sheet_text(p->sheet, ink, text, (aw_point){at.x - across * size.x, at.y - down * size.y}, 0);
}

static void draw_axes(plot *p)
{
    static const double ticks[] = {0.25, 0.5, 1, 2, 3};
    const aw_sweep *w = p->sweep;
    const double end = w->points[w->n - 1].at;
    char figure[32];
    for (size_t i = 0; i < sizeof ticks / sizeof *ticks; i++) {
        const aw_point at = place(p, w->points[0].at, ticks[i]);
        snprintf(figure, sizeof figure, "%g", ticks[i]);
        aw_sheet_line(p->sheet, ticks[i] == 1 ? AW_INK_NEED : AW_INK_CROSS, at,
                      place(p, end, ticks[i]));
        set_text(p, AW_INK_NOTE, figure, (aw_point){at.x - 2, at.y}, 1, 0.5);
    }
    for (size_t i = 0; i < w->n; i++) {
        const aw_point at = place(p, w->points[i].at, LEAST);
        snprintf(figure, sizeof figure, "%.0f", w->points[i].at);
        aw_sheet_line(p->sheet, AW_INK_RULE, at, (aw_point){at.x, at.y + 1});
        set_text(p, AW_INK_NOTE, figure, (aw_point){at.x, at.y + 1.6}, 0.5, 0);
    }
    aw_sheet_line(p->sheet, AW_INK_RULE, place(p, w->points[0].at, LEAST), place(p, end, LEAST));
}

/* A mark of its own for each curve. */
static void draw_mark(plot *p, size_t k, aw_point at)
{
    const double r = 0.9;
    const aw_item_kind kind = k % 2 == 0 ? AW_ITEM_FILL : AW_ITEM_LINE;
    const aw_ink ink = k % 2 == 0 ? AW_INK_ANCHOR : AW_INK_RING;
    if (k / 2 == 0)
        aw_sheet_circle(p->sheet, kind, ink, at, r);
    else if (k / 2 == 1)
        aw_sheet_box(p->sheet, kind, ink, 0, (aw_point){at.x - r, at.y - r},
                     (aw_point){at.x + r, at.y + r});
    else {
        aw_item *item = aw_sheet_add(p->sheet, kind, ink);
        aw_sheet_point(p->sheet, item, at.x, at.y - 1.2 * r);
        aw_sheet_point(p->sheet, item, at.x + 1.1 * r, at.y + 0.8 * r);
        aw_sheet_point(p->sheet, item, at.x - 1.1 * r, at.y + 0.8 * r);
        aw_sheet_end_path(p->sheet, item);
        if (item != NULL)
            item->closed = true;
    }
}

static void draw_curve(plot *p, size_t k)
{
    static const aw_ink inks[] = {AW_INK_BEARING, AW_INK_THROUGH, AW_INK_OVERHEAD,
                                  AW_INK_ZONE,    AW_INK_RULE,    AW_INK_UNDECIDED};
    const aw_sweep *w = p->sweep;
    for (size_t i = 0; i < w->n; i++) {
        const double ratio = ratio_at(w, i, p->zones[k]);
        if (isnan(ratio) || ratio > MOST)
            continue;
        const aw_point at = place(p, w->points[i].at, ratio);
        draw_mark(p, k, at);
        const double before = i > 0 ? ratio_at(w, i - 1, p->zones[k]) : (double)NAN;
        if (before <= MOST)
            aw_sheet_line(p->sheet, inks[k], place(p, w->points[i - 1].at, before), at);
    }
}

/* Names stand at their ends, from the top down, each with room. */
static void name_curves(plot *p)
{
    const aw_sweep *w = p->sweep;
    double y = 0;
    for (size_t k = 0; k < p->n; k++) {
        const double ratio = ratio_at(w, w->n - 1, p->zones[k]);
        const aw_point end = place(p, w->points[w->n - 1].at, isnan(ratio) ? MOST : ratio);
        y = fmax(y + 1.35 * TEXT, end.y);
        draw_mark(p, k, (aw_point){end.x + 4.5, y});
        aw_sheet_line(p->sheet, AW_INK_LEADER, (aw_point){end.x + 1.2, end.y},
                      (aw_point){end.x + 3.2, y});
        set_text(p, AW_INK_NOTE, w->names[p->zones[k]], (aw_point){end.x + 6.2, y}, 0, 0.5);
    }
}

bool aw_ratio_draw(aw_sheet *sheet, const aw_sweep *sweep, aw_errors *errors)
{
    plot p = {.sheet = sheet, .sweep = sweep};
    *sheet = (aw_sheet){.width = WIDE, .height = TALL, .text_size = TEXT};
    choose_zones(&p);
    draw_axes(&p);
    for (size_t k = 0; k < p.n; k++)
        draw_curve(&p, k);
    name_curves(&p);
    if (sheet->failed)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the report");
    return !sheet->failed;
}
