/* Marching squares on the lattice of cell centres. A square whose corners alternate is split by its
 * mean value, so that isolines never cross. */
#include <math.h>
#include <stdlib.h>

#include "draw/field.h"

/* An edge of the lattice: to the right of centre (i, j), or above it. */
#define RIGHT   0
#define ABOVE   1
#define NOWHERE ((size_t)-1)

typedef struct tracer {
    const aw_field *f;
    double level;
    size_t (*next)[2]; /* for each edge the one or two edges its isoline goes on to */
    aw_paths *paths;
    size_t n_points;
} tracer;

static size_t edge_of(const aw_field *f, size_t i, size_t j, size_t kind)
{
    return 2 * (j * f->nx + i) + kind;
}

static aw_point between(aw_point a, aw_point b, double va, double vb, double level)
{
    const double s = (level - va) / (vb - va);
    return (aw_point){a.x + s * (b.x - a.x), a.y + s * (b.y - a.y)};
}

static aw_point crossing(const tracer *t, size_t edge)
{
    const size_t a = edge / 2, b = edge % 2 == RIGHT ? a + 1 : a + t->f->nx;
    return between(aw_field_centre(t->f, a), aw_field_centre(t->f, b), t->f->value[a],
                   t->f->value[b], t->level);
}

static void join(tracer *t, size_t e, size_t f)
{
    t->next[e][t->next[e][0] != NOWHERE] = f;
    t->next[f][t->next[f][0] != NOWHERE] = e;
}

/* Joins the crossings of one square: corners counter-clockwise from the lower left, edge k from
 * corner k to corner k + 1. */
static void join_square(tracer *t, size_t i, size_t j)
{
    const aw_field *f = t->f;
    const size_t at = j * f->nx + i;
    const double v[4] = {f->value[at], f->value[at + 1], f->value[at + f->nx + 1],
                         f->value[at + f->nx]};
    const size_t edge[4] = {edge_of(f, i, j, RIGHT), edge_of(f, i + 1, j, ABOVE),
                            edge_of(f, i, j + 1, RIGHT), edge_of(f, i, j, ABOVE)};
    size_t crossed[4], n = 0;
    if (isnan(v[0] + v[1] + v[2] + v[3]))
        return;
    for (int k = 0; k < 4; k++)
        if ((v[k] >= t->level) != (v[(k + 1) % 4] >= t->level))
            crossed[n++] = edge[k];
    if (n == 2)
        join(t, crossed[0], crossed[1]);
    if (n == 4) {
        /* Corner 0 is cut off if the middle is on the other side than it. */
        const bool middle = (v[0] + v[1] + v[2] + v[3]) / 4 >= t->level;
        const bool cut = (v[0] >= t->level) != middle;
        join(t, crossed[0], crossed[cut ? 3 : 1]);
        join(t, crossed[cut ? 1 : 2], crossed[cut ? 2 : 3]);
    }
}

/* Follows an isoline from one edge until it ends or comes back, taking its joints apart. */
static void follow(tracer *t, size_t start)
{
    aw_outline *path = &t->paths->list[t->paths->n++];
    *path = (aw_outline){.at = t->paths->points + t->n_points};
    for (size_t edge = start;;) {
        t->paths->points[t->n_points++] = crossing(t, edge);
        path->n++;
        const size_t onward = t->next[edge][0];
        t->next[edge][0] = t->next[edge][1];
        t->next[edge][1] = NOWHERE;
        if (onward == NOWHERE)
            break;
        const size_t back = t->next[onward][0] == edge ? 0 : 1;
        t->next[onward][back] = t->next[onward][1];
        t->next[onward][1] = NOWHERE;
        if (onward == start) {
            path->closed = true;
            break;
        }
        edge = onward;
    }
}

bool aw_field_trace(const aw_field *f, double level, aw_paths *paths)
{
    const size_t n = 2 * f->nx * f->ny;
    tracer t = {f, level, malloc(n * sizeof *t.next), paths, 0};
    *paths = (aw_paths){.list = malloc((n / 2 + 1) * sizeof *paths->list),
                        .points = malloc((n + 1) * sizeof *paths->points)};
    if (t.next == NULL || paths->list == NULL || paths->points == NULL) {
        free(t.next);
        aw_paths_free(paths);
        return false;
    }
    for (size_t e = 0; e < n; e++)
        t.next[e][0] = t.next[e][1] = NOWHERE;
    for (size_t j = 0; j + 1 < f->ny; j++)
        for (size_t i = 0; i + 1 < f->nx; i++)
            join_square(&t, i, j);
    for (size_t e = 0; e < n; e++)
        if (t.next[e][0] != NOWHERE && t.next[e][1] == NOWHERE)
            follow(&t, e);
    for (size_t e = 0; e < n; e++)
        if (t.next[e][0] != NOWHERE)
            follow(&t, e);
    free(t.next);
    return true;
}

void aw_paths_free(aw_paths *paths)
{
    free(paths->list);
    free(paths->points);
    *paths = (aw_paths){0};
}
