/* Draws at one spot: what they reach to first order, which outcome of a link they take, how their
 * percentiles are read. */
#include "position/trials.h"
#include "links.h"

#include <gsl/gsl_cdf.h>

#define MOST 12
#define MANY 60000

/* Sums over the draws of a run that have a fix. */
typedef struct moments {
    double n, mean[3], cov[3][3];
} moments;

static moments moments_of(const aw_draws *d)
{
    moments m = {0};
    for (size_t i = 0; i < d->n; i++)
        if (d->status[i] != AW_DRAW_FAILED) {
            const double e[3] = {(double)d->x[i], (double)d->y[i], (double)d->z[i]};
            m.n++;
            for (int k = 0; k < 3; k++)
                m.mean[k] += e[k];
        }
    for (int k = 0; k < 3; k++)
        m.mean[k] /= m.n;
    for (size_t i = 0; i < d->n; i++)
        if (d->status[i] != AW_DRAW_FAILED) {
            const double e[3] = {(double)d->x[i], (double)d->y[i], (double)d->z[i]};
            for (int k = 0; k < 3; k++)
                for (int l = 0; l < 3; l++)
                    m.cov[k][l] += (e[k] - m.mean[k]) * (e[l] - m.mean[l]) / (m.n - 1);
        }
    return m;
}

/* Eight anchors round a hall of 40 x 23 m, ragged, and a spot. */
static const double hall[8][3] = {{0.4, 0.7, 4.9}, {21, 0.2, 6.1},    {39.3, 1.1, 5.2},
                                  {39.8, 12, 6.4}, {38.9, 22.4, 4.1}, {19, 22.8, 5.9},
                                  {0.9, 22, 5.3},  {0.1, 11.4, 6.6}};

static void set_links(aw_link links[8], const double spot[3], double sigma)
{
    for (uint32_t i = 0; i < 8; i++)
        links[i] = clear_link(i * 7919 + 3, hall[i], spot, sigma);
}

static aw_draws run(aw_trials *trials, const aw_link links[], size_t n, aw_bound *bound,
                    const double spot[3], aw_fix_kind dims, double height_sigma)
{
    *bound = aw_bound_at(links, n, dims);
    const aw_trials_case c = {.links = links,
                              .n_links = n,
                              .bound = bound,
                              .height_sigma = height_sigma,
                              .spot = {spot[0], spot[1], spot[2]},
                              .seed = 11,
                              .cell = 5,
                              .n_draws = MANY};
    return aw_trials_run(trials, &c);
}

/* Fourth cumulant of the sum of a link's error terms: a mixture of two normal laws. */
static double fourth_cumulant(const aw_link *l)
{
    const double both = l->white * l->white + l->survey * l->survey + l->delay * l->delay;
    const double usual = both + l->spot * l->spot, tail = both + l->tail * l->tail;
    const double variance = aw_link_variance(l);
    return 3 * ((1 - l->tail_share) * usual * usual + l->tail_share * tail * tail -
                variance * variance);
}

/* To first order an error is sum g_i n_i; g_i is the bias that 1 m at link i alone would carry.
 * Then entry k, l of a sample covariance has variance (C_kk C_ll + C_kl^2 + sum g_ik^2 g_il^2
 * kappa_i) / n, kappa the fourth cumulants (own derivation): three standard errors. */
static void check_covariance(const moments *m, double (*want)[3], const aw_link links[], size_t n,
                             int dims)
{
    double excess[3][3] = {{0}};
    for (size_t i = 0; i < n; i++) {
        aw_link late[MOST];
        memcpy(late, links, n * sizeof *late);
        for (size_t j = 0; j < n; j++)
            late[j].outcomes[0].excess = j == i;
        const aw_bound b = aw_bound_at(late, n, (aw_fix_kind)dims);
        for (int k = 0; k < dims; k++)
            for (int l = 0; l < dims; l++)
                excess[k][l] += pow(b.bias[k] * b.bias[l], 2) * fourth_cumulant(&links[i]);
    }
    for (int k = 0; k < dims; k++)
        for (int l = k; l < dims; l++) {
            const double normal = want[k][k] * want[l][l] + want[k][l] * want[k][l];
            const double error = sqrt((normal + excess[k][l]) / m->n);
            ck_assert_msg(fabs(m->cov[k][l] - want[k][l]) <= 3 * error,
                          "entry %d %d: %.6g, want %.6g within %.2g", k, l, m->cov[k][l],
                          want[k][l], 3 * error);
        }
}

