/* A book on paper, set twice: once to count its pages, once to keep. A heading stays with what
 * follows it; sections that are to stand whole do where they fit a page; charts have a page of
 * their own, lying, at their own scale. */
#include <cairo-pdf.h>
#include <math.h>
#include <string.h>

#include "book/press.h"
#include "draw/font.h"
#include "draw/paint.h"
#include "plan/picture.h"

/* Least share of a page that a section needs so that it begins on the rest of one. */
#define LEAST_LEFT 0.12

static double text_width(const aw_press *p)
{
    return p->right - p->left;
}

/* --- blocks --- */

static double set_boxes(aw_press *p, const aw_book_block *b, double y, bool draw)
{
    const double k = p->scale, wide = text_width(p) / 2, pad = 3 * k;
    double at = y;
    for (size_t row = 0; row * 6 < b->n_cells; row++) {
        double high = 0;
        for (int pass = 0; pass < (draw ? 2 : 1); pass++)
            for (size_t side = 0; side < 2 && row * 6 + side * 3 + 2 < b->n_cells; side++) {
                const aw_book_cell *cell = &b->cells[row * 6 + side * 3];
                const double x = p->left + wide * (double)side + pad;
                const bool show = pass == 1;
                double own = at + 2.2 * k;
                own +=
                    aw_press_text(p, AW_TYPE_QUESTION, cell[0].text,
                                  (aw_press_place){x, own, wide - 2 * pad}, AW_PRESS_SOFT, show) +
                    0.8 * k;
                own += aw_press_text(p, AW_TYPE_ANSWER, cell[1].text,
                                     (aw_press_place){x, own, wide - 2 * pad}, AW_PRESS_INK, show) +
                       0.8 * k;
                own += aw_press_text(p, AW_TYPE_SMALL, cell[2].text,
                                     (aw_press_place){x, own, wide - 2 * pad}, AW_PRESS_INK, show);
                high = fmax(high, own - at + 2.2 * k);
            }
        for (size_t side = 0; draw && side < 2; side++)
            aw_press_box(p, (aw_press_frame){p->left + wide * (double)side, at, wide, high}, 0.18,
                         AW_PRESS_RULE, NULL);
        at += high;
    }
    if (draw) {
        aw_press_box(p, (aw_press_frame){p->left, y, text_width(p), at - y}, 0.5, AW_PRESS_INK,
                     NULL);
        aw_press_box(p,
                     (aw_press_frame){p->left - 0.9 * k, y - 0.9 * k, text_width(p) + 1.8 * k,
                                      at - y + 1.8 * k},
                     0.18, AW_PRESS_INK, NULL);
    }
    return at - y + 4 * k;
}

static double set_facts(aw_press *p, const aw_book_block *b, double y, bool draw)
{
    const double k = p->scale, name = 46 * k;
    double at = y;
    for (size_t i = 0; i + 1 < b->n_cells; i += 2) {
        const double a =
            aw_press_text(p, AW_TYPE_CELL_STRONG, b->cells[i].text,
                          (aw_press_place){p->left, at, name - 3 * k}, AW_PRESS_INK, draw);
        const double f = aw_press_text(p, AW_TYPE_CELL, b->cells[i + 1].text,
                                       (aw_press_place){p->left + name, at, text_width(p) - name},
                                       AW_PRESS_INK, draw);
        at += fmax(a, f) + 0.5 * k;
    }
    return at - y + 2.5 * k;
}

static double set_list(aw_press *p, const aw_book_block *b, double y, bool draw)
{
    const double k = p->scale;
    double at = y;
    for (size_t i = 0; i < b->n_cells; i++) {
        aw_press_text(p, AW_TYPE_BODY, "•", (aw_press_place){p->left, at, 0}, AW_PRESS_INK, draw);
        at += aw_press_text(p, AW_TYPE_BODY, b->cells[i].text,
                            (aw_press_place){p->left + 5 * k, at, text_width(p) - 5 * k},
                            AW_PRESS_INK, draw) +
              1 * k;
    }
    return at - y + 2 * k;
}

/* As wide as the text, or as its sheet is where that is less. */
static double set_figure(aw_press *p, const aw_book_block *b, double y, bool draw)
{
    const aw_sheet *sheet = &p->layout->pictures[b->figure].sheet;
    const double k = fmin(p->scale, text_width(p) / sheet->width);
    if (draw && !p->counts) {
        cairo_save(p->cairo);
        cairo_translate(p->cairo, p->left, y);
        cairo_scale(p->cairo, k, k);
        aw_sheet_paint(p->cairo, sheet, 0);
        cairo_restore(p->cairo);
    }
    p->is_blank = draw ? false : p->is_blank;
    const double high = sheet->height * k + 1.5 * p->scale;
    return high +
           aw_press_text(p, AW_TYPE_SMALL, b->text,
                         (aw_press_place){p->left, y + high, text_width(p)}, AW_PRESS_SOFT, draw) +
           3 * p->scale;
}

