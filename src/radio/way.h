/* Shortest ways round bodies: taut threads over their edges, over, under and beside them and any
 * mix of these, in the order of their length. */
#ifndef AW_RADIO_WAY_H
#define AW_RADIO_WAY_H

#include "radio/radio_scene.h"

/* Most edges that a way touches. */
#define AW_BENDS 6
/* Most bodies of one leg that are told apart. */
#define AW_MET 16
/* Most bodies that let something through and are gone round all the same. */
#define AW_SHUNNED 4

typedef struct aw_way {
    size_t n;
    const aw_edge *edge[AW_BENDS];
    double t[AW_BENDS];         /* where on its edge the way touches it, m */
    double at[AW_BENDS + 2][3]; /* spot, points on the edges, anchor */
    double length;              /* m */
} aw_way;

/* What ways keep clear of: opaque bodies, the ground round pits, and those listed. */
typedef struct aw_barriers {
    const aw_scene *scene;
    uint32_t shunned[AW_SHUNNED];
    size_t n;
} aw_barriers;

/* What a segment runs into. */
typedef struct aw_met {
    uint32_t body[AW_MET]; /* number; of the ground round a level n_bodies and the level's */
    size_t n;              /* the one with the longest part of the segment first */
} aw_met;

/* False if the segment a-b is free. */
bool aw_barriers_meet(const aw_barriers *barriers, const double a[3], const double b[3],
                      aw_met *met);

/* The shortest way over a sequence of n edges, 2 to AW_BENDS, bodies left alone; way->edge,
 * way->at[0] and way->at[n + 1] are set, way->t[] hold a first guess. */
void aw_way_tighten(aw_way *way);

/* Called with free ways in the order of their length, the straight line not among them; returns how
 * long the next may be, m: less than this one ends the search. */
typedef double aw_way_taker(void *context, const aw_way *way);

/* Looks for ways from a to b of at most `longest` m. A way that nothing like it was found of may be
 * missed where many bodies stand: after 128 sequences of edges the search ends. Exact: tautness to
 * 0.1 um, length to 1 um. Best first: without bodies a sequence is no longer than any that holds
 * it. */
void aw_ways_find(const aw_barriers *barriers, const double a[3], const double b[3], double longest,
                  aw_way_taker *take, void *context);

/* A point of a way moved 0.1 mm away from the body it bends round: legs between such points run
 * along faces without touching them. */
void aw_way_aside(const aw_way *way, size_t point, double at[3]);

#endif
