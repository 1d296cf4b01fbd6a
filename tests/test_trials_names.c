/* Names of the random numbers: what a draw is depends on its names alone, and which installation it
 * is of. */
#include "links.h"

#include "position/fix.h"
#include "position/kernel.h"
#include "position/trials.h"

#define NO_CELL 0xFFFFFFFFu
#define SEVERAL 1024
#define MANY    60000

/* Eight anchors round a hall of 40 x 23 m, ragged. */
static const double hall[8][3] = {{0.4, 0.7, 4.9}, {21, 0.2, 6.1},    {39.3, 1.1, 5.2},
                                  {39.8, 12, 6.4}, {38.9, 22.4, 4.1}, {19, 22.8, 5.9},
                                  {0.9, 22, 5.3},  {0.1, 11.4, 6.6}};
static const double here[3] = {18, 9.5, 1.2}, there[3] = {31.3, 4.2, 1.2};

static void set_links(aw_link links[8], const double spot[3], double sigma)
{
    for (uint32_t i = 0; i < 8; i++)
        links[i] = clear_link(i * 7919 + 3, hall[i], spot, sigma);
}

static void set_site_links(aw_link links[8], const double spot[3])
{
    set_links(links, spot, 0.08);
    for (uint32_t i = 0; i < 8; i++) {
        links[i].survey = 0.03;
        links[i].delay = 0.04;
        links[i].spot = 0.1;
        links[i].tail = 0.3;
        links[i].tail_share = 0.2;
    }
}

/* Runs the case over these links at a spot and keeps x and, if it is not NULL, y. */
static void keep(const aw_link links[], size_t n_links, const double spot[3], aw_trials_case c,
                 float x[], float y[])
{
    const aw_bound b = aw_bound_at(links, n_links, AW_FIX_2D);
    aw_trials *trials = aw_trials_create(n_links, c.n_draws, NULL);
    c.links = links;
    c.n_links = n_links;
    c.bound = &b;
    memcpy(c.spot, spot, sizeof c.spot);
    const aw_draws d = aw_trials_run(trials, &c);
    ck_assert_uint_eq(d.n_failed, 0);
    memcpy(x, d.x, c.n_draws * sizeof *x);
    if (y != NULL)
        memcpy(y, d.y, c.n_draws * sizeof *y);
    aw_trials_free(trials);
}

/* --- the names that trials.h lists --- */

/* Standard normals of one anchor and term, as the header names them. */
static void normals_named(uint32_t cell, uint32_t anchor, uint32_t term, float out[SEVERAL])
{
    const aw_stream s = {9, cell, anchor, term};
    aw_kernel_best()->normals(&s, 0, SEVERAL, out);
}

/* Arrivals of one link in double precision, from the numbers that its names give. */
static void arrivals_of(const aw_link *l, bool fresh, const float height[], double rho[SEVERAL])
{
    static float noise[SEVERAL], survey[3][SEVERAL], late[SEVERAL];
    static uint32_t coin[SEVERAL];
    const uint32_t add = fresh ? 16 : 0;
    const aw_stream coins = {9, 3, l->key, 1 + add};
    normals_named(3, l->key, 0 + add, noise);
    aw_kernel_best()->words(&coins, 0, SEVERAL, coin);
    for (uint32_t axis = 0; axis < 3; axis++)
        normals_named(NO_CELL, l->key, 2 + axis, survey[axis]);
    normals_named(NO_CELL, l->key, 5, late);
    for (size_t m = 0; m < SEVERAL; m++) {
        const double spot = coin[m] < l->tail_share * 0x1p32 ? l->tail : l->spot;
        const double rise = l->to_anchor[2] - 0.2 * (double)height[m];
        rho[m] = hypot(hypot(l->to_anchor[0], l->to_anchor[1]), rise);
        rho[m] += (double)noise[m] * hypot(l->white, spot) + (double)late[m] * l->delay;
        for (int axis = 0; axis < 3; axis++)
            rho[m] += (double)survey[axis][m] * l->survey * l->u[axis];
    }
}

