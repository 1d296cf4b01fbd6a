/* Title, what is shown, and what the numbers say, over a plan or a diagram. */
#include <stdio.h>
#include <string.h>

#include "draw/block.h"
#include "draw/floor_sheet.h"

/* As many sentences as have room, one at least, and that cut if need be. */
static void put_sentences(aw_draft *d, const char *text, double x, double base, double width)
{
    char shown[512];
    snprintf(shown, sizeof shown, "%s", text);
    while (aw_sheet_measure(d->sheet, AW_INK_HEADLINE, shown).x > width) {
        char *last = NULL;
        for (char *end = strstr(shown, ". "); end != NULL; end = strstr(end + 1, ". "))
            last = end;
        if (last == NULL)
            break;
        last[1] = '\0';
    }
    aw_draft_put_cut(d, AW_INK_HEADLINE, shown, x, base, width);
}

void aw_draft_head(aw_draft *d, const char *subtitle, const char *headline)
{
    const bool picture = aw_draft_is_picture(d);
    const double k = aw_draft_type(d), left = d->frame.low.x;
    const double right = d->sheet->width - left, base = (picture ? 6.6 : 15.2) * k;
    const double aside = aw_sheet_measure(d->sheet, AW_INK_SUBTITLE, subtitle).x + 6 * k;
    char capitals[256];
    aw_capitals(d->words.title, capitals, sizeof capitals);
    const double title = aw_sheet_measure(d->sheet, AW_INK_SHEET_TITLE, capitals).x;
    const bool both = title + aside <= right - left;
    if (title <= right - left)
        aw_draft_put(d, AW_INK_SHEET_TITLE, capitals, left, base, AW_AT_LEFT);
    else
        aw_draft_put_cut(d, AW_INK_TITLE, d->words.title, left, base, right - left);
    if (both)
        aw_draft_put(d, AW_INK_SUBTITLE, subtitle, right, base, AW_AT_RIGHT);
    else if (!picture)
        aw_draft_put_cut(d, AW_INK_SUBTITLE, subtitle, left, 8.6 * k, right - left);
    put_sentences(d, headline, left, base + (picture ? 5 : 6.2) * k, right - left);
}
