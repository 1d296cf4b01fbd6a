/* Seen from an anchor, what stands between two heights darkens the plane of the places as if it
 * were blown up about the anchor: a prism's part of a line of sight from t0 to t1 of its length
 * puts copies of the footprint, 1 / (1 - t0) to 1 / (1 - t1) times as large, on that plane. Each
 * edge sweeps a quadrilateral; all the row needs of them is how far they reach to either side.
 *
 * Shadows come out too wide, never too narrow: the exact rule, in doubles of coordinates up to 1e5
 * m, is off by 1e-10 m at most, and here every line that comes within SLACK of a prism counts. */
#include "radio/shadow.h"

#include <math.h>
#include <stdlib.h>

#include "base/plane.h"
#include "radio/scene.h"

/* At the prism, m; on the plane so many times more as the shadow is larger. */
#define SLACK 1e-6
/* Shadows that end more times larger than this are cut to what can lie on the row. */
#define ENOUGH 100

typedef struct row {
    double first[3], step;
    size_t n;
} row;

struct aw_shadows {
    const aw_scene *scene;
    row row;
    aw_shadow *shadows; /* of all anchors, in order */
    size_t *end;        /* of each anchor's */
};

static size_t count_prisms(const aw_scene *scene)
{
    size_t n = 0;
    for (size_t i = 0; i < scene->n_bodies; i++)
        n += scene->bodies[i].n;
    return n;
}

aw_shadows *aw_shadows_create(const aw_scene *scene)
{
    const size_t anchors = scene->scenario->n_anchors;
    aw_shadows *s = calloc(1, sizeof *s);
    if (s == NULL)
        return NULL;
    s->scene = scene;
    /* Room for every prism; what is not used is not touched. */
    s->shadows = malloc((anchors * count_prisms(scene) + 1) * sizeof *s->shadows);
    s->end = calloc(anchors, sizeof *s->end);
    if (s->shadows != NULL && s->end != NULL)
        return s;
    aw_shadows_free(s);
    return NULL;
}

void aw_shadows_free(aw_shadows *shadows)
{
    if (shadows == NULL)
        return;
    free(shadows->shadows);
    free(shadows->end);
    free(shadows);
}

const aw_scene *aw_shadows_scene(const aw_shadows *shadows)
{
    return shadows->scene;
}

aw_shade aw_shadows_over(const aw_shadows *s, size_t anchor, size_t place)
{
    return (aw_shade){s->shadows + (anchor > 0 ? s->end[anchor - 1] : 0),
                      s->shadows + s->end[anchor], place};
}

/* --- one prism --- */

/* A row seen from an anchor: coordinates are relative to it. */
typedef struct view {
    double low, high, y; /* of the places */
    double reach;        /* no place is further away in plan */
} view;

/* How many times larger than the footprint the shadow begins and ends, and how far off a place has
 * to be not to count. */
typedef struct blow {
    double near, far, slack;
} blow;

static double gap(double low, double high)
{
    return low > 0 ? low : high < 0 ? -high : 0;
}

/* How far in plan an anchor is from a footprint; 0 in it. */
static double distance(const aw_polygon *p, const double anchor[3])
{
    const double away = aw_length(gap(p->low.x - anchor[0], p->high.x - anchor[0]),
                                  gap(p->low.y - anchor[1], p->high.y - anchor[1]));
    if (away > 0 || aw_polygon_holds(p, anchor[0], anchor[1]))
        return away;
    return aw_polygon_edge_distance(p, (aw_point){anchor[0], anchor[1]});
}

/* A footprint that lies d away throws no shadow on the row more than reach / d times as large. */
static bool measure(const aw_prism *prism, const double anchor[3], double z, const view *v, blow *b)
{
    double t[2];
    if (!aw_prism_cut(prism, z, anchor[2], t))
        return false;
    b->near = 1 / (1 - t[0]);
    b->far = 1 / (1 - t[1]);
    if (b->far > ENOUGH)
        b->far = fmin(b->far, 2 * b->near + 2 * v->reach / distance(&prism->footprint, anchor));
    b->slack = SLACK * b->far;
    return true;
}

typedef struct extent {
    double low, high;
} extent;

static void widen(extent *e, double x)
{
    e->low = x < e->low ? x : e->low;
    e->high = x > e->high ? x : e->high;
}

