/* Which parts of a field belong together: a lattice four times finer than its cells, divided by
 * walls, by land and by the zones that have a tag of their own. Nothing is carried on from one room
 * to another. */
#ifndef AW_DRAW_ROOMS_H
#define AW_DRAW_ROOMS_H

#include <stdint.h>

#include "anchorwise/scenario.h"
#include "draw/field.h"

#define AW_NO_ROOM UINT32_MAX

/* Sample (i, j) lies at (x0 + i step, y0 + j step), i < nx, j < ny; cell (i, j) of the field has
 * its centre at sample (i factor + factor / 2, j factor + factor / 2). */
typedef struct aw_rooms {
    double x0, y0, step;
    size_t nx, ny, factor, n;
    uint32_t *room;   /* of each sample; AW_NO_ROOM only if the field has no cell; owned */
    uint8_t *blocked; /* 1: not open to the right, 2: not open upwards; owned */
} aw_rooms;

/* Whether what has this footprint and these heights stands at the height of a tag, on the floor
 * that the tag stands on there. */
bool aw_stands_at_tag(const aw_scenario *scenario, size_t tag, const aw_polygon *footprint,
                      double base, double top);

/* False without memory. */
bool aw_rooms_divide(aw_rooms *rooms, const aw_field *field, const aw_scenario *scenario,
                     size_t tag);
void aw_rooms_free(aw_rooms *rooms);

/* Sample at the centre of a cell. */
size_t aw_rooms_centre(const aw_rooms *rooms, const aw_field *field, size_t cell);

/* Whether nothing stands between the centres of two neighbours, `b` the right or the upper one. */
bool aw_rooms_are_joined(const aw_rooms *rooms, const aw_field *field, size_t a, size_t b);

#endif
