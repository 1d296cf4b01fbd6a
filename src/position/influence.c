/* Newton on the equation of means, the offset taken out by centring; at most half a metre a step.
 */
#include "position/influence.h"

#include <math.h>

#include "base/plane.h"
#include "position/descent.h"
#include "position/robust.h"
#include "position/symmetric.h"

#define HALF    8
#define POINTS  (2 * HALF)
#define STEPS   25
#define LONG    0.5  /* m, a step at most */
#define SETTLED 1e-5 /* m */

/* Gauss and Hermite for the standard normal law: x > 0 and their negatives, and the weights of
 * either half, both halves together one. NumPy's hermegauss(16) to 17 digits; the suite holds
 * moments against exact ones. */
static const double at[POINTS] = {
    0.38676060450055738,  1.1638291005549648,  1.9519803457163334,  2.7602450476307014,
    3.6008736241715487,   4.4929553025200111,  5.4722257059493433,  6.6308781983931286,
    -0.38676060450055738, -1.1638291005549648, -1.9519803457163334, -2.7602450476307014,
    -3.6008736241715487,  -4.4929553025200111, -5.4722257059493433, -6.6308781983931286};
static const double weight[HALF] = {
    0.28656852123801202,   0.1583383727509497,    0.04728475235401406,    0.0072669376011847489,
    0.0005259849265739087, 1.530003216248732e-05, 1.3094732162868171e-07, 1.4978147231618412e-10};

/* Means over the errors of a link. */
typedef struct means {
    double psi, square, slope; /* of psi, psi^2, psi' */
} means;

/* Lateness t times the factor of its weight, at the points to either side: no branches, so that
 * the compiler takes several at a time. */
static void fill_huber(double psi[POINTS], double mu, double tau)
{
    for (int i = 0; i < POINTS; i++) {
        const double t = mu + tau * at[i];
        psi[i] = t < AW_HUBER ? t : AW_HUBER;
    }
}

static void fill_tukey(double psi[POINTS], double mu, double tau)
{
    for (int i = 0; i < POINTS; i++) {
        const double t = mu + tau * at[i], q = t * (1 / AW_TUKEY);
        const double inner = q < 1 ? q : 1, left = 1 - inner * inner, square = left * left;
        const double factor = square > AW_LEAST ? square : AW_LEAST;
        psi[i] = t * (t > 0 ? factor : 1);
    }
}

/* Adds those of a normal error, mu late and tau wide in believed sigmas. */
static void add_means(means *m, bool tukey, double mu, double tau, double share)
{
    double psi[POINTS], mean = 0, square = 0, slope = 0;
    if (tukey)
        fill_tukey(psi, mu, tau);
    else
        fill_huber(psi, mu, tau);
    for (int i = 0; i < HALF; i++) {
        const double right = psi[i], left = psi[HALF + i];
        mean += weight[i] * (right + left);
        square += weight[i] * (right * right + left * left);
        slope += weight[i] * at[i] * (right - left);
    }
    m->psi += share * mean;
    m->square += share * square;
    m->slope += share * slope / tau;
}

static means means_of(const aw_link *link, bool tukey, double mu)
{
    const double rest = aw_link_variance(link) - link->tail_share * link->tail * link->tail -
                        (1 - link->tail_share) * link->spot * link->spot;
    const double clear = sqrt(fmax(0, rest + link->spot * link->spot));
    const double tail = sqrt(fmax(0, rest + link->tail * link->tail));
    means m = {0};
    if (link->tail_share < 1)
        add_means(&m, tukey, mu, fmax(clear / link->believed, 1e-3), 1 - link->tail_share);
    if (link->tail_share > 0)
        add_means(&m, tukey, mu, fmax(tail / link->believed, 1e-3), link->tail_share);
    return m;
}

/* Sums over the links of slopes, variances and pulls, with their lines of sight. */
typedef struct sums {
    double h, hu[3], huu[3][3]; /* u_z stands third in 2d too */
    double v, vu[3], vuu[3][3];
    double p, pu[3];
    size_t used;
} sums;

static sums sum_links(const aw_link links[], size_t n, int dims, const double theta[4], bool tukey)
{
    sums s = {0};
    for (size_t i = 0; i < n; i++) {
        const aw_link *k = &links[i];
        if (k->n_outcomes == 0)
            continue;
        double late = aw_link_bias(k) - theta[3];
        for (int l = 0; l < dims; l++)
            late -= k->u[l] * theta[l];
        const means m = means_of(k, tukey, late / k->believed);
        const double o = 1 / (k->believed * k->believed), h = o * m.slope;
        const double v = o * (m.square - m.psi * m.psi), p = m.psi / k->believed;
        s.used++;
        s.h += h;
        s.v += v;
        s.p += p;
        for (int l = 0; l < 3; l++) {
            s.hu[l] += h * k->u[l];
            s.vu[l] += v * k->u[l];
            s.pu[l] += p * k->u[l];
            for (int j = 0; j < 3; j++) {
                s.huu[l][j] += h * k->u[l] * k->u[j];
                s.vuu[l][j] += v * k->u[l] * k->u[j];
            }
        }
    }
    return s;
}

