/* Arrangements are tried one after the other; the largest scale wins, on a tie the first. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "draw/floor_sheet.h"

/* mm on A3. */
#define MARGIN_SIDE  14.85
#define MARGIN_END   8.5
#define GAP          7.5 /* between columns */
#define ROW_GAP      4.0 /* between rows of blocks */
#define BLOCK_GAP    6.0 /* between blocks of a column */
#define UNDER        5.5 /* between neat line and strip */
#define STRIP_GAP    1.8 /* between the neat lines of two strips */
#define PICTURE_SIDE 2.4
#define PICTURE_HEAD 13.2
#define MOST_CLEAR   9.0 /* round the floor, inside the neat line */
/* Strips overlap by these shares of the floor's length. */
#define LEAST_OVERLAP 0.03
#define MOST_OVERLAP  0.06

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

/* --- blocks in rows and columns --- */

typedef struct layout {
    aw_placed_block block[AW_MOST_BLOCKS];
    size_t n;
    aw_box room; /* for plan and neat lines */
    bool sound;
} layout;

static void add_block(layout *l, aw_lay_block lay, aw_point at, double width)
{
    l->block[l->n++] = (aw_placed_block){lay, at, width};
}

/* Blocks from left to right, row under row, from y = 0 on; their depth. */
static double fill_rows(aw_draft *d, layout *l, const aw_block_of blocks[], double left,
                        double wide)
{
    const double k = aw_draft_type(d);
    double x = left, y = 0, deepest = 0;
    for (size_t i = 0; blocks[i].lay != NULL; i++) {
        const double width = fmin(blocks[i].width * k, wide);
        if (!(blocks[i].lay(d, (aw_point){x, 0}, width, false) > 0))
            continue;
        if (x > left && x + width > left + wide + 0.01) {
            x = left;
            y = deepest + ROW_GAP * k;
        }
        const aw_point at = {x, y};
        add_block(l, blocks[i].lay, at, width);
        deepest = fmax(deepest, blocks[i].lay(d, at, width, false));
        x += width + GAP * k;
    }
    return deepest;
}

/* Blocks one under the other; the place below. */
static double fill_column(aw_draft *d, layout *l, const aw_block_of blocks[], aw_point at,
                          double width)
{
    double below = at.y;
    for (size_t i = 0; blocks[i].lay != NULL; i++) {
        const double y = blocks[i].lay(d, at, width, false);
        if (!(y > at.y))
            continue;
        add_block(l, blocks[i].lay, at, width);
        below = y;
        at.y = y + BLOCK_GAP * aw_draft_type(d);
    }
    return below;
}

/* A picture: hardly a margin, the plan, and under it the tints and the zones. */
static layout lay_picture(aw_draft *d)
{
    const double k = aw_draft_type(d), side = PICTURE_SIDE * k;
    const double wide = d->sheet->width - 2 * side;
    layout l = {.sound = true};
    const double deep = aw_lay_picture(d, (aw_point){side, 0}, wide, false);
    const double foot = d->sheet->height - PICTURE_SIDE * k - deep;
    add_block(&l, aw_lay_picture, (aw_point){side, foot}, wide);
    l.room = (aw_box){{side, PICTURE_HEAD * k}, {side + wide, foot - 2 * k}};
    return l;
}

static layout lay_out(aw_draft *d, const aw_arrangement *a)
{
    if (aw_draft_is_picture(d))
        return lay_picture(d);
    const double k = aw_draft_type(d), left = d->frame.low.x;
    double right = d->frame.high.x;
    layout l = {.sound = true};
    if (a->beside[0].lay != NULL) {
        const double column = a->beside[0].width * k;
        const aw_point at = {right - column, AW_HEAD_DEPTH * k};
        l.sound = fill_column(d, &l, a->beside, at, column) <= d->frame.high.y;
        right = at.x - GAP * k;
    }
    const size_t from = l.n;
    const double foot = d->frame.high.y - fill_rows(d, &l, a->under, left, right - left);
    for (size_t i = from; i < l.n; i++)
        l.block[i].at.y += foot;
    l.room = (aw_box){{left, AW_HEAD_DEPTH * k}, {right, foot - UNDER * k}};
    return l;
}

