/* What a curve says: of counts by its running least, of heights by a band about the best. */
#include "anchorwise/sweep.h"

#include <math.h>

#include "anchorwise/compare.h"

/* Anchors before and after a knee that it is told by. */
#define BESIDE 2
/* Half of a 95 % interval by 31 degrees of freedom, in standard errors. */
#define INTERVAL 2.04

static double known(double p95)
{
    return isnan(p95) ? HUGE_VAL : p95;
}

/* --- counts --- */

/* The point up to i with the least p95; n if none has one. */
static size_t least_to(const aw_estimate p95[], size_t i, size_t n)
{
    size_t best = n;
    for (size_t k = 0; k <= i; k++)
        if (isfinite(p95[k].value) && (best == n || p95[k].value < p95[best].value))
            best = k;
    return best;
}

/* By how much its logarithm falls from point i to point k; infinite from where there is none. */
static double fall(const aw_estimate p95[], size_t i, size_t k, size_t n)
{
    const size_t from = least_to(p95, i, n), to = least_to(p95, k, n);
    return from == n ? HUGE_VAL : log(p95[from].value / p95[to].value);
}

/* What draws may make of the difference of two falls. */
static double doubt(const aw_estimate *e)
{
    return isnan(e->low) ? 0 : 2 * M_SQRT2 * (e->high - e->low) / 2 / INTERVAL / e->value;
}

static bool is_knee(const aw_estimate p95[], size_t i, size_t n)
{
    const size_t own = least_to(p95, i, n);
    if (own == n || i + BESIDE >= n)
        return false;
    const double before = i < BESIDE ? HUGE_VAL : fall(p95, i - BESIDE, i, n);
    const double after = fall(p95, i, i + BESIDE, n), e = doubt(&p95[own]);
    return before - e >= AW_CURVE_GAIN && after + e < AW_CURVE_GAIN / 2 && before - after > e;
}

static aw_curve_shape find_knee(const double at[], const aw_estimate p95[], size_t n)
{
    size_t first = 0, knee = 0;
    while (!isfinite(p95[first].value))
        first++;
    const aw_curve_shape whole = {AW_BEND_FLAT, at[first], at[n - 1], at[n - 1], false, false};
    while (knee < n && !is_knee(p95, knee, n))
        knee++;
    aw_curve_shape shape = whole;
    if (knee < n) {
        shape.kind = AW_BEND_KNEE;
        shape.from = at[knee];
        shape.is_first = knee == 0;
        shape.falls_on = fall(p95, knee, n - 1, n) >= AW_CURVE_GAIN;
    } else if (fall(p95, first, n - 1, n) >= AW_CURVE_GAIN) {
        shape.kind = AW_BEND_FALLING;
    }
    return shape;
}

/* --- heights --- */

static bool is_worse(double p95, double than)
{
    return p95 > than / (1 - AW_NEAR_EQUAL);
}

static aw_curve_shape find_band(const double at[], const aw_estimate p95[], size_t n)
{
    size_t best = 0, from, to;
    for (size_t i = 1; i < n; i++)
        if (known(p95[i].value) < known(p95[best].value))
            best = i;
    for (from = best; from > 0 && !is_worse(known(p95[from - 1].value), p95[best].value); from--)
        continue;
    for (to = best; to + 1 < n && !is_worse(known(p95[to + 1].value), p95[best].value); to++)
        continue;
    const bool all = from == 0 && to == n - 1;
    return (aw_curve_shape){
        all ? AW_BEND_FLAT : AW_BEND_BAND, at[from], at[to], at[best], false, false};
}

aw_curve_shape aw_curve_shape_find(aw_sweep_kind kind, const double at[], const aw_estimate p95[],
                                   size_t n)
{
    bool any = false;
    for (size_t i = 0; i < n; i++)
        any = any || isfinite(p95[i].value);
    if (!any)
        return (aw_curve_shape){AW_BEND_NONE, (double)NAN, (double)NAN, (double)NAN, false, false};
    return kind == AW_SWEEP_HEIGHTS ? find_band(at, p95, n) : find_knee(at, p95, n);
}
