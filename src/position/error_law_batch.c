/* What many cells make together: percentiles by false position on their mean share. */
#include "position/error_law_batch.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/plane.h"
#include "position/bracket.h"
#include "position/kernel.h"
#include "position/states.h"

/* Where the fixes of a cell without a position are, m: in no circle that is asked for. */
#define NOWHERE 1e9f
#define STEPS   60
/* What single precision may make of a share. */
#define SHARE_ERROR 1e-5
/* Near enough to a share that is sought. */
#define ENOUGH 4e-6f
/* Percentiles nearer than this are one. */
#define TIE 1e-5

_Static_assert(AW_MOST_STATES % AW_LANES == 0, "a cell of most states fills groups of lanes");

bool aw_error_laws_create(aw_error_laws *s, size_t n, size_t states)
{
    const size_t room = (n * states + AW_LANES - 1) / AW_LANES * AW_LANES;
    float *at = NULL;
    *s = (aw_error_laws){.n = n, .states = states};
    if (posix_memalign(&s->memory, 64, (4 * room + AW_LANES) * sizeof *at) != 0) {
        s->memory = NULL;
        return false;
    }
    at = s->memory;
    s->along = at;
    s->across = at + room;
    s->major = at + 2 * room;
    s->minor = at + 3 * room;
    for (size_t i = 0; i < room; i++) {
        s->along[i] = NOWHERE;
        s->across[i] = 0;
        s->major[i] = s->minor[i] = 1;
    }
    return true;
}

void aw_error_laws_free(aw_error_laws *s)
{
    free(s->memory);
    *s = (aw_error_laws){0};
}

/* The axes without trigonometry: cos^2 of the azimuth is half of 1 + gap / root. */
void aw_error_laws_set(aw_error_laws *s, size_t law, const aw_expected *e)
{
    if (e->status != AW_BOUND_OK) {
        s->along[law] = NOWHERE;
        s->across[law] = 0;
        s->major[law] = s->minor[law] = 1;
        return;
    }
    const double half = (e->xx + e->yy) / 2, gap = (e->xx - e->yy) / 2;
    const double root = sqrt(gap * gap + e->xy * e->xy);
    const double c = root > 0 ? sqrt(fmax(0, (1 + gap / root) / 2)) : 1;
    const double d = copysign(sqrt(fmax(0, 1 - c * c)), e->xy);
    s->along[law] = (float)(e->bias[0] * c + e->bias[1] * d);
    s->across[law] = (float)(e->bias[1] * c - e->bias[0] * d);
    s->major[law] = fmaxf((float)sqrt(half + root), AW_LEAST_AXIS);
    s->minor[law] = fmaxf((float)sqrt(fmax(half - root, 0)), AW_LEAST_WIDTH * s->major[law]);
}

void aw_error_laws_put(aw_error_laws *s, size_t law, const aw_law *as)
{
    s->along[law] = as->along;
    s->across[law] = as->across;
    s->major[law] = as->major;
    s->minor[law] = as->minor;
}

static bool has(const aw_error_laws *s, size_t law)
{
    return s->along[law] < NOWHERE;
}

double aw_error_laws_placed(const aw_error_laws *s, size_t cell)
{
    size_t with = 0;
    for (size_t k = 0; k < s->states; k++)
        with += has(s, cell * s->states + k);
    return (double)with / (double)s->states;
}

double aw_error_laws_rms(const aw_error_laws *s, size_t cell)
{
    double sum = 0;
    size_t with = 0;
    for (size_t i = cell * s->states; i < (cell + 1) * s->states; i++) {
        const float a = s->along[i], b = s->across[i], c = s->major[i], d = s->minor[i];
        with += has(s, i);
        sum += has(s, i) ? (double)(a * a + b * b + c * c + d * d) : 0;
    }
    return with > 0 ? sqrt(sum / (double)with) * (double)s->states / (double)with : HUGE_VAL;
}

static size_t laws_of(const aw_error_laws *s)
{
    return s->n * s->states;
}

static aw_lane_laws laws_from(const aw_error_laws *s, size_t from)
{
    return (aw_lane_laws){s->along + from, s->across + from, s->major + from, s->minor + from};
}

static void shares_from(const aw_error_laws *s, size_t from, double radius, float share[AW_LANES])
{
    const aw_lane_laws laws = laws_from(s, from);
    float all[AW_LANES];
    for (size_t l = 0; l < AW_LANES; l++)
        all[l] = (float)radius;
    aw_kernel_best()->shares(&laws, all, share);
}

