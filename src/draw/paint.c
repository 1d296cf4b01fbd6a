/* The sheet on paper and in pixels, by Cairo and Pango. */
#include <math.h>
#include <string.h>

#include <cairo-pdf.h>

#include "draw/font.h"
#include "draw/paint.h"
#include "draw/pale.h"

static void set_colour(cairo_t *cairo, long colour)
{
    cairo_set_source_rgb(cairo, (double)(colour >> 16 & 255) / 255,
                         (double)(colour >> 8 & 255) / 255, (double)(colour & 255) / 255);
}

static void trace(cairo_t *cairo, const aw_item *item)
{
    cairo_new_path(cairo);
    for (size_t k = 0, i = 0; k < item->n_paths; k++) {
        cairo_move_to(cairo, item->at[i].x, item->at[i].y);
        for (i++; i < item->ends[k]; i++)
            cairo_line_to(cairo, item->at[i].x, item->at[i].y);
        if (item->closed || item->kind != AW_ITEM_LINE)
            cairo_close_path(cairo);
    }
}

static void stroke(cairo_t *cairo, const aw_item *item, bool grey)
{
    const aw_ink_row *row = &aw_ink_rows[item->ink];
    int dashes = 0;
    if (row->stroke < 0)
        return;
    set_colour(cairo, aw_ink_stroke(item->ink, grey));
    cairo_set_line_width(cairo, row->width);
    while (dashes < 4 && row->dash[dashes] > 0)
        dashes++;
    cairo_set_dash(cairo, row->dash, dashes, 0);
    cairo_stroke(cairo);
}

static void paint_text(cairo_t *cairo, const aw_item *item, bool grey)
{
    PangoLayout *layout = aw_font_layout(cairo, item->ink, item->size, item->text);
    cairo_save(cairo);
    cairo_translate(cairo, item->place.x, item->place.y);
    cairo_rotate(cairo, item->angle * M_PI / 180);
    const double up = (double)pango_layout_get_baseline(layout) / PANGO_SCALE;
    if (aw_ink_rows[item->ink].halo) {
        cairo_move_to(cairo, 0, -up);
        pango_cairo_layout_path(cairo, layout);
        set_colour(cairo, aw_ink_fill(AW_INK_PAPER, 0, grey));
        cairo_set_line_width(cairo, AW_HALO * item->size);
        cairo_set_dash(cairo, NULL, 0, 0);
        cairo_stroke(cairo);
    }
    set_colour(cairo, aw_ink_fill(item->ink, 0, grey));
    cairo_move_to(cairo, 0, -up);
    pango_cairo_show_layout(cairo, layout);
    cairo_restore(cairo);
    g_object_unref(layout);
}

/* From its pixels to where its corners lie. */
static void paint_picture(cairo_t *cairo, const aw_item *item)
{
    const aw_pale *p = item->pale;
    const aw_point *at = item->at;
    if (item->n_points != 3)
        return;
    const cairo_matrix_t placed = {(at[1].x - at[0].x) / p->width,
                                   (at[1].y - at[0].y) / p->width,
                                   (at[2].x - at[0].x) / p->height,
                                   (at[2].y - at[0].y) / p->height,
                                   at[0].x,
                                   at[0].y};
    cairo_save(cairo);
    cairo_transform(cairo, &placed);
    cairo_set_source_surface(cairo, p->ink, 0, 0);
    cairo_pattern_set_filter(cairo_get_source(cairo), CAIRO_FILTER_GOOD);
    cairo_paint(cairo);
    cairo_restore(cairo);
}

static void paint_item(cairo_t *cairo, const aw_item *item, bool grey)
{
    switch (item->kind) {
    case AW_ITEM_FILL:
        trace(cairo, item);
        set_colour(cairo, aw_ink_fill(item->ink, item->shade, grey));
        if (aw_ink_rows[item->ink].stroke < 0 || aw_ink_rows[item->ink].dash[0] > 0) {
            cairo_fill(cairo);
        } else {
            cairo_fill_preserve(cairo);
            stroke(cairo, item, grey);
        }
        break;
    case AW_ITEM_LINE:
        trace(cairo, item);
        stroke(cairo, item, grey);
        break;
    case AW_ITEM_PICTURE:
        paint_picture(cairo, item);
        break;
    case AW_ITEM_TEXT:
        paint_text(cairo, item, grey);
        break;
    case AW_ITEM_CLIP:
        cairo_save(cairo);
        trace(cairo, item);
        cairo_clip(cairo);
        break;
    case AW_ITEM_FREE:
        cairo_restore(cairo);
        break;
    }
}

