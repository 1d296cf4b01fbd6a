/* What the plain peers share: xoshiro256++ (Blackman and Vigna, ACM TOMS 47:36, 2021), normals by
 * the polar method, percentiles by qsort. */
#ifndef BENCH_PLAIN_H
#define BENCH_PLAIN_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct generator {
    uint64_t s[4];
    double spare;
    bool has_spare;
} generator;

static inline uint64_t turned(uint64_t x, int k)
{
    return (x << k) | (x >> (64 - k));
}

static inline double uniform(generator *g)
{
    uint64_t *s = g->s;
    const uint64_t result = turned(s[0] + s[3], 23) + s[0], t = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = turned(s[3], 45);
    return (double)(result >> 11) * 0x1p-53;
}

static inline double normal(generator *g)
{
    double u, v, s;
    if (g->has_spare) {
        g->has_spare = false;
        return g->spare;
    }
    do {
        u = 2 * uniform(g) - 1;
        v = 2 * uniform(g) - 1;
        s = u * u + v * v;
    } while (s >= 1 || s == 0);
    s = sqrt(-2 * log(s) / s);
    g->spare = v * s;
    g->has_spare = true;
    return u * s;
}

static inline generator generator_of(uint64_t seed, uint64_t number)
{
    generator g = {.has_spare = false};
    uint64_t state = seed * 0x9E3779B97F4A7C15u + number;
    for (int k = 0; k < 4; k++) {
        uint64_t z = (state += 0x9E3779B97F4A7C15u);
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
        g.s[k] = z ^ (z >> 31);
    }
    return g;
}

static inline int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static inline double percentile(const double sorted[], size_t n, double q)
{
    const double value = sorted[(size_t)ceil(q * (double)n - 1e-9) - 1];
    return isfinite(value) ? value : (double)NAN;
}

#endif
