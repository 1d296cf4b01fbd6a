/* aw_bound_at: exact geometry, what has no position, published values.
 */
#include "links.h"

#define MOST 12

/* --- closed forms --- */

static const size_t ring_size[] = {3, 4, 5, 6, 7, 8, 12};

/* Levanon, "Lowest GDOP in 2-D scenarios", IEE Proc. Radar Sonar Navig. 147(3):149-155, 2000: HDOP
 * of a regular ring; TDOP and GDOP derived from it. */
START_TEST(a_ring_has_hdop_two_over_root_n)
{
    const size_t n = ring_size[_i];
    aw_link links[MOST];
    for (size_t i = 0; i < n; i++) {
        const double a = 0.413 + 2 * M_PI * (double)i / (double)n;
        links[i] = link_towards(7.3 * cos(a), 7.3 * sin(a), 0);
        links[i].white = links[i].believed = 0.237;
    }
    const aw_bound b = aw_bound_at(links, n, AW_FIX_2D);
    ck_assert_int_eq(b.status, AW_BOUND_OK);
    ck_close(b.hdop, 2 / sqrt((double)n), 1e-12);
    ck_close(b.tdop, 1 / sqrt((double)n), 1e-12);
    ck_close(b.gdop, sqrt(5 / (double)n), 1e-12);
    ck_close(b.drms, 0.237 * 2 / sqrt((double)n), 1e-12);
    ck_assert(isnan(b.vdop) && isnan(b.pdop));
}
END_TEST

/* N anchors evenly at elevation e, height known: derived, 2 / (sqrt N cos e). */
START_TEST(steep_anchors_scale_hdop_by_the_cosine)
{
    const size_t n = ring_size[_i];
    aw_link links[MOST];
    for (size_t i = 0; i < n; i++) {
        const double a = 0.2 + 2 * M_PI * (double)i / (double)n;
        links[i] = link_towards(5 * cos(a), 5 * sin(a), 3.7);
    }
    ck_close(aw_bound_at(links, n, AW_FIX_2D).hdop, 2 / (sqrt((double)n) * cos(atan2(3.7, 5))),
             1e-12);
}
END_TEST

static aw_bound corners(double a, double b, double x, double y)
{
    const double spot[3] = {x, y, 0};
    aw_link links[4];
    for (uint32_t i = 0; i < 4; i++) {
        const double anchor[3] = {i & 1 ? a : 0, i & 2 ? b : 0, 0};
        links[i] = clear_link(i, anchor, spot, 1);
    }
    return aw_bound_at(links, 4, AW_FIX_2D);
}

/* Derived: (a^2 + b^2) / (2 a b). */
START_TEST(a_rectangles_centre_has_its_closed_form)
{
    const double size[][2] = {{10, 10}, {40, 20}, {60, 15}, {72, 38}, {3.3, 17.1}};
    const double a = size[_i][0], b = size[_i][1];
    const aw_bound bound = corners(a, b, a / 2, b / 2);
    ck_close(bound.hdop, (a * a + b * b) / (2 * a * b), 1e-12);
    ck_close(bound.tdop, 0.5, 1e-12);
}
END_TEST

/* Derived by an independent computation: x, y, HDOP, TDOP. */
START_TEST(a_square_and_a_rectangle_have_known_dop)
{
    const double square[][4] = {{5, 5, 1.0, 0.5},
                                {2, 3, 1.050056, 0.529853},
                                {1, 1, 1.112820, 0.539274},
                                {5, 0.5, 1.202557, 0.639639},
                                {9.5, 9.5, 1.146114, 0.543793},
                                {15, 5, 4.238937, 3.463333},
                                {20, 20, 19.614705, 18.993415}};
    for (size_t i = 0; i < 7; i++) {
        const aw_bound b = corners(10, 10, square[i][0], square[i][1]);
        ck_close(b.hdop, square[i][2], 1e-6);
        ck_close(b.tdop, square[i][3], 1e-6);
    }
    const double hall[][4] = {{20, 10, 1.25, 0.5},
                              {5, 5, 1.068748, 0.527082},
                              {10, 10, 1.094568, 0.505294},
                              {35, 18, 1.178662, 0.560646}};
    for (size_t i = 0; i < 4; i++) {
        const aw_bound b = corners(40, 20, hall[i][0], hall[i][1]);
        ck_close(b.hdop, hall[i][2], 1e-6);
        ck_close(b.tdop, hall[i][3], 1e-6);
    }
}
END_TEST

