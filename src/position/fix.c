/* The careful solver: the list of starts, and the choice among the roots they lead to. */
#include "position/fix.h"

#include <math.h>
#include <string.h>

#include "base/plane.h"
#include "position/descent.h"

/* Roots closer than this are one root, m. */
#define SAME_ROOT  5e-3
#define LINE_RATIO 0.05
#define MOST_ROOTS 12
/* A discriminant below zero by less than this share of b^2 is of a double root; equations whose
 * pivots differ by less than a factor 1 / REGULAR are trusted; a range may be negative by
 * rounding, m. */
#define DOUBLE_ROOT 1e-9
#define REGULAR     1e-9
#define RANGE_SLACK 1e-3
/* What three anchors ask for to be solved in closed form alone: the sine of the angle between their
 * two planes, and how far the quadratic is from a double root and from a line. */
#define CLEAR_SINE  1e-2
#define CLEAR_ROOT  1e-6
#define CLEAR_SLOPE 1e-9

typedef struct roots {
    aw_root list[MOST_ROOTS];
    size_t n;
} roots;

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

/* How far outside the site a place is, m. */
static double outside_by(const aw_fix_problem *p, const double at[3])
{
    const aw_polygon *o = p->site.outline;
    if (o == NULL)
        return 0;
    const aw_point q = {p->spot[0] + at[0], p->spot[1] + at[1]};
    const double z = p->spot[2] + at[2];
    const double plan = aw_polygon_holds(o, q.x, q.y) ? 0 : aw_polygon_edge_distance(o, q);
    const double height = p->dims == 2 ? 0 : fmax(0, fmax(p->site.floor - z, z - p->site.ceiling));
    return aw_length(plan, height);
}

static bool add_root(const aw_fix_problem *p, const double start[3], double damping, bool level,
                     roots *r)
{
    aw_root found;
    if (r->n == MOST_ROOTS || !aw_descend(p, start, damping, level, &found))
        return false;
    for (size_t i = 0; i < r->n; i++) {
        const double *known = r->list[i].at;
        const double dx = found.at[0] - known[0], dy = found.at[1] - known[1];
        const double dz = found.at[2] - known[2];
        if (dx * dx + dy * dy + dz * dz < SAME_ROOT * SAME_ROOT)
            return true;
    }
    r->list[r->n++] = found;
    return true;
}

static void set_centroid(const aw_fix_problem *p, double centre[3])
{
    double total = 0;
    centre[0] = centre[1] = centre[2] = 0;
    for (size_t i = 0; i < p->n; i++) {
        total += p->weight[i];
        for (int k = 0; k < 3; k++)
            centre[k] += p->weight[i] * p->anchor[i][k];
    }
    for (int k = 0; k < 3; k++)
        centre[k] /= total;
}

bool aw_footprint_is_line(double anchor[][3], size_t n, aw_line *line)
{
    double x = 0, y = 0, xx = 0, xy = 0, yy = 0;
    for (size_t i = 0; i < n; i++) {
        x += anchor[i][0] / (double)n;
        y += anchor[i][1] / (double)n;
    }
    for (size_t i = 0; i < n; i++) {
        const double dx = anchor[i][0] - x, dy = anchor[i][1] - y;
        xx += dx * dx;
        xy += dx * dy;
        yy += dy * dy;
    }
    const double half = (xx + yy) / 2, gap = (xx - yy) / 2, bend = sqrt(gap * gap + xy * xy);
    const double large = half + bend, small = fmax(half - bend, 0);
    if (line != NULL) {
        const double angle = atan2(xy, gap) / 2;
        *line = (aw_line){x, y, -sin(angle), cos(angle), sqrt(large / (double)n)};
    }
    return small < LINE_RATIO * LINE_RATIO * large;
}

/* Starts on both sides of the line the anchors are nearest to: on one side far enough off it, on
 * the other at the mirror image of what that leads to. */
