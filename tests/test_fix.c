/* aw_fix_find: published examples, an independent solver, random sites, mirror roots. */
#include "links.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit_nlinear.h>

#define MOST 12

/* --- published --- */

/* T. Sauer, Numerical Analysis, Reality Check 4: c t_i = |x - A_i| + c d, in km and s. Its second
 * root leaves residuals of some 1e4 km and must not be chosen, whatever the bit. */
START_TEST(sauers_pseudoranges_give_the_published_fix)
{
    double a[4][3] = {
        {15600, 7540, 20140}, {18760, 2750, 18610}, {17610, 14630, 13480}, {19170, 610, 18390}};
    const double t[4] = {0.07074, 0.07220, 0.07690, 0.07242}, c = 299792.458;
    double rho[4], weight[4] = {1, 1, 1, 1};
    for (int i = 0; i < 4; i++)
        rho[i] = c * t[i];
    aw_fix_problem p = {
        .dims = 3, .n = 4, .anchor = a, .weight = weight, .rho = rho, .side = (unsigned)_i};
    const aw_fix fix = aw_fix_find(&p);
    ck_assert(fix.found && !fix.ambiguous);
    ck_assert_double_eq_tol(fix.at[0], -41.77271, 1e-4);
    ck_assert_double_eq_tol(fix.at[1], -16.78919, 1e-4);
    ck_assert_double_eq_tol(fix.at[2], 6370.0596, 1e-4);
    ck_assert_double_eq_tol(fix.offset / c, -3.201566e-3, 1e-9);
}
END_TEST

/* Expected output of an open implementation of S. Bancroft, IEEE T-AES 21(1):56-59, 1985. */
START_TEST(four_satellites_give_the_published_place)
{
    double a[4][3] = {{-12005459.353, 22848755.674, 5796967.796},
                      {-26293588.245, -625514.504, -4190661.86},
                      {-6559774.102, 22208149.128, 13685049.829},
                      {3709341.143, 24439380.765, 9629909.454}};
    double rho[4] = {21103816.114230197, 24293188.495801315, 21325719.850603405, 22938884.45379082};
    double weight[4] = {1, 1, 1, 1};
    const aw_fix_problem p = {.dims = 3, .n = 4, .anchor = a, .weight = weight, .rho = rho};
    const aw_fix fix = aw_fix_find(&p);
    ck_assert(fix.found && !fix.ambiguous);
    ck_assert_double_eq_tol(fix.at[0], -3721817.095, 1e-3);
    ck_assert_double_eq_tol(fix.at[1], 3545589.644, 1e-3);
    ck_assert_double_eq_tol(fix.at[2], 3763571.160, 1e-3);
    ck_assert_double_eq_tol(fabs(fix.offset) / 299792458.0, 4.271441e-7, 1e-13);
}
END_TEST

/* Derived: range differences 9.503211 and 9.682504 to three corners fit two places. */
START_TEST(three_anchors_that_fit_two_places_are_ambiguous)
{
    double a[3][3] = {{0, 0, 0}, {10, 0, 0}, {0, 10, 0}}, weight[3] = {100, 100, 100};
    double rho[3] = {0, 9.503211, 9.682504};
    aw_fix_problem p = {.dims = 2, .n = 3, .anchor = a, .weight = weight, .rho = rho};
    aw_fix fix[2];
    for (unsigned side = 0; side < 2; side++) {
        p.side = side;
        fix[side] = aw_fix_find(&p);
        ck_assert(fix[side].found && fix[side].ambiguous);
    }
    const aw_fix *out = fix[0].at[0] < fix[1].at[0] ? &fix[0] : &fix[1];
    const aw_fix *in = out == &fix[0] ? &fix[1] : &fix[0];
    ck_assert_double_eq_tol(out->at[0], -1, 1e-4);
    ck_assert_double_eq_tol(out->at[1], -1.2, 1e-4);
    ck_assert_double_eq_tol(in->at[0], 0.24394, 1e-4);
    ck_assert_double_eq_tol(in->at[1], 0.06741, 1e-4);
    /* With an outline that holds only one of them there is no doubt. */
    const aw_point corner[4] = {{0, 0}, {10, 0}, {10, 10}, {0, 10}};
    const aw_polygon outline = {corner, 4, {0, 0}, {10, 10}};
    p.site = (aw_site){&outline, 5};
    for (p.side = 0; p.side < 2; p.side++) {
        const aw_fix sure = aw_fix_find(&p);
        ck_assert(sure.found && !sure.ambiguous);
        ck_assert_double_eq_tol(sure.at[0], 0.24394, 1e-4);
    }
}
END_TEST

