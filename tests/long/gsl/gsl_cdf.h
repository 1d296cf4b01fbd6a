/* The normal law as the radio takes it from GSL, for a processor without that library. */
#ifndef AW_LONG_GSL_CDF_H
#define AW_LONG_GSL_CDF_H

#include <math.h>

static inline double gsl_cdf_ugaussian_P(double x)
{
    return erfc(-x * 0.70710678118654752) / 2;
}

static inline double gsl_cdf_ugaussian_Q(double x)
{
    return erfc(x * 0.70710678118654752) / 2;
}

static inline double gsl_cdf_ugaussian_Pinv(double share)
{
    double low = -9, high = 9;
    for (int i = 0; i < 80; i++) {
        const double middle = (low + high) / 2;
        if (gsl_cdf_ugaussian_P(middle) < share)
            low = middle;
        else
            high = middle;
    }
    return (low + high) / 2;
}

#endif