void aw_sheet_paint(cairo_t *cairo, const aw_sheet *sheet, double from)
{
    cairo_save(cairo);
    cairo_translate(cairo, 0, -from);
    cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
    cairo_set_fill_rule(cairo, CAIRO_FILL_RULE_EVEN_ODD);
    for (size_t i = 0; i < sheet->n; i++)
        paint_item(cairo, &sheet->items[i], sheet->grey);
    cairo_restore(cairo);
}

/* Paints all items from a height of the sheet on; false if Cairo failed. */
static bool paint(cairo_surface_t *surface, const aw_sheet *sheet, double scale, double from)
{
    cairo_t *cairo = cairo_create(surface);
    cairo_scale(cairo, scale, scale);
    aw_sheet_paint(cairo, sheet, from);
    const bool painted = cairo_status(cairo) == CAIRO_STATUS_SUCCESS;
    cairo_destroy(cairo);
    return painted;
}

typedef struct png_bytes {
    const char *at;
    size_t n;
} png_bytes;

static cairo_status_t read_bytes(void *from, unsigned char *to, unsigned int n)
{
    png_bytes *left = from;
    if (n > left->n)
        return CAIRO_STATUS_READ_ERROR;
    memcpy(to, left->at, n);
    left->at += n;
    left->n -= n;
    return CAIRO_STATUS_SUCCESS;
}

cairo_surface_t *aw_paint_png(const char *bytes, size_t n)
{
    return cairo_image_surface_create_from_png_stream(read_bytes, &(png_bytes){bytes, n});
}

cairo_status_t aw_paint_collect(void *out, const unsigned char *bytes, unsigned int n)
{
    aw_text_add_bytes(out, (const char *)bytes, n);
    return ((aw_text *)out)->failed ? CAIRO_STATUS_NO_MEMORY : CAIRO_STATUS_SUCCESS;
}

static bool report(bool done, aw_errors *errors)
{
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "the sheet cannot be drawn: out of memory");
    return done;
}

/* Whether a text is a date as in 2026-11-25. */
static bool is_date(const char *s)
{
    static const char *const form = "dddd-dd-dd";
    if (s == NULL || strlen(s) != strlen(form))
        return false;
    for (size_t i = 0; form[i] != '\0'; i++)
        if (form[i] == 'd' ? s[i] < '0' || s[i] > '9' : s[i] != form[i])
            return false;
    return true;
}

/* Page after page. */
static bool paint_pages(cairo_surface_t *surface, const aw_sheet *sheet)
{
    const size_t n = sheet->pages > 0 ? sheet->pages : 1;
    bool done = true;
    for (size_t i = 0; i < n && done; i++) {
        done = paint(surface, sheet, AW_POINTS_PER_MM, sheet->height * (double)i / (double)n);
        cairo_surface_show_page(surface);
    }
    return done;
}

const char *aw_paint_date(const char *text)
{
    return is_date(text) ? text : "";
}

/* A creation date is written only if one is given, so that the same input gives the same bytes. */
bool aw_sheet_pdf(const aw_sheet *sheet, aw_text *out, aw_errors *errors)
{
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(
        aw_paint_collect, out, sheet->width * AW_POINTS_PER_MM,
        sheet->height / (double)(sheet->pages > 0 ? sheet->pages : 1) * AW_POINTS_PER_MM);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE,
                                   aw_paint_date(sheet->date));
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE,
                                   sheet->title ? sheet->title : "");
    bool done = !sheet->failed && paint_pages(surface, sheet);
    cairo_surface_finish(surface);
    done = done && cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS;
    cairo_surface_destroy(surface);
    return report(done, errors);
}

bool aw_sheet_png(const aw_sheet *sheet, size_t width, aw_text *out, aw_errors *errors)
{
    const double scale = (double)width / sheet->width;
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)width,
                                                          (int)ceil(sheet->height * scale - 1e-6));
    const bool done =
        !sheet->failed && paint(surface, sheet, scale, 0) &&
        cairo_surface_write_to_png_stream(surface, aw_paint_collect, out) == CAIRO_STATUS_SUCCESS;
    cairo_surface_destroy(surface);
    return report(done, errors);
}
