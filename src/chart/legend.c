/* The legend: every mark that is on the sheet, and nothing that is not. */
#include <math.h>
#include <stdio.h>

#include "chart/block.h"
#include "chart/draft.h"

typedef enum symbol { SOUNDING, LINE_OF, STIPPLED, BLANK, LAND, ANCHOR, CROSS, ELLIPSE } symbol;

typedef struct entry {
    symbol symbol;
    aw_ink ink;
    const char *text;
} entry;

static void draw_box(aw_draft *d, aw_ink ink, double shade, aw_point at, double w, double h)
{
    const aw_point high = {at.x + w, at.y + h};
    aw_sheet_box(d->sheet, AW_ITEM_FILL, ink, shade, at, high);
    if (ink == AW_INK_NO_FIX || ink == AW_INK_TINT)
        aw_sheet_box(d->sheet, AW_ITEM_LINE, ink == AW_INK_TINT ? AW_INK_LEADER : ink, 0, at, high);
}

static void draw_dots(aw_draft *d, aw_point at, double w, double h)
{
    for (int i = 1; i <= 4; i++)
        for (int j = 1; j <= 2; j++) {
            const aw_point c = {at.x + w * i / 5, at.y + h * (j + (i % 2) * 0.4) / 3.4};
            aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_STIPPLE, 0,
                         (aw_point){c.x - 0.16, c.y - 0.16}, (aw_point){c.x + 0.16, c.y + 0.16});
        }
}

static void draw_symbol(aw_draft *d, const entry *e, aw_point at)
{
    const double t = d->sheet->text_size, w = 3.6 * t, h = 1.1 * t;
    const aw_point c = {at.x + w / 2, at.y + h / 2};
    switch (e->symbol) {
    case SOUNDING:
        aw_draft_set_text(d, AW_INK_SOUNDING, "27", (aw_point){c.x - 0.6 * t, at.y});
        break;
    case LINE_OF:
        aw_sheet_line(d->sheet, e->ink, (aw_point){at.x, c.y}, (aw_point){at.x + w, c.y});
        break;
    case STIPPLED:
        draw_box(d, AW_INK_TINT, 0.7, at, w, h);
        draw_dots(d, at, w, h);
        break;
    case BLANK:
        draw_box(d, AW_INK_NO_FIX, 0, at, w, h);
        break;
    case LAND:
        draw_box(d, AW_INK_LAND, 0, at, w, h);
        for (double x = at.x; x + h <= at.x + w; x += 2.4)
            aw_sheet_line(d->sheet, AW_INK_HATCH, (aw_point){x, at.y + h}, (aw_point){x + h, at.y});
        break;
    case ANCHOR:
        aw_sheet_ellipse(d->sheet, AW_ITEM_FILL, AW_INK_ANCHOR, c, 0.375, 0.375, 0);
        aw_sheet_ellipse(d->sheet, AW_ITEM_LINE, AW_INK_RING, c, 0.75, 0.75, 0);
        break;
    case CROSS:
        aw_sheet_line(d->sheet, AW_INK_BEARING, (aw_point){at.x, c.y}, c);
        aw_sheet_line(d->sheet, e->ink, (aw_point){c.x - 1, c.y - 1}, (aw_point){c.x + 1, c.y + 1});
        aw_sheet_line(d->sheet, e->ink, (aw_point){c.x - 1, c.y + 1}, (aw_point){c.x + 1, c.y - 1});
        break;
    case ELLIPSE:
        aw_sheet_ellipse(d->sheet, AW_ITEM_LINE, AW_INK_ELLIPSE, c, w / 2, h / 2, 0);
        break;
    }
}

static bool any_need(const aw_draft *d)
{
    bool any = false;
    for (size_t i = 0; i < d->scenario->n_zones; i++)
        any = any || !isnan(d->scenario->zones[i].need.p95);
    return any && aw_draft_shows_needs(d);
}

static bool any_gap(const aw_draft *d)
{
    for (size_t i = 0; i < d->field.nx * d->field.ny; i++)
        if (d->field.kept[i] && isnan(d->field.value[i]))
            return true;
    return false;
}

static bool any_land(const aw_draft *d, bool solid)
{
    const aw_scenario *s = d->scenario;
    bool any = false;
    for (size_t i = 0; i < s->n_obstacles; i++)
        any = any || aw_draft_is_solid(d, s->obstacles[i].base, s->obstacles[i].top) == solid;
    for (size_t i = 0; i < s->n_walls; i++)
        any = any || aw_draft_is_solid(d, s->walls[i].base, s->walls[i].top) == solid;
    return any;
}

