/* Paths are looked for in the order of what they cost to find; one that a shorter and stronger path
 * hides, or that no fade makes strong enough, is left alone as early as that is known. */
#include "radio/first_path.h"

#include <math.h>

#include "anchorwise/level.h"
#include "base/plane.h"
#include "radio/crossing.h"
#include "radio/diffraction.h"
#include "radio/power.h"
#include "radio/way_loss.h"

/* Ways that one search may give, which differ in the body that they first bend round or in the side
 * on which they pass it. */
#define WAYS 3
/* One straight line, the faces, ways round what is opaque and round each body shunned besides. */
#define CANDIDATES (1 + AW_FACES + WAYS * (1 + AW_SHUNNED))
/* Paths that are kept, but for what is scattered. */
#define RAYS (AW_OUTCOMES - 1)
/* More than what edges passed closely add to the field, dB. */
#define ADDED 2
/* Legs keep this far from what they are mirrored by, m. */
#define ASIDE 1e-4
/* Shares of fades below are none: of one path, and of all. */
#define RARE            1e-6
#define RARELY_RECEIVED 1e-3

typedef struct finder {
    const aw_scene *scene;
    const aw_radio_scene *air;
    const double *spot, *anchor;
    const double *low, *high; /* the same two: ways are looked for from the lower end */
    double range, fade_sigma;
    double shortest; /* m, excess of the shortest way there is; infinite: none */
    aw_path list[CANDIDATES];
    size_t n;
} finder;

const char *aw_path_kind_name(aw_path_kind kind)
{
    static const char *const name[] = {
        [AW_PATH_DIRECT] = "direct", [AW_PATH_THROUGH] = "through",     [AW_PATH_OVER] = "over",
        [AW_PATH_AROUND] = "around", [AW_PATH_MIRRORED] = "mirrored",   [AW_PATH_UNDER] = "under",
        [AW_PATH_MIXED] = "mixed",   [AW_PATH_SCATTERED] = "scattered",
    };
    return name[kind];
}

/* Median power of a path. Next to an antenna no more arrives than was sent. */
static double power_of(const finder *f, double excess, double loss_db)
{
    const double length = f->range + excess;
    return f->air->eirp - fmax(aw_free_space_db(length, f->air->hz), 0) - loss_db;
}

/* Power below which no fade helps: that of the noise, or so far below the strongest path. */
static double least_power(const finder *f)
{
    double least = aw_found_above(f->air) - AW_NEVER * f->fade_sigma;
    for (size_t i = 0; i < f->n; i++)
        least = fmax(least, f->list[i].power_dbm - f->air->radio->receiver.dynamic_db);
    return least;
}

/* Whether a path of that excess and no more power is worth looking at. */
static bool is_strong(const finder *f, double excess, double power)
{
    bool worth = power > least_power(f);
    for (size_t i = 0; i < f->n; i++)
        worth = worth && !(f->list[i].excess <= excess && f->list[i].power_dbm >= power);
    return worth;
}

static bool is_worth(const finder *f, double excess, double loss_db)
{
    return is_strong(f, excess, power_of(f, excess, loss_db));
}

static void keep(finder *f, aw_path *path)
{
    path->power_dbm = power_of(f, path->excess, path->loss_db);
    if (is_strong(f, path->excess, path->power_dbm))
        f->list[f->n++] = *path;
}

static void add_toll(aw_path *path, const aw_crossing *toll, double own_db)
{
    path->loss_db = own_db + toll->loss_db;
    path->excess += toll->delay;
    path->n_meets += toll->n;
    if (toll->n > 0 && (path->meets == NULL || toll->most_db > own_db))
        path->meets = toll->most;
}

/* --- The straight line --- */

