/** @file
 *  A client's plan as pale lines: a picture of which only what is dark is kept, so that tints under
 * it stay what they are.
 */
#ifndef AW_DRAW_PALE_H
#define AW_DRAW_PALE_H

#include <cairo.h>

#include "anchorwise/error.h"
#include "anchorwise/scenario.h"
#include "plan/picture.h"

typedef struct aw_pale {
    cairo_surface_t *ink; /* black, the more opaque the darker the picture */
    int width, height;    /* of it, pixels */
    aw_point corners[3];  /* where its upper left, upper right and lower left corner lie, m */
} aw_pale;

/* From a picture's file and the scenario's two points. False with an error if the PNG is damaged,
 * or without memory. aw_pale_free() it. */
bool aw_pale_create(aw_pale *pale, const aw_floor_picture *picture, const aw_picture_file *file,
                    aw_errors *errors);
void aw_pale_free(aw_pale *pale);

/* Metres of a unit of the picture's points. */
double aw_picture_metres(const aw_floor_picture *picture);

#endif
