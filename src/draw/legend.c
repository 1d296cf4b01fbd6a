/* The legend: every mark that is on the sheet, and nothing that is not. */
#include <math.h>
#include <stdio.h>

#include "draw/block.h"
#include "draw/draft.h"

/* --- entries --- */

bool aw_draft_has_land(const aw_draft *d, bool solid)
{
    const aw_scenario *s = d->scenario;
    bool any = false;
    for (size_t i = 0; i < s->n_obstacles; i++)
        any = any || aw_draft_is_solid(d, &s->obstacles[i].footprint, s->obstacles[i].base,
                                       s->obstacles[i].top) == solid;
    for (size_t i = 0; i < s->n_walls; i++)
        for (size_t k = 0; k + 1 < s->walls[i].n; k++)
            any = any || aw_draft_is_solid(d, &s->walls[i].legs[k], s->walls[i].base,
                                           s->walls[i].top) == solid;
    return any;
}

void aw_draft_list_land(aw_draft *d)
{
    if (aw_draft_has_land(d, true))
        aw_draft_entry(d, AW_SYMBOL_LAND, AW_INK_LAND, "at the tag's height");
    if (aw_draft_has_land(d, false))
        aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_OVERHEAD, "over or under it");
}

void aw_draft_list_zones(aw_draft *d)
{
    if (d->scenario->n_zones > 0)
        aw_draft_entry(d, AW_SYMBOL_LINE, AW_INK_ZONE, "border of a zone");
}

bool aw_draft_has_gaps(const aw_draft *d)
{
    for (size_t i = 0; i < d->field.nx * d->field.ny; i++)
        if (d->field.kept[i] && isnan(d->field.value[i]))
            return true;
    return false;
}

/* Whether a line of an ink stands on the sheet. */
static bool is_drawn(const aw_draft *d, aw_ink ink)
{
    for (size_t i = 0; i < d->sheet->n; i++) {
        const aw_item *item = &d->sheet->items[i];
        if (item->kind == AW_ITEM_LINE && item->ink == ink && item->n_paths > 0)
            return true;
    }
    return false;
}

void aw_draft_drop_unseen(aw_draft *d)
{
    aw_words *w = &d->words;
    size_t n = 0;
    for (size_t i = 0; i < w->n_entries; i++) {
        const aw_symbol symbol = w->entries[i].symbol;
        const bool line =
            symbol == AW_SYMBOL_LINE || symbol == AW_SYMBOL_CROSS || symbol == AW_SYMBOL_ELLIPSE;
        if (!line || is_drawn(d, w->entries[i].ink))
            w->entries[n++] = w->entries[i];
    }
    w->n_entries = n;
}

/* --- marks --- */

static void draw_box(aw_draft *d, aw_ink ink, double shade, aw_point at, double w, double h)
{
    const aw_point high = {at.x + w, at.y + h};
    aw_sheet_box(d->sheet, AW_ITEM_FILL, ink, shade, at, high);
    if (ink != AW_INK_LAND)
        aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_LEADER, 0, at, high);
}

/* A ground with dots, or with rings of the same size. */
static void draw_dotted(aw_draft *d, aw_ink ground, aw_ink ink, aw_point at, double w, double h)
{
    draw_box(d, ground, 0.5, at, w, h);
    for (int i = 0; i < 6; i++)
        for (int j = 0; j < 2; j++) {
            const aw_point c = {at.x + w * (i + 0.5 + 0.5 * j) / 6.5, at.y + h * (1 + 2 * j) / 4};
            aw_sheet_circle(d->sheet, ink == AW_INK_TIED ? AW_ITEM_LINE : AW_ITEM_FILL, ink, c,
                            0.22);
        }
}

static void draw_no_fix(aw_draft *d, aw_point at, double w, double h)
{
    const aw_point high = {at.x + w, at.y + h};
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_NO_FIX, 0, at, high);
    for (double x = at.x + 0.5; x + h < high.x; x += 2.1)
        aw_sheet_line(d->sheet, AW_INK_NO_FIX_HATCH, (aw_point){x, high.y},
                      (aw_point){x + h, at.y});
    aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_NO_FIX, 0, at, high);
}

static void draw_text(aw_draft *d, const char *text, aw_point middle)
{
    const aw_point size = aw_sheet_measure(d->sheet, AW_INK_SOUNDING, text);
    aw_draft_set_text(d, AW_INK_SOUNDING, text,
                      (aw_point){middle.x - size.x / 2, middle.y - size.y / 2});
}

static void draw_moved(aw_draft *d, aw_point at, double w, aw_point c)
{
    const aw_point now = {at.x + w - 1.6, c.y}, was = {at.x + 0.75, c.y};
    aw_sheet_line(d->sheet, AW_INK_CHANGE, (aw_point){was.x + 0.75, c.y}, now);
    aw_sheet_circle(d->sheet, AW_ITEM_LINE, AW_INK_RING, was, 0.75);
    aw_draft_anchor_mark(d, AW_SYMBOL_MOVED, now);
}

static void draw_cross(aw_draft *d, aw_ink ink, double from, aw_point c)
{
    aw_sheet_line(d->sheet, AW_INK_BEARING, (aw_point){from, c.y}, c);
    aw_sheet_line(d->sheet, ink, (aw_point){c.x - 1, c.y - 1}, (aw_point){c.x + 1, c.y + 1});
    aw_sheet_line(d->sheet, ink, (aw_point){c.x - 1, c.y + 1}, (aw_point){c.x + 1, c.y - 1});
}

static void draw_region(aw_draft *d, aw_point low, aw_point high)
{
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_TINT, AW_SHADE_REGION, low, high);
    aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_REGION, 0, low, high);
}

