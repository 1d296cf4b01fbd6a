/* The careful solver, in double precision: a damped descent from one start, the list of starts, and
 * the choice among the roots they lead to. */
#include "anchorwise/fix.h"

#include <math.h>
#include <string.h>

#include "base/plane.h"
#include "position/symmetric.h"

#include "anchorwise/bound.h"

#define MOST_LINKS 1024
#define ITERATIONS 25
#define SETTLED    1e-4
/* A descent may overshoot at first; later one that is astray is given up. */
#define FREE_STEPS 4
/* Roots closer than this are one root, m. */
#define SAME_ROOT 5e-3
/* Weighted sums of squares within this of the least are as good as it. */
#define AS_GOOD    4.0
#define LINE_RATIO 0.05
#define MOST_ROOTS 12

typedef struct normal_equations {
    double j[3][3], g[3]; /* scatter of the lines of sight, and pull of the residuals */
    double squares, offset;
} normal_equations;

typedef struct root {
    double at[3], squares, offset;
} root;

typedef struct roots {
    root list[MOST_ROOTS];
    size_t n;
} roots;

/* Lines of sight and residuals at x, and what the offset takes out of both. */
static void sight_lines(const aw_fix_problem *p, const double x[3], double u[3][MOST_LINKS],
                        double r[MOST_LINKS], double mean[3], double *offset)
{
    double total = 0, late = 0;
    mean[0] = mean[1] = mean[2] = 0;
    for (size_t i = 0; i < p->n; i++) {
        const double *a = p->anchor[i], w = p->weight[i];
        const double dx = x[0] - a[0], dy = x[1] - a[1], dz = x[2] - a[2];
        const double range = sqrt(dx * dx + dy * dy + dz * dz);
        const double inverse = range > 0 ? 1 / range : 0;
        r[i] = p->rho[i] - range;
        u[0][i] = dx * inverse;
        u[1][i] = dy * inverse;
        u[2][i] = p->dims == 3 ? dz * inverse : 0;
        total += w;
        late += w * r[i];
        for (int k = 0; k < 3; k++)
            mean[k] += w * u[k][i];
    }
    for (int k = 0; k < 3; k++)
        mean[k] /= total;
    *offset = late / total;
}

/* Two passes, so that what the offset takes out is not lost to rounding. */
static void sum_equations(const aw_fix_problem *p, const double x[3], normal_equations *e)
{
    double u[3][MOST_LINKS], r[MOST_LINKS], mean[3];
    memset(e, 0, sizeof *e);
    sight_lines(p, x, u, r, mean, &e->offset);
    for (size_t i = 0; i < p->n; i++) {
        const double w = p->weight[i], d = r[i] - e->offset;
        const double v[3] = {u[0][i] - mean[0], u[1][i] - mean[1], u[2][i] - mean[2]};
        e->squares += w * d * d;
        for (int k = 0; k < 3; k++) {
            e->g[k] += w * v[k] * d;
            for (int l = k; l < 3; l++)
                e->j[k][l] += w * v[k] * v[l];
        }
    }
    e->j[1][0] = e->j[0][1];
    e->j[2][0] = e->j[0][2];
    e->j[2][1] = e->j[1][2];
}

/* Solves m s = b for up to 4 unknowns by elimination with pivoting; false if singular. */
static bool eliminate(double m[4][4], double b[4], int n)
{
    for (int c = 0; c < n; c++) {
        int pivot = c;
        for (int i = c + 1; i < n; i++)
            if (fabs(m[i][c]) > fabs(m[pivot][c]))
                pivot = i;
        if (!(fabs(m[pivot][c]) > 1e-300))
            return false;
        for (int k = 0; k < n; k++) {
            const double swap = m[c][k];
            m[c][k] = m[pivot][k];
            m[pivot][k] = swap;
        }
        const double swap = b[c];
        b[c] = b[pivot];
        b[pivot] = swap;
        for (int i = c + 1; i < n; i++) {
            const double f = m[i][c] / m[c][c];
            for (int k = c; k < n; k++)
                m[i][k] -= f * m[c][k];
            b[i] -= f * b[c];
        }
    }
    for (int i = n - 1; i >= 0; i--) {
        for (int k = i + 1; k < n; k++)
            b[i] -= m[i][k] * b[k];
        b[i] /= m[i][i];
    }
    return true;
}

