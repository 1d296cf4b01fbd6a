/* Text is set by Pango at a size of hundredths of a millimetre, without hinting, so that a text has
 * the same length on every medium. */
#include "draw/font.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

#define ROOM ((size_t)192 << 20)

bool aw_font_has_room(void)
{
    void *room = mmap(NULL, ROOM, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    if (room == MAP_FAILED)
        return false;
    munmap(room, ROOM);
    return true;
}

PangoLayout *aw_font_layout(cairo_t *cairo, aw_ink ink, double size, const char *text)
{
    PangoLayout *layout = pango_cairo_create_layout(cairo);
    const aw_ink_row *row = &aw_ink_rows[ink];
    PangoFontDescription *font = pango_font_description_new();
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(pango_layout_get_context(layout), options);
    pango_context_set_round_glyph_positions(pango_layout_get_context(layout), FALSE);
    pango_cairo_context_set_resolution(pango_layout_get_context(layout), 72);
    pango_font_description_set_family_static(font, row->serif ? AW_FONT_SERIF
                                                              : AW_FONT_NARROW "," AW_FONT_FAMILY);
    if (!row->serif)
        pango_font_description_set_stretch(font, PANGO_STRETCH_SEMI_CONDENSED);
    pango_font_description_set_absolute_size(font, size * PANGO_SCALE);
    pango_font_description_set_weight(font, row->bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_style(font, row->italic ? PANGO_STYLE_OBLIQUE : PANGO_STYLE_NORMAL);
    pango_layout_set_font_description(layout, font);
    /* As a browser has it: figures behind a name in another direction stay behind it. */
    pango_layout_set_auto_dir(layout, FALSE);
    pango_layout_set_single_paragraph_mode(layout, TRUE);
    pango_layout_set_text(layout, text, -1);
    if (row->spacing > 0) {
        PangoAttrList *list = pango_attr_list_new();
        pango_attr_list_insert(
            list, pango_attr_letter_spacing_new((int)(row->spacing * size * PANGO_SCALE)));
        pango_layout_set_attributes(layout, list);
        pango_attr_list_unref(list);
    }
    cairo_font_options_destroy(options);
    pango_font_description_free(font);
    return layout;
}

/* Measured large, so that rounding to Pango's units does not show. */
#define MEASURED 100.0

aw_point aw_sheet_measure(const aw_sheet *sheet, aw_ink ink, const char *text)
{
    const double size = sheet->text_size * aw_ink_rows[ink].size;
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_ALPHA, NULL);
    cairo_t *cairo = cairo_create(surface);
    PangoLayout *layout = aw_font_layout(cairo, ink, MEASURED, text);
    int width = 0, height = 0;
    pango_layout_get_size(layout, &width, &height);
    g_object_unref(layout);
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
    return (aw_point){size * width / (PANGO_SCALE * MEASURED), size * 1.16};
}

/* Characters that are named. */
#define MOST_NAMED 6

/* Adds a character unless it is there. */
static bool add_once(gunichar known[MOST_NAMED], size_t *n, gunichar c)
{
    for (size_t i = 0; i < *n; i++)
        if (known[i] == c)
            return false;
    if (*n == MOST_NAMED)
        return false;
    known[(*n)++] = c;
    return true;
}

static bool is_missing(cairo_t *cairo, const aw_item *item, gunichar c)
{
    char one[8] = "";
    g_unichar_to_utf8(c, one);
    PangoLayout *layout = aw_font_layout(cairo, item->ink, MEASURED, one);
    const bool missing = pango_layout_get_unknown_glyphs_count(layout) > 0;
    g_object_unref(layout);
    return missing;
}

void aw_sheet_missing(const aw_sheet *sheet, aw_text *out)
{
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_ALPHA, NULL);
    cairo_t *cairo = cairo_create(surface);
    gunichar known[MOST_NAMED];
    size_t n = 0;
    for (size_t i = 0; i < sheet->n; i++) {
        const aw_item *item = &sheet->items[i];
        PangoLayout *layout = item->kind == AW_ITEM_TEXT
                                  ? aw_font_layout(cairo, item->ink, MEASURED, item->text)
                                  : NULL;
        const bool any = layout != NULL && pango_layout_get_unknown_glyphs_count(layout) > 0;
        if (layout != NULL)
            g_object_unref(layout);
        for (const char *p = any ? item->text : ""; *p != '\0'; p = g_utf8_next_char(p)) {
            const gunichar c = g_utf8_get_char(p);
            if (is_missing(cairo, item, c) && add_once(known, &n, c))
                aw_text_format(out, "%s'%.*s' (U+%04X)", n > 1 ? ", " : "",
                               (int)(g_utf8_next_char(p) - p), p, c);
        }
    }
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
}

void aw_capitals(const char *text, char *out, size_t room)
{
    char *capitals = g_utf8_strup(text, -1);
    snprintf(out, room, "%s", capitals);
    g_free(capitals);
}