/* Inverse of the centred sum of slopes; false where the equation is no ground for a step. */
static bool invert(const sums *s, int dims, double inverse[3][3])
{
    double j[3][3] = {{0}};
    if (!(s->h > 0))
        return false;
    for (int k = 0; k < dims; k++)
        for (int l = 0; l < dims; l++)
            j[k][l] = s->huu[k][l] - s->hu[k] * s->hu[l] / s->h;
    if (!(aw_symmetric_condition(j, dims) < AW_CONDITION_LIMIT))
        return false;
    aw_symmetric_invert(j, dims, inverse);
    return true;
}

/* Goes to the root of the means; false if it does not arrive. */
static bool find_root(const aw_link links[], size_t n, int dims, bool tukey, double theta[4])
{
    for (int i = 0; i < STEPS; i++) {
        const sums s = sum_links(links, n, dims, theta, tukey);
        double inverse[3][3], step[3] = {0}, square = 0;
        if (!invert(&s, dims, inverse))
            return false;
        for (int k = 0; k < dims; k++) {
            for (int l = 0; l < dims; l++)
                step[k] += inverse[k][l] * (s.pu[l] - s.hu[l] * s.p / s.h);
            square += step[k] * step[k];
        }
        const double length = sqrt(square), held = length > LONG ? LONG / length : 1;
        double offset = s.p / s.h;
        for (int k = 0; k < dims; k++) {
            theta[k] += held * step[k];
            offset -= held * step[k] * s.hu[k] / s.h;
        }
        theta[3] += fmax(-LONG, fmin(LONG, offset));
        if (length < SETTLED && fabs(offset) < SETTLED)
            return true;
    }
    return false;
}

aw_error_law aw_robust_error_law(const aw_link links[], size_t n, aw_fix_kind kind,
                                 double height_sigma)
{
    const int dims = kind == AW_FIX_3D ? 3 : 2;
    const double nan = (double)NAN;
    double theta[4] = {0}, inverse[3][3], middle[3][3] = {{0}}, c[2][2], gain[2] = {0};
    const bool found =
        find_root(links, n, dims, false, theta) && find_root(links, n, dims, true, theta);
    const sums s = sum_links(links, n, dims, theta, true);
    if (!found || s.used < (size_t)dims + 1 || !invert(&s, dims, inverse))
        return aw_error_law_of(nan, nan, nan, nan, nan);
    for (int k = 0; k < dims; k++)
        for (int l = 0; l < dims; l++) {
            const double mk = s.hu[k] / s.h, ml = s.hu[l] / s.h;
            middle[k][l] = s.vuu[k][l] - mk * s.vu[l] - ml * s.vu[k] + mk * ml * s.v;
        }
    for (int k = 0; k < 2; k++)
        for (int l = 0; l < 2; l++) {
            c[k][l] = 0;
            for (int i = 0; i < dims; i++)
                for (int j = 0; j < dims; j++)
                    c[k][l] += inverse[k][i] * middle[i][j] * inverse[j][l];
        }
    for (int k = 0; k < 2 && dims == 2; k++)
        for (int l = 0; l < 2; l++)
            gain[k] += inverse[k][l] * (s.huu[l][2] - s.hu[l] * s.hu[2] / s.h) * height_sigma;
    return aw_error_law_of(theta[0], theta[1], c[0][0] + gain[0] * gain[0],
                           c[0][1] + gain[0] * gain[1], c[1][1] + gain[1] * gain[1]);
}

/* Length of the bias of links that are still: by the robust law, or by the plain one. */
static double bias_of(const aw_link links[], size_t n, aw_fix_kind dims)
{
    const aw_error_law law = aw_robust_error_law(links, n, dims, 0);
    if (!isnan(law.xx))
        return aw_length(law.bias[0], law.bias[1]);
    const aw_bound b = aw_bound_at(links, n, dims);
    return aw_length(b.bias[0], b.bias[1]);
}

double aw_robust_states_bias(const aw_link links[], size_t n, size_t n_states, aw_fix_kind dims,
                             uint64_t seed, uint32_t cell)
{
    aw_link still[AW_MOST_LINKS];
    aw_link_state_draw draws[AW_MOST_LINKS][AW_MOST_STATES];
    double bias = 0, with = 0;
    for (size_t i = 0; i < n; i++)
        if (aw_link_varies(&links[i]))
            aw_states_draw(seed, cell, links[i].key, n_states, draws[i]);
    for (size_t state = 0; state < n_states; state++) {
        for (size_t i = 0; i < n; i++)
            still[i] = aw_link_varies(&links[i]) ? aw_link_in_state(&links[i], &draws[i][state])
                                                 : links[i];
        const double length = bias_of(still, n, dims);
        if (isnan(length))
            continue;
        bias += length;
        with++;
    }
    return bias / with;
}
