/* The blocks of words that every sheet has: notes and legend. */
#include <math.h>

#include "draw/block.h"
#include "draw/floor_sheet.h"

/* --- notes --- */

double aw_lay_notes(aw_draft *d, aw_point at, double width, bool draw)
{
    static const char caution[] =
        "A prediction from stated assumptions, not a promise: measure on site. A position is not a "
        "safety function. Work at height and on mains is for trained people under local codes; "
        "radio rules differ by place.";
    const size_t items = d->sheet->n, taken = d->n_taken;
    const double k = aw_draft_type(d);
    aw_block b = {{at.x, at.y + 0.5 * k}, {at.x + width, d->sheet->height}};
    for (size_t i = 0; i < d->words.n_notes; i++)
        aw_block_text(d, &b, AW_INK_TABLE, d->words.notes[i], AW_NOTE_LINES);
    aw_block_text(d, &b, AW_INK_TABLE, caution, AW_NOTE_LINES);
    if (!draw) {
        aw_sheet_cut(d->sheet, items);
        d->n_taken = taken;
    }
    return b.low.y;
}

/* --- legend --- */

double aw_lay_legend(aw_draft *d, aw_point at, double width, bool draw)
{
    const aw_words *w = &d->words;
    const double k = aw_draft_type(d), pitch = 4.1 * k, t = d->sheet->text_size;
    const size_t most = w->n_entries > w->reserved ? w->n_entries : w->reserved;
    const size_t rows = (most + 1) / 2;
    double y = aw_block_head(d, w->legend, at, width, draw) + 1.6 * k;
    if (draw && w->ramp)
        aw_draft_ramp(d, (aw_box){{at.x, y}, {at.x + width, y}});
    y += w->ramp ? 7.6 * k : 0;
    for (size_t i = 0; i < w->n_entries && draw; i++) {
        const aw_point p = {at.x + width / 2 * (double)(i / rows), y + pitch * (double)(i % rows)};
        aw_draft_symbol(d, &w->entries[i], p);
        aw_draft_put_cut(d, AW_INK_TABLE, w->entries[i].text, p.x + 4.4 * t, p.y + 2 * k,
                         width / 2 - 4.8 * t);
    }
    return y + pitch * (double)rows;
}
