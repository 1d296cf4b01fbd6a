/** @file
 *  Linear estimates of one place under many losses: the spreads of its cells, from one pass over
 * the links of each cell and rank-one updates; under a radio in each of a fixed set of states of
 * the links. */
#ifndef AW_ASSESS_INSTANT_H
#define AW_ASSESS_INSTANT_H

#include "anchorwise/assess.h"
#include "position/error_law_batch.h"
#include "position/states.h"

typedef struct aw_instant_plan {
    const aw_scenario *scenario;
    const aw_scene *scene; /* of the scenario */
    const aw_grid *grid;
    size_t tag;
    bool vertical; /* the laws are those of the height's error, flat ellipses along it */
    const aw_loss *losses;
    size_t n_losses;
} aw_instant_plan;

/* The law of the height's error, of one dimension, as an ellipse without width. */
aw_expected aw_expected_height(const aw_expected *expected);

/* Whether any of n links comes and goes. */
bool aw_any_link_varies(const aw_link links[], size_t n);
/* Every anchor in a cell's states. */
void aw_instant_draws(const aw_scenario *scenario, uint32_t cell,
                      aw_link_state_draw draws[][AW_MOST_STATES]);

/* Losses whose spreads are held at a time. */
size_t aw_instant_batch(const aw_scenario *scenario, size_t cells);

/* Fills spreads[i], made for the grid's cells and those states, for losses [from, from + n) of the
 * plan; the watch gets one unit for each cell and loss. False if stopped or without memory. */
bool aw_instant_run(aw_error_laws spreads[], const aw_instant_plan *plan, size_t from, size_t n,
                    const aw_run *run);

#endif
