/* Squared, the equations of a fix are linear but for one unknown, which a quadratic gives. */
#include "position/closed_form.h"

#include <math.h>

/* A discriminant below zero by less than this share of b^2 is of a double root; a range may be
 * negative by rounding, m. */
#define DOUBLE_ROOT 1e-9
#define RANGE_SLACK 1e-3
/* What three anchors ask for to be solved in closed form alone: the sine of the angle between their
 * two planes, and how far the quadratic is from a double root and from a line. */
#define CLEAR_SINE  1e-2
#define CLEAR_ROOT  1e-6
#define CLEAR_SLOPE 1e-9

/* Solves m s = b for up to 4 unknowns and two right sides by elimination with pivoting. Returns the
 * smallest pivot as a share of the largest, 0 if singular. */
static double eliminate(double m[4][4], double *const b[2], int n)
{
    double least = HUGE_VAL, most = 0;
    for (int c = 0; c < n; c++) {
        int pivot = c;
        for (int i = c + 1; i < n; i++)
            if (fabs(m[i][c]) > fabs(m[pivot][c]))
                pivot = i;
        if (!(fabs(m[pivot][c]) > 1e-300))
            return 0;
        least = fmin(least, fabs(m[pivot][c]));
        most = fmax(most, fabs(m[pivot][c]));
        for (int k = 0; k < n; k++) {
            const double swap = m[c][k];
            m[c][k] = m[pivot][k];
            m[pivot][k] = swap;
        }
        for (int side = 0; side < 2; side++) {
            const double swap = b[side][c];
            b[side][c] = b[side][pivot];
            b[side][pivot] = swap;
        }
        for (int i = c + 1; i < n; i++) {
            const double f = m[i][c] / m[c][c];
            for (int k = c; k < n; k++)
                m[i][k] -= f * m[c][k];
            for (int side = 0; side < 2; side++)
                b[side][i] -= f * b[side][c];
        }
    }
    for (int i = n - 1; i >= 0; i--)
        for (int side = 0; side < 2; side++) {
            for (int k = i + 1; k < n; k++)
                b[side][i] -= m[i][k] * b[side][k];
            b[side][i] /= m[i][i];
        }
    return least / most;
}

static void find_l(aw_quadratic *q, int d)
{
    double a = -q->slope[d] * q->slope[d], b = -2 * q->base[d] * q->slope[d] - 1;
    double c = -q->base[d] * q->base[d];
    for (int k = 0; k < d; k++) {
        a += q->slope[k] * q->slope[k];
        b += 2 * q->base[k] * q->slope[k];
        c += q->base[k] * q->base[k];
    }
    const double squared = b * b - 4 * a * c;
    const double half = -(b + copysign(sqrt(fmax(squared, 0)), b)) / 2;
    q->real = squared > -DOUBLE_ROOT * b * b;
    q->l[0] = half / a;
    q->l[1] = c / half;
}

aw_quadratic aw_quadratic_of(const aw_fix_problem *p, const double origin[3])
{
    const int d = p->dims;
    double m[4][4] = {{0}};
    aw_quadratic q = {.real = false};
    for (size_t i = 0; i < p->n; i++) {
        double row[4], right = -p->rho[i] * p->rho[i];
        for (int k = 0; k < 3; k++) {
            const double a = p->anchor[i][k] - (k < d ? origin[k] : 0);
            right += a * a;
            row[k] = a;
        }
        row[d] = -p->rho[i];
        for (int k = 0; k <= d; k++) {
            q.base[k] += p->weight[i] * row[k] * right / 2;
            q.slope[k] += p->weight[i] * row[k] / 2;
            for (int l = 0; l <= d; l++)
                m[k][l] += p->weight[i] * row[k] * row[l];
        }
    }
    q.sound = eliminate(m, (double *const[2]){q.base, q.slope}, d + 1);
    if (q.sound > 0)
        find_l(&q, d);
    return q;
}

bool aw_quadratic_has_ranges(const aw_fix_problem *p, const aw_quadratic *q, int i)
{
    const double offset = q->base[p->dims] + q->l[i] * q->slope[p->dims];
    for (size_t k = 0; k < p->n; k++)
        if (!(p->rho[k] - offset > -RANGE_SLACK))
            return false;
    return true;
}

/* x . x' - c c' of two triples (x, y, c). */
static double form(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] - a[2] * b[2];
}

static double dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

static void cross(const double a[3], const double b[3], double out[3])
{
    for (int k = 0; k < 3; k++)
        out[k] = a[(k + 1) % 3] * b[(k + 2) % 3] - a[(k + 2) % 3] * b[(k + 1) % 3];
}

/* The differences of the squared equations to the first are two planes in x, y and the offset c.
 * Their common line, put into the first equation, is a quadratic. From the spot, so that nothing
 * cancels: rho^2 - |a|^2 is small. */
bool aw_three_roots(const aw_fix_problem *p, aw_root found[2], size_t *n)
{
    const double first[3] = {p->anchor[0][0], p->anchor[0][1], p->rho[0]};
    double row[3][3], s[3], line[3], side[2][3], base[3];
    for (int i = 0; i < 3; i++) {
        const double *a = p->anchor[i], range = sqrt(dot(a, a));
        s[i] = (p->rho[i] - range) * (p->rho[i] + range);
        for (int k = 0; k < 3; k++)
            row[i][k] = k < 2 ? a[k] - first[k] : first[k] - p->rho[i];
    }
    cross(row[1], row[2], line);
    const double sine2 = dot(line, line);
    if (!(sine2 > CLEAR_SINE * CLEAR_SINE * dot(row[1], row[1]) * dot(row[2], row[2])))
        return false;
    cross(row[2], line, side[0]);
    cross(line, row[1], side[1]);
    for (int k = 0; k < 3; k++)
        base[k] = ((s[0] - s[1]) * side[0][k] + (s[0] - s[2]) * side[1][k]) / (2 * sine2);
    const double a = form(line, line), b = form(base, line) - form(first, line);
    const double c = form(base, base) - 2 * form(first, base) - s[0], squared = b * b - a * c;
    if (!(squared > CLEAR_ROOT * b * b) || !(fabs(a) > CLEAR_SLOPE * sine2))
        return false;
    const double half = -(b + copysign(sqrt(squared), b)), along[2] = {half / a, c / half};
    bool is_root = false;
    *n = 0;
    for (int i = 0; i < 2; i++) {
        const double at[3] = {base[0] + along[i] * line[0], base[1] + along[i] * line[1], 0};
        const double offset = base[2] + along[i] * line[2];
        if (!(p->rho[0] - offset > -RANGE_SLACK && p->rho[1] - offset > -RANGE_SLACK &&
              p->rho[2] - offset > -RANGE_SLACK))
            continue;
        is_root = true;
        if (!aw_is_astray(p, at))
            found[(*n)++] = (aw_root){{at[0], at[1], 0}, 0, offset};
    }
    return is_root;
}
