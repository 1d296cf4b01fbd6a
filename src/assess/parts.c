/* The table of parts, and what is said of each by the same rule. */
#include "assess/parts.h"
#include "assess/zone_assess.h"

#include <math.h>

#include <gsl/gsl_cdf.h>

#include "position/trials.h"

#define MOST_DRAWS 1e6

#define NEED(member) .offset = offsetof(aw_need, member)

/* In the order in which a need is told. */
const aw_part_row aw_part_rows[AW_PARTS] = {
    [AW_PART_P95] = {.key = "p95_m",
                     .name = "p95",
                     .ask = "p95 <= ",
                     .quantile = 0.95,
                     .is_length = true,
                     .is_simulated = true,
                     NEED(p95)},
    [AW_PART_SHARE] = {.key = "share",
                       .name = "weak pockets",
                       .quantity = "share of cells with p95 within the need",
                       .ask = "in ",
                       .is_simulated = true,
                       NEED(share)},
    [AW_PART_P50] = {.key = "p50_m",
                     .name = "p50",
                     .ask = "p50 <= ",
                     .quantile = 0.5,
                     .is_length = true,
                     .is_simulated = true,
                     NEED(p50)},
    [AW_PART_P99] = {.key = "p99_m",
                     .name = "p99",
                     .ask = "p99 <= ",
                     .quantile = 0.99,
                     .is_length = true,
                     .is_simulated = true,
                     NEED(p99)},
    [AW_PART_VERTICAL_P95] = {.key = "vertical_p95_m",
                              .name = "height p95",
                              .ask = "height p95 <= ",
                              .quantile = 0.95,
                              .is_length = true,
                              .is_simulated = true,
                              NEED(vertical_p95)},
    [AW_PART_FIX_SHARE] = {.key = "fix_share",
                           .name = "fix share",
                           .ask = "fix share >= ",
                           .is_simulated = true,
                           NEED(fix_share)},
    [AW_PART_ZONE_SHARE] = {.key = "zone_share",
                            .name = "zone share",
                            .ask = "zone share >= ",
                            .is_simulated = true,
                            NEED(zone_share)},
    [AW_PART_ODDS] = {.key = "odds", .name = "p95 odds", .offset = SIZE_MAX},
    [AW_PART_CHANCE] = {.key = "chance",
                        .name = "chance",
                        .is_simulated = true,
                        .offset = SIZE_MAX},
};

double aw_need_asks(const aw_need *need, aw_part part)
{
    const size_t offset = aw_part_rows[part].offset;
    return offset == SIZE_MAX ? (double)NAN
                              : *(const double *)(const void *)((const char *)need + offset);
}

bool aw_need_is_stated(const aw_need *need)
{
    for (int part = 0; part < AW_PARTS; part++)
        if (!isnan(aw_need_asks(need, (aw_part)part)))
            return true;
    return false;
}

/* --- estimates --- */

double aw_interval_level(const aw_study *study)
{
    return isnan(study->precision) ? 0.95 : 1 - 0.05 / AW_LOOKS;
}

static double t31(double level)
{
    return gsl_cdf_tdist_Pinv((1 + level) / 2, AW_GROUPS - 1);
}

aw_estimate aw_estimate_percentile(const aw_tally *tally, double q, uint32_t draws, double level)
{
    double ends[2] = {(double)NAN, (double)NAN};
    if (draws >= AW_FEWEST_DRAWS)
        aw_tally_interval(tally, q, t31(level), ends);
    return (aw_estimate){aw_tally_percentile(tally, q), ends[0], ends[1]};
}

/* Wilson 1927: the shares from which n trials would lie no more than t31 standard errors off. */
static void set_share_ends(aw_estimate *e, double n, double level)
{
    const double p = e->value, z2 = t31(level) * t31(level) / n;
    const double centre = (p + z2 / 2) / (1 + z2);
    const double reach = sqrt(p * (1 - p) * z2 + z2 * z2 / 4) / (1 + z2);
    e->low = p > 0 ? fmin(fmax(centre - reach, 0), p) : 0;
    e->high = p < 1 ? fmax(fmin(centre + reach, 1), p) : 1;
}

