/* Running sums against the bound's own passes, and the spreads of many cells against quadrature of
 * each. */
#include "position/error_law_batch.h"
#include "position/kernel.h"
#include "position/sums.h"
#include "links.h"

#define MOST 14

/* Ragged links round a spot: directions, believed and true errors, lateness all differ. */
static aw_link ragged(uint64_t *state, uint32_t key)
{
    const double spot[3] = {0, 0, 1.1};
    const double anchor[3] = {test_between(state, -40, 40), test_between(state, -30, 30),
                              test_between(state, 2, 9)};
    aw_link link = clear_link(key, anchor, spot, test_between(state, 0.05, 0.3));
    link.believed = test_between(state, 0.08, 0.25);
    link.spot = test_between(state, 0, 0.2);
    link.outcomes[0].excess = test_uniform(state) < 0.3 ? test_between(state, 0, 0.6) : 0;
    return link;
}

static void check_expected(const aw_expected *got, const aw_expected *want, int dims)
{
    const double scale = want->xx + want->yy, length = sqrt(scale);
    ck_assert_int_eq(got->status, want->status);
    if (want->status != AW_BOUND_OK) {
        ck_assert(isnan(got->xx) && isnan(got->bias[0]));
        return;
    }
    ck_assert_double_le(fabs(got->xx - want->xx), AW_SUMS_SOUND * scale);
    ck_assert_double_le(fabs(got->xy - want->xy), AW_SUMS_SOUND * scale);
    ck_assert_double_le(fabs(got->yy - want->yy), AW_SUMS_SOUND * scale);
    for (int k = 0; k < 2; k++)
        ck_assert_double_le(fabs(got->bias[k] - want->bias[k]),
                            AW_SUMS_SOUND * (length + fabs(want->bias[k])));
    if (dims == 3)
        ck_assert_double_le(fabs(got->zz - want->zz), AW_SUMS_SOUND * (scale + want->zz));
}

static aw_expected recomputed(const aw_link set[], const bool in[], aw_fix_kind dims, double height)
{
    aw_link now[MOST];
    size_t n = 0;
    for (size_t i = 0; i < MOST; i++)
        if (in[i])
            now[n++] = set[i];
    const aw_bound b = aw_bound_at(now, n, dims);
    return aw_bound_expect(&b, height);
}

/* 1000 anchors come and go one at a time: what the sums give equals a fresh pass to 1e-10. The
 * sums give up where few anchors are left that scatter little; in 3d, where heights scatter little,
 * more often. */
START_TEST(a_thousand_additions_and_removals_equal_a_fresh_pass)
{
    const aw_fix_kind dims = _i == 0 ? AW_FIX_2D : AW_FIX_3D;
    uint64_t state = 77 + (uint64_t)_i;
    aw_link set[MOST];
    bool in[MOST] = {false};
    aw_sums sums = {0};
    size_t sound = 0, with_position = 0;
    for (uint32_t i = 0; i < MOST; i++)
        set[i] = ragged(&state, i + 1);
    for (int step = 0; step < 1000; step++) {
        const size_t i = (size_t)(test_uniform(&state) * MOST);
        if (in[i])
            aw_sums_remove(&sums, &set[i]);
        else
            aw_sums_add(&sums, &set[i]);
        in[i] = !in[i];
        const aw_expected got = aw_sums_expect(&sums, dims, 0.13);
        const aw_expected want = recomputed(set, in, dims, 0.13);
        with_position += want.status == AW_BOUND_OK;
        if (got.is_accurate)
            check_expected(&got, &want, (int)dims);
        sound += got.is_accurate && got.status == AW_BOUND_OK;
    }
    ck_assert_uint_gt(with_position, 700);
    ck_assert_uint_gt(sound, with_position * (dims == AW_FIX_2D ? 98 : 80) / 100);
}
END_TEST

