/* Cells are kept as they are added; widths are found, and lines broken, when all are there. */
#include "report/table.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "report/names.h"
#include "report/verdict.h"

#define GAP 2
/* A broken text goes on so far in, and is not made narrower than this. */
#define HANG       2
#define LEAST_TEXT 16

/* --- cells --- */

static void keep_cell(aw_table *table, char *text)
{
    if (table->n == table->room) {
        const size_t room = table->room ? 2 * table->room : 64;
        aw_cell *cells = realloc(table->cells, room * sizeof *cells);
        if (cells == NULL) {
            table->failed = true;
            free(text);
            return;
        }
        table->cells = cells;
        table->room = room;
    }
    table->cells[table->n++] = (aw_cell){text, AW_NO_NEED};
}

void aw_table_add(aw_table *table, const char *format, ...)
{
    char *text = NULL;
    va_list arguments;
    va_start(arguments, format);
    if (vasprintf(&text, format, arguments) < 0)
        table->failed = true;
    else
        keep_cell(table, text);
    va_end(arguments);
}

void aw_table_colour(aw_table *table, aw_verdict verdict)
{
    if (!table->failed && table->n > 0)
        table->cells[table->n - 1].colour = verdict;
}

void aw_table_end_row(aw_table *table)
{
    while (!table->failed && table->n % table->columns != 0)
        aw_table_add(table, "%s", "");
}

void aw_table_free(aw_table *table)
{
    for (size_t i = 0; i < table->n; i++)
        free(table->cells[i].text);
    free(table->cells);
    table->cells = NULL;
    table->n = table->room = 0;
}

static const aw_cell *cell_at(const aw_table *t, size_t row, size_t column)
{
    return &t->cells[row * t->columns + column];
}

/* --- widths --- */

/* A column that is shown: its width, the least that it can do with, and with its heading in two
 * lines. */
typedef struct lane {
    size_t column, width, least, two;
} lane;

/* Some lanes side by side. */
typedef struct block {
    lane lane[AW_TABLE_COLUMNS];
    size_t n;
} block;

static size_t larger(size_t a, size_t b)
{
    return a > b ? a : b;
}

static bool has_value(const aw_cell *cell)
{
    return strcmp(cell->text, "") != 0 && strcmp(cell->text, "–") != 0;
}

/* The lane of a column; false if no row has a value in it. The first names the rows. */
static bool measure(const aw_table *t, size_t column, lane *l)
{
    const size_t rows = t->n / t->columns;
    size_t body = 0, head = 0, piece = 0;
    bool any = column == 0;
    for (size_t row = 0; row < rows; row++) {
        const aw_cell *cell = cell_at(t, row, column);
        const size_t width = aw_shown_width(cell->text);
        if (row < t->heads) {
            head = larger(head, width);
            piece = larger(piece, aw_longest_piece(cell->text));
        } else {
            body = larger(body, width);
            any = any || has_value(cell);
        }
    }
    const size_t least = t->align[column] == 'l' && body > LEAST_TEXT ? LEAST_TEXT : body;
    *l = (lane){column, larger(body, head), larger(least, piece),
                larger(larger(body, piece), head / 2 + GAP)};
    return any;
}

static size_t total_width(const block *b, bool least)
{
    size_t total = 0;
    for (size_t i = 0; i < b->n; i++)
        total += (least ? b->lane[i].least : b->lane[i].width) + (i > 0 ? GAP : 0);
    return total;
}

/* Takes columns of the widest lane that has some to spare until the block fits, or none has: by
 * headings in two lines, or by texts too. */
static void narrow(block *b, bool texts)
{
    while (total_width(b, false) > AW_TABLE_WIDTH) {
        lane *widest = NULL;
        for (size_t i = 0; i < b->n; i++) {
            lane *l = &b->lane[i];
            if (l->width > (texts ? l->least : l->two) &&
                (widest == NULL || l->width > widest->width))
                widest = l;
        }
        if (widest == NULL)
            return;
        widest->width--;
    }
}