aw_estimate aw_estimate_share(const uint64_t part[], const uint64_t whole[], uint32_t draws,
                              bool shared, double level)
{
    double x = 0, n = 0, squares = 0;
    for (size_t g = 0; g < AW_GROUPS; g++) {
        x += (double)part[g];
        n += (double)whole[g];
    }
    aw_estimate e = {n > 0 ? x / n : (double)NAN, (double)NAN, (double)NAN};
    if (draws < AW_FEWEST_DRAWS || !(n > 0))
        return e;
    for (size_t g = 0; g < AW_GROUPS; g++) {
        const double more = (double)part[g] - e.value * (double)whole[g];
        squares += more * more;
    }
    const double variance = squares * AW_GROUPS / (AW_GROUPS - 1) / (n * n);
    set_share_ends(&e,
                   variance > 0 ? e.value * (1 - e.value) / variance
                   : shared     ? (double)draws
                                : n,
                   level);
    return e;
}

/* As many as n cells that are on one side may by chance seem to be on the other. */
static unsigned by_chance(size_t n, double level)
{
    unsigned k = (unsigned)(0.025 * (double)n);
    while (gsl_cdf_binomial_P(k, 0.025, (unsigned)n) < (1 + level) / 2)
        k++;
    return k;
}

static double less_chance(size_t sure, size_t n, double level)
{
    const size_t false_ones = by_chance(n - sure, level);
    return sure > false_ones ? (double)(sure - false_ones) / (double)n : 0;
}

aw_estimate aw_estimate_cells(double value, const uint32_t within[], size_t n, uint32_t draws,
                              double level)
{
    size_t meeting = 0, failing = 0, ranks[2];
    aw_estimate e = {value, (double)NAN, (double)NAN};
    if (draws < AW_FEWEST_DRAWS || n == 0)
        return e;
    aw_rank_interval(draws, 0.95, ranks);
    for (size_t i = 0; i < n; i++) {
        failing += within[i] < ranks[0];
        meeting += within[i] >= ranks[1];
    }
    e.low = fmin(less_chance(meeting, n, level), value);
    e.high = fmax(1 - less_chance(failing, n, level), value);
    return e;
}

/* --- verdicts --- */

aw_part_result aw_part_not_asked(aw_estimate found)
{
    return (aw_part_result){(double)NAN, found, AW_NO_NEED};
}

/* Comparisons with NaN are false, so a missing interval leaves a part undecided. */
aw_part_result aw_part_judge(aw_part part, double asked, aw_estimate found)
{
    const bool length = aw_part_rows[part].is_length;
    const bool holds = length ? found.high <= asked : found.low >= asked;
    const bool fails = length ? found.low > asked : found.high < asked;
    return (aw_part_result){asked, found, holds ? AW_MET : fails ? AW_NOT_MET : AW_UNDECIDED};
}

aw_part aw_zone_fails_by(const aw_zone_result *r)
{
    for (int i = 0; i < AW_PARTS; i++) {
        const aw_part_result *p = &r->parts[i];
        const bool holds =
            aw_part_rows[i].is_length ? p->found.value <= p->asked : p->found.value >= p->asked;
        if (p->verdict != AW_NO_NEED && !holds)
            return (aw_part)i;
    }
    return AW_PARTS;
}

bool aw_zone_holds(const aw_zone_result *r)
{
    return aw_zone_fails_by(r) == AW_PARTS;
}

aw_verdict aw_verdict_join(aw_verdict a, aw_verdict b)
{
    if (a == AW_NO_NEED || b == AW_NO_NEED)
        return a == AW_NO_NEED ? b : a;
    if (a == AW_NOT_MET || b == AW_NOT_MET)
        return AW_NOT_MET;
    return a == AW_UNDECIDED || b == AW_UNDECIDED ? AW_UNDECIDED : AW_MET;
}

static double draws_to_settle(const aw_part_result *r, uint32_t draws)
{
    if (draws < AW_FEWEST_DRAWS)
        return AW_FEWEST_DRAWS;
    const aw_estimate *e = &r->found;
    const double reach = isinf(e->high) ? e->value - e->low : (e->high - e->low) / 2;
    const double gap = fabs(e->value - r->asked);
    return ceil((double)draws * (reach / gap) * (reach / gap));
}

double aw_parts_draws_to_settle(const aw_part_result parts[AW_PARTS], uint32_t draws)
{
    double most = 0;
    for (int part = 0; part < AW_PARTS; part++) {
        if (parts[part].verdict != AW_UNDECIDED)
            continue;
        const double n =
            aw_part_rows[part].is_simulated ? draws_to_settle(&parts[part], draws) : (double)NAN;
        if (!(n <= MOST_DRAWS))
            return (double)NAN;
        most = fmax(most, n);
    }
    return most > 0 ? most : (double)NAN;
}
