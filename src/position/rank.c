/* Order statistics without sorting: count how many values lie below a guess, narrow, repeat. */
#include "anchorwise/trials.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "position/kernel.h"

static uint32_t bits_of(float x)
{
    uint32_t bits;
    memcpy(&bits, &x, sizeof bits);
    return bits;
}

static float float_of(uint32_t bits)
{
    float x;
    memcpy(&x, &bits, sizeof x);
    return x;
}

/* Floats that are not negative are in the order of their bits. Each pass guesses as if the values
 * were spread evenly between the ends, every third one halves the bits instead. */
double aw_rank_value(const float values[], size_t n, size_t rank)
{
    const aw_kernel *kernel = aw_kernel_best();
    const size_t padded = (n + 15) / 16 * 16;
    float largest = 0;
    for (size_t i = 0; i < n; i++)
        if (isfinite(values[i]) && values[i] > largest)
            largest = values[i];
    size_t below = 0, upto = kernel->count(values, padded, largest);
    if (n == 0 || rank > upto)
        return (double)NAN;
    /* The answer lies in (low, high]; `below` values are at most low. */
    int64_t low = -1, high = (int64_t)bits_of(largest);
    for (int pass = 0; high - low > 1; pass++) {
        int64_t middle = low + (high - low) / 2;
        if (pass % 3 != 2) {
            const double from = low < 0 ? 0 : (double)float_of((uint32_t)low);
            const double to = (double)float_of((uint32_t)high);
            const double share = ((double)(rank - below) - 0.5) / (double)(upto - below);
            const int64_t guess = (int64_t)bits_of((float)(from + share * (to - from)));
            middle = guess <= low ? low + 1 : guess >= high ? high - 1 : guess;
        }
        const size_t counted = kernel->count(values, padded, float_of((uint32_t)middle));
        if (counted >= rank) {
            high = middle;
            upto = counted;
        } else {
            low = middle;
            below = counted;
        }
    }
    return (double)float_of((uint32_t)high);
}

/* Rank l is a lower end if fewer than l of n draws below the percentile has at most 2.5 % chance.
 */
void aw_rank_interval(size_t n, double q, size_t ranks[2])
{
    const unsigned int draws = (unsigned int)n;
    unsigned int low = (unsigned int)(q * (double)n), high = low;
    while (low > 0 && gsl_cdf_binomial_P(low - 1, q, draws) > 0.025)
        low--;
    while (high <= draws && gsl_cdf_binomial_Q(high - 1 + (high == 0), q, draws) > 0.025)
        high++;
    ranks[0] = low;
    ranks[1] = high;
}
