/* Draws at one spot with any links: the one way the explanations get a figure. */
#ifndef AW_WHATIF_SPOT_TRIALS_H
#define AW_WHATIF_SPOT_TRIALS_H

#include "anchorwise/assess.h"
#include "base/workers.h"
#include "map/spot.h"

/* p95 of the last run, which was of this case, with its interval; NaN where it falls among failed
 * draws. */
aw_estimate aw_spot_trials_p95(const aw_trials *trials, const aw_draws *draws,
                               const aw_trials_case *c);

/* Links and draws for each thread to itself. */
typedef struct aw_trial_worker {
    aw_link *links;
    aw_trials *trials;
} aw_trial_worker;

/* Room for so many links and draws in each thread. False without memory; aw_workers_free() it
 * either way. */
bool aw_trial_workers_create(aw_workers *workers, const aw_run *run, size_t n_links, size_t draws);

#endif
