/* The length of a way over given edges is convex in the points on them: one point has a closed
 * form, several are found by Newton's steps, whose matrix has three diagonals. A sequence that some
 * leg of runs into a body gives way to those that take in one of the body's edges, there or in
 * place of a neighbour. */
#include "radio/way.h"

#include <math.h>
#include <string.h>

#include "anchorwise/level.h"
#include "base/plane.h"
#include "radio/pit.h"

/* Newton's steps at most, and the step at which they end, m: its square is far below what a length
 * is asked for. */
#define STEPS 12
#define STILL 1e-5
/* Legs shorter than this count as this long where they divide, m. */
#define SHORT 1e-6
/* Legs keep so far from what they bend round, m. */
#define ASIDE 1e-4
/* A point holds a thread if, pulled by this much, it goes into the body, m. */
#define PULL  5e-4
#define TOUCH 1e-7

static double dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/* Unit vector and length. */
static double aim(const double from[3], const double to[3], double u[3])
{
    const double length = aw_distance(from, to), by = 1 / (length > SHORT ? length : SHORT);
    for (int k = 0; k < 3; k++)
        u[k] = (to[k] - from[k]) * by;
    return length;
}

/* --- One sequence --- */

static double lay_points(aw_way *w, const double t[])
{
    double length = 0;
    for (size_t i = 0; i < w->n; i++) {
        aw_edge_point(w->edge[i], t[i], w->at[i + 1]);
        length += aw_distance(w->at[i], w->at[i + 1]);
    }
    return length + aw_distance(w->at[w->n], w->at[w->n + 1]);
}

/* Each point in turn to where it is best between its neighbours. */
static void slide(aw_way *w)
{
    for (size_t i = 0; i < w->n; i++) {
        w->t[i] = aw_edge_nearest(w->edge[i], w->at[i], w->at[i + 2]);
        aw_edge_point(w->edge[i], w->t[i], w->at[i + 1]);
    }
}

/* Newton's step; points at an end that would be pushed beyond it stay. */
static void step_of(const aw_way *w, double step[])
{
    double u[AW_BENDS + 1][3], by[AW_BENDS + 1], main[AW_BENDS], next[AW_BENDS];
    bool stays[AW_BENDS];
    for (size_t i = 0; i <= w->n; i++) {
        const double length = aim(w->at[i], w->at[i + 1], u[i]);
        by[i] = 1 / (length > SHORT ? length : SHORT);
    }
    for (size_t i = 0; i < w->n; i++) {
        const double *along = w->edge[i]->along, in = dot(along, u[i]), out = dot(along, u[i + 1]);
        step[i] = out - in;
        stays[i] = (w->t[i] <= 0 && step[i] < 0) || (w->t[i] >= w->edge[i]->length && step[i] > 0);
        main[i] = (1 - in * in) * by[i] + (1 - out * out) * by[i + 1] + 1e-9;
        next[i] = 0;
        if (i + 1 < w->n)
            next[i] =
                (out * dot(w->edge[i + 1]->along, u[i + 1]) - dot(along, w->edge[i + 1]->along)) *
                by[i + 1];
    }
    for (size_t i = 0; i < w->n; i++) {
        if (stays[i]) {
            step[i] = next[i] = 0;
            main[i] = 1;
        }
        if (i + 1 < w->n && stays[i + 1])
            next[i] = 0;
    }
    for (size_t i = 1; i < w->n; i++) {
        const double share = next[i - 1] / main[i - 1];
        main[i] -= share * next[i - 1];
        main[i] = main[i] > 1e-9 ? main[i] : 1e-9;
        step[i] -= share * step[i - 1];
    }
    for (size_t i = w->n; i-- > 0;)
        step[i] = (step[i] - (i + 1 < w->n ? next[i] * step[i + 1] : 0)) / main[i];
}

/* How far the points move; 0 if no step shortens the way by more than rounding. */
static double step_down(aw_way *w)
{
    double step[AW_BENDS], t[AW_BENDS];
    step_of(w, step);
    for (double share = 1; share > 0.01; share /= 2) {
        double moved = 0;
        for (size_t i = 0; i < w->n; i++) {
            t[i] = aw_edge_clamp(w->edge[i], w->t[i] + share * step[i]);
            const double way = fabs(t[i] - w->t[i]);
            moved = way > moved ? way : moved;
        }
        const double length = lay_points(w, t);
        if (length < w->length - 1e-12) {
            memcpy(w->t, t, w->n * sizeof *t);
            w->length = length;
            return moved;
        }
    }
    lay_points(w, w->t);
    return 0;
}