/* Anchors in one direction scatter so little that the sums hold only rounding: they say so. */
START_TEST(sums_that_cancel_say_so)
{
    const double spot[3] = {0, 0, 1};
    aw_sums sums = {0};
    for (uint32_t i = 0; i < 6; i++) {
        const double anchor[3] = {3e6 + i, 0.01 * i * i, 1 + i};
        const aw_link link = clear_link(i + 1, anchor, spot, 0.1);
        aw_sums_add(&sums, &link);
    }
    ck_assert(!aw_sums_expect(&sums, AW_FIX_2D, 0).is_accurate);
}
END_TEST

/* Some of few links, one in nine of none that scatters. */
static aw_sums sums_of_some(uint64_t *state)
{
    aw_sums sums = {0};
    const uint32_t n = 1 + (uint32_t)(test_uniform(state) * 9);
    const aw_link first = ragged(state, 1);
    for (uint32_t i = 0; i < n; i++) {
        const aw_link link = n < 9 ? ragged(state, i + 1) : first;
        aw_sums_add(&sums, &link);
    }
    return sums;
}

/* Side by side at any level, in any number: the bits of one by itself. */
START_TEST(many_sums_have_the_laws_of_each)
{
    enum { N = 203 };
    static const char *const levels[] = {"base", "v3", "v4"};
    const aw_kernel *kernel = aw_kernel_named(levels[_i]);
    aw_sums sums[N];
    aw_law laws[N];
    aw_error_laws one;
    uint64_t state = 31;
    size_t open = 0;
    if (kernel == NULL)
        return;
    ck_assert(aw_error_laws_create(&one, 1, 1));
    for (size_t i = 0; i < N; i++)
        sums[i] = sums_of_some(&state);
    kernel->expect(sums, N, 0.13, laws);
    for (size_t i = 0; i < N; i++) {
        const aw_expected e = aw_sums_expect(&sums[i], AW_FIX_2D, 0.13);
        ck_assert(laws[i].open == (e.status != AW_BOUND_OK));
        open += laws[i].open;
        if (laws[i].open)
            continue;
        aw_error_laws_set(&one, 0, &e);
        const float want[] = {one.along[0], one.across[0], one.major[0], one.minor[0]};
        const float got[] = {laws[i].along, laws[i].across, laws[i].major, laws[i].minor};
        ck_assert_mem_eq(got, want, sizeof want);
        aw_error_laws_put(&one, 0, &laws[i]);
        ck_assert_mem_eq(one.minor, &want[3], sizeof *want);
    }
    ck_assert_uint_gt(open, N / 5);
    ck_assert_uint_lt(open, N / 2);
    aw_error_laws_free(&one);
}
END_TEST

START_TEST(too_few_links_have_no_position)
{
    uint64_t state = 5;
    aw_sums sums = {0};
    aw_link unusable = ragged(&state, 9);
    unusable.n_outcomes = 0;
    for (uint32_t i = 0; i < 2; i++) {
        const aw_link link = ragged(&state, i + 1);
        aw_sums_add(&sums, &link);
        aw_sums_add(&sums, &unusable);
    }
    const aw_expected e = aw_sums_expect(&sums, AW_FIX_2D, 0);
    ck_assert_int_eq(e.status, AW_BOUND_TOO_FEW);
    ck_assert(isnan(e.xx) && isnan(e.bias[0]));
}
END_TEST

/* --- spreads --- */

static aw_expected random_law(uint64_t *state)
{
    const double a = test_between(state, 0.05, 1.2), b = a * test_between(state, 0.02, 1);
    const double turn = test_between(state, 0, M_PI), c = cos(turn), d = sin(turn);
    return (aw_expected){.status = AW_BOUND_OK,
                         .is_accurate = true,
                         .bias = {test_between(state, -0.7, 0.7), test_between(state, -0.7, 0.7)},
                         .xx = a * a * c * c + b * b * d * d,
                         .xy = (a * a - b * b) * c * d,
                         .yy = a * a * d * d + b * b * c * c};
}

