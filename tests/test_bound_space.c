/* The bound's laws as statements about whole matrices, in two and in three dimensions, for links
 * with every error term. */
#include "links.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_eigen.h>
#include <gsl/gsl_linalg.h>

#define MOST 12

typedef struct room {
    aw_link links[MOST];
    double places[MOST][3], spot[3];
    size_t n;
    int dims;
} room;

/* A ragged room; odd seeds are fixed in space. Two thirds of the links have every error term, some
 * are timed late, and beliefs are not the truth. */
static void furnish(room *r, uint64_t seed)
{
    uint64_t state = seed * 104729 + 77;
    r->dims = seed % 2 ? 3 : 2;
    r->n = 6 + (size_t)(test_uniform(&state) * 6);
    for (int k = 0; k < 3; k++)
        r->spot[k] = test_between(&state, 2, 19) * (k == 2 ? 0.1 : 1);
    for (size_t i = 0; i < r->n; i++) {
        r->places[i][0] = test_between(&state, -1, 43);
        r->places[i][1] = test_between(&state, -3, 22);
        r->places[i][2] = test_between(&state, 2.1, 9);
        aw_link *l = &r->links[i];
        *l = clear_link((uint32_t)i + 1, r->places[i], r->spot, test_between(&state, 0.04, 0.3));
        l->believed = test_between(&state, 0.04, 0.3);
        if (i % 3) {
            l->spot = test_between(&state, 0, 0.2);
            l->tail = test_between(&state, 0.2, 0.7);
            l->tail_share = test_between(&state, 0, 0.3);
            l->survey = test_between(&state, 0, 0.05);
            l->delay = test_between(&state, 0, 0.09);
        }
        if (test_uniform(&state) < 0.4)
            l->outcomes[0].excess = test_between(&state, 0.05, 0.7);
    }
}

/* The variance of the sum as the model states it. */
static double variance(const aw_link *l)
{
    return l->white * l->white + (1 - l->tail_share) * l->spot * l->spot +
           l->tail_share * l->tail * l->tail + l->survey * l->survey + l->delay * l->delay;
}

static double least_eigenvalue(double m[3][3], int dims, double *largest)
{
    gsl_matrix *a = gsl_matrix_alloc((size_t)dims, (size_t)dims);
    gsl_vector *values = gsl_vector_alloc((size_t)dims);
    gsl_eigen_symm_workspace *w = gsl_eigen_symm_alloc((size_t)dims);
    for (int i = 0; i < dims; i++)
        for (int j = 0; j < dims; j++)
            gsl_matrix_set(a, (size_t)i, (size_t)j, m[i][j]);
    gsl_eigen_symm(a, values, w);
    double least, most;
    gsl_vector_minmax(values, &least, &most);
    gsl_eigen_symm_free(w);
    gsl_vector_free(values);
    gsl_matrix_free(a);
    *largest = most;
    return least;
}

/* Asserts that `more` exceeds `less` in no direction: less - more has no negative eigenvalue. */
static void ck_no_worse(const double more[3][3], const double less[3][3], int dims)
{
    double gap[3][3], scale[3][3], largest, ignored;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            gap[i][j] = less[i][j] - more[i][j];
            scale[i][j] = less[i][j];
        }
    const double least = least_eigenvalue(gap, dims, &ignored);
    least_eigenvalue(scale, dims, &largest);
    ck_assert_msg(least >= -1e-9 * largest, "least eigenvalue %.3g of %.3g", least, largest);
}

/* --- independent computation --- */

/* Least squares with the offset as one more unknown, rows [u, 1]: how the unknowns follow each
 * arrival, (A^T W A)^-1 A^T W. Nothing is eliminated. */
static gsl_matrix *influence(const room *r, const double weight[])
{
    const size_t d = (size_t)r->dims + 1;
    gsl_matrix *a = gsl_matrix_alloc(r->n, d), *wa = gsl_matrix_alloc(r->n, d);
    gsl_matrix *normal = gsl_matrix_alloc(d, d), *out = gsl_matrix_alloc(d, r->n);
    for (size_t i = 0; i < r->n; i++)
        for (size_t k = 0; k < d; k++) {
            const double u = k + 1 < d ? r->links[i].u[k] : 1;
            gsl_matrix_set(a, i, k, u);
            gsl_matrix_set(wa, i, k, u * weight[i]);
        }
    gsl_blas_dgemm(CblasTrans, CblasNoTrans, 1, a, wa, 0, normal);
    gsl_linalg_cholesky_decomp1(normal);
    gsl_linalg_cholesky_invert(normal);
    gsl_blas_dgemm(CblasNoTrans, CblasTrans, 1, normal, wa, 0, out);
    gsl_matrix_free(a);
    gsl_matrix_free(wa);
    gsl_matrix_free(normal);
    return out;
}

