/* Pooled errors: exact counts, what their percentiles are at the edges, and how far two tallies
 * that belong together may differ by chance. */
#include "position/tally.h"
#include "links.h"

static void check_same_counts(const aw_tally *a, const aw_tally *b)
{
    for (size_t g = 0; g < a->groups; g++) {
        ck_assert_uint_eq(a->failed[g], b->failed[g]);
        ck_assert_uint_eq(a->total[g], b->total[g]);
    }
    for (int k = 1; k < 100; k++) {
        const double x = aw_tally_percentile(a, k / 100.0), y = aw_tally_percentile(b, k / 100.0);
        ck_assert_msg(x == y, "percentile %d: %g and %g", k, x, y);
    }
    for (int k = 0; k < 2 && a->groups > 1; k++) {
        double one[2], other[2];
        aw_tally_interval(a, k ? 0.9 : 0.5, 2, one);
        aw_tally_interval(b, k ? 0.9 : 0.5, 2, other);
        ck_assert(one[0] == other[0] && one[1] == other[1]);
        ck_assert(one[0] <= one[1]);
    }
}

static float ragged(uint64_t *state)
{
    const double u = test_uniform(state);
    return u < 0.03 ? (float)HUGE_VAL : u < 0.3 ? 0.37f : (float)exp(1.7 * test_normal(state) - 1);
}

START_TEST(draws_added_together_or_one_by_one_count_the_same)
{
    static float errors[5003];
    uint64_t state = 17 + (uint64_t)_i;
    const size_t groups[] = {1, 2, 7, 32, 200}, n = 5003 - 700 * (size_t)_i;
    aw_tally *all = aw_tally_create(groups[_i]), *each = aw_tally_create(groups[_i]);
    for (size_t i = 0; i < n; i++) {
        errors[i] = ragged(&state);
        aw_tally_add(each, errors[i], i % groups[_i]);
    }
    aw_tally_add_all(all, errors, n);
    check_same_counts(all, each);
    ck_assert_uint_eq(all->total[0], (n + groups[_i] - 1) / groups[_i]);
    aw_tally_free(all);
    aw_tally_free(each);
}
END_TEST

/* Five parts of ragged sizes, joined from either end and as a tree. */
START_TEST(the_order_of_joining_does_not_matter)
{
    const size_t order[3][5] = {{0, 1, 2, 3, 4}, {4, 3, 2, 1, 0}, {2, 0, 4, 1, 3}};
    aw_tally *parts[5], *joined[4], *halves = aw_tally_create(16), *whole = aw_tally_create(16);
    uint64_t state = 23;
    for (int k = 0; k < 5; k++) {
        parts[k] = aw_tally_create(16);
        for (int i = 0; i < 300 + 511 * k; i++) {
            const float error = ragged(&state);
            const size_t group = (size_t)(test_uniform(&state) * 16);
            aw_tally_add(parts[k], error, group);
            aw_tally_add(whole, error, group);
        }
    }
    for (int j = 0; j < 4; j++)
        joined[j] = aw_tally_create(16);
    for (int j = 0; j < 3; j++)
        for (int k = 0; k < 5; k++)
            aw_tally_merge(joined[j], parts[order[j][k]]);
    aw_tally_merge(halves, parts[3]);
    aw_tally_merge(halves, parts[1]);
    aw_tally_merge(joined[3], parts[4]);
    aw_tally_merge(joined[3], halves);
    aw_tally_merge(joined[3], parts[0]);
    aw_tally_merge(joined[3], parts[2]);
    for (int j = 0; j < 4; j++)
        check_same_counts(whole, joined[j]);
    for (int j = 0; j < 4; j++)
        aw_tally_free(joined[j]);
    for (int k = 0; k < 5; k++)
        aw_tally_free(parts[k]);
    aw_tally_free(halves);
    aw_tally_free(whole);
}
END_TEST

/* At most 0.1 % above, never below, from 1 um to 131 km; what is smaller or larger stands in the
 * first or last bin. */
START_TEST(one_error_is_read_back_within_its_bin)
{
    uint64_t state = 3;
    for (int i = 0; i < 400; i++) {
        const float x = (float)exp2(test_between(&state, -20, 17));
        aw_tally *t = aw_tally_create(1);
        aw_tally_add(t, i == 0 ? 0x1p-20f : i == 1 ? 0x1.fffffep16f : x, 0);
        const double want = i == 0 ? 0x1p-20 : i == 1 ? 0x1.fffffep16 : (double)x;
        const double got = aw_tally_percentile(t, test_between(&state, 0.001, 1));
        ck_assert_double_ge(got, want);
        ck_assert_double_le(got, want * (1 + 0x1p-10));
        aw_tally_free(t);
    }
    const float odd[] = {0, 1e-30f, 1e-7f, 5e5f, 3e38f};
    for (int i = 0; i < 5; i++) {
        aw_tally *t = aw_tally_create(1);
        aw_tally_add(t, odd[i], 0);
        ck_assert_double_eq(aw_tally_percentile(t, 0.5), i < 3 ? 0x1p-20 * (1 + 0x1p-10) : 0x1p17);
        aw_tally_free(t);
    }
}
END_TEST

