/* Order statistics without sorting: count how many values lie below a guess, narrow, repeat, and
 * pick from the few that are left. Guesses only decide how soon; the answer is exact. */
#include "position/trials.h"

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

/* So many candidates are picked from at once. */
#define FEW 12
/* Ranks that a guess aims past the one sought. */
#define ASIDE 3.5

/* The answer lies in (low, high], in the order of the bits, which for floats that are not negative
 * is that of the values; `below` values are at most low, `upto` at most high. */
typedef struct bracket {
    int64_t low, high;
    size_t below, upto;
} bracket;

static double value_of(int64_t bits)
{
    return bits < 0 ? 0 : (double)float_of((uint32_t)bits);
}

/* Errors are nearly Rayleigh: their squares grow with -ln of the share beyond. The guess aims a few
 * ranks past the one sought, on the side that is further from it, so that both ends close in; late
 * ones halve the bits instead now and then, so that no data can keep it going. */
static int64_t guess(const bracket *b, size_t n, size_t rank, int pass)
{
    const int64_t half = b->low + (b->high - b->low) / 2;
    if (pass > 6 && pass % 2 == 0)
        return half;
    const bool far_below = rank - b->below > b->upto - rank;
    const double aim = far_below ? (double)rank - ASIDE : (double)rank + ASIDE;
    const double beyond = (double)n + 1, target = log(beyond - aim);
    const double from = log(beyond - (double)b->below), to = log(beyond - (double)b->upto);
    const double low2 = value_of(b->low) * value_of(b->low);
    const double high2 = value_of(b->high) * value_of(b->high);
    const double square = low2 + (from - target) / (from - to) * (high2 - low2);
    if (!(square >= low2 && square <= high2))
        return half;
    const int64_t bits = (int64_t)bits_of((float)sqrt(square));
    return bits <= b->low ? b->low + 1 : bits >= b->high ? b->high - 1 : bits;
}

/* Picks among the values in the bracket, of which there are at most FEW. */
static double pick(const aw_kernel *kernel, const float values[], size_t padded, const bracket *b,
                   size_t rank)
{
    float few[FEW];
    const float low = b->low < 0 ? -1 : float_of((uint32_t)b->low);
    const size_t n = kernel->gather(values, padded, low, float_of((uint32_t)b->high), FEW, few);
    for (size_t i = 1; i < n; i++) {
        const float moved = few[i];
        size_t at = i;
        for (; at > 0 && few[at - 1] > moved; at--)
            few[at] = few[at - 1];
        few[at] = moved;
    }
    return (double)few[rank - b->below - 1];
}

double aw_rank_value(const float values[], size_t n, size_t rank)
{
    const aw_kernel *kernel = aw_kernel_best();
    const size_t padded = (n + 15) / 16 * 16;
    const float largest = kernel->largest(values, padded);
    const size_t finite = kernel->count(values, padded, largest);
    if (n == 0 || rank > finite)
        return (double)NAN;
    bracket b = {-1, (int64_t)bits_of(largest), 0, finite};
    for (int pass = 0; b.high - b.low > 1 && b.upto - b.below > FEW; pass++) {
        const int64_t middle = guess(&b, n, rank, pass);
        const size_t counted = kernel->count(values, padded, float_of((uint32_t)middle));
        if (counted >= rank) {
            b.high = middle;
            b.upto = counted;
        } else {
            b.low = middle;
            b.below = counted;
        }
    }
    return b.high - b.low > 1 ? pick(kernel, values, padded, &b, rank)
                              : (double)float_of((uint32_t)b.high);
}

/* K of n draws lie below the percentile, K binomial: rank l misses it if K < l, rank h if K >= h,
 * and each may with at most 2.5 % chance. The search goes outward from the median of K, which is
 * the whole number below or above q n. */
void aw_rank_interval(size_t n, double q, size_t ranks[2])
{
    const unsigned int draws = (unsigned int)n;
    const unsigned int median = (unsigned int)(q * (double)n);
    unsigned int low = median < draws ? median + 1 : draws, high = median > 0 ? median : 1;
    while (low > 0 && gsl_cdf_binomial_P(low - 1, q, draws) > 0.025)
        low--;
    while (high <= draws && gsl_cdf_binomial_Q(high - 1, q, draws) > 0.025)
        high++;
    ranks[0] = low;
    ranks[1] = high;
}