/* --- scale --- */

/* A floor in some windows, one under the other, the first one's upper left. */
typedef struct fitting {
    size_t n;
    bool turned;
    double wide, deep; /* of the floor on paper, in m of the site */
    double w, h;       /* of a window, mm */
} fitting;

static fitting fitting_of(const aw_draft *d, const aw_box *room, size_t n, bool turned)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    const double k = aw_draft_type(d), neat = AW_NEAT_WIDTH * k;
    const double x = o->high.x - o->low.x, y = o->high.y - o->low.y;
    const double each = (room->high.y - room->low.y - (double)(n - 1) * STRIP_GAP * k) / (double)n;
    return (fitting){n,
                     turned,
                     turned ? y : x,
                     turned ? x : y,
                     room->high.x - room->low.x - 2 * neat,
                     each - 2 * neat};
}

/* The first listed scale at which the floor fits; 0 if none does. A picture, which nobody measures
 * in, takes any. */
static unsigned fit(const aw_draft *d, const fitting *f)
{
    const double clear = 2 * AW_PLAN_CLEAR * aw_draft_type(d);
    const double w = (double)f->n * f->w - clear, h = f->h - clear;
    const double wide = f->wide * (1 + LEAST_OVERLAP * (double)(f->n - 1)) * 1000;
    if (aw_draft_is_picture(d))
        return (unsigned)ceil(fmax(wide / w, f->deep * 1000 / h));
    for (const unsigned *s = aw_listed_scales(d->scenario->units); *s != 0; s++)
        if (wide / *s <= w && f->deep * 1000 / *s <= h)
            return *s;
    return 0;
}

/* A window ends under its floor; what is left below it stays paper. Strips are as long as the
 * overlap lets them. */
static void place_windows(aw_draft *d, const layout *l, const fitting *f)
{
    const double k = aw_draft_type(d), neat = AW_NEAT_WIDTH * k, clear = AW_PLAN_CLEAR * k;
    const double wide = f->wide * d->mm, deep = f->deep * d->mm, n = (double)f->n;
    const double spare = fmin(MOST_CLEAR * k, (f->h - deep) / 2), depth = deep + 2 * spare;
    const double overlap =
        f->n > 1 ? fmin(MOST_OVERLAP * wide, (n * f->w - wide - 2 * clear) / (n - 1)) : 0;
    const double each = f->n > 1 ? (wide + 2 * clear + (n - 1) * overlap) / n : f->w;
    const double begin = f->n > 1 ? clear : (f->w - wide) / 2;
    d->n_windows = f->n;
    for (size_t i = 0; i < f->n; i++) {
        const double along = (double)i * (each - overlap) - begin;
        const aw_point low = {l->room.low.x + neat,
                              l->room.low.y + neat +
                                  (double)i * (depth + 2 * neat + STRIP_GAP * k)};
        d->windows[i] =
            (aw_window){{low, {low.x + each, low.y + depth}}, {low.x - along, low.y + spare}};
        if (i > 0)
            d->match[i - 1] = (along + overlap / 2) / d->mm;
    }
    d->map = d->windows[0].map;
    d->origin = d->windows[0].origin;
}

/* Whether a floor may be cut into strips: a long one, its length along the sheet. */
static bool is_long(const fitting *f)
{
    return f->wide > 2 * f->deep;
}

/* The best so far, its scale 0 before any. */
typedef struct choice {
    layout l;
    fitting f;
    unsigned scale;
} choice;