/* All terms, fixed by the careful solver: within a tenth of a millimetre of the draws. */
START_TEST(draws_are_made_of_the_numbers_that_their_names_give)
{
    static double rho[8][SEVERAL];
    static float height[SEVERAL], x[SEVERAL], y[SEVERAL];
    double anchor[8][3], weight[8], of_draw[8];
    aw_link links[8];
    const bool fresh = _i == 1;
    set_site_links(links, here);
    keep(links, 8, here,
         (aw_trials_case){
             .seed = 9, .cell = 3, .n_draws = SEVERAL, .height_sigma = 0.2, .fresh = fresh},
         x, y);
    normals_named(3, 0, fresh ? 22 : 6, height);
    for (size_t i = 0; i < 8; i++) {
        arrivals_of(&links[i], fresh, height, rho[i]);
        memcpy(anchor[i], links[i].to_anchor, sizeof anchor[i]);
        weight[i] = 1 / (links[i].believed * links[i].believed);
    }
    for (size_t m = 0; m < SEVERAL; m++) {
        for (size_t i = 0; i < 8; i++)
            of_draw[i] = rho[i][m];
        const aw_fix_problem p = {.dims = 2,
                                  .n = 8,
                                  .anchor = anchor,
                                  .weight = weight,
                                  .rho = of_draw,
                                  .spot = {here[0], here[1], here[2]}};
        const aw_fix fix = aw_fix_find(&p);
        ck_assert(fix.found);
        ck_assert_double_lt(hypot((double)x[m] - fix.at[0], (double)y[m] - fix.at[1]), 1e-4);
    }
}
END_TEST

/* --- parts, order, company --- */

START_TEST(parts_of_a_run_equal_the_whole)
{
    aw_link links[8];
    float whole[1900], part[1900];
    set_site_links(links, here);
    keep(links, 8, here, (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 1900}, whole, NULL);
    const uint32_t cut[] = {0, 1, 63, 64, 700, 1213, 1900};
    for (size_t k = 0; k + 1 < sizeof cut / sizeof *cut; k++) {
        const uint32_t n = cut[k + 1] - cut[k];
        keep(links, 8, here,
             (aw_trials_case){.seed = 9, .cell = 3, .first_draw = cut[k], .n_draws = n}, part,
             NULL);
        ck_assert_mem_eq(part, whole + cut[k], n * sizeof *part);
    }
}
END_TEST

/* Independent draws hardly ever agree to the bit: errors of some 0.1 m in floats. */
START_TEST(another_seed_or_cell_gives_other_draws)
{
    aw_link links[8];
    static float x[1900], other[1900];
    const aw_trials_case cases[] = {{.seed = 10, .cell = 3, .n_draws = 1900},
                                    {.seed = 9 + (1ull << 40), .cell = 3, .n_draws = 1900},
                                    {.seed = 9, .cell = 4, .n_draws = 1900},
                                    {.seed = 9, .cell = 3, .n_draws = 1900, .fresh = true},
                                    {.seed = 9, .cell = 3, .first_draw = 1, .n_draws = 1900}};
    size_t same = 0;
    set_site_links(links, here);
    keep(links, 8, here, (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 1900}, x, NULL);
    keep(links, 8, here, cases[_i], other, NULL);
    for (size_t i = 0; i < 1900; i++)
        same += x[i] == other[i];
    ck_assert_uint_le(same, 3);
}
END_TEST

static void check_near(const float x[], const float y[], const float u[], const float v[],
                       double allowed)
{
    double worst = 0;
    for (size_t i = 0; i < SEVERAL; i++)
        worst = fmax(worst, (double)hypotf(x[i] - u[i], y[i] - v[i]));
    ck_assert_double_le(worst, allowed);
}

/* The sums run in another order, so the last digits of a float may differ; the numbers do not. */
START_TEST(the_order_of_the_anchors_does_not_matter)
{
    static float x[SEVERAL], y[SEVERAL], u[SEVERAL], v[SEVERAL];
    const size_t turn = (size_t)_i + 1;
    aw_link links[8], other[8];
    set_site_links(links, here);
    for (size_t i = 0; i < 8; i++)
        other[i] = links[(i * (2 * turn + 1) + turn) % 8];
    const aw_trials_case c = {.seed = 9, .cell = 3, .n_draws = SEVERAL};
    keep(links, 8, here, c, x, y);
    keep(other, 8, here, c, u, v);
    check_near(x, y, u, v, 1e-5);
}
END_TEST

/* A ninth anchor that cannot be used changes no bit; one that weighs nothing, nothing that shows.
 */
START_TEST(another_anchor_leaves_the_numbers_of_the_rest)
{
    static float x[SEVERAL], y[SEVERAL], u[SEVERAL], v[SEVERAL];
    const double more[3] = {7, 21, 3.3};
    const size_t at = (size_t)_i * 2;
    aw_link links[8], nine[9];
    set_site_links(links, here);
    memcpy(nine, links, at * sizeof *nine);
    memcpy(nine + at + 1, links + at, (8 - at) * sizeof *nine);
    nine[at] = clear_link(4711, more, here, 0.1);
    nine[at].n_outcomes = 0;
    const aw_trials_case c = {.seed = 9, .cell = 3, .n_draws = SEVERAL};
    keep(links, 8, here, c, x, y);
    keep(nine, 9, here, c, u, v);
    ck_assert_mem_eq(x, u, sizeof x);
    ck_assert_mem_eq(y, v, sizeof y);
    nine[at].n_outcomes = 1;
    nine[at].believed = 1e4;
    keep(nine, 9, here, c, u, v);
    check_near(x, y, u, v, 1e-5);
}
END_TEST