static double sum_of(const aw_error_laws *s, double radius)
{
    float share[AW_LANES];
    double sum = 0;
    for (size_t from = 0; from < laws_of(s); from += AW_LANES) {
        shares_from(s, from, radius, share);
        for (size_t l = 0; l < AW_LANES && from + l < laws_of(s); l++)
            sum += (double)share[l];
    }
    return sum;
}

double aw_error_laws_share(const aw_error_laws *s, double radius)
{
    return s->n > 0 ? sum_of(s, radius) / (double)laws_of(s) : (double)NAN;
}

/* A circle of this radius holds all that a law has to hold, and more: it is narrower in every
 * direction than a round one of its major axis. */
static double outer(const aw_error_laws *s, size_t law, double q)
{
    return aw_length((double)s->along[law], (double)s->across[law]) +
           sqrt(-2 * log(1 - q)) * (double)s->major[law];
}

/* The radius at which the rising share reaches q. */
static double solve(const aw_error_laws *s, double q, double guess, double high)
{
    const double n = (double)laws_of(s);
    aw_bracket b = {.high = high, .at_low = -q, .at_high = 1 - q};
    double middle = guess > 0 && guess < high ? guess : high / 3;
    for (int i = 0; i < STEPS && b.high - b.low > 2e-6 * b.high; i++) {
        const double f = sum_of(s, middle) / n - q;
        if (fabs(f) < 2e-6)
            return middle;
        aw_bracket_take(&b, middle, f);
        middle = aw_bracket_next(&b, i % 4 == 3);
        middle = fmax(middle, b.low + 1e-3 * (b.high - b.low));
        middle = fmin(middle, b.high - 1e-3 * (b.high - b.low));
    }
    return (b.low + b.high) / 2;
}

double aw_error_laws_percentile(const aw_error_laws *s, double q, double guess)
{
    size_t with = 0;
    double high = 0;
    for (size_t i = 0; i < laws_of(s); i++)
        with += has(s, i);
    if (s->n == 0)
        return (double)NAN;
    /* The share that the laws with a position have to hold. */
    const double own = q * (double)laws_of(s) / (double)with;
    if (with == 0 || own >= 1 - 1e-6)
        return HUGE_VAL;
    for (size_t i = 0; i < laws_of(s); i++)
        if (has(s, i))
            high = fmax(high, outer(s, i, own));
    return solve(s, q, guess, high * 1.001);
}

/* Cells whose laws share a group of lanes, one where a cell has more laws than that: how many from
 * `cell` on, and the share within a radius of each. */
static size_t cells_from(const aw_error_laws *s, size_t cell, double radius, float share[AW_LANES])
{
    const size_t left = s->n - cell, most = s->states < AW_LANES ? AW_LANES / s->states : 1;
    float own[AW_MOST_STATES];
    for (size_t k = 0; k < most * s->states; k += AW_LANES)
        shares_from(s, cell * s->states + k, radius, own + k);
    for (size_t c = 0; c < most; c++) {
        share[c] = 0;
        for (size_t k = 0; k < s->states; k++)
            share[c] += own[c * s->states + k];
        share[c] /= (float)s->states;
    }
    return left < most ? left : most;
}

size_t aw_error_laws_within(const aw_error_laws *s, double radius, double q)
{
    float share[AW_LANES];
    size_t n = 0;
    for (size_t from = 0, cells; from < s->n; from += cells) {
        cells = cells_from(s, from, radius, share);
        for (size_t c = 0; c < cells; c++)
            n += share[c] >= (float)q;
    }
    return n;
}

/* Where one lane looks for its percentile: in [low, high], with the latest point and its share less
 * q. */
typedef struct seeker {
    float low, high, at, before, off;
    bool found;
} seeker;

/* A round law of the same mean square, and a circle that is wide enough. */
static seeker begin_seeking(const aw_error_laws *s, size_t cell, double q)
{
    const float a = s->along[cell], b = s->across[cell], c = s->major[cell], d = s->minor[cell];
    const float k = (float)sqrt(-log(1 - q)), rms = sqrtf(a * a + b * b + c * c + d * d);
    const bool none = !has(s, cell);
    return (seeker){0,   none ? 1 : 1.001f * (float)outer(s, cell, q), none ? 1 : k * rms, 0, NAN,
                    none};
}