void aw_way_tighten(aw_way *w)
{
    slide(w);
    if (w->n > 1)
        slide(w);
    w->length = lay_points(w, w->t);
    for (int i = 0; w->n > 1 && i < STEPS && step_down(w) > STILL; i++)
        continue;
}

/* --- Taut or not --- */

static bool body_holds(const aw_body *body, const double at[3])
{
    for (size_t i = 0; i < body->n; i++) {
        const aw_prism *p = &body->prisms[i];
        if (at[2] < p->base - TOUCH || at[2] > p->top + TOUCH)
            continue;
        if (aw_polygon_holds(&p->footprint, at[0], at[1]) ||
            aw_polygon_edge_distance(&p->footprint, (aw_point){at[0], at[1]}) < TOUCH)
            return true;
    }
    return false;
}

static bool ground_holds(const aw_scenario *s, const double at[3])
{
    double floor = -HUGE_VAL;
    for (int i = 0; i < 4; i++)
        floor = fmax(floor, aw_ground_at(s, at[0] + (i % 2 == 0 ? TOUCH : -TOUCH),
                                         at[1] + (i < 2 ? TOUCH : -TOUCH)));
    return at[2] <= fmin(0, floor) + TOUCH;
}

/* Where the two legs at a point would pull it. */
static void pull_of(const aw_way *w, size_t point, double pull[3])
{
    double back[3], on[3];
    aim(w->at[point], w->at[point - 1], back);
    aim(w->at[point], w->at[point + 1], on);
    for (int k = 0; k < 3; k++)
        pull[k] = back[k] + on[k];
}

static bool is_taut(const aw_scene *scene, const aw_way *w)
{
    for (size_t i = 0; i < w->n; i++) {
        double pull[3], at[3];
        pull_of(w, i + 1, pull);
        for (int k = 0; k < 3; k++)
            at[k] = w->at[i + 1][k] + PULL * pull[k];
        const uint32_t body = w->edge[i]->body;
        if (body < scene->n_bodies ? !body_holds(&scene->bodies[body], at)
                                   : !ground_holds(scene->scenario, at))
            return false;
    }
    return true;
}

void aw_way_aside(const aw_way *w, size_t point, double at[3])
{
    double pull[3] = {0};
    if (point > 0 && point <= w->n)
        pull_of(w, point, pull);
    const double size = sqrt(dot(pull, pull)), by = size > 0 ? ASIDE / size : 0;
    for (int k = 0; k < 3; k++)
        at[k] = w->at[point][k] - by * pull[k];
}

/* --- Free or not --- */

static bool is_barrier(const aw_barriers *b, size_t body)
{
    for (size_t i = 0; i < b->n; i++)
        if (b->shunned[i] == body)
            return true;
    return b->scene->air->stuff[body].passage == AW_PASS_NOT;
}

bool aw_barriers_meet(const aw_barriers *barriers, const double a[3], const double b[3],
                      aw_met *met)
{
    const aw_scene *scene = barriers->scene;
    double longest = 0;
    met->n = 0;
    aw_near near = aw_boxes_near(&scene->air->boxes, a, b, 0);
    for (size_t i = aw_near_next(&near); i < scene->n_bodies; i = aw_near_next(&near)) {
        if (!is_barrier(barriers, i))
            continue;
        const double inside = aw_body_length(&scene->bodies[i], a, b);
        if (inside <= scene->bodies[i].crossing)
            continue;
        const size_t at = met->n < AW_MET ? met->n++ : AW_MET - 1;
        met->body[at] = (uint32_t)i;
        if (inside > longest) {
            longest = inside;
            met->body[at] = met->body[0];
            met->body[0] = (uint32_t)i;
        }
    }
    if (met->n > 0 || !scene->air->has_rims)
        return met->n > 0;
    const aw_level *pit = aw_pit_meet(scene->scenario, a, b).level;
    if (pit != NULL)
        met->body[met->n++] = (uint32_t)(scene->n_bodies + (size_t)(pit - scene->scenario->levels));
    return pit != NULL;
}

