/* The price that no layout of the candidates can be under. */
#ifndef AW_PLACE_LOWER_BOUND_H
#define AW_PLACE_LOWER_BOUND_H

#include "place/tangent.h"

#define AW_MOST_HINTS 4

typedef struct aw_lower_bound {
    double price; /* infinity: no layout at all can meet the needs; never above the true least */
    size_t nodes; /* branched on */
    /* Layouts that the relaxed needs let pass; where a search may start. */
    size_t *hints[AW_MOST_HINTS], n_in_hint[AW_MOST_HINTS], n_hints;
} aw_lower_bound;

/* Fills it, by linear programs over shares of candidates cut by tangents, and branching, which is
 * limited by nodes. `known` is the price of a layout that is known to do, infinity if none is;
 * `whole`: prices are whole numbers, so the bound is rounded up. `slack` as in aw_demands_list().
 * False if stopped or without memory (the price is then a bound still); aw_lower_bound_free() it
 * either way. */
bool aw_lower_bound_find(aw_lower_bound *least, const aw_views *views, double slack, bool sturdy,
                         double known, bool whole, unsigned threads, aw_watch *watch);
void aw_lower_bound_free(aw_lower_bound *least);

#endif
