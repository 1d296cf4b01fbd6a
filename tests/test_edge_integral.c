/* The integral over several edges against printed figures, its own limits and laws. */
#include "aw_test.h"

#include "base/arena.h"
#include "radio/diffraction.h"
#include "radio/edge_integral.h"
#include "radio/power.h"

#define LAMBDA (AW_LIGHT / 6489.6e6)

static aw_arena *arena;
static const aw_edge_rules *rules;

static void set_up(void)
{
    arena = aw_arena_create();
    rules = aw_edge_rules_create(arena);
    ck_assert_ptr_nonnull(rules);
}

static void tear_down(void)
{
    aw_arena_free(arena);
}

static double loss(const aw_edge_row *row)
{
    return aw_edge_row_loss(row, LAMBDA, rules);
}

/* N equal legs and one more at grazing leave 1 / (N + 1) of the field: S. W. Lee, J. Math. Phys.
 * 19:1414, 1978 (from memory). */
START_TEST(edges_at_grazing_leave_one_share_more_than_they_are)
{
    for (size_t n = 1; n <= 6; n++) {
        aw_edge_row row = {.n = n};
        for (size_t i = 0; i <= n; i++)
            row.leg[i] = 2.7;
        for (size_t i = 0; i < n; i++)
            row.side[i] = 1;
        ck_assert_double_eq_tol(loss(&row), 20 * log10((double)n + 1), 0.02);
    }
}
END_TEST

/* Computed apart from this program by another quadrature with 64 nodes, itself equal to Plackett's
 * identity for two edges. */
static const struct known {
    aw_edge_row row;
    double db;
} known[] = {
    {{1, {4, 6}, {0.125}, {1}}, 15.546},
    {{2, {1, 1, 5}, {0.5, 0.1}, {1, 1}}, 33.329},
    {{2, {3, 2.6, 8}, {1.0 / 3, 0.125}, {1, 1}}, 38.176},
    {{2, {2, 2.4, 8}, {0.75, 0.1875}, {1, 1}}, 46.689},
    {{2, {2, 0.05, 2}, {0.15, 0.15}, {1, 1}}, 21.051},
    {{2, {3, 4, 3}, {0.25, 0.25}, {1, 1}}, 40.245},
    {{2, {3, 4, 3}, {0.25, 0.25}, {1, -1}}, 40.362},
    {{3, {3, 2, 2, 4}, {0.1, 0.05, 0.08}, {1, 1, 1}}, 32.428},
    {{4, {2, 3, 3, 3, 5}, {0.05, 0.02, 0.03, 0.06}, {1, 1, 1, 1}}, 32.120},
};

START_TEST(rows_of_edges_cost_what_is_known)
{
    ck_assert_double_eq_tol(loss(&known[_i].row), known[_i].db, 0.02);
}
END_TEST

static aw_edge_row some_row(uint64_t *state, size_t n)
{
    aw_edge_row row = {.n = n};
    for (size_t i = 0; i <= n; i++)
        row.leg[i] = pow(10, test_between(state, -1, 1));
    for (size_t i = 0; i < n; i++) {
        const double a = row.leg[i], b = row.leg[i + 1];
        row.bend[i] = test_between(state, -0.78, 4) / sqrt(2 * a * b / (LAMBDA * (a + b)));
        row.side[i] = test_between(state, 0, 1) < 0.7 ? 1 : -1;
    }
    return row;
}

START_TEST(rows_cost_the_same_the_other_way)
{
    uint64_t state = 71;
    for (int i = 0; i < 500; i++) {
        const aw_edge_row there = some_row(&state, 2 + (size_t)i % 4);
        aw_edge_row back = there;
        for (size_t k = 0; k <= there.n; k++)
            back.leg[k] = there.leg[there.n - k];
        for (size_t k = 0; k < there.n; k++) {
            back.bend[k] = there.bend[there.n - 1 - k];
            back.side[k] = there.side[there.n - 1 - k];
        }
        ck_assert_double_eq_tol(loss(&there), loss(&back), 0.02);
    }
}
END_TEST

/* An edge that a leg passes at v = -0.78 costs as good as nothing: the row is the one without it.
 */
START_TEST(an_edge_well_below_takes_no_part)
{
    const double low = 0.78 / sqrt(2 * 7.0 / 6 / LAMBDA);
    const aw_edge_row two = {2, {4, 1, 6}, {0.2 + low, -low * 7 / 6}, {1, 1}};
    const aw_edge_row one = {1, {4, 7}, {0.2}, {1}};
    ck_assert_double_eq_tol(loss(&two), loss(&one), 0.25);
}
END_TEST

static TCase *all(void)
{
    TCase *c = tcase_create("integral");
    tcase_add_checked_fixture(c, set_up, tear_down);
    tcase_add_test(c, edges_at_grazing_leave_one_share_more_than_they_are);
    tcase_add_loop_test(c, rows_of_edges_cost_what_is_known, 0, 9);
    tcase_add_test(c, rows_cost_the_same_the_other_way);
    tcase_add_test(c, an_edge_well_below_takes_no_part);
    return c;
}

AW_TEST_MAIN("radio: several edges", all())
