/* aw_robust_find: what late arrivals leave of a fix, what the robust fix costs where none is late,
 * and what it cannot do. Draws and layouts are the suite's own. */
#include "position/descent.h"
#include "position/robust.h"
#include "aw_test.h"

#include <stdio.h>
#include <string.h>

#define SIGMA 0.1
#define MOST  200
enum { DRAWS = 4000 };

/* Anchors round a hall of 40 x 20 m as seen from a tag at (13, 7, 1): corners and middles of the
 * sides, 6 and 6.5 m up in turn; or with two more on each long side. */
static const double eight[8][2] = {{0, 0},   {20, 0},  {40, 0}, {40, 10},
                                   {40, 20}, {20, 20}, {0, 20}, {0, 10}};
static const double twelve[12][2] = {{0, 0},   {10, 0},  {20, 0},  {30, 0},  {40, 0}, {40, 10},
                                     {40, 20}, {30, 20}, {20, 20}, {10, 20}, {0, 20}, {0, 10}};
static const double five[5][2] = {{0, 0}, {40, 0}, {40, 20}, {0, 20}, {20, 20}};

typedef struct layout {
    double anchor[MOST][3], weight[MOST], rho[MOST], error[DRAWS];
    aw_point corner[4];
    aw_polygon outline;
    aw_fix_problem p;
} layout;

static void lay_out(layout *l, const double at[][2], size_t n)
{
    memset(l, 0, sizeof *l);
    l->corner[1].x = l->corner[2].x = 40;
    l->corner[2].y = l->corner[3].y = 20;
    l->outline = (aw_polygon){l->corner, 4, {0, 0}, {40, 20}};
    for (size_t i = 0; i < n; i++) {
        l->anchor[i][0] = at[i][0] - 13;
        l->anchor[i][1] = at[i][1] - 7;
        l->anchor[i][2] = i % 2 == 0 ? 5 : 5.5;
        l->weight[i] = 1 / (SIGMA * SIGMA);
    }
    l->p = (aw_fix_problem){.dims = 2,
                            .n = n,
                            .anchor = l->anchor,
                            .weight = l->weight,
                            .rho = l->rho,
                            .spot = {13, 7, 1},
                            .site = {&l->outline, 8, 0}};
}

/* Arrivals of which so many, chosen at random, are late. */
static void draw(layout *l, size_t n_late, double least, double most, uint64_t *state)
{
    size_t order[MOST];
    for (size_t i = 0; i < l->p.n; i++) {
        const double *a = l->anchor[i];
        const size_t k = (size_t)(test_uniform(state) * (double)(i + 1));
        l->rho[i] = sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2]) + SIGMA * test_normal(state);
        order[i] = i;
        if (k < i) {
            order[i] = order[k];
            order[k] = i;
        }
    }
    for (size_t i = 0; i < n_late; i++)
        l->rho[order[i]] += test_between(state, least, most);
}