/* --- GSL --- */

typedef struct site {
    int dims;
    size_t n;
    double anchor[MOST][3], weight[MOST], rho[MOST], truth[3];
    double width, depth, ceiling;
    aw_point corner[4];
    aw_polygon outline;
} site;

static void set_outline(site *s)
{
    const aw_point corner[4] = {{0, 0}, {s->width, 0}, {s->width, s->depth}, {0, s->depth}};
    memcpy(s->corner, corner, sizeof corner);
    s->outline = (aw_polygon){s->corner, 4, {0, 0}, {s->width, s->depth}};
}

/* Anchors anywhere, the tag anywhere, sigma 0.1. Coordinates are absolute. */
static void make_site(site *s, int dims, uint64_t *state)
{
    s->dims = dims;
    s->n = 5 + (size_t)(test_uniform(state) * 6);
    s->width = test_between(state, 10, 80);
    s->depth = test_between(state, 8, 50);
    s->ceiling = test_between(state, 5, 12);
    set_outline(s);
    for (size_t i = 0; i < s->n; i++) {
        s->anchor[i][0] = test_between(state, 0, s->width);
        s->anchor[i][1] = test_between(state, 0, s->depth);
        s->anchor[i][2] = test_between(state, 1.5, s->ceiling);
    }
    s->truth[0] = test_between(state, 0, s->width);
    s->truth[1] = test_between(state, 0, s->depth);
    s->truth[2] = dims == 3 ? test_between(state, 0.3, 2.5) : 1.2;
}

static void measure(site *s, uint64_t *state)
{
    for (size_t i = 0; i < s->n; i++) {
        double squared = 0;
        for (int k = 0; k < 3; k++)
            squared += pow(s->truth[k] - s->anchor[i][k], 2);
        s->weight[i] = 100;
        s->rho[i] = sqrt(squared) + 0.1 * test_normal(state);
    }
}

static aw_fix find(site *s)
{
    double centred[MOST][3];
    const double height = s->dims == 2 ? s->truth[2] : 0;
    for (size_t i = 0; i < s->n; i++) {
        memcpy(centred[i], s->anchor[i], sizeof centred[i]);
        centred[i][2] -= height;
    }
    const aw_fix_problem p = {.dims = s->dims,
                              .n = s->n,
                              .anchor = centred,
                              .weight = s->weight,
                              .rho = s->rho,
                              .spot = {0, 0, height},
                              .site = {&s->outline, s->ceiling}};
    aw_fix fix = aw_fix_find(&p);
    fix.at[2] += height;
    return fix;
}

static int residuals(const gsl_vector *x, void *data, gsl_vector *f)
{
    const site *s = data;
    for (size_t i = 0; i < s->n; i++) {
        double squared = 0;
        for (size_t k = 0; k < 3; k++) {
            const double at = k < (size_t)s->dims ? gsl_vector_get(x, k) : s->truth[2];
            squared += pow(at - s->anchor[i][k], 2);
        }
        const double offset = gsl_vector_get(x, (size_t)s->dims);
        gsl_vector_set(f, i, 10 * (sqrt(squared) + offset - s->rho[i]));
    }
    return GSL_SUCCESS;
}

/* GSL's Levenberg-Marquardt on the same measurements; false if it does not converge. `least` gets
 * the sum of squares it ends with. */
static bool solve_by_gsl(site *s, const double start[4], double found[3], double *least)
{
    const size_t d = (size_t)s->dims + 1;
    gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
    gsl_multifit_nlinear_fdf fdf = {.f = residuals, .n = s->n, .p = d, .params = s};
    gsl_multifit_nlinear_workspace *w =
        gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how, s->n, d);
    gsl_vector_const_view x = gsl_vector_const_view_array(start, d);
    int info = 0;
    gsl_multifit_nlinear_init(&x.vector, &fdf, w);
    const int status = gsl_multifit_nlinear_driver(100, 1e-10, 1e-12, 0, NULL, NULL, &info, w);
    for (size_t k = 0; k < 3; k++)
        found[k] = k < d - 1 ? gsl_vector_get(gsl_multifit_nlinear_position(w), k) : s->truth[2];
    *least = pow(gsl_blas_dnrm2(gsl_multifit_nlinear_residual(w)), 2);
    gsl_multifit_nlinear_free(w);
    return status == GSL_SUCCESS || info > 0;
}

