#include "draw/rows.h"

#include <math.h>

#include "draw/block.h"
#include "draw/floor_sheet.h"

/* Share of the frame's depth, and what a table has beside its rows, in pitches. */
#define MOST_SHARE 0.25
#define BESIDE     2.5

size_t aw_rows_columns(const aw_draft *d, const aw_rows *rows, double width)
{
    return (size_t)fmax(1, floor(width / (rows->column * aw_draft_type(d)) + 1e-9));
}

size_t aw_rows_most(const aw_draft *d)
{
    const double deep = d->frame.high.y - d->frame.low.y;
    return (size_t)fmax(3, floor(MOST_SHARE * deep / (AW_PITCH * aw_draft_type(d)) - BESIDE));
}

bool aw_rows_fit(const aw_draft *d, const aw_rows *rows, double width)
{
    return rows->n <= aw_rows_columns(d, rows, width) * aw_rows_most(d);
}

double aw_rows_lay(aw_draft *d, const aw_rows *rows, size_t from, size_t n, aw_box box, bool draw)
{
    const double width = box.high.x - box.low.x, pitch = AW_PITCH * aw_draft_type(d);
    const size_t fit = aw_rows_columns(d, rows, width), columns = n > 6 ? fit : 1;
    const size_t deep = (n + columns - 1) / columns;
    const double each = width / (double)fit, own = rows->column * aw_draft_type(d);
    const double wide = fit > 1 ? fmin(each - pitch, own) : width;
    double y = aw_block_head(d, rows->heading, box.low, width, draw) + pitch;
    for (size_t c = 0; c < columns && c * deep < n && draw; c++)
        rows->heads(d, box.low.x + (double)c * each, y, wide);
    for (size_t i = 0; i < n && draw; i++)
        rows->row(d, from + i, box.low.x + (double)(i / deep) * each,
                  y + pitch * (double)(i % deep + 1), wide);
    return y + pitch * (double)deep + 1.5 * aw_draft_type(d);
}
