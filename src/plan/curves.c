#include "plan/curves.h"

#include <math.h>
#include <stdlib.h>

#include "base/plane.h"
#include "plan/arcs.h"
#include "plan/grow.h"

#define CHORD_ERROR 0.004 /* with what is lost by rounding to 1 mm, under 5 mm */
#define ONE_CENTRE  0.01
#define MOST_TURN   0.11 /* radians from chord to chord of what may be an arc */
/* Of a door's swing. */
#define WIDEST_SWING 1.4

static double turn_at(aw_point a, aw_point b, aw_point c)
{
    const aw_point u = {b.x - a.x, b.y - a.y}, v = {c.x - b.x, c.y - b.y};
    return atan2(u.x * v.y - u.y * v.x, u.x * v.x + u.y * v.y);
}

static double edge_length(const aw_point at[], size_t n, size_t i)
{
    const aw_point a = at[i % n], b = at[(i + 1) % n];
    return aw_length(b.x - a.x, b.y - a.y);
}

/* The last corner of the arc that begins at corner `first`, or `first`: edges of one length that
 * turn alike. */
static size_t arc_end(const aw_point at[], size_t n, size_t first, size_t last)
{
    const double length = edge_length(at, n, first);
    size_t i = first + 1;
    if (first + 2 > last)
        return first;
    const double turn = turn_at(at[first], at[i % n], at[(i + 1) % n]);
    if (!(fabs(turn) > 1e-5) || fabs(turn) > MOST_TURN)
        return first;
    while (i < last && fabs(edge_length(at, n, i) - length) <= 0.02 * length + 2e-6 &&
           fabs(turn_at(at[i - 1], at[i % n], at[(i + 1) % n]) - turn) <= 0.02 * fabs(turn) + 1e-4)
        i++;
    return i - first + 1 >= AW_ARC_CORNERS ? i : first;
}

static bool add_bend(aw_bends *bends, const aw_arc *arc, aw_point first, aw_point last)
{
    const aw_point from = arc->turn > 0 ? first : last;
    if (!aw_grow(&bends->list, bends->n, &bends->room, sizeof *bends->list))
        return false;
    bends->list[bends->n++] =
        (aw_bend){arc->centre, arc->radius, atan2(from.y - arc->centre.y, from.x - arc->centre.x),
                  fmin(fabs(arc->turn), 2 * M_PI), 0};
    return true;
}

/* The points with the first once more at the end, so that an arc may end there. */
static bool trace_open(const aw_point at[], size_t n, aw_strokes *strokes, aw_bends *bends)
{
    for (size_t i = 0; i + 1 < n;) {
        const size_t end = arc_end(at, n, i, n - 1);
        aw_arc arc;
        if (end > i && aw_arc_fit(at + i, end - i + 1, &arc)) {
            if (!add_bend(bends, &arc, at[i], at[end]))
                return false;
            i = end;
            continue;
        }
        if (!aw_strokes_add(strokes, at[i], at[i + 1], 0))
            return false;
        i++;
    }
    return true;
}

bool aw_trace(const aw_point at[], size_t n, bool closed, aw_strokes *strokes, aw_bends *bends)
{
    if (!closed)
        return trace_open(at, n, strokes, bends);
    aw_point *round = calloc(n + 1, sizeof *round);
    for (size_t i = 0; round != NULL && i <= n; i++)
        round[i] = at[i % n];
    const bool fine = round != NULL && trace_open(round, n + 1, strokes, bends);
    free(round);
    return fine;
}

/* --- pairs --- */

static double wrapped(double angle)
{
    angle = fmod(angle, 2 * M_PI);
    return angle < 0 ? angle + 2 * M_PI : angle;
}

/* The part of the turn that both have: where it begins, how far it goes. */
static double common(const aw_bend *a, const aw_bend *b, double *from)
{
    const double ahead = wrapped(b->from - a->from), behind = wrapped(a->from - b->from);
    if (a->turn > 2 * M_PI - 1e-6 || behind < b->turn) {
        *from = a->turn > 2 * M_PI - 1e-6 ? b->from : a->from;
        return a->turn > 2 * M_PI - 1e-6 ? b->turn : fmin(a->turn, b->turn - behind);
    }
    *from = b->from;
    return ahead < a->turn ? fmin(b->turn, a->turn - ahead) : 0;
}

