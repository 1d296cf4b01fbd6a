/** @file
 *  The typefaces of a sheet, for measuring and for painting alike. */
#ifndef AW_DRAW_FONT_H
#define AW_DRAW_FONT_H

#include <pango/pangocairo.h>

#include "draw/sheet.h"

/* A condensed face makes figures read as soundings; without it the plain one stands in. Titles
 * have serifs. Any script falls back to what the machine has. */
#define AW_FONT_NARROW "DejaVu Sans Condensed"
#define AW_FONT_FAMILY "DejaVu Sans"
#define AW_FONT_SERIF  "DejaVu Serif"

/* Whether the font libraries can do their work: where memory runs out within them they end the
 * process, so this is asked before the first text. They were seen to take under 96 MiB, and
 * more of address space where they start a thread of their own. */
bool aw_font_has_room(void);

/* A layout for a text in an ink, scaled so that one unit is one millimetre; NULL without memory.
 * The caller frees it with g_object_unref(). */
PangoLayout *aw_font_layout(cairo_t *cairo, aw_ink ink, double size, const char *text);

#endif
