/* The window of the plan that is drawn, and what lies in it. */
#include "draw/floor_sheet.h"

void aw_draft_open_window(aw_draft *d, size_t window)
{
    d->window = window;
    d->map = d->windows[window].map;
    d->origin = d->windows[window].origin;
    aw_sheet_box(d->sheet, AW_ITEM_CLIP, AW_INK_NEAT, 0, d->map.low, d->map.high);
}

void aw_draft_close_window(aw_draft *d)
{
    aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_NEAT);
}

bool aw_draft_in_window(const aw_draft *d, aw_point p)
{
    return p.x >= d->map.low.x && p.x <= d->map.high.x && p.y >= d->map.low.y &&
           p.y <= d->map.high.y;
}