/* A block at a height, or measured; how high it is. Tables are set elsewhere. */
static double set_block(aw_press *p, const aw_book_block *b, double y, bool draw)
{
    const double k = p->scale;
    switch (b->kind) {
    case AW_BLOCK_TEXT:
        return aw_press_text(p, AW_TYPE_BODY, b->text, (aw_press_place){p->left, y, text_width(p)},
                             AW_PRESS_INK, draw) +
               2.6 * k;
    case AW_BLOCK_LACK:
        return aw_press_text(p, AW_TYPE_ITALIC, b->text,
                             (aw_press_place){p->left, y, text_width(p)}, AW_PRESS_SOFT, draw) +
               2.6 * k;
    case AW_BLOCK_HEADING:
        return aw_press_text(p, AW_TYPE_PART, b->text,
                             (aw_press_place){p->left, y + 1.5 * k, text_width(p)}, AW_PRESS_INK,
                             draw) +
               2.5 * k;
    case AW_BLOCK_LIST:
        return set_list(p, b, y, draw);
    case AW_BLOCK_BOXES:
        return set_boxes(p, b, y, draw);
    case AW_BLOCK_FACTS:
        return set_facts(p, b, y, draw);
    case AW_BLOCK_FIGURE:
        return set_figure(p, b, y, draw);
    case AW_BLOCK_TABLE:
        return aw_press_table_height(p, b);
    case AW_BLOCK_KINDS:
        break;
    }
    return 0;
}

static double height_of(aw_press *p, const aw_book_section *s);

/* What the last section takes, if it is the one behind this: it is not left alone on its page. */
static double tail_of(aw_press *p, const aw_book_section *s)
{
    const aw_book_section *last = &p->book->sections[p->book->n - 1];
    return s + 1 == last && !s->is_front && !last->is_wide ? height_of(p, last) + 3 * p->scale : 0;
}

/* The least that has to stand below a heading: a whole block, or of a long table its beginning. */
static double least_of(aw_press *p, const aw_book_section *s, size_t i)
{
    double high = 0;
    while (i < s->n && s->blocks[i].kind == AW_BLOCK_HEADING)
        high += set_block(p, &s->blocks[i++], 0, false);
    if (i >= s->n)
        return high;
    const double own = set_block(p, &s->blocks[i], 0, false);
    const bool is_long = s->blocks[i].kind == AW_BLOCK_TABLE && own > (p->bottom - p->top) / 2;
    return high + (is_long ? 40 * p->scale : fmin(own, p->bottom - p->top));
}

static void add_block(aw_press *p, const aw_book_section *s, size_t i)
{
    const aw_book_block *b = &s->blocks[i];
    if (b->kind == AW_BLOCK_TABLE) {
        aw_press_table(p, b);
        return;
    }
    const double own = set_block(p, b, 0, false), tail = i + 1 == s->n ? tail_of(p, s) : 0;
    const bool both = own + tail < p->bottom - p->top;
    aw_press_want(p, b->kind == AW_BLOCK_HEADING ? least_of(p, s, i)
                                                 : own - 2 * p->scale + (both ? tail : 0));
    p->y += set_block(p, b, p->y, true);
}

/* --- sections --- */

static void add_mark(aw_press *p, const char *title)
{
    char place[96];
    const double y = (p->is_blank ? 0 : p->y) * AW_POINTS_PER_MM;
    snprintf(place, sizeof place, "page=%zu pos=[0.0 %.1f]", p->page, y);
    if (!p->counts)
        cairo_pdf_surface_add_outline(p->surface, CAIRO_PDF_OUTLINE_ROOT, title, place, 0);
}

static double set_heading(aw_press *p, const aw_book_section *s, size_t number, double y, bool draw)
{
    const double k = p->scale, at = y + (p->is_blank ? 0 : 4 * k);
    char figure[24];
    snprintf(figure, sizeof figure, "%zu", number);
    aw_press_text(p, AW_TYPE_SECTION, figure, (aw_press_place){p->left, at, 0}, AW_PRESS_SOFT,
                  draw);
    const double high = aw_press_text(p, AW_TYPE_SECTION, s->title,
                                      (aw_press_place){p->left + 9 * k, at, text_width(p) - 9 * k},
                                      AW_PRESS_INK, draw);
    if (draw)
        aw_press_rule(p, p->left, p->right, at + high + 0.6 * k, 0.25, AW_PRESS_RULE);
    return at - y + high + 3 * k;
}

