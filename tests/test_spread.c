/* Radial percentiles of a biased elliptical normal. */
#include "links.h"

/* Exact integral (Hoyt); agrees with Harter, JASA 55:723-731, 1960, as remembered. */
static const double table[11][4] = {
    /* p50, p95, P(DRMS), P(2 DRMS) for sigma 1 and k */
    {0.67449, 1.95996, 0.68269, 0.95450}, {0.68199, 1.96253, 0.68266, 0.95530},
    {0.70585, 1.97041, 0.68226, 0.95760}, {0.74994, 1.98420, 0.68010, 0.96108},
    {0.80785, 2.00514, 0.67351, 0.96534}, {0.87042, 2.03586, 0.66297, 0.96984},
    {0.93365, 2.08130, 0.65189, 0.97407}, {0.99621, 2.14598, 0.64277, 0.97753},
    {1.05769, 2.23029, 0.63654, 0.97994}, {1.11807, 2.33180, 0.63313, 0.98128},
    {1.17741, 2.44775, 0.63212, 0.98168}};

/* An ellipse with bias along its axes, turned by an angle. */
static aw_spread turned(double bias_a, double bias_b, double a, double b, double angle)
{
    const double c = cos(angle), s = sin(angle);
    return aw_spread_of(bias_a * c - bias_b * s, bias_a * s + bias_b * c,
                        a * a * c * c + b * b * s * s, (a * a - b * b) * c * s,
                        a * a * s * s + b * b * c * c);
}

START_TEST(elliptical_percentiles_are_the_published_ones)
{
    const double k = _i / 10.0, drms = sqrt(1 + k * k);
    for (double angle = 0; angle < 3; angle += 0.7) {
        const aw_spread e = turned(0, 0, 1, k, angle);
        ck_assert_double_eq_tol(aw_spread_percentile(&e, 0.5), table[_i][0], 1e-5);
        ck_assert_double_eq_tol(aw_spread_percentile(&e, 0.95), table[_i][1], 1e-5);
        ck_assert_double_eq_tol(aw_spread_share(&e, drms), table[_i][2], 1e-5);
        ck_assert_double_eq_tol(aw_spread_share(&e, 2 * drms), table[_i][3], 1e-5);
    }
}
END_TEST

/* Independent quadrature; the last row is Rice's law. */
START_TEST(biased_percentiles_are_the_quadratures)
{
    const double row[][6] = {{.3, .1, .2, .05, .32131, .63919},
                             {.1, .3, .2, .05, .35214, .53777},
                             {.5, 0, .3, .003, .50033, .99346},
                             {0, .05, 1, .02, .67664, 1.96070},
                             {.2, 0, .1, .1, .22458, .38263}};
    const double *r = row[_i];
    for (double angle = 0; angle < 6; angle += 1.1) {
        const aw_spread e = turned(r[0], r[1], r[2], r[3], angle);
        ck_assert_double_eq_tol(aw_spread_percentile(&e, 0.5), r[4], 6e-6);
        ck_assert_double_eq_tol(aw_spread_percentile(&e, 0.95), r[5], 6e-6);
    }
}
END_TEST

/* Rayleigh: sqrt(-2 ln(1 - p)). */
START_TEST(circular_percentiles_are_rayleighs)
{
    const aw_spread e = turned(0, 0, 0.37, 0.37, 0.4);
    for (double p = 0.05; p < 0.999; p += 0.0637)
        ck_close(aw_spread_percentile(&e, p), 0.37 * sqrt(-2 * log(1 - p)), 1e-9);
}
END_TEST

START_TEST(share_and_percentile_undo_each_other)
{
    uint64_t state = 17 + (uint64_t)_i;
    const double a = test_between(&state, 0.01, 2), b = a * test_uniform(&state);
    const aw_spread e = turned(test_between(&state, -1, 1), test_between(&state, -1, 1), a, b,
                               test_between(&state, 0, 3));
    double before = -1;
    for (double q = 0.02; q < 0.999; q += 0.049) {
        const double radius = aw_spread_percentile(&e, q);
        ck_assert_double_gt(radius, before);
        ck_assert_double_eq_tol(aw_spread_share(&e, radius), q, 1e-8);
        before = radius;
    }
}
END_TEST

START_TEST(axes_and_azimuth_are_those_of_the_covariance)
{
    const double angle = 0.3 * _i - 1.4;
    const aw_spread e = turned(0, 0, 0.9, 0.2, angle);
    ck_close(e.major, 0.9, 1e-12);
    ck_close(e.minor, 0.2, 1e-12);
    ck_close(e.azimuth, angle, 1e-12);
}
END_TEST

START_TEST(without_a_position_there_is_no_percentile)
{
    const aw_bound none = aw_bound_at(NULL, 0, AW_FIX_2D);
    const aw_spread e = aw_bound_spread(&none, 0.1);
    ck_assert(isnan(aw_spread_percentile(&e, 0.95)) && isnan(aw_spread_share(&e, 1)));
}
END_TEST

static TCase *spreads(void)
{
    TCase *tc = tcase_create("spread");
    tcase_add_loop_test(tc, elliptical_percentiles_are_the_published_ones, 0, 11);
    tcase_add_loop_test(tc, biased_percentiles_are_the_quadratures, 0, 5);
    tcase_add_test(tc, circular_percentiles_are_rayleighs);
    tcase_add_loop_test(tc, share_and_percentile_undo_each_other, 0, 20);
    tcase_add_loop_test(tc, axes_and_azimuth_are_those_of_the_covariance, 0, 10);
    tcase_add_test(tc, without_a_position_there_is_no_percentile);
    return tc;
}

AW_TEST_MAIN("spread", spreads())
