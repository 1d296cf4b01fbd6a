/* Laws that the bound and what the solver reaches obey for any geometry. */
#include "links.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>

#define MOST 12

/* Links of a ragged site seen from a ragged spot, sigmas and delays differing. */
static size_t ragged(uint64_t seed, aw_link links[MOST], double places[MOST][3], double spot[3])
{
    uint64_t state = seed * 7919 + 5;
    const size_t n = 5 + (size_t)(test_uniform(&state) * 7);
    spot[0] = test_between(&state, 3, 37);
    spot[1] = test_between(&state, 2, 21);
    spot[2] = test_between(&state, 0.4, 2.2);
    for (size_t i = 0; i < n; i++) {
        places[i][0] = test_between(&state, 0, 40);
        places[i][1] = test_between(&state, 0, 23);
        places[i][2] = test_between(&state, 1, 8);
        links[i] = clear_link((uint32_t)i + 1, places[i], spot, test_between(&state, 0.05, 0.3));
        links[i].believed = test_between(&state, 0.05, 0.3);
        links[i].outcomes[0].excess = test_uniform(&state) < 0.3 ? 0.21 : 0;
    }
    return n;
}

/* (G^T Q^-1 G)^-1 of time differences against one reference, their covariance written out in full;
 * Torrieri, IEEE T-AES 20(2):183-198, 1984, and Smith & Abel, IEEE T-ASSP 35(12), 1987. */
static void difference_bound(const aw_link links[], size_t n, size_t ref, size_t dims,
                             gsl_matrix *inverse)
{
    gsl_matrix *q = gsl_matrix_alloc(n - 1, n - 1), *g = gsl_matrix_alloc(n - 1, dims);
    gsl_matrix *qg = gsl_matrix_alloc(n - 1, dims);
    for (size_t i = 0, a = 0; i < n; i++) {
        if (i == ref)
            continue;
        for (size_t j = 0, b = 0; j < n; j++)
            if (j != ref)
                gsl_matrix_set(q, a, b++,
                               links[ref].white * links[ref].white +
                                   (i == j ? links[i].white * links[i].white : 0));
        for (size_t k = 0; k < dims; k++)
            gsl_matrix_set(g, a, k, links[i].u[k] - links[ref].u[k]);
        a++;
    }
    gsl_linalg_cholesky_decomp1(q);
    gsl_matrix_memcpy(qg, g);
    for (size_t k = 0; k < dims; k++) {
        gsl_vector_view column = gsl_matrix_column(qg, k);
        gsl_linalg_cholesky_svx(q, &column.vector);
    }
    gsl_blas_dgemm(CblasTrans, CblasNoTrans, 1, g, qg, 0, inverse);
    gsl_linalg_cholesky_decomp1(inverse);
    gsl_linalg_cholesky_invert(inverse);
    gsl_matrix_free(q);
    gsl_matrix_free(g);
    gsl_matrix_free(qg);
}

START_TEST(time_differences_equal_the_common_offset_for_every_reference)
{
    aw_link links[MOST];
    double places[MOST][3], spot[3];
    const size_t n = ragged((uint64_t)_i, links, places, spot), dims = _i % 2 ? 3 : 2;
    const aw_bound b = aw_bound_at(links, n, (aw_fix_kind)dims);
    ck_assert_int_eq(b.status, AW_BOUND_OK);
    for (size_t ref = 0; ref < n; ref++) {
        gsl_matrix *want = gsl_matrix_alloc(dims, dims);
        difference_bound(links, n, ref, dims, want);
        for (size_t i = 0; i < dims; i++)
            for (size_t j = 0; j < dims; j++)
                ck_assert_double_eq_tol(b.bound[i][j], gsl_matrix_get(want, i, j),
                                        1e-9 * gsl_matrix_get(want, 0, 0) +
                                            1e-9 * gsl_matrix_get(want, dims - 1, dims - 1));
        gsl_matrix_free(want);
    }
}
END_TEST

START_TEST(turning_shifting_and_mirroring_the_site_change_nothing)
{
    aw_link links[MOST], moved[MOST];
    double places[MOST][3], spot[3], there[3];
    const size_t n = ragged((uint64_t)_i, links, places, spot);
    const double a = 0.3 + 0.7 * _i, c = cos(a), s = sin(a), flip = _i % 2 ? -1 : 1;
    for (size_t i = 0; i <= n; i++) {
        const double *p = i < n ? places[i] : spot;
        const double q[3] = {flip * (c * p[0] - s * p[1]) + 11.3, s * p[0] + c * p[1] - 4.9, p[2]};
        memcpy(i < n ? places[i] : there, q, sizeof q);
    }
    memcpy(moved, links, sizeof moved);
    for (size_t i = 0; i < n; i++)
        aw_link_aim(&moved[i], places[i], there);
    const aw_bound x = aw_bound_at(links, n, AW_FIX_2D), y = aw_bound_at(moved, n, AW_FIX_2D);
    ck_close(y.hdop, x.hdop, 1e-9);
    ck_close(y.tdop, x.tdop, 1e-9);
    ck_close(y.drms, x.drms, 1e-9);
    ck_close(hypot(y.bias[0], y.bias[1]), hypot(x.bias[0], x.bias[1]), 1e-9);
    const aw_error_law e = aw_bound_error_law(&x, 0.17), f = aw_bound_error_law(&y, 0.17);
    ck_close(aw_error_law_percentile(&f, 0.5), aw_error_law_percentile(&e, 0.5), 1e-9);
    ck_close(aw_error_law_percentile(&f, 0.95), aw_error_law_percentile(&e, 0.95), 1e-9);
}
END_TEST

