/* The radial law of a biased elliptical normal. Across the minor axis the density is a plain
 * normal, along the major one the share inside the circle is a difference of two error functions,
 * so one quadrature across the minor axis is smooth whatever the shape. */
#include "anchorwise/bound.h"

#include <math.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_integration.h>

#include "base/plane.h"
#include "position/bracket.h"
#include "position/sums.h"

#define NODES 64
/* Beyond so many sigmas a normal density is nothing. */
#define REACH 8.5

aw_error_law aw_error_law_of(double bias_x, double bias_y, double xx, double xy, double yy)
{
    aw_error_law s = {.bias = {bias_x, bias_y}, .xx = xx, .xy = xy, .yy = yy};
    const double half = (xx + yy) / 2, gap = (xx - yy) / 2, root = sqrt(gap * gap + xy * xy);
    s.major = sqrt(half + root);
    s.minor = sqrt(fmax(half - root, 0));
    s.azimuth = root > 0 ? atan2(xy, gap) / 2 : 0;
    return s;
}

aw_error_law aw_bound_error_law(const aw_bound *bound, double height_sigma)
{
    const aw_expected e = aw_bound_expect(bound, height_sigma);
    return aw_error_law_of(e.bias[0], e.bias[1], e.xx, e.xy, e.yy);
}

/* Bias in the axes of the ellipse, and the axes kept away from 0. */
typedef struct axes {
    double a, b, major, minor;
} axes;

static axes turn(const aw_error_law *s)
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

double aw_error_law_share(const aw_error_law *spread, double radius)
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

/* The share rises with the radius. */
double aw_error_law_percentile(const aw_error_law *spread, double q)
{
    if (isnan(spread->major) || isnan(spread->bias[0]))
        return (double)NAN;
    if (spread->major == 0)
        return aw_length(spread->bias[0], spread->bias[1]);
    gsl_integration_glfixed_table *table = gsl_integration_glfixed_table_alloc(NODES);
    if (table == NULL)
        return (double)NAN;
    const axes x = turn(spread);
    aw_bracket b = {.high = aw_length(x.a, x.b) + 9 * x.major, .at_low = -q, .at_high = 1 - q};
    for (int i = 0; i < 100 && b.high - b.low > 1e-11 * b.high; i++) {
        const double middle = aw_bracket_next(&b, i % 3 == 2);
        aw_bracket_take(&b, middle, share_within(&x, table, middle) - q);
    }
    gsl_integration_glfixed_table_free(table);
    return (b.low + b.high) / 2;
}
