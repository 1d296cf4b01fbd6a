/* Vectors of the processor's own width; each lane does the same exactly rounded operations in the
 * same order at every level, so the level changes the speed and not one bit of the result. */
#include "position/kernel.h"
#include "position/descent.h"

#include <math.h>
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
typedef uint32_t vh __attribute__((vector_size(2 * W)));

/* The few operations that have no portable spelling. */
#if defined __AVX512F__
static inline vf root(vf x)
{
    return (vf)_mm512_sqrt_ps((__m512)x);
}
static inline vq wide(vq a, vq b)
{
    return (vq)_mm512_mul_epu32((__m512i)a, (__m512i)b);
}
static inline bool any(vi m)
{
    return _mm512_test_epi32_mask((__m512i)m, (__m512i)m) != 0;
}
#elif defined __AVX2__
static inline vf root(vf x)
{
    return (vf)_mm256_sqrt_ps((__m256)x);
}
static inline vq wide(vq a, vq b)
{
    return (vq)_mm256_mul_epu32((__m256i)a, (__m256i)b);
}
static inline bool any(vi m)
{
    return _mm256_movemask_ps((__m256)m) != 0;
}
#elif defined __x86_64__
static inline vf root(vf x)
{
    return (vf)_mm_sqrt_ps((__m128)x);
}
static inline vq wide(vq a, vq b)
{
    return (vq)_mm_mul_epu32((__m128i)a, (__m128i)b);
}
static inline bool any(vi m)
{
    return _mm_movemask_ps((__m128)m) != 0;
}
#else
static inline vf root(vf x)
{
    for (int l = 0; l < W; l++)
        x[l] = sqrtf(x[l]);
    return x;
}
static inline vq wide(vq a, vq b)
{
    return (a & 0xFFFFFFFFu) * (b & 0xFFFFFFFFu);
}
static inline bool any(vi m)
{
    return (m[0] | m[1] | m[2] | m[3]) != 0;
}
#endif

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

/* --- random numbers --- */

/* Philox4x32-10 (Salmon, Moraes, Dror, Shaw, SC 2011): 16 counters, 64 words. */
static void words_of_chunk(const aw_stream *s, uint32_t chunk, uint32_t out[AW_CHUNK])
{
    for (uint32_t base = 0; base < 16; base += W / 2) {
        vq x0, x1 = (vq){0} + s->cell, x2 = (vq){0} + s->anchor, x3 = (vq){0} + s->term;
        for (uint32_t l = 0; l < W / 2; l++)
            x0[l] = chunk * 16u + base + l;
        uint32_t k0 = (uint32_t)s->seed, k1 = (uint32_t)(s->seed >> 32);
        for (int round = 0; round < 10; round++) {
            const vq p = wide(x0, (vq){0} + 0xD2511F53u), q = wide(x2, (vq){0} + 0xCD9E8D57u);
            x0 = (q >> 32) ^ x1 ^ k0;
            x1 = q;
            x2 = (p >> 32) ^ x3 ^ k1;
            x3 = p;
            k0 += 0x9E3779B9u;
            k1 += 0xBB67AE85u;
        }
        const vq x[4] = {x0, x1, x2, x3};
        for (uint32_t k = 0; k < 4; k++) {
            const vh low = __builtin_convertvector(x[k], vh);
            memcpy(out + 16 * k + base, &low, sizeof low);
        }
    }
}

static void words(const aw_stream *stream, uint32_t first, size_t n, uint32_t out[])
{
    for (size_t i = 0; i < n; i += AW_CHUNK)
        words_of_chunk(stream, first / AW_CHUNK + (uint32_t)(i / AW_CHUNK), out + i);
}

/* sqrt(-2 ln((w + 1/2) / 2^32)): the word is split so that its conversion is rounded once. ln on
 * [sqrt 1/2, sqrt 2] by a polynomial good to 1.7e-7 of itself (own fit). */
static inline vf radius_of(vu w)
{
    const vf high = __builtin_convertvector((vi)(w >> 16), vf);
    const vf low = __builtin_convertvector((vi)(w & 0xFFFF), vf);
    const vf x = (high * 65536.0f + low) + 0.5f;
    const vi bits = (vi)x - 0x3F3504F3; /* sqrt 1/2 */
    const vi exponent = bits >> 23;
    const vf t = (vf)((bits & 0x007FFFFF) + 0x3F3504F3) - 1.0f;
    vf p = t * -0.10106893f + 0.1622258f;
    p = p * t - 0.1725083f;
    p = p * t + 0.19900166f;
    p = p * t - 0.24969909f;
    p = p * t + 0.3333506f;
    p = p * t - 0.50000364f;
    p = p * t + 0.99999994f;
    const vf log = __builtin_convertvector(exponent - 32, vf) * 0.6931472f + p * t;
    const vf squared = log * -2.0f;
    return root(pick(squared > 0.0f, squared, spread(0)));
}