/* --- to first order --- */

START_TEST(draws_reach_c_fix_as_sigma_goes_to_zero)
{
    const double spot[3] = {9.3, 6.1, 1.2};
    const int dims = _i == 0 ? 2 : 3;
    aw_trials *trials = aw_trials_create(8, MANY, NULL);
    aw_link links[8];
    aw_bound b;
    set_links(links, spot, 0.001);
    for (uint32_t i = 0; i < 8; i++)
        links[i].white *= 1 + 0.2 * i;
    const aw_draws d = run(trials, links, 8, &b, spot, (aw_fix_kind)dims, 0);
    const moments m = moments_of(&d);
    ck_assert_uint_eq(d.n_failed, 0);
    check_covariance(&m, b.fix, links, 8, dims);
    for (int k = 0; k < dims; k++)
        ck_assert_double_le(fabs(m.mean[k]), 3 * sqrt(b.fix[k][k] / m.n));
    aw_trials_free(trials);
}
END_TEST

/* 30 % of the links are five times worse than believed. */
START_TEST(c_fix_holds_where_links_are_worse_than_believed)
{
    const double spot[3] = {14.2, 8.8, 1.2};
    aw_trials *trials = aw_trials_create(10, MANY, NULL);
    aw_link links[10];
    aw_bound b, believing;
    set_links(links, spot, 0.02);
    const double more[2][3] = {{12, 20, 3.9}, {30, 3.3, 7}};
    links[8] = clear_link(71, more[0], spot, 0.02);
    links[9] = clear_link(72, more[1], spot, 0.02);
    believing = aw_bound_at(links, 10, AW_FIX_2D);
    links[1].white = links[4].white = links[7].white = 0.1;
    const aw_draws d = run(trials, links, 10, &b, spot, AW_FIX_2D, 0);
    const moments m = moments_of(&d);
    check_covariance(&m, b.fix, links, 10, 2);
    /* What the solver believes of itself is low by more than half. */
    ck_assert_double_gt(sqrt(m.cov[0][0] + m.cov[1][1]),
                        2 * sqrt(believing.bound[0][0] + believing.bound[1][1]));
    aw_trials_free(trials);
}
END_TEST

START_TEST(a_wrong_height_moves_fixes_in_a_corner_as_predicted)
{
    const double spot[3] = {1.6, 1.9, 1.2};
    aw_trials *trials = aw_trials_create(8, MANY, NULL);
    aw_link links[8];
    aw_bound b;
    set_links(links, spot, 0.01);
    const aw_draws d = run(trials, links, 8, &b, spot, AW_FIX_2D, 0.3);
    const moments m = moments_of(&d);
    const aw_error_law e = aw_bound_error_law(&b, 0.3);
    double want[3][3] = {{e.xx, e.xy, 0}, {e.xy, e.yy, 0}, {0}};
    ck_assert_double_gt(hypot(b.height_gain[0], b.height_gain[1]), 0.3);
    check_covariance(&m, want, links, 8, 2);
    aw_trials_free(trials);
}
END_TEST

