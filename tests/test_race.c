/* The race of draws: its rule against simulated slacks, and against figures worked by hand. */
#include "aw_test.h"
#include "place/race.h"

/* Runs one part's race on slacks of that mean and scatter 1 a look, whose scatter is known. */
static bool holds(uint64_t *state, double mean)
{
    aw_slacks s = {0};
    for (size_t n = 1, unmet = 0; n <= AW_RACE_MOST; n++) {
        const double slack = mean + test_normal(state);
        unmet += slack < 0;
        aw_slacks_add(&s, AW_PART_P95, slack, 1);
        const aw_race_end end = aw_slacks_judge(&s);
        if (unmet >= 2 || end == AW_RACE_OUT)
            return false;
        if (end == AW_RACE_HOLDS && n >= AW_RACE_FEWEST)
            return true;
    }
    return false;
}

/* A layout whose fresh looks are met with p is taken and confirmed so often (20 000 races each):
 * the rarer the nearer p is to a half, nearly always where it is 99 %. */
START_TEST(the_nearer_to_the_line_the_seldomer_a_layout_is_taken)
{
    static const double share[] = {0.5, 0.8, 0.9, 0.95, 0.99};
    static const double most[] = {0.01, 0.1, 0.3, 0.65, 1}, least[] = {0, 0, 0.1, 0.45, 0.9};
    static const double z[] = {0, 0.8416, 1.2816, 1.6449, 2.3263};
    uint64_t state = 11;
    for (size_t k = 0; k < 5; k++) {
        size_t taken = 0;
        for (size_t i = 0; i < 20000; i++)
            taken += holds(&state, z[k]) && z[k] + test_normal(&state) >= 0;
        const double found = (double)taken / 20000;
        ck_assert_msg(found <= most[k] && found >= least[k], "%g: %g", share[k], found);
    }
}
END_TEST

/* 1.645 x 2 x sqrt(1 + 1/4) = 3.678 after four looks. */
START_TEST(four_looks_hold_from_their_margin_on)
{
    for (int k = 0; k < 2; k++) {
        aw_slacks s = {0};
        for (size_t n = 0; n < 4; n++) {
            ck_assert_int_ne(aw_slacks_judge(&s), AW_RACE_HOLDS);
            aw_slacks_add(&s, AW_PART_P95, k == 0 ? 3.69 : 3.66, 2);
        }
        ck_assert_int_eq(aw_slacks_judge(&s), k == 0 ? AW_RACE_HOLDS : AW_RACE_ON);
    }
}
END_TEST

/* A share of cells scatters by what it shows: of four looks 0.06, 0.02, 0.06, 0.02 about 0.04, with
 * s0 = 0.4 sqrt(0.9 x 0.1 / 36) = 0.02, s^2 = (0.0002 + 0.0016) / 3.5, so s = 0.0227, and the
 * margin 1.645 x 0.0227 x 1.118 = 0.0417 is not reached. */
START_TEST(a_share_of_cells_scatters_as_it_shows)
{
    const aw_part_result r = {0.86, {0.9, 0.88, 0.92}, AW_MET};
    double slack, sigma;
    ck_assert(aw_slack_of(AW_PART_SHARE, &r, 36, false, &slack, &sigma));
    ck_close(slack, 0.02, 1e-12);
    ck_close(sigma, 0.02, 1e-12);
    ck_assert(aw_slack_of(AW_PART_SHARE, &r, 36, true, &slack, &sigma));
    ck_close(slack, 0.04, 1e-12);
    aw_slacks s = {0};
    for (size_t n = 0; n < 4; n++)
        aw_slacks_add(&s, AW_PART_SHARE, n % 2 ? 0.02 : 0.06, 0.02);
    ck_assert_int_eq(aw_slacks_judge(&s), AW_RACE_ON);
    aw_slacks t = {0};
    for (size_t n = 0; n < 4; n++)
        aw_slacks_add(&t, AW_PART_SHARE, n % 2 ? 0.03 : 0.07, 0.02);
    ck_assert_int_eq(aw_slacks_judge(&t), AW_RACE_HOLDS);
}
END_TEST

/* What is asked of a length from above, of a share from below; odds by 200 installations. */
START_TEST(slack_is_what_is_left_at_the_worse_end)
{
    const aw_part_result length = {0.8, {0.7, 0.65, 0.76}, AW_MET};
    const aw_part_result share = {0.9, {0.95, 0.93, 0.97}, AW_MET};
    const aw_part_result none = {(double)NAN, {0.7, 0.6, 0.8}, AW_NO_NEED};
    double slack, sigma;
    ck_assert(aw_slack_of(AW_PART_P95, &length, 9, false, &slack, &sigma));
    ck_close(slack, 0.04, 1e-12);
    ck_close(sigma, 0.055 / 2.04, 1e-12);
    ck_assert(aw_slack_of(AW_PART_ODDS, &share, 9, false, &slack, &sigma));
    ck_close(slack, 0.03, 1e-12);
    ck_close(sigma, sqrt(0.95 * 0.05 / 200), 1e-12);
    ck_assert(!aw_slack_of(AW_PART_P95, &none, 9, false, &slack, &sigma));
}
END_TEST

static TCase *all(void)
{
    TCase *tc = tcase_create("race");
    tcase_add_test(tc, the_nearer_to_the_line_the_seldomer_a_layout_is_taken);
    tcase_add_test(tc, four_looks_hold_from_their_margin_on);
    tcase_add_test(tc, a_share_of_cells_scatters_as_it_shows);
    tcase_add_test(tc, slack_is_what_is_left_at_the_worse_end);
    return tc;
}

AW_TEST_MAIN("race", all())
