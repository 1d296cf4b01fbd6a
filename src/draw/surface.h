/* The surface that is drawn of a field: smoothed as far as the cells' simulation intervals let it,
 * room by room, so that a contour tells of the floor and not of the draws.
 *
 * 1. In the logarithm of lengths and ratios each cell starts at the middle of its interval and
 *    moves towards the mean of its neighbours in the room, cut to the interval.
 * 2. The room by itself is carried on over its gaps, sampled finer and smoothed; then what that
 *    broke is put back: the excess over the interval at the cells' centres, interpolated, is taken
 *    away, again and again; and between centres nothing is higher or lower than they are.
 *
 * At the centre of every cell the surface lies in the cell's interval; where that has no width it
 * is the figure. */
#ifndef AW_DRAW_SURFACE_H
#define AW_DRAW_SURFACE_H

#include "draw/rooms.h"

typedef struct aw_room {
    aw_field fine;  /* padded all round by what is lower than any level, so that rings close */
    aw_paths bound; /* round the room; even-odd */
} aw_room;

typedef struct aw_surface {
    aw_rooms rooms;
    aw_room *room; /* rooms.n of them; no field where no cell has a value; owned */
    bool by_log;
    aw_field no_fix; /* 1 where cells have no value, smoothed, padded by 0; by 0.5 */
    bool has_no_fix;
} aw_surface;

/* False without memory. `field` is not kept. */
bool aw_surface_make(aw_surface *surface, const aw_field *field, const aw_scenario *scenario,
                     size_t tag, bool by_log);
void aw_surface_free(aw_surface *surface);

/* Rings round what is at least `level` in a room, all closed. False without memory. */
bool aw_surface_rings(const aw_surface *surface, size_t room, double level, aw_paths *rings);

/* The surface at a place; NaN off the field and where its room has no value. */
double aw_surface_at(const aw_surface *surface, aw_point at);

#endif
