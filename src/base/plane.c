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

bool aw_edge_is_passed(aw_point a, aw_point b, aw_point p)
{
    return (a.y > p.y) != (b.y > p.y) && p.x < meet(a, b, p.y);
}

bool aw_polygon_holds(const aw_polygon *polygon, double x, double y)
{
    bool inside = false;
    for (size_t i = 0, j = polygon->n - 1; i < polygon->n; j = i++)
        inside ^= aw_edge_is_passed(polygon->at[i], polygon->at[j], (aw_point){x, y});
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

double aw_segment_distance(aw_point a, aw_point b, aw_point p)
{
    const double dx = b.x - a.x, dy = b.y - a.y, squared = dx * dx + dy * dy;
    const double t =
        squared == 0 ? 0 : clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / squared, 0, 1);
    return aw_length(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

double aw_polygon_edge_distance(const aw_polygon *polygon, aw_point point)
{
    double least = INFINITY;
    for (size_t i = 0, j = polygon->n - 1; i < polygon->n; j = i++)
        least = fmin(least, aw_segment_distance(polygon->at[j], polygon->at[i], point));
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

/* What an edge covers along the sweep, and across it. */
typedef struct span {
    double low, high, under, over;
    size_t edge;
} span;

static span span_of(aw_point a, aw_point b, size_t edge)
{
    return (span){fmin(a.x, b.x), fmax(a.x, b.x), fmin(a.y, b.y), fmax(a.y, b.y), edge};
}

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

static bool keep_conflict(size_t edges[2], size_t e, size_t f)
{
    edges[0] = e < f ? e : f;
    edges[1] = e < f ? f : e;
    return true;
}

/* Without memory for the sweep. */
static bool any_pair_conflicts(const aw_point corners[], size_t n, size_t edges[2])
{
    for (size_t e = 0; e < n; e++)
        for (size_t f = e + 1; f < n; f++)
            if (edges_conflict(corners, n, e, f))
                return keep_conflict(edges, e, f);
    return false;
}

/* Sweep along x over the edges' spans: the usual polygon costs little more than its sorting. */
bool aw_polygon_crosses_itself(const aw_point corners[], size_t n, size_t edges[2])
{
    span *spans = malloc(n * sizeof *spans);
    bool found = false;
    if (spans == NULL)
        return any_pair_conflicts(corners, n, edges);
    for (size_t i = 0; i < n; i++)
        spans[i] = span_of(corners[i], corners[(i + 1) % n], i);
    qsort(spans, n, sizeof *spans, compare_spans);
    for (size_t i = 0; i < n && !found; i++)
        for (size_t j = i + 1; j < n && spans[j].low <= spans[i].high && !found; j++) {
            const size_t e = spans[i].edge, f = spans[j].edge;
            found = spans[i].under <= spans[j].over && spans[j].under <= spans[i].over &&
                    edges_conflict(corners, n, e, f) && keep_conflict(edges, e, f);
        }
    free(spans);
    return found;
}

/* --- two polygons --- */

/* What is this near an edge is on it, m: far above the rounding of coordinates, far below their
 * meaning. */
#define ON_EDGE 1e-6

/* The sign of a x b, 0 if the end of the shorter lies on the line of the longer. */
static int turn(aw_point a, aw_point b)
{
    const double cross = a.x * b.y - a.y * b.x,
                 longer = fmax(aw_length(a.x, a.y), aw_length(b.x, b.y));
    return fabs(cross) <= ON_EDGE * longer ? 0 : sign(cross);
}

/* On which side of the line through a and b a point lies, 0 if on it. */
static int clear_side(aw_point a, aw_point b, aw_point p)
{
    const double twice = side(a, b, p);
    return fabs(twice) <= ON_EDGE * aw_length(b.x - a.x, b.y - a.y) ? 0 : sign(twice);
}

static aw_point minus(aw_point a, aw_point b)
{
    return (aw_point){a.x - b.x, a.y - b.y};
}

/* The directions that lead from a place on the boundary to the inside: from `from`
 * counter-clockwise to `to`, both left out. */
typedef struct wedge {
    aw_point from, to;
} wedge;

static wedge wedge_of_corner(const aw_polygon *p, size_t i)
{
    const aw_point corner = p->at[i];
    return (wedge){minus(p->at[(i + 1) % p->n], corner),
                   minus(p->at[(i + p->n - 1) % p->n], corner)};
}

static wedge wedge_of_edge(const aw_polygon *p, size_t i)
{
    const aw_point along = minus(p->at[(i + 1) % p->n], p->at[i]);
    return (wedge){along, {-along.x, -along.y}};
}

static bool wedge_holds(const wedge *w, aw_point d)
{
    if (turn(w->from, w->to) >= 0)
        return turn(w->from, d) > 0 && turn(d, w->to) > 0;
    return !(turn(w->to, d) >= 0 && turn(d, w->from) >= 0);
}

static bool wedges_overlap(wedge a, wedge b)
{
    const bool alike = turn(a.from, b.from) == 0 && a.from.x * b.from.x + a.from.y * b.from.y > 0;
    return alike || wedge_holds(&a, b.from) || wedge_holds(&b, a.from);
}

typedef enum meeting { APART, TOUCH, OVERLAP } meeting;

static meeting meeting_of(wedge a, wedge b)
{
    return wedges_overlap(a, b) ? OVERLAP : TOUCH;
}

static bool is_on(aw_point corner, aw_point other)
{
    return aw_length(corner.x - other.x, corner.y - other.y) <= ON_EDGE;
}

/* How edge i of a, its end left out, meets edge j of b, its end left out. */
static meeting meet_of_edges(const aw_polygon *a, size_t i, const aw_polygon *b, size_t j)
{
    const aw_point p = a->at[i], q = a->at[(i + 1) % a->n];
    const aw_point r = b->at[j], s = b->at[(j + 1) % b->n];
    if (is_on(p, r))
        return meeting_of(wedge_of_corner(a, i), wedge_of_corner(b, j));
    meeting met = APART;
    if (aw_segment_distance(r, s, p) <= ON_EDGE && !is_on(p, s))
        met = meeting_of(wedge_of_corner(a, i), wedge_of_edge(b, j));
    if (met != OVERLAP && aw_segment_distance(p, q, r) <= ON_EDGE && !is_on(r, q))
        met = meeting_of(wedge_of_edge(a, i), wedge_of_corner(b, j));
    const bool cross = clear_side(r, s, p) * clear_side(r, s, q) < 0 &&
                       clear_side(p, q, r) * clear_side(p, q, s) < 0;
    return cross ? OVERLAP : met;
}

/* Adds the spans of the edges that come near another polygon's box; `of` is added to their numbers.
 */
static size_t add_spans(const aw_polygon *p, const aw_polygon *other, size_t of, span spans[])
{
    size_t n = 0;
    for (size_t i = 0; i < p->n; i++) {
        const span s = span_of(p->at[i], p->at[(i + 1) % p->n], of + i);
        if (s.low <= other->high.x + ON_EDGE && s.high >= other->low.x - ON_EDGE &&
            s.under <= other->high.y + ON_EDGE && s.over >= other->low.y - ON_EDGE)
            spans[n++] = (span){s.low - ON_EDGE, s.high + ON_EDGE, s.under - ON_EDGE,
                                s.over + ON_EDGE, of + i};
    }
    return n;
}

/* Turns the sweep to go along y if the edges cover less of it, so that fewer share a stretch. */
static void choose_sweep(span spans[], size_t n)
{
    double along = 0, across = 0;
    for (size_t i = 0; i < n; i++) {
        along += spans[i].high - spans[i].low;
        across += spans[i].over - spans[i].under;
    }
    for (size_t i = 0; i < n && across < along; i++)
        spans[i] =
            (span){spans[i].under, spans[i].over, spans[i].low, spans[i].high, spans[i].edge};
    qsort(spans, n, sizeof *spans, compare_spans);
}

/* How the boundaries meet; the edges of b are numbered from a->n on. */
static meeting sweep_boundaries(const aw_polygon *a, const aw_polygon *b, const span spans[],
                                size_t n)
{
    meeting most = APART;
    for (size_t k = 0; k < n; k++)
        for (size_t l = k + 1; l < n && spans[l].low <= spans[k].high; l++) {
            const size_t e = spans[k].edge, f = spans[l].edge;
            if ((e < a->n) == (f < a->n) || spans[k].under > spans[l].over ||
                spans[l].under > spans[k].over)
                continue;
            const meeting met = meet_of_edges(a, e < f ? e : f, b, (e < f ? f : e) - a->n);
            if (met == OVERLAP)
                return OVERLAP;
            most = met > most ? met : most;
        }
    return most;
}

/* The same without room for spans: every edge with every other. */
static meeting compare_boundaries(const aw_polygon *a, const aw_polygon *b)
{
    meeting most = APART;
    for (size_t i = 0; i < a->n && most != OVERLAP; i++)
        for (size_t j = 0; j < b->n && most != OVERLAP; j++) {
            const meeting met = meet_of_edges(a, i, b, j);
            most = met > most ? met : most;
        }
    return most;
}

static meeting meet_of_boundaries(const aw_polygon *a, const aw_polygon *b)
{
    span *spans = malloc((a->n + b->n) * sizeof *spans);
    if (spans == NULL)
        return compare_boundaries(a, b);
    const size_t of_a = add_spans(a, b, 0, spans);
    const size_t n = of_a + add_spans(b, a, a->n, spans + of_a);
    choose_sweep(spans, n);
    const meeting met = sweep_boundaries(a, b, spans, n);
    free(spans);
    return met;
}

static bool boxes_overlap(const aw_polygon *a, const aw_polygon *b)
{
    return a->low.x < b->high.x && b->low.x < a->high.x && a->low.y < b->high.y &&
           b->low.y < a->high.y;
}

/* Inner parts that meet do so where the boundaries cross, or beside a corner of one on the boundary
 * of the other, or else one polygon lies in the other and no boundaries meet. */
bool aw_polygons_overlap(const aw_polygon *a, const aw_polygon *b)
{
    if (!boxes_overlap(a, b))
        return false;
    const meeting met = meet_of_boundaries(a, b);
    return met == OVERLAP || (met == APART && (aw_polygon_holds(b, a->at[0].x, a->at[0].y) ||
                                               aw_polygon_holds(a, b->at[0].x, b->at[0].y)));
}
