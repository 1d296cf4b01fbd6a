/* Layouts are tried one after the other; the largest scale wins, on a tie the first. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "draw/floor_sheet.h"

/* mm on A3. */
#define MARGIN_SIDE  16.5
#define MARGIN_END   8.5
#define HEAD         24.4 /* above the neat line */
#define GAP          8.0  /* between columns */
#define UNDER        5.5  /* between neat line and strip */
#define COLUMN       64.0
#define PICTURE_SIDE 2.4
#define PICTURE_HEAD 13.2
#define MOST_CLEAR   9.0 /* round the floor, inside the neat line */

/* ISO 5455's (from memory) and those between; for feet those of inches to a foot. */
static const unsigned metric[] = {20,   25,   40,   50,   75,    100,   125,   150,    200,  250,
                                  300,  400,  500,  600,  750,   1000,  1250,  1500,   2000, 2500,
                                  3000, 4000, 5000, 7500, 10000, 20000, 50000, 100000, 0};
static const unsigned imperial[] = {24,  48,   96,   120,  192,  240,   360,   480,    600,
                                    960, 1200, 2400, 3600, 4800, 12000, 24000, 120000, 0};

const unsigned *aw_listed_scales(aw_units units)
{
    return units == AW_FEET ? imperial : metric;
}

/* --- blocks in rows --- */

typedef struct layout {
    aw_placed_block block[AW_MOST_BLOCKS];
    size_t n;
    aw_box window; /* inside the neat line */
    bool sound;
} layout;

static void add_block(layout *l, aw_lay_block lay, aw_point at, double width)
{
    l->block[l->n++] = (aw_placed_block){lay, at, width};
}

/* Blocks from left to right, row under row, from y = 0 on; their depth. */
static double fill_rows(aw_draft *d, layout *l, const aw_placed_block blocks[], size_t n,
                        double left, double wide)
{
    const double k = aw_draft_type(d);
    double x = left, y = 0, deepest = 0;
    for (size_t i = 0; i < n; i++) {
        const double width = fmin(blocks[i].width * k, wide);
        if (x > left && x + width > left + wide + 0.01) {
            x = left;
            y = deepest + GAP * k / 2;
        }
        const aw_point at = {x, y};
        add_block(l, blocks[i].lay, at, width);
        deepest = fmax(deepest, blocks[i].lay(d, at, width, false));
        x += width + GAP * k;
    }
    return deepest;
}

static void shift(layout *l, size_t from, double y)
{
    for (size_t i = from; i < l->n; i++)
        l->block[i].at.y += y;
}

/* A picture: hardly a margin, the plan, and under it the tints and the zones. */
static layout lay_picture(aw_draft *d)
{
    const double k = aw_draft_type(d), side = PICTURE_SIDE * k, neat = AW_NEAT_WIDTH * k;
    const double right = d->sheet->width - side;
    const aw_point at = {side, 0};
    layout l = {.sound = true};
    const double deep = aw_lay_picture(d, at, right - side, false);
    const double foot = d->sheet->height - PICTURE_SIDE * k - deep;
    add_block(&l, aw_lay_picture, (aw_point){side, foot}, right - side);
    l.window =
        (aw_box){{side + neat, PICTURE_HEAD * k + neat}, {right - neat, foot - 2 * k - neat}};
    return l;
}

/* The plan over all blocks, or beside a column of most of them. */
static layout lay_out(aw_draft *d, bool column)
{
    if (aw_draft_is_picture(d))
        return lay_picture(d);
    static const aw_placed_block strip[] = {{aw_lay_told, {0, 0}, 134},
                                            {aw_lay_anchors, {0, 0}, 78},
                                            {aw_lay_legend, {0, 0}, 76},
                                            {aw_lay_title, {0, 0}, 75}};
    static const aw_placed_block under[] = {{aw_lay_zones, {0, 0}, 134},
                                            {aw_lay_notes, {0, 0}, 84}};
    const double k = aw_draft_type(d), side = MARGIN_SIDE * k * 0.9, end = MARGIN_END * k;
    const double wide = d->sheet->width - 2 * side, neat = AW_NEAT_WIDTH * k;
    layout l = {.sound = true};
    double right = d->sheet->width - side;
    if (column) {
        const double x = right - COLUMN * k;
        const aw_lay_block blocks[] = {aw_lay_legend, aw_lay_anchors, aw_lay_title};
        double y = HEAD * k;
        for (size_t i = 0; i < 3; i++) {
            const aw_point at = {x, y};
            add_block(&l, blocks[i], at, COLUMN * k);
            y = blocks[i](d, at, COLUMN * k, false) + 6 * k;
        }
        l.sound = y - 6 * k <= d->sheet->height - end;
        right = x - GAP * k;
    }
    const size_t from = l.n;
    const double deep = column ? fill_rows(d, &l, under, 2, side, right - side)
                               : fill_rows(d, &l, strip, 4, side, wide);
    const double foot = d->sheet->height - end - deep;
    shift(&l, from, foot);
    l.window = (aw_box){{side + neat, HEAD * k + neat}, {right - neat, foot - UNDER * k - neat}};
    return l;
}