/* Step of the damped equations; Marquardt's scaling by the diagonal. */
static bool damped_step(const normal_equations *e, int dims, double damping, double s[3])
{
    double m[3][3], inverse[3][3];
    memcpy(m, e->j, sizeof m);
    for (int k = 0; k < dims; k++)
        m[k][k] *= 1 + damping;
    aw_symmetric_invert(m, dims, inverse);
    for (int k = 0; k < dims; k++)
        s[k] = inverse[k][0] * e->g[0] + inverse[k][1] * e->g[1] + inverse[k][2] * e->g[2];
    return isfinite(s[0] + s[1] + s[2]);
}

static double length(const double s[3])
{
    return sqrt(s[0] * s[0] + s[1] * s[1] + s[2] * s[2]);
}

/* Tries steps of rising damping until one does not raise the sum; false if none does. */
static bool take_step(const aw_fix_problem *p, double x[3], normal_equations *e, double *damping,
                      double *moved)
{
    for (int tries = 0; tries < 16; tries++) {
        double s[3] = {0}, next[3];
        normal_equations ahead;
        if (damped_step(e, p->dims, *damping, s)) {
            for (int k = 0; k < 3; k++)
                next[k] = x[k] + s[k];
            sum_equations(p, next, &ahead);
            *moved = length(s);
            if (ahead.squares <= e->squares * (1 + 1e-10)) {
                memcpy(x, next, sizeof next);
                *e = ahead;
                *damping = *damping > 1e-6 ? *damping / 10 : 0;
                return true;
            }
        }
        *damping = *damping > 0 ? *damping * 10 : 1e-3;
    }
    return false;
}

/* A fix beyond the site's box grown by its diagonal, or its heights grown likewise, is no fix. */
static bool is_astray(const aw_fix_problem *p, const double at[3])
{
    const aw_polygon *o = p->site.outline;
    if (o == NULL)
        return false;
    const double reach = hypot(o->high.x - o->low.x, o->high.y - o->low.y);
    const double x = p->spot[0] + at[0], y = p->spot[1] + at[1], z = p->spot[2] + at[2];
    return x < o->low.x - reach || x > o->high.x + reach || y < o->low.y - reach ||
           y > o->high.y + reach ||
           (p->dims == 3 && (z < -p->site.ceiling || z > 2 * p->site.ceiling));
}

/* The root that a start leads to; false if it does not converge to a regular one. */
static bool descend(const aw_fix_problem *p, const double start[3], double damping, root *found)
{
    double x[3] = {start[0], start[1], p->dims == 3 ? start[2] : 0};
    normal_equations e;
    bool settled = false;
    sum_equations(p, x, &e);
    for (int i = 0; i < ITERATIONS && !settled; i++) {
        double moved = HUGE_VAL;
        const bool gentle = damping <= 1e-3;
        const bool stepped = take_step(p, x, &e, &damping, &moved);
        settled = moved < SETTLED && (gentle || !stepped);
        if (!stepped || (i >= FREE_STEPS && is_astray(p, x)))
            break;
    }
    if (!settled || !(aw_symmetric_condition(e.j, p->dims) <= AW_CONDITION_LIMIT))
        return false;
    memcpy(found->at, x, sizeof x);
    found->squares = e.squares;
    found->offset = e.offset;
    return true;
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
    const double height = p->dims == 2 ? 0 : fmax(0, fmax(-z, z - p->site.ceiling));
    return hypot(plan, height);
}

