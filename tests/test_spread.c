/* Radial percentiles of a biased elliptical normal. */
#include "links.h"

#include <gsl/gsl_cdf.h>

/* Exact integral (Hoyt), after Harter, JASA 55:723-731, 1960: p50, p95, share within the DRMS and
 * within twice it, for axes 1 and k. */
static const double table[11][4] = {
    {0.67449, 1.95996, 0.68269, 0.95450}, {0.68199, 1.96253, 0.68266, 0.95530},
    {0.70585, 1.97041, 0.68226, 0.95760}, {0.74994, 1.98420, 0.68010, 0.96108},
    {0.80785, 2.00514, 0.67351, 0.96534}, {0.87042, 2.03586, 0.66297, 0.96984},
    {0.93365, 2.08130, 0.65189, 0.97407}, {0.99621, 2.14598, 0.64277, 0.97753},
    {1.05769, 2.23029, 0.63654, 0.97994}, {1.11807, 2.33180, 0.63313, 0.98128},
    {1.17741, 2.44775, 0.63212, 0.98168}};

/* An ellipse with bias along its axes, turned by an angle. */
static aw_error_law turned(double bias_a, double bias_b, double a, double b, double angle)
{
    const double c = cos(angle), s = sin(angle);
    return aw_error_law_of(bias_a * c - bias_b * s, bias_a * s + bias_b * c,
                           a * a * c * c + b * b * s * s, (a * a - b * b) * c * s,
                           a * a * s * s + b * b * c * c);
}

START_TEST(elliptical_percentiles_are_the_published_ones)
{
    const double k = _i / 10.0, drms = sqrt(1 + k * k);
    for (double angle = 0; angle < 3; angle += 0.7) {
        const aw_error_law e = turned(0, 0, 1, k, angle);
        ck_assert_double_eq_tol(aw_error_law_percentile(&e, 0.5), table[_i][0], 1e-5);
        ck_assert_double_eq_tol(aw_error_law_percentile(&e, 0.95), table[_i][1], 1e-5);
        ck_assert_double_eq_tol(aw_error_law_share(&e, drms), table[_i][2], 1e-5);
        ck_assert_double_eq_tol(aw_error_law_share(&e, 2 * drms), table[_i][3], 1e-5);
    }
}
END_TEST

/* Independent quadrature. */
START_TEST(biased_percentiles_are_the_quadratures)
{
    const double row[][6] = {{.3, .1, .2, .05, .32131, .63919},
                             {.1, .3, .2, .05, .35214, .53777},
                             {.5, 0, .3, .003, .50033, .99346},
                             {0, .05, 1, .02, .67664, 1.96070}};
    const double *r = row[_i];
    for (double angle = 0; angle < 6; angle += 1.1) {
        const aw_error_law e = turned(r[0], r[1], r[2], r[3], angle);
        ck_assert_double_eq_tol(aw_error_law_percentile(&e, 0.5), r[4], 6e-6);
        ck_assert_double_eq_tol(aw_error_law_percentile(&e, 0.95), r[5], 6e-6);
    }
}
END_TEST

/* Rice's law: a circle of sigma 0.1 at bias 0.2. */
START_TEST(a_biased_circle_follows_rice)
{
    for (double angle = 0.3; angle < 6; angle += 1.3) {
        const aw_error_law e = aw_error_law_of(0.2 * cos(angle), 0.2 * sin(angle), 0.01, 0, 0.01);
        ck_close(aw_error_law_percentile(&e, 0.5), 0.2245802257, 1e-9);
        ck_close(aw_error_law_percentile(&e, 0.95), 0.3826252944, 1e-9);
    }
}
END_TEST

/* The same law by another road: rays from the origin. Along a ray at angle t the density is normal
 * in the radius, so its share up to R has a closed form in erf; what is left is periodic in t, and
 * the trapezium rule over it converges beyond any power of the step. */
static double share_by_rays(const aw_error_law *e, double radius)
{
    const int rays = 20000;
    const double det = e->xx * e->yy - e->xy * e->xy;
    double sum = 0;
    for (int i = 0; i < rays; i++) {
        const double t = 2 * M_PI * i / rays, c = cos(t), s = sin(t);
        const double px = (e->yy * c - e->xy * s) / det, py = (e->xx * s - e->xy * c) / det;
        const double a = c * px + s * py, b = e->bias[0] * px + e->bias[1] * py;
        const double bx = (e->yy * e->bias[0] - e->xy * e->bias[1]) / det;
        const double by = (e->xx * e->bias[1] - e->xy * e->bias[0]) / det;
        const double rest = e->bias[0] * bx + e->bias[1] * by - b * b / a, m = b / a;
        const double from = -m * sqrt(a / 2), to = (radius - m) * sqrt(a / 2);
        const double slice = (exp(-from * from) - exp(-to * to)) / a +
                             m * sqrt(M_PI / 2 / a) * (erf(to) - erf(from));
        sum += exp(-rest / 2) * slice;
    }
    return sum / rays / sqrt(det);
}

START_TEST(shares_equal_those_along_rays)
{
    uint64_t state = 5150 + (uint64_t)_i;
    const double a = test_between(&state, 0.05, 3), b = a * test_between(&state, 0.02, 1);
    const aw_error_law e = turned(test_between(&state, -2, 2), test_between(&state, -2, 2), a, b,
                                  test_between(&state, 0, 3));
    for (double radius = 0.11; radius < 9; radius *= 1.47)
        ck_assert_double_eq_tol(aw_error_law_share(&e, radius), share_by_rays(&e, radius), 1e-9);
}
END_TEST

