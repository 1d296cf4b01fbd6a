/* What would mend a spot: a shortlist by linear estimates, a choice by draws, a figure by others.
 */
#ifndef AW_WHATIF_REMEDIES_H
#define AW_WHATIF_REMEDIES_H

#include "anchorwise/explain.h"
#include "whatif/spot_trials.h"

/* Fills the remedies, best first, and what they do to the zones. False if stopped (no complaint) or
 * without memory (an error). */
bool aw_remedies_run(aw_explanation *explanation, const aw_trial_spot *spot, const aw_scene *scene,
                     const aw_run *run);

#endif