static bool add_root(const aw_fix_problem *p, const double start[3], double damping, roots *r)
{
    root found;
    if (r->n == MOST_ROOTS || !descend(p, start, damping, &found) || is_astray(p, found.at))
        return false;
    for (size_t i = 0; i < r->n; i++) {
        const double apart[3] = {found.at[0] - r->list[i].at[0], found.at[1] - r->list[i].at[1],
                                 found.at[2] - r->list[i].at[2]};
        if (length(apart) < SAME_ROOT)
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

/* Starts on both sides of the line the anchors are nearest to. */
static void add_sides(const aw_fix_problem *p, const aw_line *line, double floor_z, roots *r)
{
    for (int side = -1; side <= 1; side += 2) {
        const double off = 0.5 * side * line->spread;
        const double start[3] = {line->x + off * line->normal_x, line->y + off * line->normal_y,
                                 floor_z};
        add_root(p, start, 1e-2, r);
    }
}

/* |x - a|^2 = (rho - c)^2 is linear in x, c and l = |x|^2 - c^2; its least-squares solution
 * x = base + l slope, put into l's definition, leaves a quadratic. */
static bool solve_quadratic(const aw_fix_problem *p, const double origin[3], double base[4],
                            double slope[4], double root_of[2])
{
    const int d = p->dims;
    double m[4][4] = {{0}}, copy[4][4];
    memset(base, 0, 4 * sizeof *base);
    memset(slope, 0, 4 * sizeof *slope);
    for (size_t i = 0; i < p->n; i++) {
        double row[4], right = -p->rho[i] * p->rho[i];
        for (int k = 0; k < 3; k++) {
            const double a = p->anchor[i][k] - (k < d ? origin[k] : 0);
            right += a * a;
            row[k] = a;
        }
        row[d] = -p->rho[i];
        for (int k = 0; k <= d; k++) {
            base[k] += p->weight[i] * row[k] * right / 2;
            slope[k] += p->weight[i] * row[k] / 2;
            for (int l = 0; l <= d; l++)
                m[k][l] += p->weight[i] * row[k] * row[l];
        }
    }
    memcpy(copy, m, sizeof m);
    if (!eliminate(m, base, d + 1) || !eliminate(copy, slope, d + 1))
        return false;
    double a = -slope[d] * slope[d], b = -2 * base[d] * slope[d] - 1, c = -base[d] * base[d];
    for (int k = 0; k < d; k++) {
        a += slope[k] * slope[k];
        b += 2 * base[k] * slope[k];
        c += base[k] * base[k];
    }
    const double q = -(b + copysign(sqrt(fmax(b * b - 4 * a * c, 0)), b)) / 2;
    root_of[0] = q / a;
    root_of[1] = c / q;
    return true;
}

static void add_closed_form(const aw_fix_problem *p, const double centre[3], roots *r)
{
    double base[4], slope[4], l[2];
    if (!solve_quadratic(p, centre, base, slope, l))
        return;
    for (int i = 0; i < 2; i++) {
        double start[3] = {0};
        for (int k = 0; k < p->dims; k++)
            start[k] = centre[k] + base[k] + l[i] * slope[k];
        if (isfinite(start[0] + start[1] + start[2]))
            add_root(p, start, 0, r);
    }
}

/* A root below the floor or above the ceiling may be the mirror of the one that is wanted. */
static void add_mirrored(const aw_fix_problem *p, double mean_z, roots *r)
{
    const size_t n = r->n;
    for (size_t i = 0; i < n && p->dims == 3 && p->site.outline != NULL; i++) {
        const double *at = r->list[i].at, z = p->spot[2] + at[2];
        if (z >= 0 && z <= p->site.ceiling)
            continue;
        const double start[3] = {at[0], at[1], 2 * mean_z - at[2]};
        add_root(p, start, 1e-2, r);
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

static aw_fix choose(const aw_fix_problem *p, roots *r)
{
    aw_fix fix = {0};
    if (r->n > 1)
        keep_standing(p, r);
    if (r->n == 0)
        return fix;
    size_t first = 0, second = r->n;
    for (size_t i = 1; i < r->n; i++)
        if (r->list[i].squares < r->list[first].squares)
            first = i;
    for (size_t i = 0; i < r->n; i++)
        if (i != first && r->list[i].squares <= r->list[first].squares + AS_GOOD &&
            (second == r->n || r->list[i].squares < r->list[second].squares))
            second = i;
    fix.ambiguous = second < r->n;
    const root *chosen = &r->list[fix.ambiguous && (p->side & 1) ? second : first];
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
    aw_line line;
    if (p->n < (size_t)p->dims + 1 || p->n > MOST_LINKS)
        return (aw_fix){0};
    set_centroid(p, centre);
    const double floor_z = -p->spot[2], start[3] = {centre[0], centre[1], floor_z};
    const bool fixed = add_root(p, start, 0, &r);
    const bool is_line = aw_footprint_is_line(p->anchor, p->n, &line);
    if (!fixed || is_line || p->n == (size_t)p->dims + 1) {
        if (!fixed || is_line)
            add_sides(p, &line, floor_z, &r);
        add_closed_form(p, centre, &r);
    }
    add_mirrored(p, centre[2], &r);
    return choose(p, &r);
}
