/* The field as water: tints by class, and hatched ground where there is no fix. */
#include <math.h>
#include <stdio.h>

#include "draw/draft.h"

/* Of the lines across water without a fix, mm. */
#define HATCH 1.5

void aw_draft_choose_levels(aw_draft *d)
{
    const aw_layer_row *row = &aw_layer_rows[d->options->layer];
    for (size_t k = 0; k < AW_LAYER_BORDERS; k++)
        d->levels[d->n_levels++] = row->borders[k];
}

/* Better water is paler, whichever way the layer counts. */
double aw_draft_shade(const aw_draft *d, size_t band)
{
    const bool rising = aw_layer_rows[d->options->layer].less_is_better;
    return (double)(rising ? band : AW_LAYER_BORDERS - band) / AW_LAYER_BORDERS;
}

const double aw_relative_borders[AW_RELATIVE_BANDS - 1] = {0.5, 1, 2};

/* Tints 2, 3, 5 and 7: the step at the need itself is the larger one. */
double aw_draft_relative_shade(size_t band)
{
    static const double tint[AW_RELATIVE_BANDS] = {2, 3, 5, 7};
    return (tint[band] - 1) / (AW_TINTS - 1);
}

/* --- what is shown where --- */

static void add_polygon(aw_draft *d, aw_item *item, const aw_polygon *polygon)
{
    for (size_t k = 0; k < polygon->n; k++) {
        const aw_point p = aw_draft_to_paper(d, polygon->at[k]);
        aw_sheet_point(d->sheet, item, p.x, p.y);
    }
    aw_sheet_end_path(d->sheet, item);
}

static void add_paths(aw_draft *d, aw_item *item, const aw_paths *paths)
{
    for (size_t k = 0; k < paths->n; k++) {
        for (size_t i = 0; i < paths->list[k].n; i++)
            aw_sheet_point(d->sheet, item, paths->list[k].at[i].x, paths->list[k].at[i].y);
        aw_sheet_end_path(d->sheet, item);
    }
}

void aw_draft_open_floor(aw_draft *d, aw_depth depth)
{
    d->sheet->depth = depth;
    aw_sheet_box(d->sheet, AW_ITEM_CLIP, AW_INK_NEAT, 0, d->map.low, d->map.high);
    add_polygon(d, aw_sheet_add(d->sheet, AW_ITEM_CLIP, AW_INK_SHORE), &d->scenario->floor.outline);
}

void aw_draft_close_floor(aw_draft *d)
{
    aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_SHORE);
    aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_NEAT);
    d->sheet->depth = AW_DEPTH_OVER;
}

void aw_draft_open_zone(aw_draft *d, const aw_zone *z)
{
    add_polygon(d, aw_sheet_add(d->sheet, AW_ITEM_CLIP, AW_INK_ZONE), &z->outline);
}

void aw_draft_open_room(aw_draft *d, size_t room)
{
    const aw_paths *bound = &d->surface->room[room].bound;
    aw_item *clip = aw_sheet_add(d->sheet, AW_ITEM_CLIP, AW_INK_SHORE);
    for (size_t k = 0; k < bound->n; k++) {
        for (size_t i = 0; i < bound->list[k].n; i++) {
            const aw_point p = aw_draft_to_paper(d, bound->list[k].at[i]);
            aw_sheet_point(d->sheet, clip, p.x, p.y);
        }
        aw_sheet_end_path(d->sheet, clip);
    }
}

void aw_draft_water(aw_draft *d)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    aw_draft_open_floor(d, AW_DEPTH_GROUND);
    const aw_box all = aw_draft_box_of(d, o);
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_FLOOR, 0, all.low, all.high);
    aw_draft_close_floor(d);
}

/* --- tints --- */

