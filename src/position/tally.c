/* Bins from 2^-20 m to 2^17 m; what lies beyond is counted in the outermost ones. */
#include "anchorwise/tally.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define SHIFT 13
#define FIRST ((uint32_t)(127 - 20) << 10)
#define LAST  ((uint32_t)(127 + 17) << 10)
#define BINS  (LAST - FIRST)

aw_tally *aw_tally_create(size_t groups)
{
    aw_tally *t = calloc(1, sizeof *t);
    if (t == NULL)
        return NULL;
    t->groups = groups;
    t->count = calloc((size_t)BINS * groups, sizeof *t->count);
    t->failed = calloc(groups, sizeof *t->failed);
    t->total = calloc(groups, sizeof *t->total);
    if (t->count == NULL || t->failed == NULL || t->total == NULL) {
        aw_tally_free(t);
        return NULL;
    }
    return t;
}

void aw_tally_free(aw_tally *tally)
{
    if (tally == NULL)
        return;
    free(tally->count);
    free(tally->failed);
    free(tally->total);
    free(tally);
}

/* The bin of a finite error. */
static uint32_t bin_of(float error)
{
    uint32_t bits;
    memcpy(&bits, &error, sizeof bits);
    const uint32_t name = bits >> SHIFT;
    return name < FIRST ? 0 : name >= LAST ? BINS - 1 : name - FIRST;
}

void aw_tally_add(aw_tally *tally, float error, size_t group)
{
    tally->total[group]++;
    if (isinf(error))
        tally->failed[group]++;
    else
        tally->count[(size_t)bin_of(error) * tally->groups + group]++;
}

void aw_tally_add_all(aw_tally *tally, const float errors[], size_t n)
{
    for (size_t i = 0, group = 0; i < n; i++) {
        aw_tally_add(tally, errors[i], group);
        group = group + 1 == tally->groups ? 0 : group + 1;
    }
}

void aw_tally_merge(aw_tally *tally, const aw_tally *other)
{
    for (size_t i = 0; i < (size_t)BINS * tally->groups; i++)
        tally->count[i] += other->count[i];
    for (size_t g = 0; g < tally->groups; g++) {
        tally->failed[g] += other->failed[g];
        tally->total[g] += other->total[g];
    }
}

static double edge(uint32_t bin)
{
    const uint32_t bits = (FIRST + bin) << SHIFT;
    float x;
    memcpy(&x, &bits, sizeof x);
    return (double)x;
}

static uint64_t in_bin(const aw_tally *t, uint32_t bin, size_t group)
{
    return t->count[(size_t)bin * t->groups + group];
}

static uint64_t bin_total(const aw_tally *t, uint32_t bin)
{
    uint64_t sum = 0;
    for (size_t g = 0; g < t->groups; g++)
        sum += in_bin(t, bin, g);
    return sum;
}

static uint64_t sum_of(const uint64_t list[], size_t n)
{
    uint64_t sum = 0;
    for (size_t i = 0; i < n; i++)
        sum += list[i];
    return sum;
}

static uint64_t rank_of(double q, uint64_t n)
{
    const double rank = ceil(q * (double)n - 1e-9);
    return rank < 1 ? 1 : (uint64_t)rank;
}

double aw_tally_percentile(const aw_tally *tally, double q)
{
    const uint64_t n = sum_of(tally->total, tally->groups), rank = rank_of(q, n);
    uint64_t below = 0;
    if (n == 0)
        return (double)NAN;
    for (uint32_t bin = 0; bin < BINS; bin++) {
        below += bin_total(tally, bin);
        if (below >= rank)
            return edge(bin + 1);
    }
    return HUGE_VAL;
}

/* The percentile with one group left out, as if the draws of its bin were spread evenly. */
static double percentile_without(const aw_tally *t, const uint64_t all[], double q, size_t group)
{
    const uint64_t n = sum_of(t->total, t->groups) - t->total[group], rank = rank_of(q, n);
    uint64_t below = 0;
    for (uint32_t bin = 0; bin < BINS; bin++) {
        const uint64_t here = all[bin] - in_bin(t, bin, group);
        if (below + here >= rank) {
            const double share = ((double)(rank - below) - 0.5) / (double)here;
            return edge(bin) + share * (edge(bin + 1) - edge(bin));
        }
        below += here;
    }
    return HUGE_VAL;
}

/* The percentile without each group in turn; false without memory. */
static bool leave_out(const aw_tally *t, double q, double without[])
{
    uint64_t *all = malloc(BINS * sizeof *all);
    if (all == NULL)
        return false;
    for (uint32_t bin = 0; bin < BINS; bin++)
        all[bin] = bin_total(t, bin);
    for (size_t g = 0; g < t->groups; g++)
        without[g] = percentile_without(t, all, q, g);
    free(all);
    return true;
}

/* The jackknife's standard error from the values without each group. */
static double jackknife(const double without[], size_t groups)
{
    const double n = (double)groups;
    double mean = 0, squares = 0;
    for (size_t g = 0; g < groups; g++)
        mean += without[g] / n;
    for (size_t g = 0; g < groups; g++)
        squares += (without[g] - mean) * (without[g] - mean);
    return sqrt((n - 1) / n * squares);
}

double aw_tally_standard_error(const aw_tally *tally, double q)
{
    double *without = malloc(tally->groups * sizeof *without), error = HUGE_VAL;
    size_t infinite = 0;
    if (without != NULL && leave_out(tally, q, without)) {
        for (size_t g = 0; g < tally->groups; g++)
            infinite += isinf(without[g]) != 0;
        error = infinite == 0               ? jackknife(without, tally->groups)
                : infinite == tally->groups ? 0
                                            : HUGE_VAL;
    }
    free(without);
    return error;
}

double aw_tally_paired_error(const aw_tally *a, const aw_tally *b, double q)
{
    double *x = malloc(a->groups * sizeof *x), *y = malloc(a->groups * sizeof *y);
    double error = HUGE_VAL;
    if (x != NULL && y != NULL && leave_out(a, q, x) && leave_out(b, q, y)) {
        for (size_t g = 0; g < a->groups; g++)
            x[g] = y[g] - x[g];
        error = jackknife(x, a->groups);
    }
    free(x);
    free(y);
    return isfinite(error) ? error : HUGE_VAL;
}
