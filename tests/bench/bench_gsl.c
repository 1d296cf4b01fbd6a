/* What a user would write with a library: GSL's Levenberg-Marquardt with Cholesky, once for each
 * fix, with the Jacobian given; normals by GSL, percentiles by its sorted statistics. 2d, white
 * noise. Start and failure rules are those of the product, it stops at a relative step of 1e-6. */
#include <string.h>

#include <gsl/gsl_multifit_nlinear.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>

#include "bench.h"

#define MOST       64
#define ITERATIONS 25

typedef struct cell {
    size_t n;
    double anchor[MOST][3], range[MOST], rho[MOST], start[2];
} cell;

typedef struct job {
    const aw_scenario *scenario;
    const aw_grid *grid;
    double *p95;
} job;

/* Unknown are x, y and the common offset. */
static int residuals(const gsl_vector *x, void *data, gsl_vector *f)
{
    const cell *c = data;
    for (size_t i = 0; i < c->n; i++) {
        const double *a = c->anchor[i], dx = gsl_vector_get(x, 0) - a[0];
        const double dy = gsl_vector_get(x, 1) - a[1];
        gsl_vector_set(f, i,
                       sqrt(dx * dx + dy * dy + a[2] * a[2]) + gsl_vector_get(x, 2) - c->rho[i]);
    }
    return GSL_SUCCESS;
}

static int slopes(const gsl_vector *x, void *data, gsl_matrix *j)
{
    const cell *c = data;
    for (size_t i = 0; i < c->n; i++) {
        const double *a = c->anchor[i], dx = gsl_vector_get(x, 0) - a[0];
        const double dy = gsl_vector_get(x, 1) - a[1];
        const double range = sqrt(dx * dx + dy * dy + a[2] * a[2]);
        gsl_matrix_set(j, i, 0, dx / range);
        gsl_matrix_set(j, i, 1, dy / range);
        gsl_matrix_set(j, i, 2, 1);
    }
    return GSL_SUCCESS;
}

static void aim(cell *c, const aw_scenario *s, aw_point at)
{
    const double spot[3] = {at.x, at.y, s->tags[0].height};
    *c = (cell){0};
    for (size_t i = 0; i < s->n_anchors && c->n < MOST; i++) {
        double *a = c->anchor[c->n], squared = 0;
        for (int k = 0; k < 3; k++) {
            a[k] = s->anchors[i].at[k] - spot[k];
            squared += a[k] * a[k];
        }
        if (sqrt(squared) <= s->ranging.range)
            c->range[c->n++] = sqrt(squared);
    }
    for (size_t i = 0; i < c->n; i++)
        for (int k = 0; k < 2; k++)
            c->start[k] += c->anchor[i][k] / (double)c->n;
}

static double fix(gsl_multifit_nlinear_workspace *w, cell *c)
{
    double start[3] = {c->start[0], c->start[1], 0};
    int info;
    gsl_multifit_nlinear_fdf f = {.f = residuals, .df = slopes, .n = c->n, .p = 3, .params = c};
    gsl_vector_view x = gsl_vector_view_array(start, 3);
    if (gsl_multifit_nlinear_init(&x.vector, &f, w) != GSL_SUCCESS ||
        gsl_multifit_nlinear_driver(ITERATIONS, 1e-6, 0, 0, NULL, NULL, &info, w) != GSL_SUCCESS)
        return HUGE_VAL;
    const gsl_vector *found = gsl_multifit_nlinear_position(w);
    return hypot(gsl_vector_get(found, 0), gsl_vector_get(found, 1));
}

static void work(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    const size_t n = j->scenario->study.draws;
    gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
    gsl_rng *noise = gsl_rng_alloc(gsl_rng_taus2);
    double *error = malloc(n * sizeof *error);
    how.solver = gsl_multifit_nlinear_solver_cholesky;
    (void)thread;
    for (size_t i = from; error != NULL && i < to; i++) {
        cell c;
        aim(&c, j->scenario, aw_grid_centre(j->grid, j->grid->number[i]));
        gsl_rng_set(noise, j->grid->number[i] + 1);
        gsl_multifit_nlinear_workspace *w =
            gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how, c.n, 3);
        for (size_t m = 0; m < n; m++) {
            for (size_t k = 0; k < c.n; k++)
                c.rho[k] = c.range[k] + gsl_ran_gaussian(noise, j->scenario->ranging.sigma);
            error[m] = fix(w, &c);
        }
        gsl_sort(error, 1, n);
        j->p95[i] = error[(size_t)ceil(0.95 * (double)n - 1e-9) - 1];
        gsl_multifit_nlinear_free(w);
    }
    gsl_rng_free(noise);
    free(error);
}

int main(int argc, char **argv)
{
    aw_scenario scenario;
    aw_grid grid;
    bench_open(argc, argv, &scenario, &grid);
    gsl_set_error_handler_off();
    job j = {&scenario, &grid, calloc(grid.n, sizeof *j.p95)};
    if (j.p95 == NULL)
        return 3;
    const double began = bench_now();
    aw_parallel(grid.n, 4, &(aw_run){aw_processors(), NULL, NULL}, work, &j, 0);
    bench_close(argv[2], j.p95, grid.n, bench_now() - began,
                (double)grid.n * (double)scenario.study.draws);
    free(j.p95);
    aw_grid_free(&grid);
    aw_scenario_free(&scenario);
    return 0;
}
