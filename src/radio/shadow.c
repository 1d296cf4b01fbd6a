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
#include <string.h>

#include "base/plane.h"
#include "radio/scene.h"

/* At the prism, m; on the plane so many times more as the shadow is larger. */
#define SLACK 1e-6
/* Shadows that end more times larger than this are cut to what can lie on the row. */
#define ENOUGH 100

/* A place in the shadow of a core has at least this of its line of sight inside the prism to both
 * sides of a point of the core: twice what crossing takes, m. */
#define CORE 1e-3
/* Blocks of places that have bits of their own, at most. */
#define BLOCKS      64
#define LEAST_SHIFT 3

typedef struct row {
    double first[3], step;
    size_t n;
} row;

struct aw_shadows {
    const aw_scene *scene;
    row row;
    size_t n_prisms, n_words;
    unsigned shift;     /* place >> shift is its block */
    uint32_t *body;     /* of each prism */
    aw_shadow *shadows; /* [anchor][prism] */
    uint64_t *bits;     /* [anchor][block][word]: of the prisms that have a shadow there */
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
    s->n_prisms = count_prisms(scene);
    s->n_words = (s->n_prisms + 63) / 64;
    s->body = calloc(s->n_prisms + 1, sizeof *s->body);
    s->shadows = malloc((anchors * s->n_prisms + 1) * sizeof *s->shadows);
    s->bits = malloc((anchors * BLOCKS * s->n_words + 1) * sizeof *s->bits);
    if (s->body == NULL || s->shadows == NULL || s->bits == NULL) {
        aw_shadows_free(s);
        return NULL;
    }
    for (size_t i = 0, k = 0; i < scene->n_bodies; i++)
        for (size_t l = 0; l < scene->bodies[i].n; l++)
            s->body[k++] = (uint32_t)i;
    return s;
}

void aw_shadows_free(aw_shadows *shadows)
{
    if (shadows == NULL)
        return;
    free(shadows->body);
    free(shadows->shadows);
    free(shadows->bits);
    free(shadows);
}

const aw_scene *aw_shadows_scene(const aw_shadows *shadows)
{
    return shadows->scene;
}

static uint64_t *bits_of(const aw_shadows *s, size_t anchor, size_t block)
{
    return s->bits + (anchor * BLOCKS + block) * s->n_words;
}

aw_shade aw_shadows_over(const aw_shadows *s, size_t anchor, size_t place)
{
    const uint64_t *bits = bits_of(s, anchor, place >> s->shift);
    return (aw_shade){.bits = bits,
                      .shadows = s->shadows + anchor * s->n_prisms,
                      .body = s->body,
                      .n_words = s->n_words,
                      .left = s->n_words > 0 ? bits[0] : 0,
                      .place = (uint32_t)place};
}

size_t aw_shade_next(aw_shade *shade, size_t body, size_t n)
{
    const uint32_t place = shade != NULL ? shade->place : 0;
    if (shade == NULL)
        return body;
    for (;;) {
        while (shade->left == 0) {
            if (++shade->word >= shade->n_words)
                return n;
            shade->left = shade->bits[shade->word];
        }
        const size_t k = 64 * shade->word + (size_t)__builtin_ctzll(shade->left);
        const aw_shadow *s = &shade->shadows[k];
        shade->left &= shade->left - 1;
        if (shade->body[k] >= body && s->from <= place && place <= s->to) {
            shade->sure = s->sure_from <= place && place <= s->sure_to;
            return shade->body[k];
        }
    }
}

/* --- the core of a footprint --- */

/* Footprints of more corners have no core: finding it takes the square of them. */
#define MOST_CORNERS 64

/* What of a convex polygon lies left of an edge by CORE; corners[] has room for one more. */
static size_t cut_off(aw_point corners[], size_t n, aw_point a, aw_point b)
{
    aw_point kept[MOST_CORNERS + AW_CORE_ROOM + 1];
    const double length = aw_length(b.x - a.x, b.y - a.y);
    size_t m = 0;
    for (size_t i = 0; i < n; i++) {
        const aw_point p = corners[i], q = corners[(i + 1) % n];
        const double dp = ((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)) / length - CORE;
        const double dq = ((b.x - a.x) * (q.y - a.y) - (b.y - a.y) * (q.x - a.x)) / length - CORE;
        const double s = dp / (dp - dq);
        if (dp >= 0)
            kept[m++] = p;
        if ((dp > 0 && dq < 0) || (dp < 0 && dq > 0))
            kept[m++] = (aw_point){p.x + s * (q.x - p.x), p.y + s * (q.y - p.y)};
    }
    memcpy(corners, kept, m * sizeof *kept);
    return m;
}

