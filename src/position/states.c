#include "position/states.h"

#include <math.h>

#include "base/plane.h"
#include "position/sums.h"
#include "radio/scatter.h"

/* Fades beyond so many sigmas are never met. */
#define MOST 5

/* splitmix64 (Steele, Lea, Flood, OOPSLA 2014). */
static uint64_t next(uint64_t *state)
{
    uint64_t z = (*state += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

/* The quantile of the normal law by rational functions, to 1.2e-9 of itself (P. J. Acklam, 2003, as
 * remembered; the suite checks that fades fall into their ranges and have the law's moments). */
#define TAIL 0.02425

static inline double middle_quantile(double share)
{
    static const double a[6] = {-3.969683028665376e+01, 2.209460984245205e+02,
                                -2.759285104469687e+02, 1.383577518672690e+02,
                                -3.066479806614716e+01, 2.506628277459239e+00};
    static const double b[5] = {-5.447609879822406e+01, 1.615858368580409e+02,
                                -1.556989798598866e+02, 6.680131188771972e+01,
                                -1.328068155288572e+01};
    const double q = share - 0.5, r = q * q;
    return (((((a[0] * r + a[1]) * r + a[2]) * r + a[3]) * r + a[4]) * r + a[5]) * q /
           (((((b[0] * r + b[1]) * r + b[2]) * r + b[3]) * r + b[4]) * r + 1);
}

static double quantile(double share)
{
    static const double c[6] = {-7.784894002430293e-03, -3.223964580411365e-01,
                                -2.400758277161838e+00, -2.549732539343734e+00,
                                4.374664141464968e+00,  2.938163982698783e+00};
    static const double d[4] = {7.784695709041462e-03, 3.224671290700398e-01, 2.445134137142996e+00,
                                3.754408661907416e+00};
    const double least = fmin(share, 1 - share);
    if (least > TAIL)
        return middle_quantile(share);
    const double q = sqrt(-2 * log(least));
    const double z = (((((c[0] * q + c[1]) * q + c[2]) * q + c[3]) * q + c[4]) * q + c[5]) /
                     ((((d[0] * q + d[1]) * q + d[2]) * q + d[3]) * q + 1);
    return share < 0.5 ? z : -z;
}

/* Shares, one from each of n ranges, in an order that they name themselves: half of a word tells
 * where in the range, the other half the place. A range goes to a place not yet taken, as a shuffle
 * from the inside out does it. */
static void stratify(uint64_t *state, size_t n, double shares[AW_MOST_STATES])
{
    for (size_t i = 0; i < n; i++) {
        const uint64_t word = next(state);
        const size_t k = (size_t)((word & UINT32_MAX) * (i + 1) >> 32);
        shares[i] = shares[k];
        shares[k] = ((double)i + ((double)(word >> 32) + 0.5) * 0x1p-32) / (double)n;
    }
}

void aw_states_draw(uint64_t seed, uint32_t cell, uint32_t key, size_t n, aw_link_state_draw out[])
{
    uint64_t state = seed;
    double share[AW_MOST_STATES] = {0};
    state = next(&state) ^ ((uint64_t)cell << 32 | key);
    stratify(&state, n, share);
    for (size_t i = 0; i < n; i++)
        out[i].fade = quantile(share[i]);
    stratify(&state, n, share);
    for (size_t i = 0; i < n; i++)
        out[i].scattered = share[i];
}

size_t aw_states_of(const aw_scenario *scenario)
{
    if (!scenario->radio.given)
        return 1;
    return scenario->radio.scattered ? AW_MOST_STATES : AW_MOST_STATES / 4;
}

bool aw_link_varies(const aw_link *link)
{
    const double most = MOST * link->fade_sigma;
    if (link->n_outcomes == 0 || (link->fade_sigma == 0 && !link->scatters))
        return false;
    bool varies = link->lost_db < most || link->scatters;
    for (size_t k = 1; k < link->n_outcomes; k++)
        varies = varies || fabs(link->outcomes[k].fade_db) < most;
    return varies;
}

/* The outcome of a fade that is not lost. */
static size_t outcome_at(const aw_link *link, double fade)
{
    size_t k = 0;
    while (k + 1 < link->n_outcomes && link->outcomes[k + 1].fade_db <= fade)
        k++;
    return k;
}

/* Excess at a fade that is not lost. */
static double excess_at(const aw_link *link, const aw_link_state_draw *draw)
{
    const double fade = draw->fade * link->fade_sigma;
    const double excess = link->outcomes[outcome_at(link, fade)].excess;
    if (!link->scatters || fade > link->scattered_db)
        return excess;
    return fmin(excess, fmax(link->scattered_least, aw_scatter_quantile(draw->scattered)));
}

aw_link aw_link_in_state(const aw_link *link, const aw_link_state_draw *draw)
{
    const double fade = draw->fade * link->fade_sigma;
    aw_link still = *link;
    still.fade_sigma = 0;
    still.lost_db = INFINITY;
    still.scatters = false;
    still.n_outcomes = link->n_outcomes > 0 && fade <= link->lost_db;
    still.outcomes[0] = link->outcomes[outcome_at(link, fade)];
    still.outcomes[0].fade_db = -INFINITY;
    if (still.n_outcomes > 0)
        still.outcomes[0].excess = excess_at(link, draw);
    return still;
}

double aw_link_excess_in_state(const aw_link *link, const aw_link_state_draw *draw)
{
    if (link->n_outcomes == 0 || draw->fade * link->fade_sigma > link->lost_db)
        return (double)NAN;
    const double excess = excess_at(link, draw);
    return isinf(excess) ? link->scattered_least : excess;
}

/* Sums over links of what sums.h needs for the bias by believed weights: weights, weights u and uu,
 * then the excess by weights and by weights u. */
#define LATE 10
#define SUMS 14

typedef struct state_sums {
    double of[SUMS];
    size_t used;
} state_sums;

static void add(state_sums *s, const aw_link *link, double excess)
{
    const double weight = 1 / (link->believed * link->believed), *u = link->u;
    s->of[0] += weight;
    s->of[LATE] += weight * excess;
    for (int i = 0, at = 4; i < 3; i++) {
        s->of[1 + i] += weight * u[i];
        for (int j = 0; j <= i; j++)
            s->of[at++] += weight * u[i] * u[j];
        s->of[LATE + 1 + i] += weight * excess * u[i];
    }
    s->used++;
}

static void join(state_sums *s, const state_sums *other)
{
    for (int i = 0; i < SUMS; i++)
        s->of[i] += other->of[i];
    s->used += other->used;
}

/* It watches that ten digits are sound; a layer needs six, so rounding may be that much larger. */
static aw_expected expect(const state_sums *s, aw_fix_kind dims)
{
    const double *w = s->of, *late = s->of + LATE;
    const aw_sums sums = {.w = w[0],
                          .wu = {w[1], w[2], w[3]},
                          .wuu = {w[4], w[5], w[6], w[7], w[8], w[9]},
                          .v = w[0],
                          .vu = {w[1], w[2], w[3]},
                          .vuu = {w[4], w[5], w[6], w[7], w[8], w[9]},
                          .b = late[0],
                          .bu = {late[1], late[2], late[3]},
                          .used = s->used,
                          .most = w[0] * 1e-4,
                          .updates = (double)s->used};
    return aw_sums_expect(&sums, dims, 0);
}

/* Adds a link to the states in which it is timed. */
static void add_by_state(state_sums states[], size_t n, const aw_link *link, uint64_t seed,
                         uint32_t cell)
{
    aw_link_state_draw draws[AW_MOST_STATES];
    aw_states_draw(seed, cell, link->key, n, draws);
    for (size_t i = 0; i < n; i++)
        if (draws[i].fade * link->fade_sigma <= link->lost_db)
            add(&states[i], link, excess_at(link, &draws[i]));
}

double aw_states_bias(const aw_link links[], size_t n, size_t n_states, aw_fix_kind dims,
                      uint64_t seed, uint32_t cell)
{
    state_sums always = {0}, states[AW_MOST_STATES] = {0};
    double bias = 0, with = 0;
    for (size_t i = 0; i < n; i++)
        if (aw_link_varies(&links[i]))
            add_by_state(states, n_states, &links[i], seed, cell);
        else if (links[i].n_outcomes > 0)
            add(&always, &links[i], aw_link_bias(&links[i]));
    for (size_t k = 0; k < n_states; k++) {
        join(&states[k], &always);
        const aw_expected late = expect(&states[k], dims);
        if (late.status != AW_BOUND_OK)
            continue;
        bias += aw_length(late.bias[0], late.bias[1]);
        with++;
    }
    return bias / with;
}
