#include "anchorwise/states.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

/* Fades beyond so many sigmas are never met. */
#define MOST 5

/* splitmix64 (Steele, Lea, Flood, OOPSLA 2014). */
static uint64_t next(uint64_t *state)
{
    uint64_t z = (*state += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

void aw_state_fades(uint64_t seed, uint32_t cell, uint32_t key, double fades[AW_LINK_STATES])
{
    uint64_t state = seed;
    state = next(&state) ^ ((uint64_t)cell << 32 | key);
    for (size_t i = 0; i < AW_LINK_STATES; i++) {
        const double inside = ((double)(next(&state) >> 11) + 0.5) * 0x1p-53;
        fades[i] = gsl_cdf_ugaussian_Pinv(((double)i + inside) / AW_LINK_STATES);
    }
    for (size_t i = AW_LINK_STATES - 1; i > 0; i--) {
        const size_t k = (size_t)((next(&state) >> 32) * (i + 1) >> 32);
        const double own = fades[i];
        fades[i] = fades[k];
        fades[k] = own;
    }
}

bool aw_link_varies(const aw_link *link)
{
    const double most = MOST * link->fade_sigma;
    if (link->n_outcomes == 0 || link->fade_sigma == 0)
        return false;
    bool varies = link->lost_db < most;
    for (size_t k = 1; k < link->n_outcomes; k++)
        varies = varies || fabs(link->outcomes[k].fade_db) < most;
    return varies;
}

aw_link aw_link_at_fade(const aw_link *link, double sigmas)
{
    const double fade = sigmas * link->fade_sigma;
    aw_link still = *link;
    size_t k = 0;
    while (k + 1 < link->n_outcomes && link->outcomes[k + 1].fade_db <= fade)
        k++;
    still.fade_sigma = 0;
    still.lost_db = INFINITY;
    still.n_outcomes = link->n_outcomes > 0 && fade <= link->lost_db;
    still.outcomes[0] = link->outcomes[k];
    still.outcomes[0].fade_db = -INFINITY;
    return still;
}
