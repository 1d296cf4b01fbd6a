/* Determinants of W J in place of J save a division: C = W (W J)^-1, and q^2 / (1 + q^2) with q a
 * quotient takes one division in all. */
#include "position/exchange.h"

#include <stddef.h>

#include "position/lanes.h"

#define JOIN(a, b)  a##b
#define NAME(level) JOIN(aw_exchange_, level)
#define CELLS       AW_EXCHANGE_CELLS
#define PARTS       16
/* Layouts that pass together. */
#define MOST   32
#define INLINE static inline __attribute__((always_inline))
/* Keeps 0 / 0 away where a cell has no anchor at all. */
#define LEAST 1e-30f

void NAME(AW_LEVEL)(aw_fix_kind dims, const float left[], const float more[], size_t n,
                    const aw_exchange_need *need, float score[]);

/* q as a numerator and a denominator that is not negative. */
static inline vf figure(vf above, vf below)
{
    const vf b = pick(below > 0.0f, below, spread(0)), a = above * above;
    return a / (a + b * b + LEAST);
}

/* Sums of some cells side by side, all that the layouts have in common. */
typedef struct strip {
    vf sum[10], flat, tall;
} strip;

INLINE strip strip_at(const float left[], const aw_exchange_need *need, size_t l, const int planes)
{
    strip s = {.flat = load(need->flat + l)};
    for (int k = 0; k < planes; k++)
        s.sum[k] = load(left + k * CELLS + l);
    if (planes == 10)
        s.tall = load(need->tall + l);
    return s;
}

INLINE vf score_flat(const strip *s, const float *m)
{
    const vf w = s->sum[0] + load(m);
    const vf x = s->sum[1] + load(m + CELLS), y = s->sum[2] + load(m + 2 * CELLS);
    const vf xx = w * (s->sum[3] + load(m + 3 * CELLS)) - x * x;
    const vf xy = w * (s->sum[4] + load(m + 4 * CELLS)) - x * y;
    const vf yy = w * (s->sum[5] + load(m + 5 * CELLS)) - y * y;
    return figure(s->flat * w * (xx + yy), xx * yy - xy * xy);
}

INLINE vf score_solid(const strip *s, const float *m)
{
    const vf w = s->sum[0] + load(m), x = s->sum[1] + load(m + CELLS);
    const vf y = s->sum[2] + load(m + 2 * CELLS), z = s->sum[6] + load(m + 6 * CELLS);
    const vf xx = w * (s->sum[3] + load(m + 3 * CELLS)) - x * x;
    const vf xy = w * (s->sum[4] + load(m + 4 * CELLS)) - x * y;
    const vf yy = w * (s->sum[5] + load(m + 5 * CELLS)) - y * y;
    const vf xz = w * (s->sum[7] + load(m + 7 * CELLS)) - x * z;
    const vf yz = w * (s->sum[8] + load(m + 8 * CELLS)) - y * z;
    const vf zz = w * (s->sum[9] + load(m + 9 * CELLS)) - z * z;
    const vf in_x = yy * zz - yz * yz, in_y = xx * zz - xz * xz, in_z = xx * yy - xy * xy;
    const vf det = xx * in_x - xy * (xy * zz - yz * xz) + xz * (xy * yz - yy * xz);
    return figure(w * (s->flat * (in_x + in_y) + s->tall * in_z), det);
}

INLINE vf score_strip(const strip *s, const float *m, const int planes)
{
    return planes == 10 ? score_solid(s, m) : score_flat(s, m);
}

/* One strip of cells at a time stays in registers while the layouts pass. Sums go in one order
 * whatever the width of the vectors: those of both halves of the block, then those of its parts. */
INLINE void score_some(const float left[], const float more[], size_t n,
                       const aw_exchange_need *need, float score[], const int planes)
{
    float part[MOST][2][PARTS];
    for (size_t l = 0; l < CELLS; l += W) {
        const strip s = strip_at(left, need, l, planes);
        const size_t half = l / (CELLS / 2), at = l % PARTS;
        const bool first = l % (CELLS / 2) < PARTS;
        for (size_t k = 0; k < n; k++) {
            const vf own = score_strip(&s, more + k * (size_t)planes * CELLS + l, planes);
            float *to = part[k][half] + at;
            store(to, first ? own : load(to) + own);
        }
    }
    for (size_t k = 0; k < n; k++) {
        score[k] = 0;
        for (int l = 0; l < PARTS; l++)
            score[k] += part[k][0][l] + part[k][1][l];
    }
}

void NAME(AW_LEVEL)(aw_fix_kind dims, const float left[], const float more[], size_t n,
                    const aw_exchange_need *need, float score[])
{
    for (size_t k = 0; k < n; k += MOST) {
        const size_t some = n - k < MOST ? n - k : MOST;
        if (dims == AW_FIX_2D)
            score_some(left, more + k * 6 * CELLS, some, need, score + k, 6);
        else
            score_some(left, more + k * 10 * CELLS, some, need, score + k, 10);
    }
}