static void draw_disc(aw_draft *d, aw_symbol symbol, aw_point c)
{
    const double t = d->sheet->text_size, r = symbol == AW_SYMBOL_DISC_SPARE ? 0.45 * t : 0.8 * t;
    aw_sheet_circle(d->sheet, AW_ITEM_FILL,
                    symbol == AW_SYMBOL_DISC_SPARE   ? AW_INK_PAPER
                    : symbol == AW_SYMBOL_DISC_FELLS ? AW_INK_STIPPLE
                                                     : AW_INK_DISC,
                    c, r);
    aw_sheet_circle(d->sheet, AW_ITEM_LINE, AW_INK_RING, c, r);
}

/* Marks of other sheets than the chart. */
static void draw_shape(aw_draft *d, aw_symbol symbol, aw_point at, aw_point c)
{
    const double w = 2 * (c.x - at.x), h = 2 * (c.y - at.y);
    switch (symbol) {
    case AW_SYMBOL_ELLIPSE:
        aw_sheet_ellipse(d->sheet, AW_ITEM_LINE, AW_INK_ELLIPSE, c, (aw_point){w / 2, h / 2}, 0);
        break;
    case AW_SYMBOL_LOW_END:
        draw_box(d, AW_INK_TINT, AW_SHADE_LOW_END, at, w, h / 2);
        break;
    case AW_SYMBOL_HIGH_END:
        draw_box(d, AW_INK_TINT, AW_SHADE_HIGH_END, (aw_point){at.x, c.y}, w, h / 2);
        break;
    case AW_SYMBOL_JOINT:
        draw_box(d, AW_INK_LAND, 0, (aw_point){at.x, at.y + h / 4}, w, h / 2);
        break;
    case AW_SYMBOL_DISC:
    case AW_SYMBOL_DISC_FELLS:
    case AW_SYMBOL_DISC_SPARE:
        draw_disc(d, symbol, c);
        break;
    case AW_SYMBOL_REGION:
        draw_region(d, at, (aw_point){at.x + w, at.y + h});
        break;
    default:
        break;
    }
}

static const char *specimen_of(const aw_draft *d, aw_symbol symbol)
{
    return symbol == AW_SYMBOL_ONLY_A   ? "A"
           : symbol == AW_SYMBOL_ONLY_B ? "B"
           : d->contrast != NULL        ? "−27"
                                        : "27";
}

void aw_draft_symbol(aw_draft *d, const aw_entry *e, aw_point at)
{
    const double t = d->sheet->text_size, w = 3.6 * t, h = 1.1 * t;
    const aw_point c = {at.x + w / 2, at.y + h / 2};
    switch (e->symbol) {
    case AW_SYMBOL_SOUNDING:
    case AW_SYMBOL_ONLY_A:
    case AW_SYMBOL_ONLY_B:
        draw_text(d, specimen_of(d, e->symbol), c);
        break;
    case AW_SYMBOL_LINE:
        aw_sheet_line(d->sheet, e->ink, (aw_point){at.x, c.y}, (aw_point){at.x + w, c.y});
        break;
    case AW_SYMBOL_SHOAL:
    case AW_SYMBOL_TIED:
        draw_dotted(d, AW_INK_TINT, e->ink, at, w, h);
        break;
    case AW_SYMBOL_BETTER:
        draw_box(d, AW_INK_BETTER, 0, at, w, h);
        break;
    case AW_SYMBOL_WORSE:
        draw_dotted(d, AW_INK_WORSE, AW_INK_STIPPLE, at, w, h);
        break;
    case AW_SYMBOL_PLAIN:
        draw_box(d, AW_INK_PAPER, 0, at, w, h);
        break;
    case AW_SYMBOL_BLANK:
        draw_no_fix(d, at, w, h);
        break;
    case AW_SYMBOL_LAND:
        draw_box(d, AW_INK_LAND, 0, at, w, h);
        break;
    case AW_SYMBOL_ANCHOR:
    case AW_SYMBOL_ADDED:
    case AW_SYMBOL_REMOVED:
        aw_draft_anchor_mark(d, e->symbol, c);
        break;
    case AW_SYMBOL_MOVED:
        draw_moved(d, at, w, c);
        break;
    case AW_SYMBOL_CROSS:
        draw_cross(d, e->ink, at.x, c);
        break;
    case AW_SYMBOL_WORST:
    case AW_SYMBOL_WORST_MISSED:
        aw_draft_worst_mark(d, (aw_point){c.x, at.y + h}, e->symbol == AW_SYMBOL_WORST_MISSED, 0.4);
        break;
    default:
        draw_shape(d, e->symbol, at, c);
        break;
    }
}

/* One box for each class, the border to the next one under its right edge. */
void aw_draft_ramp(aw_draft *d, aw_box box)
{
    static const char *const of_need[] = {"half", "the need", "twice"};
    const bool relative = d->options->relative;
    const size_t bands = relative ? AW_RELATIVE_BANDS : d->n_levels + 1;
    const double t = d->sheet->text_size, w = (box.high.x - box.low.x) / (double)bands;
    for (size_t k = 0; k < bands; k++) {
        char figure[24];
        draw_box(d, AW_INK_TINT, relative ? aw_draft_relative_shade(k) : aw_draft_shade(d, k),
                 (aw_point){box.low.x + w * (double)k, box.low.y}, w, 1.1 * t);
        if (k + 1 == bands)
            continue;
        aw_draft_border(d, d->levels[k], figure);
        const char *text = relative ? of_need[k] : figure;
        const double width = aw_sheet_measure(d->sheet, AW_INK_NOTE, text).x;
        aw_draft_set_text(
            d, AW_INK_NOTE, text,
            (aw_point){box.low.x + w * (double)(k + 1) - width / 2, box.low.y + 1.2 * t});
    }
}
