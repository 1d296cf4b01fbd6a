/* Over: the upper hull of the tops under the line gives the edges; the crossing points then slide
 * along them. The length is convex in their places, so that Newton's steps, each accepted only if
 * it shortens, and a few rounds of single slides end at the shortest. Around: a hull on one side,
 * by wrapping. */
#include "radio/band.h"

#include <math.h>

#include "base/plane.h"

/* Most edges under a line. */
#define CROSSINGS 128
/* Rounds of sliding, and when it ends: m, well below what a length feels. */
#define NEWTONS 12
#define SLIDES  40
#define STILL   1e-6

static double distance(const double a[3], const double b[3])
{
    const double x = b[0] - a[0], y = b[1] - a[1], z = b[2] - a[2];
    return sqrt(x * x + y * y + z * z);
}

/* An edge: a place of length 0 at `from`, unit vector along, length. */
typedef struct edge {
    double from[3], along[3], length;
    double place; /* of the crossing point */
    const char *name;
} edge;

static void point_on(const edge *e, double place, double at[3])
{
    for (int k = 0; k < 3; k++)
        at[k] = e->from[k] + place * e->along[k];
}

static edge edge_between(const double from[3], const double to[3])
{
    edge e = {.length = distance(from, to)};
    for (int k = 0; k < 3; k++) {
        e.from[k] = from[k];
        e.along[k] = e.length > 0 ? (to[k] - from[k]) / e.length : 0;
    }
    return e;
}

/* Foot of a point on an edge's line, and its distance from it. */
static double foot(const edge *e, const double p[3], double *off)
{
    double s = 0, squared = 0;
    for (int k = 0; k < 3; k++) {
        s += (p[k] - e->from[k]) * e->along[k];
        squared += (p[k] - e->from[k]) * (p[k] - e->from[k]);
    }
    *off = sqrt(fmax(squared - s * s, 0));
    return s;
}

/* The place on an edge by which a-q-b is shortest: both unfolded into one plane. */
static double best_place(const edge *e, const double a[3], const double b[3])
{
    double off_a, off_b;
    const double s = foot(e, a, &off_a), t = foot(e, b, &off_b), sum = off_a + off_b;
    const double place = sum > 0 ? (s * off_b + t * off_a) / sum : (s + t) / 2;
    return fmin(fmax(place, 0), e->length);
}

double aw_detour_by(const double from[3], const double to[3], const double a[3], const double b[3])
{
    const edge e = edge_between(from, to);
    double q[3];
    point_on(&e, best_place(&e, a, b), q);
    return distance(a, q) + distance(q, b) - distance(a, b);
}

/* --- Sliding --- */

static double length_by(const edge *const edges[], const double place[], size_t n,
                        const double a[3], const double b[3])
{
    double length = 0, last[3] = {a[0], a[1], a[2]}, at[3];
    for (size_t i = 0; i < n; i++) {
        point_on(edges[i], place[i], at);
        length += distance(last, at);
        for (int k = 0; k < 3; k++)
            last[k] = at[k];
    }
    return length + distance(last, b);
}

static double dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/* Newton's step: the matrix of second derivatives has three diagonals. */
static void newton(edge *const edges[], size_t n, const double a[3], const double b[3],
                   double step[])
{
    double at[AW_BENDS + 2][3], u[AW_BENDS + 1][3], l[AW_BENDS + 1];
    double main[AW_BENDS], next[AW_BENDS];
    for (int k = 0; k < 3; k++) {
        at[0][k] = a[k];
        at[n + 1][k] = b[k];
    }
    for (size_t i = 0; i < n; i++)
        point_on(edges[i], edges[i]->place, at[i + 1]);
    for (size_t i = 0; i <= n; i++) {
        l[i] = fmax(distance(at[i], at[i + 1]), 1e-6);
        for (int k = 0; k < 3; k++)
            u[i][k] = (at[i + 1][k] - at[i][k]) / l[i];
    }
    for (size_t i = 0; i < n; i++) {
        const double *w = edges[i]->along, in = dot(w, u[i]), out = dot(w, u[i + 1]);
        step[i] = out - in;
        main[i] = (1 - in * in) / l[i] + (1 - out * out) / l[i + 1] + 1e-12;
        if (i + 1 < n)
            next[i] =
                (out * dot(edges[i + 1]->along, u[i + 1]) - dot(w, edges[i + 1]->along)) / l[i + 1];
    }
    for (size_t i = 1; i < n; i++) {
        const double share = next[i - 1] / main[i - 1];
        main[i] = fmax(main[i] - share * next[i - 1], 1e-12);
        step[i] -= share * step[i - 1];
    }
    for (size_t i = n; i-- > 0;)
        step[i] = (step[i] - (i + 1 < n ? next[i] * step[i + 1] : 0)) / main[i];
}