static void add_sides(const aw_fix_problem *p, double floor_z, roots *r)
{
    const size_t before = r->n;
    aw_line line;
    aw_footprint_is_line(p->anchor, p->n, &line);
    const double off = AW_SIDE_START * line.spread;
    double start[3] = {line.x + off * line.normal_x, line.y + off * line.normal_y, floor_z};
    add_root(p, start, 1e-2, true, r);
    const double *first = r->n > before ? r->list[before].at : start;
    const double over =
        2 * ((first[0] - line.x) * line.normal_x + (first[1] - line.y) * line.normal_y);
    const double mirrored[3] = {first[0] - over * line.normal_x, first[1] - over * line.normal_y,
                                first[2]};
    add_root(p, mirrored, 1e-3, false, r);
}

/* |x - a|^2 = (rho - c)^2 is linear in x, c and l = |x|^2 - c^2; its least-squares solution
 * x = base + l slope, put into l's definition, leaves a quadratic. */
typedef struct quadratic {
    double base[4], slope[4]; /* of x from the origin, then of c */
    double l[2];
    bool real;    /* not two complex roots, which were set to their common part */
    double sound; /* how far the linear equations are from singular, 0 to 1 */
} quadratic;

static void find_l(quadratic *q, int d)
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

static quadratic solve_quadratic(const aw_fix_problem *p, const double origin[3])
{
    const int d = p->dims;
    double m[4][4] = {{0}};
    quadratic q = {.real = false};
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

static void add_closed_form(const aw_fix_problem *p, const double origin[3], const quadratic *q,
                            int i, roots *r)
{
    double start[3] = {0};
    for (int k = 0; k < p->dims; k++)
        start[k] = origin[k] + q->base[k] + q->l[i] * q->slope[k];
    if (q->sound > 0 && isfinite(start[0] + start[1] + start[2]))
        add_root(p, start, 0, false, r);
}

/* A root of the squared equations solves those without squares if no range comes out negative. */
static bool has_ranges(const aw_fix_problem *p, const quadratic *q, int i)
{
    const double offset = q->base[p->dims] + q->l[i] * q->slope[p->dims];
    for (size_t k = 0; k < p->n; k++)
        if (!(p->rho[k] - offset > -RANGE_SLACK))
            return false;
    return true;
}

/* As many time differences as coordinates: the quadratic's roots leave no residual. Returns whether
 * there is one. */
static bool add_exact(const aw_fix_problem *p, const double origin[3], roots *r)
{
    const quadratic q = solve_quadratic(p, origin);
    if (!(q.sound > REGULAR))
        return false;
    for (int i = 0; i < 2; i++)
        if (q.real && has_ranges(p, &q, i))
            add_closed_form(p, origin, &q, i, r);
    return r->n > 0;
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

/* Three anchors, on the floor: the differences of the squared equations to the first are two planes
 * in x, y and the offset c. Their common line, put into the first equation, is a quadratic; where
 * it is well told its roots need no descent. From the spot, so that nothing cancels: rho^2 - |a|^2
 * is small. */
static bool add_three(const aw_fix_problem *p, roots *r)
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
    for (int i = 0; i < 2; i++) {
        const double at[3] = {base[0] + along[i] * line[0], base[1] + along[i] * line[1], 0};
        const double offset = base[2] + along[i] * line[2];
        if (p->rho[0] - offset > -RANGE_SLACK && p->rho[1] - offset > -RANGE_SLACK &&
            p->rho[2] - offset > -RANGE_SLACK && !aw_is_astray(p, at))
            r->list[r->n++] = (aw_root){{at[0], at[1], 0}, 0, offset};
    }
    return r->n > 0;
}

/* A root below the floor or above the ceiling may be the mirror of the one that is wanted. */
static void add_mirrored(const aw_fix_problem *p, double mean_z, roots *r)
{
    const size_t n = r->n;
    for (size_t i = 0; i < n && p->dims == 3 && p->site.outline != NULL; i++) {
        const double *at = r->list[i].at, z = p->spot[2] + at[2];
        if (z >= p->site.floor && z <= p->site.ceiling)
            continue;
        const double start[3] = {at[0], at[1], 2 * mean_z - at[2]};
        add_root(p, start, 1e-2, false, r);
    }
}

/* Keeps the roots inside the site, or the nearest one. */
static void keep_standing(const aw_fix_problem *p, roots *r)
{
    double off[MOST_ROOTS], least = HUGE_VAL;
    size_t kept = 0;
    for (size_t i = 0; i < r->n; i++) {
        off[i] = outside_by(p, r->list[i].at);
        least = fmin(least, off[i]);
    }
    for (size_t i = 0; i < r->n; i++)
        if (off[i] == 0 || (off[i] == least && kept == 0))
            r->list[kept++] = r->list[i];
    r->n = kept;
}

/* Whether one root lies ahead of another: further along the normal of the line that the anchors are
 * nearest to, or higher where that tells them further apart. No rounding decides it, as it would
 * which of two mirror images has the smaller sum. */
static bool is_ahead(const aw_fix_problem *p, const double one[3], const double other[3])
{
    aw_line line;
    aw_footprint_is_line(p->anchor, p->n, &line);
    const double across = (one[0] - other[0]) * line.normal_x + (one[1] - other[1]) * line.normal_y;
    const double rise = one[2] - other[2];
    return fabs(rise) > fabs(across) ? rise > 0 : across > 0;
}

static aw_fix choose(const aw_fix_problem *p, roots *r)
{
    aw_fix fix = {0};
    if (r->n > 1)
        keep_standing(p, r);
    if (r->n == 0)
        return fix;
    const aw_root *first = r->list, *second = NULL;
    for (size_t i = 1; i < r->n; i++)
        if (r->list[i].squares < first->squares)
            first = &r->list[i];
    for (size_t i = 0; i < r->n; i++)
        if (&r->list[i] != first && r->list[i].squares <= first->squares + AW_AS_GOOD &&
            (second == NULL || r->list[i].squares < second->squares))
            second = &r->list[i];
    fix.ambiguous = second != NULL;
    const bool is_other =
        second != NULL && is_ahead(p, second->at, first->at) == ((p->side & 1) == 1);
    const aw_root *chosen = is_other ? second : first;
    fix.found = true;
    memcpy(fix.at, chosen->at, sizeof fix.at);
    fix.offset = chosen->offset;
    fix.residual = chosen->squares;
    return fix;
}

aw_fix aw_fix_find(const aw_fix_problem *p)
{
    roots r = {.n = 0};
    double centre[3];
    if (p->n < (size_t)p->dims + 1 || p->n > AW_MOST_LINKS)
        return (aw_fix){0};
    set_centroid(p, centre);
    const double floor_z = p->site.floor - p->spot[2], start[3] = {centre[0], centre[1], floor_z};
    const bool exact = p->n == (size_t)p->dims + 1;
    if (exact && p->dims == 2 && add_three(p, &r))
        return choose(p, &r);
    if (exact && add_exact(p, centre, &r))
        return choose(p, &r);
    bool fixed = add_root(p, start, 0, true, &r);
    /* A root that fits this badly is not the one. */
    if (fixed && !exact)
        fixed = r.list[0].squares <= aw_implausible_squares(p->n, p->dims);
    const bool is_line = aw_footprint_is_line(p->anchor, p->n, NULL);
    if (!fixed || is_line)
        add_sides(p, floor_z, &r);
    if (!fixed || is_line || exact) {
        const quadratic q = solve_quadratic(p, centre);
        add_closed_form(p, centre, &q, 0, &r);
        add_closed_form(p, centre, &q, 1, &r);
    }
    add_mirrored(p, centre[2], &r);
    return choose(p, &r);
}