/* cos and sin of 2 pi w / 2^32: quadrant and remainder, two polynomials good to 4e-8 (own fit). */
static inline void direction_of(vu w, vf *cosine, vf *sine)
{
    const vu quadrant = (w + 0x20000000u) >> 30;
    const vf r = __builtin_convertvector((vi)(w - (quadrant << 30)), vf) * 0x1p-30f;
    const vf s = r * r;
    const vf odd = (((s * -0.0046016593f + 0.07968003f) * s - 0.6459635f) * s + 1.5707964f) * r;
    const vf even = ((s * -0.02039859f + 0.25359496f) * s - 1.2336967f) * s + 0.99999994f;
    const vi swapped = -(vi)(quadrant & 1);
    const vi minus_cos = (vi)(((quadrant + 1) & 2) << 30), minus_sin = (vi)((quadrant & 2) << 30);
    *cosine = (vf)((vi)pick(swapped, odd, even) ^ minus_cos);
    *sine = (vf)((vi)pick(swapped, even, odd) ^ minus_sin);
}

/* Box and Muller (Ann. Math. Stat. 29:610-611, 1958): two words make two normals. The words of
 * several chunks are drawn first: read back at once they would still be on their way to the cache.
 */
static void normals(const aw_stream *stream, uint32_t first, size_t n, float out[])
{
    uint32_t word[AW_BLOCK];
    for (size_t from = 0; from < n; from += AW_BLOCK) {
        const size_t many = n - from < AW_BLOCK ? n - from : AW_BLOCK;
        words(stream, first + (uint32_t)from, many, word);
        for (size_t half = 0; half < many; half += 32)
            for (size_t l = 0; l < 16; l += W) {
                vu a, b;
                vf cosine, sine;
                memcpy(&a, word + half + l, sizeof a);
                memcpy(&b, word + half + 16 + l, sizeof b);
                const vf radius = radius_of(a);
                direction_of(b, &cosine, &sine);
                store(out + from + half + l, radius * cosine);
                store(out + from + half + 16 + l, radius * sine);
            }
    }
}

/* --- arrivals --- */

/* The outcome that a fade selects. */
static inline vf excess_at(const aw_lane_errors *e, vf fade)
{
    vf excess = spread(e->excess[0]);
    for (int k = 1; k < e->n_outcomes; k++)
        excess = pick(fade >= e->fade_from[k], spread(e->excess[k]), excess);
    return excess;
}

static inline vf installation_at(const aw_lane_errors *e, size_t l)
{
    vf sum = spread(0);
    if (e->survey_x != NULL) {
        const vf along = load(e->survey_x + l) * e->u[0] + load(e->survey_y + l) * e->u[1] +
                         load(e->survey_z + l) * e->u[2];
        sum = sum + along * e->survey;
    }
    if (e->late != NULL)
        sum = sum + load(e->late + l) * e->delay;
    return sum;
}

static void arrive(const aw_lane_errors *e, size_t lanes, float late[], float heard[])
{
    const vf straight = root(spread(e->along2 + e->rise * e->rise));
    for (size_t l = 0; l < lanes; l += W) {
        vf sigma = spread(e->sigma), sum = spread(e->bias);
        if (e->coin != NULL) {
            vi coin;
            memcpy(&coin, e->coin + l, sizeof coin);
            const vi limit = (vi){0} + (int32_t)(e->tail_below ^ 0x80000000u);
            sigma = pick((coin ^ INT32_MIN) < limit, spread(e->tail_sigma), sigma);
        }
        if (e->fade != NULL) {
            const vf fade = load(e->fade + l) * e->fade_sigma;
            sum = excess_at(e, fade);
            if (heard != NULL)
                store(heard + l, pick(fade > e->lost_db, spread(0), spread(1)));
        } else if (heard != NULL) {
            store(heard + l, spread(1));
        }
        sum = sum + load(e->noise + l) * sigma + installation_at(e, l);
        if (e->height != NULL) {
            const vf rise = e->rise - load(e->height + l);
            sum = sum + (root(e->along2 + rise * rise) - straight);
        }
        store(late + l, sum);
    }
}

/* --- fixes --- */

#define ITERATIONS 12 /* level ones included */
/* A step shorter than this ends the iteration, m^2. */
#define SETTLED 1e-8f
/* A determinant below this share of the diagonal's product is left to the careful solver. */
#define POOR 1e-5f
/* A sum of squares that grows by more than this share is a rise and not rounding. */
#define RISE 1.001f