/* Classical four-satellite optimum, GDOP 1.5811 (Parkinson & Spilker 1996 ch. 5, from memory). */
START_TEST(a_regular_tetrahedron_has_gdop_root_two_and_a_half)
{
    const double h = sqrt(8.0 / 9);
    aw_link links[4] = {link_towards(0, 0, 1), link_towards(h, 0, -1.0 / 3),
                        link_towards(-h / 2, h * sqrt(3) / 2, -1.0 / 3),
                        link_towards(-h / 2, -h * sqrt(3) / 2, -1.0 / 3)};
    const aw_bound b = aw_bound_at(links, 4, AW_FIX_3D);
    ck_close(b.hdop, sqrt(1.5), 1e-12);
    ck_close(b.vdop, sqrt(0.75), 1e-12);
    ck_close(b.pdop, 1.5, 1e-12);
    ck_close(b.tdop, 0.5, 1e-12);
    ck_close(b.gdop, sqrt(2.5), 1e-12);
}
END_TEST

/* Derived: PDOP 3 / sqrt 8. */
START_TEST(a_cubes_corners_have_known_dop)
{
    aw_link links[8];
    for (int i = 0; i < 8; i++)
        links[i] = link_towards(i & 1 ? 1 : -1, i & 2 ? 1 : -1, i & 4 ? 1 : -1);
    const aw_bound b = aw_bound_at(links, 8, AW_FIX_3D);
    ck_close(b.hdop, sqrt(0.75), 1e-12);
    ck_close(b.vdop, sqrt(0.375), 1e-12);
    ck_close(b.pdop, 3 / sqrt(8), 1e-12);
    ck_close(b.tdop, 1 / sqrt(8), 1e-12);
    ck_close(b.gdop, sqrt(1.25), 1e-12);
}
END_TEST

/* Derived; GDOP 1.73 is the classical figure. */
START_TEST(three_on_the_horizon_and_one_overhead_have_gdop_root_three)
{
    aw_link links[4] = {link_towards(0, 0, 6.1)};
    for (int i = 1; i < 4; i++) {
        const double a = 0.29 + 2 * M_PI * i / 3;
        links[i] = link_towards(9.7 * cos(a), 9.7 * sin(a), 0);
    }
    const aw_bound b = aw_bound_at(links, 4, AW_FIX_3D);
    ck_close(b.hdop, 2 / sqrt(3), 1e-12);
    ck_close(b.vdop, 2 / sqrt(3), 1e-12);
    ck_close(b.pdop, sqrt(8.0 / 3), 1e-12);
    ck_close(b.tdop, 1 / sqrt(3), 1e-12);
    ck_close(b.gdop, sqrt(3), 1e-12);
}
END_TEST

/* Derived by hand: half the anchors at elevation e, half at f, each half evenly round the tag. */
START_TEST(two_rings_at_two_elevations_have_their_closed_form)
{
    const double e = (10 + 3 * _i) * M_PI / 180, f = (50 + 2 * _i) * M_PI / 180;
    aw_link links[8];
    double squares = 0;
    for (int i = 0; i < 8; i++) {
        const double a = 0.17 + M_PI / 4 * i, up = i % 2 ? e : f;
        links[i] = link_towards(cos(a) * cos(up), sin(a) * cos(up), sin(up));
        squares += cos(up) * cos(up);
    }
    const aw_bound b = aw_bound_at(links, 8, AW_FIX_3D);
    ck_close(b.hdop, 2 / sqrt(squares), 1e-12);
    ck_close(b.vdop, 2 / (sqrt(8) * (sin(f) - sin(e))), 1e-12);
}
END_TEST

