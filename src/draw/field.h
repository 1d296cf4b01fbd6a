/** @file
 *  One quantity over the floor as a regular grid of cell centres, and what is drawn from it:
 * isolines. */
#ifndef AW_DRAW_FIELD_H
#define AW_DRAW_FIELD_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/map.h"

/* value[j * nx + i] belongs to the centre (x0 + (i + 1/2) step, y0 + (j + 1/2) step); NaN where
 * there is none. kept[] says whether the cell is part of the floor. */
typedef struct aw_field {
    double x0, y0, step;
    size_t nx, ny;
    double *value;   /* owned */
    double *ends[2]; /* simulation interval of each value, NaN where there is none; owned */
    bool *kept;      /* owned */
} aw_field;

/* False without memory. */
bool aw_field_create(aw_field *field, const aw_grid *grid);
void aw_field_free(aw_field *field);

/* Lays one layer of a map over the field; cells of the map become kept. */
void aw_field_lay(aw_field *field, const aw_map *map, aw_layer layer);

#define AW_NO_CELL ((size_t)-1)

/* The cell that a place lies in, AW_NO_CELL off the grid; and the centre of a cell. */
size_t aw_field_cell(const aw_field *field, aw_point at);
aw_point aw_field_centre(const aw_field *field, size_t cell);

/* Bilinear value at a place; NaN where one of the four centres round it has none. */
double aw_field_at(const aw_field *field, double x, double y);

typedef struct aw_outline {
    aw_point *at;
    size_t n;
    bool closed;
} aw_outline;

/* Paths in one memory. A zeroed struct is empty. */
typedef struct aw_paths {
    aw_outline *list;
    size_t n;
    aw_point *points;
} aw_paths;

/* Isolines at a level: closed, or ending where the values end. Every point lies between two
 * neighbouring centres, where their values interpolate to the level. False without memory. */
bool aw_field_trace(const aw_field *field, double level, aw_paths *paths);
void aw_paths_free(aw_paths *paths);

#endif