/* A column that leaves the sheet is taken only if there is nothing else. */
static bool is_better(const choice *one, const choice *best)
{
    if (one->scale == 0)
        return false;
    return best->scale == 0 || (one->l.sound && !best->l.sound) ||
           (one->l.sound == best->l.sound && one->scale < best->scale);
}

static choice try_layout(aw_draft *d, const aw_arrangement *a, size_t strips, bool turned)
{
    d->n_windows = strips;
    choice c = {.l = lay_out(d, a)};
    c.f = fitting_of(d, &c.l.room, strips, turned);
    c.scale = strips == 1 || is_long(&c.f) ? fit(d, &c.f) : 0;
    return c;
}

static void lay_margins(aw_draft *d)
{
    const bool picture = aw_draft_is_picture(d);
    const double k = aw_draft_type(d), end = MARGIN_END * k;
    const double side = (picture ? PICTURE_SIDE : MARGIN_SIDE) * k;
    d->frame = (aw_box){{side, end}, {d->sheet->width - side, d->sheet->height - end}};
}

double aw_draft_lay_strip(aw_draft *d, const aw_block_of blocks[])
{
    layout l = {.sound = true};
    lay_margins(d);
    d->n_pages = 1;
    const double foot = d->frame.high.y -
                        fill_rows(d, &l, blocks, d->frame.low.x, d->frame.high.x - d->frame.low.x);
    d->n_blocks = l.n;
    for (size_t i = 0; i < l.n; i++) {
        l.block[i].at.y += foot;
        d->blocks[i] = l.block[i];
    }
    return foot;
}

void aw_draft_lay_plan(aw_draft *d, const aw_arrangement arrangements[], size_t n)
{
    const size_t most = d->whole || aw_draft_is_picture(d) ? 1 : AW_MOST_WINDOWS;
    lay_margins(d);
    choice best = {.scale = 0};
    for (size_t strips = 1; strips <= most; strips++)
        for (int turned = 0; turned < 2; turned++)
            for (size_t i = 0; i < n; i++) {
                const choice c = try_layout(d, &arrangements[i], strips, turned);
                if (is_better(&c, &best))
                    best = c;
            }
    if (best.scale == 0) {
        best = try_layout(d, &arrangements[0], 1, false);
        best.scale = 100000;
    }
    d->scale = best.scale;
    d->mm = 1000.0 / best.scale;
    d->turned = best.f.turned;
    place_windows(d, &best.l, &best.f);
    d->n_blocks = best.l.n;
    memcpy(d->blocks, best.l.block, sizeof d->blocks);
    aw_draft_count_sheets(d);
}

/* --- blocks --- */

/* A ruler in the lower margin, to check a print: 100 mm, or 4 inches of a site in feet. */
static void add_ruler(aw_draft *d)
{
    const double k = aw_draft_type(d), x = d->frame.low.x, y = d->sheet->height - 4.6 * k;
    const bool feet = d->scenario->units == AW_FEET;
    const int parts = feet ? 4 : 10, long_one = feet ? 2 : 5;
    const double length = feet ? 4 * 25.4 : 100;
    for (int i = 0; i <= parts; i++) {
        const double at = x + length * i / parts;
        aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){at, y - (i % long_one ? 0.7 : 1.3) * k},
                      (aw_point){at, y});
    }
    aw_sheet_line(d->sheet, AW_INK_RULE, (aw_point){x, y}, (aw_point){x + length, y});
    aw_sheet_text(d->sheet, AW_INK_LABEL, feet ? "4 inches on paper" : "100 mm on paper",
                  (aw_point){x + length + 1.5, y - 1.7 * k}, 0);
}

void aw_draft_add_blocks(aw_draft *d)
{
    if (!aw_draft_is_picture(d) && !d->words.flat)
        add_ruler(d);
    for (size_t i = 0; i < d->n_blocks; i++)
        d->blocks[i].lay(d, d->blocks[i].at, d->blocks[i].width, true);
    if (d->n_pages > 1)
        aw_draft_add_sheets(d);
}
