/* Small helpers for the unit suites: closeness, a main, and a stream of test numbers. */
#ifndef AW_TEST_H
#define AW_TEST_H

#include <check.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

/* Check's own writes a line to a file for each assertion that holds, so that a crash can be placed;
 * loops over a million figures then wait for the disk. Here only what fails is told. */
#undef ck_assert_msg
#define ck_assert_msg(expr, ...)                                                                   \
    ((expr)                                                                                        \
         ? (void)0                                                                                 \
         : _ck_assert_failed(__FILE__, __LINE__, "Assertion '" #expr "' failed", ##__VA_ARGS__))

/* |got - want| within rel of |want|, or within rel if want is small. */
#define ck_close(got, want, rel)                                                                   \
    do {                                                                                           \
        const double got_ = (got), want_ = (want), allowed_ = (rel)*fmax(1.0, fabs(want_));        \
        ck_assert_msg(fabs(got_ - want_) <= allowed_, "%s: got %.12g, want %.12g within %.3g",     \
                      #got, got_, want_, allowed_);                                                \
    } while (0)

/* A plain generator for ragged test geometry (splitmix64); not the product's own. */
static inline double test_uniform(uint64_t *state)
{
    uint64_t z = (*state += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return (double)((z ^ (z >> 31)) >> 11) * 0x1p-53;
}

static inline double test_between(uint64_t *state, double low, double high)
{
    return low + (high - low) * test_uniform(state);
}

static inline double test_normal(uint64_t *state)
{
    const double u = test_uniform(state), v = test_uniform(state);
    return sqrt(-2 * log(u + 0x1p-54)) * cos(2 * M_PI * v);
}

#define AW_TEST_MAIN(suite, ...)                                                                   \
    int main(void)                                                                                 \
    {                                                                                              \
        TCase *cases_[] = {__VA_ARGS__};                                                           \
        Suite *suite_ = suite_create(suite);                                                       \
        for (size_t i_ = 0; i_ < sizeof cases_ / sizeof cases_[0]; i_++) {                         \
            tcase_set_timeout(cases_[i_], 400);                                                    \
            suite_add_tcase(suite_, cases_[i_]);                                                   \
        }                                                                                          \
        SRunner *runner_ = srunner_create(suite_);                                                 \
        srunner_run_all(runner_, CK_ENV);                                                          \
        const int failed_ = srunner_ntests_failed(runner_);                                        \
        srunner_free(runner_);                                                                     \
        return failed_ == 0 ? EXIT_SUCCESS : EXIT_FAILURE;                                         \
    }

#endif