/* --- scale --- */

/* The first listed scale at which a floor fits a window; 0 if none does. A picture, which nobody
 * measures in, takes any. */
static unsigned fit(const aw_draft *d, const aw_box *window, bool turned)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    const double clear = 2 * AW_PLAN_CLEAR * aw_draft_type(d);
    const double w = window->high.x - window->low.x - clear;
    const double h = window->high.y - window->low.y - clear;
    const double x = o->high.x - o->low.x, y = o->high.y - o->low.y;
    const double wide = turned ? y : x, deep = turned ? x : y;
    if (aw_draft_is_picture(d))
        return (unsigned)ceil(fmax(wide * 1000 / w, deep * 1000 / h));
    for (const unsigned *s = aw_listed_scales(d->scenario->units); *s != 0; s++)
        if (wide * 1000 / *s <= w && deep * 1000 / *s <= h)
            return *s;
    return 0;
}

static void take_layout(aw_draft *d, const layout *l, unsigned scale, bool turned)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    const double x = o->high.x - o->low.x, y = o->high.y - o->low.y;
    d->scale = scale;
    d->mm = 1000.0 / scale;
    d->turned = turned;
    d->map = l->window;
    const double wide = (turned ? y : x) * d->mm, deep = (turned ? x : y) * d->mm;
    /* The neat line ends under the floor; what is left below it stays paper. */
    const double spare =
        fmin(MOST_CLEAR * aw_draft_type(d), (l->window.high.y - l->window.low.y - deep) / 2);
    d->map.high.y = d->map.low.y + deep + 2 * spare;
    d->origin.x = (d->map.low.x + d->map.high.x - wide) / 2;
    d->origin.y = (d->map.low.y + d->map.high.y - deep) / 2;
    d->n_blocks = l->n;
    for (size_t i = 0; i < l->n; i++)
        d->blocks[i] = l->block[i];
}

void aw_draft_lay_plan(aw_draft *d)
{
    unsigned best = 0;
    for (int way = 0; way < 4; way++) {
        const layout l = lay_out(d, way % 2);
        const unsigned scale = fit(d, &l.window, way / 2);
        if (scale == 0 || (!l.sound && best != 0) || (best != 0 && scale >= best))
            continue;
        best = scale;
        take_layout(d, &l, scale, way / 2);
    }
    if (best == 0) {
        const layout l = lay_out(d, false);
        take_layout(d, &l, 100000, false);
    }
}

/* A ruler in the lower margin, to check a print. */
static void add_ruler(aw_draft *d)
{
    const double k = aw_draft_type(d), x = MARGIN_SIDE * k * 0.9, y = d->sheet->height - 4.6 * k;
    for (int i = 0; i <= 10; i++)
        aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){x + 10 * i, y - (i % 5 ? 0.7 : 1.3) * k},
                      (aw_point){x + 10 * i, y});
    aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){x, y}, (aw_point){x + 100, y});
    aw_sheet_text(d->sheet, AW_INK_LABEL, "100 mm on paper", (aw_point){x + 101.5, y - 1.7 * k}, 0);
}

void aw_draft_add_blocks(aw_draft *d)
{
    if (!aw_draft_is_picture(d))
        add_ruler(d);
    for (size_t i = 0; i < d->n_blocks; i++)
        d->blocks[i].lay(d, d->blocks[i].at, d->blocks[i].width, true);
}
