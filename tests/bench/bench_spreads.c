/* p50 and p95 that 10 000 biased ellipses make together: the product's lanes, and what a user would
 * write instead, plain C in double with 32 Gauss-Legendre nodes across the circle and the same
 * false position. One thread each. Both are held against the share by 64 nodes in double at a
 * ten-thousandth to either side; a figure that misses it ends the program. No arguments. */
#include <gsl/gsl_integration.h>

#include "anchorwise/spreads.h"
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

static void draw_ellipses(aw_spread law[], aw_spreads *spreads)
{
    uint64_t state = 11;
    for (size_t i = 0; i < CELLS; i++) {
        const double major = 0.05 + 0.5 * uniform(&state),
                     minor = major * (0.1 + 0.9 * uniform(&state));
        const double turn = 3.2 * uniform(&state), c = cos(turn), d = sin(turn);
        const double xx = major * major, yy = minor * minor;
        const double bx = 0.6 * (uniform(&state) - 0.5), by = 0.6 * (uniform(&state) - 0.5);
        const aw_expected e = {.status = AW_BOUND_OK,
                               .sound = true,
                               .bias = {bx, by, 0},
                               .xx = xx * c * c + yy * d * d,
                               .xy = (xx - yy) * c * d,
                               .yy = xx * d * d + yy * c * c};
        law[i] = aw_spread_of(bx, by, e.xx, e.xy, e.yy);
        aw_spreads_set(spreads, i, &e);
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

static double mean_share(const axes e[], double radius)
{
    double sum = 0;
    for (size_t i = 0; i < CELLS; i++)
        sum += share(&e[i], radius);
    return sum / CELLS;
}

/* False position by the Illinois rule. */
static double plain_percentile(const axes e[], double q)
{
    double low = 0, high = 0, at_low = -q, at_high = 1 - q;
    int kept = 0;
    for (size_t i = 0; i < CELLS; i++)
        high = fmax(high, hypot(e[i].along, e[i].across) + sqrt(-2 * log(1 - q)) * e[i].major);
    double middle = high / 3;
    while (high - low > 1e-5 * high) {
        const double f = mean_share(e, middle) - q;
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

static double exact_share(const aw_spread law[], double radius)
{
    double sum = 0;
    for (size_t i = 0; i < CELLS; i++)
        sum += aw_spread_share(&law[i], radius);
    return sum / CELLS;
}

static void hold(const char *whose, const aw_spread law[], double radius, double q)
{
    if (exact_share(law, radius * (1 - NEAR)) < q && q < exact_share(law, radius * (1 + NEAR)))
        return;
    fprintf(stderr, "%s: %.9g is further than %g from percentile %g\n", whose, radius, NEAR, q);
    exit(1);
}

int main(void)
{
    static const double q[2] = {0.5, 0.95};
    aw_spread *law = calloc(CELLS, sizeof *law);
    axes *plain = calloc(CELLS, sizeof *plain);
    aw_spreads spreads;
    double ours = HUGE_VAL, theirs = HUGE_VAL, found[2], plainly[2];
    if (law == NULL || plain == NULL || !aw_spreads_create(&spreads, CELLS))
        return 3;
    draw_ellipses(law, &spreads);
    for (size_t i = 0; i < CELLS; i++) {
        const double c = cos(law[i].azimuth), d = sin(law[i].azimuth), *b = law[i].bias;
        plain[i] = (axes){b[0] * c + b[1] * d, b[1] * c - b[0] * d, law[i].major, law[i].minor};
    }
    gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc(NODES);
    for (size_t k = 0; k < NODES; k++)
        gsl_integration_glfixed_point(-1, 1, k, &node[k], &weight[k], table);
    gsl_integration_glfixed_table_free(table);
    for (int round = 0; round < ROUNDS; round++) {
        const double began = bench_now();
        for (int k = 0; k < 2; k++)
            found[k] = aw_spreads_percentile(&spreads, q[k], 0);
        const double between = bench_now();
        for (int k = 0; k < 2; k++)
            plainly[k] = plain_percentile(plain, q[k]);
        ours = fmin(ours, between - began);
        theirs = fmin(theirs, bench_now() - between);
    }
    for (int k = 0; k < 2; k++) {
        hold("lanes", law, found[k], q[k]);
        hold("plain C", law, plainly[k], q[k]);
    }
    printf("seconds %.9f\nplain %.9f\n", ours, theirs);
    aw_spreads_free(&spreads);
    free(plain);
    free(law);
    return 0;
}
