/* The radial law of a biased elliptical normal. Across the minor axis the density is a plain
 * normal, along the major one the share inside the circle is a difference of two error functions,
 * so one quadrature across the minor axis is smooth whatever the shape. */
#include "anchorwise/bound.h"

#include <math.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_integration.h>

#include "base/plane.h"

#define NODES 64
/* Beyond so many sigmas a normal density is nothing. */
#define REACH 8.5

aw_spread aw_spread_of(double bias_x, double bias_y, double xx, double xy, double yy)
{
    aw_spread s = {.bias = {bias_x, bias_y}, .xx = xx, .xy = xy, .yy = yy};
    const double half = (xx + yy) / 2, gap = (xx - yy) / 2, root = sqrt(gap * gap + xy * xy);
    s.major = sqrt(half + root);
    s.minor = sqrt(fmax(half - root, 0));
    s.azimuth = root > 0 ? atan2(xy, gap) / 2 : 0;
    return s;
}

aw_spread aw_bound_spread(const aw_bound *bound, double height_sigma)
{
    const double *k = bound->height_gain, h = bound->dims == 2 ? height_sigma * height_sigma : 0;
    const double kx = bound->dims == 2 ? k[0] : 0, ky = bound->dims == 2 ? k[1] : 0;
    return aw_spread_of(bound->bias[0], bound->bias[1], bound->fix[0][0] + h * kx * kx,
                        bound->fix[0][1] + h * kx * ky, bound->fix[1][1] + h * ky * ky);
}

/* Bias in the axes of the ellipse, and the axes kept away from 0. */
typedef struct axes {
    double a, b, major, minor;
} axes;

static axes turn(const aw_spread *s)
{
    const double c = cos(s->azimuth), d = sin(s->azimuth), least = 1e-9 * fmax(s->major, 1e-300);
    return (axes){s->bias[0] * c + s->bias[1] * d, s->bias[1] * c - s->bias[0] * d,
                  fmax(s->major, least), fmax(s->minor, least)};
}

static double share_within(const axes *x, const gsl_integration_glfixed_table *table, double radius)
{
    const double low = fmax(-1, fmin(1, (x->b - REACH * x->minor) / radius));
    const double high = fmax(-1, fmin(1, (x->b + REACH * x->minor) / radius));
    const double from = asin(low), to = asin(high);
    double sum = 0;
    for (size_t i = 0; i < NODES; i++) {
        double angle, weight;
        gsl_integration_glfixed_point(from, to, i, &angle, &weight, table);
        const double across = radius * sin(angle), along = radius * cos(angle);
        const double v = (across - x->b) / x->minor;
        const double inside = (erfc((-along - x->a) / x->major * M_SQRT1_2) -
                               erfc((along - x->a) / x->major * M_SQRT1_2)) /
                              2;
        sum += weight * along * exp(-v * v / 2) * inside;
    }
    return fmax(0, fmin(1, sum / (x->minor * sqrt(2 * M_PI))));
}

double aw_spread_share(const aw_spread *spread, double radius)
{
    if (isnan(spread->major) || isnan(spread->bias[0]) || isnan(radius))
        return (double)NAN;
    if (spread->major == 0)
        return aw_length(spread->bias[0], spread->bias[1]) <= radius;
    if (radius <= 0)
        return 0;
    gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc(NODES);
    const axes x = turn(spread);
    const double share = table ? share_within(&x, table, radius) : (double)NAN;
    if (table)
        gsl_integration_glfixed_table_free(table);
    return share;
}

/* Regula falsi with halving (the Illinois rule): the share rises with the radius. */
double aw_spread_percentile(const aw_spread *spread, double q)
{
    if (isnan(spread->major) || isnan(spread->bias[0]))
        return (double)NAN;
    if (spread->major == 0)
        return aw_length(spread->bias[0], spread->bias[1]);
    gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc(NODES);
    if (table == NULL)
        return (double)NAN;
    const axes x = turn(spread);
    double low = 0, high = aw_length(x.a, x.b) + 9 * x.major, flow = -q, fhigh = 1 - q;
    int kept = 0;
    for (int i = 0; i < 100 && high - low > 1e-11 * high; i++) {
        double middle =
            i % 3 == 2 ? (low + high) / 2 : (low * fhigh - high * flow) / (fhigh - flow);
        const double f = share_within(&x, table, middle) - q;
        if (f == 0) {
            low = high = middle;
        } else if (f < 0) {
            low = middle;
            flow = f;
            fhigh = kept == -1 ? fhigh / 2 : fhigh;
            kept = -1;
        } else {
            high = middle;
            fhigh = f;
            flow = kept == 1 ? flow / 2 : flow;
            kept = 1;
        }
    }
    gsl_integration_glfixed_table_free(table);
    return (low + high) / 2;
}