/* --- The search --- */

/* Sequences taken, sequences tightened, and kept at one time. */
#define MOST_TAKEN     128
#define MOST_MORE      8
#define MOST_TIGHTENED 4096
#define MOST_KEPT      1024
/* Of sequences that were tried; places to look for them, of two to some power, at first and at
 * most.
 */
#define MOST_KEYS   4095
#define FEW_PLACES  256
#define MOST_PLACES 8192

typedef struct sequence {
    double length;
    uint32_t n, edge[AW_BENDS];
    double t[AW_BENDS];
} sequence;

typedef struct search {
    const aw_barriers *barriers;
    const double *a, *b;
    double longest;
    sequence kept[MOST_KEPT];
    uint16_t heap[MOST_KEPT], spare[MOST_KEPT];
    size_t n_heap, n_spare, n_used, n_tightened;
    uint64_t key[MOST_KEYS];     /* of sequences that were tried */
    uint16_t place[MOST_PLACES]; /* 1 more than the number of a key, or 0 */
    size_t n_keys, n_places;
} search;

static bool is_before(const search *s, size_t i, size_t k)
{
    return s->kept[s->heap[i]].length < s->kept[s->heap[k]].length;
}

static void exchange(search *s, size_t i, size_t k)
{
    const uint16_t own = s->heap[i];
    s->heap[i] = s->heap[k];
    s->heap[k] = own;
}

static void push(search *s, const sequence *own)
{
    if (s->n_spare == 0 && s->n_used == MOST_KEPT)
        return;
    const uint16_t at = s->n_spare > 0 ? s->spare[--s->n_spare] : (uint16_t)s->n_used++;
    s->kept[at] = *own;
    s->heap[s->n_heap] = at;
    for (size_t i = s->n_heap++; i > 0 && is_before(s, i, (i - 1) / 2); i = (i - 1) / 2)
        exchange(s, i, (i - 1) / 2);
}

static sequence pop(search *s)
{
    const uint16_t first = s->heap[0];
    s->spare[s->n_spare++] = first;
    s->heap[0] = s->heap[--s->n_heap];
    for (size_t i = 0, k = 1; k < s->n_heap; i = k, k = 2 * i + 1) {
        k += k + 1 < s->n_heap && is_before(s, k + 1, k);
        if (!is_before(s, k, i))
            break;
        exchange(s, i, k);
    }
    return s->kept[first];
}

/* Where a key is, or would be. */
static uint16_t *place_of(search *s, uint64_t key)
{
    size_t at = key >> 32 & (s->n_places - 1);
    while (s->place[at] != 0 && s->key[s->place[at] - 1] != key)
        at = (at + 1) & (s->n_places - 1);
    return &s->place[at];
}

static void lay_places(search *s, size_t n)
{
    s->n_places = n;
    memset(s->place, 0, n * sizeof *s->place);
    for (size_t i = 0; i < s->n_keys; i++)
        *place_of(s, s->key[i]) = (uint16_t)(i + 1);
}

/* Whether a sequence is new; false too where there is no more room to tell. */
static bool is_new(search *s, const sequence *own)
{
    uint64_t key = 1469598103934665603u;
    for (size_t i = 0; i < own->n; i++)
        key = (key ^ (own->edge[i] + 1)) * 1099511628211u;
    uint16_t *place = place_of(s, key);
    if (*place != 0 || s->n_keys == MOST_KEYS)
        return false;
    s->key[s->n_keys++] = key;
    *place = (uint16_t)s->n_keys;
    if (2 * s->n_keys > s->n_places && s->n_places < MOST_PLACES)
        lay_places(s, 4 * s->n_places > MOST_PLACES ? MOST_PLACES : 4 * s->n_places);
    return true;
}

static void set_way(const search *s, const sequence *own, aw_way *w)
{
    const aw_edges *edges = &s->barriers->scene->air->edges;
    w->n = own->n;
    for (size_t i = 0; i < own->n; i++) {
        w->edge[i] = &edges->list[own->edge[i]];
        w->t[i] = own->t[i];
    }
    memcpy(w->at[0], s->a, sizeof w->at[0]);
    memcpy(w->at[own->n + 1], s->b, sizeof w->at[0]);
}

