/* The price that no layout of the candidates can be under. */
#ifndef AW_PLACE_LOWER_BOUND_H
#define AW_PLACE_LOWER_BOUND_H

#include "place/tangent.h"

typedef struct aw_lower_bound {
    double price; /* infinity: no layout at all can meet the needs; never above the true least */
    size_t nodes; /* branched on */
} aw_lower_bound;

typedef struct aw_lower_bound_plan {
    const aw_views *views;
    double slack; /* as in aw_demands_list() */
    bool sturdy;
    double known; /* price of a layout that is known to do; infinity: none is */
    double worth; /* where the linear program over shares stays under this price, branching would
                     not make enough of it and is left out; 0: never */
    bool whole;   /* prices are whole numbers, so the bound is rounded up */
} aw_lower_bound_plan;

/* Fills it, by linear programs over shares of candidates cut by tangents, and branching, both
 * limited by the links and numbers looked at. False if stopped or without memory (the price is then
 * a bound still). */
bool aw_lower_bound_find(aw_lower_bound *least, const aw_lower_bound_plan *plan, const aw_run *run);

#endif