/* Widens by what a segment has of a strip along the row. */
static void take(extent *e, aw_point a, aw_point b, double low, double high)
{
    if (a.y > b.y) {
        const aw_point other = a;
        a = b;
        b = other;
    }
    if (b.y < low || a.y > high)
        return;
    widen(e, a.y < low ? a.x + (b.x - a.x) * ((low - a.y) / (b.y - a.y)) : a.x);
    widen(e, b.y > high ? a.x + (b.x - a.x) * ((high - a.y) / (b.y - a.y)) : b.x);
}

static aw_point times(double scale, aw_point p)
{
    return (aw_point){scale * p.x, scale * p.y};
}

/* The stretch of the row that is dark; empty if low > high. */
static extent darken(const aw_polygon *p, const double anchor[3], const view *v, const blow *b)
{
    const double low = v->y - b->slack, high = v->y + b->slack;
    extent e = {HUGE_VAL, -HUGE_VAL};
    aw_point last = {p->at[p->n - 1].x - anchor[0], p->at[p->n - 1].y - anchor[1]};
    for (size_t i = 0; i < p->n; i++) {
        const aw_point next = {p->at[i].x - anchor[0], p->at[i].y - anchor[1]};
        take(&e, times(b->near, last), times(b->near, next), low, high);
        take(&e, times(b->far, last), times(b->far, next), low, high);
        take(&e, times(b->near, next), times(b->far, next), low, high);
        last = next;
    }
    return (extent){e.low - b->slack, e.high + b->slack};
}

/* Whether the shadow's box meets the row's. */
static bool may_darken(const aw_polygon *p, const double anchor[3], const view *v, const blow *b)
{
    const double left = p->low.x - anchor[0], right = p->high.x - anchor[0];
    const double below = p->low.y - anchor[1], above = p->high.y - anchor[1];
    return v->y + b->slack >= below * (below < 0 ? b->far : b->near) &&
           v->y - b->slack <= above * (above > 0 ? b->far : b->near) &&
           v->high + b->slack >= left * (left < 0 ? b->far : b->near) &&
           v->low - b->slack <= right * (right > 0 ? b->far : b->near);
}

/* Numbers of the places in the shadow; false if there are none. */
static bool find_places(const aw_prism *prism, const double anchor[3], const row *r, const view *v,
                        aw_shadow *shadow)
{
    const double last = (double)(r->n - 1);
    blow b;
    if (!measure(prism, anchor, r->first[2], v, &b))
        return false;
    /* An anchor in or right at what reaches up to it darkens every place. */
    extent e = {v->low, v->high};
    if (isfinite(b.far)) {
        if (!may_darken(&prism->footprint, anchor, v, &b))
            return false;
        e = darken(&prism->footprint, anchor, v, &b);
    }
    const double from = fmax(ceil((e.low - v->low) / r->step), 0);
    const double to = fmin(floor((e.high - v->low) / r->step), last);
    if (!(from <= to))
        return false;
    shadow->from = (uint32_t)from;
    shadow->to = (uint32_t)to;
    return true;
}

/* --- all of them --- */

static view look(const row *r, const double anchor[3])
{
    view v = {.low = r->first[0] - anchor[0], .y = r->first[1] - anchor[1]};
    v.high = v.low + (double)(r->n - 1) * r->step;
    v.reach = aw_length(fmax(fabs(v.low), fabs(v.high)), v.y);
    return v;
}

static bool is_same(const row *a, const row *b)
{
    return a->n == b->n && a->step == b->step && a->first[0] == b->first[0] &&
           a->first[1] == b->first[1] && a->first[2] == b->first[2];
}

void aw_shadows_cast(aw_shadows *s, const double first[3], double step, size_t n)
{
    const aw_scene *scene = s->scene;
    const row r = {{first[0], first[1], first[2]}, step, n};
    size_t found = 0;
    if (is_same(&s->row, &r))
        return;
    s->row = r;
    for (size_t i = 0; i < scene->scenario->n_anchors; i++) {
        const double *anchor = scene->scenario->anchors[i].at;
        const view v = look(&r, anchor);
        for (size_t k = 0; k < scene->n_bodies; k++)
            for (size_t l = 0; l < scene->bodies[k].n; l++)
                if (find_places(&scene->bodies[k].prisms[l], anchor, &r, &v, &s->shadows[found]))
                    s->shadows[found++].body = (uint32_t)k;
        s->end[i] = found;
    }
}
