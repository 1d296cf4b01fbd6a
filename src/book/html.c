/* One page without scripts, fonts or anything else from elsewhere. What a scenario says is escaped,
 * and names from right to left stand in elements of their own. */
#include <string.h>

#include "base/character.h"
#include "book/writers.h"
#include "report/names.h"

#include "book/style.h"

typedef struct page {
    aw_text *out;
    const aw_book *book;
    const aw_book_layout *layout;
    aw_errors *errors;
} page;

static void add(page *p, const char *text)
{
    aw_text_add(p->out, text);
}

/* --- text --- */

static void add_character(page *p, const char *at, aw_character c)
{
    switch (c.code) {
    case '&':
        add(p, "&amp;");
        break;
    case '<':
        add(p, "&lt;");
        break;
    case '>':
        add(p, "&gt;");
        break;
    case '"':
        add(p, "&quot;");
        break;
    case '\n':
        add(p, "<br>");
        break;
    case 0x2068:
        add(p, "<bdi>");
        break;
    case 0x2069:
        add(p, "</bdi>");
        break;
    default:
        if (c.code == AW_NO_CHARACTER || c.code < 0x20 || (c.code >= 0x7f && c.code < 0xa0))
            add(p, "\xef\xbf\xbd");
        else
            aw_text_add_bytes(p->out, at, c.width);
    }
}

static void add_escaped(page *p, const char *text)
{
    aw_text own = {0};
    aw_text_add(&own, text);
    aw_isolate_names(&own, 0);
    while (own.n > 0 && own.at[own.n - 1] == '\n')
        own.n--;
    for (size_t at = 0; at < own.n;) {
        const aw_character c = aw_character_at(own.at, own.n, at);
        add_character(p, own.at + at, c);
        at += c.width;
    }
    p->out->failed |= own.failed;
    aw_text_free(&own);
}

static void add_element(page *p, const char *open, const char *text, const char *close)
{
    add(p, open);
    add_escaped(p, text);
    add(p, close);
}

/* In an attribute, where no element can stand. */
static void add_attribute(page *p, const char *text)
{
    for (size_t at = 0, n = strlen(text); at < n;) {
        const aw_character c = aw_character_at(text, n, at);
        add_character(p, text + at, c.code == '\n' ? (aw_character){' ', 1} : c);
        at += c.width;
    }
}

/* --- blocks --- */

static const char *const look_classes[] = {[AW_LOOK_PLAIN] = NULL,
                                           [AW_LOOK_STRONG] = "strong",
                                           [AW_LOOK_SOFT] = "soft",
                                           [AW_LOOK_MISSED] = "miss",
                                           [AW_LOOK_NOT_MET] = "stamp not",
                                           [AW_LOOK_MET] = "stamp met",
                                           [AW_LOOK_MET_WELL] = "stamp sure",
                                           [AW_LOOK_UNDECIDED] = "stamp open",
                                           [AW_LOOK_UNASKED] = "stamp none"};

static void add_cell_text(page *p, const aw_book_cell *cell, bool is_head)
{
    const char *class = cell->look == AW_LOOK_STRONG && is_head ? NULL : look_classes[cell->look];
    if (class != NULL)
        aw_text_format(p->out, "<span class=\"%s\">", class);
    add_escaped(p, cell->text);
    add(p, class != NULL ? "</span>" : "");
    if (cell->under != NULL)
        add_element(p, "<small>", cell->under, "</small>");
}

static void add_row(page *p, const aw_book_block *b, size_t row)
{
    add(p, "<tr>");
    for (size_t k = 0; k < b->n_columns; k++) {
        const aw_book_cell *cell = &b->cells[row * b->n_columns + k];
        add(p, k == 0
                   ? b->columns[0].right ? "<th scope=\"row\" class=\"r\">" : "<th scope=\"row\">"
               : b->columns[k].right ? "<td class=\"r\">"
                                     : "<td>");
        add_cell_text(p, cell, k == 0);
        add(p, k == 0 ? "</th>" : "</td>");
    }
    add(p, "</tr>\n");
}

/* Rows of a table that is not cut where it is printed. */
#define MOST_WHOLE 20

