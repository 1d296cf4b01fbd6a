/* Sheets as the pages of one PDF. */
#include <cairo-pdf.h>

#include "book/writers.h"
#include "draw/font.h"
#include "draw/paint.h"

bool aw_sheets_pdf(const aw_sheet sheets[], size_t n, aw_text *out, aw_errors *errors)
{
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(
        aw_paint_collect, out, sheets[0].width * AW_POINTS_PER_MM,
        sheets[0].height * AW_POINTS_PER_MM);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE,
                                   aw_paint_date(sheets[0].date));
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE,
                                   sheets[0].title != NULL ? sheets[0].title : "");
    cairo_t *cairo = cairo_create(surface);
    cairo_scale(cairo, AW_POINTS_PER_MM, AW_POINTS_PER_MM);
    bool done = true;
    for (size_t i = 0; i < n; i++) {
        aw_sheet_paint(cairo, &sheets[i], 0);
        cairo_show_page(cairo);
        done = done && !sheets[i].failed;
    }
    done = done && cairo_status(cairo) == CAIRO_STATUS_SUCCESS;
    cairo_destroy(cairo);
    cairo_surface_finish(surface);
    done = done && cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS && !out->failed;
    cairo_surface_destroy(surface);
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the sheets");
    return done;
}