/* Weighted sums over the links of one vector of lanes. */
typedef struct sums {
    vf w, x, y, z, r, xx, xy, xz, yy, yz, zz, xr, yr, zr, rr;
} sums;

/* What a sweep is specialised for: `solid` solves z too; `even` means that all weights are 1 and no
 * frame is lost, which leaves out multiplications by 1 and not one bit of the result. */
typedef struct shape {
    bool solid, even;
} shape;

#define INLINE static inline __attribute__((always_inline))

INLINE sums sum_links(const aw_lane_cell *c, const aw_lane_block *b, size_t l, vf px, vf py, vf pz,
                      const shape f)
{
    sums s = {.w = spread(f.even ? (float)c->n : 0)};
    for (size_t i = 0; i < c->n; i++) {
        const vf dx = px - c->x[i], dy = py - c->y[i], dz = pz - c->z[i];
        const vf rise = f.solid ? dz * dz : spread(c->z[i] * c->z[i]);
        const vf range = root(dx * dx + dy * dy + rise);
        const vf inverse = 1.0f / range;
        const vf late = load(b->late + i * AW_BLOCK + l);
        const vf r = late + (c->straight[i] - range);
        vf w = spread(f.even ? 1 : c->weight[i]);
        if (!f.even && b->heard != NULL)
            w = w * load(b->heard + i * AW_BLOCK + l);
        const vf ux = dx * inverse, uy = dy * inverse, uz = dz * inverse;
        const vf wx = f.even ? ux : w * ux, wy = f.even ? uy : w * uy, wr = f.even ? r : w * r;
        if (!f.even)
            s.w += w;
        s.x += wx;
        s.y += wy;
        s.r += wr;
        s.xx += wx * ux;
        s.xy += wx * uy;
        s.yy += wy * uy;
        s.xr += wx * r;
        s.yr += wy * r;
        s.rr += wr * r;
        if (f.solid) {
            const vf wz = f.even ? uz : w * uz;
            s.z += wz;
            s.xz += wx * uz;
            s.yz += wy * uz;
            s.zz += wz * uz;
            s.zr += wz * r;
        }
    }
    return s;
}

/* One Gauss-Newton step of 2 or 3 unknowns, the offset eliminated by centring. */
typedef struct step {
    vf x, y, z, squares;
    vi poor;
} step;

INLINE step step_from(const sums *s, const bool solid)
{
    const vf inverse = 1.0f / s->w;
    const vf mx = s->x * inverse, my = s->y * inverse, mr = s->r * inverse;
    const vf xx = s->xx - s->x * mx, xy = s->xy - s->x * my, yy = s->yy - s->y * my;
    const vf gx = s->xr - s->x * mr, gy = s->yr - s->y * mr;
    step t = {.squares = s->rr - s->r * mr};
    if (!solid) {
        const vf det = xx * yy - xy * xy, over = 1.0f / det;
        t.poor = ~(det > POOR * (xx * yy));
        t.x = (yy * gx - xy * gy) * over;
        t.y = (xx * gy - xy * gx) * over;
        return t;
    }
    const vf mz = s->z * inverse;
    const vf xz = s->xz - s->x * mz, yz = s->yz - s->y * mz, zz = s->zz - s->z * mz;
    const vf gz = s->zr - s->z * mr;
    const vf a = yy * zz - yz * yz, b = xz * yz - xy * zz, c = xy * yz - xz * yy;
    const vf e = xx * zz - xz * xz, f = xy * xz - xx * yz, h = xx * yy - xy * xy;
    const vf det = xx * a + xy * b + xz * c, over = 1.0f / det;
    t.poor = ~(det > POOR * (xx * yy * zz));
    t.x = (a * gx + b * gy + c * gz) * over;
    t.y = (b * gx + e * gy + f * gz) * over;
    t.z = (c * gx + f * gy + h * gz) * over;
    return t;
}

/* State of the vectors of a block between sweeps. */
typedef struct sweep {
    float last[AW_BLOCK]; /* sum of squares at the last place */
    int32_t live[AW_BLOCK];
    uint16_t todo[AW_BLOCK / W];
    size_t n;
} sweep;

