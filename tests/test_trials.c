/* aw_trials_run: what the draws reach to first order, what their names promise, how they are read.
 */
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

/* Entry k, l of a sample covariance of normals has variance (C_kk C_ll + C_kl^2) / n; kurtosis
 * makes it larger for tails, which the caller states. */
static void check_covariance(const moments *m, double (*want)[3], int dims, double widen)
{
    for (int k = 0; k < dims; k++)
        for (int l = k; l < dims; l++) {
            const double error = sqrt((want[k][k] * want[l][l] + want[k][l] * want[k][l]) / m->n);
            ck_assert_msg(fabs(m->cov[k][l] - want[k][l]) <= 3 * widen * error,
                          "entry %d %d: %.6g, want %.6g within %.2g", k, l, m->cov[k][l],
                          want[k][l], 3 * widen * error);
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
    check_covariance(&m, b.fix, dims, 1);
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
    check_covariance(&m, b.fix, 2, 1);
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
    const aw_spread e = aw_bound_spread(&b, 0.3);
    double want[3][3] = {{e.xx, e.xy, 0}, {e.xy, e.yy, 0}, {0}};
    ck_assert_double_gt(hypot(b.height_gain[0], b.height_gain[1]), 0.3);
    check_covariance(&m, want, 2, 1);
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
    check_covariance(&m, b.fix, 2, 1.4);
    aw_trials_free(trials);
}
END_TEST

/* --- outcomes of a link --- */

/* One link has a second outcome, 6 m late, from a fade of 2 dB on, and loses the frame above 5 dB.
 */
START_TEST(fades_choose_the_outcome_and_lose_the_frame)
{
    const double spot[3] = {18, 9.5, 1.2};
    aw_trials *trials = aw_trials_create(8, MANY, NULL);
    aw_link links[8], seven[8];
    aw_bound b, other;
    set_links(links, spot, 1e-4);
    set_links(seven, spot, 1e-4);
    links[3].fade_sigma = 4;
    links[3].lost_db = 5;
    links[3].n_outcomes = 2;
    links[3].outcomes[1] = (aw_outcome){2, 6, "detour"};
    seven[3].n_outcomes = 0;
    const aw_draws d = run(trials, links, 8, &b, spot, AW_FIX_2D, 0);
    static float x[MANY];
    memcpy(x, d.x, sizeof x);
    const double straight = gsl_cdf_ugaussian_P(0.5), late = gsl_cdf_ugaussian_P(1.25) - straight;
    size_t near = 0;
    for (size_t i = 0; i < MANY; i++)
        near += fabsf(x[i]) < 0.01f;
    const double share = (double)near / MANY;
    ck_assert_double_eq_tol(share, 1 - late, 4 * sqrt(late * (1 - late) / MANY));
    /* Where the frame is lost the fix is that of the other seven, to the float's last digits. */
    const aw_draws e = run(trials, seven, 8, &other, spot, AW_FIX_2D, 0);
    size_t same = 0;
    for (size_t i = 0; i < MANY; i++)
        same += fabsf(x[i] - e.x[i]) < 1e-6f;
    const double lost = 1 - straight - late;
    ck_assert_double_ge((double)same / MANY, lost - 4 * sqrt(lost * (1 - lost) / MANY));
    aw_trials_free(trials);
}
END_TEST

START_TEST(without_a_position_every_draw_fails)
{
    const double spot[3] = {18, 9.5, 1.2};
    aw_trials *trials = aw_trials_create(8, 200, NULL);
    aw_link links[8];
    double ends[2];
    set_links(links, spot, 0.1);
    for (size_t i = 2; i < 8; i++)
        links[i].n_outcomes = 0;
    const aw_bound b = aw_bound_at(links, 8, AW_FIX_2D);
    const aw_trials_case c = {.links = links, .n_links = 8, .bound = &b, .seed = 1, .n_draws = 200};
    const aw_draws d = aw_trials_run(trials, &c);
    ck_assert_uint_eq(d.n, 200);
    ck_assert_uint_eq(d.n_failed, 200);
    ck_assert(isnan(aw_trials_percentile(trials, 0.5, false)) && isinf(d.radius[7]) &&
              isnan(d.x[7]));
    aw_trials_interval(trials, 0.5, false, ends);
    ck_assert(isnan(ends[0]) && isnan(ends[1]));
    aw_trials_free(trials);
}
END_TEST

/* --- names of the numbers --- */

/* Runs n draws from `first` on and keeps x. */
static void keep_x(const aw_link links[], size_t n_links, aw_trials_case c, float x[])
{
    const double spot[3] = {18, 9.5, 1.2};
    const aw_bound b = aw_bound_at(links, n_links, AW_FIX_2D);
    aw_trials *trials = aw_trials_create(n_links, c.n_draws, NULL);
    c.links = links;
    c.n_links = n_links;
    c.bound = &b;
    memcpy(c.spot, spot, sizeof spot);
    const aw_draws d = aw_trials_run(trials, &c);
    memcpy(x, d.x, c.n_draws * sizeof *x);
    aw_trials_free(trials);
}

static void set_site_links(aw_link links[8])
{
    const double spot[3] = {18, 9.5, 1.2};
    set_links(links, spot, 0.08);
    for (uint32_t i = 0; i < 8; i++) {
        links[i].survey = 0.03;
        links[i].delay = 0.04;
        links[i].spot = 0.1;
        links[i].tail = 0.3;
        links[i].tail_share = 0.2;
    }
}

START_TEST(parts_of_a_run_equal_the_whole)
{
    aw_link links[8];
    float whole[1900], part[1900];
    set_site_links(links);
    keep_x(links, 8, (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 1900}, whole);
    const uint32_t cut[] = {0, 1, 63, 64, 700, 1213, 1900};
    for (size_t k = 0; k + 1 < sizeof cut / sizeof *cut; k++) {
        keep_x(links, 8,
               (aw_trials_case){
                   .seed = 9, .cell = 3, .first_draw = cut[k], .n_draws = cut[k + 1] - cut[k]},
               part);
        ck_assert_mem_eq(part, whole + cut[k], (cut[k + 1] - cut[k]) * sizeof *part);
    }
    keep_x(links, 8, (aw_trials_case){.seed = 10, .cell = 3, .n_draws = 1900}, part);
    ck_assert_mem_ne(part, whole, sizeof whole);
    keep_x(links, 8, (aw_trials_case){.seed = 9, .cell = 4, .n_draws = 1900}, part);
    ck_assert_mem_ne(part, whole, sizeof whole);
}
END_TEST

/* The sums run in another order, so the last digits of a float may differ; the numbers do not. */
START_TEST(the_order_of_the_anchors_does_not_matter)
{
    aw_link links[8], other[8];
    float x[500], y[500];
    set_site_links(links);
    for (size_t i = 0; i < 8; i++)
        other[i] = links[(i * 3 + 5) % 8];
    keep_x(links, 8, (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 500}, x);
    keep_x(other, 8, (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 500}, y);
    for (size_t i = 0; i < 500; i++)
        ck_assert_double_eq_tol((double)x[i], (double)y[i], 3e-5);
}
END_TEST

static double correlation(const float x[], const float y[], size_t n)
{
    double mx = 0, my = 0, xx = 0, xy = 0, yy = 0;
    for (size_t i = 0; i < n; i++) {
        mx += (double)x[i] / (double)n;
        my += (double)y[i] / (double)n;
    }
    for (size_t i = 0; i < n; i++) {
        xx += ((double)x[i] - mx) * ((double)x[i] - mx);
        xy += ((double)x[i] - mx) * ((double)y[i] - my);
        yy += ((double)y[i] - my) * ((double)y[i] - my);
    }
    return xy / sqrt(xx * yy);
}

/* Same spot, two cells: all that is shared is the installation, whose part of the variance the
 * correlation must be. */
START_TEST(draw_m_is_the_same_installation_in_every_cell)
{
    static float x[20000], y[20000];
    aw_link links[8];
    set_site_links(links);
    for (uint32_t i = 0; i < 8; i++)
        links[i].tail_share = 0;
    const double lasting = 0.03 * 0.03 + 0.04 * 0.04, fresh = 0.08 * 0.08 + 0.1 * 0.1;
    const double want = lasting / (lasting + fresh), error = 4 / sqrt(20000);
    keep_x(links, 8, (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 20000}, x);
    keep_x(links, 8, (aw_trials_case){.seed = 9, .cell = 8, .n_draws = 20000}, y);
    ck_assert_double_eq_tol(correlation(x, y, 20000), want, error);
    /* A fresh run of the same cell shares the installation and nothing else. */
    keep_x(links, 8, (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 20000, .fresh = true}, y);
    ck_assert_double_eq_tol(correlation(x, y, 20000), want, error);
}
END_TEST

/* Draws 5 m ... 5 m + 4 of one run have the installation that draw m of another has. */
START_TEST(several_draws_may_share_an_installation)
{
    static float x[4000], y[20000], z[4000];
    aw_link links[8];
    set_site_links(links);
    for (uint32_t i = 0; i < 8; i++) {
        links[i].white = links[i].spot = links[i].tail_share = 0;
        links[i].believed = 0.1;
    }
    keep_x(links, 8, (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 4000}, x);
    keep_x(links, 8,
           (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 20000, .draws_per_installation = 5},
           y);
    for (size_t m = 0; m < 4000; m++)
        for (size_t r = 0; r < 5; r++)
            ck_assert(x[m] == y[5 * m + r]);
    memcpy(z, x, sizeof z);
    ck_assert(z[0] != z[1]);
}
END_TEST

static int compare(const void *a, const void *b)
{
    const float x = *(const float *)a, y = *(const float *)b;
    return (x > y) - (x < y);
}

START_TEST(percentiles_are_by_nearest_rank)
{
    const double spot[3] = {18, 9.5, 1.2};
    const uint32_t n = (uint32_t)(1 + 37 * _i);
    float sorted[512];
    double ends[2];
    aw_link links[8];
    set_links(links, spot, 0.1);
    const aw_bound b = aw_bound_at(links, 8, AW_FIX_2D);
    const aw_trials_case c = {.links = links,
                              .n_links = 8,
                              .bound = &b,
                              .spot = {spot[0], spot[1], spot[2]},
                              .seed = 5,
                              .n_draws = n};
    aw_trials *trials = aw_trials_create(8, n, NULL);
    const aw_draws d = aw_trials_run(trials, &c);
    memcpy(sorted, d.radius, n * sizeof *sorted);
    qsort(sorted, n, sizeof *sorted, compare);
    for (double q = 0.05; q < 1; q += 0.09) {
        size_t rank = 1;
        while ((double)rank < q * n - 1e-9)
            rank++;
        ck_assert_double_eq(aw_trials_percentile(trials, q, false), (double)sorted[rank - 1]);
        aw_trials_interval(trials, q, false, ends);
        ck_assert(isnan(ends[0]) || ends[0] <= (double)sorted[rank - 1]);
        ck_assert(isnan(ends[1]) || ends[1] >= (double)sorted[rank - 1]);
    }
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
    tcase_add_test(tc, without_a_position_every_draw_fails);
    tcase_add_loop_test(tc, percentiles_are_by_nearest_rank, 0, 12);
    return tc;
}

static TCase *names(void)
{
    TCase *tc = tcase_create("names");
    tcase_add_test(tc, parts_of_a_run_equal_the_whole);
    tcase_add_test(tc, the_order_of_the_anchors_does_not_matter);
    tcase_add_test(tc, draw_m_is_the_same_installation_in_every_cell);
    tcase_add_test(tc, several_draws_may_share_an_installation);
    return tc;
}

AW_TEST_MAIN("trials", first_order(), outcomes(), names())