/* A child: edge `added` in place of those from `from` to before `to`. */
static void try_sequence(search *s, const sequence *own, size_t from, size_t to, uint32_t added)
{
    sequence child = {.n = (uint32_t)(own->n + 1 - (to - from))};
    aw_way w;
    if (child.n > AW_BENDS || s->n_tightened >= MOST_TIGHTENED)
        return;
    for (size_t i = 0, k = 0; i < child.n; i++) {
        k = i < from ? i : i == from ? 0 : i - 1 + (to - from);
        child.edge[i] = i == from ? added : own->edge[k];
        child.t[i] = i == from ? 0 : own->t[k];
        if (i != from && own->edge[k] == added)
            return;
    }
    if (!is_new(s, &child))
        return;
    set_way(s, &child, &w);
    /* The new point's first guess lies between its neighbours. */
    for (size_t i = 0; i < child.n; i++)
        aw_edge_point(w.edge[i], w.t[i], w.at[i + 1]);
    w.t[from] = aw_edge_nearest(w.edge[from], w.at[from], w.at[from + 2]);
    aw_edge_point(w.edge[from], w.t[from], w.at[from + 1]);
    s->n_tightened++;
    aw_way_tighten(&w);
    if (w.length > s->longest || !is_taut(s->barriers->scene, &w))
        return;
    child.length = w.length;
    memcpy(child.t, w.t, sizeof child.t);
    push(s, &child);
}

/* Every edge of a body, put in at a leg, in place of the point before it, and of the one after. */
static void take_in(search *s, const sequence *own, size_t leg, uint32_t body)
{
    const aw_edges *edges = &s->barriers->scene->air->edges;
    for (uint32_t e = edges->first[body]; e < edges->first[body + 1]; e++) {
        if (aw_edge_by(&edges->list[e], s->a, s->b) > s->longest)
            continue;
        try_sequence(s, own, leg, leg, e);
        if (leg > 0)
            try_sequence(s, own, leg - 1, leg, e);
        if (leg < own->n)
            try_sequence(s, own, leg, leg + 1, e);
    }
}

/* The body that the leg runs through longest, and those met with it that reach into its box: of two
 * that stand in one another either may hold the thread. */
static void branch(search *s, const sequence *own, size_t leg, const aw_met *met)
{
    const aw_scene *scene = s->barriers->scene;
    take_in(s, own, leg, met->body[0]);
    for (size_t i = 1; i < met->n; i++)
        if (aw_boxes_touch(&scene->air->boxes, met->body[0], met->body[i]))
            take_in(s, own, leg, met->body[i]);
}

/* The first leg that meets something; false if all are free. */
static bool find_barrier(const search *s, const aw_way *w, size_t *leg, aw_met *met)
{
    double from[3], to[3];
    aw_way_aside(w, 0, from);
    for (*leg = 0; *leg <= w->n; ++*leg) {
        aw_way_aside(w, *leg + 1, to);
        if (aw_barriers_meet(s->barriers, from, to, met))
            return true;
        memcpy(from, to, sizeof from);
    }
    return false;
}

void aw_ways_find(const aw_barriers *barriers, const double a[3], const double b[3], double longest,
                  aw_way_taker *take, void *context)
{
    search s;
    aw_way w;
    size_t leg;
    aw_met met;
    s.barriers = barriers;
    s.a = a;
    s.b = b;
    s.longest = longest;
    s.n_heap = s.n_spare = s.n_used = s.n_tightened = s.n_keys = 0;
    lay_places(&s, FEW_PLACES);
    push(&s, &(sequence){.length = aw_distance(a, b)});
    for (int left = MOST_TAKEN; left > 0 && s.n_heap > 0; left--) {
        const sequence own = pop(&s);
        if (own.length > s.longest)
            return;
        set_way(&s, &own, &w);
        w.length = own.length;
        lay_points(&w, own.t);
        if (find_barrier(&s, &w, &leg, &met))
            branch(&s, &own, leg, &met);
        else if (own.n > 0) {
            s.longest = fmin(s.longest, take(context, &w));
            left = left < MOST_MORE ? left : MOST_MORE;
        }
    }
}