/* Kept even below the threshold: `links` shows it. */
static void go_straight(finder *f, const aw_crossing *toll)
{
    aw_path path = {.kind = toll->n > 0 ? AW_PATH_THROUGH : AW_PATH_DIRECT};
    aw_way way = {.n = 0, .length = f->range};
    for (int k = 0; k < 3; k++) {
        way.at[0][k] = f->low[k];
        way.at[1][k] = f->high[k];
    }
    const aw_way_loss edges = aw_way_lose(f->scene, &way);
    path.meets = edges.nearest;
    path.n_meets = path.meets != NULL;
    add_toll(&path, toll, edges.db);
    path.power_dbm = power_of(f, path.excess, path.loss_db);
    f->list[f->n++] = path;
    f->shortest = path.excess;
}

/* --- Ways round --- */

/* What one search has found. */
typedef struct round_search {
    finder *f;
    size_t n;
    const aw_edge *ends[WAYS][2]; /* edges at which the ways bend first and last */
    bool found;                   /* some way is worth having */
    size_t costliest;             /* what the first of them runs through that costs most */
} round_search;

/* The longest excess that a way may have and still be worth looking at. Taut edges lose no less
 * than one edge of the whole detour, and that J(v) is at least 20 lg v + 12.95 dB. */
static double longest_excess(const finder *f)
{
    const double sent = power_of(f, 0, 0), wave = f->air->wavelength / 4;
    double longest = wave * pow(10, (sent - least_power(f) - 12.95) / 10);
    for (size_t i = 0; i < f->n; i++) {
        const double own = wave * pow(10, (sent - f->list[i].power_dbm - 12.95) / 10);
        longest = fmin(longest, fmax(own, f->list[i].excess));
    }
    return longest;
}

static aw_path_kind kind_of(const aw_way *way)
{
    static const aw_path_kind kinds[] = {[AW_EDGE_UPRIGHT] = AW_PATH_AROUND,
                                         [AW_EDGE_TOP] = AW_PATH_OVER,
                                         [AW_EDGE_UNDER] = AW_PATH_UNDER};
    for (size_t i = 1; i < way->n; i++)
        if (way->edge[i]->kind != way->edge[0]->kind)
            return AW_PATH_MIXED;
    return kinds[way->edge[0]->kind];
}

static const char *name_of(const aw_scene *scene, const aw_edge *edge)
{
    return edge->body < scene->n_bodies
               ? scene->air->stuff[edge->body].name
               : scene->scenario->levels[edge->body - scene->n_bodies].name;
}

/* Whether two edges are on one side of one body. */
static bool is_alike(const aw_edge *a, const aw_edge *b)
{
    return a->body == b->body && a->kind == b->kind && (a->kind != AW_EDGE_UPRIGHT || a == b);
}

static bool is_known(const round_search *r, const aw_way *way)
{
    for (size_t i = 0; i < r->n; i++)
        if (is_alike(r->ends[i][0], way->edge[0]) && is_alike(r->ends[i][1], way->edge[way->n - 1]))
            return true;
    return false;
}

static void pay_legs(const finder *f, const aw_way *way, aw_crossing *toll)
{
    double from[3], to[3];
    aw_way_aside(way, 0, from);
    for (size_t i = 0; i <= way->n; i++) {
        aw_way_aside(way, i + 1, to);
        aw_crossing_add(toll, f->scene, from, to, NULL);
        for (int k = 0; k < 3; k++)
            from[k] = to[k];
    }
}

/* The least that a way of that excess loses at its edges: as one edge of the whole detour, but for
 * what edges passed closely may add to the field. */
static double least_loss(const finder *f, double excess)
{
    return aw_edge_loss(aw_edge_v(excess, f->air->wavelength)) - ADDED;
}

/* False if it is later and weaker than what is there, or too weak. */
static bool keep_way(finder *f, const aw_way *way, const aw_crossing *toll)
{
    const aw_edge *first = way->edge[f->low == f->spot ? 0 : way->n - 1];
    const size_t before = f->n;
    aw_path path = {.kind = kind_of(way),
                    .meets = name_of(f->scene, first),
                    .excess = fmax(way->length - f->range, 0)};
    for (size_t i = 0; i < way->n; i++)
        path.n_meets += i == 0 || way->edge[i]->body != way->edge[i - 1]->body;
    add_toll(&path, toll, aw_way_lose(f->scene, way).db);
    keep(f, &path);
    return f->n > before;
}