static aw_bound square_of_heights(const double height[4], double x, double y)
{
    const double at[4][2] = {{0, 0}, {10, 0}, {10, 10}, {0, 10}}, spot[3] = {x, y, 1.5};
    aw_link links[4];
    for (uint32_t i = 0; i < 4; i++) {
        const double anchor[3] = {at[i][0], at[i][1], height[i]};
        links[i] = clear_link(i, anchor, spot, 1);
    }
    return aw_bound_at(links, 4, AW_FIX_3D);
}

/* Derived by an independent computation. */
START_TEST(corners_at_alternating_heights_have_known_dop)
{
    const double height[4] = {1, 4, 1, 4};
    const double want[2][6] = {{5, 5, 1.031988, 2.476057, 2.682510, 0.596535},
                               {2, 3, 1.137260, 2.794829, 3.017355, 0.577542}};
    for (int i = 0; i < 2; i++) {
        const aw_bound b = square_of_heights(height, want[i][0], want[i][1]);
        ck_close(b.hdop, want[i][2], 1e-6);
        ck_close(b.vdop, want[i][3], 1e-6);
        ck_close(b.pdop, want[i][4], 1e-6);
        ck_close(b.tdop, want[i][5], 1e-6);
    }
}
END_TEST

/* Expected matrix of a test of gnss_lib_py (Stanford NAV lab), in closed form. */
START_TEST(five_satellites_have_the_published_dop)
{
    const double elevation[5] = {0, 0, 45, 45, 90}, azimuth[5] = {0, 90, 180, 270, 360};
    aw_link links[5];
    for (int i = 0; i < 5; i++) {
        const double e = elevation[i] * M_PI / 180, a = azimuth[i] * M_PI / 180;
        links[i] = link_towards(cos(e) * sin(a), cos(e) * cos(a), sin(e));
    }
    const aw_bound b = aw_bound_at(links, 5, AW_FIX_3D);
    const double s = M_SQRT2;
    ck_close(b.hdop, sqrt(25.0 / 6 - s), 1e-9);
    ck_close(b.vdop, sqrt(9 + 4 * s) / 2, 1e-9);
    ck_close(b.pdop, 2.533114026, 1e-9);
    ck_close(b.tdop, sqrt(5.0) / 2, 1e-9);
    ck_close(b.gdop, sqrt(23.0 / 3), 1e-9);
    const double matrix[3][3] = {{25.0 / 3 - 2 * s, 17.0 / 3 - 2 * s, 5 + s},
                                 {17.0 / 3 - 2 * s, 25.0 / 3 - 2 * s, 5 + s},
                                 {5 + s, 5 + s, 9 + 4 * s}};
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            ck_close(b.bound[i][j], matrix[i][j] / 4, 1e-9);
}
END_TEST

/* T. Sauer, Numerical Analysis, Reality Check 4; DOP derived at the published solution. */
START_TEST(four_far_satellites_have_poor_dop)
{
    const double a[4][3] = {
        {15600, 7540, 20140}, {18760, 2750, 18610}, {17610, 14630, 13480}, {19170, 610, 18390}};
    const double spot[3] = {-41.77270957, -16.78919411, 6370.05955922};
    aw_link links[4];
    for (uint32_t i = 0; i < 4; i++)
        links[i] = clear_link(i, a[i], spot, 1);
    const aw_bound b = aw_bound_at(links, 4, AW_FIX_3D);
    ck_close(b.gdop, 93.163362, 1e-5);
    ck_close(b.pdop, 67.753672, 1e-5);
    ck_close(b.tdop, 63.944131, 1e-5);
}
END_TEST

/* Derived by an independent computation, covariance and axes too. */
START_TEST(five_anchors_in_space_have_the_worked_covariance)
{
    const double a[5][3] = {{0, 0, 2.5}, {20, 0, 3}, {20, 15, 2.5}, {0, 15, 3.5}, {10, 7.5, 4}};
    const double spot[3] = {6.2, 9.1, 1.3};
    const double cov[3][3] = {{0.00391356, 0.00049193, -0.00186243},
                              {0.00049193, 0.00631934, -0.00074045},
                              {-0.00186243, -0.00074045, 0.06574174}};
    aw_link links[5];
    for (uint32_t i = 0; i < 5; i++)
        links[i] = clear_link(i, a[i], spot, 0.1);
    const aw_bound b = aw_bound_at(links, 5, AW_FIX_3D);
    ck_close(b.hdop, 1.011578, 1e-6);
    ck_close(b.vdop, 2.564015, 1e-6);
    ck_close(b.pdop, 2.756350, 1e-6);
    ck_close(b.tdop, 0.725447, 1e-6);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            ck_assert_double_eq_tol(b.bound[i][j], cov[i][j], 1e-8);
    const aw_error_law e = aw_bound_error_law(&b, 0);
    ck_close(e.major, 0.08010022, 1e-7);
    ck_close(e.minor, 0.06178076, 1e-7);
}
END_TEST