static void add_table(page *p, const aw_book_block *b)
{
    const size_t rows = b->n_columns > 0 ? b->n_cells / b->n_columns : 0;
    const size_t body = rows - (b->has_total && rows > 0);
    aw_text_format(p->out, "<div class=\"scroll%s\" tabindex=\"0\" role=\"region\" aria-label=\"",
                   rows > MOST_WHOLE ? " long" : "");
    add_attribute(p, b->text);
    add_element(p, "\"><table><caption>", b->text, "</caption>\n<thead><tr>");
    for (size_t k = 0; k < b->n_columns; k++)
        add_element(p,
                    b->columns[k].right ? "<th scope=\"col\" class=\"r\">" : "<th scope=\"col\">",
                    b->columns[k].head, "</th>");
    add(p, "</tr></thead>\n<tbody>\n");
    for (size_t row = 0; row < body; row++)
        add_row(p, b, row);
    add(p, "</tbody>\n");
    if (body < rows) {
        add(p, "<tfoot>\n");
        add_row(p, b, body);
        add(p, "</tfoot>\n");
    }
    add(p, "</table></div>\n");
}

static void add_boxes(page *p, const aw_book_block *b)
{
    add(p, "<div class=\"four\">\n");
    for (size_t i = 0; i + 2 < b->n_cells; i += 3) {
        add_element(p, "<div><p class=\"q\">", b->cells[i].text, "</p>");
        add_element(p, "<p class=\"big\">", b->cells[i + 1].text, "</p>");
        add_element(p, "<p>", b->cells[i + 2].text, "</p></div>\n");
    }
    add(p, "</div>\n");
}

static void add_figure(page *p, const aw_book_block *b, bool is_wide)
{
    char name[32];
    const aw_picture *picture = &p->layout->pictures[b->figure];
    snprintf(name, sizeof name, "figure%zu", b->figure + 1);
    aw_text_format(p->out,
                   "<figure%s>\n<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"",
                   is_wide                            ? ""
                   : picture->kind == AW_PICTURE_ROSE ? " class=\"rose\""
                                                      : "");
    add_attribute(p, b->text);
    aw_text_format(p->out, " (%zu)\">\n", b->figure + 1);
    aw_sheet_svg_inside(&picture->sheet, name, b->text, p->out, p->errors);
    add_element(p, "</div>\n<figcaption>", b->text, "</figcaption></figure>\n");
}

static void add_list(page *p, const aw_book_block *b)
{
    add(p, "<ul>\n");
    for (size_t i = 0; i < b->n_cells; i++)
        add_element(p, "<li>", b->cells[i].text, "</li>\n");
    add(p, "</ul>\n");
}

static void add_facts(page *p, const aw_book_block *b)
{
    add(p, "<dl>\n");
    for (size_t i = 0; i + 1 < b->n_cells; i += 2) {
        add_element(p, "<dt>", b->cells[i].text, "</dt>");
        add_element(p, "<dd>", b->cells[i + 1].text, "</dd>\n");
    }
    add(p, "</dl>\n");
}

static void add_block(page *p, const aw_book_block *b, bool is_wide)
{
    switch (b->kind) {
    case AW_BLOCK_TEXT:
        add_element(p, "<p>", b->text, "</p>\n");
        break;
    case AW_BLOCK_HEADING:
        add_element(p, "<h3>", b->text, "</h3>\n");
        break;
    case AW_BLOCK_LIST:
        add_list(p, b);
        break;
    case AW_BLOCK_BOXES:
        add_boxes(p, b);
        break;
    case AW_BLOCK_FACTS:
        add_facts(p, b);
        break;
    case AW_BLOCK_TABLE:
        add_table(p, b);
        break;
    case AW_BLOCK_FIGURE:
        add_figure(p, b, is_wide);
        break;
    case AW_BLOCK_LACK:
        add_element(p, "<p class=\"lack\">", b->text, "</p>\n");
        break;
    case AW_BLOCK_KINDS:
        break;
    }
}

/* --- the page --- */

static void add_image(page *p)
{
    static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const aw_book_image *image = &p->layout->image;
    if (image->bytes == NULL)
        return;
    add(p, "<img alt=\"\" src=\"data:image/png;base64,");
    for (size_t i = 0; i < image->n; i += 3) {
        unsigned long three = 0;
        char four[5] = "====";
        for (size_t k = 0; k < 3; k++)
            three = three << 8 | (i + k < image->n ? (unsigned char)image->bytes[i + k] : 0);
        for (size_t k = 0; k < 4 && i + k < image->n + 1; k++)
            four[k] = digits[three >> (18 - 6 * k) & 63];
        add(p, four);
    }
    add(p, "\">");
}