static double take_way(void *context, const aw_way *way)
{
    round_search *r = context;
    finder *f = r->f;
    const double excess = fmax(way->length - f->range, 0);
    if (is_known(r, way))
        return HUGE_VAL;
    r->ends[r->n][0] = way->edge[0];
    r->ends[r->n++][1] = way->edge[way->n - 1];
    aw_crossing toll = {0};
    pay_legs(f, way, &toll);
    f->shortest = fmin(f->shortest, excess + toll.delay);
    if (is_worth(f, excess + toll.delay, toll.loss_db + least_loss(f, excess)) &&
        keep_way(f, way, &toll) && !r->found) {
        r->found = true;
        r->costliest = toll.n > 0 ? toll.costliest : f->scene->n_bodies;
    }
    return r->n < WAYS ? f->range + longest_excess(f) : 0;
}

/* How far the first way is looked for: what is scattered comes after it, however weak it is. */
static double furthest_first(const finder *f)
{
    const double longest = longest_excess(f);
    return f->air->radio->scattered ? fmax(longest, f->shortest) : longest;
}

/* Round what is opaque; then, while that is worth it, round the body besides that costs the way
 * found last most, and with it round those before. */
static void go_round(finder *f, const aw_crossing *straight)
{
    aw_barriers barriers = {.scene = f->scene};
    if (!aw_crossing_bars(straight))
        barriers.shunned[barriers.n++] = (uint32_t)straight->costliest;
    for (;;) {
        round_search r = {.f = f};
        aw_ways_find(&barriers, f->low, f->high, f->range + furthest_first(f), take_way, &r);
        if (!r.found || r.costliest == f->scene->n_bodies || barriers.n == AW_SHUNNED)
            return;
        barriers.shunned[barriers.n++] = (uint32_t)r.costliest;
    }
}

/* --- Mirrors --- */

/* Whether one can stand there at this height: a slab has a floor over it and one under it. */
static bool is_floor(const aw_scenario *s, const double at[3], double height)
{
    return aw_floor_at(s, at[0], at[1]) == height || aw_ground_at(s, at[0], at[1]) == height;
}

static bool is_on(const finder *f, const aw_face *face, const double at[3])
{
    if (face->within != NULL)
        return aw_polygon_holds(face->within, at[0], at[1]) &&
               (!face->floor || is_floor(f->scene->scenario, at, face->base));
    const double ex = face->to.x - face->from.x, ey = face->to.y - face->from.y;
    const double along = (at[0] - face->from.x) * ex + (at[1] - face->from.y) * ey;
    return along >= 0 && along <= ex * ex + ey * ey && at[2] >= face->base && at[2] <= face->top;
}

static double before(const aw_face *face, const double at[3])
{
    const double *n = face->normal;
    return n[0] * at[0] + n[1] * at[1] + n[2] * at[2] - face->offset;
}

/* Whether a leg stays within the outline in plan. */
static bool is_within(const aw_polygon *hall, const double from[3], const double to[3])
{
    return aw_polygon_chord(hall, (aw_point){from[0], from[1]}, (aw_point){to[0], to[1]}, 0, 1) >
           1 - 1e-9;
}

