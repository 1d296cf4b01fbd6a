/* Quadrature on turned contours: with the distance from each edge taken along e^(-j pi/4) the
 * Fresnel kernel between two edges is a real Gaussian, and what is summed falls off without
 * turning. The sum goes from edge to edge. */
#include "radio/edge_integral.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>

#include "radio/diffraction.h"

/* Beyond a sum of exponents this much larger than the least nothing counts. */
#define REACH 8
/* Exponents beyond which a kernel is nothing. */
#define NOTHING 16
/* Newton's steps towards a reach, and how exact it has to be: a share of it. */
#define STEPS   12
#define ROUGHLY 0.02

/* Numbers of nodes at hand. */
static const size_t orders[] = {8, 9, 10, 11, 12, 14, 16, 20, 24, 28, 32, 40, 48, 64};
#define ORDERS (sizeof orders / sizeof *orders)
#define MOST   64

typedef struct rule {
    double at[MOST], weight[MOST];
} rule;

struct aw_edge_rules {
    rule of[ORDERS];
};

/* A node and its weight on [-1, 1], by Newton's steps on Legendre's polynomial from the usual guess
 * (Abramowitz and Stegun, 22.16.6 and 25.4.29). The radio leans on the C library alone. */
static void place_node(size_t n, size_t i, double *at, double *weight)
{
    double x = cos(M_PI * ((double)i + 0.75) / ((double)n + 0.5)), slope = 0;
    for (int step = 0; step < 6; step++) {
        double last = 1, now = x;
        for (size_t k = 2; k <= n; k++) {
            const double next =
                ((2 * (double)k - 1) * x * now - ((double)k - 1) * last) / (double)k;
            last = now;
            now = next;
        }
        slope = (double)n * (x * now - last) / (x * x - 1);
        x -= now / slope;
    }
    *at = x;
    *weight = 2 / ((1 - x * x) * slope * slope);
}

const aw_edge_rules *aw_edge_rules_create(aw_arena *arena)
{
    aw_edge_rules *rules = aw_arena_take(arena, sizeof *rules);
    for (size_t k = 0; rules != NULL && k < ORDERS; k++)
        for (size_t i = 0; i < orders[k]; i++) {
            double at, weight;
            place_node(orders[k], i, &at, &weight);
            const double t = (1 - at) / 2;
            rules->of[k].at[i] = t * t;
            rules->of[k].weight[i] = t * weight;
        }
    return rules;
}

/* --- How far out an edge's contour has to go --- */

/* phi(x) = g x + x M x / 2, the exponent of what is summed, x >= 0; M has three diagonals. */
typedef struct form {
    size_t n;
    double g[AW_EDGES_MOST], main[AW_EDGES_MOST], next[AW_EDGES_MOST];
} form;

static form form_of(const aw_edge_row *row, double k)
{
    form f = {.n = row->n};
    for (size_t i = 0; i < row->n; i++) {
        f.g[i] = k * row->bend[i] * M_SQRT1_2;
        f.main[i] = k * (1 / row->leg[i] + 1 / row->leg[i + 1]);
        f.next[i] = i + 1 < row->n ? -k * row->side[i] * row->side[i + 1] / row->leg[i + 1] : 0;
    }
    return f;
}

static double slope_of(const form *f, const double x[], size_t i)
{
    double slope = f->g[i] + f->main[i] * x[i];
    if (i > 0)
        slope += f->next[i - 1] * x[i - 1];
    if (i + 1 < f->n)
        slope += f->next[i] * x[i + 1];
    return slope;
}

static double value_of(const form *f, const double x[])
{
    double value = 0;
    for (size_t i = 0; i < f->n; i++)
        value += x[i] * (f->g[i] + slope_of(f, x, i)) / 2;
    return value;
}

/* Least over those that are free; the rest stay where they are. */
static void settle(const form *f, const bool is_free[], double x[])
{
    double main[AW_EDGES_MOST], right[AW_EDGES_MOST];
    for (size_t i = 0; i < f->n; i++) {
        main[i] = is_free[i] ? f->main[i] : 1;
        right[i] = is_free[i] ? -f->g[i] : x[i];
        if (is_free[i] && i > 0) {
            const double share = is_free[i - 1] ? f->next[i - 1] / main[i - 1] : f->next[i - 1];
            main[i] -= is_free[i - 1] ? share * f->next[i - 1] : 0;
            right[i] -= share * right[i - 1];
        }
        if (is_free[i] && i + 1 < f->n && !is_free[i + 1])
            right[i] -= f->next[i] * x[i + 1];
    }
    for (size_t i = f->n; i-- > 0;) {
        const bool both = is_free[i] && i + 1 < f->n && is_free[i + 1];
        x[i] = (right[i] - (both ? f->next[i] * x[i + 1] : 0)) / main[i];
        x[i] = x[i] > 0 ? x[i] : 0;
    }
}

/* Least over all but number `held`, which stays at `at`. Those that want to leave 0 are let go,
 * round by round: on one side none of them wants to go back. */
static double least(const form *f, size_t held, double at, double x[])
{
    bool is_free[AW_EDGES_MOST] = {false}, more = true;
    for (size_t i = 0; i < f->n; i++)
        x[i] = i == held ? at : 0;
    for (size_t round = 0; more && round <= f->n; round++) {
        more = false;
        for (size_t i = 0; i < f->n; i++)
            if (i != held && !is_free[i] && slope_of(f, x, i) < 0)
                more = is_free[i] = true;
        if (more)
            settle(f, is_free, x);
    }
    return value_of(f, x);
}

/* The largest distance from an edge at which, the others where they like, the exponent is within
 * REACH of its least: convex, so that Newton's steps end above it. */
