/** @file
 *  A client's plan as a picture, brought to PNG.
 *
 *  A PNG is taken as it is. Others are read by programs of others, each in a process of its own
 * under limits (child.h): JPEG by GDAL's `gdal_translate`, SVG by librsvg's `rsvg-convert`, a page
 * of a PDF by poppler's `pdfinfo` and `pdftocairo`. */
#ifndef AW_PLAN_PICTURE_H
#define AW_PLAN_PICTURE_H

#include "anchorwise/run.h"
#include "anchorwise/scenario.h"
#include "anchorwise/text.h"

/* Pixels of a picture, at most; of what has no pixels of its own, along its longer side. */
#define AW_PICTURE_PIXELS 40e6
#define AW_PICTURE_SIDE   32000
#define AW_PICTURE_LONG   "3000"

typedef struct aw_picture_file {
    aw_text png;
    double width, height; /* in the units of the picture's points */
    bool is_page;         /* of a PDF, so it has a size on paper */
} aw_picture_file;

/* Pixels of a PNG by its head, before anything is decoded; false if it is none, has none or more
 * than are taken. */
bool aw_png_measure(const char *bytes, size_t n, double *width, double *height);

/* Reads the picture of a scenario whose file is `path` ("-" or "": the folder we are in). False
 * with an error at the picture's place, or stopped. aw_text_free() its PNG either way. */
bool aw_picture_read(aw_picture_file *file, const aw_floor_picture *picture, const char *path,
                     const aw_run *run);

#endif