START_TEST(a_delay_moves_the_mean_as_predicted)
{
    const double spot[3] = {27.7, 15.2, 1.2};
    aw_trials *trials = aw_trials_create(8, MANY, NULL);
    aw_link links[8];
    aw_bound b;
    set_links(links, spot, 0.01);
    links[2].outcomes[0].excess = 0.03;
    links[5].outcomes[0].excess = 0.05;
    const aw_draws d = run(trials, links, 8, &b, spot, AW_FIX_2D, 0);
    const moments m = moments_of(&d);
    ck_assert_double_gt(hypot(b.bias[0], b.bias[1]), 0.008);
    /* First order in the delay: what it leaves is of the order of delay^2 / range. */
    for (int k = 0; k < 2; k++)
        ck_assert_double_le(fabs(m.mean[k] - b.bias[k]), 4 * sqrt(b.fix[k][k] / m.n) + 2e-4);
    aw_trials_free(trials);
}
END_TEST

/* White, spot with tails, survey and delay add their variances. */
START_TEST(all_error_terms_add_their_variances)
{
    const double spot[3] = {22.4, 13.3, 1.2};
    aw_trials *trials = aw_trials_create(8, MANY, NULL);
    aw_link links[8];
    aw_bound b;
    set_links(links, spot, 0.008);
    for (uint32_t i = 0; i < 8; i++) {
        links[i].spot = 0.0157;
        links[i].tail = 0.0502;
        links[i].tail_share = 0.16;
        links[i].survey = 0.012;
        links[i].delay = 0.02;
        links[i].believed = sqrt(aw_link_variance(&links[i]));
    }
    const aw_draws d = run(trials, links, 8, &b, spot, AW_FIX_2D, 0);
    const moments m = moments_of(&d);
    check_covariance(&m, b.fix, links, 8, 2);
    aw_trials_free(trials);
}
END_TEST

/* --- outcomes of a link --- */

#define SEVERAL 20000

/* Keeps x and y of a run at sigma 0.1 mm in which link 3 is late by `excess`, or missing. */
static void keep_places(aw_trials *trials, double excess, bool missing, float x[], float y[])
{
    const double spot[3] = {18, 9.5, 1.2};
    aw_link links[8];
    aw_bound b;
    set_links(links, spot, 1e-4);
    links[3].outcomes[0].excess = excess;
    if (missing)
        links[3].n_outcomes = 0;
    const aw_draws d = run(trials, links, 8, &b, spot, AW_FIX_2D, 0);
    memcpy(x, d.x, SEVERAL * sizeof *x);
    memcpy(y, d.y, SEVERAL * sizeof *y);
}

/* One link is 0.5 m late, from a fade of 2 dB on 6 m, and loses the frame above 5 dB: every draw is
 * the draw of one of three plain layouts, in the shares of a normal fade of 4 dB. */
START_TEST(fades_choose_the_outcome_and_lose_the_frame)
{
    static float x[4][SEVERAL], y[4][SEVERAL];
    const double spot[3] = {18, 9.5, 1.2};
    const double below[3] = {gsl_cdf_ugaussian_P(0.5), gsl_cdf_ugaussian_P(1.25), 1};
    size_t count[3] = {0};
    aw_trials *trials = aw_trials_create(8, SEVERAL, NULL);
    aw_link links[8];
    aw_bound b;
    keep_places(trials, 0.5, false, x[0], y[0]);
    keep_places(trials, 6, false, x[1], y[1]);
    keep_places(trials, 0, true, x[2], y[2]);
    set_links(links, spot, 1e-4);
    links[3].fade_sigma = 4;
    links[3].lost_db = 5;
    links[3].n_outcomes = 2;
    links[3].outcomes[0].excess = 0.5;
    links[3].outcomes[1] = (aw_outcome){2, 6, "detour"};
    const aw_draws d = run(trials, links, 8, &b, spot, AW_FIX_2D, 0);
    for (size_t i = 0; i < SEVERAL; i++) {
        int kind = 0;
        while (kind < 3 && hypotf(d.x[i] - x[kind][i], d.y[i] - y[kind][i]) > 1e-5f)
            kind++;
        ck_assert_msg(kind < 3, "draw %zu is of no layout", i);
        count[kind]++;
    }
    for (int kind = 0; kind < 3; kind++) {
        const double share = below[kind] - (kind > 0 ? below[kind - 1] : 0);
        ck_assert_double_eq_tol((double)count[kind] / SEVERAL, share,
                                4 * sqrt(share * (1 - share) / SEVERAL));
    }
    aw_trials_free(trials);
}
END_TEST