static int compare(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Horizontal errors of many draws, and how often consensus was tried and the outcome doubtful. */
typedef struct outcome {
    double p50, p95, plain_p95, tried, doubtful, failed, same;
} outcome;

static outcome run(layout *l, size_t n_late, double least, double most)
{
    static double plain[DRAWS];
    uint64_t state = 0xA11CE5 + n_late;
    outcome o = {0};
    for (uint32_t m = 0; m < DRAWS; m++) {
        draw(l, n_late, least, most, &state);
        const aw_fix fix = aw_fix_find(&l->p);
        const aw_robust r = aw_robust_find(&l->p, &fix, &(aw_draw_name){1, 2, m, 9});
        plain[m] = fix.found ? hypot(fix.at[0], fix.at[1]) : HUGE_VAL;
        l->error[m] = r.fix.found ? hypot(r.fix.at[0], r.fix.at[1]) : HUGE_VAL;
        o.tried += r.tried / (double)DRAWS;
        o.doubtful += r.doubtful / (double)DRAWS;
        o.failed += !r.fix.found / (double)DRAWS;
    }
    qsort(l->error, DRAWS, sizeof(double), compare);
    qsort(plain, DRAWS, sizeof(double), compare);
    o.p50 = l->error[DRAWS / 2 - 1];
    o.p95 = l->error[DRAWS * 95 / 100 - 1];
    o.plain_p95 = plain[DRAWS * 95 / 100 - 1];
    if (getenv("AW_PRINT") != NULL)
        printf("%2zu of %2zu, %3g to %2g m late: p50 %.3f p95 %.3f (plain %.3f), tried %.3f, "
               "doubtful %.3f, failed %.4f\n",
               n_late, l->p.n, least, most, o.p50, o.p95, o.plain_p95, o.tried, o.doubtful,
               o.failed);
    return o;
}

/* --- what it survives --- */

/* Late arrivals, and what is left at most. */
static const struct late {
    const double (*at)[2];
    size_t n, n_late;
    double least, most, p50, p95;
} survived[] = {{eight, 8, 0, 0, 0, 0.075, 0.165},    {eight, 8, 1, 1, 1, 0.08, 0.18},
                {eight, 8, 2, 0.5, 5, 0.095, 0.22},   {eight, 8, 3, 2, 15, 0.115, 0.3},
                {twelve, 12, 5, 0.5, 5, 0.095, 0.25}, {eight, 8, 4, 2, 15, 0.2, HUGE_VAL}};

START_TEST(few_late_arrivals_leave_little)
{
    static layout l;
    const struct late *k = &survived[_i];
    lay_out(&l, k->at, k->n);
    const outcome o = run(&l, k->n_late, k->least, k->most);
    ck_assert_double_le(o.p50, k->p50);
    ck_assert_double_le(o.p95, k->p95);
    ck_assert_double_le(o.failed, 1e-3);
    if (k->n_late > 0)
        ck_assert_double_gt(o.plain_p95, 2 * o.p95 < HUGE_VAL ? 1.5 * o.p95 : 0);
}
END_TEST

/* --- what it does not --- */

START_TEST(no_fix_survives_that_half_are_late)
{
    static layout l;
    lay_out(&l, eight, 8);
    const outcome o = run(&l, 4, 0.5, 5);
    ck_assert_double_gt(o.p95, 1);
    ck_assert_double_gt(o.tried, 0.7);
}
END_TEST

START_TEST(one_late_of_four_is_noticed_and_not_named)
{
    static layout l;
    static const double four[4][2] = {{0, 0}, {40, 0}, {40, 20}, {0, 20}};
    lay_out(&l, four, 4);
    const outcome late = run(&l, 1, 1, 5), clean = run(&l, 0, 0, 0);
    ck_assert_double_gt(late.doubtful, 0.9);
    ck_assert_double_lt(clean.doubtful, 0.01);
    ck_assert_double_gt(late.p95, 0.8 * late.plain_p95);
    ck_assert(late.tried == 0);
}
END_TEST

START_TEST(one_late_of_five_is_named_more_often_than_not)
{
    static layout l;
    lay_out(&l, five, 5);
    const outcome o = run(&l, 1, 0.5, 5);
    ck_assert_double_lt(o.p50, 0.25);
    ck_assert_double_lt(o.p95, 0.7 * o.plain_p95);
}
END_TEST

/* The arrivals of a draw in the opposite order. */
static void turn_round(layout *l)
{
    for (size_t i = 0, j = l->p.n - 1; i < j; i++, j--) {
        const double rho = l->rho[i];
        double at[3];
        memcpy(at, l->anchor[i], sizeof at);
        memcpy(l->anchor[i], l->anchor[j], sizeof at);
        memcpy(l->anchor[j], at, sizeof at);
        l->rho[i] = l->rho[j];
        l->rho[j] = rho;
    }
}

/* Half of six late: subsets that nothing else agrees with have equal scores, and the order of
 * anchors in a file must not choose among them (it did in three draws of four). None is another
 * here; one in a thousand is left to the rounding of other compilers. */
START_TEST(the_order_of_arrivals_does_not_choose)
{
    static layout l;
    uint64_t state = 41;
    size_t tried = 0, other = 0;
    lay_out(&l, eight, 6);
    for (uint32_t m = 0; m < DRAWS; m++) {
        draw(&l, 3, 1, 10, &state);
        const aw_fix fix = aw_fix_find(&l.p);
        const aw_robust r = aw_robust_find(&l.p, &fix, &(aw_draw_name){1, 2, m, 9});
        turn_round(&l);
        const aw_robust s = aw_robust_find(&l.p, &fix, &(aw_draw_name){1, 2, m, 9});
        turn_round(&l);
        tried += r.tried;
        other += (size_t) !(hypot(r.fix.at[0] - s.fix.at[0], r.fix.at[1] - s.fix.at[1]) < 1e-3);
    }
    if (getenv("AW_PRINT") != NULL)
        printf("in the opposite order %zu of %d fixes are others, consensus in %zu\n", other, DRAWS,
               tried);
    ck_assert_uint_gt(tried, DRAWS / 2);
    ck_assert_uint_le(other, DRAWS / 1000);
}
END_TEST

/* --- what it costs --- */

/* Variance of the plain fix over that of the robust one on normal errors, with as many anchors as
 * make the asymptotic figure hold: 96.2 % one-sided (the published 95.0 % is of both sides). */
START_TEST(clean_draws_cost_four_parts_in_a_hundred)
{
    static layout l;
    double at[MOST][2], plain = 0, robust = 0;
    uint64_t state = 77;
    for (int i = 0; i < MOST; i++) {
        const double angle = 2 * M_PI * i / MOST;
        at[i][0] = 13 + 18 * cos(angle);
        at[i][1] = 7 + 18 * sin(angle);
    }
    lay_out(&l, (const double(*)[2])at, MOST);
    for (uint32_t m = 0; m < 12000; m++) {
        draw(&l, 0, 0, 0, &state);
        const aw_fix fix = aw_fix_find(&l.p);
        const aw_robust r = aw_robust_find(&l.p, &fix, &(aw_draw_name){1, 2, m, 9});
        ck_assert(fix.found && r.fix.found);
        plain += fix.at[0] * fix.at[0] + fix.at[1] * fix.at[1];
        robust += r.fix.at[0] * r.fix.at[0] + r.fix.at[1] * r.fix.at[1];
    }
    if (getenv("AW_PRINT") != NULL)
        printf("efficiency %.4f\n", plain / robust);
    ck_assert_double_eq_tol(plain / robust, 0.962, 0.006);
}
END_TEST

/* --- which one is installed --- */

/* Mean move of the fix when one anchor's delay is entered so that it seems 1 m late: what is told
 * to people who want to learn which fix a system has. */
static void move_by_delay(size_t wrong, double *plain, double *robust)
{
    static layout l;
    double sum[2][2] = {{0}};
    uint64_t state = 99;
    lay_out(&l, eight, 8);
    for (uint32_t m = 0; m < DRAWS; m++) {
        draw(&l, 0, 0, 0, &state);
        l.rho[wrong] += 1;
        const aw_fix fix = aw_fix_find(&l.p);
        const aw_robust r = aw_robust_find(&l.p, &fix, &(aw_draw_name){1, 2, m, 9});
        for (int k = 0; k < 2; k++) {
            sum[0][k] += fix.at[k] / DRAWS;
            sum[1][k] += r.fix.at[k] / DRAWS;
        }
    }
    *plain = hypot(sum[0][0], sum[0][1]);
    *robust = hypot(sum[1][0], sum[1][1]);
}

START_TEST(a_delay_entered_wrong_tells_which_fix_a_system_has)
{
    double plain, robust;
    move_by_delay(3, &plain, &robust);
    ck_assert_double_eq_tol(plain, 0.16, 0.01);
    ck_assert_double_lt(robust, 0.01);
    move_by_delay(0, &plain, &robust);
    ck_assert_double_eq_tol(plain, 0.39, 0.01);
    ck_assert_double_lt(robust, 0.01);
}
END_TEST

/* --- the parts --- */

START_TEST(as_many_arrivals_as_are_needed_leave_the_plain_fix)
{
    static layout l;
    uint64_t state = 5;
    lay_out(&l, eight, 3);
    draw(&l, 1, 2, 2, &state);
    const aw_fix fix = aw_fix_find(&l.p);
    const aw_robust r = aw_robust_find(&l.p, &fix, &(aw_draw_name){0});
    ck_assert(memcmp(&fix, &r.fix, sizeof fix) == 0 && !r.tried && !r.doubtful);
}
END_TEST

/* An arrival so late that the plain fix leaves the site: none of it, but the robust one. */
START_TEST(without_a_plain_fix_it_starts_at_the_centroid)
{
    static layout l;
    uint64_t state = 6;
    lay_out(&l, eight, 8);
    draw(&l, 1, 60, 60, &state);
    const aw_fix none = {0};
    const aw_robust r = aw_robust_find(&l.p, &none, &(aw_draw_name){0});
    ck_assert(r.fix.found);
    ck_assert_double_lt(hypot(r.fix.at[0], r.fix.at[1]), 0.4);
    lay_out(&l, (const double[][2]){{0, 0}, {5, 0}, {10, 0}, {15, 0}, {20, 0}}, 5);
    for (int i = 0; i < 5; i++)
        l.anchor[i][2] = 5;
    l.p.dims = 3;
    draw(&l, 0, 0, 0, &state);
    ck_assert(!aw_robust_find(&l.p, &none, &(aw_draw_name){0}).fix.found);
}
END_TEST

START_TEST(subsets_are_all_and_each_is_met_once)
{
    size_t before[4] = {0}, members[4];
    ck_assert_uint_eq(aw_subsets(8, 3), 56);
    ck_assert_uint_eq(aw_subsets(7, 4), 35);
    ck_assert_uint_eq(aw_subsets(1024, 4), UINT64_C(45545029376));
    for (uint64_t i = 0; i < 35; i++) {
        aw_subset_at(i, 7, 4, members);
        bool later = i == 0;
        for (int k = 0; k < 4 && !later; k++) {
            if (members[k] < before[k])
                break;
            later = members[k] > before[k];
        }
        ck_assert(later && members[0] < members[1] && members[1] < members[2] &&
                  members[2] < members[3] && members[3] < 7);
        memcpy(before, members, sizeof before);
    }
}
END_TEST

static TCase *survives(void)
{
    TCase *tc = tcase_create("survives");
    tcase_add_loop_test(tc, few_late_arrivals_leave_little, 0, sizeof survived / sizeof *survived);
    tcase_add_test(tc, one_late_of_five_is_named_more_often_than_not);
    return tc;
}

static TCase *limits(void)
{
    TCase *tc = tcase_create("limits");
    tcase_add_test(tc, no_fix_survives_that_half_are_late);
    tcase_add_test(tc, one_late_of_four_is_noticed_and_not_named);
    tcase_add_test(tc, the_order_of_arrivals_does_not_choose);
    tcase_add_test(tc, a_delay_entered_wrong_tells_which_fix_a_system_has);
    tcase_add_test(tc, clean_draws_cost_four_parts_in_a_hundred);
    return tc;
}

static TCase *parts(void)
{
    TCase *tc = tcase_create("parts");
    tcase_add_test(tc, as_many_arrivals_as_are_needed_leave_the_plain_fix);
    tcase_add_test(tc, without_a_plain_fix_it_starts_at_the_centroid);
    tcase_add_test(tc, subsets_are_all_and_each_is_met_once);
    return tc;
}

AW_TEST_MAIN("robust", survives(), limits(), parts())
