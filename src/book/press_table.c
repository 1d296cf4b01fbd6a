/* Tables: columns as wide as their texts want where all find room, else wrapped; rows are never
 * cut, and on a further page the head stands again. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "book/press.h"

#define MOST_COLUMNS 24
/* Rows of a table that stands whole on a page. */
#define MOST_WHOLE 20
/* The widest that a text's longest word can ask for, mm. */
#define WIDEST_WORD 34.0

typedef struct table {
    aw_press *press;
    const aw_book_block *block;
    size_t columns, rows;
    double width[MOST_COLUMNS]; /* of the text in each, mm */
    double pad;                 /* at either side of it */
} table;

static aw_type type_of(const aw_book_cell *cell)
{
    return cell->look == AW_LOOK_PLAIN || cell->look == AW_LOOK_UNASKED ? AW_TYPE_CELL
           : cell->look == AW_LOOK_SOFT                                 ? AW_TYPE_CELL_SOFT
                                                                        : AW_TYPE_CELL_STRONG;
}

static long colour_of(aw_book_look look)
{
    switch (look) {
    case AW_LOOK_MISSED:
    case AW_LOOK_NOT_MET:
        return AW_PRESS_NEED;
    case AW_LOOK_MET:
    case AW_LOOK_MET_WELL:
        return AW_PRESS_GOOD;
    case AW_LOOK_SOFT:
    case AW_LOOK_UNASKED:
        return AW_PRESS_SOFT;
    case AW_LOOK_PLAIN:
    case AW_LOOK_STRONG:
    case AW_LOOK_UNDECIDED:
    case AW_LOOKS:
        break;
    }
    return AW_PRESS_INK;
}

static bool is_stamp(aw_book_look look)
{
    return look >= AW_LOOK_NOT_MET && look < AW_LOOKS;
}

/* Width of a text on one line, or of its longest word. */
static double width_of(aw_press *p, aw_type type, const char *text, bool word)
{
    if (!word) {
        PangoLayout *layout = aw_press_set(p, type, text, 0, PANGO_ALIGN_LEFT);
        const double width = aw_press_width(layout);
        g_object_unref(layout);
        return width;
    }
    double widest = 0;
    for (const char *at = text; *at != '\0';) {
        const size_t n = strcspn(at, " \n");
        char *piece = strndup(at, n);
        if (piece != NULL)
            widest = fmax(widest, width_of(p, type, piece, false));
        free(piece);
        at += n + (at[n] != '\0');
    }
    return fmin(widest, WIDEST_WORD * p->scale);
}

/* The widest that a heading asks for on one line, mm. */
#define WIDEST_HEAD 20.0

/* What a column's texts ask for, at most or at least. */
static double ask(table *t, size_t column, bool least)
{
    const aw_book_block *b = t->block;
    const char *head = b->columns[column].head;
    double wide = width_of(t->press, AW_TYPE_CELL_SOFT, head, true);
    if (!least)
        wide = fmax(wide, fmin(width_of(t->press, AW_TYPE_CELL_SOFT, head, false),
                               WIDEST_HEAD * t->press->scale));
    for (size_t row = 0; row < t->rows; row++) {
        const aw_book_cell *cell = &b->cells[row * t->columns + column];
        const bool stamp = is_stamp(cell->look);
        const bool word = least && !stamp && !b->columns[column].right;
        wide = fmax(wide, width_of(t->press, type_of(cell), cell->text, word) +
                              (stamp ? 2.4 * t->press->scale : 0));
        if (cell->under != NULL)
            wide = fmax(wide, width_of(t->press, AW_TYPE_UNDER, cell->under, least));
    }
    return wide + 0.2;
}

/* All that is left over goes to the columns in proportion; where there is too little, those that
 * can be wrapped share what the others leave. */
static void choose_widths(table *t)
{
    const double room = t->press->right - t->press->left - 2 * t->pad * (double)t->columns;
    double most[MOST_COLUMNS], least[MOST_COLUMNS], all_most = 0, all_least = 0;
    for (size_t k = 0; k < t->columns; k++) {
        most[k] = ask(t, k, false);
        least[k] = fmin(ask(t, k, true), most[k]);
        all_most += most[k];
        all_least += least[k];
    }
    for (size_t k = 0; k < t->columns; k++)
        if (all_most <= room)
            t->width[k] = most[k] + (room - all_most) / (double)t->columns;
        else if (all_least <= room)
            t->width[k] =
                least[k] + (room - all_least) * (most[k] - least[k]) / (all_most - all_least);
        else
            t->width[k] = least[k] * room / all_least;
}

static bool begin(table *t, aw_press *press, const aw_book_block *block)
{
    const size_t columns = block->n_columns < MOST_COLUMNS ? block->n_columns : MOST_COLUMNS;
    *t = (table){.press = press,
                 .block = block,
                 .columns = columns,
                 .rows = columns > 0 ? block->n_cells / block->n_columns : 0,
                 .pad = 1.3 * press->scale};
    if (columns > 0)
        choose_widths(t);
    return columns > 0;
}

