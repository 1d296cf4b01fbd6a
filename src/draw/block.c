/* Greedy wrapping; a word longer than the line is cut. */
#include "draw/block.h"

#include <string.h>

#include "draw/floor_sheet.h"

#define LINE_ROOM 512

aw_block aw_block_begin(const aw_draft *d, aw_box box)
{
    const double margin = 0.9 * d->sheet->text_size;
    return (aw_block){{box.low.x + margin, box.low.y + margin},
                      {box.high.x - margin, box.high.y - margin / 2}};
}

static double width_of(const aw_draft *d, aw_ink ink, const char *text)
{
    return aw_sheet_measure(d->sheet, ink, text).x;
}

/* Length of `text` without its last character. */
static size_t without_last(const char *text, size_t n)
{
    do
        n--;
    while (n > 0 && ((unsigned char)text[n] & 0xC0) == 0x80);
    return n;
}

void aw_block_fit(const aw_draft *d, aw_ink ink, const char *text, double width, char *out,
                  size_t room)
{
    size_t n = strlen(text);
    n = n < room - 4 ? n : room - 4;
    while (n > 0 && ((unsigned char)text[n] & 0xC0) == 0x80)
        n--;
    memcpy(out, text, n);
    out[n] = '\0';
    if (text[n] == '\0' && width_of(d, ink, out) <= width)
        return;
    do {
        n = n > 0 ? without_last(out, n) : 0;
        memcpy(out + n, "…", sizeof "…");
    } while (n > 0 && width_of(d, ink, out) > width);
}

size_t aw_block_words(const aw_draft *d, aw_ink ink, const char *text, double width)
{
    char line[LINE_ROOM];
    size_t fits = 0;
    for (size_t n = 0; text[n] != '\0' && n < LINE_ROOM - 1;) {
        n += strspn(text + n, " ");
        n += strcspn(text + n, " ");
        if (n >= LINE_ROOM)
            break;
        memcpy(line, text, n);
        line[n] = '\0';
        if (fits > 0 && width_of(d, ink, line) > width)
            break;
        fits = n;
    }
    return fits > 0 ? fits : strlen(text);
}

void aw_block_text(aw_draft *d, aw_block *b, aw_ink ink, const char *text, size_t lines)
{
    const double width = b->high.x - b->low.x;
    const double height = aw_sheet_measure(d->sheet, ink, text).y;
    for (size_t k = 0; k < lines && *text != '\0' && b->low.y + height <= b->high.y; k++) {
        char line[LINE_ROOM], shown[LINE_ROOM];
        const bool last = k + 1 == lines || b->low.y + 2 * height + 0.2 > b->high.y;
        const size_t words = aw_block_words(d, ink, text, width);
        const size_t n = last ? strlen(text) : words;
        const size_t kept = n < LINE_ROOM - 1 ? n : LINE_ROOM - 1;
        memcpy(line, text, kept);
        line[kept] = '\0';
        aw_block_fit(d, ink, line, width, shown, sizeof shown);
        aw_draft_set_text(d, ink, shown, b->low);
        b->low.y += height + 0.2;
        text += n;
        text += strspn(text, " ");
    }
    b->low.y += 0.25 * d->sheet->text_size;
}

/* --- by its baseline --- */

void aw_draft_put(aw_draft *d, aw_ink ink, const char *text, double x, double base, aw_align how)
{
    const double size = aw_ink_rows[ink].size * d->sheet->text_size;
    const double wide = how == AW_AT_LEFT ? 0 : aw_sheet_measure(d->sheet, ink, text).x;
    const double shift = how == AW_AT_RIGHT ? wide : wide / 2;
    if (text[0] != '\0')
        aw_draft_set_text(d, ink, text, (aw_point){x - shift, base - 0.92 * size});
}

void aw_draft_put_cut(aw_draft *d, aw_ink ink, const char *text, double x, double base,
                      double width)
{
    char shown[256];
    aw_block_fit(d, ink, text, width, shown, sizeof shown);
    aw_draft_put(d, ink, shown, x, base, AW_AT_LEFT);
}

double aw_block_head(aw_draft *d, const char *text, aw_point at, double width, bool draw)
{
    const double k = aw_draft_type(d);
    if (draw) {
        aw_draft_put_cut(d, AW_INK_BLOCK_HEAD, text, at.x, at.y + 2.2 * k, width);
        aw_sheet_line(d->sheet, AW_INK_BLOCK_RULE, (aw_point){at.x, at.y + 3.6 * k},
                      (aw_point){at.x + width, at.y + 3.6 * k});
    }
    return at.y + 3.6 * k;
}
