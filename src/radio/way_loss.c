/* Edges in the order in which the way comes by them, each family's heights over the way turned into
 * bends of the polyline over the edges' tips. */
#include "radio/way_loss.h"

#include <math.h>
#include <string.h>

#include "radio/diffraction.h"

/* Edges of one family nearer to one another along the way count as one, m: sheet metal is a screen.
 */
#define TOGETHER 3e-3
/* Edges of one family passed by one leg: looked at, and taken. */
#define CLOSE  6
#define BESIDE 3
/* m by which a leg is moved beyond an edge. */
#define BEYOND 1e-4
/* Edges are looked at up to so many times the limit's detour: beside a tip a further one may count.
 */
#define WIDER 3
/* From this share of the limit's detour on an edge fades out. */
#define FADES 0.5

/* An edge on or below the way. */
typedef struct tip {
    double along;  /* m, from the way's beginning */
    double height; /* m over the way: 0, or less */
    double bend;   /* rad, of the way itself */
    double side;
    double detour; /* m, by the edge from its leg's ends; 0 on the way */
} tip;

/* Tips of one family in the order of the way. */
typedef struct family {
    tip tips[AW_EDGES_MOST];
    size_t n;
} family;

/* One leg, its ends moved off what they touch; the edges at its ends. */
typedef struct leg {
    const double *from, *to;
    double begin, length; /* m, along the way */
    const aw_edge *first, *last;
} leg;

/* An edge that a leg passes: where it comes nearest, and the leg's point there. */
typedef struct edge_by {
    const aw_edge *edge;
    double q[3];
    double before; /* m along the leg */
    double detour; /* m, from the ends of what of the leg lies between tips */
} edge_by;

/* Edges that a leg passes closely, and what it runs through beside its edge. */
typedef struct passed {
    edge_by by[2][CLOSE];
    size_t n[2];
    double least; /* detour by the nearest of all, over the whole way */
    const char *nearest;
    double through_db;
} passed;

static int family_of(const aw_edge *e)
{
    return e->kind == AW_EDGE_UPRIGHT;
}

/* +1 if the way goes right of a body in that direction, or over it. */
static double side_of(const aw_edge *e, const double on[3])
{
    if (e->kind != AW_EDGE_UPRIGHT)
        return e->kind == AW_EDGE_TOP ? 1 : -1;
    return on[0] * e->into[1] - on[1] * e->into[0] > 0 ? 1 : -1;
}

/* --- Edges beside a leg --- */

static double measure(const aw_edge *e, const double from[3], const double to[3], double q[3])
{
    aw_edge_point(e, aw_edge_nearest(e, from, to), q);
    return fmax(aw_distance(from, q) + aw_distance(q, to) - aw_distance(from, to), 0);
}

/* Keeps the nearest, in their order. */
static void note(passed *p, const leg *l, const edge_by *own)
{
    const int which = family_of(own->edge);
    edge_by *by = p->by[which];
    size_t k = p->n[which] < CLOSE ? p->n[which]++ : CLOSE;
    for (; k > 0 && by[k - 1].detour > own->detour; k--)
        if (k < CLOSE)
            by[k] = by[k - 1];
    if (k == CLOSE)
        return;
    const double a = aw_distance(l->from, own->q), b = aw_distance(own->q, l->to);
    by[k] = *own;
    by[k].before = a + b > 0 ? a / (a + b) * l->length : 0;
}

/* Whether a leg moved beyond an edge of a body that it runs through would be free of it. */
static bool ends_at(const aw_body *body, const leg *l, const edge_by *by)
{
    const double a = aw_distance(l->from, by->q), b = aw_distance(by->q, l->to);
    double out[3], size = 0;
    for (int k = 0; k < 3; k++) {
        out[k] = by->q[k] - l->from[k] - a / (a + b) * (l->to[k] - l->from[k]);
        size += out[k] * out[k];
    }
    for (int k = 0; k < 3; k++)
        out[k] = by->q[k] + (size > 0 ? BEYOND / sqrt(size) : 0) * out[k];
    return aw_body_length(body, l->from, out) <= body->crossing &&
           aw_body_length(body, out, l->to) <= body->crossing;
}

static void run_through(passed *p, const leg *l, const aw_body *body, const edge_by by[], size_t n,
                        double wavelength)
{
    const double limit = AW_EDGE_CLEAR * AW_EDGE_CLEAR / 4 * wavelength;
    double least = HUGE_VAL;
    for (size_t i = 0; i < n; i++)
        if (by[i].detour < fmin(least, limit) && ends_at(body, l, &by[i]))
            least = by[i].detour;
    if (n > 0 && least < HUGE_VAL)
        p->through_db += aw_edge_loss(-aw_edge_v(least, wavelength));
}

