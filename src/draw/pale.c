/* Dark lines of a picture, and where its two points put it. */
#include "draw/pale.h"

#include <math.h>
#include <stdint.h>

#include "anchorwise/plane.h"
#include "draw/paint.h"

/* Pixels along the longer side that are kept. */
#define LONGEST 3000
/* How opaque black becomes. */
#define DARKEST 0.3
/* What is on the whole darker than this was drawn in light on dark. */
#define NIGHT 0.35
/* What differs by less from the paper is paper. */
#define PAPER 0.04

static double apart(double x, double y)
{
    return sqrt(x * x + y * y);
}

double aw_picture_metres(const aw_floor_picture *picture)
{
    const aw_pin *a = &picture->pins[0], *b = &picture->pins[1];
    return apart(b->x - a->x, b->y - a->y) / apart(b->px - a->px, b->py - a->py);
}

/* Turn, scale and shift in one: as complex numbers, place = factor * pixel + shift, the picture's y
 * upwards. */
static void find_corners(aw_pale *pale, const aw_floor_picture *p, const aw_picture_file *file)
{
    const aw_pin *a = &p->pins[0], *b = &p->pins[1];
    const double px = b->px - a->px, py = -(b->py - a->py), x = b->x - a->x, y = b->y - a->y;
    const double square = px * px + py * py;
    const double c = (x * px + y * py) / square, s = (y * px - x * py) / square;
    const double at[3][2] = {{0, 0}, {file->width, 0}, {0, file->height}};
    for (int k = 0; k < 3; k++) {
        const double u = at[k][0] - a->px, v = -(at[k][1] - a->py);
        pale->corners[k] = (aw_point){a->x + c * u - s * v, a->y + s * u + c * v};
    }
}

/* On white, not larger than is kept. */
static cairo_surface_t *on_paper(cairo_surface_t *picture)
{
    const int w = cairo_image_surface_get_width(picture);
    const int h = cairo_image_surface_get_height(picture);
    const double scale = fmin(1, (double)LONGEST / (w > h ? w : h));
    const int width = (int)fmax(1, round(w * scale)), height = (int)fmax(1, round(h * scale));
    cairo_surface_t *out = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, width, height);
    cairo_t *cairo = cairo_create(out);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_paint(cairo);
    cairo_scale(cairo, (double)width / w, (double)height / h);
    cairo_set_source_surface(cairo, picture, 0, 0);
    cairo_paint(cairo);
    cairo_destroy(cairo);
    return out;
}

/* Weights of ITU-R BT.601 for what is bright, of a gamma-coded pixel. */
static double brightness(uint32_t pixel)
{
    return (0.299 * (pixel >> 16 & 255) + 0.587 * (pixel >> 8 & 255) + 0.114 * (pixel & 255)) / 255;
}

static void keep_dark(cairo_surface_t *ink, int width, int height)
{
    cairo_surface_flush(ink);
    unsigned char *rows = cairo_image_surface_get_data(ink);
    const size_t stride = (size_t)cairo_image_surface_get_stride(ink);
    double sum = 0;
    for (int y = 0; y < height; y++)
        for (int x = 0; x < width; x++)
            sum += brightness(((const uint32_t *)(void *)(rows + (size_t)y * stride))[x]);
    const bool night = sum < NIGHT * width * height;
    for (int y = 0; y < height; y++) {
        uint32_t *row = (uint32_t *)(void *)(rows + (size_t)y * stride);
        for (int x = 0; x < width; x++) {
            const double bright = brightness(row[x]), dark = night ? bright : 1 - bright;
            row[x] = (uint32_t)lround(dark < PAPER ? 0 : 255 * DARKEST * dark) << 24;
        }
    }
    cairo_surface_mark_dirty(ink);
}

bool aw_pale_create(aw_pale *pale, const aw_floor_picture *picture, const aw_picture_file *file,
                    aw_errors *errors)
{
    *pale = (aw_pale){0};
    cairo_surface_t *whole = aw_paint_png(file->png.at, file->png.n);
    const cairo_status_t status = cairo_surface_status(whole);
    if (status == CAIRO_STATUS_SUCCESS)
        pale->ink = on_paper(whole);
    cairo_surface_destroy(whole);
    if (status == CAIRO_STATUS_NO_MEMORY ||
        (pale->ink != NULL && cairo_surface_status(pale->ink) != CAIRO_STATUS_SUCCESS)) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
        return false;
    }
    if (status != CAIRO_STATUS_SUCCESS) {
        aw_errors_add(errors, AW_ERROR, picture->place.line, picture->place.column,
                      "picture: %s: it is damaged: %s", picture->file,
                      cairo_status_to_string(status));
        return false;
    }
    pale->width = cairo_image_surface_get_width(pale->ink);
    pale->height = cairo_image_surface_get_height(pale->ink);
    keep_dark(pale->ink, pale->width, pale->height);
    find_corners(pale, picture, file);
    return true;
}

void aw_pale_free(aw_pale *pale)
{
    cairo_surface_destroy(pale->ink);
    *pale = (aw_pale){0};
}
