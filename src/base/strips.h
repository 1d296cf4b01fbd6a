/* The edges of a polygon sorted into level strips, so that a question about a place looks only at
 * the edges that reach its height. Edge i goes from corner i to the next. */
#ifndef AW_BASE_STRIPS_H
#define AW_BASE_STRIPS_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/plane.h"

typedef struct aw_strips {
    const aw_polygon *polygon;
    size_t n;             /* strips */
    double height;        /* of a strip, m */
    size_t *first, *edge; /* the edges of strip s are edge[first[s]] ... edge[first[s + 1] - 1] */
    size_t *asked, asks;  /* the last ask in which an edge was found, and how many there were */
} aw_strips;

/* False without memory. The polygon must outlive the strips. Memory and time grow as its corners
 * do. */
bool aw_strips_make(aw_strips *strips, const aw_polygon *polygon);
void aw_strips_free(aw_strips *strips);

/* Every edge that reaches a height in [low, high], and some more, each once; room in edges[] for
 * all. Returns how many. */
size_t aw_strips_between(aw_strips *strips, double low, double high, size_t edges[]);

#endif
