/* One routine sums the weighted scatter of the lines of sight; sets of weights turn it into DOP,
 * the bound, of every draw and over the fades, and what the solver reaches. */
#include "anchorwise/bound.h"

#include <math.h>

#include "position/kernel.h"
#include "position/symmetric.h"

/* Least true sigma, as a share of the believed one: a link that never errs would weigh infinitely,
 * and two of them more than the condition of the matrix allows. */
#define LEAST_SIGMA 1e-5

/* Which weight a link gets. */
typedef enum weighting { UNIT, TRUE_VARIANCE, BELIEVED, EXPECTED } weighting;

typedef struct scatter {
    double total, mean[3]; /* W and m */
    double j[3][3], inverse[3][3];
} scatter;

double aw_bound_weight(const aw_link *link)
{
    const double believed = link->believed * link->believed;
    return link->n_outcomes == 0
               ? 0
               : 1 / fmax(aw_link_variance(link), LEAST_SIGMA * LEAST_SIGMA * believed);
}

double aw_bound_expected_weight(const aw_link *link)
{
    const double received = isinf(link->lost_db) ? 1 : aw_link_expect(link).received;
    return received * aw_bound_weight(link);
}

static double weight_of(const aw_link *link, weighting by)
{
    if (link->n_outcomes == 0)
        return 0;
    switch (by) {
    case UNIT:
        return 1;
    case BELIEVED:
        return 1 / (link->believed * link->believed);
    case EXPECTED:
        return aw_bound_expected_weight(link);
    default:
        return aw_bound_weight(link);
    }
}

static void add_outer(double m[3][3], const double v[3], double weight, int dims)
{
    for (int i = 0; i < dims; i++)
        for (int j = 0; j < dims; j++)
            m[i][j] += weight * v[i] * v[j];
}

static void centre(const aw_link *link, const scatter *s, int dims, double v[3])
{
    for (int k = 0; k < dims; k++)
        v[k] = link->u[k] - s->mean[k];
}

/* False if the matrix is singular. */
static bool sum_scatter(const aw_link links[], size_t n, int dims, weighting by, scatter *s)
{
    double v[3] = {0};
    *s = (scatter){0};
    for (size_t i = 0; i < n; i++) {
        const double w = weight_of(&links[i], by);
        s->total += w;
        for (int k = 0; k < dims; k++)
            s->mean[k] += w * links[i].u[k];
    }
    for (int k = 0; k < dims; k++)
        s->mean[k] /= s->total;
    for (size_t i = 0; i < n; i++) {
        centre(&links[i], s, dims, v);
        add_outer(s->j, v, weight_of(&links[i], by), dims);
    }
    if (!(aw_symmetric_condition(s->j, dims) <= AW_CONDITION_LIMIT))
        return false;
    aw_symmetric_invert(s->j, dims, s->inverse);
    return true;
}

static void set_dop(aw_bound *b, const scatter *s, size_t used)
{
    double time = 1 / (double)used;
    for (int i = 0; i < b->dims; i++)
        for (int j = 0; j < b->dims; j++)
            time += s->mean[i] * s->inverse[i][j] * s->mean[j];
    const double plan = s->inverse[0][0] + s->inverse[1][1];
    b->hdop = sqrt(plan);
    b->tdop = sqrt(time);
    if (b->dims == 3) {
        b->vdop = sqrt(s->inverse[2][2]);
        b->pdop = sqrt(plan + s->inverse[2][2]);
    }
    b->gdop = sqrt(plan + (b->dims == 3 ? s->inverse[2][2] : 0) + time);
}

static void multiply(double m[3][3], const double v[3], double out[3])
{
    for (int i = 0; i < 3; i++)
        out[i] = m[i][0] * v[0] + m[i][1] * v[1] + m[i][2] * v[2];
}

/* C_fix, bias and height gain are all J_o^-1 times a sum over (u - m). */
static void set_fix(aw_bound *b, const aw_link links[], size_t n, scatter *s)
{
    double middle[3][3] = {{0}}, pull[3] = {0}, rise[3] = {0}, v[3] = {0};
    for (size_t i = 0; i < n; i++) {
        const double o = weight_of(&links[i], BELIEVED), late = aw_link_bias(&links[i]);
        centre(&links[i], s, b->dims, v);
        add_outer(middle, v, o * o * aw_link_variance(&links[i]), b->dims);
        for (int k = 0; k < b->dims; k++) {
            pull[k] += o * v[k] * late;
            rise[k] += o * v[k] * links[i].u[2];
        }
    }
    double half[3][3] = {{0}}, gain[3];
    for (int i = 0; i < 3; i++)
        multiply(middle, s->inverse[i], half[i]);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            b->fix[i][j] = half[i][0] * s->inverse[0][j] + half[i][1] * s->inverse[1][j] +
                           half[i][2] * s->inverse[2][j];
    multiply(s->inverse, pull, b->bias);
    multiply(s->inverse, rise, gain);
    for (int k = 0; k < 2 && b->dims == 2; k++)
        b->height_gain[k] = gain[k];
}

static aw_bound no_position(aw_bound_status status, size_t used, int dims)
{
    const double nan = (double)NAN;
    aw_bound b = {.status = status,
                  .used = used,
                  .dims = dims,
                  .hdop = nan,
                  .vdop = nan,
                  .pdop = nan,
                  .tdop = nan,
                  .gdop = nan,
                  .drms = nan};
    for (int i = 0; i < 3; i++) {
        b.bias[i] = nan;
        for (int j = 0; j < 3; j++)
            b.bound[i][j] = b.fix[i][j] = nan;
    }
    b.height_gain[0] = b.height_gain[1] = nan;
    return b;
}

aw_bound aw_bound_at(const aw_link links[], size_t n, aw_fix_kind dims)
{
    size_t used = 0;
    for (size_t i = 0; i < n; i++)
        used += links[i].n_outcomes > 0;
    aw_bound b = no_position(AW_BOUND_TOO_FEW, used, (int)dims);
    scatter unit, truth, believed;
    if (used < (size_t)dims + 1)
        return b;
    b.status = AW_BOUND_SINGULAR;
    if (!sum_scatter(links, n, b.dims, UNIT, &unit) ||
        !sum_scatter(links, n, b.dims, TRUE_VARIANCE, &truth) ||
        !sum_scatter(links, n, b.dims, BELIEVED, &believed))
        return b;
    b.status = AW_BOUND_OK;
    set_dop(&b, &unit, used);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            b.bound[i][j] = truth.inverse[i][j];
    b.drms = sqrt(truth.inverse[0][0] + truth.inverse[1][1]);
    set_fix(&b, links, n, &believed);
    return b;
}

double aw_bound_drms(const aw_link links[], size_t n, aw_fix_kind dims)
{
    scatter s;
    size_t used = 0;
    for (size_t i = 0; i < n; i++)
        used += links[i].n_outcomes > 0;
    if (used < (size_t)dims + 1 || !sum_scatter(links, n, (int)dims, EXPECTED, &s))
        return (double)NAN;
    return sqrt(s.inverse[0][0] + s.inverse[1][1]);
}

void aw_bound_batch_run(const aw_bound_batch *cells, float drms[])
{
    aw_kernel_best()->bounds(cells, drms);
}
