#include "plan/faces.h"

#include <math.h>
#include <stdlib.h>

#include "base/plane.h"
#include "plan/grow.h"

#define SHORTEST      0.001
#define ONE_DIRECTION (0.1 * M_PI / 180)
#define ONE_CLUSTER   (0.3 * M_PI / 180)
#define ONE_OFFSET    0.002
#define COLLINEAR     0.015 /* of walls */
#define LIKE          0.02  /* of their thickness */
#define MOST_PAIRS    4000000
#define MOST_LOOKS    500000000

/* A stretch of a line of one direction: along it from t0 to t1, across at s0 there and s1. */
typedef struct span {
    double t0, t1, s0, s1, angle;
} span;

typedef struct cut {
    double t0, t1;
} cut;

/* Stretches that serve a wall already, on one side of a face. */
typedef struct cuts {
    cut *list;
    size_t n, room;
} cuts;

typedef struct face {
    span is;
    cuts served[2]; /* towards smaller and larger offsets */
} face;

typedef struct couple {
    size_t a, b; /* faces; b has the larger offset */
    double apart, facing;
} couple;

typedef struct middle {
    span is;
    double thickness;
} middle;

typedef struct joining {
    const aw_joining *how;
    double thickness, angle; /* of the cluster */
    span *spans;             /* of all lines; a cluster is a part of them */
    face *faces;
    size_t n_faces, room_faces;
    couple *couples;
    size_t n_couples, room_couples, looks;
    middle *middles;
    size_t n_middles, room_middles;
    aw_strokes *walls;
    aw_faces_left *left;
    aw_errors *errors;
} joining;

bool aw_strokes_add(aw_strokes *s, aw_point a, aw_point b, double thickness)
{
    if (!aw_grow(&s->list, s->n, &s->room, sizeof *s->list))
        return false;
    s->list[s->n++] = (aw_stroke){a, b, thickness};
    return true;
}

/* --- directions and offsets --- */

static int compare_angles(const void *a, const void *b)
{
    const double x = ((const span *)a)->angle, y = ((const span *)b)->angle;
    return (x > y) - (x < y);
}

/* By offset, then along. */
static int compare_spans(const void *a, const void *b)
{
    const span *x = a, *y = b;
    const double s = x->s0 + x->s1, t = y->s0 + y->s1;
    return s != t ? (s > t) - (s < t) : (x->t0 > y->t0) - (x->t0 < y->t0);
}

static int compare_along(const void *a, const void *b)
{
    const span *x = a, *y = b;
    return (x->t0 > y->t0) - (x->t0 < y->t0);
}

/* Until its direction is known a span holds its ends: (t0, s0), (t1, s1). */
static span make_span(const aw_stroke *line)
{
    double angle = atan2(line->b.y - line->a.y, line->b.x - line->a.x);
    angle += angle < 0 ? M_PI : 0;
    angle -= angle >= M_PI ? M_PI : 0;
    return (span){line->a.x, line->b.x, line->a.y, line->b.y, angle};
}

static void turn_span(span *s, double c, double n)
{
    const double t0 = c * s->t0 + n * s->s0, t1 = c * s->t1 + n * s->s1;
    const double s0 = c * s->s0 - n * s->t0, s1 = c * s->s1 - n * s->t1;
    *s = t0 <= t1 ? (span){t0, t1, s0, s1, s->angle} : (span){t1, t0, s1, s0, s->angle};
}

/* The spans of a cluster get its direction. */
static double lay_along(span *spans, size_t n)
{
    double sum = 0, length = 0;
    for (size_t i = 0; i < n; i++) {
        const double l = aw_length(spans[i].t1 - spans[i].t0, spans[i].s1 - spans[i].s0);
        sum += l * (spans[i].angle - spans[0].angle);
        length += l;
    }
    const double angle = spans[0].angle + sum / length;
    for (size_t i = 0; i < n; i++)
        turn_span(&spans[i], cos(angle), sin(angle));
    return angle;
}

static bool add_face(joining *j, const span *s)
{
    if (!aw_grow(&j->faces, j->n_faces, &j->room_faces, sizeof *j->faces))
        return false;
    j->faces[j->n_faces++] = (face){.is = *s};
    return true;
}

