/* Eigenvalues in closed form: by the trace in two dimensions, by the cosine rule in three. The
 * smallest one is taken from the determinant, which keeps its relative precision where the closed
 * form cancels. */
#include "position/symmetric.h"

#include <math.h>

static double determinant(double m[3][3], int dims)
{
    if (dims == 2)
        return m[0][0] * m[1][1] - m[0][1] * m[0][1];
    return m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[1][2]) -
           m[0][1] * (m[0][1] * m[2][2] - m[1][2] * m[0][2]) +
           m[0][2] * (m[0][1] * m[1][2] - m[1][1] * m[0][2]);
}

static double condition2(double m[3][3])
{
    const double half = (m[0][0] + m[1][1]) / 2, gap = (m[0][0] - m[1][1]) / 2;
    const double large = half + sqrt(gap * gap + m[0][1] * m[0][1]);
    const double det = determinant(m, 2);
    return det > 0 ? large * large / det : HUGE_VAL;
}

static double condition3(double m[3][3])
{
    const double mean = (m[0][0] + m[1][1] + m[2][2]) / 3;
    double a[3][3], p = 0;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            a[i][j] = m[i][j] - (i == j ? mean : 0);
            p += a[i][j] * a[i][j];
        }
    p = sqrt(p / 6);
    if (!(mean > 0))
        return HUGE_VAL;
    if (p < 1e-15 * mean)
        return 1;
    const double half = fmax(-1, fmin(1, determinant(a, 3) / (2 * p * p * p)));
    const double phi = acos(half) / 3;
    const double large = mean + 2 * p * cos(phi), small = mean + 2 * p * cos(phi + 2 * M_PI / 3);
    const double middle = 3 * mean - large - small, det = determinant(m, 3);
    return det > 0 && middle > 0 ? large * large * middle / det : HUGE_VAL;
}

double aw_symmetric_condition(double m[3][3], int dims)
{
    const double c = dims == 2 ? condition2(m) : condition3(m);
    return c > 0 ? c : HUGE_VAL;
}

void aw_symmetric_invert(double m[3][3], int dims, double inverse[3][3])
{
    const double det = determinant(m, dims);
    double(*r)[3] = inverse;
    if (dims == 2) {
        r[0][0] = m[1][1] / det;
        r[1][1] = m[0][0] / det;
        r[0][1] = r[1][0] = -m[0][1] / det;
        r[0][2] = r[2][0] = r[1][2] = r[2][1] = r[2][2] = 0;
        return;
    }
    r[0][0] = (m[1][1] * m[2][2] - m[1][2] * m[1][2]) / det;
    r[1][1] = (m[0][0] * m[2][2] - m[0][2] * m[0][2]) / det;
    r[2][2] = (m[0][0] * m[1][1] - m[0][1] * m[0][1]) / det;
    r[0][1] = r[1][0] = (m[0][2] * m[1][2] - m[0][1] * m[2][2]) / det;
    r[0][2] = r[2][0] = (m[0][1] * m[1][2] - m[0][2] * m[1][1]) / det;
    r[1][2] = r[2][1] = (m[0][1] * m[0][2] - m[0][0] * m[1][2]) / det;
}