/* One accepted step; false if none shortens the way by more than rounding. */
static bool step_down(edge *const edges[], size_t n, const double a[3], const double b[3])
{
    double step[AW_BENDS], place[AW_BENDS], before[AW_BENDS];
    for (size_t i = 0; i < n; i++)
        before[i] = edges[i]->place;
    const double length = length_by((const edge *const *)edges, before, n, a, b);
    newton(edges, n, a, b, step);
    for (double share = 1; share > 0.01; share /= 4) {
        for (size_t i = 0; i < n; i++)
            place[i] = fmin(fmax(before[i] + share * step[i], 0), edges[i]->length);
        if (length_by((const edge *const *)edges, place, n, a, b) < length - 1e-12) {
            for (size_t i = 0; i < n; i++)
                edges[i]->place = place[i];
            return true;
        }
    }
    return false;
}

static void slide(edge *const edges[], size_t n, const double a[3], const double b[3])
{
    double last[3], next[3], moved = 1;
    for (int i = 0; n > 1 && i < NEWTONS && step_down(edges, n, a, b); i++)
        continue;
    for (int round = 0; round < SLIDES && moved > STILL; round++) {
        moved = 0;
        for (size_t i = 0; i < n; i++) {
            point_on(edges[i > 0 ? i - 1 : 0], edges[i > 0 ? i - 1 : 0]->place, last);
            if (i + 1 < n)
                point_on(edges[i + 1], edges[i + 1]->place, next);
            const double place = best_place(edges[i], i > 0 ? last : a, i + 1 < n ? next : b);
            moved = fmax(moved, fabs(place - edges[i]->place));
            edges[i]->place = place;
        }
    }
}

/* --- Over --- */

typedef struct crossing {
    double t, z;
    edge over;
} crossing;

static void keep_crossing(crossing list[], size_t *n, const crossing *c)
{
    size_t k = (*n)++;
    for (; k > 0 && list[k - 1].t > c->t; k--)
        list[k] = list[k - 1];
    list[k] = *c;
}

/* Adds an edge if it lies under or over the plan of the segment; false without room. */
static bool add_edge(crossing list[], size_t *n, const double c[3], const double d[3],
                     const char *name, const double a[3], const double b[3])
{
    const double dx = b[0] - a[0], dy = b[1] - a[1];
    const double sc = dx * (c[1] - a[1]) - dy * (c[0] - a[0]);
    const double sd = dx * (d[1] - a[1]) - dy * (d[0] - a[0]);
    if ((sc > 0) == (sd > 0))
        return true;
    const double s = sc / (sc - sd);
    const double x = c[0] + s * (d[0] - c[0]), y = c[1] + s * (d[1] - c[1]);
    const double t = ((x - a[0]) * dx + (y - a[1]) * dy) / (dx * dx + dy * dy);
    if (t <= 0 || t >= 1)
        return true;
    if (*n == CROSSINGS)
        return false;
    crossing own = {t, c[2], edge_between(c, d)};
    own.over.place = s * own.over.length;
    own.over.name = name;
    keep_crossing(list, n, &own);
    return true;
}

static bool add_tops(crossing list[], size_t *n, const aw_body *body, const char *name,
                     const double a[3], const double b[3])
{
    for (size_t k = 0; k < body->n; k++) {
        const aw_polygon *p = &body->prisms[k].footprint;
        const double top = body->prisms[k].top;
        for (size_t i = 0; i < p->n; i++) {
            const aw_point c = p->at[i], d = p->at[(i + 1) % p->n];
            if (!add_edge(list, n, (double[3]){c.x, c.y, top}, (double[3]){d.x, d.y, top}, name, a,
                          b))
                return false;
        }
    }
    return true;
}

static bool add_rims(crossing list[], size_t *n, const aw_radio_scene *air, const double a[3],
                     const double b[3])
{
    for (size_t i = 0; i < air->n_rims; i++)
        if (!add_edge(list, n, air->rims[i].from, air->rims[i].to, air->rims[i].name, a, b))
            return false;
    return true;
}

/* Whether the crossing `to` lies above the line from (t, z) to `by`. */
static bool stands_out(double t, double z, const crossing *to, double by_t, double by_z)
{
    return (to->z - z) * (by_t - t) > (by_z - z) * (to->t - t);
}

/* The upper hull, in place; returns how many are left. */
static size_t hull(crossing list[], size_t n, double za, double zb)
{
    size_t kept = 0;
    for (size_t i = 0; i <= n; i++) {
        const double t = i < n ? list[i].t : 1, z = i < n ? list[i].z : zb;
        while (kept > 0 && !stands_out(kept > 1 ? list[kept - 2].t : 0,
                                       kept > 1 ? list[kept - 2].z : za, &list[kept - 1], t, z))
            kept--;
        if (i < n)
            list[kept++] = list[i];
    }
    return kept;
}