/* Joins the spans of one line that touch. */
static bool gather_line(joining *j, span *spans, size_t n)
{
    qsort(spans, n, sizeof *spans, compare_along);
    span now = spans[0];
    for (size_t i = 1; i < n; i++) {
        if (spans[i].t0 > now.t1 + j->how->gap) {
            if (!add_face(j, &now))
                return false;
            now = spans[i];
        } else if (spans[i].t1 > now.t1) {
            now.t1 = spans[i].t1;
            now.s1 = spans[i].s1;
        }
    }
    return add_face(j, &now);
}

static bool gather_faces(joining *j, span *spans, size_t n)
{
    size_t first = 0;
    qsort(spans, n, sizeof *spans, compare_spans);
    for (size_t i = 1; i <= n; i++)
        if (i == n || (spans[i].s0 + spans[i].s1) / 2 >
                          (spans[i - 1].s0 + spans[i - 1].s1) / 2 + ONE_OFFSET) {
            if (!gather_line(j, spans + first, i - first))
                return false;
            first = i;
        }
    return true;
}

/* --- pairs --- */

static double offset_of(const span *s)
{
    return (s->s0 + s->s1) / 2;
}

/* Its offset at a place along. */
static double across(const span *s, double t)
{
    const double length = s->t1 - s->t0;
    return length > 0 ? s->s0 + (s->s1 - s->s0) * (t - s->t0) / length : s->s0;
}

static double least_facing(double apart)
{
    return fmax(0.05, 0.3 * apart);
}

static int compare_faces(const void *a, const void *b)
{
    return compare_spans(&((const face *)a)->is, &((const face *)b)->is);
}

static int compare_couples(const void *a, const void *b)
{
    const couple *x = a, *y = b;
    if (fabs(x->apart - y->apart) > 1e-4)
        return (x->apart > y->apart) - (x->apart < y->apart);
    if (x->facing != y->facing)
        return (x->facing < y->facing) - (x->facing > y->facing);
    return x->a != y->a ? (x->a > y->a) - (x->a < y->a) : (x->b > y->b) - (x->b < y->b);
}

static bool may_pair(const joining *j, double apart)
{
    if (!isnan(j->thickness))
        return fabs(apart - j->thickness) <= 0.01;
    return apart >= j->how->thinnest - 0.0005 && apart <= j->how->thickest + 0.0005;
}

static bool refuse_hatching(joining *j)
{
    aw_errors_add(j->errors, AW_ERROR, 0, 0,
                  "over 4 000 000 pairs of lines could be walls: is this a layer of walls, or of "
                  "hatching?");
    return false;
}

static bool find_couples(joining *j)
{
    const double reach = isnan(j->thickness) ? j->how->thickest : j->thickness;
    qsort(j->faces, j->n_faces, sizeof *j->faces, compare_faces);
    j->n_couples = 0;
    for (size_t a = 0; a < j->n_faces; a++)
        for (size_t b = a + 1; b < j->n_faces; b++) {
            const span *x = &j->faces[a].is, *y = &j->faces[b].is;
            const double apart = offset_of(y) - offset_of(x);
            if (apart > reach + 0.02)
                break;
            if (++j->looks > MOST_LOOKS)
                return refuse_hatching(j);
            const double facing = fmin(x->t1, y->t1) - fmax(x->t0, y->t0);
            if (!may_pair(j, apart) || facing <= least_facing(apart))
                continue;
            if (j->n_couples == MOST_PAIRS)
                return refuse_hatching(j);
            if (!aw_grow(&j->couples, j->n_couples, &j->room_couples, sizeof *j->couples))
                return false;
            j->couples[j->n_couples++] = (couple){a, b, apart, facing};
        }
    if (j->n_couples > 0)
        qsort(j->couples, j->n_couples, sizeof *j->couples, compare_couples);
    return true;
}

static bool add_cut(cuts *c, double t0, double t1)
{
    if (!aw_grow(&c->list, c->n, &c->room, sizeof *c->list))
        return false;
    size_t i = c->n++;
    for (; i > 0 && c->list[i - 1].t0 > t0; i--)
        c->list[i] = c->list[i - 1];
    c->list[i] = (cut){t0, t1};
    return true;
}