/* A chart on its own pages, at its own scale: its sheet has title, frame and notes. */
static void add_sheet(aw_press *p, const aw_sheet *sheet, const char *mark)
{
    const size_t pages = sheet->pages > 0 ? sheet->pages : 1;
    const double tall = sheet->height / (double)pages;
    for (size_t i = 0; i < pages; i++) {
        cairo_pdf_surface_set_size(p->surface, sheet->width * AW_POINTS_PER_MM,
                                   tall * AW_POINTS_PER_MM);
        if (i == 0 && mark != NULL)
            add_mark(p, mark);
        if (!p->counts)
            aw_sheet_paint(p->cairo, sheet, tall * (double)i);
        cairo_show_page(p->cairo);
        p->page++;
    }
}

static void add_wide(aw_press *p, const aw_book_section *s)
{
    for (size_t i = 0; i < s->n; i++)
        if (s->blocks[i].kind == AW_BLOCK_FIGURE)
            add_sheet(p, &p->layout->pictures[s->blocks[i].figure].sheet, i == 0 ? s->title : NULL);
    cairo_pdf_surface_set_size(p->surface, p->width * AW_POINTS_PER_MM,
                               p->height * AW_POINTS_PER_MM);
    p->y = p->top;
    p->is_blank = true;
}

static double height_of(aw_press *p, const aw_book_section *s)
{
    double high = set_heading(p, s, 1, 0, false);
    for (size_t i = 0; i < s->n; i++)
        high += set_block(p, &s->blocks[i], 0, false);
    return high - 3 * p->scale;
}

static void add_section(aw_press *p, const aw_book_section *s, size_t number)
{
    const double page = p->bottom - p->top;
    if (s->is_wide) {
        if (!p->is_blank)
            aw_press_turn(p);
        add_wide(p, s);
        return;
    }
    const double whole = s->is_whole ? height_of(p, s) : HUGE_VAL;
    const double least = set_heading(p, s, number, 0, false) + least_of(p, s, 0);
    if (s->begins_page && !p->is_blank && p->y > p->top + 0.3 * page)
        aw_press_turn(p);
    const double tail = tail_of(p, s);
    aw_press_want(p, whole + tail <= page ? whole + tail
                     : whole <= page      ? whole
                                          : fmax(least, LEAST_LEFT * page));
    add_mark(p, s->title);
    p->y += set_heading(p, s, number, p->y, true);
    for (size_t i = 0; i < s->n; i++)
        add_block(p, s, i);
}

/* --- page 1 --- */

bool aw_book_image_is_sound(const aw_book_image *image)
{
    double width, height;
    if (!aw_png_measure(image->bytes, image->n, &width, &height))
        return false;
    cairo_surface_t *picture = aw_paint_png(image->bytes, image->n);
    const bool sound = cairo_surface_status(picture) == CAIRO_STATUS_SUCCESS;
    cairo_surface_destroy(picture);
    return sound;
}

/* At the left, at most 14 mm high and a third of the line wide; how wide it is. */
static double add_image(aw_press *p)
{
    const aw_book_image *image = &p->layout->image;
    if (image->bytes == NULL)
        return 0;
    cairo_surface_t *picture = aw_paint_png(image->bytes, image->n);
    const double w = cairo_image_surface_get_width(picture),
                 h = cairo_image_surface_get_height(picture);
    const double k = w > 0 && h > 0 ? fmin(14 * p->scale / h, text_width(p) / 3 / w) : 0;
    if (k > 0 && !p->counts) {
        cairo_save(p->cairo);
        cairo_translate(p->cairo, p->left, p->y);
        cairo_scale(p->cairo, k, k);
        cairo_set_source_surface(p->cairo, picture, 0, 0);
        cairo_paint(p->cairo);
        cairo_restore(p->cairo);
    }
    cairo_surface_destroy(picture);
    return k * w + 4 * p->scale;
}