/* One link alone errs by more than a micrometre, and only where its coin says tail: by more than 1
 * mm but for the middle of the normal law. */
START_TEST(tails_come_up_as_often_as_they_should)
{
    const double spot[3] = {18, 9.5, 1.2}, shares[] = {0, 0.16, 0.71, 1};
    aw_trials *trials = aw_trials_create(8, MANY, NULL);
    aw_link links[8];
    aw_bound b;
    set_links(links, spot, 1e-6);
    links[2].outcomes[0].excess = 1;
    b = aw_bound_at(links, 8, AW_FIX_2D);
    const double gain = hypot(b.bias[0], b.bias[1]);
    links[2].outcomes[0].excess = 0;
    links[2].tail = 0.3;
    links[2].tail_share = shares[_i];
    const aw_draws d = run(trials, links, 8, &b, spot, AW_FIX_2D, 0);
    size_t tails = 0;
    for (size_t i = 0; i < d.n; i++)
        tails += d.radius[i] > 0.001f;
    const double want = shares[_i] * 2 * gsl_cdf_ugaussian_Q(0.001 / gain / 0.3);
    ck_assert_double_gt(gain, 0.1);
    ck_assert_double_le(fabs((double)tails / MANY - want), 4 * sqrt(want * (1 - want) / MANY));
    aw_trials_free(trials);
}
END_TEST

/* Two anchors of three unknowns. */
START_TEST(without_a_position_every_draw_fails)
{
    const double spot[3] = {18, 9.5, 1.2};
    aw_trials *trials = aw_trials_create(8, 200, NULL);
    aw_link links[8];
    double ends[2];
    set_links(links, spot, 0.1);
    for (uint32_t i = 2; i < 8; i++)
        links[i].n_outcomes = 0;
    const aw_bound b = aw_bound_at(links, 8, AW_FIX_2D);
    const aw_trials_case c = {.links = links, .n_links = 8, .bound = &b, .seed = 1, .n_draws = 200};
    ck_assert_int_eq(b.status, AW_BOUND_TOO_FEW);
    const aw_draws d = aw_trials_run(trials, &c);
    ck_assert_uint_eq(d.n, 200);
    ck_assert_uint_eq(d.n_failed, 200);
    ck_assert(isinf(d.radius[7]) && isinf(d.rise[7]) && isnan(d.x[7]) && isnan(d.y[7]));
    for (int vertical = 0; vertical < 2; vertical++) {
        ck_assert(isnan(aw_trials_percentile(trials, 0.01, vertical)));
        ck_assert(isnan(aw_trials_percentile(trials, 0.95, vertical)));
        aw_trials_interval(trials, 0.5, vertical, ends);
        ck_assert(isnan(ends[0]) && isnan(ends[1]));
    }
    aw_trials_free(trials);
}
END_TEST

/* Eight anchors in a row, the tag in it or so far beside it (m): its matrix is singular in the row
 * and nearly so beside it, and yet the sum of squares has a minimum. All are one case. */