/* How much of a stretch they take. */
static double taken(const cuts *c, double t0, double t1)
{
    double sum = 0;
    for (size_t i = 0; i < c->n; i++)
        sum += fmax(0, fmin(t1, c->list[i].t1) - fmax(t0, c->list[i].t0));
    return sum;
}

/* The first free stretch from t0 on, before t1, of both; false: none. */
static bool next_free(const cuts *a, const cuts *b, double *t0, double t1, double *end)
{
    bool moved = true;
    while (moved) {
        moved = false;
        for (int k = 0; k < 2; k++) {
            const cuts *c = k == 0 ? a : b;
            for (size_t i = 0; i < c->n; i++)
                if (c->list[i].t0 <= *t0 + 1e-9 && c->list[i].t1 > *t0 + 1e-9) {
                    *t0 = c->list[i].t1;
                    moved = true;
                }
        }
    }
    *end = t1;
    for (int k = 0; k < 2; k++) {
        const cuts *c = k == 0 ? a : b;
        for (size_t i = 0; i < c->n; i++)
            if (c->list[i].t0 > *t0)
                *end = fmin(*end, c->list[i].t0);
    }
    return *t0 < t1;
}

static bool add_middle(joining *j, const span *x, const span *y, double t0, double t1)
{
    if (!aw_grow(&j->middles, j->n_middles, &j->room_middles, sizeof *j->middles))
        return false;
    const double a0 = across(x, t0), a1 = across(x, t1), b0 = across(y, t0), b1 = across(y, t1);
    j->middles[j->n_middles++] =
        (middle){{t0, t1, (a0 + b0) / 2, (a1 + b1) / 2, 0}, (b0 + b1 - a0 - a1) / 2};
    return true;
}

/* Where the wall ends that two faces make: where the longer one does, if they were drawn to end at
 * one place. */
static double wall_end(const joining *j, double end, double a, double b, double nearer,
                       double longer)
{
    return end == nearer && fabs(a - b) <= j->how->gap ? longer : end;
}

static bool serve(joining *j, const couple *c)
{
    face *a = &j->faces[c->a], *b = &j->faces[c->b];
    const double first = fmax(a->is.t0, b->is.t0), last = fmin(a->is.t1, b->is.t1);
    double t0 = first, t1;
    while (next_free(&a->served[1], &b->served[0], &t0, last, &t1)) {
        const double length = t1 - t0;
        const bool between =
            taken(&a->served[0], t0, t1) > length / 2 && taken(&b->served[1], t0, t1) > length / 2;
        if (length > least_facing(c->apart) && !between &&
            (!add_middle(j, &a->is, &b->is,
                         wall_end(j, t0, a->is.t0, b->is.t0, first, fmin(a->is.t0, b->is.t0)),
                         wall_end(j, t1, a->is.t1, b->is.t1, last, fmax(a->is.t1, b->is.t1))) ||
             !add_cut(&a->served[1], t0, t1) || !add_cut(&b->served[0], t0, t1)))
            return false;
        t0 = t1;
    }
    return true;
}

/* What of a face serves no wall: a wall drawn as one line, or nothing. */
static bool take_single(joining *j, const face *f)
{
    double t0 = f->is.t0, t1;
    while (next_free(&f->served[0], &f->served[1], &t0, f->is.t1, &t1)) {
        const double length = t1 - t0;
        if (length <= j->how->thickest) {
            j->left->n_short++;
        } else if (!isnan(j->thickness)) {
            if (!add_middle(j, &f->is, &f->is, t0, t1))
                return false;
            j->middles[j->n_middles - 1].thickness = j->thickness;
        } else {
            j->left->n_single++;
            j->left->single_length += length;
        }
        t0 = t1;
    }
    return true;
}

/* --- walls --- */

static bool add_wall(joining *j, const middle *m)
{
    const double c = cos(j->angle), n = sin(j->angle);
    const span *s = &m->is;
    return aw_strokes_add(j->walls, (aw_point){c * s->t0 - n * s->s0, n * s->t0 + c * s->s0},
                          (aw_point){c * s->t1 - n * s->s1, n * s->t1 + c * s->s1}, m->thickness);
}

