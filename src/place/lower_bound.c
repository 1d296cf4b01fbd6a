/* A linear program over shares of the candidates, one column each. Where its solution promises less
 * than a need asks, the tangent there becomes a row, which holds for every layout, so rows are
 * never taken back. Where nothing is violated or rounds run out, a candidate that is neither in nor
 * out makes two nodes. The node with the least price goes first: its price is the bound. */
#include "place/lower_bound.h"

#include <math.h>
#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

#include <glpk.h>

#include "base/parallel.h"
#include "place/fitness.h"

#define NONE AW_NO_CANDIDATE
#define FULL 1000000
/* Tangents at one node: at the root until nothing is violated, elsewhere a few. */
#define ROOT_ROUNDS 80
#define NODE_ROUNDS 8
/* Links looked at, by all tangents, and at the root's alone. */
#define MOST_LINKS      1.2e8
#define MOST_ROOT_LINKS 4e7
#define MOST_NODES      2000
/* Numbers that the simplex goes through, an iteration all of the rows and columns: beyond them the
 * price hardly rises any more. */
#define MOST_NUMBERS 2e8
/* A root's price that gains less in so many rounds gains no more that is worth it. */
#define PATIENCE 6
#define HARDLY   1.002
/* Rows beyond which nodes are branched on without more of them. */
#define MOST_ROWS 800
/* Losses looked at in a round. */
#define LOSSES 8
/* How much is not worth a row, and how far from 0 and 1 is neither. */
#define VIOLATED     1e-4
#define WHOLE        1e-6
#define MOST_DEMANDS 256

typedef struct node {
    double price;
    signed char *fixed; /* of each candidate: -1 free, 0 out, 1 in */
} node;

typedef struct solver {
    const aw_lower_bound_plan *plan;
    const aw_run *run;
    const aw_views *views;
    aw_demand demands[MOST_DEMANDS];
    size_t n_demands, n;
    double known, links, numbers; /* the latter two looked at so far */
    glp_prob *program;
    glp_smcp how;
    double *x, *scratch, *row;
    aw_tangent tangent;
    int *column;
    node *open;
    size_t n_open, room;
    aw_lower_bound *least;
    bool done, failed;
} solver;

/* --- the linear program --- */

static void make_program(solver *s)
{
    const aw_candidates *c = s->views->candidates;
    s->program = glp_create_prob();
    glp_set_obj_dir(s->program, GLP_MIN);
    glp_add_cols(s->program, (int)s->n);
    for (size_t i = 0; i < s->n; i++) {
        glp_set_obj_coef(s->program, (int)i + 1, c->list[i].price);
        glp_set_col_bnds(s->program, (int)i + 1, GLP_DB, 0, 1);
        s->column[i + 1] = (int)i + 1;
    }
    glp_init_smcp(&s->how);
    s->how.msg_lev = GLP_MSG_OFF;
    s->how.meth = GLP_DUALP;
}

static void fix_columns(solver *s, const node *n)
{
    const aw_candidates *c = s->views->candidates;
    for (size_t i = 0; i < s->n; i++) {
        const int fixed = c->list[i].kept ? 1 : n->fixed[i];
        if (fixed < 0)
            glp_set_col_bnds(s->program, (int)i + 1, GLP_DB, 0, 1);
        else
            glp_set_col_bnds(s->program, (int)i + 1, GLP_FX, fixed, fixed);
    }
}

/* sum slope_i x_i >= sum slope_i x_i(here) - value(here). */
static void add_row(solver *s, size_t lost)
{
    const int row = glp_add_rows(s->program, 1);
    const double *slope = s->tangent.slope;
    double least = -s->tangent.value;
    for (size_t i = 0; i < s->n; i++) {
        least += i == lost ? 0 : slope[i] * s->x[i];
        s->row[i + 1] = slope[i];
    }
    glp_set_row_bnds(s->program, row, GLP_LO, least - 1e-9, 0);
    glp_set_mat_row(s->program, row, (int)s->n, s->column, s->row);
}

/* The node's price by the rows there are; infinity if they leave nothing. */
static double solve(solver *s, double otherwise)
{
    const int before = glp_get_it_cnt(s->program);
    const int failed = glp_simplex(s->program, &s->how);
    s->numbers += (double)(glp_get_it_cnt(s->program) - before) *
                  (double)glp_get_num_rows(s->program) * (double)s->n;
    if (failed != 0)
        return otherwise;
    const int status = glp_get_status(s->program);
    if (status == GLP_NOFEAS)
        return HUGE_VAL;
    if (status != GLP_OPT)
        return otherwise;
    for (size_t i = 0; i < s->n; i++)
        s->x[i] = fmin(fmax(glp_get_col_prim(s->program, (int)i + 1), 0), 1);
    /* Less what the solver's own tolerance may have added. */
    return fmax(glp_get_obj_val(s->program) * (1 - 1e-7), 0);
}

