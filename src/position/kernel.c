/* Vectors of the processor's own width; each lane does the same exactly rounded operations in the
 * same order at every level, so the level changes the speed and not one bit of the result. Random
 * numbers, arrivals and counting; fixes are in solve.c and
 * refine.c, shares in shares.c, bounds in bounds.c. */
#include "position/kernel.h"

#include "position/lanes.h"

/* --- random numbers --- */

#define ONE UINT64_C(0xD2511F53)
#define TWO UINT64_C(0xCD9E8D57)

/* What all counters of a stream share. The first two rounds have a half that is the same for all;
 * only the lower halves of 64-bit lanes count, the upper ones are whatever they are. */
typedef struct shared_rounds {
    uint64_t first, x1, x2, x3; /* xored into the vectors after rounds one and two */
    uint64_t key[2][10];
} shared_rounds;

static shared_rounds share_rounds(const aw_stream *s)
{
    shared_rounds r;
    for (uint32_t i = 0; i < 10; i++) {
        r.key[0][i] = (uint32_t)s->seed + i * 0x9E3779B9u;
        r.key[1][i] = (uint32_t)(s->seed >> 32) + i * 0xBB67AE85u;
    }
    const uint64_t q = TWO * s->anchor;
    const uint64_t p = ONE * (uint32_t)((q >> 32) ^ s->cell ^ r.key[0][0]);
    r.first = s->term ^ r.key[1][0];
    r.x1 = (uint32_t)q ^ r.key[0][1];
    r.x2 = (p >> 32) ^ r.key[1][1];
    r.x3 = p;
    return r;
}

/* Philox4x32-10 (Salmon, Moraes, Dror, Shaw, SC 2011): 16 counters, 64 words; two vectors at a time
 * keep the multipliers busy. */
static void words_of_chunk(const shared_rounds *r, uint32_t chunk, uint32_t out[AW_CHUNK])
{
    const vq one = (vq){0} + ONE, two = (vq){0} + TWO;
    vq first;
    for (uint32_t l = 0; l < W / 2; l++)
        first[l] = l;
    first += chunk * 16u;
    for (uint32_t base = 0; base < 16; base += W) {
        vq x[2][4];
        for (uint32_t h = 0; h < 2; h++) {
            const vq p = wide(first + (base + h * (W / 2)), one);
            const vq q = wide((p >> 32) ^ r->first, two);
            x[h][0] = (q >> 32) ^ r->x1;
            x[h][1] = q;
            x[h][2] = p ^ r->x2;
            x[h][3] = (vq){0} + r->x3;
        }
        for (int round = 2; round < 10; round++)
            for (uint32_t h = 0; h < 2; h++) {
                const vq p = wide(x[h][0], one), q = wide(x[h][2], two);
                x[h][0] = (q >> 32) ^ x[h][1] ^ r->key[0][round];
                x[h][1] = q;
                x[h][2] = (p >> 32) ^ x[h][3] ^ r->key[1][round];
                x[h][3] = p;
            }
        for (uint32_t k = 0; k < 4; k++) {
            const vu word = lower_halves(x[0][k], x[1][k]);
            memcpy(out + 16 * k + base, &word, sizeof word);
        }
    }
}

static void words(const aw_stream *stream, uint32_t first, size_t n, uint32_t out[])
{
    const shared_rounds r = share_rounds(stream);
    for (size_t i = 0; i < n; i += AW_CHUNK)
        words_of_chunk(&r, first / AW_CHUNK + (uint32_t)(i / AW_CHUNK), out + i);
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

/* The first of that and of what is scattered. */
static inline vf with_scattered(const aw_lane_errors *e, vf fade, vf excess, size_t l)
{
    const vf drawn = load(e->scattered + l), least = spread(e->scattered_least);
    const vf late = pick(drawn > least, drawn, least);
    return pick((fade <= e->scattered_db) & (late < excess), late, excess);
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
            if (e->scattered != NULL)
                sum = with_scattered(e, fade, sum, l);
            if (heard != NULL)
                store(heard + l, pick(fade > e->lost_db, spread(0), spread(1)));
        } else if (heard != NULL) {
            store(heard + l, spread(1));
        }
        sum = sum + load(e->noise + l) * sigma + installation_at(e, l);
        for (int axis = 0; axis < 2 && e->linear[axis] != NULL; axis++)
            store(e->linear[axis] + l, load(e->linear[axis] + l) + sum * e->gain[axis]);
        if (e->height != NULL) {
            const vf rise = e->rise - load(e->height + l);
            sum = sum + (root(e->along2 + rise * rise) - straight);
        }
        store(late + l, sum);
    }
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

/* Eight at every level. */
typedef double v8 __attribute__((vector_size(64)));
typedef float vg __attribute__((vector_size(32)));

static double squares(const float values[], size_t n)
{
    v8 sum = {0};
    double all = 0;
    for (size_t i = 0; i < n; i += 8) {
        vg v;
        memcpy(&v, values + i, sizeof v);
        const vg finite = (vg)((v < INFINITY) & (__typeof__(v < v))v);
        const v8 wide_one = __builtin_convertvector(finite, v8);
        sum += wide_one * wide_one;
    }
    for (int k = 0; k < 8; k++)
        all += sum[k];
    return all;
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
        for (unsigned in = bits((v > low) & (v <= high)); in != 0 && held < room; in &= in - 1)
            out[held++] = values[i + (size_t)__builtin_ctz(in)];
    }
    return held;
}

#define JOIN(a, b)      a##b
#define NAME(level)     JOIN(aw_kernel_, level)
#define QUOTE(x)        #x
#define TEXT(x)         QUOTE(x)
#define SHARES(level)   JOIN(aw_shares_, level)
#define SOLVE(level)    JOIN(aw_solve_, level)
#define BOUNDS(level)   JOIN(aw_bound_batch_, level)
#define EXCHANGE(level) JOIN(aw_exchange_, level)
#define DESCENTS(level) JOIN(aw_descents_, level)
#define REFINE(level)   JOIN(aw_refine_, level)
#define EXPECT(level)   JOIN(aw_sums_batch_, level)
void REFINE(AW_LEVEL)(const aw_lane_cell *cell, const aw_lane_block *block);
void SOLVE(AW_LEVEL)(const aw_lane_cell *cell, const aw_lane_block *block);
void SHARES(AW_LEVEL)(const aw_lane_laws *laws, const float radius[AW_LANES], float out[AW_LANES]);
void BOUNDS(AW_LEVEL)(const aw_bound_batch *cells, float drms[]);
void EXCHANGE(AW_LEVEL)(aw_fix_kind dims, const float left[], const float more[], size_t n,
                        const aw_exchange_need *need, float score[]);
void EXPECT(AW_LEVEL)(const aw_sums sums[], size_t n, double height_sigma, aw_law laws[]);
void DESCENTS(AW_LEVEL)(aw_descent list[], size_t n);
extern const aw_kernel NAME(AW_LEVEL);
const aw_kernel NAME(AW_LEVEL) = {TEXT(AW_LEVEL),
                                  words,
                                  normals,
                                  arrive,
                                  SOLVE(AW_LEVEL),
                                  REFINE(AW_LEVEL),
                                  count,
                                  squares,
                                  largest,
                                  gather,
                                  SHARES(AW_LEVEL),
                                  BOUNDS(AW_LEVEL),
                                  EXCHANGE(AW_LEVEL),
                                  EXPECT(AW_LEVEL),
                                  DESCENTS(AW_LEVEL)};