START_TEST(in_a_row_and_just_beside_it_are_one_case)
{
    const double beside[] = {0, 1e-9, 1e-7, 1e-5, 1e-3}, spot[3] = {18, 9.5, 1.2};
    double p50[5], p95[5];
    size_t failed[5];
    aw_trials *trials = aw_trials_create(8, MANY, NULL);
    for (int k = 0; k < 5; k++) {
        aw_link links[8];
        for (uint32_t i = 0; i < 8; i++) {
            const double anchor[3] = {1.7 + 5.3 * i, 9.5 + beside[k], 1.2};
            links[i] = clear_link(i + 1, anchor, spot, 0.1);
        }
        const aw_bound b = aw_bound_at(links, 8, AW_FIX_2D);
        const aw_trials_case c = {
            .links = links, .n_links = 8, .bound = &b, .seed = 1, .n_draws = MANY};
        ck_assert(b.status == (beside[k] < 1e-6 ? AW_BOUND_SINGULAR : AW_BOUND_OK));
        failed[k] = aw_trials_run(trials, &c).n_failed;
        p50[k] = aw_trials_percentile(trials, 0.5, false);
        p95[k] = aw_trials_percentile(trials, 0.95, false);
    }
    for (int k = 0; k < 5; k++) {
        ck_assert_uint_le(failed[k], MANY / 500);
        ck_assert_double_eq_tol(p50[k], p50[0], 0.02 * p50[0]);
        ck_assert_double_eq_tol(p95[k], p95[0], 0.02 * p95[0]);
    }
    aw_trials_free(trials);
}
END_TEST

/* --- percentiles --- */

static int compare(const void *a, const void *b)
{
    const float x = *(const float *)a, y = *(const float *)b;
    return (x > y) - (x < y);
}

static double or_nan(const float sorted[], size_t n, size_t rank)
{
    return rank >= 1 && rank <= n && isfinite(sorted[rank - 1]) ? (double)sorted[rank - 1]
                                                                : (double)NAN;
}

static void check_same(double got, double want)
{
    ck_assert_msg(got == want || (isnan(got) && isnan(want)), "got %g, want %g", got, want);
}

static void check_percentiles(const aw_trials *trials, const float errors[], size_t n,
                              bool vertical)
{
    float sorted[512];
    double ends[2];
    size_t ranks[2];
    memcpy(sorted, errors, n * sizeof *sorted);
    qsort(sorted, n, sizeof *sorted, compare);
    for (int percent = 5; percent < 100; percent += 9) {
        const double q = percent / 100.0;
        size_t rank = 1;
        while (100 * rank < (size_t)percent * n)
            rank++;
        check_same(aw_trials_percentile(trials, q, vertical), or_nan(sorted, n, rank));
        aw_rank_interval(n, q, ranks);
        aw_trials_interval(trials, q, vertical, ends);
        check_same(ends[0], or_nan(sorted, n, ranks[0]));
        check_same(ends[1], or_nan(sorted, n, ranks[1]));
        ck_assert(isnan(ends[0]) || isnan(ends[1]) || ends[0] <= ends[1]);
    }
}

/* Floors of 60 x 40 m on which the descent from the centroid ends 5 m off or more in most draws, at
 * a sum of squares of hundreds. The bound there is under 0.3 m and errors have no tails: an error
 * of 2 m would be one of 7 sigma. */
