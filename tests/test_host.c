/* The library as a guest: what a program that calls it holds of the same libraries stays as it was.
 */
#include <glpk.h>
#include <string.h>

#include "anchorwise.h"
#include "aw_test.h"

static const char site[] =
    "anchorwise: 1\ntitle: hall\n"
    "floor: {outline: [[0, 0], [20, 0], [20, 12], [0, 12]], ceiling: 6}\n"
    "anchors: [{name: a, at: [0.5, 0.5, 4]}]\n"
    "candidates:\n  lines:\n"
    "    - {name: w, path: [[0.5, 0.5], [19.5, 0.5], [19.5, 11.5], [0.5, 11.5]], spacing: 6, low: "
    "4}\n"
    "ranging: {sigma: 0.1}\n"
    "zones: [{name: z, outline: [[2, 2], [18, 2], [18, 10], [2, 10]], need: {p95: 0.6}}]\n"
    "study: {step: 3, draws: 64}\n";

/* Most 3 x + 2 y with x + y <= 4 and x <= 3: 11 at (3, 1). */
static glp_prob *make_problem(void)
{
    static const int column[] = {0, 1, 2};
    static const double one[] = {0, 1, 1};
    glp_prob *p = glp_create_prob();
    glp_set_obj_dir(p, GLP_MAX);
    glp_add_cols(p, 2);
    glp_set_obj_coef(p, 1, 3);
    glp_set_obj_coef(p, 2, 2);
    glp_set_col_bnds(p, 1, GLP_DB, 0, 3);
    glp_set_col_bnds(p, 2, GLP_LO, 0, 0);
    glp_add_rows(p, 1);
    glp_set_row_bnds(p, 1, GLP_UP, 0, 4);
    glp_set_mat_row(p, 1, 2, column, one);
    return p;
}

static void solve(glp_prob *p)
{
    glp_smcp how;
    glp_init_smcp(&how);
    how.msg_lev = GLP_MSG_OFF;
    ck_assert_int_eq(glp_simplex(p, &how), 0);
    ck_assert_int_eq(glp_get_status(p), GLP_OPT);
    ck_assert_double_eq_tol(glp_get_obj_val(p), 11, 1e-9);
    ck_assert_double_eq_tol(glp_get_col_prim(p, 1), 3, 1e-9);
}

/* Places the site's anchors; the number of them, 0 if there was an error. */
static size_t place(void)
{
    aw_errors errors = {0};
    aw_scenario s;
    aw_placing p = {0};
    size_t n = 0;
    ck_assert(aw_scenario_parse(&s, site, strlen(site), &errors));
    const aw_placing_plan plan = {.scenario = &s};
    if (aw_placing_run(&p, &plan, &(aw_run){2, NULL, &errors}) && errors.n_errors == 0) {
        ck_assert_int_eq(p.end, AW_PLACING_FOUND);
        ck_assert_uint_gt(p.nodes, 0);
        n = p.n_anchors;
    }
    aw_placing_free(&p);
    aw_scenario_free(&s);
    aw_errors_free(&errors);
    return n;
}

START_TEST(a_hosts_linear_program_outlives_a_placing)
{
    int blocks, blocks_after;
    size_t bytes, bytes_after;
    glp_prob *own = make_problem();
    glp_term_out(GLP_ON);
    glp_mem_usage(&blocks, NULL, &bytes, NULL);
    const size_t n = place();
    ck_assert_uint_ge(n, 3);
    glp_mem_usage(&blocks_after, NULL, &bytes_after, NULL);
    ck_assert_int_eq(blocks_after, blocks);
    ck_assert_uint_eq(bytes_after, bytes);
    ck_assert_int_eq(glp_term_out(GLP_OFF), GLP_ON);
    solve(own);
    ck_assert_uint_eq(place(), n);
    solve(own);
    glp_delete_prob(own);
    glp_free_env();
}
END_TEST

/* The limit is the thread's of the host: that of the placing is its own. */
START_TEST(a_hosts_limit_of_memory_is_not_the_placings)
{
    glp_prob *own = make_problem();
    glp_mem_limit(1);
    ck_assert_uint_ge(place(), 3);
    solve(own);
    glp_delete_prob(own);
    glp_free_env();
}
END_TEST

static TCase *host(void)
{
    TCase *tests = tcase_create("host");
    tcase_add_test(tests, a_hosts_linear_program_outlives_a_placing);
    tcase_add_test(tests, a_hosts_limit_of_memory_is_not_the_placings);
    return tests;
}

AW_TEST_MAIN("host", host())
