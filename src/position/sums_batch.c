/* The operations of sums.c and of aw_error_laws_set(), in their order. */
#include "position/sums_batch.h"

#include <float.h>
#include <stddef.h>

#include "position/kernel.h"
#include "position/lanes.h"

#define JOIN(a, b)  a##b
#define NAME(level) JOIN(aw_sums_batch_, level)
#define D           (W / 2)
void NAME(AW_LEVEL)(const aw_sums sums[], size_t n, double height_sigma, aw_law laws[]);

typedef float half_vf __attribute__((vector_size(4 * D)));

/* One member, of doubles, of D sums. */
#define GATHER(sums, member) gather(sums, offsetof(aw_sums, member))

static inline vd gather(const aw_sums sums[D], size_t member)
{
    vd all;
    for (int l = 0; l < D; l++) {
        double one;
        memcpy(&one, (const char *)&sums[l] + member, sizeof one);
        all[l] = one;
    }
    return all;
}

static inline vd count_used(const aw_sums sums[D])
{
    vd all;
    for (int l = 0; l < D; l++)
        all[l] = (double)sums[l].used;
    return all;
}

static inline vd spread_of(double x)
{
    return x - (vd){0};
}

static inline vd larger(vd a, vd b)
{
    return pick_of(a > b, a, b);
}

/* The mean line of sight, J of the believed weights and its middle matrix. */
typedef struct centred {
    vd m0, m1, j00, j01, j11, c00, c01, c11;
} centred;

static inline centred centre(const aw_sums *s)
{
    const vd w = GATHER(s, w), a0 = GATHER(s, wu[0]), a1 = GATHER(s, wu[1]);
    const vd v = GATHER(s, v), d0 = GATHER(s, vu[0]), d1 = GATHER(s, vu[1]);
    const vd m0 = a0 / w, m1 = a1 / w;
    return (centred){
        .m0 = m0,
        .m1 = m1,
        .j00 = GATHER(s, wuu[0]) - a0 * m0,
        .j01 = GATHER(s, wuu[1]) - a1 * m0,
        .j11 = GATHER(s, wuu[2]) - a1 * m1,
        .c00 = GATHER(s, vuu[0]) - d0 * m0 - m0 * d0 + v * m0 * m0,
        .c01 = GATHER(s, vuu[1]) - d1 * m0 - m1 * d0 + v * m1 * m0,
        .c11 = GATHER(s, vuu[2]) - d1 * m1 - m1 * d1 + v * m1 * m1,
    };
}

static inline vl is_sound(const aw_sums *s, const centred *c, vd det)
{
    const vd trace = c->j00 + c->j11, least = det / trace;
    const vd lost = DBL_EPSILON * GATHER(s, most) * (2 + root_of(GATHER(s, updates))) * 4;
    return (count_used(s) >= 3) & (trace > 0) & (least > 0) & (lost < AW_SUMS_SOUND * least);
}

/* Bias and covariance. */
typedef struct error {
    vd x, y, xx, xy, yy;
} error;

static inline error expect(const aw_sums *s, const centred *c, vd det, double height_sigma)
{
    const vd i00 = c->j11 / det, i11 = c->j00 / det, i01 = -c->j01 / det;
    const vd h00 = i00 * c->c00 + i01 * c->c01, h01 = i00 * c->c01 + i01 * c->c11;
    const vd h10 = i01 * c->c00 + i11 * c->c01, h11 = i01 * c->c01 + i11 * c->c11;
    const vd b = GATHER(s, b), up = GATHER(s, wu[2]);
    const vd late0 = GATHER(s, bu[0]) - c->m0 * b, late1 = GATHER(s, bu[1]) - c->m1 * b;
    const vd rise0 = GATHER(s, wuu[3]) - c->m0 * up, rise1 = GATHER(s, wuu[4]) - c->m1 * up;
    const vd g0 = i00 * rise0 + i01 * rise1, g1 = i01 * rise0 + i11 * rise1;
    const double variance = height_sigma * height_sigma;
    return (error){
        .x = i00 * late0 + i01 * late1,
        .y = i01 * late0 + i11 * late1,
        .xx = h00 * i00 + h01 * i01 + variance * g0 * g0,
        .xy = h00 * i01 + h01 * i11 + variance * g0 * g1,
        .yy = h10 * i01 + h11 * i11 + variance * g1 * g1,
    };
}

static inline vd signed_as(vd x, vd sign)
{
    const vl top = (vl)spread_of(-0.0);
    return (vd)(((vl)x & ~top) | ((vl)sign & top));
}

static inline half_vf larger_half(half_vf a, half_vf b)
{
    half_vf most;
    for (int l = 0; l < D; l++)
        most[l] = a[l] > b[l] ? a[l] : b[l];
    return most;
}

static inline void set_laws(const error *e, vl sound, aw_law laws[])
{
    const vd nothing = spread_of(0);
    const vd half = (e->xx + e->yy) / 2, gap = (e->xx - e->yy) / 2;
    const vd bend = root_of(gap * gap + e->xy * e->xy);
    const vd turned = root_of(larger((1 + gap / bend) / 2, nothing));
    const vd c = pick_of(bend > 0, turned, spread_of(1));
    const vd d = signed_as(root_of(larger(1 - c * c, nothing)), e->xy);
    const half_vf along = __builtin_convertvector(e->x * c + e->y * d, half_vf);
    const half_vf across = __builtin_convertvector(e->y * c - e->x * d, half_vf);
    const half_vf major = larger_half(__builtin_convertvector(root_of(half + bend), half_vf),
                                      AW_LEAST_AXIS - (half_vf){0});
    const half_vf narrow = __builtin_convertvector(root_of(larger(half - bend, nothing)), half_vf);
    const half_vf minor = larger_half(narrow, AW_LEAST_WIDTH * major);
    for (int l = 0; l < D; l++)
        laws[l] = (aw_law){along[l], across[l], major[l], minor[l], !sound[l]};
}

static inline void expect_some(const aw_sums sums[D], double height_sigma, aw_law laws[D])
{
    const centred c = centre(sums);
    const vd det = c.j00 * c.j11 - c.j01 * c.j01;
    const error e = expect(sums, &c, det, height_sigma);
    set_laws(&e, is_sound(sums, &c, det), laws);
}

void NAME(AW_LEVEL)(const aw_sums sums[], size_t n, double height_sigma, aw_law laws[])
{
    size_t from = 0;
    for (; from + D <= n; from += D)
        expect_some(sums + from, height_sigma, laws + from);
    if (from == n)
        return;
    aw_sums last[D] = {{0}};
    aw_law found[D];
    memcpy(last, sums + from, (n - from) * sizeof *last);
    expect_some(last, height_sigma, found);
    memcpy(laws + from, found, (n - from) * sizeof *found);
}