static bool fits(const aw_bend *a, const aw_bend *b, const aw_joining *how, double thickness)
{
    const double apart = fabs(a->radius - b->radius);
    const aw_point d = {a->centre.x - b->centre.x, a->centre.y - b->centre.y};
    return aw_length(d.x, d.y) <= ONE_CENTRE &&
           (isnan(thickness) ? apart >= how->thinnest && apart <= how->thickest
                             : fabs(apart - thickness) <= 0.01);
}

static bool is_double(const aw_bend *a, const aw_bend *b)
{
    const aw_point d = {a->centre.x - b->centre.x, a->centre.y - b->centre.y};
    return aw_length(d.x, d.y) <= ONE_CENTRE && fabs(a->radius - b->radius) <= 0.002 &&
           wrapped(a->from - b->from + 1e-3) < 2e-3 && fabs(a->turn - b->turn) < 2e-3;
}

static bool add_wall(aw_bends *walls, const aw_bend *wall)
{
    if (!aw_grow(&walls->list, walls->n, &walls->room, sizeof *walls->list))
        return false;
    walls->list[walls->n++] = *wall;
    return true;
}

/* The nearest arc that would be its other face. */
static size_t find_partner(const aw_bends *arcs, size_t i, const bool used[], const aw_joining *how,
                           double thickness)
{
    size_t best = i;
    double from;
    for (size_t k = 0; k < arcs->n; k++) {
        const aw_bend *a = &arcs->list[i], *b = &arcs->list[k];
        if (k == i || used[k] || !fits(a, b, how, thickness) ||
            common(a, b, &from) * a->radius <= 0.05)
            continue;
        if (best == i || fabs(b->radius - a->radius) < fabs(arcs->list[best].radius - a->radius))
            best = k;
    }
    return best;
}

static void leave(const aw_bend *arc, aw_faces_left *left)
{
    const double length = arc->radius * arc->turn;
    if (arc->radius <= WIDEST_SWING && arc->turn < 1.9) {
        left->n_short++;
    } else {
        left->n_single++;
        left->single_length += length;
    }
}

bool aw_bends_join(const aw_bends *arcs, const aw_joining *how, double thickness, aw_bends *walls,
                   aw_faces_left *left)
{
    bool *used = calloc(arcs->n + 1, sizeof *used), fine = used != NULL;
    for (size_t i = 0; fine && i < arcs->n; i++)
        for (size_t k = 0; k < i && !used[i]; k++)
            used[i] = !used[k] && is_double(&arcs->list[i], &arcs->list[k]);
    for (size_t i = 0; fine && i < arcs->n; i++) {
        const aw_bend *a = &arcs->list[i];
        if (used[i])
            continue;
        const size_t k = find_partner(arcs, i, used, how, thickness);
        if (k != i) {
            aw_bend wall = *a;
            wall.turn = common(a, &arcs->list[k], &wall.from);
            wall.radius = (a->radius + arcs->list[k].radius) / 2;
            wall.thickness = fabs(a->radius - arcs->list[k].radius);
            used[k] = true;
            fine = add_wall(walls, &wall);
        } else if (!isnan(thickness) && !(a->radius <= WIDEST_SWING && a->turn < 1.9)) {
            aw_bend wall = *a;
            wall.thickness = thickness;
            fine = add_wall(walls, &wall);
        } else {
            leave(a, left);
        }
        used[i] = true;
    }
    free(used);
    return fine;
}

aw_point *aw_bend_corners(const aw_bend *b, size_t *n)
{
    const double step = 2 * acos(fmax(0, 1 - CHORD_ERROR / b->radius));
    const size_t chords = (size_t)ceil(fmax(1, fmin(5000, b->turn / step - 1e-9)));
    aw_point *at = calloc(chords + 1, sizeof *at);
    *n = chords + 1;
    for (size_t i = 0; at != NULL && i <= chords; i++) {
        const double angle = b->from + b->turn * (double)i / (double)chords;
        at[i] =
            (aw_point){b->centre.x + b->radius * cos(angle), b->centre.y + b->radius * sin(angle)};
    }
    return at;
}