/* --- links that never err --- */

/* Derived: the link without error fixes the offset, so that the others measure ranges; their
 * information is sum (u - u0)(u - u0)^T / sigma^2. A second such link leaves no error along u1 -
 * u0, and square to that the same sum of one component. */
START_TEST(links_without_error_bound_the_position)
{
    uint64_t state = 61 + (uint64_t)_i;
    aw_link links[6];
    for (uint32_t i = 0; i < 6; i++) {
        links[i] = link_towards(test_between(&state, -9, 9), test_between(&state, -9, 9), 2);
        links[i].white = i == 0 ? 0 : test_between(&state, 0.5, 1.5);
    }
    double xx = 0, xy = 0, yy = 0, along = 0;
    for (int i = 1; i < 6; i++) {
        const double x = links[i].u[0] - links[0].u[0], y = links[i].u[1] - links[0].u[1];
        const double w = 1 / (links[i].white * links[i].white);
        xx += w * x * x;
        xy += w * x * y;
        yy += w * y * y;
    }
    const double det = xx * yy - xy * xy;
    const aw_bound one = aw_bound_at(links, 6, AW_FIX_2D);
    ck_assert_int_eq(one.status, AW_BOUND_OK);
    ck_close(one.bound[0][0] * det / yy, 1, 1e-6);
    ck_close(one.bound[0][1] * -det / xy, 1, 1e-6);
    ck_close(one.bound[1][1] * det / xx, 1, 1e-6);
    links[1].white = 0;
    const double dx = links[1].u[0] - links[0].u[0], dy = links[1].u[1] - links[0].u[1];
    const double tx = -dy / hypot(dx, dy), ty = dx / hypot(dx, dy);
    for (int i = 2; i < 6; i++)
        along +=
            pow((links[i].u[0] - links[0].u[0]) * tx + (links[i].u[1] - links[0].u[1]) * ty, 2) /
            pow(links[i].white, 2);
    const aw_bound two = aw_bound_at(links, 6, AW_FIX_2D);
    ck_assert_int_eq(two.status, AW_BOUND_OK);
    ck_close(two.drms * sqrt(along), 1, 1e-6);
    for (int i = 2; i < 6; i++)
        links[i].white = 0;
    const aw_bound all = aw_bound_at(links, 6, AW_FIX_2D);
    ck_assert_int_eq(all.status, AW_BOUND_OK);
    ck_assert_double_lt(all.drms, 1e-4 * all.hdop);
    ck_assert_double_eq(all.fix[0][0] + all.fix[1][1], 0);
}
END_TEST

/* --- geometry without a position --- */

START_TEST(anchors_all_at_one_height_are_singular_at_the_centre)
{
    const double spot[3] = {5, 5, 1.5};
    aw_link links[4];
    for (uint32_t i = 0; i < 4; i++) {
        const double anchor[3] = {i & 1 ? 10 : 0, i & 2 ? 10 : 0, 4};
        links[i] = clear_link(i, anchor, spot, 1);
    }
    const aw_bound b = aw_bound_at(links, 4, AW_FIX_3D);
    ck_assert_int_eq(b.status, AW_BOUND_SINGULAR);
    ck_assert(isnan(b.hdop) && isnan(b.drms) && isnan(b.fix[1][1]) && isnan(b.bias[0]));
    ck_assert_int_eq(aw_bound_at(links, 4, AW_FIX_2D).status, AW_BOUND_OK);
}
END_TEST