/* Takes the share at the place looked at and moves on: first by the slope of a round law, dF / d ln
 * R = -2 (1 - F) ln(1 - F), then by the secant, never out of the bracket. */
static void seek(seeker *k, double q, float share)
{
    const float off = share - (float)q, slope = (float)(-2 * (1 - q) * log(1 - q));
    if (k->found || (k->found = fabsf(off) < ENOUGH))
        return;
    *(off < 0 ? &k->low : &k->high) = k->at;
    float next = isnan(k->off) ? k->at * (1 - off / slope)
                               : k->at - off * (k->at - k->before) / (off - k->off);
    if (!(next > k->low && next < k->high))
        next = (k->low + k->high) / 2;
    k->before = k->at;
    k->off = off;
    k->at = next;
}

void aw_error_laws_each(const aw_error_laws *s, double q, double percentile[])
{
    assert(s->states == 1);
    for (size_t from = 0; from < s->n; from += AW_LANES) {
        const aw_lane_laws laws = laws_from(s, from);
        seeker lane[AW_LANES];
        float radius[AW_LANES], share[AW_LANES];
        size_t left = AW_LANES;
        for (size_t l = 0; l < AW_LANES; l++)
            lane[l] = begin_seeking(s, from + l, q);
        for (int i = 0; i < STEPS && left > 0; i++) {
            for (size_t l = 0; l < AW_LANES; l++)
                radius[l] = lane[l].at;
            aw_kernel_best()->shares(&laws, radius, share);
            left = 0;
            for (size_t l = 0; l < AW_LANES; l++) {
                seek(&lane[l], q, share[l]);
                left += !lane[l].found;
            }
        }
        for (size_t l = 0; l < AW_LANES && from + l < s->n; l++)
            percentile[from + l] = has(s, from + l) ? (double)lane[l].at : HUGE_VAL;
    }
}

/* One cell by itself, as the only one of all. */
static double percentile_of(const aw_error_laws *s, size_t cell, double q)
{
    if (s->states == 1) {
        const aw_error_law law = aw_error_law_of((double)s->along[cell], (double)s->across[cell],
                                                 (double)s->major[cell] * (double)s->major[cell], 0,
                                                 (double)s->minor[cell] * (double)s->minor[cell]);
        return aw_error_law_percentile(&law, q);
    }
    _Alignas(64) float room[4][AW_MOST_STATES];
    const float *of[4] = {s->along, s->across, s->major, s->minor};
    for (int k = 0; k < 4; k++)
        for (size_t l = 0; l < AW_MOST_STATES; l++)
            room[k][l] = of[k][cell * s->states + l % s->states];
    const aw_error_laws alone = {1, s->states, room[0], room[1], room[2], room[3], NULL};
    return aw_error_laws_percentile(&alone, q, 0);
}

/* The widest outer circle of a cell's laws. */
static double widest_of(const aw_error_laws *s, size_t cell, double q)
{
    double width = 0;
    for (size_t i = cell * s->states; i < (cell + 1) * s->states; i++)
        width = fmax(width, outer(s, i, q));
    return width;
}

/* Of the cells that hold less than q within `radius`, the one with the widest outer circle; n if
 * there is none. */
static size_t widest_beyond(const aw_error_laws *s, double q, double radius)
{
    float share[AW_LANES];
    size_t found = s->n;
    double width = 0;
    for (size_t from = 0, cells; from < s->n; from += cells) {
        cells = cells_from(s, from, radius, share);
        for (size_t c = 0; c < cells; c++) {
            const size_t cell = from + c;
            const double own = (double)share[c] < q - SHARE_ERROR ? widest_of(s, cell, q) : 0;
            if (own > width) {
                found = cell;
                width = own;
            }
        }
    }
    return found;
}

size_t aw_error_laws_worst(const aw_error_laws *s, double q, double *percentile)
{
    size_t worst = s->n;
    *percentile = 0;
    for (size_t i = 0; i < s->n; i++)
        if (aw_error_laws_placed(s, i) < (s->states > 1 ? q + 1e-6 : 1)) {
            *percentile = HUGE_VAL;
            return i;
        }
    for (;;) {
        const size_t next = widest_beyond(s, q, *percentile);
        const double own = next < s->n ? percentile_of(s, next, q) : 0;
        if (own <= *percentile * (1 + TIE))
            return worst;
        worst = next;
        *percentile = own;
    }
}