/* --- installations --- */

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
    set_site_links(links, here);
    for (uint32_t i = 0; i < 8; i++)
        links[i].tail_share = 0;
    const double lasting = 0.03 * 0.03 + 0.04 * 0.04, anew = 0.08 * 0.08 + 0.1 * 0.1;
    const double want = lasting / (lasting + anew), error = 4 / sqrt(20000);
    keep(links, 8, here, (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 20000}, x, NULL);
    keep(links, 8, here, (aw_trials_case){.seed = 9, .cell = 8, .n_draws = 20000}, y, NULL);
    ck_assert_double_eq_tol(correlation(x, y, 20000), want, error);
    /* A fresh run of the same cell shares the installation and nothing else. */
    keep(links, 8, here, (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 20000, .fresh = true}, y,
         NULL);
    ck_assert_double_eq_tol(correlation(x, y, 20000), want, error);
}
END_TEST

/* x of the bias that 1 m at link i alone would carry. */
static double gain_x(const aw_link links[8], size_t i)
{
    aw_link late[8];
    memcpy(late, links, sizeof late);
    late[i].outcomes[0].excess = 1;
    return aw_bound_at(late, 8, AW_FIX_2D).bias[0];
}

/* Own derivation, to first order: what two spots share of link i is delay^2 + survey^2 u . u', for
 * a wrong place of an anchor counts along the line of sight. */
START_TEST(a_survey_error_has_a_direction)
{
    static float x[MANY], y[MANY];
    aw_link a[8], b[8];
    double shared = 0, sideways = 0;
    set_links(a, here, 0.01);
    set_links(b, there, 0.01);
    for (size_t i = 0; i < 8; i++) {
        a[i].survey = b[i].survey = 0.04;
        a[i].delay = b[i].delay = 0.01;
    }
    const aw_bound at_a = aw_bound_at(a, 8, AW_FIX_2D), at_b = aw_bound_at(b, 8, AW_FIX_2D);
    const double both = sqrt(at_a.fix[0][0] * at_b.fix[0][0]);
    for (size_t i = 0; i < 8; i++) {
        const double along = a[i].u[0] * b[i].u[0] + a[i].u[1] * b[i].u[1] + a[i].u[2] * b[i].u[2];
        const double gains = gain_x(a, i) * gain_x(b, i) / both;
        shared += gains * (0.01 * 0.01 + 0.04 * 0.04 * along);
        sideways += gains * 0.04 * 0.04 * (1 - along);
    }
    keep(a, 8, here, (aw_trials_case){.seed = 9, .cell = 3, .n_draws = MANY}, x, NULL);
    keep(b, 8, there, (aw_trials_case){.seed = 9, .cell = 8, .n_draws = MANY}, y, NULL);
    const double error = 4 / sqrt(MANY);
    ck_assert_double_eq_tol(correlation(x, y, MANY), shared, error);
    /* Without directions it would be another figure. */
    ck_assert_double_gt(fabs(sideways), 2 * error);
}
END_TEST

/* Draws 5 m ... 5 m + 4 of one run have the installation that draw m of another has. */
START_TEST(several_draws_may_share_an_installation)
{
    static float x[4000], y[20000];
    aw_link links[8];
    size_t same = 0;
    set_site_links(links, here);
    for (uint32_t i = 0; i < 8; i++) {
        links[i].white = links[i].spot = links[i].tail_share = 0;
        links[i].believed = 0.1;
    }
    keep(links, 8, here, (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 4000}, x, NULL);
    keep(links, 8, here,
         (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 20000, .draws_per_installation = 5}, y,
         NULL);
    for (size_t m = 0; m < 4000; m++)
        for (size_t r = 0; r < 5; r++)
            ck_assert(x[m] == y[5 * m + r]);
    for (size_t m = 1; m < 4000; m++)
        same += x[m] == x[m - 1];
    ck_assert_uint_le(same, 3);
}
END_TEST

/* Group k of the draws has the lasting errors of the installation that the list names; with other
 * numbers for the rest, lists of the same length are told apart by the name of these. */