aw_polygon aw_shadow_core(const aw_polygon *p, aw_point corners[])
{
    aw_polygon core = {.at = corners};
    const aw_point box[] = {p->low, {p->high.x, p->low.y}, p->high, {p->low.x, p->high.y}};
    size_t n = p->n <= MOST_CORNERS ? sizeof box / sizeof *box : 0;
    memcpy(corners, box, sizeof box);
    for (size_t i = 0; i < p->n && n > 0; i++)
        n = cut_off(corners, n, p->at[i], p->at[(i + 1) % p->n]);
    if (n < 3)
        return core;
    core.n = n;
    aw_polygon_close(&core);
    return core;
}

/* --- one prism --- */

/* A row seen from an anchor: coordinates are relative to it. */
typedef struct view {
    const row *row;
    const double *anchor;
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
static double distance(const aw_polygon *p, const double anchor[])
{
    const double away = aw_length(gap(p->low.x - anchor[0], p->high.x - anchor[0]),
                                  gap(p->low.y - anchor[1], p->high.y - anchor[1]));
    if (away > 0 || aw_polygon_holds(p, anchor[0], anchor[1]))
        return away;
    return aw_polygon_edge_distance(p, (aw_point){anchor[0], anchor[1]});
}

/* From where to where, as shares of a line of sight, a prism can be met. A footprint that lies d
 * away throws no shadow on the row more than reach / d times as large. */
static blow measure(const aw_prism *prism, const view *v, const double t[2])
{
    blow b = {.near = 1 / (1 - t[0]), .far = 1 / (1 - t[1])};
    if (b.far > ENOUGH)
        b.far = fmin(b.far, 2 * b.near + 2 * v->reach / distance(&prism->footprint, v->anchor));
    b.slack = SLACK * b.far;
    return b;
}

typedef struct extent {
    double low, high;
} extent;

static double least(double a, double b)
{
    return a < b ? a : b;
}

static double most(double a, double b)
{
    return a > b ? a : b;
}

static void widen(extent *e, double x)
{
    e->low = least(e->low, x);
    e->high = most(e->high, x);
}

/* Widens by what the segment a-b has of a strip along the row; a level segment by its beginning,
 * its end being where the next begins. */
static void take(extent *e, aw_point a, aw_point b, double low, double high)
{
    if (most(a.y, b.y) < low || least(a.y, b.y) > high)
        return;
    const double rise = b.y - a.y, slope = rise < 0 || rise > 0 ? 1 / rise : 0;
    const double from = most(0, least(1, (low - a.y) * slope));
    const double to = most(0, least(1, (high - a.y) * slope));
    widen(e, a.x + from * (b.x - a.x));
    widen(e, a.x + to * (b.x - a.x));
}

static aw_point times(double scale, aw_point p)
{
    return (aw_point){scale * p.x, scale * p.y};
}

/* How far a footprint's shadow reaches on a strip of some half width along the row; low > high if
 * it does not. */
static extent darken(const aw_polygon *p, const view *v, const blow *b, double half)
{
    const double *anchor = v->anchor;
    const double low = v->y - half, high = v->y + half;
    extent e = {HUGE_VAL, -HUGE_VAL};
    aw_point last = {p->at[p->n - 1].x - anchor[0], p->at[p->n - 1].y - anchor[1]};
    for (size_t i = 0; i < p->n; i++) {
        const aw_point next = {p->at[i].x - anchor[0], p->at[i].y - anchor[1]};
        take(&e, times(b->near, last), times(b->near, next), low, high);
        take(&e, times(b->far, last), times(b->far, next), low, high);
        take(&e, times(b->near, next), times(b->far, next), low, high);
        last = next;
    }
    return e;
}

/* Whether a span of the plan begins on the far side of what is asked for, as seen from the anchor
 * at 0: shadows only lead away from it. */
static bool is_behind(double low, double high, double from, double to)
{
    return (low > SLACK && low - SLACK > to) || (high < -SLACK && high + SLACK < from);
}

/* Whether the shadow's box meets the row's. */
static bool may_darken(const aw_polygon *p, const view *v, const blow *b)
{
    const double *anchor = v->anchor;
    const double left = p->low.x - anchor[0], right = p->high.x - anchor[0];
    const double below = p->low.y - anchor[1], above = p->high.y - anchor[1];
    return v->y + b->slack >= below * (below < 0 ? b->far : b->near) &&
           v->y - b->slack <= above * (above > 0 ? b->far : b->near) &&
           v->high + b->slack >= left * (left < 0 ? b->far : b->near) &&
           v->low - b->slack <= right * (right > 0 ? b->far : b->near);
}

/* Numbers of the places from e.low to e.high; false if there are none. */
static bool number(const view *v, extent e, uint32_t *from, uint32_t *to)
{
    const row *r = v->row;
    const double a = (e.low - v->low) / r->step, b = (e.high - v->low) / r->step;
    const double last = (double)(r->n - 1);
    if (!(b >= 0 && a <= last && a <= b))
        return false;
    *from = a > 0 ? (uint32_t)a + ((double)(uint32_t)a < a) : 0;
    *to = b < last ? (uint32_t)b : (uint32_t)last;
    return *from <= *to;
}

/* The core is convex, so its shadow has no gaps. A line of sight that meets it, CORE from the ends
 * of what the prism's heights leave of it, crosses the prism. */
static void find_sure(const aw_polygon *core, const view *v, const double t[2], const blow *whole,
                      aw_shadow *shadow)
{
    const double shortest = aw_length(v->y, v->anchor[2] - v->row->first[2]);
    const double end = CORE / shortest;
    blow b = {1 / (1 - t[0] - end), 1 / (1 - t[1] + end), 0};
    shadow->sure_from = 1;
    shadow->sure_to = 0;
    if (core->n == 0 || !(end < 0.01 && t[1] - t[0] > 3 * end))
        return;
    b.far = b.far < whole->far ? b.far : whole->far;
    extent e = darken(core, v, &b, 0);
    e.low += whole->slack;
    e.high -= whole->slack;
    if (!(b.near < b.far) || !number(v, e, &shadow->sure_from, &shadow->sure_to)) {
        shadow->sure_from = 1;
        shadow->sure_to = 0;
    }
}

/* False if no place is in the prism's shadow. */
static bool find_places(const aw_prism *prism, const aw_polygon *core, const view *v,
                        aw_shadow *shadow)
{
    const aw_polygon *p = &prism->footprint;
    const double *anchor = v->anchor;
    double t[2];
    if (is_behind(p->low.y - anchor[1], p->high.y - anchor[1], v->y, v->y) ||
        is_behind(p->low.x - anchor[0], p->high.x - anchor[0], v->low, v->high) ||
        !aw_prism_cut(prism, v->row->first[2], anchor[2], t))
        return false;
    const blow b = measure(prism, v, t);
    /* An anchor in what reaches up to it darkens every place. */
    if (!isfinite(b.far)) {
        *shadow = (aw_shadow){0, (uint32_t)(v->row->n - 1), 1, 0};
        return true;
    }
    if (!may_darken(p, v, &b))
        return false;
    extent e = darken(p, v, &b, b.slack);
    e.low -= b.slack;
    e.high += b.slack;
    if (!number(v, e, &shadow->from, &shadow->to))
        return false;
    find_sure(core, v, t, &b, shadow);
    return true;
}

/* --- all of them --- */

static view look(const row *r, const double anchor[])
{
    view v = {r, anchor, .low = r->first[0] - anchor[0], .y = r->first[1] - anchor[1]};
    v.high = v.low + (double)(r->n - 1) * r->step;
    v.reach = aw_length(fmax(fabs(v.low), fabs(v.high)), v.y);
    return v;
}

static bool is_same(const row *a, const row *b)
{
    return a->n == b->n && a->step == b->step && a->first[0] == b->first[0] &&
           a->first[1] == b->first[1] && a->first[2] == b->first[2];
}

static void set_row(aw_shadows *s, const row *r)
{
    s->row = *r;
    s->shift = LEAST_SHIFT;
    while ((r->n - 1) >> s->shift >= BLOCKS)
        s->shift++;
}

/* One anchor's light. */
static void cast(aw_shadows *s, size_t i)
{
    const aw_scene *scene = s->scene;
    const double *anchor = scene->scenario->anchors[i].at;
    const view v = look(&s->row, anchor);
    aw_shadow *shadow = s->shadows + i * s->n_prisms;
    const size_t blocks = ((s->row.n - 1) >> s->shift) + 1;
    memset(bits_of(s, i, 0), 0, blocks * s->n_words * sizeof *s->bits);
    for (size_t k = 0, prism = 0; k < scene->n_bodies; k++)
        for (size_t l = 0; l < scene->bodies[k].n; l++, prism++) {
            const aw_body *b = &scene->bodies[k];
            if (!find_places(&b->prisms[l], &b->cores[l], &v, &shadow[prism]))
                continue;
            for (size_t at = shadow[prism].from >> s->shift; at <= shadow[prism].to >> s->shift;
                 at++)
                bits_of(s, i, at)[prism / 64] |= (uint64_t)1 << prism % 64;
        }
}

void aw_shadows_cast(aw_shadows *s, const double first[3], double step, size_t n)
{
    const row r = {{first[0], first[1], first[2]}, step, n};
    if (is_same(&s->row, &r))
        return;
    set_row(s, &r);
    for (size_t i = 0; i < s->scene->scenario->n_anchors; i++)
        cast(s, i);
}
