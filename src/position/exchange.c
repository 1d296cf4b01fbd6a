/* Determinants of W J in place of J save a division: C = W (W J)^-1, and q^2 / (1 + q^2) with q a
 * quotient takes one division in all. */
#include <stddef.h>

#include "anchorwise/exchange.h"

#define JOIN(a, b)  a##b
#define NAME(level) JOIN(aw_exchange_, level)
#define CELLS       AW_EXCHANGE_CELLS
#define PARTS       16
/* Keeps 0 / 0 away where a cell has no anchor at all. */
#define LEAST 1e-30f

void NAME(AW_LEVEL)(aw_fix_kind dims, const float left[], const float more[], size_t n,
                    const float flat[], const float tall[], float score[]);

/* q as a numerator and a denominator that is not negative. */
static inline float figure(float above, float below)
{
    const float a = above * above, b = below > 0 ? below * below : 0;
    return a / (a + b + LEAST);
}

/* Sums in one order whatever the width of the vectors. */
static inline float sum_of(const float value[CELLS])
{
    float part[PARTS], sum = 0;
    for (int l = 0; l < PARTS; l++)
        part[l] = value[l] + value[PARTS + l] + (value[2 * PARTS + l] + value[3 * PARTS + l]);
    for (int l = 0; l < PARTS; l++)
        sum += part[l];
    return sum;
}

static void score_flat(const float left[], const float more[], size_t n, const float flat[],
                       float score[])
{
    for (size_t k = 0; k < n; k++) {
        const float *m = more + k * 6 * CELLS;
        float value[CELLS];
        for (int l = 0; l < CELLS; l++) {
            const float w = left[l] + m[l];
            const float x = left[CELLS + l] + m[CELLS + l];
            const float y = left[2 * CELLS + l] + m[2 * CELLS + l];
            const float xx = w * (left[3 * CELLS + l] + m[3 * CELLS + l]) - x * x;
            const float xy = w * (left[4 * CELLS + l] + m[4 * CELLS + l]) - x * y;
            const float yy = w * (left[5 * CELLS + l] + m[5 * CELLS + l]) - y * y;
            value[l] = figure(flat[l] * w * (xx + yy), xx * yy - xy * xy);
        }
        score[k] = sum_of(value);
    }
}

static void score_solid(const float left[], const float more[], size_t n, const float flat[],
                        const float tall[], float score[])
{
    for (size_t k = 0; k < n; k++) {
        const float *m = more + k * 10 * CELLS;
        float value[CELLS];
        for (int l = 0; l < CELLS; l++) {
            const float w = left[l] + m[l];
            const float x = left[CELLS + l] + m[CELLS + l];
            const float y = left[2 * CELLS + l] + m[2 * CELLS + l];
            const float z = left[6 * CELLS + l] + m[6 * CELLS + l];
            const float xx = w * (left[3 * CELLS + l] + m[3 * CELLS + l]) - x * x;
            const float xy = w * (left[4 * CELLS + l] + m[4 * CELLS + l]) - x * y;
            const float yy = w * (left[5 * CELLS + l] + m[5 * CELLS + l]) - y * y;
            const float xz = w * (left[7 * CELLS + l] + m[7 * CELLS + l]) - x * z;
            const float yz = w * (left[8 * CELLS + l] + m[8 * CELLS + l]) - y * z;
            const float zz = w * (left[9 * CELLS + l] + m[9 * CELLS + l]) - z * z;
            const float in_x = yy * zz - yz * yz, in_y = xx * zz - xz * xz;
            const float in_z = xx * yy - xy * xy;
            const float det = xx * in_x - xy * (xy * zz - yz * xz) + xz * (xy * yz - yy * xz);
            value[l] = figure(w * (flat[l] * (in_x + in_y) + tall[l] * in_z), det);
        }
        score[k] = sum_of(value);
    }
}

void NAME(AW_LEVEL)(aw_fix_kind dims, const float left[], const float more[], size_t n,
                    const float flat[], const float tall[], float score[])
{
    if (dims == AW_FIX_2D)
        score_flat(left, more, n, flat, score);
    else
        score_solid(left, more, n, flat, tall, score);
}
