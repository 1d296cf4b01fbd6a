/* J(v) = -10 lg(((1 - C - S)^2 + (C - S)^2) / 4). */
#include "radio/diffraction.h"

#include <math.h>

/* From here on the asymptotic series is good to 1e-5 of its value, up to here the other to 1e-9. */
#define FAR 3.0

/* C(v) and S(v) by their power series (Abramowitz and Stegun, 7.3.11 and 7.3.13). */
static void fresnel(double v, double *c, double *s)
{
    const double x = M_PI / 2 * v * v;
    double term = v;
    *c = *s = 0;
    for (int n = 0; n < 100 && fabs(term) > 1e-17; n++) {
        const double part = term / (2 * n + 1);
        *(n % 2 == 0 ? c : s) += n / 2 % 2 == 0 ? part : -part;
        term *= x / (n + 1);
    }
}

/* With the auxiliary functions f and g (7.3.9, 7.3.10, 7.3.27, 7.3.28) the sum of squares is
 * 2 (f^2 + g^2). */
static double far_loss(double v)
{
    const double x = M_PI * v * v, y = 1 / (x * x);
    const double f = (1 - 3 * y * (1 - 35 * y * (1 - 99 * y))) / (M_PI * v);
    const double g = (1 - 15 * y * (1 - 63 * y * (1 - 143 * y))) / (M_PI * v * x);
    return -10 * log10((f * f + g * g) / 2);
}

double aw_edge_loss(double v)
{
    double c, s;
    if (v >= FAR)
        return far_loss(v);
    fresnel(v, &c, &s);
    return -10 * log10(((1 - c - s) * (1 - c - s) + (c - s) * (c - s)) / 4);
}

double aw_edge_v(double detour, double wavelength)
{
    return 2 * sqrt(detour / wavelength);
}