/* 1000 errors of which the last 50 failed: p95 is the largest that did not, p95.1 is one of them.
 */
START_TEST(failed_draws_are_the_worst)
{
    aw_tally *t = aw_tally_create(4), *none = aw_tally_create(4), *lost = aw_tally_create(4);
    double ends[2];
    for (size_t i = 0; i < 1000; i++) {
        aw_tally_add(t, i < 950 ? (float)(i + 1) : (float)HUGE_VAL, i % 4);
        aw_tally_add(lost, (float)HUGE_VAL, i % 4);
    }
    ck_assert_double_eq_tol(aw_tally_percentile(t, 0.95), 950.5, 0.51);
    ck_assert(isinf(aw_tally_percentile(t, 0.951)));
    aw_tally_interval(t, 0.95, 2, ends);
    ck_assert(ends[0] <= 950.5 && isinf(ends[1]));
    aw_tally_interval(t, 0.5, 2, ends);
    ck_assert(ends[0] < 501 && ends[1] >= ends[0] && ends[1] < 502);
    ck_assert(isnan(aw_tally_percentile(none, 0.5)));
    ck_assert(isinf(aw_tally_percentile(lost, 0.01)));
    aw_tally_interval(lost, 0.5, 2, ends);
    ck_assert(isinf(ends[0]) && isinf(ends[1]));
    aw_tally_interval(none, 0.5, 2, ends);
    ck_assert(isnan(ends[0]) && isnan(ends[1]));
    ck_assert(isinf(aw_tally_paired_error(t, lost, 0.5)));
    aw_tally_free(t);
    aw_tally_free(none);
    aw_tally_free(lost);
}
END_TEST

/* Of p95, by its interval. */
static double square_error(const aw_tally *t)
{
    double ends[2];
    aw_tally_interval(t, 0.95, 1, ends);
    return pow((ends[1] - ends[0]) / 2, 2);
}

/* Two layouts that share most of their numbers, drawn 300 times. The mean square of the paired
 * error covers the variance of the difference of p95: at least 75 % of it (300 repeats alone leave
 * 8 %), more where so few draws tell the layouts apart that leaving a group out moves little else
 * than chance gaps between draws. What two tallies of their own would have is far more. */
START_TEST(the_paired_error_covers_the_spread_of_the_difference)
{
    uint64_t state = 7;
    double sum = 0, squares = 0, claimed = 0, apart = 0;
    for (int k = 0; k < 300; k++) {
        aw_tally *a = aw_tally_create(32), *b = aw_tally_create(32);
        for (size_t i = 0; i < 64000; i++) {
            const double x = -log(test_uniform(&state) + 0x1p-54);
            aw_tally_add(a, (float)sqrt(x), i % 32);
            aw_tally_add(b, (float)(1.1 * sqrt(x + test_between(&state, 0, 0.4))), i % 32);
        }
        const double d = aw_tally_percentile(b, 0.95) - aw_tally_percentile(a, 0.95);
        sum += d;
        squares += d * d;
        claimed += pow(aw_tally_paired_error(a, b, 0.95), 2);
        apart += square_error(a) + square_error(b);
        aw_tally_free(a);
        aw_tally_free(b);
    }
    const double variance = squares / 300 - pow(sum / 300, 2);
    ck_assert_double_ge(claimed / 300 / variance, 0.75);
    ck_assert_double_gt(apart, 3 * claimed);
}
END_TEST

START_TEST(a_tally_beside_itself_has_no_error)
{
    uint64_t state = 8;
    aw_tally *t = aw_tally_create(32);
    for (size_t i = 0; i < 6000; i++)
        aw_tally_add(t, (float)fabs(test_normal(&state)), i % 32);
    ck_assert(aw_tally_paired_error(t, t, 0.95) == 0);
    ck_assert_double_gt(square_error(t), 0);
    aw_tally_free(t);
}
END_TEST

static TCase *tallies(void)
{
    TCase *tc = tcase_create("tallies");
    tcase_add_loop_test(tc, draws_added_together_or_one_by_one_count_the_same, 0, 5);
    tcase_add_test(tc, the_order_of_joining_does_not_matter);
    tcase_add_test(tc, one_error_is_read_back_within_its_bin);
    tcase_add_test(tc, failed_draws_are_the_worst);
    tcase_add_test(tc, the_paired_error_covers_the_spread_of_the_difference);
    tcase_add_test(tc, a_tally_beside_itself_has_no_error);
    return tc;
}

AW_TEST_MAIN("tally", tallies())
