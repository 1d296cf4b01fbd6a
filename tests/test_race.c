/* The race of draws: its rule against simulated slacks, and against figures worked by hand. */
#include "aw_test.h"
#include "place/race.h"

/* Runs one part's race on slacks of that mean and scatter 1 a look, whose scatter is known. */
static bool holds(uint64_t *state, double mean)
{
    aw_slacks s = {0};
    for (size_t n = 1, unmet = 0; n <= AW_RACE_MOST; n++) {
        const aw_slack slack = {mean + test_normal(state), 1, false};
        unmet += slack.left < 0;
        aw_slacks_add(&s, &slack);
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
            aw_slacks_add(&s, &(aw_slack){k == 0 ? 3.69 : 3.66, 2, false});
        }
        ck_assert_int_eq(aw_slacks_judge(&s), k == 0 ? AW_RACE_HOLDS : AW_RACE_ON);
    }
}
END_TEST

/* A share of cells scatters by what it shows, and so does a chance that rests on one: of four looks
 * 0.06, 0.02, 0.06, 0.02 about 0.04, with s0 = 0.4 sqrt(0.9 x 0.1 / 36) = 0.02, s^2 = (0.0002 +
 * 0.0016) / 3.5, so s = 0.0227, and the margin 1.645 x 0.0227 x 1.118 = 0.0417 is not reached. */
START_TEST(a_share_of_cells_scatters_as_it_shows)
{
    const aw_part_result parts[AW_PARTS] = {[AW_PART_SHARE] = {0.86, {0.9, 0.88, 0.92}, AW_MET},
                                            [AW_PART_CHANCE] = {0.8, {0.9, 0.849, 0.951}, AW_MET}};
    const aw_slack slack = aw_slack_of(parts, AW_PART_SHARE, 36, false);
    ck_close(slack.left, 0.02, 1e-12);
    ck_close(slack.s, 0.02, 1e-12);
    ck_close(aw_slack_of(parts, AW_PART_SHARE, 36, true).left, 0.04, 1e-12);
    const aw_slack chance = aw_slack_of(parts, AW_PART_CHANCE, 36, false);
    ck_close(chance.left, 0.049, 1e-12);
    ck_close(chance.s, 0.4 * 0.051 / 2.04, 1e-12);
    ck_assert(slack.is_counted && chance.is_counted);
    aw_slacks s = {0};
    for (size_t n = 0; n < 4; n++)
        aw_slacks_add(&s, &(aw_slack){n % 2 ? 0.02 : 0.06, 0.02, true});
    ck_assert_int_eq(aw_slacks_judge(&s), AW_RACE_ON);
    aw_slacks t = {0};
    for (size_t n = 0; n < 4; n++)
        aw_slacks_add(&t, &(aw_slack){n % 2 ? 0.03 : 0.07, 0.02, true});
    ck_assert_int_eq(aw_slacks_judge(&t), AW_RACE_HOLDS);
}
END_TEST

/* What is asked of a length from above, of a share from below; odds by 200 installations. */
START_TEST(slack_is_what_is_left_at_the_worse_end)
{
    const aw_part_result parts[AW_PARTS] = {
        [AW_PART_P95] = {0.8, {0.7, 0.65, 0.76}, AW_MET},
        [AW_PART_P99] = {(double)NAN, {0.7, 0.6, 0.8}, AW_NO_NEED},
        [AW_PART_SHARE] = {(double)NAN, {0.9, 0.8, 1}, AW_NO_NEED},
        [AW_PART_ODDS] = {0.9, {0.95, 0.93, 0.97}, AW_MET},
        [AW_PART_CHANCE] = {0.8, {0.9, 0.849, 0.951}, AW_MET}};
    const aw_slack length = aw_slack_of(parts, AW_PART_P95, 9, false);
    ck_close(length.left, 0.04, 1e-12);
    ck_close(length.s, 0.055 / 2.04, 1e-12);
    const aw_slack odds = aw_slack_of(parts, AW_PART_ODDS, 9, false);
    ck_close(odds.left, 0.03, 1e-12);
    ck_close(odds.s, sqrt(0.95 * 0.05 / 200), 1e-12);
    const aw_slack chance = aw_slack_of(parts, AW_PART_CHANCE, 9, false);
    ck_close(chance.s, 0.051 / 2.04, 1e-12);
    ck_assert(!length.is_counted && !odds.is_counted && !chance.is_counted);
    ck_assert(isnan(aw_slack_of(parts, AW_PART_P99, 9, false).left));
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
