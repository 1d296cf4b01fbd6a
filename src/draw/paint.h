/** @file
 *  A sheet painted into a drawing that others make: a page of several, by Cairo. */
#ifndef AW_DRAW_PAINT_H
#define AW_DRAW_PAINT_H

#include <cairo.h>

#include "draw/sheet.h"

/* Points of a PDF in a millimetre. */
#define AW_POINTS_PER_MM (72 / 25.4)

/* Paints all items from a height of the sheet on, a unit of `cairo` being a millimetre; its state
 * stays as it was. */
void aw_sheet_paint(cairo_t *cairo, const aw_sheet *sheet, double from);

/* What a surface's stream writes to: an aw_text. */
cairo_status_t aw_paint_collect(void *out, const unsigned char *bytes, unsigned int n);

/* A PNG in memory; destroy it, its status says whether it is sound. */
cairo_surface_t *aw_paint_png(const char *bytes, size_t n);

/* A date as a PDF takes it, "" for a text that is none, so that the same input gives the same
 * bytes.
 */
const char *aw_paint_date(const char *text);

#endif
