#include "radio/scatter.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

#define NONE  0.11 /* share of spots where X is 0 */
#define MU    (-1.456)
#define SIGMA 1.107
#define MOST  4.0 /* m */

double aw_scatter_quantile(double share)
{
    if (share <= NONE)
        return 0;
    const double z = gsl_cdf_ugaussian_Pinv((share - NONE) / (1 - NONE));
    return fmin(exp(MU + SIGMA * z), MOST);
}

double aw_scatter_share(double most)
{
    if (most < 0)
        return 0;
    if (most >= MOST)
        return 1;
    const double z = most > 0 ? (log(most) - MU) / SIGMA : -HUGE_VAL;
    return NONE + (1 - NONE) * gsl_cdf_ugaussian_P(z);
}

/* The part of a lognormal mean up to a limit, and the limit for what is above it. */
double aw_scatter_mean(double most)
{
    const double limit = fmin(most, MOST);
    if (!(limit > 0))
        return 0;
    const double z = (log(limit) - MU) / SIGMA;
    const double below = exp(MU + SIGMA * SIGMA / 2) * gsl_cdf_ugaussian_P(z - SIGMA);
    return (1 - NONE) * (below + limit * gsl_cdf_ugaussian_Q(z));
}

double aw_scatter_first(double least, double excess)
{
    if (excess <= least)
        return excess;
    return least + aw_scatter_mean(excess) - aw_scatter_mean(least);
}

void aw_scatter_table(float table[AW_SCATTER_STEPS + 1])
{
    for (int i = 0; i < AW_SCATTER_STEPS; i++)
        table[i] = (float)aw_scatter_quantile((double)i / AW_SCATTER_STEPS);
    table[AW_SCATTER_STEPS] = (float)MOST;
}
