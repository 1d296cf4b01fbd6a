/* p50 and p95 of 10 000 biased ellipses, of each and of all together: the product's lanes, and what
 * a user would write instead, plain C in double with 32 Gauss-Legendre nodes across the circle and
 * the same false position. One thread. Every figure of both sides is held against the share by 64
 * nodes in double at a ten-thousandth to either side; one that misses it ends the program. No
 * arguments.
 */
#include <gsl/gsl_integration.h>

#include "position/error_law_batch.h"
#include "bench.h"

#define CELLS  10000
#define NODES  32
#define NEAR   1e-4
#define ROUNDS 5

static double uniform(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) * 0x1p-53;
}

static void draw_ellipses(aw_error_law law[], aw_error_laws *spreads)
{
    uint64_t state = 11;
    for (size_t i = 0; i < CELLS; i++) {
        const double major = 0.05 + 0.5 * uniform(&state),
                     minor = major * (0.1 + 0.9 * uniform(&state));
        const double turn = 3.2 * uniform(&state), c = cos(turn), d = sin(turn);
        const double xx = major * major, yy = minor * minor;
        const double bx = 0.6 * (uniform(&state) - 0.5), by = 0.6 * (uniform(&state) - 0.5);
        const aw_expected e = {.status = AW_BOUND_OK,
                               .is_accurate = true,
                               .bias = {bx, by, 0},
                               .xx = xx * c * c + yy * d * d,
                               .xy = (xx - yy) * c * d,
                               .yy = xx * d * d + yy * c * c};
        law[i] = aw_error_law_of(bx, by, e.xx, e.xy, e.yy);
        aw_error_laws_set(spreads, i, &e);
    }
}

/* --- plain C --- */

/* Axes of one ellipse. */
typedef struct axes {
    double along, across, major, minor;
} axes;

static double node[NODES], weight[NODES];

static double share(const axes *e, double radius)
{
    double sum = 0;
    const double low = fmax(-radius, e->across - 6 * e->minor);
    const double high = fmin(radius, e->across + 6 * e->minor);
    for (int k = 0; high > low && k < NODES; k++) {
        const double y = (low + high) / 2 + (high - low) / 2 * node[k];
        const double v = (y - e->across) / e->minor, chord = sqrt(radius * radius - y * y);
        sum += weight[k] * exp(-v * v / 2) *
               (erf((chord - e->along) / e->major * M_SQRT1_2) +
                erf((chord + e->along) / e->major * M_SQRT1_2));
    }
    return sum * (high - low) / 2 / (2 * e->minor * sqrt(2 * M_PI));
}

static double mean_share(const axes e[], size_t n, double radius)
{
    double sum = 0;
    for (size_t i = 0; i < n; i++)
        sum += share(&e[i], radius);
    return sum / (double)n;
}

/* Percentile of n ellipses together, by false position with the Illinois rule. */
static double plain_percentile(const axes e[], size_t n, double q)
{
    double low = 0, high = 0, at_low = -q, at_high = 1 - q;
    int kept = 0;
    for (size_t i = 0; i < n; i++)
        high = fmax(high, hypot(e[i].along, e[i].across) + sqrt(-2 * log(1 - q)) * e[i].major);
    double middle = high / 3;
    while (high - low > 1e-5 * high) {
        const double f = mean_share(e, n, middle) - q;
        if (fabs(f) < 2e-6)
            return middle;
        if (f < 0) {
            low = middle;
            at_low = f;
            at_high /= kept == -1 ? 2 : 1;
            kept = -1;
        } else {
            high = middle;
            at_high = f;
            at_low /= kept == 1 ? 2 : 1;
            kept = 1;
        }
        middle = (low * at_high - high * at_low) / (at_high - at_low);
    }
    return middle;
}

/* --- both --- */

static double exact_share(const aw_error_law law[], size_t n, double radius)
{
    double sum = 0;
    for (size_t i = 0; i < n; i++)
        sum += aw_error_law_share(&law[i], radius);
    return sum / (double)n;
}

static void hold(const char *whose, const aw_error_law law[], size_t n, double radius, double q)
{
    if (exact_share(law, n, radius * (1 - NEAR)) < q &&
        q < exact_share(law, n, radius * (1 + NEAR)))
        return;
    fprintf(stderr, "%s: %.9g is further than %g from percentile %g\n", whose, radius, NEAR, q);
    exit(1);
}

/* Figures of one side: of each cell, then of all together. */
typedef struct figures {
    double each[CELLS], together, seconds_each, seconds_together;
} figures;

static void time_lanes(figures *f, const aw_error_laws *spreads, double q)
{
    const double began = bench_now();
    aw_error_laws_each(spreads, q, f->each);
    const double between = bench_now();
    f->together = aw_error_laws_percentile(spreads, q, 0);
    f->seconds_each = fmin(f->seconds_each, between - began);
    f->seconds_together = fmin(f->seconds_together, bench_now() - between);
}

static void time_plain(figures *f, const axes e[], double q)
{
    const double began = bench_now();
    for (size_t i = 0; i < CELLS; i++)
        f->each[i] = plain_percentile(&e[i], 1, q);
    const double between = bench_now();
    f->together = plain_percentile(e, CELLS, q);
    f->seconds_each = fmin(f->seconds_each, between - began);
    f->seconds_together = fmin(f->seconds_together, bench_now() - between);
}

static void find_nodes(void)
{
    gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc(NODES);
    for (size_t k = 0; k < NODES; k++)
        gsl_integration_glfixed_point(-1, 1, k, &node[k], &weight[k], table);
    gsl_integration_glfixed_table_free(table);
}

int main(void)
{
    static const double q[2] = {0.5, 0.95};
    static aw_error_law law[CELLS];
    static axes plain[CELLS];
    static figures side[2][2]; /* [q][ours, theirs] */
    aw_error_laws spreads;
    if (!aw_error_laws_create(&spreads, CELLS, 1))
        return 3;
    find_nodes();
    draw_ellipses(law, &spreads);
    for (size_t i = 0; i < CELLS; i++) {
        const double c = cos(law[i].azimuth), d = sin(law[i].azimuth), *b = law[i].bias;
        plain[i] = (axes){b[0] * c + b[1] * d, b[1] * c - b[0] * d, law[i].major, law[i].minor};
    }
    for (int k = 0; k < 2; k++)
        for (int who = 0; who < 2; who++)
            side[k][who].seconds_each = side[k][who].seconds_together = HUGE_VAL;
    for (int round = 0; round < ROUNDS; round++)
        for (int k = 0; k < 2; k++) {
            time_lanes(&side[k][0], &spreads, q[k]);
            time_plain(&side[k][1], plain, q[k]);
        }
    for (int k = 0; k < 2; k++)
        for (int who = 0; who < 2; who++) {
            const char *whose = who == 0 ? "lanes" : "plain C";
            hold(whose, law, CELLS, side[k][who].together, q[k]);
            for (size_t i = 0; i < CELLS; i++)
                hold(whose, &law[i], 1, side[k][who].each[i], q[k]);
        }
    for (int who = 0; who < 2; who++) {
        const figures *a = &side[0][who], *b = &side[1][who];
        printf("%s %.9f\n%s %.9f\n", who == 0 ? "each" : "plain_each",
               a->seconds_each + b->seconds_each, who == 0 ? "together" : "plain_together",
               a->seconds_together + b->seconds_together);
    }
    aw_error_laws_free(&spreads);
    return 0;
}