START_TEST(draws_do_not_stay_in_an_absurd_root)
{
    const double floors[4][8][3] = {{{30.8, 36.3, 5},
                                     {55.3, 25.1, 4.6},
                                     {0.9, 8, 5.8},
                                     {0.4, 10.4, 5.4},
                                     {31.9, 19.6, 3.3},
                                     {2.3, 5.6, 3.6}},
                                    {{1.2, 16.5, 5},
                                     {1.8, 37.5, 5.7},
                                     {56.2, 0.2, 3.9},
                                     {51.7, 19.4, 4.3},
                                     {15.7, 29.5, 4.8},
                                     {17.8, 25.3, 4.2}},
                                    {{13.9, 33.2, 5},
                                     {20.6, 23.7, 3.5},
                                     {22.1, 25.8, 4},
                                     {51, 29.2, 4.1},
                                     {5.7, 18.2, 4},
                                     {6.9, 21.8, 2.9}},
                                    {{57.8, 25.6, 7},
                                     {0.8, 38.7, 3},
                                     {12.6, 36.8, 2.8},
                                     {55.3, 16.7, 3.6},
                                     {29.1, 29.3, 2.8},
                                     {54.9, 31.2, 3.2},
                                     {29.3, 29.5, 3.9},
                                     {2.1, 33.3, 3.1}}};
    const aw_point corner[4] = {{0, 0}, {60, 0}, {60, 40}, {0, 40}};
    const aw_polygon outline = {corner, 4, {0, 0}, {60, 40}};
    const double *row = floors[_i][0], spot[3] = {row[0], row[1], 1.2}; /* then how many anchors */
    const size_t n = (size_t)row[2];
    aw_link links[8];
    for (uint32_t i = 0; i < n; i++)
        links[i] = clear_link(i, floors[_i][i + 1], spot, 0.1);
    const aw_bound bound = aw_bound_at(links, n, AW_FIX_2D);
    const aw_trials_case c = {.links = links,
                              .n_links = n,
                              .bound = &bound,
                              .spot = {spot[0], spot[1], spot[2]},
                              .site = {&outline, 7, 0},
                              .seed = 1,
                              .n_draws = 1000};
    aw_trials *trials = aw_trials_create(8, 1000, NULL);
    const aw_draws d = aw_trials_run(trials, &c);
    ck_assert_double_lt(bound.drms, 0.3);
    for (size_t i = 0; i < d.n; i++)
        ck_assert(d.status[i] == AW_DRAW_FIXED && d.radius[i] < 2);
    aw_trials_free(trials);
}
END_TEST

/* Every frame is lost in four draws of ten, so that some draws hear too few and fail. */
START_TEST(percentiles_are_by_nearest_rank_and_failed_draws_are_the_worst)
{
    const double spot[3] = {18, 9.5, 1.2};
    const uint32_t n = (uint32_t)(1 + 37 * _i);
    aw_link links[8];
    set_links(links, spot, 0.1);
    for (size_t i = 0; i < 8; i++) {
        links[i].fade_sigma = 4;
        links[i].lost_db = 1;
    }
    const aw_bound b = aw_bound_at(links, 8, AW_FIX_3D);
    const aw_trials_case c = {.links = links,
                              .n_links = 8,
                              .bound = &b,
                              .spot = {spot[0], spot[1], spot[2]},
                              .seed = 5,
                              .n_draws = n};
    aw_trials *trials = aw_trials_create(8, n, NULL);
    const aw_draws d = aw_trials_run(trials, &c);
    ck_assert(n < 100 || (d.n_failed > n / 20 && d.n_failed < n / 2));
    check_percentiles(trials, d.radius, n, false);
    check_percentiles(trials, d.rise, n, true);
    aw_trials_free(trials);
}
END_TEST

static TCase *first_order(void)
{
    TCase *tc = tcase_create("first order");
    tcase_add_loop_test(tc, draws_reach_c_fix_as_sigma_goes_to_zero, 0, 2);
    tcase_add_test(tc, c_fix_holds_where_links_are_worse_than_believed);
    tcase_add_test(tc, a_wrong_height_moves_fixes_in_a_corner_as_predicted);
    tcase_add_test(tc, a_delay_moves_the_mean_as_predicted);
    tcase_add_test(tc, all_error_terms_add_their_variances);
    return tc;
}

static TCase *outcomes(void)
{
    TCase *tc = tcase_create("outcomes");
    tcase_add_test(tc, fades_choose_the_outcome_and_lose_the_frame);
    tcase_add_loop_test(tc, tails_come_up_as_often_as_they_should, 0, 4);
    tcase_add_test(tc, without_a_position_every_draw_fails);
    tcase_add_test(tc, in_a_row_and_just_beside_it_are_one_case);
    tcase_add_loop_test(tc, draws_do_not_stay_in_an_absurd_root, 0, 4);
    tcase_add_loop_test(tc, percentiles_are_by_nearest_rank_and_failed_draws_are_the_worst, 0, 12);
    return tc;
}

AW_TEST_MAIN("trials", first_order(), outcomes())
