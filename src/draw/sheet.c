/* The drawing list. Growth is by doubling; after a failed allocation the list only remembers that.
 */
#include "draw/sheet.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

aw_item *aw_sheet_add(aw_sheet *sheet, aw_item_kind kind, aw_ink ink)
{
    if (sheet->n == sheet->room) {
        const size_t room = sheet->room ? 2 * sheet->room : 256;
        aw_item *items = realloc(sheet->items, room * sizeof *items);
        if (items == NULL) {
            sheet->failed = true;
            return NULL;
        }
        sheet->items = items;
        sheet->room = room;
    }
    aw_item *item = &sheet->items[sheet->n++];
    *item = (aw_item){.kind = kind, .depth = sheet->depth, .ink = ink};
    return item;
}

void aw_sheet_point(aw_sheet *sheet, aw_item *item, double x, double y)
{
    if (item == NULL)
        return;
    if (item->n_points == item->room_points) {
        const size_t room = item->room_points ? 2 * item->room_points : 8;
        aw_point *at = realloc(item->at, room * sizeof *at);
        if (at == NULL) {
            sheet->failed = true;
            return;
        }
        item->at = at;
        item->room_points = room;
    }
    item->at[item->n_points++] = (aw_point){x, y};
    if (item->n_points == 1)
        item->low = item->high = (aw_point){x, y};
    item->low.x = x < item->low.x ? x : item->low.x;
    item->low.y = y < item->low.y ? y : item->low.y;
    item->high.x = x > item->high.x ? x : item->high.x;
    item->high.y = y > item->high.y ? y : item->high.y;
}

void aw_sheet_end_path(aw_sheet *sheet, aw_item *item)
{
    const size_t before = item != NULL && item->n_paths > 0 ? item->ends[item->n_paths - 1] : 0;
    if (item == NULL || item->n_points == before)
        return;
    if (item->n_paths == item->room_paths) {
        const size_t room = item->room_paths ? 2 * item->room_paths : 2;
        size_t *ends = realloc(item->ends, room * sizeof *ends);
        if (ends == NULL) {
            sheet->failed = true;
            return;
        }
        item->ends = ends;
        item->room_paths = room;
    }
    item->ends[item->n_paths++] = item->n_points;
}

void aw_sheet_line(aw_sheet *sheet, aw_ink ink, aw_point a, aw_point b)
{
    aw_item *item = aw_sheet_add(sheet, AW_ITEM_LINE, ink);
    aw_sheet_point(sheet, item, a.x, a.y);
    aw_sheet_point(sheet, item, b.x, b.y);
    aw_sheet_end_path(sheet, item);
}

void aw_sheet_box(aw_sheet *sheet, aw_item_kind kind, aw_ink ink, double shade, aw_point low,
                  aw_point high)
{
    aw_item *item = aw_sheet_add(sheet, kind, ink);
    aw_sheet_point(sheet, item, low.x, low.y);
    aw_sheet_point(sheet, item, high.x, low.y);
    aw_sheet_point(sheet, item, high.x, high.y);
    aw_sheet_point(sheet, item, low.x, high.y);
    aw_sheet_end_path(sheet, item);
    if (item != NULL) {
        item->shade = shade;
        item->closed = true;
    }
}

#define ELLIPSE_POINTS 48

void aw_sheet_ellipse(aw_sheet *sheet, aw_item_kind kind, aw_ink ink, aw_point centre,
                      aw_point half, double turn)
{
    aw_item *item = aw_sheet_add(sheet, kind, ink);
    for (int i = 0; i < ELLIPSE_POINTS; i++) {
        const double t = 2 * M_PI * i / ELLIPSE_POINTS, x = half.x * cos(t), y = half.y * sin(t);
        aw_sheet_point(sheet, item, centre.x + x * cos(turn) - y * sin(turn),
                       centre.y + x * sin(turn) + y * cos(turn));
    }
    aw_sheet_end_path(sheet, item);
    if (item != NULL)
        item->closed = true;
}

void aw_sheet_circle(aw_sheet *sheet, aw_item_kind kind, aw_ink ink, aw_point centre, double radius)
{
    aw_sheet_ellipse(sheet, kind, ink, centre, (aw_point){radius, radius}, 0);
}

void aw_sheet_text(aw_sheet *sheet, aw_ink ink, const char *text, aw_point low, double angle)
{
    const aw_point extent = aw_sheet_measure(sheet, ink, text);
    aw_item *item = aw_sheet_add(sheet, AW_ITEM_TEXT, ink);
    if (item == NULL)
        return;
    item->text = strdup(text);
    if (item->text == NULL) {
        sheet->failed = true;
        sheet->n--;
        return;
    }
    const double turn = angle * M_PI / 180, c = cos(turn), s = sin(turn);
    item->size = sheet->text_size * aw_ink_rows[ink].size;
    item->angle = angle;
    item->length = extent.x;
    /* The baseline lies a fixed share of the size above the box's lower edge. */
    const double drop = extent.y - 0.24 * item->size;
    item->place = (aw_point){low.x - drop * s, low.y + drop * c};
    const aw_point corners[4] = {{0, 0}, {extent.x, 0}, {extent.x, extent.y}, {0, extent.y}};
    item->low = item->high = low;
    for (int k = 1; k < 4; k++) {
        const double x = low.x + corners[k].x * c - corners[k].y * s;
        const double y = low.y + corners[k].x * s + corners[k].y * c;
        item->low = (aw_point){fmin(item->low.x, x), fmin(item->low.y, y)};
        item->high = (aw_point){fmax(item->high.x, x), fmax(item->high.y, y)};
    }
}

static void free_item(aw_item *item)
{
    free(item->at);
    free(item->ends);
    free(item->text);
}

void aw_sheet_cut(aw_sheet *sheet, size_t n)
{
    while (sheet->n > n)
        free_item(&sheet->items[--sheet->n]);
}

void aw_sheet_order(aw_sheet *sheet)
{
    aw_item *sorted = malloc((sheet->n + 1) * sizeof *sorted);
    size_t n = 0;
    if (sorted == NULL) {
        sheet->failed = true;
        return;
    }
    for (int depth = 0; depth <= AW_DEPTH_OVER + 1; depth++)
        for (size_t i = 0; i < sheet->n; i++) {
            const bool text = sheet->items[i].kind == AW_ITEM_TEXT;
            if (depth > AW_DEPTH_OVER ? text : !text && (int)sheet->items[i].depth == depth)
                sorted[n++] = sheet->items[i];
        }
    memcpy(sheet->items, sorted, n * sizeof *sorted);
    free(sorted);
}

void aw_sheet_free(aw_sheet *sheet)
{
    aw_sheet_cut(sheet, 0);
    free(sheet->items);
    free(sheet->title);
    free(sheet->date);
    *sheet = (aw_sheet){0};
}