static void go_by_mirror(finder *f, const aw_face *face)
{
    const double ha = before(face, f->spot), hb = before(face, f->anchor);
    double at[3];
    if (!(ha > 0 && hb > 0))
        return;
    const double length = sqrt(f->range * f->range + 4 * ha * hb);
    const double excess = 4 * ha * hb / (length + f->range);
    for (int k = 0; k < 3; k++)
        at[k] = (f->spot[k] * hb + f->anchor[k] * ha - 2 * ha * hb * face->normal[k]) / (ha + hb);
    if (!is_on(f, face, at))
        return;
    const double db = aw_loss_by_angle_at(face->angles, (ha + hb) / length);
    if (!is_worth(f, excess, db))
        return;
    for (int k = 0; k < 3; k++)
        at[k] += ASIDE * face->normal[k];
    if (face->hall != NULL &&
        !(is_within(face->hall, f->spot, at) && is_within(face->hall, f->anchor, at)))
        return;
    aw_crossing toll = {.brief = true};
    aw_crossing_add(&toll, f->scene, f->spot, at, NULL);
    if (!aw_crossing_bars(&toll))
        aw_crossing_add(&toll, f->scene, at, f->anchor, NULL);
    if (aw_crossing_bars(&toll))
        return;
    aw_path path = {.kind = AW_PATH_MIRRORED, .meets = face->name, .n_meets = 1, .excess = excess};
    add_toll(&path, &toll, db);
    keep(f, &path);
}

/* --- The list --- */

/* By excess, and of those each has more power than all before it. */
static size_t thin(aw_path list[], size_t n)
{
    size_t kept = 0;
    for (size_t i = 1; i < n; i++) {
        const aw_path own = list[i];
        size_t k = i;
        for (;
             k > 0 && (list[k - 1].excess > own.excess ||
                       (list[k - 1].excess == own.excess && list[k - 1].power_dbm < own.power_dbm));
             k--)
            list[k] = list[k - 1];
        list[k] = own;
    }
    for (size_t i = 0; i < n; i++)
        if (kept == 0 || list[i].power_dbm > list[kept - 1].power_dbm)
            list[kept++] = list[i];
    return kept;
}

/* Probabilities of paths that are sorted. */
static void weigh(finder *f, double *lost_db, double *total_dbm)
{
    const aw_receiver *r = &f->air->radio->receiver;
    double total = -INFINITY, last = 0;
    for (size_t i = 0; i < f->n; i++)
        total = aw_dbm_sum(total, f->list[i].power_dbm);
    const double limit =
        f->n > 0 ? f->list[f->n - 1].power_dbm - aw_found_above(f->air) : -HUGE_VAL;
    *total_dbm = total;
    *lost_db = fmin(limit, total - r->sensitivity_dbm);
    for (size_t i = 0; i < f->n; i++) {
        aw_path *path = &f->list[i];
        const double own = path->power_dbm - aw_found_above(f->air);
        path->found = aw_fade_share(f->fade_sigma, own);
        const double up_to = aw_fade_share(f->fade_sigma, fmin(own, *lost_db));
        path->first = fmax(up_to - last, 0);
        last = fmax(last, up_to);
    }
}

/* Leaves out what lies too far below the strongest, and the least likely to be first beyond six. */
static void choose(finder *f, double *lost_db, double *total_dbm)
{
    size_t kept = 0;
    const double strongest = f->n > 0 ? f->list[f->n - 1].power_dbm : 0;
    for (size_t i = 0; i < f->n; i++)
        if (f->list[i].power_dbm >= strongest - f->air->radio->receiver.dynamic_db)
            f->list[kept++] = f->list[i];
    f->n = kept;
    weigh(f, lost_db, total_dbm);
    while (f->n > RAYS) {
        size_t least = 0;
        for (size_t i = 1; i < f->n; i++)
            if (f->list[i].first < f->list[least].first)
                least = i;
        for (size_t i = least; i + 1 < f->n; i++)
            f->list[i] = f->list[i + 1];
        f->n--;
        weigh(f, lost_db, total_dbm);
    }
}

static void report(aw_first_path *heard, const finder *f)
{
    heard->n = heard->rays = f->n;
    heard->fade_sigma = f->fade_sigma;
    for (size_t i = 0; i < f->n; i++) {
        heard->paths[i] = f->list[i];
        heard->limit[i] = f->list[i].power_dbm - aw_found_above(f->air);
    }
}

