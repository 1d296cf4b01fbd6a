/* What every part of a sheet asks of its draft. */
#include "draw/draft.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "base/plane.h"

double aw_draft_need(const aw_draft *d, const aw_zone *z)
{
    return d->options->by_tag && z->tag != d->options->tag ? (double)NAN : z->need.p95;
}

bool aw_draft_is_in(const aw_polygon *p, aw_point metres)
{
    return aw_polygon_holds(p, metres.x, metres.y);
}

bool aw_draft_is_on(const aw_draft *d, const aw_polygon *p, aw_box box)
{
    for (int i = 0; i < 4; i++) {
        const double x = i & 1 ? box.high.x : box.low.x, y = i & 2 ? box.high.y : box.low.y;
        const aw_point m = aw_draft_to_metres(d, (aw_point){x, y});
        if (!aw_polygon_holds(p, m.x, m.y))
            return false;
    }
    return true;
}

void aw_draft_entry(aw_draft *d, aw_symbol symbol, aw_ink ink, const char *format, ...)
{
    aw_words *w = &d->words;
    va_list arguments;
    if (w->n_entries == AW_MOST_ENTRIES)
        return;
    aw_entry *e = &w->entries[w->n_entries++];
    e->symbol = symbol;
    e->ink = ink;
    va_start(arguments, format);
    vsnprintf(e->text, sizeof e->text, format, arguments);
    va_end(arguments);
}