static const char *name_of(const aw_scene *scene, size_t body)
{
    return body < scene->n_bodies ? scene->air->stuff[body].name
                                  : scene->scenario->levels[body - scene->n_bodies].name;
}

static void pass_body(passed *p, const leg *l, const aw_scene *scene, size_t body, double limit)
{
    const aw_edges *edges = &scene->air->edges;
    edge_by by[AW_EDGES_MOST];
    size_t n = 0;
    for (uint32_t i = edges->first[body]; i < edges->first[body + 1] && n < AW_EDGES_MOST; i++) {
        by[n].edge = &edges->list[i];
        if (by[n].edge == l->first || by[n].edge == l->last)
            continue;
        by[n].detour = measure(by[n].edge, l->from, l->to, by[n].q);
        n += by[n].detour < limit;
    }
    if (n == 0)
        return;
    const aw_body *own = body < scene->n_bodies ? &scene->bodies[body] : NULL;
    if (own != NULL && aw_body_length(own, l->from, l->to) > own->crossing) {
        run_through(p, l, own, by, n, scene->air->wavelength);
        return;
    }
    for (size_t i = 0; i < n; i++) {
        note(p, l, &by[i]);
        if (by[i].detour < p->least && by[i].detour < limit / WIDER) {
            p->least = by[i].detour;
            p->nearest = name_of(scene, body);
        }
    }
}

static void pass_leg(passed *p, const leg *l, const aw_scene *scene, double limit)
{
    const double reach = sqrt(limit * l->length / 2 + limit * limit / 4);
    aw_near near = aw_boxes_near(&scene->air->boxes, l->from, l->to, reach);
    for (size_t i = aw_near_next(&near); i < scene->n_bodies; i = aw_near_next(&near))
        pass_body(p, l, scene, i, limit);
    for (size_t i = 0; scene->air->has_rims && i < scene->scenario->n_levels; i++)
        pass_body(p, l, scene, scene->n_bodies + i, limit);
}

/* --- Rows --- */

/* Puts a tip where it belongs; without room the one that is passed furthest off goes. */
static void put(family *f, const tip *own)
{
    if (f->n == AW_EDGES_MOST) {
        size_t off = 0;
        for (size_t i = 1; i < f->n; i++)
            off = f->tips[i].detour > f->tips[off].detour ? i : off;
        if (f->tips[off].detour <= own->detour)
            return;
        memmove(&f->tips[off], &f->tips[off + 1], (--f->n - off) * sizeof *f->tips);
    }
    size_t k = f->n++;
    for (; k > 0 && f->tips[k - 1].along > own->along; k--)
        f->tips[k] = f->tips[k - 1];
    f->tips[k] = *own;
}

/* The nearest edge becomes a tip; the others are then held against what of the leg lies before it
 * or behind it, and so on: as they will be when the way touches it. */
static void take_nearest(family *f, const leg *l, edge_by by[], size_t n, double limit)
{
    const edge_by *taken[BESIDE];
    double furthest = 0;
    for (size_t round = 0; round < BESIDE; round++) {
        size_t best = n;
        for (size_t i = 0; i < n; i++) {
            const double *from = l->from, *to = l->to;
            double q[3], begin = 0, end = l->length;
            bool is_taken = false;
            for (size_t k = 0; k < round; k++) {
                is_taken = is_taken || taken[k] == &by[i];
                if (taken[k]->before <= by[i].before && taken[k]->before >= begin) {
                    from = taken[k]->q;
                    begin = taken[k]->before;
                } else if (taken[k]->before > by[i].before && taken[k]->before < end) {
                    to = taken[k]->q;
                    end = taken[k]->before;
                }
            }
            if (is_taken)
                continue;
            if (round > 0)
                by[i].detour = measure(by[i].edge, from, to, q);
            if (by[i].detour < limit && (best == n || by[i].detour < by[best].detour))
                best = i;
        }
        if (best == n)
            return;
        taken[round] = &by[best];
        /* What was looked for from a tip on fades out before it. */
        furthest = fmax(furthest * (1 + 1e-9), by[best].detour);
        const double before = by[best].before, after = l->length - before;
        const double whole =
            round == 0 ? by[best].detour : measure(by[best].edge, l->from, l->to, by[best].q);
        double on[3];
        for (int k = 0; k < 3; k++)
            on[k] = l->to[k] - l->from[k];
        put(f, &(tip){.along = l->begin + before,
                      .height = -sqrt(2 * whole * before * after / l->length),
                      .side = side_of(by[best].edge, on),
                      .detour = furthest});
    }
}

