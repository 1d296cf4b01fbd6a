/* Bins from 2^-20 m to 2^17 m; what lies beyond is counted in the outermost ones. Few of the bins
 * are ever used, so the counts are cleared in blocks, each when its first draw comes, and blocks
 * without draws are passed over. */
#include "position/tally.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SHIFT 13
#define FIRST ((uint32_t)(127 - 20) << 10)
#define LAST  ((uint32_t)(127 + 17) << 10)
#define BINS  (LAST - FIRST)
/* Bins of a block: 1.5 % of an error's size. BINS is a multiple. */
#define BLOCK  16
#define BLOCKS (BINS / BLOCK)

/* Of each group: the draws of the others in lower bins, and the rank sought among these others. */
typedef struct aw_others {
    uint64_t below, rank;
} aw_others;

aw_tally *aw_tally_create(size_t groups)
{
    aw_tally *t = calloc(1, sizeof *t);
    if (t == NULL)
        return NULL;
    t->groups = groups;
    t->count = malloc((size_t)BINS * groups * sizeof *t->count);
    t->begun = calloc(BLOCKS, sizeof *t->begun);
    t->failed = calloc(groups, sizeof *t->failed);
    t->total = calloc(groups, sizeof *t->total);
    t->sum = malloc((BINS + 1) * sizeof *t->sum);
    t->others = calloc(groups, sizeof *t->others);
    t->without = calloc(groups, sizeof *t->without);
    if (t->count == NULL || t->begun == NULL || t->failed == NULL || t->total == NULL ||
        t->sum == NULL || t->others == NULL || t->without == NULL) {
        aw_tally_free(t);
        return NULL;
    }
    t->sum[BINS] = false;
    return t;
}