static double distance(const double a[3], const double b[3])
{
    return sqrt(pow(a[0] - b[0], 2) + pow(a[1] - b[1], 2) + pow(a[2] - b[2], 2));
}

/* A difference must be a second root: GSL started from our fix stays there. At most 5 % of the
 * cases, stated before the first run, may be such. */
START_TEST(fixes_equal_gsls_or_are_a_second_root)
{
    const int dims = _i == 0 ? 2 : 3, cases = 300;
    uint64_t state = 4242 + (uint64_t)_i;
    int compared = 0, second = 0, unexplained = 0;
    gsl_set_error_handler_off();
    for (int k = 0; k < cases; k++) {
        site s;
        double other[3], again[3], squares;
        make_site(&s, dims, &state);
        measure(&s, &state);
        const aw_fix fix = find(&s);
        const double truth[4] = {s.truth[0], s.truth[1], dims == 3 ? s.truth[2] : 0, 0};
        if (!fix.found || !solve_by_gsl(&s, truth, other, &squares))
            continue;
        compared++;
        if (distance(fix.at, other) <= 1e-4)
            continue;
        const double ours[4] = {fix.at[0], fix.at[1], dims == 3 ? fix.at[2] : fix.offset,
                                fix.offset};
        second++;
        unexplained += !solve_by_gsl(&s, ours, again, &squares) || distance(fix.at, again) > 1e-3;
    }
    ck_assert_int_gt(compared, cases * 9 / 10);
    ck_assert_int_le(second, compared / 20);
    ck_assert_int_eq(unexplained, 0);
}
END_TEST

/* --- random sites --- */

static bool in_hull(const site *s)
{
    /* Inside unless all anchors lie on one side of some line through the tag. */
    for (int k = 0; k < 360; k++) {
        const double c = cos(k * M_PI / 180), d = sin(k * M_PI / 180);
        bool ahead = false;
        for (size_t i = 0; i < s->n; i++)
            ahead = ahead ||
                    c * (s->anchor[i][0] - s->truth[0]) + d * (s->anchor[i][1] - s->truth[1]) > 0;
        if (!ahead)
            return false;
    }
    return true;
}

static aw_bound bound_of(const site *s)
{
    aw_link links[MOST];
    for (size_t i = 0; i < s->n; i++)
        links[i] = clear_link((uint32_t)i, s->anchor[i], s->truth, 0.1);
    return aw_bound_at(links, s->n, (aw_fix_kind)s->dims);
}

START_TEST(inside_the_hull_fewer_than_one_in_a_thousand_fixes_fail)
{
    uint64_t state = 777;
    int sites = 0, fixes = 0, failed = 0;
    while (sites < 1000) {
        site s;
        make_site(&s, 2, &state);
        const aw_bound b = bound_of(&s);
        if (b.status != AW_BOUND_OK || b.hdop > 3 || !in_hull(&s))
            continue;
        sites++;
        for (int k = 0; k < 40; k++, fixes++) {
            measure(&s, &state);
            failed += !find(&s).found;
        }
    }
    ck_assert_msg(failed * 1000 < fixes, "%d of %d fixes failed", failed, fixes);
}
END_TEST

/* Anchors alternate between two heights at least 2 m apart. */
static void make_two_heights(site *s, uint64_t *state)
{
    make_site(s, 3, state);
    const double low = test_between(state, 1.5, 2.5), high = low + test_between(state, 2, 5);
    s->ceiling = high + test_between(state, 0.2, 2);
    for (size_t i = 0; i < s->n; i++)
        s->anchor[i][2] = i % 2 ? high : low;
}

/* A fix stands in the mirror root if it is nearer to where a descent from the truth mirrored in the
 * anchors' mean height ends than to where one from the truth ends, and these differ. */
static bool is_mirrored(site *s, const aw_fix *fix)
{
    double mean = 0, squares, right[3], wrong[3];
    for (size_t i = 0; i < s->n; i++)
        mean += s->anchor[i][2] / (double)s->n;
    const double from[4] = {s->truth[0], s->truth[1], s->truth[2], 0};
    const double mirror[4] = {s->truth[0], s->truth[1], 2 * mean - s->truth[2], 0};
    return solve_by_gsl(s, from, right, &squares) && solve_by_gsl(s, mirror, wrong, &squares) &&
           distance(right, wrong) > 0.01 && distance(fix->at, wrong) < distance(fix->at, right);
}

