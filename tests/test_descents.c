/* Descents side by side: the same bits at every processor level, whatever stands beside them. What
 * they find is held to published examples, to GSL and to a global search elsewhere (test_fix.c,
 * test_fix_sites.c, tests/outside/test_minima.py). */
#include "position/kernel.h"
#include "links.h"

#include <stdio.h>

enum { MOST = 9, PROBLEMS = 3 * AW_FIXES_TOGETHER + 5, ROUNDS = 20 };

static const aw_point corner[] = {{0, 0}, {40, 0}, {40, 30}, {0, 30}};
static const aw_polygon outline = {corner, 4, {0, 0}, {40, 30}};

typedef struct bag {
    double anchor[PROBLEMS][MOST][3], weight[PROBLEMS][MOST], rho[PROBLEMS][MOST];
    aw_fix_problem problem[PROBLEMS];
} bag;

/* Anchors round a hall or in a row, as few as there can be or more; some arrivals far off, so that
 * descents bounce, creep and go astray. */
static void fill_problem(bag *b, size_t i, int dims, uint64_t *state)
{
    const double sigma = test_between(state, 0.1, 1.5);
    const bool row = test_uniform(state) < 0.3;
    aw_fix_problem *p = &b->problem[i];
    *p = (aw_fix_problem){
        .dims = dims,
        .n = (size_t)dims + 1 + (size_t)(test_uniform(state) * (MOST - dims)),
        .anchor = b->anchor[i],
        .weight = b->weight[i],
        .rho = b->rho[i],
        .spot = {test_between(state, 0, 40), test_between(state, 0, 30), 1.2},
        .site = {.outline = test_uniform(state) < 0.9 ? &outline : NULL, .ceiling = 8},
        .side = (unsigned)(test_uniform(state) * 2)};
    for (size_t k = 0; k < p->n; k++) {
        double *a = p->anchor[k];
        a[0] = test_between(state, 0, 40) - p->spot[0];
        a[1] = (row ? test_between(state, 2, 2.5) : test_between(state, 0, 30)) - p->spot[1];
        a[2] = test_between(state, 1, 6);
        b->weight[i][k] = 1 / (sigma * sigma * test_between(state, 0.5, 2));
        b->rho[i][k] = sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2]) +
                       sigma * test_normal(state) * (test_uniform(state) < 0.1 ? 9 : 1);
    }
}

static void fill_bag(bag *b, int dims, uint64_t *state)
{
    for (size_t i = 0; i < PROBLEMS; i++)
        fill_problem(b, i, dims, state);
}

static void expect_same(const aw_fix *a, const aw_fix *b)
{
    ck_assert_int_eq(a->found, b->found);
    ck_assert_int_eq(a->ambiguous, b->ambiguous);
    ck_assert_mem_eq(a->at, b->at, sizeof a->at);
    ck_assert_mem_eq(&a->offset, &b->offset, sizeof a->offset);
    ck_assert_mem_eq(&a->residual, &b->residual, sizeof a->residual);
}

START_TEST(a_fix_is_the_same_bits_alone_and_among_others)
{
    static bag b;
    aw_fix together[PROBLEMS];
    uint64_t state = 11 + (uint64_t)_i;
    size_t found = 0;
    for (int round = 0; round < ROUNDS; round++) {
        fill_bag(&b, _i, &state);
        aw_fix_find_all(aw_kernel_best(), b.problem, PROBLEMS, together);
        for (size_t i = 0; i < PROBLEMS; i++) {
            const aw_fix alone = aw_fix_find(&b.problem[i]);
            expect_same(&together[i], &alone);
            found += alone.found;
        }
    }
    ck_assert_uint_gt(found, PROBLEMS * ROUNDS / 2);
    ck_assert_uint_lt(found, PROBLEMS * ROUNDS);
}
END_TEST

START_TEST(fixes_are_the_same_bits_at_every_level)
{
    static bag b;
    static const char *const names[] = {"v3", "v4"};
    aw_fix one[PROBLEMS], other[PROBLEMS];
    uint64_t state = 23 + (uint64_t)_i;
    for (int round = 0; round < ROUNDS; round++) {
        fill_bag(&b, _i, &state);
        aw_fix_find_all(aw_kernel_named("base"), b.problem, PROBLEMS, one);
        for (int level = 0; level < 2; level++) {
            const aw_kernel *kernel = aw_kernel_named(names[level]);
            if (kernel == NULL) {
                fprintf(stderr, "this processor lacks level %s\n", names[level]);
                continue;
            }
            aw_fix_find_all(kernel, b.problem, PROBLEMS, other);
            for (size_t i = 0; i < PROBLEMS; i++)
                expect_same(&one[i], &other[i]);
        }
    }
}
END_TEST

/* Each descent of a list against the same one in a list of its own. */
START_TEST(a_descent_depends_on_no_other)
{
    static bag b;
    aw_descent list[2 * PROBLEMS];
    uint64_t state = 37 + (uint64_t)_i;
    fill_bag(&b, _i, &state);
    for (size_t k = 0; k < 2 * PROBLEMS; k++)
        list[k] = (aw_descent){
            .problem = &b.problem[k / 2],
            .start = {test_between(&state, -30, 30), test_between(&state, -30, 30), -1},
            .damping = k % 3 == 0 ? 1e-2 : 0,
            .level = k % 2 == 0};
    aw_kernel_best()->descend(list, 2 * PROBLEMS);
    for (size_t k = 0; k < 2 * PROBLEMS; k++) {
        aw_descent alone = list[k];
        alone.found = !alone.found;
        aw_kernel_best()->descend(&alone, 1);
        ck_assert_int_eq(alone.found, list[k].found);
        ck_assert_mem_eq(&alone.root, &list[k].root, sizeof alone.root);
    }
    aw_kernel_best()->descend(NULL, 0);
}
END_TEST

static TCase *lanes(void)
{
    TCase *tc = tcase_create("lanes");
    tcase_add_loop_test(tc, a_fix_is_the_same_bits_alone_and_among_others, 2, 4);
    tcase_add_loop_test(tc, fixes_are_the_same_bits_at_every_level, 2, 4);
    tcase_add_loop_test(tc, a_descent_depends_on_no_other, 2, 4);
    return tc;
}

AW_TEST_MAIN("descents", lanes())
