/* Orientation tests are plain doubles: coordinates are bounded by 1e5 m and nothing that depends on
 * them is finer than a millimetre. */
#include "base/plane.h"

#include <math.h>
#include <stdlib.h>

void aw_polygon_close(aw_polygon *polygon)
{
    polygon->low = polygon->high = polygon->at[0];
    for (size_t i = 1; i < polygon->n; i++) {
        polygon->low.x = fmin(polygon->low.x, polygon->at[i].x);
        polygon->low.y = fmin(polygon->low.y, polygon->at[i].y);
        polygon->high.x = fmax(polygon->high.x, polygon->at[i].x);
        polygon->high.y = fmax(polygon->high.y, polygon->at[i].y);
    }
}

double aw_polygon_area(const aw_point corners[], size_t n)
{
    double twice = 0;
    const aw_point o = corners[0];
    for (size_t i = 1; i + 1 < n; i++) {
        const aw_point a = corners[i], b = corners[i + 1];
        twice += (a.x - o.x) * (b.y - o.y) - (b.x - o.x) * (a.y - o.y);
    }
    return twice / 2;
}

/* Where the edge a-b meets the line at y, for an edge that the half-open rule counts. */
static double meet(aw_point a, aw_point b, double y)
{
    return (b.x - a.x) * (y - a.y) / (b.y - a.y) + a.x;
}

bool aw_polygon_holds(const aw_polygon *polygon, double x, double y)
{
    bool inside = false;
    for (size_t i = 0, j = polygon->n - 1; i < polygon->n; j = i++) {
        const aw_point a = polygon->at[i], b = polygon->at[j];
        if ((a.y > y) != (b.y > y) && x < meet(a, b, y))
            inside = !inside;
    }
    return inside;
}

