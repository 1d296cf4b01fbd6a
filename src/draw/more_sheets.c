/* Tables that would take too much of the sheet with the plan, in full on sheets behind it. */
#include <math.h>
#include <string.h>

#include "draw/block.h"
#include "draw/floor_sheet.h"
#include "draw/rows.h"

/* mm on A3. */
#define APART 6.0
#define TITLE 75.0
/* A table is begun where it has so many rows at least. */
#define LEAST_ROWS 3

/* Where the next table begins. */
typedef struct flow {
    size_t page; /* from 0, that of the plan */
    double y;    /* under the page's own top */
} flow;

static double page_depth(const aw_draft *d)
{
    const aw_paper_row *paper = &aw_paper_rows[d->options->paper];
    return d->options->portrait ? paper->width : paper->height;
}

/* Over the title block. */
static double foot_of(aw_draft *d)
{
    const double k = aw_draft_type(d);
    return d->frame.high.y - aw_lay_title(d, (aw_point){0, 0}, TITLE * k, false) - APART * k;
}

static void begin_page(aw_draft *d, flow *f, bool draw)
{
    const double k = aw_draft_type(d), top = page_depth(d) * (double)++f->page;
    const double deep = aw_lay_title(d, (aw_point){0, 0}, TITLE * k, false);
    char capitals[256];
    f->y = AW_HEAD_DEPTH * k;
    if (!draw)
        return;
    d->sheet->pages = f->page + 1;
    d->sheet->height = top + page_depth(d);
    d->sheet->depth = AW_DEPTH_GROUND;
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_PAPER, 0, (aw_point){0, top},
                 (aw_point){d->sheet->width, d->sheet->height});
    d->sheet->depth = AW_DEPTH_OVER;
    aw_capitals(d->words.title, capitals, sizeof capitals);
    aw_draft_put_cut(d, AW_INK_SHEET_TITLE, capitals, d->frame.low.x, top + 15.2 * k,
                     d->frame.high.x - d->frame.low.x);
    d->page = f->page;
    aw_lay_title(d, (aw_point){d->frame.high.x - TITLE * k, top + d->frame.high.y - deep},
                 TITLE * k, true);
}

/* As many rows as the page has room for, then the next page. */
static void add_table(aw_draft *d, flow *f, const aw_rows *rows, bool draw)
{
    const double pitch = AW_PITCH * aw_draft_type(d), wide = d->frame.high.x - d->frame.low.x;
    const size_t columns = aw_rows_columns(d, rows, wide);
    for (size_t from = 0; from < rows->n;) {
        const double room = foot_of(d) - f->y - 2.5 * pitch;
        if (f->page == 0 || room < LEAST_ROWS * pitch) {
            begin_page(d, f, draw);
            continue;
        }
        const size_t most = (size_t)(room / pitch) * columns;
        const size_t n = rows->n - from < most ? rows->n - from : most;
        const double top = page_depth(d) * (double)f->page;
        const aw_box box = {{d->frame.low.x, top + f->y}, {d->frame.high.x, d->sheet->height}};
        f->y = aw_rows_lay(d, rows, from, n, box, draw) - top + APART * aw_draft_type(d);
        from += n;
    }
}

/* The block on the plan's sheet that is laid so, NULL if there is none. */
static const aw_placed_block *find_block(const aw_draft *d, aw_lay_block lay)
{
    for (size_t i = 0; i < d->n_blocks; i++)
        if (d->blocks[i].lay == lay)
            return &d->blocks[i];
    return NULL;
}

static bool shows_zones(const aw_draft *d, const aw_rows *zones)
{
    const aw_placed_block *told = find_block(d, aw_lay_told), *own = find_block(d, aw_lay_zones);
    const aw_placed_block *block = told != NULL ? told : own;
    return block == NULL || aw_rows_fit(d, zones, block->width);
}

static bool shows_anchors(const aw_draft *d, size_t n)
{
    const aw_placed_block *keyed = find_block(d, aw_lay_anchors_and_key);
    const aw_placed_block *block = keyed != NULL ? keyed : find_block(d, aw_lay_anchors);
    return block == NULL || n <= aw_anchors_most(d, block->width);
}

/* What the sheet of the plan has in full is not told again; the number of sheets. */
static size_t add_all(aw_draft *d, bool draw)
{
    flow f = {0, 0};
    char heading[AW_HEADING_ROOM];
    const aw_rows zones = aw_zone_rows(d), anchors = aw_anchor_rows(d, heading);
    if (!shows_zones(d, &zones))
        add_table(d, &f, &zones, draw);
    if (!shows_anchors(d, anchors.n))
        add_table(d, &f, &anchors, draw);
    return f.page + 1;
}

void aw_draft_count_sheets(aw_draft *d)
{
    d->n_pages = add_all(d, false);
}

void aw_draft_add_sheets(aw_draft *d)
{
    add_all(d, true);
}
