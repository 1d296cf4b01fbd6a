/* What stands on the floor: obstacles and walls as land, zones. */
#include <math.h>
#include <stdio.h>

#include "anchorwise/assess.h"
#include "anchorwise/level.h"
#include "base/plane.h"
#include "draw/draft.h"
#include "draw/pale.h"

/* A level's name keeps so far from texts beside it, mm. */
#define APART 2.0

static void add_polygon(aw_draft *d, aw_item_kind kind, aw_ink ink, const aw_polygon *p)
{
    aw_item *item = aw_sheet_add(d->sheet, kind, ink);
    for (size_t i = 0; i < p->n; i++) {
        const aw_point at = aw_draft_to_paper(d, p->at[i]);
        aw_sheet_point(d->sheet, item, at.x, at.y);
    }
    aw_sheet_end_path(d->sheet, item);
    if (item != NULL)
        item->closed = true;
}

/* What stands at the tag's height is land; what hangs over it or lies under it is an outline. */
static void add_standing(aw_draft *d, const aw_polygon *p, double base, double top)
{
    if (aw_draft_is_solid(d, p, base, top))
        add_polygon(d, AW_ITEM_FILL, AW_INK_LAND, p);
    else
        add_polygon(d, AW_ITEM_LINE, AW_INK_OVERHEAD, p);
}

/* The client's plan, as far as the sheet has room for it. */
static void add_pale(aw_draft *d)
{
    const aw_pale *pale = d->options->pale;
    if (pale == NULL)
        return;
    d->sheet->depth = AW_DEPTH_PICTURE;
    aw_sheet_box(d->sheet, AW_ITEM_CLIP, AW_INK_FRAME, 0, d->map.low, d->map.high);
    aw_item *item = aw_sheet_add(d->sheet, AW_ITEM_PICTURE, AW_INK_OVERHEAD);
    for (int k = 0; k < 3; k++) {
        const aw_point at = aw_draft_to_paper(d, pale->corners[k]);
        aw_sheet_point(d->sheet, item, at.x, at.y);
    }
    aw_sheet_end_path(d->sheet, item);
    if (item != NULL)
        item->pale = pale;
    aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_FRAME);
    d->sheet->depth = AW_DEPTH_OVER;
}

void aw_draft_land(aw_draft *d)
{
    const aw_scenario *s = d->scenario;
    add_pale(d);
    aw_draft_open_floor(d, AW_DEPTH_LAND);
    for (size_t i = 0; i < s->n_levels; i++)
        add_polygon(d, AW_ITEM_LINE, AW_INK_OVERHEAD, &s->levels[i].outline);
    for (size_t i = 0, n = aw_named_obstacles(s); i < n; i++)
        add_standing(d, &s->obstacles[i].footprint, s->obstacles[i].base, s->obstacles[i].top);
    for (size_t i = 0; i < s->n_walls; i++)
        for (size_t k = 0; k + 1 < s->walls[i].n; k++)
            add_standing(d, &s->walls[i].legs[k], s->walls[i].base, s->walls[i].top);
    aw_draft_close_floor(d);
    add_polygon(d, AW_ITEM_LINE, AW_INK_SHORE, &s->floor.outline);
}

/* A name goes on what it names, turned if need be, or nowhere. */
static void name_land(aw_draft *d, const aw_obstacle *o)
{
    const aw_polygon *f = &o->footprint;
    const char *name = o->name;
    const aw_ink ink =
        aw_draft_is_solid(d, f, o->base, o->top) ? AW_INK_LAND_NAME : AW_INK_OVERHEAD_NAME;
    const aw_point size = aw_sheet_measure(d->sheet, ink, name);
    const aw_box shown = aw_draft_shown_box(d, f);
    const aw_point c = {(shown.low.x + shown.high.x) / 2, (shown.low.y + shown.high.y) / 2};
    const aw_box flat = {{c.x - size.x / 2, c.y - size.y / 2},
                         {c.x + size.x / 2, c.y + size.y / 2}};
    const aw_box upright = {{c.x - size.y / 2, c.y - size.x / 2},
                            {c.x + size.y / 2, c.y + size.x / 2}};
    if (aw_draft_is_on(d, f, flat))
        aw_draft_try_text(d, ink, name, flat.low, 0, d->map);
    else if (aw_draft_is_on(d, f, upright))
        aw_draft_try_text(d, ink, name, (aw_point){upright.low.x, upright.high.y}, -90, d->map);
}

/* Tags move on a level, so its name stands where there is place for it: the row nearest to the
 * middle. */
static void name_level(aw_draft *d, const aw_polygon *p, const char *name)
{
    const aw_point size = aw_sheet_measure(d->sheet, AW_INK_ZONE_NAME, name);
    const aw_box all = aw_draft_shown_box(d, p);
    const aw_point from = all.low, to = all.high;
    const double middle = (from.y + to.y - size.y) / 2;
    for (double off = 0; off < (to.y - from.y) / 2; off += 1.5)
        for (int side = -1; side <= 1; side += 2)
            for (double x = from.x + 0.8; x + size.x < to.x; x += 1.5) {
                const double y = middle + side * off;
                const aw_box box = {{x, y}, {x + size.x, y + size.y}};
                const aw_box about = {{x - APART, y}, {x + size.x + APART, y + size.y}};
                if (aw_draft_is_on(d, p, about) && aw_draft_is_free(d, about) &&
                    !aw_draft_is_crossed(d, box, AW_KEEP_OFF_MOST) &&
                    aw_draft_try_text(d, AW_INK_ZONE_NAME, name, box.low, 0, d->map))
                    return;
            }
}

void aw_draft_land_names(aw_draft *d)
{
    const aw_scenario *s = d->scenario;
    const bool feet = s->units == AW_FEET;
    char level[96];
    for (size_t i = 0, n = aw_named_obstacles(s); i < n; i++)
        name_land(d, &s->obstacles[i]);
    for (size_t i = 0; i < s->n_levels; i++) {
        snprintf(level, sizeof level, "%s, %+.4g %s", s->levels[i].name,
                 s->levels[i].height / (feet ? AW_FOOT : 1), feet ? "ft" : "m");
        name_level(d, &s->levels[i].outline, level);
    }
}

void aw_draft_zones(aw_draft *d)
{
    for (size_t i = 0; i < d->scenario->n_zones; i++)
        add_polygon(d, AW_ITEM_LINE, AW_INK_ZONE, &d->scenario->zones[i].outline);
}
