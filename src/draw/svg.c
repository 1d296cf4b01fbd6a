/* The sheet as SVG: one class for each ink, real text with its length stated, so that another font
 * cannot make texts touch. */
#include <math.h>

#include "draw/font.h"
#include "draw/pale.h"
#include "draw/paint.h"

static void add_colour(aw_text *out, const char *what, long colour)
{
    if (colour < 0)
        aw_text_format(out, "%s:none;", what);
    else
        aw_text_format(out, "%s:#%06lX;", what, (unsigned long)colour);
}

static void add_type(const aw_sheet *sheet, const aw_ink_row *row, aw_text *out)
{
    aw_text_format(out, "font-size:%.3fpx;%s%s%s", sheet->text_size * row->size,
                   row->serif ? "font-family:'" AW_FONT_SERIF "',serif;" : "",
                   row->bold ? "font-weight:bold;" : "", row->italic ? "font-style:oblique;" : "");
    if (row->spacing > 0)
        aw_text_format(out, "letter-spacing:%gem;", row->spacing);
}

/* `name` is that of the element which the styles are for, NULL: of a file of its own. */
static void add_styles(const aw_sheet *sheet, const char *name, aw_text *out)
{
    const char *of = name != NULL ? "#" : "", *own = name != NULL ? name : "svg";
    aw_text_format(out,
                   "<style>\n%s%s{stroke-linejoin:round;fill-rule:evenodd;clip-rule:evenodd}"
                   "%s%s%stext{font-family:'" AW_FONT_NARROW "','" AW_FONT_FAMILY
                   "',sans-serif;font-stretch:condensed;white-space:pre}\n",
                   of, own, of, name != NULL ? name : "", name != NULL ? " " : "");
    for (int i = 0; i < AW_INKS; i++) {
        const aw_ink_row *row = &aw_ink_rows[i];
        aw_text_format(out, "%s%s%s.%s{", of, name != NULL ? name : "", name != NULL ? " " : "",
                       row->name);
        if (i != AW_INK_TINT)
            add_colour(out, "fill", aw_ink_fill((aw_ink)i, 0, sheet->grey));
        add_colour(out, "stroke",
                   row->halo ? aw_ink_fill(AW_INK_PAPER, 0, sheet->grey)
                             : aw_ink_stroke((aw_ink)i, sheet->grey));
        if (row->halo)
            aw_text_format(out, "paint-order:stroke;stroke-width:%.3f;",
                           AW_HALO * row->size * sheet->text_size);
        if (row->width > 0)
            aw_text_format(out, "stroke-width:%g;", row->width);
        for (int k = 0; k < 4 && row->dash[k] > 0; k++)
            aw_text_format(out, "%s%g%s", k == 0 ? "stroke-dasharray:" : " ", row->dash[k],
                           k == 3 || !(row->dash[k + 1] > 0) ? ";" : "");
        if (row->size > 0)
            add_type(sheet, row, out);
        aw_text_add(out, "}\n");
    }
    aw_text_add(out, "</style>\n");
}

/* Text and attribute values; what XML 1.0 cannot hold becomes a question mark. */
static void add_escaped(aw_text *out, const char *s)
{
    for (; *s != '\0'; s++) {
        if (*s == '&')
            aw_text_add(out, "&amp;");
        else if (*s == '<')
            aw_text_add(out, "&lt;");
        else if (*s == '>')
            aw_text_add(out, "&gt;");
        else if (*s == '"')
            aw_text_add(out, "&quot;");
        else if ((unsigned char)*s < 0x20)
            aw_text_add(out, "?");
        else
            aw_text_add_bytes(out, s, 1);
    }
}

/* Hundredths of a millimetre, the later points of a path relative to the one before. */
static void add_path_data(const aw_item *item, aw_text *out)
{
    for (size_t k = 0, i = 0; k < item->n_paths; k++) {
        long x = lround(item->at[i].x * 100), y = lround(item->at[i].y * 100);
        aw_text_format(out, "M%g %g", (double)x / 100, (double)y / 100);
        i++;
        aw_text_add(out, i < item->ends[k] ? "l" : ""); /* a path of one point goes nowhere */
        for (; i < item->ends[k]; i++) {
            const long nx = lround(item->at[i].x * 100), ny = lround(item->at[i].y * 100);
            aw_text_format(out, "%g %g ", (double)(nx - x) / 100, (double)(ny - y) / 100);
            x = nx;
            y = ny;
        }
        if (item->closed || item->kind != AW_ITEM_LINE)
            aw_text_add(out, "z");
    }
}

