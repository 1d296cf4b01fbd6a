/** @file effort.h
 *  What an assessment will cost, before it is run: processor time and memory.
 *
 *  Some cells of the floor are drawn, in runs of neighbours over all of it, and timed on the clock
 * of the thread; the time of a cell and of each more of its draws goes up to the cells of floor and
 *  zones, their odds, and the draws that confirm the worst cell. Zones are taken to cost per cell
 *  what the floor does. Good to a factor of two or so. */
#ifndef ANCHORWISE_EFFORT_H
#define ANCHORWISE_EFFORT_H

#include "anchorwise/error.h"
#include "anchorwise/scenario.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

typedef struct aw_effort {
    double seconds;  /**< of one processor, for aw_assess_run() of all */
    double bytes;    /**< of memory at its most, what the process holds already included */
    double per_draw; /**< seconds of a draw of a cell, with its share of what a cell takes */
} aw_effort;

/** No less than the processor seconds of a draw of a cell, from a few cells of the floor: quick,
 * and good to tell what is short for sure. 0 if there is no cell or no memory. */
double aw_effort_glance(const aw_scenario *scenario);

/** Takes about 0.2 s of the calling thread, more where a few cells do. False without memory
 * (an error). */
bool aw_effort_measure(aw_effort *effort, const aw_scenario *scenario, unsigned threads,
                       aw_errors *errors);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