static size_t list_entries(const aw_draft *d, const char *sounding, entry list[16])
{
    const aw_scenario *s = d->scenario;
    size_t n = 0;
    list[n++] = (entry){SOUNDING, AW_INK_SOUNDING, sounding};
    if (d->n_levels > 0)
        list[n++] = (entry){LINE_OF, AW_INK_CONTOUR, "contour, its value on the line"};
    if (any_need(d)) {
        list[n++] = (entry){LINE_OF, AW_INK_NEED, "contour of a zone's need"};
        list[n++] = (entry){STIPPLED, AW_INK_STIPPLE, "shoal: a need is missed"};
    }
    if (any_gap(d))
        list[n++] = (entry){BLANK, AW_INK_NO_FIX, "no figure: too few fixes"};
    if (any_land(d, true))
        list[n++] = (entry){LAND, AW_INK_LAND, "obstacle or wall"};
    if (any_land(d, false))
        list[n++] = (entry){LINE_OF, AW_INK_OVERHEAD, "obstacle over or under the tag"};
    list[n++] = (entry){ANCHOR, AW_INK_ANCHOR, "anchor, mounting height"};
    if (s->n_zones > 0)
        list[n++] = (entry){LINE_OF, AW_INK_ZONE, "border of a zone"};
    if (d->options->n_spots > 0) {
        list[n++] = (entry){LINE_OF, AW_INK_BEARING, "bearing: clear line of sight"};
        list[n++] = (entry){LINE_OF, AW_INK_THROUGH, "bearing through something"};
        list[n++] = (entry){CROSS, AW_INK_END, "bearing lost here"};
        list[n++] = (entry){ELLIPSE, AW_INK_ELLIPSE, "error ellipse, 95 %"};
    }
    return n;
}

/* The ramp: one box for each band, its lower value under its left edge. */
static void draw_ramp(aw_draft *d, aw_box box)
{
    const double t = d->sheet->text_size, w = (box.high.x - box.low.x) / (double)(d->n_levels + 1);
    double free_from = 0;
    for (size_t k = 0; k <= d->n_levels; k++) {
        char figure[24];
        draw_box(d, AW_INK_TINT, aw_draft_shade(d, k),
                 (aw_point){box.low.x + w * (double)k, box.low.y}, w, 1.1 * t);
        if (k == 0)
            continue;
        aw_draft_figure(d, d->levels[k - 1], figure);
        const double width = aw_sheet_measure(d->sheet, AW_INK_NOTE, figure).x;
        const double x = fmin(box.low.x + w * (double)k - width / 2, box.high.x - width);
        if (x >= free_from) {
            aw_draft_set_text(d, AW_INK_NOTE, figure, (aw_point){x, box.low.y + 1.2 * t});
            free_from = x + width + 0.6;
        }
    }
}

void aw_draft_legend(aw_draft *d, aw_box box)
{
    const double t = d->sheet->text_size, pitch = 1.85 * t;
    char sounding[96], shown[96], scale[128];
    entry list[16];
    aw_block b = aw_block_begin(d, box);
    snprintf(sounding, sizeof sounding, "%s%s%s", aw_layer_rows[d->options->layer].name,
             *aw_draft_unit(d) ? ", " : "", aw_draft_unit(d));
    const size_t n = list_entries(d, sounding, list), rows = (n + 1) / 2;
    snprintf(scale, sizeof scale, "Legend (%s is better)",
             aw_layer_rows[d->options->layer].less_is_better ? "less" : "more");
    aw_block_text(d, &b, AW_INK_HEADING, scale, 1);
    const double column = (b.high.x - b.low.x) / 2;
    for (size_t i = 0; i < n; i++) {
        const aw_point at = {b.low.x + column * (double)(i / rows),
                             b.low.y + pitch * (double)(i % rows)};
        draw_symbol(d, &list[i], at);
        aw_block_fit(d, AW_INK_NOTE, list[i].text, column - 5.2 * t, shown, sizeof shown);
        aw_draft_set_text(d, AW_INK_NOTE, shown, (aw_point){at.x + 4.4 * t, at.y});
    }
    const double y = b.low.y + pitch * (double)rows + 0.8 * t;
    if (d->n_levels > 0 && y + 2.5 * t <= b.high.y)
        draw_ramp(d, (aw_box){{b.low.x, y}, {b.high.x, b.high.y}});
}