/* Covariance of the unknowns that have this influence, entry by entry. */
static double covariance(const gsl_matrix *g, const double var[], size_t i, size_t j)
{
    double sum = 0;
    for (size_t k = 0; k < g->size2; k++)
        sum += gsl_matrix_get(g, i, k) * var[k] * gsl_matrix_get(g, j, k);
    return sum;
}

static void ck_covariance(double got[3][3], const gsl_matrix *g, const double var[], int dims)
{
    double scale = 0;
    for (size_t i = 0; i < (size_t)dims; i++)
        scale += covariance(g, var, i, i);
    for (size_t i = 0; i < 3; i++)
        for (size_t j = 0; j < 3; j++) {
            const bool inside = i < (size_t)dims && j < (size_t)dims;
            const double want = inside ? covariance(g, var, i, j) : 0;
            ck_assert_double_eq_tol(got[i][j], want, 1e-9 * scale);
        }
}

/* Derived: the whole result is that of the full least squares, offset and all. */
START_TEST(eliminating_the_offset_equals_solving_for_it)
{
    room r;
    double one[MOST], believed[MOST], sharp[MOST], var[MOST];
    furnish(&r, (uint64_t)_i);
    for (size_t i = 0; i < r.n; i++) {
        one[i] = 1;
        var[i] = variance(&r.links[i]);
        sharp[i] = 1 / var[i];
        believed[i] = 1 / (r.links[i].believed * r.links[i].believed);
    }
    gsl_matrix *plain = influence(&r, one), *best = influence(&r, sharp);
    gsl_matrix *own = influence(&r, believed);
    const size_t d = (size_t)r.dims;
    aw_bound b = aw_bound_at(r.links, r.n, (aw_fix_kind)r.dims);
    ck_assert_int_eq(b.status, AW_BOUND_OK);
    const double xx = covariance(plain, one, 0, 0), yy = covariance(plain, one, 1, 1);
    const double tt = covariance(plain, one, d, d), zz = d == 3 ? covariance(plain, one, 2, 2) : 0;
    ck_close(b.hdop, sqrt(xx + yy), 1e-9);
    ck_close(b.tdop, sqrt(tt), 1e-9);
    ck_close(b.gdop, sqrt(xx + yy + zz + tt), 1e-9);
    ck_covariance(b.bound, best, var, r.dims);
    ck_covariance(b.fix, own, var, r.dims);
    ck_close(b.drms, sqrt(covariance(best, var, 0, 0) + covariance(best, var, 1, 1)), 1e-9);
    if (r.dims == 3) {
        ck_close(b.vdop, sqrt(zz), 1e-9);
        ck_close(b.pdop, sqrt(xx + yy + zz), 1e-9);
        ck_assert(isnan(b.height_gain[0]) && isnan(b.height_gain[1]));
    }
    for (size_t k = 0; k < d && k < 3; k++) {
        double bias = 0, gain = 0;
        for (size_t i = 0; i < r.n; i++) {
            bias += gsl_matrix_get(own, k, i) * r.links[i].outcomes[0].excess;
            gain += gsl_matrix_get(own, k, i) * r.links[i].u[2];
        }
        ck_close(b.bias[k], bias, 1e-9);
        if (r.dims == 2)
            ck_close(b.height_gain[k], gain, 1e-9);
    }
    gsl_matrix_free(plain);
    gsl_matrix_free(best);
    gsl_matrix_free(own);
}
END_TEST

/* --- laws --- */

static void ck_turned(double got[3][3], double m[3][3], double turn[3][3], double scale)
{
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            double want = 0;
            for (int k = 0; k < 3; k++)
                for (int l = 0; l < 3; l++)
                    want += turn[i][k] * m[k][l] * turn[j][l];
            ck_assert_double_eq_tol(got[i][j], want, 1e-9 * scale);
        }
}

