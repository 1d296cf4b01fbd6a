/* Draws at one spot with any links: the one way the explanations get a figure. */
#ifndef AW_STUDY_DRAW_H
#define AW_STUDY_DRAW_H

#include "anchorwise/assess.h"
#include "anchorwise/trials.h"

/* A spot whose links are given or varied. */
typedef struct aw_drawn_spot {
    const aw_scenario *scenario;
    size_t tag;
    double at[3];
    uint32_t cell; /* names its random numbers */
} aw_drawn_spot;

/* The case of drawing it with n links, draws [first, first + n_draws). `bound` is filled and must
 * stay while the draws are run. */
aw_trials_case aw_draw_case(const aw_drawn_spot *spot, const aw_link links[], size_t n,
                            double height_sigma, uint32_t first, uint32_t n_draws, aw_bound *bound);

/* p95 of the last run with its interval; NaN where it falls among failed draws. */
aw_estimate aw_drawn_p95(const aw_trials *trials);

#endif