static double reach(const form *f, size_t i, double limit)
{
    double x[AW_EDGES_MOST];
    const double square = f->g[i] * f->g[i] + 2 * f->main[i] * limit;
    double at = (sqrt(fmax(square, 0)) - f->g[i]) / f->main[i];
    at = fmax(at, 1 / sqrt(f->main[i]));
    for (int step = 0; step < STEPS; step++) {
        const double over = least(f, i, at, x) - limit, slope = slope_of(f, x, i);
        const double next = slope > 0 ? fmin(at - over / slope, 4 * at) : 2 * at;
        if (over > 0 && fabs(next - at) < ROUGHLY * at)
            return at;
        at = next;
    }
    return at;
}

/* --- The sum --- */

/* Reaches, and by the narrowest ridge between neighbours the rule. */
static size_t choose_rule(const aw_edge_row *row, double k, double far[])
{
    double x[AW_EDGES_MOST], narrow = 0;
    const form f = form_of(row, k);
    const double limit = least(&f, f.n, 0, x) + REACH;
    size_t chosen = 0;
    for (size_t i = 0; i < row->n; i++) {
        far[i] = reach(&f, i, limit);
        if (i > 0)
            narrow = fmax(narrow, fmin(far[i - 1], far[i]) * sqrt(k / row->leg[i]));
    }
    while (chosen + 1 < ORDERS && (double)orders[chosen] < 8 + narrow)
        chosen++;
    return chosen;
}

/* What comes over an edge, at its nodes: distances from it, and what is summed there. */
typedef struct front {
    double x[MOST], real[MOST], imag[MOST];
} front;

/* e^-x for x from 0 to NOTHING, to 2e-7 of itself: 2^k, and the Taylor series of what is left. The
 * same in every lane, so that compilers lay several side by side. */
static inline float fall_off(float x)
{
    const float two = -x * 1.44269504f;
    const int32_t whole = (int32_t)(two - 0.5f); /* to the nearest, for two <= 0 */
    const float y = (two - (float)whole) * 0.693147181f;
    const union {
        uint32_t bits;
        float value;
    } power = {.bits = (uint32_t)(127 + whole) << 23};
    const float low = 1 + y * (1 + y * (0.5f + y * 0.166666667f));
    const float y2 = y * y;
    return power.value *
           (low + y2 * y2 * (0.0416666667f + y * (0.00833333333f + y * 0.00138888889f)));
}

/* From one edge's nodes to the next's, or from the source, where `from` is NULL. */
static void cross_over(const front *from, front *to, size_t n, double sides, double per)
{
    for (size_t m = 0; m < n; m++) {
        to->real[m] = from == NULL ? exp(-per * to->x[m] * to->x[m]) : 0;
        to->imag[m] = 0;
        if (from == NULL)
            continue;
        float share[MOST];
        for (size_t l = 0; l < n; l++) {
            const double off = to->x[m] - sides * from->x[l], power = per * off * off;
            share[l] = power < NOTHING ? fall_off((float)power) : 0;
        }
        for (size_t l = 0; l < n; l++) {
            to->real[m] += (double)share[l] * from->real[l];
            to->imag[m] += (double)share[l] * from->imag[l];
        }
    }
}

/* What an edge's bend does at its nodes, and their weights; `turn` for each metre. */
static void bend(front *at, const rule *r, size_t n, double far, double turn)
{
    for (size_t m = 0; m < n; m++) {
        const double angle = turn * at->x[m], size = far * r->weight[m] * exp(-angle);
        const double real = at->real[m], imag = at->imag[m], c = cos(angle), s = -sin(angle);
        at->real[m] = size * (real * c - imag * s);
        at->imag[m] = size * (real * s + imag * c);
    }
}

static double sum_over(const aw_edge_row *row, double k, const aw_edge_rules *rules)
{
    front fronts[2];
    double far[AW_EDGES_MOST], real = 0, imag = 0, scale = 1, whole = row->leg[0];
    const size_t chosen = choose_rule(row, k, far), n = orders[chosen];
    const rule *r = &rules->of[chosen];
    for (size_t i = 0; i < row->n; i++) {
        front *at = &fronts[i % 2];
        for (size_t m = 0; m < n; m++)
            at->x[m] = far[i] * r->at[m];
        cross_over(i > 0 ? &fronts[(i - 1) % 2] : NULL, at, n,
                   i > 0 ? row->side[i - 1] * row->side[i] : 1, k / (2 * row->leg[i]));
        bend(at, r, n, far[i], k * row->bend[i] * M_SQRT1_2);
        scale *= k / (2 * M_PI) / row->leg[i];
        whole += row->leg[i + 1];
    }
    const double last = row->leg[row->n];
    const front *at = &fronts[(row->n - 1) % 2];
    for (size_t m = 0; m < n; m++) {
        const double share = exp(-k / (2 * last) * at->x[m] * at->x[m]);
        real += share * at->real[m];
        imag += share * at->imag[m];
    }
    return -10 * log10((real * real + imag * imag) * scale * whole / last);
}

double aw_edge_bend_v(const aw_edge_row *row, size_t i, double wavelength)
{
    const double a = row->leg[i], b = row->leg[i + 1];
    return row->bend[i] * sqrt(2 * a * b / (wavelength * (a + b)));
}

double aw_edge_row_loss(const aw_edge_row *row, double wavelength, const aw_edge_rules *rules)
{
    if (row->n == 0)
        return 0;
    return row->n == 1 ? aw_edge_loss(aw_edge_bend_v(row, 0, wavelength))
                       : sum_over(row, 2 * M_PI / wavelength, rules);
}
