/* Figures on a staggered lattice. */
#include <math.h>
#include <stdio.h>

#include "draw/draft.h"

/* The lattice, in text sizes; what is clear beside a figure, mm. */
#define APART 4.68
#define ROWS  3.15
#define CLEAR 0.4

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

/* Sets the figure of a place if it stands clear of all texts and lines there. */
static bool set_sounding(aw_draft *d, aw_point p)
{
    const aw_point m = aw_draft_to_metres(d, p);
    char figure[24];
    if (!figure_at(d, m, figure))
        return false;
    const aw_ink ink = ink_at(d, m);
    const aw_point size = aw_sheet_measure(d->sheet, ink, figure);
    const aw_box box = {{p.x - size.x / 2, p.y - size.y / 2}, {p.x + size.x / 2, p.y + size.y / 2}};
    const aw_box about = {{box.low.x - CLEAR, box.low.y}, {box.high.x + CLEAR, box.high.y}};
    return aw_draft_is_free(d, box) && aw_draft_on_water(d, about) &&
           !aw_draft_is_crossed(d, about, AW_KEEP_OFF_LINES) &&
           aw_draft_try_text(d, ink, figure, box.low, 0, d->map);
}

/* At a point of the lattice, else a little off it. */
void aw_draft_soundings(aw_draft *d)
{
    static const double moves[][2] = {{0, 0},    {0, -1.2}, {0, 1.2},  {-1.2, 0}, {1.2, 0},
                                      {0, -2.4}, {0, 2.4},  {-2.4, 0}, {2.4, 0}};
    const aw_box all = aw_draft_box_of(d, &d->scenario->floor.outline);
    const double size = d->sheet->text_size, apart = APART * size, rows = ROWS * size;
    size_t row = 0;
    for (double y = all.low.y + rows / 2; y < all.high.y; y += rows, row++)
        for (double x = all.low.x + (row % 2 ? apart : apart / 2); x < all.high.x; x += apart)
            for (size_t k = 0; k < sizeof moves / sizeof *moves; k++)
                if (set_sounding(d, (aw_point){x + moves[k][0], y + moves[k][1]}))
                    break;
}
