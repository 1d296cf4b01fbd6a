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

/* Largest and smallest eigenvalue. */
static void span2(double m[3][3], double ends[2])
{
    const double half = (m[0][0] + m[1][1]) / 2, gap = (m[0][0] - m[1][1]) / 2;
    const double bend = sqrt(gap * gap + m[0][1] * m[0][1]);
    ends[0] = half + bend;
    ends[1] = half - bend;
}

static void span3(double m[3][3], double ends[2])
{
    const double mean = (m[0][0] + m[1][1] + m[2][2]) / 3;
    double a[3][3], p = 0;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            a[i][j] = m[i][j] - (i == j ? mean : 0);
            p += a[i][j] * a[i][j];
        }
    p = sqrt(p / 6);
    ends[0] = ends[1] = mean;
    if (p < 1e-15 * fabs(mean))
        return;
    const double half = fmax(-1, fmin(1, determinant(a, 3) / (2 * p * p * p)));
    const double phi = acos(half) / 3;
    ends[0] = mean + 2 * p * cos(phi);
    ends[1] = mean + 2 * p * cos(phi + 2 * M_PI / 3);
}

double aw_symmetric_least(double m[3][3], int dims)
{
    double ends[2];
    if (dims == 2)
        span2(m, ends);
    else
        span3(m, ends);
    return ends[1];
}

double aw_symmetric_condition(double m[3][3], int dims)
{
    double ends[2], sum = m[0][0] + m[1][1];
    const double det = determinant(m, dims);
    if (dims == 2)
        span2(m, ends);
    else
        span3(m, ends);
    if (dims == 3)
        sum += m[2][2];
    const double middle = dims == 2 ? 1 : sum - ends[0] - ends[1];
    if (!(sum > 0 && det > 0 && middle > 0))
        return HUGE_VAL;
    return ends[0] == ends[1] ? 1 : ends[0] * ends[0] * middle / det;
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