static int compare_middles(const void *a, const void *b)
{
    return compare_spans(&((const middle *)a)->is, &((const middle *)b)->is);
}

/* Finds, for a wall, the nearest that goes on where it ends, and joins them. */
static bool prolong(joining *j, size_t i, bool gone[])
{
    middle *m = &j->middles[i];
    const double most = fmin(j->how->thickest, j->how->door - 0.01);
    size_t best = i;
    for (size_t k = 0; k < j->n_middles; k++) {
        const middle *o = &j->middles[k];
        const double step = o->is.t0 - m->is.t1;
        if (k == i || gone[k] || step > most || o->is.t1 <= m->is.t1 || step < -0.05 ||
            fabs(o->thickness - m->thickness) > LIKE || fabs(o->is.s0 - m->is.s1) > COLLINEAR)
            continue;
        if (best == i || o->is.t0 < j->middles[best].is.t0)
            best = k;
    }
    if (best == i)
        return false;
    const middle *o = &j->middles[best];
    const double l = m->is.t1 - m->is.t0, k = o->is.t1 - o->is.t0;
    m->thickness = (l * m->thickness + k * o->thickness) / (l + k);
    m->is.t1 = o->is.t1;
    m->is.s1 = o->is.s1;
    gone[best] = true;
    return true;
}

static bool join_middles(joining *j)
{
    bool *gone = calloc(j->n_middles + 1, sizeof *gone), fine = gone != NULL;
    if (fine && j->n_middles > 0)
        qsort(j->middles, j->n_middles, sizeof *j->middles, compare_middles);
    for (size_t i = 0; fine && i < j->n_middles; i++)
        while (!gone[i] && prolong(j, i, gone))
            ;
    for (size_t i = 0; fine && i < j->n_middles; i++)
        fine = gone[i] || add_wall(j, &j->middles[i]);
    free(gone);
    return fine;
}

static bool join_cluster(joining *j, span *spans, size_t n)
{
    j->angle = lay_along(spans, n);
    j->n_faces = j->n_middles = 0;
    bool fine = gather_faces(j, spans, n) && find_couples(j);
    for (size_t i = 0; fine && i < j->n_couples; i++)
        fine = serve(j, &j->couples[i]);
    for (size_t i = 0; fine && i < j->n_faces; i++)
        fine = take_single(j, &j->faces[i]);
    fine = fine && join_middles(j);
    for (size_t i = 0; i < j->n_faces; i++)
        for (int side = 0; side < 2; side++)
            free(j->faces[i].served[side].list);
    return fine;
}

/* Directions chain up to a limit. Those just under 180 degrees belong with those just over 0. */
static bool join_clusters(joining *j, size_t n)
{
    size_t first = 0;
    bool fine = true;
    qsort(j->spans, n, sizeof *j->spans, compare_angles);
    for (size_t i = n; i-- > 0 && j->spans[i].angle > M_PI - ONE_DIRECTION;)
        j->spans[i].angle -= M_PI;
    qsort(j->spans, n, sizeof *j->spans, compare_angles);
    for (size_t i = 1; fine && i <= n; i++)
        if (i == n || j->spans[i].angle - j->spans[i - 1].angle > ONE_DIRECTION ||
            j->spans[i].angle - j->spans[first].angle > ONE_CLUSTER) {
            fine = join_cluster(j, j->spans + first, i - first);
            first = i;
        }
    return fine;
}

bool aw_faces_join(const aw_strokes *lines, const aw_joining *how, double thickness,
                   aw_strokes *walls, aw_faces_left *left, aw_errors *errors)
{
    joining j = {.how = how,
                 .thickness = thickness,
                 .spans = calloc(lines->n + 1, sizeof *j.spans),
                 .walls = walls,
                 .left = left,
                 .errors = errors};
    size_t n = 0;
    for (size_t i = 0; j.spans != NULL && i < lines->n; i++) {
        const aw_stroke *l = &lines->list[i];
        if (aw_length(l->b.x - l->a.x, l->b.y - l->a.y) > SHORTEST)
            j.spans[n++] = make_span(l);
    }
    const bool fine = j.spans != NULL && join_clusters(&j, n);
    free(j.spans);
    free(j.faces);
    free(j.couples);
    free(j.middles);
    return fine;
}
