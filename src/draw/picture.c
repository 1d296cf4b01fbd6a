/* What stands under a picture: tints, a few marks and the zones in a line. */
#include <math.h>
#include <stdio.h>

#include "draw/block.h"
#include "draw/floor_sheet.h"
#include "report/verdict.h"

/* Tints at the left, a few marks at the right. */
static void picture_legend(aw_draft *d, aw_point at, double width)
{
    const double k = aw_draft_type(d), t = d->sheet->text_size, right = at.x + 0.56 * width;
    size_t shown = 0;
    aw_draft_ramp(d, (aw_box){at, {at.x + 0.5 * width, at.y}});
    for (size_t i = 0; i < d->words.n_entries && shown < 4; i++) {
        const aw_entry *e = &d->words.entries[i];
        if (e->ink != AW_INK_NEED && e->symbol != AW_SYMBOL_BLANK && e->symbol != AW_SYMBOL_SHOAL &&
            e->symbol != AW_SYMBOL_LAND)
            continue;
        const aw_point p = {right + 0.22 * width * (double)(shown % 2),
                            at.y + 4 * k * (double)(shown / 2)};
        aw_draft_symbol(d, e, p);
        const char *text = e->ink == AW_INK_NEED          ? "the need"
                           : e->symbol == AW_SYMBOL_BLANK ? "no fix"
                           : e->symbol == AW_SYMBOL_SHOAL ? "need missed"
                                                          : "walls, racks";
        aw_draft_put_cut(d, AW_INK_NOTE, text, p.x + 4.2 * t, p.y + 2.2 * k,
                         0.22 * width - 4.6 * t);
        shown++;
    }
}

/* Letters and names one after the other, those whose need is missed with that; their depth. */
static double picture_zones(aw_draft *d, aw_point at, double width, bool draw)
{
    const double k = aw_draft_type(d);
    double x = at.x, y = at.y + 3.2 * k;
    for (size_t i = 0; i < d->scenario->n_zones; i++) {
        const aw_zone_result *r = aw_draft_result(d, i);
        const bool missed = r != NULL && r->verdict == AW_NOT_MET;
        char name[200];
        snprintf(name, sizeof name, "%s %s", d->scenario->zones[i].name,
                 r != NULL && r->verdict != AW_NO_NEED ? aw_verdict_word(r->verdict) : "");
        const aw_ink ink = missed ? AW_INK_PICTURE_MISSED : AW_INK_NOTE;
        const double wide = fmin(aw_sheet_measure(d->sheet, ink, name).x, width - 5 * k) + 7 * k;
        if (x > at.x && x + wide > at.x + width) {
            x = at.x;
            y += 4.4 * k;
        }
        if (draw) {
            aw_draft_letter(d, i, missed, (aw_point){x + 1.8 * k, y - 0.8 * k});
            aw_draft_put_cut(d, ink, name, x + 4.4 * k, y, width - 5 * k);
        }
        x += wide;
    }
    return y + 1.4 * k;
}

double aw_lay_picture(aw_draft *d, aw_point at, double width, bool draw)
{
    const double k = aw_draft_type(d);
    if (draw)
        picture_legend(d, (aw_point){at.x, at.y + 1 * k}, width);
    return picture_zones(d, (aw_point){at.x, at.y + 8.4 * k}, width, draw);
}