/* Derived: errors along a line that passes the origin at distance d lie within R if the part along
 * the line lies within sqrt(R^2 - d^2), a folded normal. */
START_TEST(errors_along_a_line_follow_the_folded_normal)
{
    const double d[] = {0, 0.07, 0.9, 4.1}, sigma = 0.37;
    for (double angle = -1.3; angle < 2; angle += 0.9)
        for (double q = 0.05; q < 0.999; q += 0.117) {
            const aw_error_law e = turned(0, d[_i], sigma, 0, angle);
            const double along = sigma * gsl_cdf_ugaussian_Pinv((1 + q) / 2);
            ck_close(aw_error_law_percentile(&e, q) / hypot(d[_i], along), 1, 1e-6);
        }
}
END_TEST

START_TEST(errors_of_hardly_any_scatter_are_the_bias)
{
    const double length = hypot(0.31, 0.22);
    for (double sigma = 1e-3; sigma > 1e-7; sigma /= 7.3) {
        const aw_error_law e = turned(0.31, -0.22, sigma, 0.4 * sigma, 0.8);
        ck_assert_double_eq_tol(aw_error_law_percentile(&e, 0.5), length, sigma);
        ck_assert_double_eq_tol(aw_error_law_percentile(&e, 0.95), length, 2 * sigma);
        ck_assert_double_lt(aw_error_law_share(&e, length - 6 * sigma), 1e-8);
        ck_assert_double_gt(aw_error_law_share(&e, length + 6 * sigma), 1 - 1e-8);
    }
}
END_TEST

/* Without scatter every error is the bias: all within its length, the length itself included. */
START_TEST(errors_without_scatter_are_the_bias)
{
    const aw_error_law e = aw_error_law_of(3, -4, 0, 0, 0), none = aw_error_law_of(0, 0, 0, 0, 0);
    ck_assert_double_eq(aw_error_law_share(&e, 4.999), 0);
    ck_assert_double_eq(aw_error_law_share(&e, 5), 1);
    ck_assert_double_eq(aw_error_law_share(&e, 1e6), 1);
    ck_assert_double_eq(aw_error_law_percentile(&e, 0.95), 5);
    ck_assert_double_eq(aw_error_law_share(&none, 0), 1);
    ck_assert_double_eq(aw_error_law_share(&none, -1), 0);
    ck_assert_double_eq(aw_error_law_percentile(&none, 0.5), 0);
}
END_TEST

/* Rayleigh: sqrt(-2 ln(1 - p)). */
START_TEST(circular_percentiles_are_rayleighs)
{
    const aw_error_law e = turned(0, 0, 0.37, 0.37, 0.4);
    for (double p = 0.05; p < 0.999; p += 0.0637)
        ck_close(aw_error_law_percentile(&e, p), 0.37 * sqrt(-2 * log(1 - p)), 1e-9);
}
END_TEST

START_TEST(share_and_percentile_undo_each_other)
{
    uint64_t state = 17 + (uint64_t)_i;
    const double a = test_between(&state, 0.01, 2), b = a * test_uniform(&state);
    const aw_error_law e = turned(test_between(&state, -1, 1), test_between(&state, -1, 1), a, b,
                                  test_between(&state, 0, 3));
    double before = -1;
    for (double q = 0.02; q < 0.999; q += 0.049) {
        const double radius = aw_error_law_percentile(&e, q);
        ck_assert_double_gt(radius, before);
        ck_assert_double_eq_tol(aw_error_law_share(&e, radius), q, 1e-9);
        const double share = aw_error_law_share(&e, 1.03 * radius);
        ck_assert_double_gt(share, q);
        if (share < 0.999)
            ck_close(aw_error_law_percentile(&e, share) / radius, 1.03, 1e-9);
        before = radius;
    }
}
END_TEST

START_TEST(axes_and_azimuth_are_those_of_the_covariance)
{
    const double angle = 0.3 * _i - 1.4;
    const aw_error_law e = turned(0, 0, 0.9, 0.2, angle);
    ck_close(e.major, 0.9, 1e-12);
    ck_close(e.minor, 0.2, 1e-12);
    ck_close(e.azimuth, angle, 1e-12);
}
END_TEST

START_TEST(without_a_position_there_is_no_percentile)
{
    const aw_bound none = aw_bound_at(NULL, 0, AW_FIX_2D);
    const aw_error_law e = aw_bound_error_law(&none, 0.1);
    ck_assert(isnan(aw_error_law_percentile(&e, 0.95)) && isnan(aw_error_law_share(&e, 1)));
}
END_TEST

static TCase *spreads(void)
{
    TCase *tc = tcase_create("spread");
    tcase_add_loop_test(tc, elliptical_percentiles_are_the_published_ones, 0, 11);
    tcase_add_loop_test(tc, biased_percentiles_are_the_quadratures, 0, 4);
    tcase_add_test(tc, a_biased_circle_follows_rice);
    tcase_add_loop_test(tc, shares_equal_those_along_rays, 0, 30);
    tcase_add_loop_test(tc, errors_along_a_line_follow_the_folded_normal, 0, 4);
    tcase_add_test(tc, errors_of_hardly_any_scatter_are_the_bias);
    tcase_add_test(tc, errors_without_scatter_are_the_bias);
    tcase_add_test(tc, circular_percentiles_are_rayleighs);
    tcase_add_loop_test(tc, share_and_percentile_undo_each_other, 0, 20);
    tcase_add_loop_test(tc, axes_and_azimuth_are_those_of_the_covariance, 0, 10);
    tcase_add_test(tc, without_a_position_there_is_no_percentile);
    return tc;
}

AW_TEST_MAIN("spread", spreads())