/* Tips so close together that they act as one: the higher stays, bends add. */
static void merge(family *f)
{
    size_t kept = 0;
    for (size_t i = 0; i < f->n; i++) {
        tip *last = kept > 0 ? &f->tips[kept - 1] : NULL;
        if (last == NULL || f->tips[i].along - last->along >= TOGETHER) {
            f->tips[kept++] = f->tips[i];
            continue;
        }
        const double bend = last->bend + f->tips[i].bend;
        if (f->tips[i].height > last->height)
            *last = f->tips[i];
        last->bend = bend;
    }
    f->n = kept;
}

/* The row of those tips that are left, and which of them is passed furthest off: by its detour from
 * its leg's ends or, if that is more, from the tips beside it. */
static size_t lay_row(aw_edge_row *row, const family *f, const bool is_left[], double length,
                      double wavelength, double *off)
{
    size_t at[AW_EDGES_MOST], furthest = f->n;
    row->n = 0;
    for (size_t i = 0; i < f->n; i++)
        if (is_left[i])
            at[row->n++] = i;
    for (size_t i = 0; i <= row->n; i++) {
        const double from = i > 0 ? f->tips[at[i - 1]].along : 0;
        row->leg[i] = fmax((i < row->n ? f->tips[at[i]].along : length) - from, TOGETHER);
    }
    *off = -1;
    for (size_t i = 0; i < row->n; i++) {
        const tip *t = &f->tips[at[i]];
        const double before = i > 0 ? f->tips[at[i - 1]].height : 0;
        const double after = i + 1 < row->n ? f->tips[at[i + 1]].height : 0;
        row->side[i] = t->side;
        row->bend[i] =
            t->bend + (t->height - before) / row->leg[i] + (t->height - after) / row->leg[i + 1];
        const double v = fmin(aw_edge_bend_v(row, i, wavelength), 0);
        const double own = fmax(t->detour, v * v / 4 * wavelength);
        if (own > *off) {
            *off = own;
            furthest = at[i];
        }
    }
    return furthest;
}

/* Edges fade out towards the limit, the one that is passed furthest off first. */
static double lose(family *f, double length, const aw_radio_scene *air, double limit)
{
    bool is_left[AW_EDGES_MOST];
    double db = 0, faded = 1, off;
    merge(f);
    for (size_t i = 0; i < f->n; i++)
        is_left[i] = true;
    for (size_t k = 0; k < f->n && faded > 0; k++) {
        aw_edge_row row;
        const size_t furthest = lay_row(&row, f, is_left, length, air->wavelength, &off);
        const double share = fmax(fmin((1 - off / limit) / (1 - FADES), 1), 0);
        if (share > 0)
            db += faded * share * aw_edge_row_loss(&row, air->wavelength, air->rules);
        faded *= 1 - share;
        is_left[furthest] = false;
    }
    return db;
}

/* The edge that the way bends round at a point, between legs of these lengths. */
static tip bend_at(const aw_way *w, size_t i, double along, double before, double after)
{
    double on[3];
    const double detour = fmax(before + after - aw_distance(w->at[i], w->at[i + 2]), 0);
    for (int k = 0; k < 3; k++)
        on[k] = w->at[i + 2][k] - w->at[i][k];
    return (tip){.along = along,
                 .bend = sqrt(2 * detour * (before + after) / fmax(before * after, 1e-12)),
                 .side = side_of(w->edge[i], on)};
}

aw_way_loss aw_way_lose(const aw_scene *scene, const aw_way *w)
{
    const double limit = AW_EDGE_CLEAR * AW_EDGE_CLEAR / 4 * scene->air->wavelength;
    family families[2] = {{.n = 0}, {.n = 0}};
    double from[3], to[3], along = 0, last = 0;
    passed p = {.least = HUGE_VAL};
    aw_way_aside(w, 0, from);
    for (size_t i = 0; i <= w->n; i++) {
        const double length = aw_distance(w->at[i], w->at[i + 1]);
        if (i > 0) {
            const tip own = bend_at(w, i - 1, along, last, length);
            put(&families[family_of(w->edge[i - 1])], &own);
        }
        aw_way_aside(w, i + 1, to);
        const leg l = {from,
                       to,
                       along,
                       fmax(length, 1e-9),
                       i > 0 ? w->edge[i - 1] : NULL,
                       i < w->n ? w->edge[i] : NULL};
        p.n[0] = p.n[1] = 0;
        pass_leg(&p, &l, scene, WIDER * limit);
        for (int which = 0; which < 2; which++)
            take_nearest(&families[which], &l, p.by[which], p.n[which], limit);
        memcpy(from, to, sizeof from);
        along += length;
        last = length;
    }
    double db = p.through_db;
    for (int which = 0; which < 2; which++)
        db += lose(&families[which], along, scene->air, limit);
    return (aw_way_loss){db, p.nearest};
}
