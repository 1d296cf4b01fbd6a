/* Marks of cells: dots where the need that holds there is missed, rings where draws do not tell. */
#include <math.h>

#include "draw/draft.h"

/* The staggered lattice, radius of a dot and of a ring, and what they keep off texts by, mm. */
#define ALONG 1.25
#define DOWN  1.08
#define DOT   0.21
#define RING  0.24
#define CLEAR 0.35

static void add_ring(aw_draft *d, aw_item *item, aw_point p, double radius)
{
    for (int k = 0; k < 8; k++)
        aw_sheet_point(d->sheet, item, p.x + radius * cos(M_PI / 8 * (2 * k + 1)),
                       p.y + radius * sin(M_PI / 8 * (2 * k + 1)));
    aw_sheet_end_path(d->sheet, item);
}

/* One item for all marks of one kind. */
static void add_marks(aw_draft *d, aw_standing standing, aw_item_kind kind, aw_ink ink)
{
    const aw_box all = aw_draft_box_of(d, &d->scenario->floor.outline);
    const double radius = standing == AW_STANDS_TIED ? RING : DOT, reach = RING + CLEAR;
    aw_item *item = aw_sheet_add(d->sheet, kind, ink);
    size_t row = 0;
    if (item == NULL)
        return;
    item->closed = true;
    for (double y = all.low.y + DOWN / 2; y < all.high.y; y += DOWN, row++)
        for (double x = all.low.x + (row % 2 ? ALONG : ALONG / 2); x < all.high.x; x += ALONG) {
            const aw_point p = {x, y}, m = aw_draft_to_metres(d, p);
            const aw_box about = {{p.x - reach, p.y - reach}, {p.x + reach, p.y + reach}};
            if (aw_draft_standing_at(d, m) == standing && aw_draft_is_free(d, about))
                add_ring(d, item, p, radius);
        }
}

void aw_draft_shoals(aw_draft *d)
{
    if (!aw_draft_shows_needs(d) && d->contrast == NULL)
        return;
    aw_draft_open_floor(d, AW_DEPTH_MARKS);
    add_marks(d, AW_STANDS_MISSED, AW_ITEM_FILL, AW_INK_STIPPLE);
    if (d->contrast == NULL)
        add_marks(d, AW_STANDS_TIED, AW_ITEM_LINE, AW_INK_TIED);
    aw_draft_close_floor(d);
}