/* Steps one vector, along the floor if `level`; returns whether a lane of it goes on. */
INLINE bool advance(const aw_lane_cell *c, const aw_lane_block *b, sweep *v, size_t l,
                    const shape f, const bool level)
{
    vi live, open;
    vf px = load(b->x + l), py = load(b->y + l), pz = f.solid ? load(b->z + l) : spread(0);
    memcpy(&live, v->live + l, sizeof live);
    memcpy(&open, b->open + l, sizeof open);
    const bool solid = f.solid;
    const sums s = sum_links(c, b, l, px, py, pz, f);
    const step t = step_from(&s, solid && !level);
    const vi lost = live & (t.poor | ~(t.squares <= load(v->last + l) * RISE));
    open |= lost;
    live &= ~lost;
    store(b->x + l, pick(live, px + t.x, px));
    store(b->y + l, pick(live, py + t.y, py));
    if (solid && !level)
        store(b->z + l, pick(live, pz + t.z, pz));
    store(v->last + l, t.squares);
    vf length = t.x * t.x + t.y * t.y;
    if (solid && !level)
        length = length + t.z * t.z;
    if (!level)
        live &= ~(length < SETTLED);
    memcpy(v->live + l, &live, sizeof live);
    memcpy(b->open + l, &open, sizeof open);
    return any(live);
}

/* A list of vectors with a live lane, compacted as they settle: no branch depends on one draw, and
 * what a lane computes does not depend on its neighbours. */
INLINE void sweep_block(const aw_lane_cell *c, const aw_lane_block *b, const shape f)
{
    sweep v;
    v.n = 0;
    for (size_t l = 0; l < b->lanes; l += W) {
        store(b->x + l, spread(c->start[0]));
        store(b->y + l, spread(c->start[1]));
        if (f.solid)
            store(b->z + l, spread(c->start[2]));
        store(v.last + l, spread(INFINITY));
        memset(v.live + l, 0xFF, sizeof(vi));
        memset(b->open + l, 0, sizeof(vi));
        v.todo[v.n++] = (uint16_t)l;
    }
    for (int i = 0; i < ITERATIONS && v.n > 0; i++) {
        size_t kept = 0;
        for (size_t k = 0; k < v.n; k++) {
            const uint16_t l = v.todo[k];
            v.todo[kept] = l;
            kept += f.solid && i < AW_LEVEL_STEPS ? advance(c, b, &v, l, f, true)
                                                  : advance(c, b, &v, l, f, false);
        }
        v.n = kept;
    }
    for (size_t k = 0; k < v.n; k++)
        for (size_t l = v.todo[k]; l < v.todo[k] + (size_t)W; l++)
            b->open[l] |= v.live[l];
    for (size_t l = 0; l < b->lanes; l += W) {
        vi open;
        memcpy(&open, b->open + l, sizeof open);
        open |= load(v.last + l) > c->implausible;
        memcpy(b->open + l, &open, sizeof open);
    }
}

static void solve(const aw_lane_cell *cell, const aw_lane_block *block)
{
    bool even = block->heard == NULL;
    for (size_t i = 0; even && i < cell->n; i++)
        even = cell->weight[i] == 1;
    if (cell->dims == 2 && even)
        sweep_block(cell, block, (shape){false, true});
    else if (cell->dims == 2)
        sweep_block(cell, block, (shape){false, false});
    else if (even)
        sweep_block(cell, block, (shape){true, true});
    else
        sweep_block(cell, block, (shape){true, false});
}

/* --- counting --- */

static size_t count(const float values[], size_t n, float limit)
{
    vi sum = {0};
    size_t total = 0;
    for (size_t i = 0; i < n; i += W)
        sum -= load(values + i) <= limit;
    for (int l = 0; l < W; l++)
        total += (size_t)sum[l];
    return total;
}

static float largest(const float values[], size_t n)
{
    vf most = spread(0);
    float found = 0;
    for (size_t i = 0; i < n; i += W) {
        const vf v = load(values + i);
        most = pick((v > most) & (v < INFINITY), v, most);
    }
    for (int l = 0; l < W; l++)
        found = most[l] > found ? most[l] : found;
    return found;
}

static size_t gather(const float values[], size_t n, float low, float high, size_t room,
                     float out[])
{
    size_t held = 0;
    for (size_t i = 0; i < n; i += W) {
        const vf v = load(values + i);
        if (!any((v > low) & (v <= high)))
            continue;
        for (int l = 0; l < W; l++)
            if (v[l] > low && v[l] <= high && held < room)
                out[held++] = v[l];
    }
    return held;
}

#define JOIN(a, b)    a##b
#define NAME(level)   JOIN(aw_kernel_, level)
#define QUOTE(x)      #x
#define TEXT(x)       QUOTE(x)
#define SHARES(level) JOIN(aw_shares_, level)
void SHARES(AW_LEVEL)(const aw_lane_laws *laws, float radius, float out[AW_LANES]);
extern const aw_kernel NAME(AW_LEVEL);
const aw_kernel NAME(AW_LEVEL) = {TEXT(AW_LEVEL), words,   normals, arrive,          solve,
                                  count,          largest, gather,  SHARES(AW_LEVEL)};
