/* Draws at one spot with any links: the one way the explanations get a figure. */
#ifndef AW_WHATIF_SPOT_TRIALS_H
#define AW_WHATIF_SPOT_TRIALS_H

#include "anchorwise/assess.h"
#include "base/workers.h"
#include "position/trials.h"

/* A spot whose links are given or varied. */
typedef struct aw_trial_spot {
    const aw_scenario *scenario;
    size_t tag;
    double at[3];
    uint32_t cell; /* names its random numbers */
} aw_trial_spot;

/* The case of drawing it with n links, draws [first, first + n_draws). `bound` is filled and must
 * stay while the draws are run. */
aw_trials_case aw_spot_trials_case(const aw_trial_spot *spot, const aw_link links[], size_t n,
                                   double height_sigma, uint32_t first, uint32_t n_draws,
                                   aw_bound *bound);

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
