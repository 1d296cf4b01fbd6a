/** @file tally.h
 *  Pooled errors as integer counts: exact addition, the same for any order of the work.
 *
 *  A bin is named by a float's exponent and top ten mantissa bits, so it is at most 0.1 % wide.
 *  Failed draws are counted apart and rank as infinite. */
#ifndef AW_POSITION_TALLY_H
#define AW_POSITION_TALLY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct aw_tally {
    size_t groups;
    uint64_t *count;  /* count[bin * groups + group], where the bin's block is begun */
    bool *begun;      /* of each block of bins: whether it holds a draw */
    uint64_t *failed; /**< of each group */
    uint64_t *total;  /* of each group, failed ones included */
    uint64_t *sum;    /* of each bin over the groups, [BINS] whether these are known */
    /* Room for the errors of percentiles, so that these cannot want for memory. */
    struct aw_others *others; /* of each group */
    double *without;          /* likewise */
} aw_tally;

/** NULL without memory. */
aw_tally *aw_tally_create(size_t groups);
void aw_tally_free(aw_tally *tally);

/** One draw; an infinite error is a failed one. */
void aw_tally_add(aw_tally *tally, float error, size_t group);

/** n draws, the first of group 0, the next of group 1, round and round. */
void aw_tally_add_all(aw_tally *tally, const float errors[], size_t n);

/** Adds the counts of another tally with as many groups. */
void aw_tally_merge(aw_tally *tally, const aw_tally *other);

/** The upper edge of the bin in which percentile q falls (nearest rank), infinity if that is a
 * failed draw, NaN without draws. */
double aw_tally_percentile(const aw_tally *tally, double q);

/** The jackknife's standard error of a figure from its values without each of the groups in turn.
 */
double aw_jackknife(const double without[], size_t groups);

/** Interval of percentile q: all values that have q - reach s to q + reach s of the draws under
 *  them, s the standard error of the share of draws under percentile q, from the scatter of the
 *  groups (Woodruff, Journal of the American Statistical Association 47:635-646, 1952). That share
 *  is near normal where the percentile itself is not. An end is infinite among failed draws, the
 *  upper one also beyond all draws; 0 if no draw is that small; NaN without draws. */
void aw_tally_interval(const aw_tally *tally, double q, double reach, double ends[2]);

/** Percentile q without each of the groups in turn, `without` with room for these: a difference of
 * two tallies' is what aw_jackknife() takes. */
void aw_tally_without(const aw_tally *tally, double q, double without[]);

/** Standard error of the difference of the percentiles of two tallies whose groups belong together,
 *  each group left out of both in turn. Infinity if one of these does not exist. */
double aw_tally_paired_error(const aw_tally *a, const aw_tally *b, double q);

#endif
