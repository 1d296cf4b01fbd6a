/* Where an anchor can be screwed to something: just inside the outline and on both sides of walls,
 * at the heights that the layout uses already; not beside an anchor. */
#include "place/mountable.h"

#include <math.h>
#include <string.h>

#include "base/plane.h"

/* Distance of a place from what it is mounted on; places along an edge; heights tried. */
#define OFF          0.3
#define APART        1.0
#define MOST_PLACES  400.0
#define MOST_HEIGHTS 4
/* Heights closer than this are one. */
#define ALIKE 0.05
/* Two anchors nearer than this share their reflections and are no more than one. */
#define CROWDED 1.0

typedef struct list {
    const aw_scenario *scenario;
    double (*places)[3];
    size_t room, n;
    double heights[MOST_HEIGHTS];
    size_t n_heights;
} list;

typedef struct walk {
    const aw_scenario *scenario;
    double apart;
    aw_mount_visit *visit;
    void *context;
} walk;

static bool is_known(const list *l, double height)
{
    for (size_t i = 0; i < l->n_heights; i++)
        if (fabs(l->heights[i] - height) < ALIKE)
            return true;
    return false;
}

/* How many anchors hang at about this height. */
static size_t users_of(const aw_scenario *s, double height)
{
    size_t n = 0;
    for (size_t i = 0; i < s->n_anchors; i++)
        n += fabs(s->anchors[i].at[2] - height) < ALIKE;
    return n;
}

/* The heights that most anchors hang at. */
static void find_heights(list *l)
{
    const aw_scenario *s = l->scenario;
    while (l->n_heights < MOST_HEIGHTS) {
        size_t best = s->n_anchors;
        for (size_t i = 0; i < s->n_anchors; i++)
            if (!is_known(l, s->anchors[i].at[2]) &&
                (best == s->n_anchors ||
                 users_of(s, s->anchors[i].at[2]) > users_of(s, s->anchors[best].at[2])))
                best = i;
        if (best == s->n_anchors)
            return;
        l->heights[l->n_heights++] = s->anchors[best].at[2];
    }
}

const char *aw_filled_by(const aw_scenario *s, aw_point p, double height, const char **kind)
{
    *kind = "obstacle";
    for (size_t i = 0; i < s->n_obstacles; i++) {
        const aw_obstacle *o = &s->obstacles[i];
        if (height >= o->base && height <= o->top && aw_polygon_holds(&o->footprint, p.x, p.y))
            return o->name;
    }
    *kind = "wall";
    for (size_t i = 0; i < s->n_walls; i++)
        for (size_t k = 0; k + 1 < s->walls[i].n; k++)
            if (height >= s->walls[i].base && height <= s->walls[i].top &&
                aw_polygon_holds(&s->walls[i].legs[k], p.x, p.y))
                return s->walls[i].name;
    return NULL;
}

bool aw_is_filled(const aw_scenario *s, aw_point p, double height)
{
    const char *kind;
    return aw_filled_by(s, p, height, &kind) != NULL;
}

bool aw_is_crowded(const aw_scenario *s, aw_point p, double height, size_t except)
{
    for (size_t i = 0; i < s->n_anchors; i++) {
        const double *at = s->anchors[i].at, dx = at[0] - p.x, dy = at[1] - p.y;
        const double dz = at[2] - height;
        if (i != except && dx * dx + dy * dy + dz * dz < CROWDED * CROWDED)
            return true;
    }
    return false;
}

static void add_place(void *context, aw_point p, double low, double high)
{
    list *l = context;
    const aw_scenario *s = l->scenario;
    for (size_t k = 0; k < l->n_heights; k++) {
        const double z = l->heights[k];
        if (z < low || z > high || aw_is_filled(s, p, z) || aw_is_crowded(s, p, z, s->n_anchors))
            continue;
        if (l->n < l->room) {
            l->places[l->n][0] = p.x;
            l->places[l->n][1] = p.y;
            l->places[l->n][2] = z;
        }
        l->n++;
    }
}

/* Places along a stretch, `off` to its left, for heights from low to high. */
static void walk_stretch(const walk *w, aw_point a, aw_point b, double off, const double span[2])
{
    const double length = aw_length(b.x - a.x, b.y - a.y), x = (b.x - a.x) / length;
    const double y = (b.y - a.y) / length, inner = length - 2 * OFF;
    const size_t gaps = inner > 0 ? (size_t)(inner / w->apart) + 1 : 0;
    for (size_t i = 0; i <= gaps; i++) {
        const double along = gaps > 0 ? OFF + inner * (double)i / (double)gaps : length / 2;
        const aw_point p = {a.x + along * x - off * y, a.y + along * y + off * x};
        if (aw_polygon_holds(&w->scenario->floor.outline, p.x, p.y))
            w->visit(w->context, p, span[0], span[1]);
    }
}

double aw_mounts_length(const aw_scenario *s)
{
    double sum = 0;
    for (size_t i = 0; i < s->floor.outline.n; i++) {
        const aw_point *at = s->floor.outline.at;
        const aw_point a = at[i], b = at[(i + 1) % s->floor.outline.n];
        sum += aw_length(b.x - a.x, b.y - a.y);
    }
    for (size_t i = 0; i < s->n_walls; i++)
        for (size_t k = 0; k + 1 < s->walls[i].n; k++)
            sum += 2 * aw_length(s->walls[i].path[k + 1].x - s->walls[i].path[k].x,
                                 s->walls[i].path[k + 1].y - s->walls[i].path[k].y);
    return sum;
}

void aw_mounts_walk(const aw_scenario *s, double apart, aw_mount_visit *visit, void *context)
{
    const walk way = {s, apart, visit, context};
    const aw_polygon *o = &s->floor.outline;
    for (size_t i = 0; i < o->n; i++)
        walk_stretch(&way, o->at[i], o->at[(i + 1) % o->n], OFF,
                     (const double[2]){0, s->floor.ceiling});
    for (size_t i = 0; i < s->n_walls; i++) {
        const aw_wall *w = &s->walls[i];
        for (size_t k = 0; k + 1 < w->n; k++)
            for (int side = -1; side <= 1; side += 2)
                walk_stretch(&way, w->path[k], w->path[k + 1], side * (w->thickness / 2 + OFF),
                             (const double[2]){w->base, w->top});
    }
}

size_t aw_mountable(const aw_scenario *s, double (*places)[3], size_t room)
{
    list l = {.scenario = s, .places = places, .room = room};
    find_heights(&l);
    aw_mounts_walk(s, fmax(APART, aw_mounts_length(s) / MOST_PLACES), add_place, &l);
    return l.n;
}
