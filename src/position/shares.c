/* Across the minor axis the density is a plain normal, along the major one the share inside the
 * circle is a difference of two normal integrals: one quadrature across the minor axis, the same
 * nodes for all cells, so that cells go side by side through the same operations. */
#include "position/kernel.h"

#include <math.h>
#include <string.h>

#define HALF 12
/* Beyond so many sigmas a normal density is nothing. */
#define REACH 5.5f

#define JOIN(a, b)  a##b
#define NAME(level) JOIN(aw_shares_, level)
void NAME(AW_LEVEL)(const aw_lane_laws *laws, const float radius[AW_LANES], float out[AW_LANES]);

/* Gauss-Legendre nodes s of order 24 mapped by t = s (3 - s^2) / 2, which takes away the square
 * root at the rim of the circle; weights times dt/ds. The other half mirrors these. */
static const float node[HALF] = {0.095953917f, 0.28318786f, 0.45692973f, 0.60987532f,
                                 0.73700497f,  0.83603259f, 0.90747226f, 0.95431698f,
                                 0.98138055f,  0.99440254f, 0.9990501f,  0.99996531f};
static const float weight[HALF] = {0.19111984f,  0.1818616f,    0.16439167f,  0.14065527f,
                                   0.11322188f,  0.084924511f,  0.058464879f, 0.036042103f,
                                   0.019058641f, 0.0079460866f, 0.002135756f, 0.00017775808f};

/* fmaxf and fminf keep loops from going side by side. */
static inline float larger(float a, float b)
{
    return a > b ? a : b;
}

static inline float smaller(float a, float b)
{
    return a < b ? a : b;
}

/* e^x for x <= 0: 2^n times a polynomial good to 1e-7 of itself (own fit). */
static inline float exponential(float x)
{
    const float y = larger(x, -80.0f) * 1.44269504f;
    const float whole = y + 12582912.0f - 12582912.0f;
    const float t = y - whole;
    float p = t * 0.00134004322f + 0.0096760371f;
    p = p * t + 0.0555032721f;
    p = p * t + 0.240221074f;
    p = p * t + 0.693147207f;
    p = p * t + 1.00000008f;
    const int32_t bits = ((int32_t)whole + 127) << 23;
    float power;
    memcpy(&power, &bits, sizeof power);
    return p * power;
}

/* Hastings' polynomial of t = 1 / (1 + 0.3275911 x), times e^(-x^2): twice the normal integral
 * beyond x sqrt(2), within 2e-7: Abramowitz and Stegun 1964, 7.1.26. */
static inline float tail_of(float x, float t)
{
    float p = t * 1.061405429f - 1.453152027f;
    p = p * t + 1.421413741f;
    p = p * t - 0.284496736f;
    p = p * t + 0.254829592f;
    return p * t * exponential(-x * x);
}

/* The normal integral from a to b, in units of sqrt(2) sigma. One division serves both ends. */
static inline float normal_between(float a, float b)
{
    const float x = fabsf(a), y = fabsf(b);
    const float p = 1 + 0.3275911f * x, q = 1 + 0.3275911f * y, both = 1 / (p * q);
    const float below = tail_of(x, q * both), above = tail_of(y, p * both);
    return 0.5f * ((b > 0 ? 2 - above : above) - (a > 0 ? 2 - below : below));
}

void NAME(AW_LEVEL)(const aw_lane_laws *laws, const float radius[AW_LANES], float out[AW_LANES])
{
    const float *along = laws->along, *across = laws->across;
    const float *major = laws->major, *minor = laws->minor;
    float middle[AW_LANES], half[AW_LANES], narrow[AW_LANES], wide[AW_LANES];
    for (int l = 0; l < AW_LANES; l++) {
        const float low = larger(-radius[l], across[l] - REACH * minor[l]);
        const float high = smaller(radius[l], across[l] + REACH * minor[l]);
        middle[l] = (low + high) * 0.5f;
        half[l] = larger(high - low, 0) * 0.5f;
        narrow[l] = 1 / minor[l];
        wide[l] = 0.70710678f / major[l];
        out[l] = 0;
    }
    for (int k = 0; k < 2 * HALF; k++) {
        const float t = k < HALF ? node[k] : -node[k - HALF];
        const float w = weight[k < HALF ? k : k - HALF];
        for (int l = 0; l < AW_LANES; l++) {
            const float x = middle[l] + half[l] * t, v = (x - across[l]) * narrow[l];
            const float chord = sqrtf(larger(radius[l] * radius[l] - x * x, 0));
            const float inside =
                normal_between((-chord - along[l]) * wide[l], (chord - along[l]) * wide[l]);
            out[l] += w * exponential(-0.5f * v * v) * inside;
        }
    }
    for (int l = 0; l < AW_LANES; l++)
        out[l] = smaller(1, out[l] * half[l] * narrow[l] * 0.39894228f);
}