START_TEST(groups_of_draws_may_be_of_listed_installations)
{
    static float x[200], y[1000];
    uint32_t list[200 + AW_DRAWN_TOGETHER];
    aw_link links[8];
    aw_trials *used = aw_trials_create(8, 1000, NULL);
    set_site_links(links, here);
    for (uint32_t i = 0; i < 8; i++) {
        links[i].white = links[i].spot = links[i].tail_share = 0;
        links[i].believed = 0.1;
    }
    const aw_bound b = aw_bound_at(links, 8, AW_FIX_2D);
    keep(links, 8, here, (aw_trials_case){.seed = 9, .cell = 3, .n_draws = 200}, x, NULL);
    for (unsigned round = 1; round <= 3; round++) {
        const size_t n = 190 / round;
        for (size_t k = 0; k < sizeof list / sizeof *list; k++)
            list[k] = (uint32_t)(k < n ? k * round + 2 : (n - 1) * round + 2);
        aw_trials_case c = {.links = links,
                            .n_links = 8,
                            .bound = &b,
                            .seed = 9,
                            .cell = 3,
                            .n_draws = 5 * 63,
                            .draws_per_installation = 5,
                            .installations = list,
                            .fresh = round};
        memcpy(c.spot, here, sizeof c.spot);
        const aw_draws d = aw_trials_run(used, &c);
        memcpy(y, d.x, c.n_draws * sizeof *y);
        for (size_t i = 0; i < c.n_draws; i++)
            ck_assert(y[i] == x[list[i / 5]]);
    }
    aw_trials_free(used);
}
END_TEST

/* Installations of 5 draws, 7 draws, or one draw, whole and in pieces; twice more draws than a
 * workspace keeps numbers for (8 MiB: 65 536 draws of 8 anchors and 4 terms). */
START_TEST(a_used_workspace_gives_what_a_new_one_gives)
{
    static float x[140000];
    const aw_trials_case cases[] = {
        {.seed = 9, .cell = 3, .n_draws = 1000},
        {.seed = 9, .cell = 4, .n_draws = 1000},
        {.seed = 9, .cell = 4, .first_draw = 333, .n_draws = 500, .draws_per_installation = 5},
        {.seed = 9, .cell = 4, .first_draw = 333, .n_draws = 500, .draws_per_installation = 7},
        {.seed = 10, .cell = 4, .n_draws = 140000},
        {.seed = 10, .cell = 5, .n_draws = 1000},
        {.seed = 11, .cell = 5, .n_draws = 1000}};
    aw_trials *used = aw_trials_create(8, 140000, NULL);
    aw_link links[8];
    set_site_links(links, here);
    const aw_bound b = aw_bound_at(links, 8, AW_FIX_2D);
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        aw_trials_case c = cases[k];
        keep(links, 8, here, c, x, NULL);
        c.links = links;
        c.n_links = 8;
        c.bound = &b;
        memcpy(c.spot, here, sizeof c.spot);
        const aw_draws d = aw_trials_run(used, &c);
        ck_assert_mem_eq(d.x, x, c.n_draws * sizeof *x);
    }
    aw_trials_free(used);
}
END_TEST

START_TEST(parts_of_shared_installations_equal_the_whole)
{
    static float whole[1900], part[1900];
    const uint32_t cut[] = {0, 3, 64, 711, 1900};
    aw_link links[8];
    set_site_links(links, here);
    aw_trials_case c = {.seed = 9, .cell = 3, .n_draws = 1900, .draws_per_installation = 25};
    keep(links, 8, here, c, whole, NULL);
    for (size_t k = 0; k + 1 < sizeof cut / sizeof *cut; k++) {
        c.first_draw = cut[k];
        c.n_draws = cut[k + 1] - cut[k];
        keep(links, 8, here, c, part, NULL);
        ck_assert_mem_eq(part, whole + cut[k], c.n_draws * sizeof *part);
    }
}
END_TEST

static TCase *names(void)
{
    TCase *tc = tcase_create("names");
    tcase_add_loop_test(tc, draws_are_made_of_the_numbers_that_their_names_give, 0, 2);
    tcase_add_test(tc, parts_of_a_run_equal_the_whole);
    tcase_add_loop_test(tc, another_seed_or_cell_gives_other_draws, 0, 5);
    tcase_add_loop_test(tc, the_order_of_the_anchors_does_not_matter, 0, 3);
    tcase_add_loop_test(tc, another_anchor_leaves_the_numbers_of_the_rest, 0, 5);
    return tc;
}

static TCase *installations(void)
{
    TCase *tc = tcase_create("installations");
    tcase_add_test(tc, draw_m_is_the_same_installation_in_every_cell);
    tcase_add_test(tc, a_survey_error_has_a_direction);
    tcase_add_test(tc, several_draws_may_share_an_installation);
    tcase_add_test(tc, groups_of_draws_may_be_of_listed_installations);
    tcase_add_test(tc, parts_of_shared_installations_equal_the_whole);
    tcase_add_test(tc, a_used_workspace_gives_what_a_new_one_gives);
    return tc;
}

AW_TEST_MAIN("trials_names", names(), installations())
