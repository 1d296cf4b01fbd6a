/* The whole floor, small, with the strips that show it. */
#include <math.h>
#include <stdio.h>

#include "draw/block.h"
#include "draw/beside.h"
#include "draw/floor_sheet.h"
#include "draw/spot_blocks.h"

/* Of the plan, mm on A3. */
#define MOST_DEEP 26.0

/* Place of a part of the floor in the key plan; turned as the plan is. */
typedef struct key {
    const aw_draft *d;
    aw_point low;
    double mm; /* for a metre */
} key;

static aw_point key_point(const key *k, aw_point m)
{
    const aw_polygon *o = &k->d->scenario->floor.outline;
    const double x = (m.x - o->low.x) * k->mm, y = (m.y - o->low.y) * k->mm;
    const double deep = (o->high.y - o->low.y) * k->mm;
    return k->d->turned ? (aw_point){k->low.x + y, k->low.y + x}
                        : (aw_point){k->low.x + x, k->low.y + deep - y};
}

static void add_ring(aw_draft *d, const key *k, const aw_polygon *o, aw_item_kind kind, aw_ink ink)
{
    aw_item *item = aw_sheet_add(d->sheet, kind, ink);
    for (size_t i = 0; i < o->n; i++) {
        const aw_point p = key_point(k, o->at[i]);
        aw_sheet_point(d->sheet, item, p.x, p.y);
    }
    aw_sheet_end_path(d->sheet, item);
    if (item != NULL)
        item->closed = true;
}

/* The metres that a window shows, as a box of the key plan and its number. */
static void add_window(aw_draft *d, const key *k, size_t window, bool numbered)
{
    const double type = aw_draft_type(d), out = 0.6 * type;
    char number[8];
    aw_draft turned = *d;
    turned.origin = d->windows[window].origin;
    const aw_box *map = &d->windows[window].map;
    const aw_point a = key_point(k, aw_draft_to_metres(&turned, map->low));
    const aw_point b = key_point(k, aw_draft_to_metres(&turned, map->high));
    const aw_box all = {{fmin(a.x, b.x), fmin(a.y, b.y)}, {fmax(a.x, b.x), fmax(a.y, b.y)}};
    const aw_box floor = {k->low,
                          key_point(k, d->turned ? d->scenario->floor.outline.high
                                                 : (aw_point){d->scenario->floor.outline.high.x,
                                                              d->scenario->floor.outline.low.y})};
    const aw_point low = {fmax(all.low.x, floor.low.x - out),
                          numbered ? floor.low.y - out : fmax(all.low.y, floor.low.y - out)};
    const aw_point high = {fmin(all.high.x, floor.high.x + out),
                           numbered ? floor.high.y + out : fmin(all.high.y, floor.high.y + out)};
    aw_sheet_box(d->sheet, AW_ITEM_LINE, window % 2 ? AW_INK_WINDOW_BEHIND : AW_INK_WINDOW, 0, low,
                 high);
    if (!numbered)
        return;
    snprintf(number, sizeof number, "%zu", window + 1);
    aw_draft_put(d, AW_INK_HEADING, number, (low.x + high.x) / 2, (low.y + high.y) / 2 + 0.9 * type,
                 AW_AT_MIDDLE);
}

double aw_lay_anchors_and_key(aw_draft *d, aw_point at, double width, bool draw)
{
    const double y = aw_lay_anchors(d, at, width, draw);
    return aw_lay_key_plan(d, (aw_point){at.x, y}, width, draw);
}

/* The site with the window of a spot's sheet and the spot. */
double aw_lay_where(aw_draft *d, aw_point at, double width, bool draw)
{
    const aw_scenario *s = d->scenario;
    const aw_polygon *o = &s->floor.outline;
    const double k = aw_draft_type(d), inset = 0.8 * k;
    const double mm =
        fmin((width - 2 * inset) / (o->high.x - o->low.x), MOST_DEEP * k / (o->high.y - o->low.y));
    const double top = aw_block_head(d, "KEY PLAN", at, width, draw) + 1.6 * k;
    const key plan = {d, {at.x + inset, top}, mm};
    if (!draw)
        return top + (o->high.y - o->low.y) * mm + 2 * k;
    add_ring(d, &plan, o, AW_ITEM_FILL, AW_INK_FLOOR);
    for (size_t i = 0; i < s->n_obstacles; i++)
        if (aw_draft_is_solid(d, &s->obstacles[i].footprint, s->obstacles[i].base,
                              s->obstacles[i].top))
            add_ring(d, &plan, &s->obstacles[i].footprint, AW_ITEM_FILL, AW_INK_LAND);
    add_ring(d, &plan, o, AW_ITEM_LINE, AW_INK_KEY_SHORE);
    add_window(d, &plan, 0, false);
    const aw_point p = key_point(&plan, ((const aw_beside *)d->study)->spot);
    aw_sheet_circle(d->sheet, AW_ITEM_FILL, AW_INK_STIPPLE, p, 0.7 * k);
    return top + (o->high.y - o->low.y) * mm + 2 * k;
}

double aw_lay_key_plan(aw_draft *d, aw_point at, double width, bool draw)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    const double k = aw_draft_type(d), x = o->high.x - o->low.x, y = o->high.y - o->low.y;
    /* Strips run along the longer side. */
    const double wide = fmax(x, y), deep = fmin(x, y), inset = 0.8 * k;
    const double mm = fmin((width - 2 * inset) / wide, MOST_DEEP * k / deep);
    char line[160];
    if (d->n_windows < 2)
        return at.y;
    const double top = aw_block_head(d, "KEY PLAN", at, width, draw) + 2.2 * k;
    const double foot = top + deep * mm + 2 * k;
    const key plan = {d, {at.x + inset, top}, mm};
    snprintf(line, sizeof line, "Strip under strip; the rose strokes match.");
    aw_block b = {{at.x, foot}, {at.x + width, d->sheet->height}};
    if (draw) {
        add_ring(d, &plan, o, AW_ITEM_FILL, AW_INK_FLOOR);
        add_ring(d, &plan, o, AW_ITEM_LINE, AW_INK_KEY_SHORE);
        for (size_t i = 0; i < d->n_windows; i++)
            add_window(d, &plan, i, true);
        aw_block_text(d, &b, AW_INK_TABLE, line, 2);
    }
    return foot + 3.6 * k;
}