static double set_stamp(table *t, const aw_book_cell *cell, aw_press_place place, bool right,
                        bool draw)
{
    const double x = place.x, y = place.y, width = place.width;
    aw_press *p = t->press;
    const double k = p->scale, inner = 1.2 * k;
    PangoLayout *layout =
        aw_press_set(p, type_of(cell), cell->text, width - 2 * inner + 0.1, PANGO_ALIGN_LEFT);
    const double high = aw_press_height(layout), wide = aw_press_width(layout);
    const double at = right ? x + width - wide - inner : x + inner;
    const long colour = colour_of(cell->look);
    const double dash[2] = {0.9 * k, 0.6 * k}, dot[2] = {0.3 * k, 0.5 * k};
    if (!draw) {
        g_object_unref(layout);
        return high + 0.6 * k;
    }
    aw_press_show(p, layout, at, y, colour);
    aw_press_box(p, (aw_press_frame){at - inner + 0.2, y - 0.1, wide + 2 * inner - 0.4, high + 0.3},
                 0.32, colour,
                 cell->look == AW_LOOK_UNDECIDED ? dash
                 : cell->look == AW_LOOK_UNASKED ? dot
                                                 : NULL);
    if (cell->look == AW_LOOK_MET_WELL || cell->look == AW_LOOK_NOT_MET)
        aw_press_box(
            p, (aw_press_frame){at - inner - 0.35, y - 0.65, wide + 2 * inner + 0.7, high + 1.4},
            cell->look == AW_LOOK_NOT_MET ? 0.32 : 0.15, colour, NULL);
    return high + 0.6 * k;
}

static double set_cell(table *t, const aw_book_cell *cell, size_t column, double x, double y,
                       bool draw)
{
    aw_press *p = t->press;
    const bool right = t->block->columns[column].right;
    const double width = t->width[column];
    if (is_stamp(cell->look))
        return set_stamp(t, cell, (aw_press_place){x, y, width}, right, draw);
    PangoLayout *layout = aw_press_set(p, type_of(cell), cell->text, width,
                                       right ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT);
    double high = aw_press_height(layout);
    if (draw)
        aw_press_show(p, layout, x, y, colour_of(cell->look));
    else
        g_object_unref(layout);
    if (cell->under != NULL)
        high += aw_press_text(p, AW_TYPE_UNDER, cell->under, (aw_press_place){x, y + high, width},
                              AW_PRESS_SOFT, draw);
    return high;
}

/* A row, or measured without being drawn; its height. */
static double set_row(table *t, size_t row, double y, bool draw)
{
    aw_press *p = t->press;
    const bool total = t->block->has_total && row + 1 == t->rows;
    double x = p->left, high = 0;
    for (size_t k = 0; k < t->columns; k++) {
        const aw_book_cell *cell = &t->block->cells[row * t->block->n_columns + k];
        high = fmax(high, set_cell(t, cell, k, x + t->pad, y + 0.8 * p->scale, draw));
        x += t->width[k] + 2 * t->pad;
    }
    high += 1.6 * p->scale;
    if (draw && total)
        aw_press_rule(p, p->left, p->right, y, 0.45, AW_PRESS_INK);
    if (draw)
        aw_press_rule(p, p->left, p->right, y + high, 0.14, AW_PRESS_RULE);
    return high;
}

/* Caption and headings. */
static double set_head(table *t, bool again, double y, bool draw)
{
    aw_press *p = t->press;
    aw_text caption = {0};
    double x = p->left, high = 0;
    aw_text_format(&caption, "%s%s%s", t->block->text, again ? ", " : "",
                   again ? p->book->continued : "");
    const double over =
        aw_press_text(p, AW_TYPE_ITALIC, caption.at != NULL ? caption.at : "",
                      (aw_press_place){p->left, y, p->right - p->left}, AW_PRESS_INK, draw) +
        0.8 * p->scale;
    aw_text_free(&caption);
    for (int pass = 0; pass < (draw ? 2 : 1); pass++) {
        x = p->left;
        for (size_t k = 0; k < t->columns; k++) {
            PangoLayout *layout =
                aw_press_set(p, AW_TYPE_CELL_SOFT, t->block->columns[k].head, t->width[k],
                             t->block->columns[k].right ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT);
            const double own = aw_press_height(layout);
            if (pass == 1)
                aw_press_show(p, layout, x + t->pad, y + over + high - own, AW_PRESS_SOFT);
            else
                g_object_unref(layout);
            high = pass == 0 ? fmax(high, own) : high;
            x += t->width[k] + 2 * t->pad;
        }
    }
    high += over + 0.9 * p->scale;
    if (draw)
        aw_press_rule(p, p->left, p->right, y + high, 0.3, AW_PRESS_INK);
    return high;
}

static double height_of(table *t)
{
    double high = set_head(t, false, 0, false);
    for (size_t row = 0; row < t->rows; row++)
        high += set_row(t, row, 0, false);
    return high + 3 * t->press->scale;
}

double aw_press_table_height(aw_press *press, const aw_book_block *block)
{
    table t;
    return begin(&t, press, block) ? height_of(&t) : 0;
}

void aw_press_table(aw_press *p, const aw_book_block *block)
{
    table t;
    if (!begin(&t, p, block))
        return;
    const double whole = height_of(&t);
    double first = set_head(&t, false, 0, false);
    for (size_t row = 0; row < t.rows && row < 3; row++)
        first += set_row(&t, row, 0, false);
    aw_press_want(p, t.rows <= MOST_WHOLE && whole <= p->bottom - p->top ? whole - 3 * p->scale
                                                                         : first);
    p->y += set_head(&t, false, p->y, true);
    for (size_t row = 0; row < t.rows; row++) {
        /* The last rows keep together, so that a sum never stands alone. */
        double need = set_row(&t, row, 0, false);
        if (row + 2 == t.rows)
            need += set_row(&t, row + 1, 0, false);
        if (p->y + need > p->bottom && !p->is_blank) {
            aw_press_turn(p);
            p->y += set_head(&t, true, p->y, true);
        }
        p->y += set_row(&t, row, p->y, true);
    }
    p->y += 3 * p->scale;
}
