/* Vectors of floats, of doubles and of whole numbers, as wide as the processor level that a file is
 * compiled for, and the few operations on them that have no portable spelling. Only for files that
 * are compiled once for each level. A mask is -1 or 0 in each lane; bits() gives one bit a lane. */
#ifndef AW_POSITION_LANES_H
#define AW_POSITION_LANES_H

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#if defined __AVX512F__
#define W 16
#elif defined __AVX2__
#define W 8
#else
#define W 4
#endif
#if defined __x86_64__
#include <immintrin.h>
#endif

typedef float vf __attribute__((vector_size(4 * W)));
typedef int32_t vi __attribute__((vector_size(4 * W)));
typedef uint32_t vu __attribute__((vector_size(4 * W)));
typedef uint64_t vq __attribute__((vector_size(4 * W)));
/* Half as many doubles, and their masks. */
typedef double vd __attribute__((vector_size(4 * W)));
typedef int64_t vl __attribute__((vector_size(4 * W)));

#if defined __AVX512F__
static inline vf root(vf x)
{
    return (vf)_mm512_sqrt_ps((__m512)x);
}
static inline vd root_of(vd x)
{
    return (vd)_mm512_sqrt_pd((__m512d)x);
}
static inline vq wide(vq a, vq b)
{
    return (vq)_mm512_mul_epu32((__m512i)a, (__m512i)b);
}
static inline unsigned bits(vi m)
{
    return _mm512_test_epi32_mask((__m512i)m, (__m512i)m);
}
#elif defined __AVX2__
static inline vf root(vf x)
{
    return (vf)_mm256_sqrt_ps((__m256)x);
}
static inline vd root_of(vd x)
{
    return (vd)_mm256_sqrt_pd((__m256d)x);
}
static inline vq wide(vq a, vq b)
{
    return (vq)_mm256_mul_epu32((__m256i)a, (__m256i)b);
}
static inline unsigned bits(vi m)
{
    return (unsigned)_mm256_movemask_ps((__m256)m);
}
#elif defined __x86_64__
static inline vf root(vf x)
{
    return (vf)_mm_sqrt_ps((__m128)x);
}
static inline vd root_of(vd x)
{
    return (vd)_mm_sqrt_pd((__m128d)x);
}
static inline vq wide(vq a, vq b)
{
    return (vq)_mm_mul_epu32((__m128i)a, (__m128i)b);
}
static inline unsigned bits(vi m)
{
    return (unsigned)_mm_movemask_ps((__m128)m);
}
#else
static inline vf root(vf x)
{
    for (int l = 0; l < W; l++)
        x[l] = sqrtf(x[l]);
    return x;
}
static inline vd root_of(vd x)
{
    for (int l = 0; l < W / 2; l++)
        x[l] = sqrt(x[l]);
    return x;
}
static inline vq wide(vq a, vq b)
{
    return (a & 0xFFFFFFFFu) * (b & 0xFFFFFFFFu);
}
static inline unsigned bits(vi m)
{
    return (unsigned)((m[0] & 1) | (m[1] & 2) | (m[2] & 4) | (m[3] & 8));
}
#endif

/* The lower half of every lane of two vectors; numbers have their lower half first. */
static inline vu lower_halves(vq a, vq b)
{
#if W == 16
    return __builtin_shufflevector((vu)a, (vu)b, 0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26,
                                   28, 30);
#elif W == 8
    return __builtin_shufflevector((vu)a, (vu)b, 0, 2, 4, 6, 8, 10, 12, 14);
#else
    return __builtin_shufflevector((vu)a, (vu)b, 0, 2, 4, 6);
#endif
}

static inline bool any(vi m)
{
    return bits(m) != 0;
}

/* A mask of doubles is all ones or all zeros, so any half of it tells. */
static inline bool any_of(vl m)
{
    return bits((vi)m) != 0;
}

static inline vf load(const float *from)
{
    vf v;
    memcpy(&v, from, sizeof v);
    return v;
}

static inline void store(float *to, vf v)
{
    memcpy(to, &v, sizeof v);
}

static inline vf spread(float x)
{
    return x - (vf){0};
}

static inline vf pick(vi mask, vf yes, vf no)
{
    return (vf)((mask & (vi)yes) | (~mask & (vi)no));
}

static inline vd pick_of(vl mask, vd yes, vd no)
{
    return (vd)((mask & (vl)yes) | (~mask & (vl)no));
}

#endif