START_TEST(two_heights_keep_3d_fixes_out_of_the_mirror_root)
{
    uint64_t state = 2024;
    int sites = 0, fixes = 0, mirrored = 0, failed = 0, failed_there = 0;
    gsl_set_error_handler_off();
    while (sites < 20) {
        site s;
        make_two_heights(&s, &state);
        const aw_bound b = bound_of(&s);
        if (b.status != AW_BOUND_OK || b.hdop >= 4 || b.vdop > 5)
            continue;
        sites++;
        for (int k = 0; k < 200; k++, fixes++) {
            double other[3], squares, x = 0, y = 0;
            measure(&s, &state);
            const aw_fix fix = find(&s);
            for (size_t i = 0; i < s.n; i++) {
                x += s.anchor[i][0] / (double)s.n;
                y += s.anchor[i][1] / (double)s.n;
            }
            const double start[4] = {x, y, 0, 0};
            failed += !fix.found;
            failed_there += !solve_by_gsl(&s, start, other, &squares);
            mirrored += fix.found && is_mirrored(&s, &fix);
        }
    }
    ck_assert_msg(mirrored * 1000 < fixes, "%d of %d in the mirror root", mirrored, fixes);
    ck_assert_msg(failed <= failed_there, "%d failed, GSL %d", failed, failed_there);
}
END_TEST

/* --- outcomes --- */

START_TEST(a_footprint_is_a_line_under_five_percent)
{
    double flat[4][3] = {{0, 0, 1}, {10, 0.4, 9}, {20, -0.4, 4}, {30, 0, 2}};
    aw_line line;
    double xx = 500, yy = 0.32;
    ck_assert(sqrt(yy / xx) < 0.05);
    ck_assert(aw_footprint_is_line(flat, 4, &line));
    ck_close(line.x, 15, 1e-12);
    ck_close(fabs(line.normal_y), 1, 1e-3);
    ck_close(line.spread, sqrt(xx / 4), 1e-3);
    flat[1][1] = 0.85;
    flat[2][1] = -0.85;
    ck_assert(sqrt(2 * 0.85 * 0.85 / xx) > 0.05);
    ck_assert(!aw_footprint_is_line(flat, 4, NULL));
}
END_TEST

START_TEST(poor_problems_give_no_fix_and_no_nan)
{
    double a[5][3] = {{0, 0, 3}, {10, 0, 3}, {10, 8, 3}, {0, 8, 3}, {5, 4, 3}};
    double weight[5] = {1, 1, 1, 1, 1}, rho[5] = {5, 5, 5, 5, 0};
    aw_fix_problem p = {.dims = 2, .n = 2, .anchor = a, .weight = weight, .rho = rho};
    ck_assert(!aw_fix_find(&p).found);
    /* The last anchor is just where the tag is. */
    for (size_t i = 0; i < 5; i++)
        rho[i] = sqrt(pow(a[i][0] - 5, 2) + pow(a[i][1] - 4, 2) + 9);
    a[4][2] = 0;
    rho[4] = 0;
    p.n = 5;
    const aw_fix fix = aw_fix_find(&p);
    ck_assert(!fix.found || (isfinite(fix.at[0]) && isfinite(fix.at[1])));
    ck_assert(!fix.found || hypot(fix.at[0] - 5, fix.at[1] - 4) < 0.01);
}
END_TEST

static TCase *published(void)
{
    TCase *tc = tcase_create("published");
    tcase_add_loop_test(tc, sauers_pseudoranges_give_the_published_fix, 0, 2);
    tcase_add_test(tc, four_satellites_give_the_published_place);
    tcase_add_test(tc, three_anchors_that_fit_two_places_are_ambiguous);
    return tc;
}

static TCase *random_sites(void)
{
    TCase *tc = tcase_create("sites");
    tcase_add_loop_test(tc, fixes_equal_gsls_or_are_a_second_root, 0, 2);
    tcase_add_test(tc, inside_the_hull_fewer_than_one_in_a_thousand_fixes_fail);
    tcase_add_test(tc, two_heights_keep_3d_fixes_out_of_the_mirror_root);
    return tc;
}

static TCase *outcomes(void)
{
    TCase *tc = tcase_create("outcomes");
    tcase_add_test(tc, a_footprint_is_a_line_under_five_percent);
    tcase_add_test(tc, poor_problems_give_no_fix_and_no_nan);
    return tc;
}

AW_TEST_MAIN("fix", published(), random_sites(), outcomes())
