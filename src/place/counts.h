/* For each number of anchors the layout of candidates that comes nearest to what is asked.
 *
 * A layout's score in a zone is the largest of found / asked (lengths) and (1 - found) / (1 -
 * asked) (shares) over the parts of the need that stated figures have to meet; infinite without any
 * position. Of two layouts the better one has the smaller largest score of any zone, of equal ones
 * the smaller next to that, and so on. */
#ifndef AW_PLACE_COUNTS_H
#define AW_PLACE_COUNTS_H

#include "place/looks.h"
#include "place/search.h"

typedef struct aw_counts {
    aw_looks *looks;      /* that judge all parts */
    aw_looks few;         /* the same by few draws, which choose */
    aw_scenario scenario; /* with few draws */
    aw_search *search;
    aw_looked *last; /* the layout of the number before; NULL: none */
    double *memory, *own, *other, *level, *linear[2], *sorted[2]; /* of each zone */
    size_t *layout[2];                                            /* room for one each */
} aw_counts;

/* False without memory; aw_counts_free() it either way. */
bool aw_counts_create(aw_counts *counts, aw_looks *looks, aw_search *search);
void aw_counts_free(aw_counts *counts);

/* A zone's score by draws; need as aw_need_of_figures() has it. */
double aw_zone_score(const aw_need *need, const aw_zone_result *result);

/* The largest of a layout that was looked at. */
double aw_counts_score(const aw_counts *counts, const aw_looked *layout);

/* Finds the layout of n anchors, into `last`: from that of n - 1, if `last` is one, and from a
 * greedy start, by linear estimates with what its draws taught, then by draws with the study's
 * seed. Its score is no larger than that of n - 1, unless no such layout was found. False if
 * stopped or in trouble (an error). */
bool aw_counts_next(aw_counts *counts, size_t n);

#endif