void aw_tally_free(aw_tally *tally)
{
    if (tally == NULL)
        return;
    free(tally->count);
    free(tally->begun);
    free(tally->failed);
    free(tally->total);
    free(tally->sum);
    free(tally->others);
    free(tally->without);
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

static uint64_t *counts_of(const aw_tally *t, uint32_t bin)
{
    return t->count + (size_t)bin * t->groups;
}

/* Makes a block ready to be counted in. */
static void begin_block(aw_tally *t, uint32_t block)
{
    if (t->begun[block])
        return;
    t->begun[block] = true;
    memset(counts_of(t, block * BLOCK), 0, BLOCK * t->groups * sizeof *t->count);
}

void aw_tally_add(aw_tally *tally, float error, size_t group)
{
    tally->total[group]++;
    tally->sum[BINS] = false;
    if (isinf(error)) {
        tally->failed[group]++;
        return;
    }
    const uint32_t bin = bin_of(error);
    begin_block(tally, bin / BLOCK);
    counts_of(tally, bin)[group]++;
}

/* Nearly all draws fall in a bin that has been begun; the others count themselves. Made for one
 * group, as a floor has, and for any number. */
static inline void add_each(aw_tally *tally, const float errors[], size_t n, const size_t groups)
{
    const bool *begun = tally->begun;
    uint64_t *count = tally->count;
    for (size_t g = 0; g < groups; g++)
        tally->total[g] += n / groups + (g < n % groups);
    tally->sum[BINS] = false;
    for (size_t i = 0, group = 0; i < n; i++) {
        uint32_t bits;
        memcpy(&bits, &errors[i], sizeof bits);
        const uint32_t bin = (bits >> SHIFT) - FIRST;
        if (bin < BINS && begun[bin / BLOCK]) {
            count[bin * groups + group]++;
        } else {
            tally->total[group]--;
            aw_tally_add(tally, errors[i], group);
        }
        group = group + 1 == groups ? 0 : group + 1;
    }
}

void aw_tally_add_all(aw_tally *tally, const float errors[], size_t n)
{
    if (tally->groups == 1)
        add_each(tally, errors, n, 1);
    else
        add_each(tally, errors, n, tally->groups);
}

static void merge_block(aw_tally *t, const aw_tally *other, uint32_t block)
{
    uint64_t *to = counts_of(t, block * BLOCK);
    const uint64_t *from = counts_of(other, block * BLOCK);
    for (size_t i = 0; i < BLOCK * t->groups; i++)
        to[i] += from[i];
}

void aw_tally_merge(aw_tally *tally, const aw_tally *other)
{
    tally->sum[BINS] = false;
    for (uint32_t block = 0; block < BLOCKS; block++)
        if (other->begun[block]) {
            begin_block(tally, block);
            merge_block(tally, other, block);
        }
    for (size_t g = 0; g < tally->groups; g++) {
        tally->failed[g] += other->failed[g];
        tally->total[g] += other->total[g];
    }
}

/* The first bin from `bin` on that lies in a block with draws; BINS if there is none. */
static uint32_t skip_to(const aw_tally *t, uint32_t bin)
{
    while (bin < BINS && !t->begun[bin / BLOCK])
        bin = (bin / BLOCK + 1) * BLOCK;
    return bin;
}

static double edge(uint32_t bin)
{
    const uint32_t bits = (FIRST + bin) << SHIFT;
    float x;
    memcpy(&x, &bits, sizeof x);
    return (double)x;
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

static void add_up(const aw_tally *t)
{
    for (uint32_t bin = skip_to(t, 0); bin < BINS; bin = skip_to(t, bin + 1))
        t->sum[bin] = sum_of(counts_of(t, bin), t->groups);
    t->sum[BINS] = true;
}

/* Counts over the groups, which are looked through often. */
static const uint64_t *sums_of(const aw_tally *t)
{
    if (t->groups == 1)
        return t->count;
    if (!t->sum[BINS])
        add_up(t);
    return t->sum;
}

/* The upper edge of the bin with the draw of a rank (from 1). */
static double value_of(const aw_tally *t, double rank)
{
    const uint64_t *sums = sums_of(t);
    double below = 0;
    for (uint32_t bin = skip_to(t, 0); bin < BINS; bin = skip_to(t, bin + 1)) {
        below += (double)sums[bin];
        if (below >= rank)
            return edge(bin + 1);
    }
    return HUGE_VAL;
}

double aw_tally_percentile(const aw_tally *tally, double q)
{
    const uint64_t n = sum_of(tally->total, tally->groups);
    return n > 0 ? value_of(tally, (double)rank_of(q, n)) : (double)NAN;
}

/* Standard error of the share of draws up to x, from what each group has more than its part. */
static double share_error(const aw_tally *t, double x)
{
    const double n = (double)sum_of(t->total, t->groups), groups = (double)t->groups;
    double all = 0, squares = 0;
    for (size_t g = 0; g < t->groups; g++)
        t->without[g] = 0;
    for (uint32_t bin = skip_to(t, 0); bin < BINS && edge(bin) < x; bin = skip_to(t, bin + 1))
        for (size_t g = 0; g < t->groups; g++)
            t->without[g] += (double)counts_of(t, bin)[g];
    for (size_t g = 0; g < t->groups; g++)
        all += t->without[g];
    for (size_t g = 0; g < t->groups; g++) {
        const double more = t->without[g] - all / n * (double)t->total[g];
        squares += more * more;
    }
    return sqrt(squares * groups / (groups - 1)) / n;
}

void aw_tally_interval(const aw_tally *tally, double q, double reach, double ends[2])
{
    const double n = (double)sum_of(tally->total, tally->groups);
    const double off = reach * share_error(tally, aw_tally_percentile(tally, q));
    const double low = ceil(n * (q - off) - 1e-9), high = floor(n * (q + off) + 1e-9) + 1;
    ends[0] = low >= 1 ? value_of(tally, low) : n > 0 ? 0 : (double)NAN;
    ends[1] = n > 0 ? value_of(tally, high) : (double)NAN;
}

/* Goes past one bin of so many draws. The percentile without a group is read as if the draws of its
 * bin were spread evenly. */
static void pass_bin(const aw_tally *t, uint32_t bin, uint64_t all)
{
    const uint64_t *count = counts_of(t, bin);
    for (size_t g = 0; g < t->groups && all > 0; g++) {
        aw_others *of = &t->others[g];
        const uint64_t below = of->below, here = all - count[g];
        of->below += here;
        if (below < of->rank && below + here >= of->rank) {
            const double share = ((double)(of->rank - below) - 0.5) / (double)here;
            t->without[g] = edge(bin) + share * (edge(bin + 1) - edge(bin));
        }
    }
}

/* Sets `without` to the percentile without each group in turn. */
static void leave_out(const aw_tally *t, double q)
{
    const uint64_t n = sum_of(t->total, t->groups), *sums = sums_of(t);
    for (size_t g = 0; g < t->groups; g++) {
        t->others[g] = (aw_others){0, rank_of(q, n - t->total[g])};
        t->without[g] = HUGE_VAL;
    }
    for (uint32_t bin = skip_to(t, 0); bin < BINS; bin = skip_to(t, bin + 1))
        pass_bin(t, bin, sums[bin]);
}

double aw_jackknife(const double without[], size_t groups)
{
    const double n = (double)groups;
    double mean = 0, squares = 0;
    for (size_t g = 0; g < groups; g++)
        mean += without[g] / n;
    for (size_t g = 0; g < groups; g++)
        squares += (without[g] - mean) * (without[g] - mean);
    return sqrt((n - 1) / n * squares);
}

void aw_tally_without(const aw_tally *tally, double q, double without[])
{
    leave_out(tally, q);
    memcpy(without, tally->without, tally->groups * sizeof *without);
}

double aw_tally_paired_error(const aw_tally *a, const aw_tally *b, double q)
{
    leave_out(a, q);
    leave_out(b, q);
    for (size_t g = 0; g < a->groups; g++)
        a->without[g] = b->without[g] - a->without[g];
    const double error = aw_jackknife(a->without, a->groups);
    return isfinite(error) ? error : HUGE_VAL;
}
