/* What one core could do at most on the bench floor: the operations of a fix, none of which waits
 * for another. The sums over links and the steps are timed so, on vectors that stand in the cache;
 * random numbers, arrivals and statistics are counted in operations, four of which a core ends in a
 * cycle. Compiled for the highest processor level; ends with 77 on a machine below it. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "position/sweep.h"

#define LINKS   8
#define VECTORS (AW_BLOCK / W)
#define AGAIN   2000
#define ROUNDS  20
/* Of a fix of the bench floor: links heard, and sweeps after the shared first step. */
#define MEAN_LINKS  7.88
#define MEAN_SWEEPS 3.56
/* Cycles of a vector of fixes for random words, normals made of them, arrivals, statistics. */
#define COUNTED ((77.0 + 61 + 15 + 20) * W / 16)

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

typedef struct bench {
    _Alignas(64) float late[LINKS * AW_BLOCK];
    _Alignas(64) float x[AW_BLOCK], y[AW_BLOCK];
    float ax[LINKS], ay[LINKS], az[LINKS], straight[LINKS], weight[LINKS];
    sums kept[VECTORS];
} bench;

static const shape plain = {false, true, false, false};
/* What is computed ends up here, so that it is computed. */
static volatile float sink;

static void sum_all(bench *b)
{
    const aw_lane_cell cell = {.n = LINKS,
                               .x = b->ax,
                               .y = b->ay,
                               .z = b->az,
                               .straight = b->straight,
                               .weight = b->weight};
    const aw_lane_block block = {.lanes = AW_BLOCK, .late = b->late, .x = b->x, .y = b->y};
    for (size_t l = 0; l < AW_BLOCK; l += W)
        b->kept[l / W] =
            sum_links(&cell, &block, l, load(b->x + l), load(b->y + l), spread(0), plain);
    sink = b->kept[VECTORS - 1].x[0];
}

static void step_all(bench *b)
{
    vf sum = spread(0);
    for (size_t k = 0; k < VECTORS; k++) {
        const step t = step_from(&b->kept[k], plain);
        sum = sum + t.x + t.y + t.squares + (vf)(t.poor & 1);
    }
    sink = sum[0];
}

/* A sum in which each addition waits for the one before: one cycle each. */
static void wait_often(bench *b)
{
    size_t n = (size_t)b->x[0];
    for (size_t i = 0; i < 1000; i++)
        for (int k = 0; k < 8; k++) {
            n += i;
            __asm__ volatile("" : "+r"(n));
        }
    sink = (float)n;
}

/* Least seconds of one call. */
static double seconds_of(void (*work)(bench *), bench *b)
{
    double least = HUGE_VAL;
    for (int round = 0; round < ROUNDS; round++) {
        const double began = now();
        for (int i = 0; i < AGAIN; i++)
            work(b);
        least = fmin(least, (now() - began) / AGAIN);
    }
    return least;
}

int main(void)
{
#ifdef __AVX512F__
    if (!__builtin_cpu_supports("avx512f"))
        return 77;
#endif
    bench *b = aligned_alloc(64, (sizeof *b + 63) / 64 * 64);
    if (b == NULL)
        return 3;
    for (size_t i = 0; i < LINKS; i++) {
        b->ax[i] = (float)(7 * (i % 3)) - 8;
        b->ay[i] = (float)(5 * (i / 3)) - 6;
        b->az[i] = 4;
        b->straight[i] = sqrtf(b->ax[i] * b->ax[i] + b->ay[i] * b->ay[i] + 16);
        b->weight[i] = 1;
    }
    for (size_t l = 0; l < AW_BLOCK; l++) {
        b->x[l] = 0.001f * (float)(l % 17);
        b->y[l] = 0.001f * (float)(l % 13);
        for (size_t i = 0; i < LINKS; i++)
            b->late[i * AW_BLOCK + l] = 0.01f * (float)((i + l) % 11);
    }
    const double cycle = seconds_of(wait_often, b) / 8000;
    const double term = seconds_of(sum_all, b) / cycle / (VECTORS * LINKS);
    const double end = seconds_of(step_all, b) / cycle / VECTORS;
    const double all = MEAN_SWEEPS * (MEAN_LINKS * term + end) + COUNTED;
    printf("ghz %.2f\nterm %.1f\nstep %.1f\nfixes %.0f\n", 1e-9 / cycle, term, end,
           W / (all * cycle));
    free(b);
    return 0;
}
