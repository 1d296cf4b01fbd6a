/* Areas: what lines enclose, closed rings, hulls, and the outline of a floor from its walls; by
 * GEOS. Metres. */
#ifndef AW_PLAN_SOLIDS_H
#define AW_PLAN_SOLIDS_H

#include "plan/faces.h"

typedef struct aw_ring {
    aw_point *at; /* the first is not repeated */
    size_t n;
} aw_ring;

typedef struct aw_rings {
    aw_ring *list;
    size_t n, room;
} aw_rings;

void aw_rings_free(aw_rings *rings);

/* Areas under this are left out: a scenario wants more. */
#define AW_LEAST_AREA 0.0101

/* What the lines enclose, doubles and crossings allowed: the outer rings of all their faces
 * together. `loose` counts lines that enclose nothing, `small` what is too small. */
bool aw_rings_enclosed(const aw_strokes *lines, aw_rings *rings, size_t *loose, size_t *small);

/* The ring through some points, the hull of points, rounded to 1 mm and without corners that lie
 * within 5 mm of their neighbours' line. One that crosses itself gives its largest part. Nothing is
 * added of one too small; `small` counts it. */
bool aw_rings_add(aw_rings *rings, const aw_point at[], size_t n, size_t *small);
bool aw_rings_add_hull(aw_rings *rings, const aw_point at[], size_t n, size_t *small);

/* The floor that walls enclose, along the inner faces of the outer ones. `gap` gets the widest
 * opening that was closed for it, `is_hull` whether nothing was enclosed. More than
 * AW_OUTLINE_WALLS are not looked at: the hull stands then. */
#define AW_OUTLINE_WALLS 5000
bool aw_rings_add_outline(aw_rings *rings, const aw_strokes *walls, double *gap, bool *is_hull);

#endif