static void add_letterhead(aw_press *p)
{
    const aw_book *b = p->book;
    const double k = p->scale, image = add_image(p), half = text_width(p) / 2 - 3 * k;
    double deep = image > 0 ? 14 * k : 0, left = p->y, right = p->y;
    for (int i = 0; i < 2; i++) {
        if (b->left[i] != NULL)
            left += aw_press_text(p, i == 0 ? AW_TYPE_STRONG : AW_TYPE_SMALL, b->left[i],
                                  (aw_press_place){p->left + image, left, half - image},
                                  AW_PRESS_INK, true);
        if (b->right[i] == NULL)
            continue;
        PangoLayout *line = aw_press_set(p, AW_TYPE_SMALL, b->right[i], half, PANGO_ALIGN_RIGHT);
        right += aw_press_show(p, line, p->right - half, right, AW_PRESS_INK);
    }
    deep = fmax(deep, fmax(left, right) - p->y);
    p->y += deep + (deep > 0 ? 1.5 * k : 0);
    aw_press_rule(p, p->left, p->right, p->y, 0.5, AW_PRESS_INK);
    p->y += 5 * k;
}

/* In two columns, read down. */
static void add_contents(aw_press *p)
{
    const double k = p->scale, half = text_width(p) / 2, from = p->y;
    double low = from;
    size_t n = 0, i = 0;
    for (size_t s = 0; s < p->book->n; s++)
        n += !p->book->sections[s].is_front;
    for (size_t s = 0; s < p->book->n; s++) {
        char figure[24];
        if (p->book->sections[s].is_front)
            continue;
        const double x = p->left + (i >= (n + 1) / 2 ? half : 0);
        if (i == (n + 1) / 2)
            p->y = from;
        snprintf(figure, sizeof figure, "%zu", ++i);
        aw_press_text(p, AW_TYPE_SMALL, figure, (aw_press_place){x, p->y, 0}, AW_PRESS_SOFT, true);
        p->y += aw_press_text(p, AW_TYPE_SMALL, p->book->sections[s].title,
                              (aw_press_place){x + 7 * k, p->y, half - 10 * k}, AW_PRESS_INK, true);
        p->y += 0.8 * k;
        low = fmax(low, p->y);
    }
    p->y = low + 1 * k;
}

static void add_front(aw_press *p, const aw_book_section *s)
{
    for (size_t i = 0; i < s->n; i++)
        add_block(p, s, i);
    add_contents(p);
}

static void add_all(aw_press *p)
{
    const double k = p->scale;
    size_t number = 0;
    add_letterhead(p);
    p->y += aw_press_text(p, AW_TYPE_TITLE, p->book->title,
                          (aw_press_place){p->left, p->y, text_width(p)}, AW_PRESS_INK, true) +
            1 * k;
    p->y += aw_press_text(p, AW_TYPE_HEAD, p->book->headline,
                          (aw_press_place){p->left, p->y, text_width(p)}, AW_PRESS_INK, true) +
            4.5 * k;
    for (size_t i = 0; i < p->book->n; i++) {
        const aw_book_section *s = &p->book->sections[i];
        if (s->is_front)
            add_front(p, s);
        else
            add_section(p, s, ++number);
    }
    if (!p->is_blank)
        aw_press_turn(p);
}

/* Sets the whole; the number of its pages, 0 without memory. */
static size_t set_all(const aw_book *book, const aw_book_layout *layout, size_t pages, aw_text *out)
{
    const aw_paper_row *paper = &aw_paper_rows[layout->paper];
    const double k = paper->text_size / aw_paper_rows[AW_PAPER_A4].text_size;
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(
        aw_paint_collect, out, paper->height * AW_POINTS_PER_MM, paper->width * AW_POINTS_PER_MM);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE,
                                   aw_paint_date(layout->date));
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, book->title);
    aw_press p = {.book = book,
                  .layout = layout,
                  .surface = surface,
                  .cairo = cairo_create(surface),
                  .scale = k,
                  .width = paper->height,
                  .height = paper->width,
                  .left = 15 * k,
                  .right = paper->height - 15 * k,
                  .top = 14 * k,
                  .bottom = paper->width - 17 * k,
                  .y = 14 * k,
                  .page = 1,
                  .pages = pages,
                  .is_blank = true,
                  .counts = pages == 0};
    cairo_scale(p.cairo, AW_POINTS_PER_MM, AW_POINTS_PER_MM);
    add_all(&p);
    const bool sound = cairo_status(p.cairo) == CAIRO_STATUS_SUCCESS;
    cairo_destroy(p.cairo);
    cairo_surface_finish(surface);
    const bool written = cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS;
    cairo_surface_destroy(surface);
    return sound && written ? p.page - 1 : 0;
}

bool aw_book_pdf(const aw_book *book, const aw_book_layout *layout, aw_text *out, aw_errors *errors)
{
    aw_text counted = {0};
    const size_t pages = aw_font_has_room() ? set_all(book, layout, 0, &counted) : 0;
    aw_text_free(&counted);
    if (pages == 0 || set_all(book, layout, pages, out) != pages || book->failed || out->failed) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the report");
        return false;
    }
    return true;
}