static aw_error_law law_of(const aw_expected *e)
{
    return aw_error_law_of(e->bias[0], e->bias[1], e->xx, e->xy, e->yy);
}

START_TEST(one_cell_has_the_percentiles_of_its_own_law)
{
    uint64_t state = 901 + (uint64_t)_i;
    aw_error_laws s;
    ck_assert(aw_error_laws_create(&s, 1, 1));
    const aw_expected e = random_law(&state);
    const aw_error_law law = law_of(&e);
    aw_error_laws_set(&s, 0, &e);
    static const double q[] = {0.5, 0.95, 0.99};
    for (int k = 0; k < 3; k++) {
        const double want = aw_error_law_percentile(&law, q[k]);
        ck_assert_double_le(fabs(aw_error_laws_percentile(&s, q[k], 0) - want), 1e-4 * want);
        ck_assert_double_le(fabs(aw_error_laws_percentile(&s, q[k], 7 * want) - want), 1e-4 * want);
    }
    aw_error_laws_free(&s);
}
END_TEST

/* From nearly round to a line, from no bias to several times the scatter, against the 64-point
 * quadrature of one law at a time; every 50th cell has no position. */
START_TEST(each_cell_has_the_percentile_of_its_own_law)
{
    enum { CELLS = 700 };
    static const double q[] = {0.5, 0.95, 0.99};
    uint64_t state = 77;
    aw_error_laws s;
    double got[CELLS];
    aw_expected e[CELLS];
    ck_assert(aw_error_laws_create(&s, CELLS, 1));
    for (size_t i = 0; i < CELLS; i++) {
        e[i] = random_law(&state);
        for (int k = 0; k < 2; k++)
            e[i].bias[k] *= i % 3 == 0 ? 0 : i % 3 == 1 ? 1 : 5;
        if (i % 50 != 49)
            aw_error_laws_set(&s, i, &e[i]);
    }
    for (int k = 0; k < 3; k++) {
        aw_error_laws_each(&s, q[k], got);
        for (size_t i = 0; i < CELLS; i++) {
            const aw_error_law law = law_of(&e[i]);
            const double want = aw_error_law_percentile(&law, q[k]);
            if (i % 50 == 49)
                ck_assert(isinf(got[i]));
            else
                ck_assert_double_le(fabs(got[i] - want), 1e-4 * want);
        }
    }
    aw_error_laws_free(&s);
}
END_TEST

/* Definition: the radius at which the mean of the cells' shares is q; shares by 64-point
 * quadrature. */
START_TEST(a_zones_percentile_is_where_the_mean_share_is)
{
    enum { CELLS = 333 };
    uint64_t state = 31;
    aw_error_laws s;
    double mean = 0, worst = 0;
    size_t worst_at = 0;
    ck_assert(aw_error_laws_create(&s, CELLS, 1));
    aw_expected e[CELLS];
    for (size_t i = 0; i < CELLS; i++) {
        e[i] = random_law(&state);
        aw_error_laws_set(&s, i, &e[i]);
    }
    const double p95 = aw_error_laws_percentile(&s, 0.95, 0);
    size_t within = 0;
    for (size_t i = 0; i < CELLS; i++) {
        const aw_error_law law = law_of(&e[i]);
        const double share = aw_error_law_share(&law, p95),
                     own = aw_error_law_percentile(&law, 0.95);
        mean += share / CELLS;
        within += share >= 0.95;
        if (own > worst) {
            worst = own;
            worst_at = i;
        }
    }
    ck_assert_double_le(fabs(mean - 0.95), 1e-5);
    ck_assert_double_le(fabs(aw_error_laws_share(&s, p95) - 0.95), 1e-5);
    ck_assert_uint_eq(aw_error_laws_within(&s, p95, 0.95), within);
    double found;
    ck_assert_uint_eq(aw_error_laws_worst(&s, 0.95, &found), worst_at);
    ck_assert_double_le(fabs(found - worst), 1e-4 * worst);
    aw_error_laws_free(&s);
}
END_TEST

