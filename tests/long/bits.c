/* Prints a digest of what the kernel and the plane give for seeded input, one line for each
 * function: the same text on every processor, at every level, from every compiler. Needs nothing
 * but the kernel, the plane and the C library.
 *
 * usage: bits LEVEL */
#include "base/plane.h"
#include "position/exchange.h"
#include "position/kernel.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define LINKS 9

static uint64_t state = 5;

/* splitmix64; exactly rounded, so the same everywhere. */
static double between(double low, double high)
{
    uint64_t z = (state += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return low + (high - low) * ((double)((z ^ (z >> 31)) >> 11) * 0x1p-53);
}

/* FNV-1a */
static void digest(uint64_t *sum, const void *bytes, size_t n)
{
    const unsigned char *at = bytes;
    for (size_t i = 0; i < n; i++)
        *sum = (*sum ^ at[i]) * 0x100000001B3u;
}

static void tell(const char *name, uint64_t sum)
{
    printf("%-9s %016llx\n", name, (unsigned long long)sum);
}

static void tell_streams(const aw_kernel *k)
{
    static uint32_t words[1024];
    static float normals[1024];
    uint64_t a = 0, b = 0;
    for (uint32_t i = 0; i < 500; i++) {
        const aw_stream s = {(uint64_t)between(0, 0x1p62), i * 7919, i, i % 25};
        k->words(&s, i * 64, 1024, words);
        k->normals(&s, i * 64, 1024, normals);
        digest(&a, words, sizeof words);
        digest(&b, normals, sizeof normals);
    }
    tell("words", a);
    tell("normals", b);
}

/* A seeded link with all terms, its noise drawn by the kernel itself. */
static void tell_arrivals(const aw_kernel *k)
{
    static _Alignas(64) float noise[7][AW_BLOCK], late[AW_BLOCK], heard[AW_BLOCK];
    static _Alignas(64) uint32_t coin[AW_BLOCK];
    static _Alignas(64) float linear[2][AW_BLOCK];
    uint64_t sum = 0;
    for (uint32_t i = 0; i < 300; i++) {
        for (uint32_t t = 0; t < 7; t++)
            k->normals(&(aw_stream){9, i, t, t}, 0, AW_BLOCK, noise[t]);
        k->words(&(aw_stream){9, i, 7, 7}, 0, AW_BLOCK, coin);
        const float rise = (float)between(0, 6);
        const aw_lane_errors e = {.sigma = (float)between(0.01, 0.3),
                                  .tail_sigma = (float)between(0.2, 2),
                                  .tail_below = (uint32_t)between(0, 0x1p31),
                                  .u = {0.6f, -0.48f, 0.64f},
                                  .survey = 0.02f,
                                  .delay = 0.03f,
                                  .along2 = (float)between(1, 900),
                                  .rise = rise,
                                  .fade_sigma = (float)between(0.5, 4),
                                  .lost_db = (float)between(3, 12),
                                  .n_outcomes = 2,
                                  .fade_from = {-HUGE_VALF, 1.5f},
                                  .excess = {0, (float)between(0.1, 3)},
                                  .gain = {0.7f, -0.4f},
                                  .linear = {linear[0], linear[1]},
                                  .noise = noise[0],
                                  .coin = coin,
                                  .survey_x = noise[1],
                                  .survey_y = noise[2],
                                  .survey_z = noise[3],
                                  .late = noise[4],
                                  .height = noise[5],
                                  .fade = noise[6]};
        memset(linear, 0, sizeof linear);
        k->arrive(&e, AW_BLOCK, late, heard);
        digest(&sum, linear, sizeof linear);
        digest(&sum, late, sizeof late);
        digest(&sum, heard, sizeof heard);
    }
    tell("arrive", sum);
}

static void tell_fixes(const aw_kernel *k)
{
    static _Alignas(64) float late[LINKS * AW_BLOCK], x[AW_BLOCK], y[AW_BLOCK], z[AW_BLOCK];
    static _Alignas(64) float radius[AW_BLOCK];
    static _Alignas(64) int32_t open[AW_BLOCK];
    float at[3][LINKS], straight[LINKS], weight[LINKS];
    uint64_t sum = 0;
    for (uint32_t i = 0; i < 300; i++) {
        const int dims = 2 + (int)(i % 2);
        for (uint32_t a = 0; a < LINKS; a++) {
            at[0][a] = (float)between(-20, 20);
            at[1][a] = (float)between(-20, 20);
            at[2][a] = (float)between(0.5, 5);
            straight[a] = sqrtf(at[0][a] * at[0][a] + at[1][a] * at[1][a] + at[2][a] * at[2][a]);
            weight[a] = a == 0 ? 1 : (float)between(0.2, 1);
            k->normals(&(aw_stream){4, i, a, 0}, 0, AW_BLOCK, late + (size_t)a * AW_BLOCK);
        }
        for (size_t l = 0; l < LINKS * AW_BLOCK; l++)
            late[l] *= 0.1f;
        memset(z, 0, sizeof z);
        const aw_lane_cell cell = {.dims = dims,
                                   .n = LINKS,
                                   .x = at[0],
                                   .y = at[1],
                                   .z = at[2],
                                   .straight = straight,
                                   .weight = weight,
                                   .start = {1, 2, 0},
                                   .creep = 0.01f,
                                   .implausible = 100,
                                   .reach = 40,
                                   .lowest = -6,
                                   .highest = 12};
        const aw_lane_block block = {.lanes = AW_BLOCK,
                                     .late = late,
                                     .x = x,
                                     .y = y,
                                     .z = z,
                                     .radius = radius,
                                     .open = open};
        k->solve(&cell, &block);
        digest(&sum, radius, sizeof radius);
        digest(&sum, x, sizeof x);
        digest(&sum, y, sizeof y);
        digest(&sum, z, sizeof z);
        for (size_t l = 0; l < AW_BLOCK; l++)
            digest(&sum, &(char){open[l] != 0}, 1);
    }
    tell("solve", sum);
}

static void tell_counts_and_shares(const aw_kernel *k)
{
    static _Alignas(64) float v[1024], out[1024], law[4][AW_LANES];
    static float radius[AW_LANES], share[AW_LANES];
    uint64_t counts = 0, shares = 0;
    for (uint32_t i = 0; i < 300; i++) {
        k->normals(&(aw_stream){8, i, 0, 0}, 0, 1024, v);
        const size_t below = k->count(v, 1024, (float)between(-2, 2));
        const float largest = k->largest(v, 1024);
        const size_t n = k->gather(v, 1024, -0.5f, 0.5f, 1024, out);
        const uint32_t both[2] = {(uint32_t)below, (uint32_t)n};
        digest(&counts, both, sizeof both);
        digest(&counts, &largest, sizeof largest);
        const double squares = k->squares(v, 1024);
        digest(&counts, &squares, sizeof squares);
        digest(&counts, out, n * sizeof *out);
        for (size_t l = 0; l < AW_LANES; l++) {
            law[0][l] = (float)between(0, 0.5);
            law[1][l] = (float)between(0, 0.5);
            law[2][l] = (float)between(0.1, 2);
            law[3][l] = law[2][l] * (float)between(0.01, 1);
            radius[l] = (float)between(0.1, 3);
        }
        k->shares(&(aw_lane_laws){law[0], law[1], law[2], law[3]}, radius, share);
        digest(&shares, share, sizeof share);
    }
    tell("count", counts);
    tell("shares", shares);
}

#define CELLS 128

static void tell_bounds(const aw_kernel *k)
{
    static _Alignas(64) float x[CELLS], y[CELLS], weight[LINKS * CELLS], drms[CELLS];
    float at[3][LINKS];
    uint64_t sum = 0;
    for (uint32_t i = 0; i < 300; i++) {
        for (uint32_t a = 0; a < LINKS; a++)
            for (int d = 0; d < 3; d++)
                at[d][a] = (float)(d < 2 ? between(-30, 30) : between(0.5, 6));
        for (size_t c = 0; c < CELLS; c++) {
            x[c] = (float)between(-30, 30);
            y[c] = (float)between(-30, 30);
            for (size_t a = 0; a < LINKS; a++)
                weight[a * CELLS + c] = between(0, 1) < 0.3 ? 0 : (float)between(4, 100);
        }
        k->bounds(&(aw_bound_batch){LINKS, CELLS, at[0], at[1], at[2], x, y, weight, CELLS}, drms);
        digest(&sum, drms, sizeof drms);
    }
    tell("bounds", sum);
}

/* Sums of the order of five anchors' in a cell. */
static void tell_exchange(const aw_kernel *k)
{
    static _Alignas(64) float left[10 * AW_EXCHANGE_CELLS], more[LINKS * 10 * AW_EXCHANGE_CELLS];
    static _Alignas(64) float flat[AW_EXCHANGE_CELLS], tall[AW_EXCHANGE_CELLS];
    float score[LINKS];
    uint64_t sum = 0;
    for (uint32_t i = 0; i < 300; i++) {
        for (size_t l = 0; l < 10 * AW_EXCHANGE_CELLS; l++)
            left[l] = (float)between(10, 60);
        for (size_t l = 0; l < LINKS * 10 * AW_EXCHANGE_CELLS; l++)
            more[l] = (float)between(0, 20);
        for (size_t l = 0; l < AW_EXCHANGE_CELLS; l++) {
            flat[l] = (float)between(0, 9);
            tall[l] = (float)between(0, 4);
        }
        k->exchange(i % 2 ? AW_FIX_3D : AW_FIX_2D, left, more, LINKS,
                    &(aw_exchange_need){flat, tall}, score);
        digest(&sum, score, sizeof score);
    }
    tell("exchange", sum);
}

/* Of one to six links, whose lines of sight need not have a length of 1. */
static aw_sums some_sums(void)
{
    const size_t n = 1 + (size_t)between(0, 6);
    aw_sums s = {.used = n, .updates = (double)n};
    for (size_t i = 0; i < n; i++) {
        const double w = between(10, 90), v = w * between(0.5, 3), b = w * between(0, 0.4);
        const double u[3] = {between(-1, 1), between(-1, 1), between(-1, 0)};
        s.w += w;
        s.v += v;
        s.b += b;
        for (int j = 0, at = 0; j < 3; j++) {
            s.wu[j] += w * u[j];
            s.vu[j] += v * u[j];
            s.bu[j] += b * u[j];
            for (int l = 0; l <= j; l++, at++) {
                s.wuu[at] += w * u[j] * u[l];
                s.vuu[at] += v * u[j] * u[l];
            }
        }
    }
    s.most = s.w;
    return s;
}

static void tell_laws(const aw_kernel *k)
{
    aw_sums sums[CELLS];
    aw_law laws[CELLS];
    uint64_t sum = 0;
    for (uint32_t i = 0; i < 300; i++) {
        for (size_t c = 0; c < CELLS; c++)
            sums[c] = some_sums();
        k->expect(sums, CELLS - i % 8, i % 3 * 0.1, laws);
        for (size_t c = 0; c < CELLS - i % 8; c++) {
            const float law[] = {laws[c].along, laws[c].across, laws[c].major, laws[c].minor};
            digest(&sum, laws[c].open ? "open" : (const char *)law, laws[c].open ? 4 : sizeof law);
        }
    }
    tell("laws", sum);
}

/* Ragged stars, which are simple, and ragged loops, which mostly are not. */
static void tell_plane(void)
{
    uint64_t sum = 0;
    aw_point corner[2][12];
    aw_polygon star[2];
    for (int i = 0; i < 2000; i++) {
        for (int s = 0; s < 2; s++) {
            for (int c = 0; c < 12; c++) {
                const double slope = between(-1, 1), out = between(1, 9);
                const double x = c % 12 < 6 ? c - 2.5 : 8.5 - c, y = c < 6 ? -1 : 1;
                corner[s][c] = i % 2 ? (aw_point){x * out, y * out + slope}
                                     : (aw_point){between(-9, 9), between(-9, 9)};
            }
            star[s] = (aw_polygon){.at = corner[s], .n = 12};
            aw_polygon_close(&star[s]);
        }
        const aw_point p = {between(-10, 10), between(-10, 10)};
        const aw_point q = {between(-10, 10), between(-10, 10)};
        size_t edges[2] = {0, 0};
        const double figures[] = {aw_polygon_area(corner[0], 12),
                                  aw_polygon_chord(&star[0], p, q, 0, 1),
                                  aw_polygon_edge_distance(&star[0], p)};
        const char answers[] = {
            aw_polygon_holds(&star[0], p.x, p.y), aw_polygon_crosses_itself(corner[0], 12, edges),
            aw_polygons_overlap(&star[0], &star[1]), (char)edges[0], (char)edges[1]};
        digest(&sum, figures, sizeof figures);
        digest(&sum, answers, sizeof answers);
    }
    tell("plane", sum);
}

int main(int argc, char *argv[])
{
    const aw_kernel *kernel = argc == 2 ? aw_kernel_named(argv[1]) : NULL;
    if (kernel == NULL) {
        fprintf(stderr, "usage: bits LEVEL, of those that this processor has\n");
        return 2;
    }
    tell_streams(kernel);
    tell_arrivals(kernel);
    tell_fixes(kernel);
    tell_counts_and_shares(kernel);
    tell_bounds(kernel);
    tell_exchange(kernel);
    tell_laws(kernel);
    tell_plane();
    return 0;
}
