/** @file
 *  A plan as a client sends it: the pieces of a drawing by layer, in its own unit.
 *
 *  A text DXF is scanned by scan.h, then read by GDAL's `ogr2ogr` in a process of its own
 * (child.h), whose GeoJSON comes by a pipe; GeoJSON is read straight. Blocks come apart into their
 * pieces, arcs and splines as chords (an arc's are 1 degree long). */
#ifndef AW_PLAN_PLAN_H
#define AW_PLAN_PLAN_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/plane.h"
#include "anchorwise/run.h"
#include "base/arena.h"

typedef enum aw_piece_kind {
    AW_PIECE_POINT,
    AW_PIECE_TEXT, /* a point with a text */
    AW_PIECE_LINE,
    AW_PIECE_RING, /* a line that ends where it began */
    AW_PIECE_AREA, /* filled */
    AW_PIECE_KINDS
} aw_piece_kind;

#define AW_NO_INSERT ((size_t)-1)

typedef struct aw_piece {
    aw_piece_kind kind;
    size_t layer;
    size_t insert;   /* the outermost reference of a block that drew it; AW_NO_INSERT: none, or
                        it cannot be told */
    size_t first, n; /* of its points; a ring's last is not repeated */
    bool hidden;     /* frozen, off or invisible */
    const char *text;
    double height; /* of a text; NaN: unknown */
} aw_piece;

/* What stands beside an attribute's tag, or a property's name. */
typedef struct aw_attribute {
    const char *tag, *value;
} aw_attribute;

/* A reference to a block, outside all blocks; of GeoJSON a feature. */
typedef struct aw_insert {
    const char *block;
    size_t layer;
    aw_point at;
    const char *handle; /* "" without */
    const aw_attribute *attributes;
    size_t n_attributes;
} aw_insert;

typedef struct aw_plan_layer {
    const char *name;
    bool hidden; /* frozen or off by its table */
    size_t counts[AW_PIECE_KINDS], n_hidden, n_inserts;
    aw_point low, high; /* of what is shown; low > high: nothing is */
} aw_plan_layer;

typedef enum aw_plan_form { AW_PLAN_DXF, AW_PLAN_GEOJSON } aw_plan_form;

typedef struct aw_plan {
    aw_plan_form form;
    char version[32]; /* of a DXF; "" if it does not say */
    int header_unit;  /* $INSUNITS; -1: none given */
    bool has_degrees; /* GeoJSON in longitude and latitude, projected to metres */
    double middle[2]; /* where: longitude and latitude, degrees */
    double base[2];   /* the drawing's coordinates are those of the points plus this */
    aw_piece *pieces;
    size_t n_pieces;
    aw_point *at;
    size_t n_at;
    aw_plan_layer *layers;
    size_t n_layers;
    aw_insert *inserts;
    size_t n_inserts;
    bool names_by_piece;                /* pieces know their insert */
    size_t n_paper, n_empty, n_dropped; /* in paper space; without geometry; by GDAL's own word */
    aw_errors notes;                    /* what is to be told, as warnings */
    aw_arena *memory;
    size_t room_pieces, room_at, room_layers, room_inserts; /* private */
} aw_plan;

/* Reads the file of a plan; false with an error, or stopped. To be freed either way. */
bool aw_plan_read(aw_plan *plan, const char *path, const aw_run *run);
void aw_plan_free(aw_plan *plan);

#endif
