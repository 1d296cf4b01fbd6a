/* Type, rules and pages. */
#include "book/press.h"

#include <math.h>
#include <stdio.h>

#include "book/phrases.h"
#include "draw/paint.h"
#include "report/names.h"

#define SERIF "P052,URW Palladio L,Palatino,DejaVu Serif Condensed,DejaVu Serif"
#define SANS  "DejaVu Sans Condensed,DejaVu Sans"
#define POINT (25.4 / 72)

static const struct {
    const char *family;
    double size; /* points */
    bool bold, italic;
} types[AW_TYPES] = {
    [AW_TYPE_BODY] = {SERIF, 10.2, false, false},
    [AW_TYPE_STRONG] = {SERIF, 10.2, true, false},
    [AW_TYPE_TITLE] = {SERIF, 21, true, false},
    [AW_TYPE_HEAD] = {SERIF, 14.5, false, false},
    [AW_TYPE_SECTION] = {SERIF, 14.5, true, false},
    [AW_TYPE_PART] = {SERIF, 11.3, true, false},
    [AW_TYPE_SMALL] = {SERIF, 9.2, false, false},
    [AW_TYPE_ITALIC] = {SERIF, 9.4, false, true},
    [AW_TYPE_QUESTION] = {SERIF, 9.6, false, true},
    [AW_TYPE_ANSWER] = {SERIF, 13, true, false},
    [AW_TYPE_CELL] = {SANS, 8.3, false, false},
    [AW_TYPE_CELL_STRONG] = {SANS, 8.3, true, false},
    [AW_TYPE_CELL_SOFT] = {SANS, 7.9, false, false},
    [AW_TYPE_UNDER] = {SANS, 7.4, false, false},
    [AW_TYPE_FOOT] = {SERIF, 8, false, false},
};

static void set_colour(cairo_t *cairo, long colour)
{
    cairo_set_source_rgb(cairo, (double)(colour >> 16 & 255) / 255,
                         (double)(colour >> 8 & 255) / 255, (double)(colour & 255) / 255);
}

/* What is not UTF-8, or a control, would end Pango's text. */
static void set_text(PangoLayout *layout, const char *text)
{
    char *valid = g_utf8_make_valid(text, -1);
    for (char *at = valid; *at != '\0'; at++)
        *at = (unsigned char)*at < 0x20 && *at != '\n' ? ' ' : *at;
    pango_layout_set_text(layout, valid, -1);
    g_free(valid);
}

PangoLayout *aw_press_set(aw_press *p, aw_type type, const char *text, double width,
                          PangoAlignment align)
{
    PangoLayout *layout = pango_cairo_create_layout(p->cairo);
    PangoContext *context = pango_layout_get_context(layout);
    PangoFontDescription *font = pango_font_description_new();
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(context, options);
    pango_context_set_round_glyph_positions(context, FALSE);
    pango_cairo_context_set_resolution(context, 72);
    pango_font_description_set_family_static(font, types[type].family);
    if (types[type].family[0] == 'D')
        pango_font_description_set_stretch(font, PANGO_STRETCH_SEMI_CONDENSED);
    pango_font_description_set_absolute_size(font,
                                             types[type].size * POINT * p->scale * PANGO_SCALE);
    pango_font_description_set_weight(font,
                                      types[type].bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_style(font,
                                     types[type].italic ? PANGO_STYLE_ITALIC : PANGO_STYLE_NORMAL);
    pango_layout_set_font_description(layout, font);
    pango_layout_set_auto_dir(layout, FALSE);
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_alignment(layout, align);
    pango_layout_set_line_spacing(layout, types[type].family[0] == 'D' ? 1.12f : 1.1f);
    if (width > 0)
        pango_layout_set_width(layout, (int)(width * PANGO_SCALE));
    set_text(layout, text);
    cairo_font_options_destroy(options);
    pango_font_description_free(font);
    return layout;
}

double aw_press_width(PangoLayout *layout)
{
    int width, height;
    pango_layout_get_size(layout, &width, &height);
    return (double)width / PANGO_SCALE;
}

double aw_press_height(PangoLayout *layout)
{
    int width, height;
    pango_layout_get_size(layout, &width, &height);
    return (double)height / PANGO_SCALE;
}

double aw_press_show(aw_press *p, PangoLayout *layout, double x, double y, long colour)
{
    const double height = aw_press_height(layout);
    set_colour(p->cairo, colour);
    cairo_move_to(p->cairo, x, y);
    pango_cairo_show_layout(p->cairo, layout);
    g_object_unref(layout);
    p->is_blank = false;
    return height;
}

double aw_press_text(aw_press *p, aw_type type, const char *text, aw_press_place place, long colour,
                     bool draw)
{
    aw_text own = {0};
    aw_text_add(&own, text);
    aw_isolate_names(&own, 0);
    while (own.n > 0 && own.at[own.n - 1] == '\n')
        own.at[--own.n] = '\0';
    PangoLayout *layout =
        aw_press_set(p, type, own.at != NULL ? own.at : "", place.width, PANGO_ALIGN_LEFT);
    const double height = aw_press_height(layout);
    aw_text_free(&own);
    if (draw)
        return aw_press_show(p, layout, place.x, place.y, colour);
    g_object_unref(layout);
    return height;
}

void aw_press_rule(aw_press *p, double x0, double x1, double y, double width, long colour)
{
    set_colour(p->cairo, colour);
    cairo_set_line_width(p->cairo, width * p->scale);
    cairo_set_dash(p->cairo, NULL, 0, 0);
    cairo_move_to(p->cairo, x0, y);
    cairo_line_to(p->cairo, x1, y);
    cairo_stroke(p->cairo);
}

void aw_press_box(aw_press *p, aw_press_frame frame, double width, long colour,
                  const double dash[2])
{
    set_colour(p->cairo, colour);
    cairo_set_line_width(p->cairo, width * p->scale);
    cairo_set_dash(p->cairo, dash, dash != NULL ? 2 : 0, 0);
    cairo_rectangle(p->cairo, frame.x, frame.y, frame.width, frame.height);
    cairo_stroke(p->cairo);
    cairo_set_dash(p->cairo, NULL, 0, 0);
}

static void add_foot(aw_press *p)
{
    char page[24], pages[24];
    const aw_language own = {.phrases = &p->book->page_words};
    aw_text text = {0};
    snprintf(page, sizeof page, "%zu", p->page);
    snprintf(pages, sizeof pages, "%zu", p->pages);
    aw_phrase_fill(&own, 0, (const char *const[]){page, pages, NULL}, &text);
    const double y = p->height - 11 * p->scale, width = p->right - p->left;
    PangoLayout *number =
        aw_press_set(p, AW_TYPE_FOOT, text.at != NULL ? text.at : "", 0, PANGO_ALIGN_LEFT);
    const double wide = aw_press_width(number);
    aw_press_show(p, number, p->right - wide, y, AW_PRESS_SOFT);
    aw_press_text(p, AW_TYPE_FOOT, p->book->foot, (aw_press_place){p->left, y, width - wide - 5},
                  AW_PRESS_SOFT, true);
    aw_text_free(&text);
}

void aw_press_turn(aw_press *p)
{
    add_foot(p);
    cairo_show_page(p->cairo);
    p->page++;
    p->y = p->top;
    p->is_blank = true;
}

void aw_press_want(aw_press *p, double height)
{
    if (!p->is_blank && p->y + height > p->bottom)
        aw_press_turn(p);
}