/* Off the centre the same anchors give a 3d fix, a bad one; derived. */
START_TEST(anchors_all_at_one_height_are_bad_off_the_centre)
{
    const double height[4] = {4, 4, 4, 4};
    const aw_bound b = square_of_heights(height, 2, 3);
    ck_close(b.hdop, 6.547335, 1e-6);
    ck_close(b.vdop, 31.828113, 1e-6);
    const aw_bound near = square_of_heights(height, 4.9, 5.1);
    ck_close(near.hdop, 119.383186, 1e-6);
    ck_close(near.vdop, 18985.497208, 1e-6);
}
END_TEST

START_TEST(a_row_of_anchors_gives_no_3d_fix_anywhere)
{
    uint64_t state = 31 + (uint64_t)_i;
    const double spot[3] = {test_between(&state, -20, 80), test_between(&state, 1, 30),
                            test_between(&state, 0, 9)};
    const double turn = test_between(&state, 0, 3), tilt = test_between(&state, -0.1, 0.1);
    aw_link links[9];
    for (uint32_t i = 0; i < 9; i++) {
        const double along = test_between(&state, 0, 60);
        const double anchor[3] = {along * cos(turn), along * sin(turn), 4 + tilt * along};
        links[i] = clear_link(i, anchor, spot, 1);
    }
    ck_assert_int_eq(aw_bound_at(links, 9, AW_FIX_3D).status, AW_BOUND_SINGULAR);
}
END_TEST

/* Anchors in a row, in the row's own axes: the tag stands d beside the upright plane through it,
 * the anchors lie s along it and h above the tag, so a line of sight is (s, d, h) / r. With p = s /
 * r, q = 1 / r and S(a, b) = sum ab - sum a sum b / n, the information is S(p, p) along, d S(p, q)
 * mixed, d^2 S(q, q) across, and its inverse written out below grows as 1 / d across the row. */
START_TEST(off_a_row_the_2d_bound_is_as_the_formula_gives)
{
    uint64_t state = 1009 + (uint64_t)_i;
    const double d = test_between(&state, 0.2, 14), h = test_between(&state, -1, 5), sigma = 0.13;
    const double turn = test_between(&state, 0, 6), c = cos(turn), t = sin(turn);
    const double spot[3] = {test_between(&state, -9, 9), test_between(&state, -9, 9), 1.2};
    double p1 = 0, q1 = 0, pp = 0, pq = 0, qq = 0;
    aw_link links[7];
    for (uint32_t i = 0; i < 7; i++) {
        const double s = test_between(&state, -25, 31), r = sqrt(s * s + d * d + h * h);
        const double anchor[3] = {spot[0] + c * s - t * d, spot[1] + t * s + c * d, 1.2 + h};
        links[i] = clear_link(i, anchor, spot, sigma);
        p1 += s / r;
        q1 += 1 / r;
        pp += s * s / r / r;
        pq += s / r / r;
        qq += 1 / r / r;
    }
    const double xx = pp - p1 * p1 / 7, xy = pq - p1 * q1 / 7, yy = qq - q1 * q1 / 7;
    const double det = xx * yy - xy * xy, along = yy / det, across = xx / det / d / d;
    const double mixed = -xy / det / d;
    const aw_bound b = aw_bound_at(links, 7, AW_FIX_2D);
    ck_assert_int_eq(b.status, AW_BOUND_OK);
    ck_close(b.hdop, sqrt(along + across), 1e-9);
    const double u[2] = {c, t}, v[2] = {-t, c}, scale = sigma * sigma * (along + across);
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++) {
            const double want =
                along * u[i] * u[j] + across * v[i] * v[j] + mixed * (u[i] * v[j] + v[i] * u[j]);
            ck_assert_double_eq_tol(b.bound[i][j], sigma * sigma * want, 1e-9 * scale);
        }
}
END_TEST

START_TEST(too_few_links_are_an_outcome)
{
    aw_link links[4] = {link_towards(1, 0, 0), link_towards(0, 1, 0), link_towards(-1, 0.2, 0.4),
                        link_towards(0.3, -1, 0.2)};
    ck_assert_int_eq(aw_bound_at(links, 0, AW_FIX_2D).status, AW_BOUND_TOO_FEW);
    ck_assert_int_eq(aw_bound_at(links, 2, AW_FIX_2D).status, AW_BOUND_TOO_FEW);
    ck_assert_int_eq(aw_bound_at(links, 3, AW_FIX_3D).status, AW_BOUND_TOO_FEW);
    links[1].n_outcomes = 0;
    const aw_bound b = aw_bound_at(links, 3, AW_FIX_2D);
    ck_assert_int_eq(b.status, AW_BOUND_TOO_FEW);
    ck_assert_uint_eq(b.used, 2);
}
END_TEST

