/* A first layout of a rectangular hall, and its text. */
#ifndef AW_PLACE_FIRST_LAYOUT_H
#define AW_PLACE_FIRST_LAYOUT_H

#include <stddef.h>

#include "anchorwise/first_scenario.h"

#define AW_FIRST_MOST_ANCHORS 1000
/* Longest usable distance that is assumed, m: what a scenario has that gives none. */
#define AW_FIRST_REACH 40.0

/* Lengths in m, whatever the units of the hall. */
typedef struct aw_first_layout {
    double length, width, height; /* of the hall */
    size_t nx, ny;                /* anchors along a wall, its corners included */
    double at[AW_FIRST_MOST_ANCHORS][3];
    size_t n, n_inside; /* those inside stand last */
    double margin;      /* between the walls and the work area */
    double step;
} aw_first_layout;

/* Lays anchors at most `spacing` (m) apart along x and along y. False if those are too many. */
bool aw_first_layout_lay(aw_first_layout *layout, const aw_hall *hall, double spacing);

/* The closest spacing worth trying. */
double aw_first_closest(const aw_hall *hall);

/* The layout with the least p95 of those tried, where none is well within the need. */
typedef struct aw_first_best {
    size_t anchors; /* 0: nothing is told */
    double p95;     /* linear estimate, m */
} aw_first_best;

/* Adds the whole scenario. */
void aw_first_text_add(aw_text *out, const aw_hall *hall, const aw_first_layout *layout,
                       aw_first_best best);

#endif
