/* Figures on a staggered lattice. */
#include <math.h>
#include <stdio.h>

#include "draw/draft.h"

/* The surface where the cell has a figure. */
static double drawn_at(const aw_draft *d, aw_point metres)
{
    const size_t cell = aw_field_cell(&d->field, metres);
    return cell != AW_NO_CELL && d->field.kept[cell] && !isnan(d->field.value[cell])
               ? aw_surface_at(d->surface, metres)
               : (double)NAN;
}

/* The figure of a place, or the letter of the layout that alone has one; false for neither. */
static bool figure_at(const aw_draft *d, aw_point metres, char out[24])
{
    const double value =
        d->contrast != NULL ? aw_field_at(&d->field, metres.x, metres.y) : drawn_at(d, metres);
    if (!isnan(value)) {
        aw_draft_figure(d, value, out);
        return true;
    }
    const size_t cell = d->contrast != NULL ? aw_field_cell(&d->field, metres) : AW_NO_CELL;
    if (cell == AW_NO_CELL || d->contrast->only[cell] == 0)
        return false;
    snprintf(out, 24, "%c", d->contrast->only[cell]);
    return true;
}

/* Bold where a need is missed. */
static aw_ink ink_at(const aw_draft *d, aw_point metres)
{
    return d->contrast == NULL && aw_draft_standing_at(d, metres) == AW_STANDS_MISSED
               ? AW_INK_MISSED
               : AW_INK_SOUNDING;
}

void aw_draft_soundings(aw_draft *d)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    const double size = d->sheet->text_size, apart = 4.4 * size, rows = 2.9 * size;
    const double wide = (o->high.x - o->low.x) * d->mm, deep = (o->high.y - o->low.y) * d->mm;
    size_t row = 0;
    for (double y = rows / 2; y < deep; y += rows, row++)
        for (double x = row % 2 ? apart : apart / 2; x < wide; x += apart) {
            char figure[24];
            const aw_point m = {o->low.x + x / d->mm, o->high.y - y / d->mm};
            if (!figure_at(d, m, figure))
                continue;
            const aw_ink ink = ink_at(d, m);
            const aw_point extent = aw_sheet_measure(d->sheet, ink, figure);
            const aw_point p = aw_draft_to_paper(d, m);
            const aw_box box = {{p.x - extent.x / 2, p.y - extent.y / 2},
                                {p.x + extent.x / 2, p.y + extent.y / 2}};
            if (aw_draft_on_water(d, box))
                aw_draft_try_text(d, ink, figure, box.low, 0, d->map);
        }
}