/* --- published --- */

/* Y. T. Chan, K. C. Ho, IEEE T-SP 42(8):1905-1915, 1994, Tables I and III, row E. Q = var (I +
 * 11^T)/2 is what independent arrivals of variance var / 2 give. Within half of the last digit. */
START_TEST(the_bounds_of_chan_and_ho_are_met_to_print)
{
    const double sensor[10][2] = {{0, 0},  {-5, 8}, {4, 6},  {-2, 4}, {7, 3},
                                  {-7, 5}, {2, 5},  {-4, 2}, {3, 3},  {1, 8}};
    const double near[8] = {1.9794, 0.6884, 0.1451, 0.1334, 0.1143, 0.1054, 0.1032, 0.09432};
    const double far[8] = {0, 328.82, 143.94, 44.06, 38.54, 38.53, 36.47, 33.73};
    for (int table = 0; table < 2; table++)
        for (uint32_t m = table ? 4 : 3; m <= 10; m++) {
            const double spot[3] = {table ? -50 : 8, table ? 250 : 22, 0};
            const double want = table ? far[m - 3] : near[m - 3];
            aw_link links[10];
            for (uint32_t i = 0; i < m; i++) {
                const double anchor[3] = {sensor[i][0], sensor[i][1], 0};
                links[i] = clear_link(i, anchor, spot, sqrt((table ? 1e-5 : 1e-3) / 2));
            }
            const aw_bound b = aw_bound_at(links, m, AW_FIX_2D);
            const double half = table ? 5e-3 : want < 0.1 ? 5e-6 : 5e-5;
            ck_assert_double_eq_tol(b.bound[0][0] + b.bound[1][1], want, half);
        }
}
END_TEST

static TCase *exact(void)
{
    TCase *tc = tcase_create("exact");
    tcase_add_loop_test(tc, a_ring_has_hdop_two_over_root_n, 0, 7);
    tcase_add_loop_test(tc, steep_anchors_scale_hdop_by_the_cosine, 0, 7);
    tcase_add_loop_test(tc, a_rectangles_centre_has_its_closed_form, 0, 5);
    tcase_add_test(tc, a_square_and_a_rectangle_have_known_dop);
    tcase_add_test(tc, a_regular_tetrahedron_has_gdop_root_two_and_a_half);
    tcase_add_test(tc, a_cubes_corners_have_known_dop);
    tcase_add_test(tc, three_on_the_horizon_and_one_overhead_have_gdop_root_three);
    tcase_add_loop_test(tc, two_rings_at_two_elevations_have_their_closed_form, 0, 5);
    tcase_add_test(tc, corners_at_alternating_heights_have_known_dop);
    tcase_add_test(tc, five_satellites_have_the_published_dop);
    tcase_add_test(tc, four_far_satellites_have_poor_dop);
    tcase_add_test(tc, five_anchors_in_space_have_the_worked_covariance);
    tcase_add_test(tc, the_bounds_of_chan_and_ho_are_met_to_print);
    tcase_add_loop_test(tc, links_without_error_bound_the_position, 0, 20);
    return tc;
}

static TCase *outcomes(void)
{
    TCase *tc = tcase_create("outcomes");
    tcase_add_test(tc, anchors_all_at_one_height_are_singular_at_the_centre);
    tcase_add_test(tc, anchors_all_at_one_height_are_bad_off_the_centre);
    tcase_add_loop_test(tc, a_row_of_anchors_gives_no_3d_fix_anywhere, 0, 40);
    tcase_add_loop_test(tc, off_a_row_the_2d_bound_is_as_the_formula_gives, 0, 40);
    tcase_add_test(tc, too_few_links_are_an_outcome);
    return tc;
}

AW_TEST_MAIN("bound", exact(), outcomes())