/* The price in whole anchors, where that is what counts. */
static double rounded(const solver *s, double price)
{
    return s->plan->whole && isfinite(price) ? ceil(price - 1e-5) : price;
}

/* --- cuts --- */

/* Cuts by one demand where it is violated; the number of rows, -1 if stopped. */
static int cut(solver *s, const aw_demand *d, size_t lost)
{
    aw_tangent *t = &s->tangent;
    if (!aw_tangent_find(t, s->views, d, &(aw_shares){s->x, lost}, s->scratch, s->run))
        return -1;
    s->links += (double)s->views->zones[d->zone].grid.n * (double)s->n;
    if (t->value >= -VIOLATED)
        return 0;
    add_row(s, lost);
    return 1;
}

/* The candidates with the largest shares. */
static size_t largest(const solver *s, size_t list[LOSSES])
{
    size_t n = 0;
    while (n < LOSSES) {
        size_t best = NONE;
        for (size_t i = 0; i < s->n; i++) {
            bool taken = s->x[i] < 0.05;
            for (size_t k = 0; k < n; k++)
                taken = taken || list[k] == i;
            if (!taken && (best == NONE || s->x[i] > s->x[best]))
                best = i;
        }
        if (best == NONE)
            break;
        list[n++] = best;
    }
    return n;
}

/* Rows added, FULL if there are too many already, -1 if stopped. */
static int cut_all(solver *s)
{
    int rows = 0;
    size_t lost[LOSSES];
    if (glp_get_num_rows(s->program) > MOST_ROWS)
        return FULL;
    for (size_t i = 0; i < s->n_demands && rows >= 0; i++) {
        const int more = cut(s, &s->demands[i], NONE);
        rows = more < 0 ? -1 : rows + more;
    }
    const size_t n = s->plan->sturdy && rows == 0 ? largest(s, lost) : 0;
    for (size_t k = 0; k < n && rows >= 0; k++)
        for (size_t i = 0; i < s->n_demands && rows >= 0; i++) {
            const int more = cut(s, &s->demands[i], lost[k]);
            rows = more < 0 ? -1 : rows + more;
        }
    return rows;
}

/* --- nodes --- */

static void drop_node(solver *s, size_t i)
{
    free(s->open[i].fixed);
    s->open[i] = s->open[--s->n_open];
}

/* A copy of a node with one candidate in or out. */
static void add_node(solver *s, const signed char fixed[], double price, size_t i, signed char in)
{
    if (s->n_open == s->room) {
        node *open = realloc(s->open, (2 * s->room + 16) * sizeof *open);
        s->failed = s->failed || open == NULL;
        if (open == NULL)
            return;
        s->open = open;
        s->room = 2 * s->room + 16;
    }
    signed char *copy = malloc(s->n + 1);
    s->failed = s->failed || copy == NULL;
    if (copy == NULL)
        return;
    memcpy(copy, fixed, s->n);
    if (i != NONE)
        copy[i] = in;
    s->open[s->n_open++] = (node){price, copy};
}

static size_t cheapest(const solver *s)
{
    size_t best = 0;
    for (size_t i = 1; i < s->n_open; i++)
        if (s->open[i].price < s->open[best].price)
            best = i;
    return best;
}

/* The candidate whose share is nearest to a half, NONE if all are in or out. */
static size_t undecided(const solver *s)
{
    size_t best = NONE;
    double most = WHOLE;
    for (size_t i = 0; i < s->n; i++) {
        const double off = fmin(s->x[i], 1 - s->x[i]);
        if (off > most) {
            best = i;
            most = off;
        }
    }
    return best;
}

/* Solves and cuts in turns until nothing is violated, the known price is reached or it is not worth
 * more rounds; `rows` as of cut_all() at last. */
static double raise(solver *s, double price, bool root, int *rows)
{
    double before = price;
    *rows = 1;
    for (size_t round = 0; round < (root ? ROOT_ROUNDS : NODE_ROUNDS); round++) {
        price = fmax(price, solve(s, price));
        if (*rows <= 0 || *rows == FULL || rounded(s, price) >= s->known - 1e-9 ||
            s->links > (root ? MOST_ROOT_LINKS : MOST_LINKS))
            return price;
        if (root && round % PATIENCE == PATIENCE - 1) {
            if (price < before * HARDLY)
                return price;
            before = price;
        }
        *rows = cut_all(s);
    }
    return *rows > 0 && *rows != FULL ? fmax(price, solve(s, price)) : price;
}

