/* A host that holds a linear program of its own while the library places anchors: it prints the
 * least price of its program before and after, and how many nodes the library branched on. */
#include <stdio.h>
#include <string.h>

#include <anchorwise.h>
#include <glpk.h>

static const char site[] =
    "anchorwise: 1\ntitle: hall\n"
    "floor: {outline: [[0, 0], [20, 0], [20, 12], [0, 12]], ceiling: 6}\n"
    "anchors: [{name: a, at: [0.5, 0.5, 4]}]\n"
    "candidates:\n  lines:\n"
    "    - {name: w, path: [[0.5, 0.5], [19.5, 0.5], [19.5, 11.5], [0.5, 11.5]], spacing: 6,"
    " low: 4}\n"
    "ranging: {sigma: 0.1}\n"
    "zones: [{name: z, outline: [[2, 2], [18, 2], [18, 10], [2, 10]], need: {p95: 0.6}}]\n"
    "study: {step: 3, draws: 64}\n";

static size_t place(void)
{
    aw_errors errors;
    aw_scenario scenario;
    aw_placing placing;
    aw_placing_plan plan;
    aw_run run;
    memset(&errors, 0, sizeof errors);
    memset(&placing, 0, sizeof placing);
    memset(&plan, 0, sizeof plan);
    memset(&run, 0, sizeof run);
    size_t nodes = 0;
    plan.scenario = &scenario;
    run.threads = 2;
    run.errors = &errors;
    if (aw_scenario_parse(&scenario, site, strlen(site), &errors) &&
        aw_placing_run(&placing, &plan, &run))
        nodes = placing.nodes;
    aw_errors_write(&errors, "site", true, stderr);
    aw_placing_free(&placing);
    aw_scenario_free(&scenario);
    aw_errors_free(&errors);
    return nodes;
}

/* Least 2 x + 3 y with x + y >= 4 and x <= 3: 9 at (3, 1). */
static glp_prob *make_program(void)
{
    const int column[] = {0, 1, 2};
    const double one[] = {0, 1, 1};
    glp_prob *own = glp_create_prob();
    glp_add_cols(own, 2);
    glp_set_obj_coef(own, 1, 2);
    glp_set_obj_coef(own, 2, 3);
    glp_set_col_bnds(own, 1, GLP_DB, 0, 3);
    glp_set_col_bnds(own, 2, GLP_LO, 0, 0);
    glp_add_rows(own, 1);
    glp_set_row_bnds(own, 1, GLP_LO, 4, 0);
    glp_set_mat_row(own, 1, 2, column, one);
    return own;
}

int main(void)
{
    glp_prob *own = make_program();
    glp_smcp how;
    glp_init_smcp(&how);
    how.msg_lev = GLP_MSG_OFF;
    const size_t nodes = place();
    printf("branched %s\n", nodes > 0 ? "yes" : "no");
    printf("rows %d columns %d\n", glp_get_num_rows(own), glp_get_num_cols(own));
    const int trouble = glp_simplex(own, &how);
    printf("trouble %d least %g\n", trouble, glp_get_obj_val(own));
    printf("terminal %s\n", glp_term_out(GLP_OFF) == GLP_ON ? "on" : "off");
    glp_delete_prob(own);
    return 0;
}
