/* Causes of a spot's error, taken away one by one and together. */
#ifndef AW_WHATIF_CAUSES_H
#define AW_WHATIF_CAUSES_H

#include "anchorwise/explain.h"
#include "whatif/spot_trials.h"

/* Fills causes and what is left without any. False if stopped (no complaint) or without memory (an
 * error). */
bool aw_causes_run(aw_explanation *explanation, const aw_trial_spot *spot, const aw_run *run);

#endif