/* Smallest eigenvalue of a 2 x 2 difference. */
static double least_gain(const aw_bound *fewer, const aw_bound *more)
{
    const double xx = fewer->bound[0][0] - more->bound[0][0];
    const double yy = fewer->bound[1][1] - more->bound[1][1];
    const double xy = fewer->bound[0][1] - more->bound[0][1];
    return (xx + yy) / 2 - hypot((xx - yy) / 2, xy);
}

START_TEST(one_more_link_never_hurts_the_bound)
{
    aw_link links[MOST];
    double places[MOST][3], spot[3];
    const size_t n = ragged((uint64_t)_i, links, places, spot);
    const aw_bound fewer = aw_bound_at(links, n - 1, AW_FIX_2D);
    const aw_bound more = aw_bound_at(links, n, AW_FIX_2D);
    ck_assert_double_ge(least_gain(&fewer, &more), -1e-9 * more.bound[0][0]);
}
END_TEST

/* A fifth anchor behind a wall that delays it, and one that makes a corner steeper in height. */
START_TEST(with_bias_or_height_error_one_more_link_may_hurt)
{
    const double spot[3] = {5, 5, 1.2};
    aw_link links[5];
    for (uint32_t i = 0; i < 4; i++) {
        const double anchor[3] = {i & 1 ? 10 : 0, i & 2 ? 10 : 0, 4};
        links[i] = clear_link(i, anchor, spot, 0.1);
    }
    const double fifth[3] = {8, 5.4, 7.5};
    links[4] = clear_link(4, fifth, spot, 0.1);
    const aw_bound four = aw_bound_at(links, 4, AW_FIX_2D);
    const aw_bound five = aw_bound_at(links, 5, AW_FIX_2D);
    const aw_error_law calm = aw_bound_error_law(&four, 1), tilted = aw_bound_error_law(&five, 1);
    ck_assert_double_lt(hypot(four.height_gain[0], four.height_gain[1]), 1e-12);
    ck_assert_double_gt(aw_error_law_percentile(&tilted, 0.95),
                        1.2 * aw_error_law_percentile(&calm, 0.95));
    links[4].outcomes[0].excess = 0.8;
    const aw_bound late = aw_bound_at(links, 5, AW_FIX_2D);
    const aw_error_law before = aw_bound_error_law(&four, 0), after = aw_bound_error_law(&late, 0);
    ck_assert_double_gt(aw_error_law_percentile(&after, 0.95),
                        1.2 * aw_error_law_percentile(&before, 0.95));
}
END_TEST

START_TEST(an_unknown_offset_never_helps)
{
    aw_link links[MOST];
    double places[MOST][3], spot[3], xx = 0, xy = 0, yy = 0;
    const size_t n = ragged((uint64_t)_i, links, places, spot);
    for (size_t i = 0; i < n; i++) {
        const double w = 1 / (links[i].white * links[i].white);
        xx += w * links[i].u[0] * links[i].u[0];
        xy += w * links[i].u[0] * links[i].u[1];
        yy += w * links[i].u[1] * links[i].u[1];
    }
    const double known = sqrt((xx + yy) / (xx * yy - xy * xy));
    ck_assert_double_ge(aw_bound_at(links, n, AW_FIX_2D).drms, known * (1 - 1e-12));
}
END_TEST

START_TEST(error_scales_with_sigma)
{
    aw_link links[MOST];
    double places[MOST][3], spot[3];
    const size_t n = ragged((uint64_t)_i, links, places, spot);
    const aw_bound before = aw_bound_at(links, n, AW_FIX_3D);
    for (size_t i = 0; i < n; i++) {
        links[i].white *= 3.7;
        links[i].believed *= 3.7;
    }
    const aw_bound after = aw_bound_at(links, n, AW_FIX_3D);
    ck_close(after.drms, 3.7 * before.drms, 1e-9);
    ck_close(after.fix[2][2], 3.7 * 3.7 * before.fix[2][2], 1e-9);
    ck_close(after.hdop, before.hdop, 1e-12);
    ck_close(after.bias[0], before.bias[0], 1e-9);
}
END_TEST

START_TEST(the_fix_reaches_the_bound_where_it_believes_the_truth)
{
    aw_link links[MOST];
    double places[MOST][3], spot[3];
    const size_t n = ragged((uint64_t)_i, links, places, spot);
    const aw_bound wrong = aw_bound_at(links, n, AW_FIX_2D);
    ck_assert_double_gt(wrong.fix[0][0] + wrong.fix[1][1],
                        (wrong.bound[0][0] + wrong.bound[1][1]) * (1 - 1e-12));
    for (size_t i = 0; i < n; i++)
        links[i].believed = links[i].white;
    const aw_bound right = aw_bound_at(links, n, AW_FIX_2D);
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++)
            ck_assert_double_eq_tol(right.fix[i][j], right.bound[i][j], 1e-9 * right.bound[0][0]);
}
END_TEST

static TCase *laws(void)
{
    TCase *tc = tcase_create("laws");
    tcase_add_loop_test(tc, time_differences_equal_the_common_offset_for_every_reference, 0, 20);
    tcase_add_loop_test(tc, turning_shifting_and_mirroring_the_site_change_nothing, 0, 20);
    tcase_add_loop_test(tc, one_more_link_never_hurts_the_bound, 0, 50);
    tcase_add_test(tc, with_bias_or_height_error_one_more_link_may_hurt);
    tcase_add_loop_test(tc, an_unknown_offset_never_helps, 0, 50);
    tcase_add_loop_test(tc, error_scales_with_sigma, 0, 10);
    tcase_add_loop_test(tc, the_fix_reaches_the_bound_where_it_believes_the_truth, 0, 20);
    return tc;
}

AW_TEST_MAIN("laws", laws())
