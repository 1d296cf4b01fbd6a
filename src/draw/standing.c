/* What a cell is to the need that holds there. */
#include <math.h>

#include "base/plane.h"
#include "draw/draft.h"

/* The need that holds at a place, NaN without one; the first zone that has it speaks. */
static double need_at(const aw_draft *d, aw_point p)
{
    const aw_scenario *s = d->scenario;
    for (size_t i = 0; i < s->n_zones; i++) {
        const double need = aw_draft_need(d, &s->zones[i]);
        if (!isnan(need) && aw_polygon_holds(&s->zones[i].outline, p.x, p.y))
            return need;
    }
    return (double)NAN;
}

aw_standing aw_draft_standing(const aw_draft *d, size_t cell)
{
    const aw_field *f = &d->field;
    if (d->contrast != NULL)
        return d->contrast->ranking[cell] == AW_B_WORSE ? AW_STANDS_MISSED : AW_STANDS_UNASKED;
    if (!aw_draft_shows_needs(d) || !f->kept[cell] || isnan(f->value[cell]))
        return AW_STANDS_UNASKED;
    const double need = need_at(d, aw_field_centre(f, cell));
    return isnan(need)               ? AW_STANDS_UNASKED
           : f->ends[0][cell] > need ? AW_STANDS_MISSED
           : f->ends[1][cell] < need ? AW_STANDS_MET
                                     : AW_STANDS_TIED;
}

aw_standing aw_draft_standing_at(const aw_draft *d, aw_point metres)
{
    const size_t cell = aw_field_cell(&d->field, metres);
    return cell == AW_NO_CELL ? AW_STANDS_UNASKED : aw_draft_standing(d, cell);
}
