/* The words on water without a fix: once in each piece that holds them. */
#include <math.h>
#include <stdlib.h>

#include "draw/draft.h"

static const char words[] = "NO FIX";

/* Paper before and behind them that other texts keep off, mm. */
#define APART 1.5

/* A run over the field's cells: of each the piece without a fix that it belongs to, from 1 on; 0:
 * none. */
typedef struct pieces {
    const aw_field *f;
    size_t *piece; /* owned */
    size_t *queue; /* owned */
} pieces;

static bool is_gap(const aw_field *f, size_t at)
{
    return f->kept[at] && isnan(f->value[at]);
}

/* Gives a number to all cells of a piece; their count, and the cells in queue[]. */
static size_t flood(pieces *p, size_t from, size_t number)
{
    const aw_field *f = p->f;
    size_t n = 0;
    p->queue[n++] = from;
    p->piece[from] = number;
    for (size_t k = 0; k < n; k++) {
        const size_t at = p->queue[k], i = at % f->nx, j = at / f->nx;
        const size_t near[4] = {i > 0 ? at - 1 : at, i + 1 < f->nx ? at + 1 : at,
                                j > 0 ? at - f->nx : at, j + 1 < f->ny ? at + f->nx : at};
        for (int side = 0; side < 4; side++)
            if (is_gap(f, near[side]) && p->piece[near[side]] == 0) {
                p->piece[near[side]] = number;
                p->queue[n++] = near[side];
            }
    }
    return n;
}

/* Whether a box of paper lies in one piece. */
static bool lies_in(const aw_draft *d, const pieces *p, size_t number, aw_box box)
{
    const double step = p->f->step * d->mm / 2;
    const aw_point middle = {(box.low.x + box.high.x) / 2, (box.low.y + box.high.y) / 2};
    const size_t across = (size_t)ceil((box.high.x - box.low.x) / step);
    for (size_t i = 0; i <= across; i++)
        for (int j = 0; j <= 2; j++) {
            const aw_point at = {box.low.x + (box.high.x - box.low.x) * (double)i / (double)across,
                                 j == 1 ? middle.y
                                 : j    ? box.high.y
                                        : box.low.y};
            const size_t cell = aw_field_cell(p->f, aw_draft_to_metres(d, at));
            if (cell == AW_NO_CELL || p->piece[cell] != number)
                return false;
        }
    return true;
}

/* Tries all cells of a piece, and takes the one nearest to its middle. */
static void name_piece(aw_draft *d, const pieces *p, size_t number, size_t n)
{
    const aw_point size = aw_sheet_measure(d->sheet, AW_INK_NO_FIX_NAME, words);
    aw_point middle = {0, 0};
    aw_box best = {{0, 0}, {0, 0}};
    double least = HUGE_VAL;
    for (size_t k = 0; k < n; k++) {
        const aw_point c = aw_draft_to_paper(d, aw_field_centre(p->f, p->queue[k]));
        middle.x += c.x / (double)n;
        middle.y += c.y / (double)n;
    }
    for (size_t k = 0; k < n; k++) {
        const aw_point c = aw_draft_to_paper(d, aw_field_centre(p->f, p->queue[k]));
        const aw_box box = {{c.x - size.x / 2, c.y - size.y / 2},
                            {c.x + size.x / 2, c.y + size.y / 2}};
        const double off = hypot(c.x - middle.x, c.y - middle.y);
        if (off < least && lies_in(d, p, number, box) && aw_draft_on_water(d, box) &&
            aw_draft_is_free(
                d, (aw_box){{box.low.x - APART, box.low.y}, {box.high.x + APART, box.high.y}})) {
            least = off;
            best = box;
        }
    }
    if (isfinite(least))
        aw_draft_try_text(d, AW_INK_NO_FIX_NAME, words, best.low, 0, d->map);
}

void aw_draft_no_fix_names(aw_draft *d)
{
    const size_t all = d->field.nx * d->field.ny;
    pieces p = {&d->field, calloc(all, sizeof *p.piece), calloc(all, sizeof *p.queue)};
    size_t number = 0;
    if (p.piece == NULL || p.queue == NULL)
        d->sheet->failed = true;
    for (size_t at = 0; at < all && !d->sheet->failed; at++)
        if (is_gap(p.f, at) && p.piece[at] == 0) {
            number++;
            const size_t n = flood(&p, at, number);
            name_piece(d, &p, number, n);
        }
    free(p.piece);
    free(p.queue);
}