START_TEST(what_moves_the_site_moves_the_matrices_with_it)
{
    room r;
    furnish(&r, (uint64_t)_i);
    const double a = 0.41 + 0.77 * _i, c = cos(a), s = sin(a), flip = _i / 2 % 2 ? -1 : 1;
    double turn[3][3] = {{flip * c, -flip * s, 0}, {s, c, 0}, {0, 0, 1}};
    aw_bound before = aw_bound_at(r.links, r.n, (aw_fix_kind)r.dims);
    double there[3];
    for (size_t i = 0; i <= r.n; i++) {
        double *p = i < r.n ? r.places[i] : there;
        double q[3] = {311.7, -208.3, 17.9};
        for (int k = 0; k < 3; k++)
            for (int l = 0; l < 3; l++)
                q[k] += turn[k][l] * (i < r.n ? p[l] : r.spot[l]);
        memcpy(p, q, sizeof q);
    }
    for (size_t i = 0; i < r.n; i++)
        aw_link_aim(&r.links[i], r.places[i], there);
    aw_bound after = aw_bound_at(r.links, r.n, (aw_fix_kind)r.dims);
    ck_assert_int_eq(before.status, AW_BOUND_OK);
    ck_close(after.hdop, before.hdop, 1e-9);
    ck_close(after.tdop, before.tdop, 1e-9);
    ck_close(after.gdop, before.gdop, 1e-9);
    if (r.dims == 3)
        ck_close(after.vdop, before.vdop, 1e-9);
    ck_turned(after.bound, before.bound, turn,
              before.bound[0][0] + before.bound[r.dims - 1][r.dims - 1]);
    ck_turned(after.fix, before.fix, turn, before.fix[0][0] + before.fix[r.dims - 1][r.dims - 1]);
    for (int k = 0; k < 2; k++) {
        ck_close(after.bias[k], turn[k][0] * before.bias[0] + turn[k][1] * before.bias[1], 1e-9);
        if (r.dims == 2)
            ck_close(after.height_gain[k],
                     turn[k][0] * before.height_gain[0] + turn[k][1] * before.height_gain[1], 1e-9);
    }
    const aw_error_law e = aw_bound_error_law(&before, 0.23), f = aw_bound_error_law(&after, 0.23);
    for (double q = 0.1; q < 0.999; q += 0.213)
        ck_close(aw_error_law_percentile(&f, q), aw_error_law_percentile(&e, q), 1e-9);
}
END_TEST

START_TEST(one_more_link_hurts_in_no_direction)
{
    room r;
    furnish(&r, (uint64_t)_i);
    const aw_bound more = aw_bound_at(r.links, r.n, (aw_fix_kind)r.dims);
    for (size_t gone = 0; gone < r.n; gone++) {
        room fewer = r;
        fewer.links[gone].n_outcomes = 0;
        const aw_bound less = aw_bound_at(fewer.links, r.n, (aw_fix_kind)r.dims);
        ck_assert_int_eq(less.status, AW_BOUND_OK);
        ck_assert_uint_eq(less.used, r.n - 1);
        ck_no_worse(more.bound, less.bound, r.dims);
        ck_assert_double_le(more.gdop, less.gdop * (1 + 1e-9));
    }
}
END_TEST

/* The information with a known offset is sum u u^T / sigma^2. */
START_TEST(an_unknown_offset_helps_in_no_direction)
{
    room r;
    double known[3][3] = {{0}};
    furnish(&r, (uint64_t)_i);
    const aw_bound b = aw_bound_at(r.links, r.n, (aw_fix_kind)r.dims);
    const size_t d = (size_t)r.dims;
    gsl_matrix *j = gsl_matrix_calloc(d, d);
    for (size_t i = 0; i < r.n; i++) {
        gsl_vector_view u = gsl_vector_view_array(r.links[i].u, d);
        gsl_blas_dger(1 / variance(&r.links[i]), &u.vector, &u.vector, j);
    }
    gsl_linalg_cholesky_decomp1(j);
    gsl_linalg_cholesky_invert(j);
    for (size_t i = 0; i < d; i++)
        for (size_t k = 0; k < d; k++)
            known[i][k] = gsl_matrix_get(j, i, k);
    gsl_matrix_free(j);
    ck_no_worse(known, b.bound, r.dims);
    ck_assert_double_gt(b.bound[0][0] + b.bound[1][1], known[0][0] + known[1][1]);
}
END_TEST

/* Gauss and Markov: no weights beat the true ones; weights wrong by one common factor equal them.
 */
START_TEST(no_belief_beats_the_truth_in_any_direction)
{
    room r;
    furnish(&r, (uint64_t)_i);
    const aw_bound wrong = aw_bound_at(r.links, r.n, (aw_fix_kind)r.dims);
    ck_no_worse(wrong.bound, wrong.fix, r.dims);
    ck_assert_double_gt(wrong.fix[0][0] + wrong.fix[1][1], wrong.drms * wrong.drms * 1.001);
    for (size_t i = 0; i < r.n; i++)
        r.links[i].believed = 3.1 * sqrt(variance(&r.links[i]));
    const aw_bound right = aw_bound_at(r.links, r.n, (aw_fix_kind)r.dims);
    const double scale = right.bound[0][0] + right.bound[r.dims - 1][r.dims - 1];
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            ck_assert_double_eq_tol(right.fix[i][j], right.bound[i][j], 1e-9 * scale);
}
END_TEST

static TCase *space(void)
{
    TCase *tc = tcase_create("space");
    tcase_add_loop_test(tc, eliminating_the_offset_equals_solving_for_it, 0, 40);
    tcase_add_loop_test(tc, what_moves_the_site_moves_the_matrices_with_it, 0, 40);
    tcase_add_loop_test(tc, one_more_link_hurts_in_no_direction, 0, 40);
    tcase_add_loop_test(tc, an_unknown_offset_helps_in_no_direction, 0, 40);
    tcase_add_loop_test(tc, no_belief_beats_the_truth_in_any_direction, 0, 40);
    return tc;
}

AW_TEST_MAIN("bound in space", space())