/* What is timed at the median. */
static void find_usual(aw_first_path *heard, const finder *f)
{
    const double fade = fmin(0, heard->lost_db);
    heard->received = heard->n > 0 ? aw_fade_share(f->fade_sigma, heard->lost_db) : 0;
    heard->usual = 0;
    heard->snr_db = (double)NAN;
    while (heard->usual + 1 < heard->n && heard->limit[heard->usual] < fade)
        heard->usual++;
    if (heard->n > 0)
        heard->snr_db = heard->limit[heard->usual] + aw_found_above(f->air) - fade - f->air->noise;
}

/* Whether a is the lower of two ends; of two at one height one of them, whichever comes first. */
static bool is_lower(const double a[3], const double b[3])
{
    for (int k = 2; k >= 0; k--)
        if (a[k] != b[k])
            return a[k] < b[k];
    return true;
}

void aw_first_path_find(aw_first_path *heard, const aw_scene *scene, const double spot[3],
                        const double anchor[3], const aw_faces *faces, aw_shade *shade)
{
    aw_link line;
    finder f = {
        .scene = scene, .air = scene->air, .spot = spot, .anchor = anchor, .shortest = INFINITY};
    aw_link_aim(&line, anchor, spot);
    f.range = line.range;
    f.low = is_lower(spot, anchor) ? spot : anchor;
    f.high = f.low == spot ? anchor : spot;
    aw_crossing toll = {0};
    aw_crossing_add(&toll, scene, spot, anchor, shade);
    f.fade_sigma = scene->air->fade_sigma[toll.n == 0];
    if (!aw_crossing_bars(&toll))
        go_straight(&f, &toll);
    if (f.n == 0 || f.list[0].loss_db > 0)
        for (size_t i = 0; i < faces->n; i++)
            go_by_mirror(&f, faces->face[i]);
    if (toll.n > 0)
        go_round(&f, &toll);
    f.n = thin(f.list, f.n);
    choose(&f, &heard->lost_db, &heard->total_dbm);
    report(heard, &f);
    aw_first_path_scatter(heard, scene->air, f.range, f.shortest);
    find_usual(heard, &f);
}

void aw_first_path_law(aw_link *link, const aw_radio_scene *air, const aw_first_path *heard)
{
    const double clear = air->eirp - fmax(aw_free_space_db(link->range, air->hz), 0) - air->noise;
    double from = -INFINITY;
    link->white = aw_arrival_sigma(air->radio, clear);
    link->believed = sqrt(aw_link_variance(link));
    link->fade_sigma = heard->fade_sigma;
    link->lost_db = heard->lost_db;
    link->state = AW_LINK_LOST;
    link->loss_db = INFINITY;
    if (heard->n > 0) {
        link->white = aw_arrival_sigma(air->radio, heard->snr_db);
        link->loss_db = heard->paths[heard->usual].loss_db;
    }
    if (heard->n == 0 || heard->received < RARELY_RECEIVED)
        return;
    link->state = heard->paths[0].kind == AW_PATH_DIRECT ? AW_LINK_CLEAR : AW_LINK_THROUGH;
    link->scatters = heard->n > heard->rays && heard->paths[heard->rays].first >= RARE;
    for (size_t i = 0; i < heard->n; i++) {
        const aw_path *path = &heard->paths[i];
        const bool is_ray = i < heard->rays;
        if (path->first < RARE && (i + 1 < heard->n || link->n_outcomes > 0))
            continue;
        if (is_ray || heard->limit[i] > from)
            link->outcomes[link->n_outcomes++] =
                (aw_outcome){from, is_ray ? path->excess : HUGE_VAL, aw_path_kind_name(path->kind)};
        from = fmin(heard->limit[i], heard->lost_db);
    }
    if (link->scatters) {
        link->scattered_db = heard->limit[heard->rays];
        link->scattered_least = heard->least;
    }
}

const aw_faces *aw_faces_of(const aw_scene *scene, const aw_anchor *anchor, aw_faces *room)
{
    const aw_scenario *s = scene->scenario;
    if (anchor >= s->anchors && anchor < s->anchors + s->n_anchors)
        return &scene->air->of_anchor[anchor - s->anchors];
    aw_faces_seen(scene->air, anchor->at, room);
    return room;
}