static void add_side(page *p, const char *const lines[2], bool is_strong)
{
    add(p, "<p>");
    if (lines[0] != NULL)
        add_element(p, is_strong ? "<b>" : "", lines[0], is_strong ? "</b>" : "");
    add(p, lines[0] != NULL && lines[1] != NULL ? "<br>" : "");
    if (lines[1] != NULL)
        add_escaped(p, lines[1]);
    add(p, "</p>");
}

static void add_contents(page *p)
{
    size_t number = 0;
    add(p, "<nav aria-label=\"");
    add_attribute(p, p->book->contents);
    add(p, "\"><ol>\n");
    for (size_t i = 0; i < p->book->n; i++) {
        const aw_book_section *s = &p->book->sections[i];
        if (s->is_front)
            continue;
        aw_text_format(p->out, "<li><a href=\"#%s\"><span>%zu</span> ", s->id, ++number);
        add_escaped(p, s->title);
        add(p, "</a></li>\n");
    }
    add(p, "</ol></nav>\n");
}

static void add_section(page *p, const aw_book_section *s, size_t number)
{
    if (s->is_front) {
        for (size_t i = 0; i < s->n; i++)
            add_block(p, &s->blocks[i], false);
        add_contents(p);
        return;
    }
    aw_text_format(p->out, "<section class=\"%s%s%s\">\n<h2 id=\"%s\"><span>%zu</span> ",
                   s->is_wide ? "wide" : "plain", s->is_whole ? " whole" : "",
                   s->begins_page ? " first" : "", s->id, number);
    add_element(p, "", s->title, "</h2>\n");
    for (size_t i = 0; i < s->n; i++)
        add_block(p, &s->blocks[i], s->is_wide);
    add(p, "</section>\n");
}

/* A text as a string of the style sheet. */
static void add_string(page *p, const char *text)
{
    for (size_t at = 0, n = strlen(text); at < n;) {
        const aw_character c = aw_character_at(text, n, at);
        const bool plain = c.code >= 0x20 && c.code != '"' && c.code != '\\' && c.code != '<' &&
                           c.code != AW_NO_CHARACTER;
        if (plain)
            aw_text_add_bytes(p->out, text + at, c.width);
        else
            aw_text_add(p->out, " ");
        at += c.width;
    }
}

static void add_style(page *p)
{
    const aw_paper_row *paper = &aw_paper_rows[p->layout->paper];
    add(p, "<style>\n");
    add(p, aw_book_style);
    aw_text_format(
        p->out, "@media print{@page{size:%gmm %gmm;margin:15mm 14mm 17mm;@bottom-left{content:\"",
        paper->height, paper->width);
    add_string(p, p->book->foot);
    aw_text_format(p->out,
                   "\";font:8pt serif}@bottom-right{content:counter(page) \" / \" "
                   "counter(pages);font:8pt serif}}@page wide{size:%gmm %gmm;margin:0;"
                   "@bottom-left{content:none}@bottom-right{content:none}}"
                   ".wide svg{width:%gmm;height:%gmm}}\n</style>\n",
                   paper->width, paper->height, paper->width, paper->height - 0.5);
}

/* Nothing, if nothing was given for it. */
static void add_letterhead(page *p)
{
    const aw_book *b = p->book;
    if (p->layout->image.bytes == NULL && b->left[0] == NULL && b->left[1] == NULL &&
        b->right[0] == NULL && b->right[1] == NULL)
        return;
    add(p, "<header>");
    add_image(p);
    add_side(p, b->left, true);
    add_side(p, b->right, false);
    add(p, "</header>\n");
}

bool aw_book_html(const aw_book *book, const aw_book_layout *layout, aw_text *out,
                  aw_errors *errors)
{
    page p = {out, book, layout, errors};
    size_t number = 0;
    add(&p, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
            "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    add(&p, "<title>");
    add_attribute(&p, book->title);
    add(&p, "</title>\n");
    add_style(&p);
    add(&p, "</head>\n<body>\n");
    add_letterhead(&p);
    add_element(&p, "<main>\n<h1>", book->title, "</h1>\n");
    add_element(&p, "<p class=\"head\">", book->headline, "</p>\n");
    for (size_t i = 0; i < book->n; i++)
        add_section(&p, &book->sections[i], book->sections[i].is_front ? 0 : ++number);
    add(&p, "</main>\n</body>\n</html>\n");
    if ((out->failed || book->failed) && errors->n_errors == 0)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the report");
    return errors->n_errors == 0;
}
