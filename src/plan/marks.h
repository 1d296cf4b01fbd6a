/** @file
 *  A site as marks on layers, in the coordinates of the plan that it was made from: what goes back
 * to the client as a drawing. Text DXF (R12) and GeoJSON are written of them. */
#ifndef AW_PLAN_MARKS_H
#define AW_PLAN_MARKS_H

#include "anchorwise/scenario.h"
#include "anchorwise/text.h"
#include "base/arena.h"

typedef enum aw_mark_kind {
    AW_MARK_ANCHOR, /* a point with a name and a height */
    AW_MARK_LINE,
    AW_MARK_RING
} aw_mark_kind;

/* Lengths in m. */
typedef struct aw_mark {
    aw_mark_kind kind;
    const char *layer;
    const char *name;   /* NULL: none */
    const aw_point *at; /* on the plan */
    size_t n;
    double height;    /* of an anchor; NaN else */
    double base, top; /* of what has them; NaN else */
    const char *material;
} aw_mark;

typedef struct aw_marks {
    const aw_plan_place *place; /* the scenario's */
    aw_mark *list;
    size_t n, room;
    aw_arena *memory;
} aw_marks;

/* Everything that a scenario has a place for: outline, levels, walls (their faces), obstacles,
 * zones, candidates, forbidden areas, cable runs and anchors. False without memory. To be freed
 * either way; the scenario must outlive it. */
bool aw_marks_create(aw_marks *marks, const aw_scenario *scenario);
void aw_marks_free(aw_marks *marks);

/* Adds a line or ring in the site's coordinates; `layer` is copied. False without memory. */
bool aw_marks_add(aw_marks *marks, const aw_mark *mark);

/* A text DXF of them, R12, in the plan's unit, ASCII alone. */
void aw_marks_dxf(const aw_marks *marks, aw_text *out);

/* GeoJSON, in metres of the plan: its coordinate system is named as a local one. */
void aw_marks_geojson(const aw_marks *marks, aw_text *out);

#endif