START_TEST(a_cell_without_a_position_holds_nothing)
{
    uint64_t state = 8;
    aw_error_laws s;
    double p;
    ck_assert(aw_error_laws_create(&s, 40, 1));
    for (size_t i = 0; i < 39; i++) {
        const aw_expected e = random_law(&state);
        aw_error_laws_set(&s, i + (i >= 17), &e);
    }
    /* 39 of 40 cells: 97.5 % at most. */
    ck_assert_double_le(fabs(aw_error_laws_share(&s, 1000) - 0.975), 1e-5);
    ck_assert(isfinite(aw_error_laws_percentile(&s, 0.95, 0)));
    ck_assert(isinf(aw_error_laws_percentile(&s, 0.98, 0)));
    ck_assert_uint_eq(aw_error_laws_worst(&s, 0.95, &p), 17);
    ck_assert(isinf(p));
    aw_error_laws_free(&s);
}
END_TEST

START_TEST(equal_cells_are_as_bad_as_one)
{
    uint64_t state = 3;
    aw_error_laws s;
    double p;
    ck_assert(aw_error_laws_create(&s, 200, 1));
    const aw_expected e = random_law(&state);
    for (size_t i = 0; i < 200; i++)
        aw_error_laws_set(&s, i, &e);
    const aw_error_law law = law_of(&e);
    ck_assert_uint_eq(aw_error_laws_worst(&s, 0.95, &p), 0);
    ck_assert_double_le(fabs(p - aw_error_law_percentile(&law, 0.95)), 1e-4 * p);
    aw_error_laws_free(&s);
}
END_TEST

START_TEST(every_level_gives_the_same_shares)
{
    uint64_t state = 12;
    aw_error_laws s;
    ck_assert(aw_error_laws_create(&s, AW_LANES, 1));
    for (size_t i = 0; i < AW_LANES; i++) {
        const aw_expected e = random_law(&state);
        aw_error_laws_set(&s, i, &e);
    }
    const aw_lane_laws laws = {s.along, s.across, s.major, s.minor};
    const char *const levels[] = {"v3", "v4"};
    for (int k = 0; k < 2; k++) {
        const aw_kernel *kernel = aw_kernel_named(levels[k]);
        float base[AW_LANES], other[AW_LANES];
        for (int step = 0; kernel != NULL && step < 20; step++) {
            float radius[AW_LANES];
            for (int l = 0; l < AW_LANES; l++)
                radius[l] = 0.02f * powf(1.3f, (float)(step + l % 3));
            aw_kernel_named("base")->shares(&laws, radius, base);
            kernel->shares(&laws, radius, other);
            ck_assert_mem_eq(base, other, sizeof base);
        }
    }
    aw_error_laws_free(&s);
}
END_TEST

static TCase *sums_case(void)
{
    TCase *tc = tcase_create("sums");
    tcase_add_loop_test(tc, a_thousand_additions_and_removals_equal_a_fresh_pass, 0, 2);
    tcase_add_test(tc, sums_that_cancel_say_so);
    tcase_add_loop_test(tc, many_sums_have_the_laws_of_each, 0, 3);
    tcase_add_test(tc, too_few_links_have_no_position);
    return tc;
}

static TCase *spreads_case(void)
{
    TCase *tc = tcase_create("spreads");
    tcase_add_loop_test(tc, one_cell_has_the_percentiles_of_its_own_law, 0, 40);
    tcase_add_test(tc, each_cell_has_the_percentile_of_its_own_law);
    tcase_add_test(tc, a_zones_percentile_is_where_the_mean_share_is);
    tcase_add_test(tc, a_cell_without_a_position_holds_nothing);
    tcase_add_test(tc, equal_cells_are_as_bad_as_one);
    tcase_add_test(tc, every_level_gives_the_same_shares);
    return tc;
}

AW_TEST_MAIN("sums", sums_case(), spreads_case())