static void add_region(aw_draft *d, size_t room, double level, double shade, bool of_need)
{
    aw_paths rings;
    if (!aw_draft_rings(d, room, level, of_need, &rings)) {
        d->sheet->failed = true;
        return;
    }
    aw_item *item = rings.n > 0 ? aw_sheet_add(d->sheet, AW_ITEM_FILL, AW_INK_TINT) : NULL;
    if (item != NULL)
        item->shade = shade;
    add_paths(d, item, &rings);
    aw_paths_free(&rings);
}

static void add_ground(aw_draft *d, double shade)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_TINT, shade, aw_draft_to_paper(d, o->low),
                 aw_draft_to_paper(d, o->high));
}

/* Regions over one border after the other; of a need's, borders are shares of it. */
static void add_tints(aw_draft *d, double need)
{
    const bool relative = !isnan(need);
    const size_t n = relative ? AW_RELATIVE_BANDS - 1 : d->n_levels, rooms = d->surface->rooms.n;
    add_ground(d, relative ? aw_draft_relative_shade(0) : aw_draft_shade(d, 0));
    for (size_t room = 0; room < rooms; room++) {
        if (rooms > 1)
            aw_draft_open_room(d, room);
        for (size_t k = 0; k < n; k++)
            add_region(d, room, relative ? need * aw_relative_borders[k] : d->levels[k],
                       relative ? aw_draft_relative_shade(k + 1) : aw_draft_shade(d, k + 1),
                       relative && aw_relative_borders[k] == 1);
        if (rooms > 1)
            aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_SHORE);
    }
}

void aw_draft_tints(aw_draft *d)
{
    const aw_scenario *s = d->scenario;
    aw_draft_open_floor(d, AW_DEPTH_GROUND);
    if (!d->options->relative)
        add_tints(d, (double)NAN);
    /* Zones with a need by shares of it; what has no need is paper. */
    for (size_t i = d->options->relative ? s->n_zones : 0; i-- > 0;) {
        const double need = aw_draft_need(d, &s->zones[i]);
        if (isnan(need))
            continue;
        aw_draft_open_zone(d, &s->zones[i]);
        add_tints(d, need);
        aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_ZONE);
    }
    aw_draft_close_floor(d);
}

/* --- no fix --- */

/* Lines across what shows of the floor, 45 degrees to the sheet. */
static void add_hatch(aw_draft *d)
{
    const aw_box all = aw_draft_box_of(d, &d->scenario->floor.outline);
    const aw_point low = all.low, high = all.high;
    const double deep = high.y - low.y, apart = HATCH * sqrt(2);
    aw_item *lines = aw_sheet_add(d->sheet, AW_ITEM_LINE, AW_INK_NO_FIX_HATCH);
    for (double x = low.x - deep + apart / 2; x < high.x; x += apart) {
        aw_sheet_point(d->sheet, lines, x, high.y);
        aw_sheet_point(d->sheet, lines, x + deep, low.y);
        aw_sheet_end_path(d->sheet, lines);
    }
}

void aw_draft_gaps(aw_draft *d)
{
    aw_paths edges;
    if (!d->surface->has_no_fix)
        return;
    if (!aw_field_trace(&d->surface->no_fix, 0.5, &edges)) {
        d->sheet->failed = true;
        return;
    }
    for (size_t k = 0; k < edges.n; k++)
        for (size_t i = 0; i < edges.list[k].n; i++)
            edges.list[k].at[i] = aw_draft_to_paper(d, edges.list[k].at[i]);
    aw_draft_open_floor(d, AW_DEPTH_NO_FIX);
    add_paths(d, aw_sheet_add(d->sheet, AW_ITEM_FILL, AW_INK_NO_FIX), &edges);
    add_paths(d, aw_sheet_add(d->sheet, AW_ITEM_CLIP, AW_INK_NO_FIX), &edges);
    add_hatch(d);
    aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_NO_FIX);
    aw_item *edge = aw_sheet_add(d->sheet, AW_ITEM_LINE, AW_INK_NO_FIX);
    if (edge != NULL)
        edge->closed = true;
    add_paths(d, edge, &edges);
    aw_paths_free(&edges);
    aw_draft_close_floor(d);
}
