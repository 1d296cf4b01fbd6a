/* Tables and figures for people: never more digits than the model can stand behind. */
#include "report/table.h"

#include "report/names.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

static void keep_cell(aw_table *table, char *cell)
{
    if (table->n == table->room) {
        const size_t room = table->room ? 2 * table->room : 64;
        char **cells = realloc(table->cells, room * sizeof *cells);
        if (cells == NULL) {
            table->failed = true;
            free(cell);
            return;
        }
        table->cells = cells;
        table->room = room;
    }
    table->cells[table->n++] = cell;
}

void aw_table_add(aw_table *table, const char *format, ...)
{
    char *cell = NULL;
    va_list arguments;
    va_start(arguments, format);
    if (vasprintf(&cell, format, arguments) < 0)
        table->failed = true;
    else
        keep_cell(table, cell);
    va_end(arguments);
}

void aw_table_end_row(aw_table *table)
{
    while (!table->failed && table->n % table->columns != 0)
        aw_table_add(table, "%s", "");
}

static void add_spaces(aw_text *out, size_t n)
{
    while (n-- > 0)
        aw_text_add(out, " ");
}

static void write_row(const aw_table *t, size_t row, const size_t widths[], aw_text *out)
{
    size_t owed = 0;
    for (size_t c = 0; c < t->columns; c++) {
        const char *cell = t->cells[row * t->columns + c];
        const size_t gap = widths[c] - aw_shown_width(cell);
        if (t->align[c] == 'r')
            owed += gap;
        if (*cell != '\0') {
            add_spaces(out, owed);
            aw_text_add(out, cell);
            owed = 0;
        } else {
            owed += aw_shown_width(cell);
        }
        owed += (t->align[c] == 'r' ? 0 : gap) + 2;
    }
    aw_text_add(out, "\n");
}

void aw_table_write(const aw_table *table, aw_text *out)
{
    size_t widths[AW_TABLE_COLUMNS] = {0};
    if (table->failed) {
        out->failed = true;
        return;
    }
    for (size_t i = 0; i < table->n; i++) {
        const size_t width = aw_shown_width(table->cells[i]);
        if (width > widths[i % table->columns])
            widths[i % table->columns] = width;
    }
    for (size_t row = 0; row < table->n / table->columns; row++)
        write_row(table, row, widths, out);
}

void aw_table_free(aw_table *table)
{
    for (size_t i = 0; i < table->n; i++)
        free(table->cells[i]);
    free(table->cells);
    table->cells = NULL;
    table->n = table->room = 0;
}

/* Never 100 % for what is less, never 0 % for what is more. */
const char *aw_figure_share(double share, char out[AW_FIGURE_ROOM])
{
    if (!isfinite(share))
        snprintf(out, AW_FIGURE_ROOM, "–");
    else if (share < 1 && share > 0.99)
        snprintf(out, AW_FIGURE_ROOM, share < 0.9995 ? "%.1f %%" : "> 99.9 %%", 100 * share);
    else if (share > 0 && share < 0.01)
        snprintf(out, AW_FIGURE_ROOM, share >= 0.0005 ? "%.1f %%" : "< 0.1 %%", 100 * share);
    else
        snprintf(out, AW_FIGURE_ROOM, "%.0f %%", 100 * share);
    return out;
}

/* Digits that a double cannot tell apart are not asked for. */
#define MOST_DECIMALS 12

static bool is_on_its_side(const char *text, double value, double asked, bool at_most)
{
    char digits[AW_FIGURE_ROOM];
    const double shown = strtod(text + strspn(text, "<> "), NULL);
    snprintf(digits, sizeof digits, "%.12g", asked);
    const double limit = strtod(digits, NULL);
    if ((*text == '<' && asked < shown) || (*text == '>' && asked > shown))
        return false;
    return at_most ? (value <= asked) == (shown <= limit) : (value >= asked) == (shown >= limit);
}

static size_t count_decimals(const char *text)
{
    const char *point = strchr(text, '.');
    return point != NULL ? strspn(point + 1, "0123456789") : 0;
}

void aw_figure_tell_apart(double value, double asked, bool at_most, const char *unit,
                          char out[AW_FIGURE_ROOM])
{
    size_t decimals = count_decimals(out);
    while (isfinite(value) && isfinite(asked) && decimals < MOST_DECIMALS &&
           !is_on_its_side(out, value, asked, at_most))
        snprintf(out, AW_FIGURE_ROOM, "%.*f%s", (int)++decimals, value, unit);
}

const char *aw_figure_share_asked(double share, double asked, char out[AW_FIGURE_ROOM])
{
    aw_figure_share(share, out);
    aw_figure_tell_apart(100 * share, 100 * asked, false, " %", out);
    return out;
}

const char *aw_figure_count(size_t count, char out[AW_FIGURE_ROOM])
{
    char digits[AW_FIGURE_ROOM];
    const int n = snprintf(digits, sizeof digits, "%zu", count);
    size_t k = 0;
    for (int i = 0; i < n && k + 2 < AW_FIGURE_ROOM; i++) {
        if (i > 0 && (n - i) % 3 == 0)
            out[k++] = ' ';
        out[k++] = digits[i];
    }
    out[k] = '\0';
    return out;
}