/* Bounds a node and branches on it. False if stopped. */
static bool take_node(solver *s, const node *n, bool root)
{
    int rows;
    fix_columns(s, n);
    const double price = raise(s, n->price, root, &rows);
    if (rows < 0)
        return false;
    if (rounded(s, price) >= s->known - 1e-9)
        return true;
    const size_t i = undecided(s);
    if (i == NONE && rows == 0) {
        /* A layout that the relaxed needs let pass: nothing under this node is cheaper. */
        s->known = fmin(s->known, price);
        s->least->price = fmin(s->least->price, rounded(s, price));
        return true;
    }
    /* Whole, and nothing more can be cut, or the root's price is not worth more: this is all that
     * is known of the node. */
    if ((i == NONE && rows == FULL) || (root && rounded(s, price) < s->plan->worth)) {
        s->least->price = fmin(s->least->price, rounded(s, price));
        return true;
    }
    /* Whole but still violated: go on cutting at the same node. */
    if (i == NONE) {
        add_node(s, n->fixed, price, NONE, 0);
        return true;
    }
    add_node(s, n->fixed, price, i, 1);
    add_node(s, n->fixed, price, i, 0);
    return true;
}

static bool branch(solver *s)
{
    bool done = true;
    aw_watch_stage(s->run->watch, 0, "what no layout can be under");
    signed char *root = malloc(s->n + 1);
    s->failed = root == NULL;
    if (root != NULL) {
        memset(root, -1, s->n);
        add_node(s, root, 0, NONE, 0);
    }
    free(root);
    while (done && !s->failed && s->n_open > 0 && s->least->nodes < MOST_NODES &&
           s->links < MOST_LINKS && s->numbers < MOST_NUMBERS) {
        const size_t i = cheapest(s);
        const node n = s->open[i];
        if (rounded(s, n.price) >= s->known - 1e-9)
            break;
        s->open[i] = s->open[--s->n_open];
        done = take_node(s, &n, s->least->nodes == 0);
        s->least->nodes++;
        if (!done || s->failed)
            s->least->price = fmin(s->least->price, rounded(s, n.price));
        free(n.fixed);
    }
    return done && !s->failed;
}

/* GLPK ends the process where it wants for memory, unless it is led out of its own calls. */
static void leave(void *jump)
{
    longjmp(*(jmp_buf *)jump, 1);
}

/* Runs the branching; what GLPK holds for this thread is freed whatever happens. */
static void branch_apart(void *context)
{
    solver *s = context;
    jmp_buf jump;
    glp_term_out(GLP_OFF);
    if (setjmp(jump) == 0) {
        glp_error_hook(leave, &jump);
        make_program(s);
        s->done = branch(s);
    } else {
        s->failed = true;
    }
    glp_free_env();
}

/* GLPK keeps all problems of a thread together, and after an error can only drop them all: in a
 * thread of its own that is this one problem and none of a host's. It is built so unless asked not
 * to be (glp_config("TLS")). */
static bool run_apart(solver *s)
{
    if (!aw_apart(branch_apart, s))
        s->failed = true;
    for (size_t i = 0; i < s->n_open; i++)
        s->least->price = fmin(s->least->price, rounded(s, s->open[i].price));
    if (s->failed)
        s->least->price = 0;
    return s->done && !s->failed;
}

static void close_solver(solver *s)
{
    while (s->n_open > 0)
        drop_node(s, 0);
    free(s->open);
    free(s->x);
    free(s->tangent.slope);
    free(s->row);
    free(s->column);
    free(s->scratch);
    free(s);
}

bool aw_lower_bound_find(aw_lower_bound *least, const aw_lower_bound_plan *plan, const aw_run *run)
{
    const size_t n = plan->views->candidates->n;
    solver *s = calloc(1, sizeof *s);
    *least = (aw_lower_bound){.price = 0};
    if (s == NULL)
        return false;
    *s = (solver){.plan = plan,
                  .run = run,
                  .views = plan->views,
                  .n = n,
                  .known = plan->known,
                  .least = least};
    s->n_demands = aw_demands_list(plan->views, plan->slack, s->demands, MOST_DEMANDS);
    s->x = calloc(n + 1, sizeof *s->x);
    s->tangent.slope = calloc(n + 1, sizeof *s->tangent.slope);
    s->row = calloc(n + 2, sizeof *s->row);
    s->column = calloc(n + 2, sizeof *s->column);
    s->scratch = calloc(aw_tangent_room(plan->views), sizeof *s->scratch);
    bool done = s->x && s->tangent.slope && s->row && s->column && s->scratch;
    if (done) {
        least->price = plan->known;
        done = run_apart(s);
    }
    close_solver(s);
    return done;
}