static int compare_doubles(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

size_t aw_polygon_row(const aw_polygon *polygon, double y, double xs[])
{
    size_t n = 0;
    for (size_t i = 0, j = polygon->n - 1; i < polygon->n; j = i++) {
        const aw_point a = polygon->at[i], b = polygon->at[j];
        if ((a.y > y) != (b.y > y))
            xs[n++] = meet(a, b, y);
    }
    qsort(xs, n, sizeof xs[0], compare_doubles);
    return n;
}

static double clamp(double x, double low, double high)
{
    return x < low ? low : x > high ? high : x;
}

/* Twice the signed area of a, b, p: positive if p is left of a -> b. */
static double side(aw_point a, aw_point b, aw_point p)
{
    return (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
}

/* For a counter-clockwise polygon the winding number behind a crossing differs by its sign, so the
 * length inside is a signed sum over crossings: no sorting, no memory. */
double aw_polygon_chord(const aw_polygon *polygon, aw_point from, aw_point to, double t0, double t1)
{
    const double dx = to.x - from.x, dy = to.y - from.y, squared = dx * dx + dy * dy;
    if (squared == 0)
        return aw_polygon_holds(polygon, from.x, from.y) ? t1 - t0 : 0;
    /* A corner on the line counts as left of it in one sum and right of it in the other: they
     * differ only for a line along an edge, which the smaller calls outside. */
    double left = 0, right = 0;
    aw_point a = polygon->at[polygon->n - 1];
    double sa = side(from, to, a);
    for (size_t i = 0; i < polygon->n; i++) {
        const aw_point b = polygon->at[i];
        const double sb = side(from, to, b);
        if ((sa > 0) != (sb > 0) || (sa < 0) != (sb < 0)) {
            const double s = sa / (sa - sb);
            const double px = a.x + s * (b.x - a.x) - from.x, py = a.y + s * (b.y - a.y) - from.y;
            const double length = clamp((px * dx + py * dy) / squared, t0, t1) - t0;
            if ((sa > 0) != (sb > 0))
                left += sb > 0 ? length : -length;
            if ((sa < 0) != (sb < 0))
                right += sb < 0 ? -length : length;
        }
        a = b;
        sa = sb;
    }
    return fmax(fmin(left, right), 0);
}

static double segment_distance(aw_point a, aw_point b, aw_point p)
{
    const double dx = b.x - a.x, dy = b.y - a.y, squared = dx * dx + dy * dy;
    const double t =
        squared == 0 ? 0 : clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / squared, 0, 1);
    return hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

double aw_polygon_edge_distance(const aw_polygon *polygon, aw_point point)
{
    double least = INFINITY;
    for (size_t i = 0, j = polygon->n - 1; i < polygon->n; j = i++)
        least = fmin(least, segment_distance(polygon->at[j], polygon->at[i], point));
    return least;
}

static int sign(double x)
{
    return (x > 0) - (x < 0);
}

static bool between(aw_point a, aw_point b, aw_point p)
{
    return fmin(a.x, b.x) <= p.x && p.x <= fmax(a.x, b.x) && fmin(a.y, b.y) <= p.y &&
           p.y <= fmax(a.y, b.y);
}

/* Whether two closed segments share a point. */
static bool segments_meet(aw_point a, aw_point b, aw_point c, aw_point d)
{
    const int ca = sign(side(c, d, a)), cb = sign(side(c, d, b));
    const int ac = sign(side(a, b, c)), ad = sign(side(a, b, d));
    if (ca * cb < 0 && ac * ad < 0)
        return true;
    return (ca == 0 && between(c, d, a)) || (cb == 0 && between(c, d, b)) ||
           (ac == 0 && between(a, b, c)) || (ad == 0 && between(a, b, d));
}

/* Whether two segments cross at an inner point of both. */
static bool segments_cross(aw_point a, aw_point b, aw_point c, aw_point d)
{
    return sign(side(c, d, a)) * sign(side(c, d, b)) < 0 &&
           sign(side(a, b, c)) * sign(side(a, b, d)) < 0;
}

typedef struct span {
    double low, high;
    size_t edge;
} span;

static int compare_spans(const void *a, const void *b)
{
    const span *s = a, *t = b;
    if (s->low != t->low)
        return s->low < t->low ? -1 : 1;
    return (s->edge > t->edge) - (s->edge < t->edge);
}

/* Whether edges i and j of a closed path conflict. */
static bool edges_conflict(const aw_point c[], size_t n, size_t i, size_t j)
{
    const aw_point a = c[i], b = c[(i + 1) % n], p = c[j], q = c[(j + 1) % n];
    if ((i + 1) % n == j || (j + 1) % n == i) {
        const aw_point tip = (i + 1) % n == j ? b : a, before = (i + 1) % n == j ? a : p;
        const aw_point after = (i + 1) % n == j ? q : b;
        return side(before, tip, after) == 0 &&
               (tip.x - before.x) * (after.x - tip.x) + (tip.y - before.y) * (after.y - tip.y) < 0;
    }
    return segments_meet(a, b, p, q);
}

/* Sweep along x over the edges' spans: the usual polygon costs little more than its sorting. */
bool aw_polygon_crosses_itself(const aw_point corners[], size_t n, size_t edges[2])
{
    span *spans = malloc(n * sizeof *spans);
    bool found = false;
    if (spans == NULL)
        return false;
    for (size_t i = 0; i < n; i++) {
        const double x = corners[i].x, z = corners[(i + 1) % n].x;
        spans[i] = (span){fmin(x, z), fmax(x, z), i};
    }
    qsort(spans, n, sizeof *spans, compare_spans);
    for (size_t i = 0; i < n && !found; i++)
        for (size_t j = i + 1; j < n && spans[j].low <= spans[i].high && !found; j++) {
            const size_t e = spans[i].edge, f = spans[j].edge;
            if (edges_conflict(corners, n, e, f)) {
                edges[0] = e < f ? e : f;
                edges[1] = e < f ? f : e;
                found = true;
            }
        }
    free(spans);
    return found;
}

/* A point well inside: the middle of the widest stretch of a row halfway between two corners. */
static bool inner_point(const aw_polygon *polygon, aw_point *point)
{
    double *xs = malloc(polygon->n * sizeof *xs);
    double widest = 0;
    if (xs == NULL)
        return false;
    for (size_t i = 0; i < 8; i++) {
        const double y =
            polygon->low.y + (polygon->high.y - polygon->low.y) * ((double)i + 0.47) / 8;
        const size_t n = aw_polygon_row(polygon, y, xs);
        for (size_t k = 0; k + 1 < n; k += 2)
            if (xs[k + 1] - xs[k] > widest) {
                widest = xs[k + 1] - xs[k];
                *point = (aw_point){(xs[k] + xs[k + 1]) / 2, y};
            }
    }
    free(xs);
    return widest > 0;
}

static bool boxes_overlap(const aw_polygon *a, const aw_polygon *b)
{
    return a->low.x < b->high.x && b->low.x < a->high.x && a->low.y < b->high.y &&
           b->low.y < a->high.y;
}

static bool edges_cross(const aw_polygon *a, const aw_polygon *b)
{
    for (size_t i = 0, j = a->n - 1; i < a->n; j = i++) {
        const aw_point p = a->at[j], q = a->at[i];
        if (fmin(p.x, q.x) > b->high.x || fmax(p.x, q.x) < b->low.x || fmin(p.y, q.y) > b->high.y ||
            fmax(p.y, q.y) < b->low.y)
            continue;
        for (size_t k = 0, l = b->n - 1; k < b->n; l = k++)
            if (segments_cross(p, q, b->at[l], b->at[k]))
                return true;
    }
    return false;
}

bool aw_polygons_overlap(const aw_polygon *a, const aw_polygon *b)
{
    aw_point p;
    if (!boxes_overlap(a, b))
        return false;
    return edges_cross(a, b) || (inner_point(a, &p) && aw_polygon_holds(b, p.x, p.y)) ||
           (inner_point(b, &p) && aw_polygon_holds(a, p.x, p.y));
}