/* --- lines --- */

static void add_spaces(aw_text *out, size_t n)
{
    while (n-- > 0)
        aw_text_add(out, " ");
}

/* What of a cell stands on one line: `length` bytes, `indent` columns in. */
typedef struct piece {
    const char *text;
    size_t length, indent, width;
} piece;

/* Line k of a cell broken to a width, empty behind the last; how many lines there are. */
static size_t break_cell(const aw_table *t, size_t row, const lane *l, size_t k, piece *p)
{
    const bool body = row >= t->heads, whole = body && t->align[l->column] != 'l';
    const char *at = cell_at(t, row, l->column)->text;
    size_t lines = 0;
    *p = (piece){"", 0, 0, 0};
    do {
        const size_t indent = body && lines > 0 ? HANG : 0;
        const size_t length = whole ? strlen(at) : aw_line_length(at, l->width - indent);
        if (lines++ == k) {
            *p = (piece){at, length, indent, 0};
            while (p->length > 0 && at[p->length - 1] == ' ')
                p->length--;
            p->width = aw_width_of(at, p->length);
        }
        at += length;
    } while (*at != '\0');
    return lines;
}

static size_t count_lines(const aw_table *t, const block *b, size_t row)
{
    size_t most = 1;
    piece p;
    for (size_t i = 0; i < b->n; i++)
        most = larger(most, break_cell(t, row, &b->lane[i], 0, &p));
    return most;
}

/* Headings stand on the bottom line, texts on the top one. */
static void write_line(const aw_table *t, const block *b, size_t row, size_t k, size_t lines,
                       aw_text *out)
{
    size_t owed = 0;
    for (size_t i = 0; i < b->n; i++) {
        const lane *l = &b->lane[i];
        const aw_verdict colour = cell_at(t, row, l->column)->colour;
        piece p;
        const size_t own = break_cell(t, row, l, 0, &p), above = row < t->heads ? lines - own : 0;
        if (k < above)
            p = (piece){"", 0, 0, 0};
        else
            break_cell(t, row, l, k - above, &p);
        const size_t gap = l->width - p.indent - p.width;
        const bool right = t->align[l->column] == 'r';
        if (p.length > 0) {
            add_spaces(out, owed + p.indent + (right ? gap : 0));
            aw_text_add(out, aw_verdict_colour(colour, t->colour));
            aw_text_add_bytes(out, p.text, p.length);
            aw_text_add(out, aw_verdict_colour_end(colour, t->colour));
            owed = (right ? 0 : gap) + GAP;
        } else {
            owed += l->width + GAP;
        }
    }
    aw_text_add(out, "\n");
}

static void write_block(const aw_table *t, block *b, aw_text *out)
{
    narrow(b, false);
    narrow(b, true);
    for (size_t row = 0; row < t->n / t->columns; row++) {
        const size_t lines = count_lines(t, b, row);
        for (size_t k = 0; k < lines; k++)
            write_line(t, b, row, k, lines, out);
    }
}

static void write_blocks(const aw_table *t, aw_text *out)
{
    block b = {.n = 0};
    lane l;
    for (size_t column = 0; column < t->columns; column++) {
        if (!measure(t, column, &l))
            continue;
        if (b.n > 1 && total_width(&b, true) + GAP + l.least > AW_TABLE_WIDTH) {
            write_block(t, &b, out);
            aw_text_add(out, "\n");
            b.n = 1;
            measure(t, 0, &b.lane[0]);
        }
        b.lane[b.n++] = l;
    }
    write_block(t, &b, out);
}

void aw_table_write(aw_table *table, aw_text *out)
{
    if (table->failed)
        out->failed = true;
    else if (table->n > table->heads * table->columns)
        write_blocks(table, out);
    aw_table_free(table);
}
