/* From a zone decision to the accuracy it takes. */
#include "anchorwise/decisions.h"

#include <gsl/gsl_cdf.h>

#include "aw_test.h"

#define MANY    1000000
#define REACHED 12 /* of the p95 in docs/sites.json */

/* Planning rule of a parts store: 0.45 m inside bays of 2.7 m, 99 % right: sigma 0.19 m, p95 0.47 m
 * (0.45 / 2.3263 = 0.1934; x 2.4477 = 0.4735). */
START_TEST(a_pallet_0_45_m_inside_its_bay_asks_for_a_p95_of_0_47_m)
{
    const aw_task_need n = aw_task_asks(&(aw_task){2.7, 0.45, 1000, 10});
    ck_assert_double_eq_tol(n.sigma, 0.45 / 2.3263, 1e-4);
    ck_assert_double_eq_tol(n.p95, 0.4735, 1e-4);
    /* Of the sets in docs/sites.json: nine of eleven flights of UTIL and all others are as good. */
    ck_assert_int_eq(n.reach, AW_REACHED_BY_SOME);
    ck_assert_uint_eq(n.reached, REACHED);
}
END_TEST

/* In the middle both borders count alike: sigma = W / 2 / z, z the 1 - K / 2N quantile. */
START_TEST(a_tag_in_the_middle_asks_by_the_two_sided_quantile)
{
    for (double w = 0.5; w < 40; w *= 1.7)
        for (double wrong = 0.001; wrong < 900; wrong *= 3.1) {
            const aw_task_need n = aw_task_asks(&(aw_task){w, w / 2, 1000, wrong});
            ck_close(n.sigma / (w / 2 / gsl_cdf_ugaussian_Qinv(wrong / 2000)), 1, 1e-9);
        }
}
END_TEST

/* Normal numbers of another generator, a million of them, are wrong as often as asked, within four
 * standard errors. */
START_TEST(drawn_errors_are_wrong_as_often_as_the_task_allows)
{
    static const double inside[] = {0.1, 0.4, 0.9, 1.35}, wrong[] = {0.3, 0.02, 0.1, 0.003};
    uint64_t state = 7 + (uint64_t)_i;
    size_t off = 0;
    const aw_task_need n = aw_task_asks(&(aw_task){2.7, inside[_i], 1, wrong[_i]});
    for (size_t k = 0; k < MANY; k++) {
        const double at = inside[_i] + n.sigma * test_normal(&state);
        off += at < 0 || at > 2.7;
    }
    ck_assert_double_eq_tol((double)off / MANY, wrong[_i],
                            4 * sqrt(wrong[_i] * (1 - wrong[_i]) / MANY));
}
END_TEST

/* The width that would do asks for just the p95 that all measured sets reach, with tags
 * as far from the middle as before. */
START_TEST(a_zone_too_narrow_is_told_the_width_that_would_do)
{
    static const aw_task tasks[] = {
        {0.2, 0.1, 1000, 1}, {2, 0.1, 100, 10}, {4, 1, 1000, 10}, {0.5, 0.25, 1000, 10}};
    static const aw_reach reach[] = {AW_REACHED_BY_NONE, AW_REACHED_BY_SOME, AW_REACHED_BY_ALL,
                                     AW_REACHED_BY_SOME};
    const aw_task *t = &tasks[_i];
    const aw_task_need n = aw_task_asks(t);
    ck_assert_int_eq(n.reach, reach[_i]);
    if (n.reach == AW_REACHED_BY_ALL)
        return;
    ck_assert_double_gt(n.width, t->width);
    const aw_task wider = {n.width, t->inside + (n.width - t->width) / 2, t->decisions, t->wrong};
    ck_assert_double_eq_tol(aw_task_asks(&wider).p95, 0.5837, 1e-9);
}
END_TEST

static TCase *tasks(void)
{
    TCase *tc = tcase_create("tasks");
    tcase_add_test(tc, a_pallet_0_45_m_inside_its_bay_asks_for_a_p95_of_0_47_m);
    tcase_add_test(tc, a_tag_in_the_middle_asks_by_the_two_sided_quantile);
    tcase_add_loop_test(tc, drawn_errors_are_wrong_as_often_as_the_task_allows, 0, 4);
    tcase_add_loop_test(tc, a_zone_too_narrow_is_told_the_width_that_would_do, 0, 4);
    return tc;
}

AW_TEST_MAIN("task", tasks())