static void set_bends(aw_band *band, edge *const edges[], size_t n, const double a[3],
                      const double b[3])
{
    const double *last = a;
    band->n = n;
    band->length = 0;
    for (size_t i = 0; i < n; i++) {
        aw_band_bend *bend = &band->bends[i];
        point_on(edges[i], edges[i]->place, bend->at);
        bend->out[0] = bend->out[1] = 0;
        bend->out[2] = 1;
        bend->name = edges[i]->name;
        band->length += distance(last, bend->at);
        last = bend->at;
    }
    band->length += distance(last, b);
}

bool aw_band_over(aw_band *band, const aw_scene *scene, const double a[3], const double b[3],
                  const uint32_t bodies[], size_t n)
{
    crossing list[CROSSINGS];
    edge *edges[CROSSINGS];
    size_t found = 0;
    if (a[0] == b[0] && a[1] == b[1])
        return false;
    for (size_t i = 0; i < n; i++)
        if (!add_tops(list, &found, &scene->bodies[bodies[i]], scene->air->stuff[bodies[i]].name, a,
                      b))
            return false;
    if (!add_rims(list, &found, scene->air, a, b))
        return false;
    found = hull(list, found, a[2], b[2]);
    if (found == 0 || found > AW_BENDS)
        return false;
    for (size_t i = 0; i < found; i++) {
        if (list[i].z > scene->scenario->floor.ceiling - 1e-3)
            return false;
        edges[i] = &list[i].over;
    }
    slide(edges, found, a, b);
    set_bends(band, edges, found, a, b);
    return true;
}

/* --- Around --- */

/* A corner of a body. */
typedef struct corner {
    aw_point at;
    uint32_t body;
    bool on_floor;
} corner;

/* The next corner of the hull left of the line a-b, or right of it with sign -1: the one with
 * everything on its right. */
static bool wrap(const aw_scene *scene, const uint32_t bodies[], size_t n, aw_point a, aw_point b,
                 double sign, aw_point from, corner *next)
{
    const double ax = sign * (b.x - a.x), ay = sign * (b.y - a.y);
    double tx = sign * (b.x - from.x), ty = sign * (b.y - from.y);
    bool found = false;
    for (size_t i = 0; i < n; i++) {
        const aw_body *body = &scene->bodies[bodies[i]];
        const bool *on_floor = scene->air->bends[bodies[i]];
        for (size_t k = 0; k < body->n; on_floor += body->prisms[k++].footprint.n)
            for (size_t c = 0; c < body->prisms[k].footprint.n; c++) {
                const aw_point q = body->prisms[k].footprint.at[c];
                const double qx = q.x - from.x, qy = q.y - from.y, turn = tx * qy - ty * qx;
                if (turn < 0 || ax * (q.y - a.y) - ay * (q.x - a.x) <= 0 || (qx == 0 && qy == 0) ||
                    (turn == 0 && qx * qx + qy * qy <= tx * tx + ty * ty))
                    continue;
                tx = sign * qx;
                ty = sign * qy;
                *next = (corner){q, bodies[i], on_floor[c]};
                found = true;
            }
    }
    return found;
}

/* Heights rise evenly along the way; bends look away from what they are bent around. */
static void raise_bends(aw_band *band, const double a[3], const double b[3], double sign)
{
    double along[AW_BENDS + 1], plan = 0;
    const double *last = a;
    for (size_t i = 0; i <= band->n; i++) {
        const double *at = i < band->n ? band->bends[i].at : b;
        plan += aw_length(at[0] - last[0], at[1] - last[1]);
        along[i] = plan;
        last = at;
    }
    for (size_t i = 0; i < band->n; i++) {
        const double *before = i > 0 ? band->bends[i - 1].at : a;
        const double *after = i + 1 < band->n ? band->bends[i + 1].at : b;
        aw_band_bend *bend = &band->bends[i];
        const double dx = after[0] - before[0], dy = after[1] - before[1];
        const double length = fmax(aw_length(dx, dy), 1e-9);
        bend->at[2] = a[2] + (b[2] - a[2]) * along[i] / plan;
        bend->out[0] = -sign * dy / length;
        bend->out[1] = sign * dx / length;
        bend->out[2] = 0;
    }
    band->length = sqrt(plan * plan + (b[2] - a[2]) * (b[2] - a[2]));
}

bool aw_band_around(aw_band *band, const aw_scene *scene, const double a[3], const double b[3],
                    const uint32_t bodies[], size_t n, bool left)
{
    const aw_point from = {a[0], a[1]}, to = {b[0], b[1]};
    const double sign = left ? 1 : -1;
    corner at = {.at = from};
    band->n = 0;
    while (wrap(scene, bodies, n, from, to, sign, at.at, &at)) {
        if (band->n == AW_BENDS || !at.on_floor)
            return false;
        band->bends[band->n++] =
            (aw_band_bend){{at.at.x, at.at.y, 0}, {0, 0, 0}, scene->air->stuff[at.body].name};
    }
    if (band->n == 0)
        return false;
    raise_bends(band, a, b, sign);
    return true;
}