static void add_text_item(const aw_item *item, aw_text *out)
{
    aw_text_format(out, "<text class=\"%s\" x=\"%.2f\" y=\"%.2f\" textLength=\"%.2f\"",
                   aw_ink_rows[item->ink].name, item->place.x, item->place.y, item->length);
    if (item->angle != 0)
        aw_text_format(out, " transform=\"rotate(%.2f %.2f %.2f)\"", item->angle, item->place.x,
                       item->place.y);
    aw_text_add(out, " lengthAdjust=\"spacingAndGlyphs\">");
    add_escaped(out, item->text);
    aw_text_add(out, "</text>\n");
}

/* In the file itself, so that it needs no other. */
static void add_picture(const aw_item *item, aw_text *out)
{
    const aw_pale *p = item->pale;
    const aw_point *at = item->at;
    aw_text png = {0};
    if (item->n_points != 3 ||
        cairo_surface_write_to_png_stream(p->ink, aw_paint_collect, &png) != CAIRO_STATUS_SUCCESS) {
        out->failed = true;
        aw_text_free(&png);
        return;
    }
    gchar *coded = g_base64_encode((const guchar *)png.at, png.n);
    aw_text_format(out, "<image width=\"%d\" height=\"%d\" preserveAspectRatio=\"none\" ", p->width,
                   p->height);
    aw_text_format(out, "transform=\"matrix(%.8g %.8g %.8g %.8g %.3f %.3f)\" ",
                   (at[1].x - at[0].x) / p->width, (at[1].y - at[0].y) / p->width,
                   (at[2].x - at[0].x) / p->height, (at[2].y - at[0].y) / p->height, at[0].x,
                   at[0].y);
    aw_text_add(out, "href=\"data:image/png;base64,");
    aw_text_add(out, coded);
    aw_text_add(out, "\"/>\n");
    g_free(coded);
    aw_text_free(&png);
}

static void add_item(const aw_item *item, size_t number, const char *inside, bool grey,
                     aw_text *out)
{
    const char *name = aw_ink_rows[item->ink].name, *own = inside != NULL ? inside : "";
    switch (item->kind) {
    case AW_ITEM_PICTURE:
        add_picture(item, out);
        break;
    case AW_ITEM_TEXT:
        add_text_item(item, out);
        break;
    case AW_ITEM_CLIP:
        aw_text_format(out, "<clipPath id=\"%sc%zu\"><path d=\"", own, number);
        add_path_data(item, out);
        aw_text_format(out, "\"/></clipPath>\n<g clip-path=\"url(#%sc%zu)\">\n", own, number);
        break;
    case AW_ITEM_FREE:
        aw_text_add(out, "</g>\n");
        break;
    case AW_ITEM_FILL:
    case AW_ITEM_LINE:
        aw_text_format(out, "<path class=\"%s\"", name);
        if (item->kind == AW_ITEM_LINE)
            aw_text_add(out, " style=\"fill:none\"");
        else if (item->ink == AW_INK_TINT)
            aw_text_format(out, " fill=\"#%06lX\"",
                           (unsigned long)aw_ink_fill(item->ink, item->shade, grey));
        else if (aw_ink_rows[item->ink].dash[0] > 0)
            aw_text_add(out, " style=\"stroke:none\"");
        aw_text_add(out, " d=\"");
        add_path_data(item, out);
        aw_text_add(out, "\"/>\n");
        break;
    }
}

static bool add_items(const aw_sheet *sheet, const char *inside, aw_text *out, aw_errors *errors)
{
    add_styles(sheet, inside, out);
    for (size_t i = 0; i < sheet->n; i++)
        add_item(&sheet->items[i], i, inside, sheet->grey, out);
    aw_text_add(out, "</svg>\n");
    if (sheet->failed || out->failed)
        aw_errors_add(errors, AW_ERROR, 0, 0, "the sheet cannot be drawn: out of memory");
    return !sheet->failed && !out->failed;
}

bool aw_sheet_svg(const aw_sheet *sheet, aw_text *out, aw_errors *errors)
{
    aw_text_format(
        out,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/"
        "svg\" width=\"%gmm\" height=\"%gmm\" viewBox=\"0 0 %g %g\">\n<title>",
        sheet->width, sheet->height, sheet->width, sheet->height);
    add_escaped(out, sheet->title ? sheet->title : "");
    aw_text_add(out, "</title>\n");
    return add_items(sheet, NULL, out, errors);
}

bool aw_sheet_svg_inside(const aw_sheet *sheet, const char *name, const char *label, aw_text *out,
                         aw_errors *errors)
{
    aw_text_format(out, "<svg id=\"%s\" role=\"img\" viewBox=\"0 0 %g %g\" aria-label=\"", name,
                   sheet->width, sheet->height);
    add_escaped(out, label);
    aw_text_add(out, "\">\n");
    return add_items(sheet, name, out, errors);
}
