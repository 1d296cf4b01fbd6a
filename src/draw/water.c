/* The field as water: tints by class, and hatched ground where there is no fix. */
#include <math.h>
#include <stdio.h>

#include "base/plane.h"
#include "draw/draft.h"

/* Of the lines across water without a fix, mm. */
#define HATCH 1.5

void aw_draft_choose_levels(aw_draft *d)
{
    const aw_layer_row *row = &aw_layer_rows[d->options->layer];
    for (size_t k = 0; k < AW_LAYER_BORDERS; k++)
        d->levels[d->n_levels++] = row->borders[k];
}

/* --- tints --- */

static void add_region(aw_draft *d, aw_item_kind kind, aw_ink ink, const aw_field *f, double level,
                       double shade)
{
    aw_item *item = aw_sheet_add(d->sheet, kind, ink);
    aw_piece piece;
    if (item == NULL)
        return;
    item->shade = shade;
    for (size_t cursor = 0; aw_field_next_piece(f, level, &cursor, &piece);) {
        for (size_t k = 0; k < piece.n; k++) {
            const aw_point p = aw_draft_to_paper(d, piece.at[k]);
            aw_sheet_point(d->sheet, item, p.x, p.y);
        }
        aw_sheet_end_path(d->sheet, item);
    }
}

/* Better water is paler, whichever way the layer counts. */
double aw_draft_shade(const aw_draft *d, size_t band)
{
    const bool rising = aw_layer_rows[d->options->layer].less_is_better;
    return (double)(rising ? band : AW_LAYER_BORDERS - band) / AW_LAYER_BORDERS;
}

void aw_draft_open_floor(aw_draft *d)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    aw_item *clip = aw_sheet_add(d->sheet, AW_ITEM_CLIP, AW_INK_SHORE);
    for (size_t i = 0; i < o->n; i++) {
        const aw_point p = aw_draft_to_paper(d, o->at[i]);
        aw_sheet_point(d->sheet, clip, p.x, p.y);
    }
    aw_sheet_end_path(d->sheet, clip);
}

const double aw_relative_borders[AW_RELATIVE_BANDS - 1] = {0.5, 1, 2};

/* Tints 2, 3, 5 and 7: the step at the need itself is the larger one. */
double aw_draft_relative_shade(size_t band)
{
    static const double tint[AW_RELATIVE_BANDS] = {2, 3, 5, 7};
    return (tint[band] - 1) / (AW_TINTS - 1);
}

void aw_draft_open_zone(aw_draft *d, const aw_zone *z)
{
    aw_item *clip = aw_sheet_add(d->sheet, AW_ITEM_CLIP, AW_INK_ZONE);
    for (size_t k = 0; k < z->outline.n; k++) {
        const aw_point p = aw_draft_to_paper(d, z->outline.at[k]);
        aw_sheet_point(d->sheet, clip, p.x, p.y);
    }
    aw_sheet_end_path(d->sheet, clip);
}

/* Zones with a need by shares of it; what has no need is paper. */
static void add_relative_tints(aw_draft *d)
{
    const aw_scenario *s = d->scenario;
    for (size_t i = s->n_zones; i-- > 0;) {
        const double need = aw_draft_need(d, &s->zones[i]);
        if (isnan(need))
            continue;
        aw_draft_open_zone(d, &s->zones[i]);
        aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_TINT, aw_draft_relative_shade(0),
                     aw_draft_to_paper(d, s->floor.outline.low),
                     aw_draft_to_paper(d, s->floor.outline.high));
        for (size_t k = 1; k < AW_RELATIVE_BANDS; k++)
            add_region(d, AW_ITEM_FILL, AW_INK_TINT, &d->filled, need * aw_relative_borders[k - 1],
                       aw_draft_relative_shade(k));
        aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_ZONE);
    }
}

void aw_draft_tints(aw_draft *d)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    if (d->options->relative) {
        add_relative_tints(d);
        return;
    }
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_TINT, aw_draft_shade(d, 0),
                 aw_draft_to_paper(d, o->low), aw_draft_to_paper(d, o->high));
    for (size_t k = 0; k < d->n_levels; k++)
        add_region(d, AW_ITEM_FILL, AW_INK_TINT, &d->filled, d->levels[k],
                   aw_draft_shade(d, k + 1));
}

/* Where cells of the floor have no value: 1, elsewhere 0, spread to the walls. */
static bool mark_gaps(const aw_draft *d, aw_field *gaps)
{
    aw_field marks;
    bool any = false;
    if (!aw_field_fill_gaps(&marks, &d->field))
        return false;
    for (size_t i = 0; i < marks.nx * marks.ny; i++) {
        const bool gap = marks.kept[i] && isnan(d->field.value[i]);
        marks.value[i] = marks.kept[i] ? gap : (double)NAN;
        any = any || gap;
    }
    const bool marked = any && aw_field_fill_gaps(gaps, &marks);
    aw_field_free(&marks);
    return marked;
}

static void add_paths(aw_draft *d, aw_ink ink, const aw_paths *paths)
{
    for (size_t k = 0; k < paths->n; k++) {
        aw_item *item = aw_sheet_add(d->sheet, AW_ITEM_LINE, ink);
        for (size_t i = 0; i < paths->list[k].n; i++) {
            const aw_point p = aw_draft_to_paper(d, paths->list[k].at[i]);
            aw_sheet_point(d->sheet, item, p.x, p.y);
        }
        aw_sheet_end_path(d->sheet, item);
        if (item != NULL)
            item->closed = paths->list[k].closed;
    }
}

/* Lines across what shows of the floor, 45 degrees to the sheet. */
static void add_hatch(aw_draft *d)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    const aw_point low = aw_draft_to_paper(d, (aw_point){o->low.x, o->high.y});
    const aw_point high = aw_draft_to_paper(d, (aw_point){o->high.x, o->low.y});
    const double deep = high.y - low.y, apart = HATCH * sqrt(2);
    aw_item *lines = aw_sheet_add(d->sheet, AW_ITEM_LINE, AW_INK_NO_FIX_HATCH);
    for (double x = low.x - deep + apart / 2; x < high.x; x += apart) {
        aw_sheet_point(d->sheet, lines, x, high.y);
        aw_sheet_point(d->sheet, lines, x + deep, low.y);
        aw_sheet_end_path(d->sheet, lines);
    }
}

void aw_draft_gaps(aw_draft *d, aw_item_kind kind)
{
    aw_field gaps;
    aw_paths edges;
    if (!mark_gaps(d, &gaps))
        return;
    if (kind == AW_ITEM_FILL) {
        add_region(d, AW_ITEM_FILL, AW_INK_NO_FIX, &gaps, 0.5, 0);
        add_region(d, AW_ITEM_CLIP, AW_INK_NO_FIX, &gaps, 0.5, 0);
        add_hatch(d);
        aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_NO_FIX);
    } else if (aw_field_trace(&gaps, 0.5, &edges)) {
        add_paths(d, AW_INK_NO_FIX, &edges);
        aw_paths_free(&edges);
    }
    aw_field_free(&gaps);
}
