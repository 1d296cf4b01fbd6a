/* Paths are looked for in the order of what they cost to find; one that a shorter and stronger path
 * hides, or that no fade makes strong enough, is left alone as early as that is known. */
#include "radio/first_path.h"

#include <math.h>

#include "base/plane.h"
#include "radio/band.h"
#include "radio/crossing.h"
#include "radio/diffraction.h"
#include "radio/power.h"

/* One straight line, one band over, two around, the faces. */
#define CANDIDATES (4 + AW_FACES)
/* Bands are tried again with the bodies that their legs run into. */
#define ROUNDS 4
/* Legs keep this far from what they bend around or are mirrored by, m. */
#define ASIDE 1e-4
/* Fades beyond so many sigmas, once in a million draws, do not happen. */
#define NEVER 4.753424
/* Shares of fades below are none: of one path, and of all. */
#define RARE            1e-6
#define RARELY_RECEIVED 1e-3

typedef struct finder {
    const aw_scene *scene;
    const aw_radio_scene *air;
    const double *spot, *anchor;
    double range;
    aw_path list[CANDIDATES];
    size_t n;
} finder;

const char *aw_path_kind_name(aw_path_kind kind)
{
    static const char *const name[] = {"direct", "through", "over", "around", "mirrored"};
    return name[kind];
}

/* Median power of a path. Next to an antenna no more arrives than was sent. */
static double power_of(const finder *f, double excess, double loss_db)
{
    const double length = f->range + excess;
    return f->air->eirp - fmax(aw_free_space_db(length, f->air->hz), 0) - loss_db;
}

/* Power below which a path is never found. */
static double floor_of(const aw_radio_scene *air)
{
    return air->noise + air->radio->receiver.detect_db;
}

/* Whether a path of that excess and no more power is worth looking at. */
static bool is_strong(const finder *f, double excess, double power)
{
    bool worth = power > floor_of(f->air) - NEVER * f->air->fade_sigma;
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

/* The least detour by an edge: the tops, unless they reach the ceiling, and the corners.
 */
static double detour_by_prism(const finder *f, const aw_prism *prism)
{
    const aw_polygon *p = &prism->footprint;
    const bool passable = prism->top < f->scene->scenario->floor.ceiling - 1e-3;
    double least = INFINITY;
    for (size_t i = 0; i < p->n; i++) {
        const aw_point c = p->at[i], d = p->at[(i + 1) % p->n];
        const double top[3] = {c.x, c.y, prism->top}, foot[3] = {c.x, c.y, prism->base};
        const double next[3] = {d.x, d.y, prism->top};
        least = fmin(least, aw_detour_by(foot, top, f->spot, f->anchor));
        if (passable)
            least = fmin(least, aw_detour_by(top, next, f->spot, f->anchor));
    }
    return least;
}

static double detour_by_body(const finder *f, const aw_body *body)
{
    double least = INFINITY;
    for (size_t k = 0; k < body->n; k++)
        least = fmin(least, detour_by_prism(f, &body->prisms[k]));
    return least;
}

/* What the nearest edge of an opaque body or of a pit costs a line that crosses none. */
static double edge_beside(const finder *f, const char **name)
{
    const double wavelength = f->air->wavelength;
    double least = AW_EDGE_CLEAR * AW_EDGE_CLEAR / 4 * wavelength;
    const double reach = sqrt(least * f->range / 2 + least * least / 4);
    aw_near near = aw_boxes_near(&f->air->boxes, f->spot, f->anchor, reach);
    *name = NULL;
    for (size_t i = aw_near_next(&near); i < f->scene->n_bodies; i = aw_near_next(&near)) {
        if (f->air->stuff[i].passage != AW_PASS_NOT)
            continue;
        const double own = detour_by_body(f, &f->scene->bodies[i]);
        if (own < least) {
            least = own;
            *name = f->air->stuff[i].name;
        }
    }
    for (size_t i = 0; i < f->air->n_rims; i++) {
        const aw_rim *rim = &f->air->rims[i];
        const double own = aw_detour_by(rim->from, rim->to, f->spot, f->anchor);
        if (own < least) {
            least = own;
            *name = rim->name;
        }
    }
    return *name != NULL ? aw_edge_loss(-aw_edge_v(fmax(least, 0), wavelength)) : 0;
}

/* Kept even below the threshold: `links` shows it. */
static void go_straight(finder *f, const aw_crossing *toll)
{
    aw_path path = {.kind = toll->n > 0 ? AW_PATH_THROUGH : AW_PATH_DIRECT};
    const double edge_db = edge_beside(f, &path.meets);
    path.n_meets = path.meets != NULL;
    add_toll(&path, toll, edge_db);
    path.power_dbm = power_of(f, path.excess, path.loss_db);
    f->list[f->n++] = path;
}

/* --- Bands --- */

static void step_aside(const aw_band_bend *bend, double at[3])
{
    for (int k = 0; k < 3; k++)
        at[k] = bend->at[k] + ASIDE * bend->out[k];
}

static void pay_legs(const finder *f, const aw_band *band, aw_crossing *toll)
{
    double last[3] = {f->spot[0], f->spot[1], f->spot[2]}, at[3];
    for (size_t i = 0; i <= band->n; i++) {
        if (i < band->n)
            step_aside(&band->bends[i], at);
        aw_crossing_add(toll, f->scene, last, i < band->n ? at : f->anchor, NULL);
        for (int k = 0; k < 3; k++)
            last[k] = at[k];
    }
}

/* Adds bodies to a list; false if that adds none or there is no room. */
static bool join(uint32_t bodies[], size_t *n, const aw_crossing *toll)
{
    const size_t before = *n;
    for (size_t i = 0; i < toll->n_opaque; i++) {
        bool known = false;
        for (size_t k = 0; k < *n; k++)
            known = known || bodies[k] == toll->opaque[i];
        if (!known && *n == AW_BLOCKERS)
            return false;
        if (!known)
            bodies[(*n)++] = toll->opaque[i];
    }
    return *n > before;
}

static bool stretch(const finder *f, aw_path_kind kind, bool left, const uint32_t bodies[],
                    size_t n, aw_band *band)
{
    return kind == AW_PATH_OVER
               ? aw_band_over(band, f->scene, f->spot, f->anchor, bodies, n)
               : aw_band_around(band, f->scene, f->spot, f->anchor, bodies, n, left);
}

static void go_by_band(finder *f, aw_path_kind kind, bool left, const aw_crossing *straight)
{
    uint32_t bodies[AW_BLOCKERS];
    size_t n = 0;
    aw_band band;
    join(bodies, &n, straight);
    for (int round = 0; round < ROUNDS; round++) {
        if (!stretch(f, kind, left, bodies, n, &band))
            return;
        const double detour = fmax(band.length - f->range, 0);
        const double db = aw_edge_loss(aw_edge_v(detour, f->air->wavelength));
        if (!is_worth(f, detour, db))
            return;
        aw_crossing toll = {0};
        pay_legs(f, &band, &toll);
        if (!aw_crossing_bars(&toll)) {
            aw_path path = {.kind = kind, .meets = band.bends[0].name, .excess = detour};
            for (size_t i = 0; i < band.n; i++)
                path.n_meets += i == 0 || band.bends[i].name != band.bends[i - 1].name;
            add_toll(&path, &toll, db);
            keep(f, &path);
            return;
        }
        if (!join(bodies, &n, &toll))
            return;
    }
}

/* --- Mirrors --- */

static bool is_on(const finder *f, const aw_face *face, const double at[3])
{
    if (face->within != NULL)
        return aw_polygon_holds(face->within, at[0], at[1]) &&
               (!face->floor || aw_floor_at(f->scene->scenario, at[0], at[1]) == face->base);
    const double ex = face->to.x - face->from.x, ey = face->to.y - face->from.y;
    const double along = (at[0] - face->from.x) * ex + (at[1] - face->from.y) * ey;
    return along >= 0 && along <= ex * ex + ey * ey && at[2] >= face->base && at[2] <= face->top;
}

static double before(const aw_face *face, const double at[3])
{
    const double *n = face->normal;
    return n[0] * at[0] + n[1] * at[1] + n[2] * at[2] - face->offset;
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

/* Share of fades up to one. */
static double share_to(const aw_radio_scene *air, double fade)
{
    if (air->fade_sigma > 0)
        return 0.5 * erfc(-fade * M_SQRT1_2 / air->fade_sigma);
    return fade >= 0;
}

/* Probabilities of paths that are sorted. */
static void weigh(finder *f, double *lost_db, double *total_dbm)
{
    const aw_receiver *r = &f->air->radio->receiver;
    double total = -INFINITY, last = 0;
    for (size_t i = 0; i < f->n; i++)
        total = aw_dbm_sum(total, f->list[i].power_dbm);
    const double limit = f->n > 0 ? f->list[f->n - 1].power_dbm - floor_of(f->air) : -HUGE_VAL;
    *total_dbm = total;
    *lost_db = fmin(limit, total - r->sensitivity_dbm);
    for (size_t i = 0; i < f->n; i++) {
        aw_path *path = &f->list[i];
        const double own = path->power_dbm - floor_of(f->air);
        path->found = share_to(f->air, own);
        const double up_to = share_to(f->air, fmin(own, *lost_db));
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
    while (f->n > AW_OUTCOMES) {
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
    const double fade = fmin(0, heard->lost_db);
    heard->n = f->n;
    heard->received = f->n > 0 ? share_to(f->air, heard->lost_db) : 0;
    heard->usual = 0;
    heard->snr_db = (double)NAN;
    for (size_t i = 0; i < f->n; i++) {
        heard->paths[i] = f->list[i];
        heard->limit[i] = f->list[i].power_dbm - floor_of(f->air);
    }
    while (heard->usual + 1 < f->n && heard->limit[heard->usual] < fade)
        heard->usual++;
    if (f->n > 0)
        heard->snr_db = f->list[heard->usual].power_dbm - fade - f->air->noise;
}

void aw_first_path_find(aw_first_path *heard, const aw_scene *scene, const double spot[3],
                        const double anchor[3], const aw_faces *faces, aw_shade *shade)
{
    aw_link line;
    finder f = {.scene = scene, .air = scene->air, .spot = spot, .anchor = anchor};
    aw_link_aim(&line, anchor, spot);
    f.range = line.range;
    aw_crossing toll = {0};
    aw_crossing_add(&toll, scene, spot, anchor, shade);
    if (!aw_crossing_bars(&toll))
        go_straight(&f, &toll);
    else if (toll.n_opaque < AW_BLOCKERS) {
        go_by_band(&f, AW_PATH_OVER, false, &toll);
        go_by_band(&f, AW_PATH_AROUND, true, &toll);
        go_by_band(&f, AW_PATH_AROUND, false, &toll);
    }
    if (f.n == 0 || f.list[0].loss_db > 0)
        for (size_t i = 0; i < faces->n; i++)
            go_by_mirror(&f, faces->face[i]);
    f.n = thin(f.list, f.n);
    choose(&f, &heard->lost_db, &heard->total_dbm);
    report(heard, &f);
}

void aw_first_path_law(aw_link *link, const aw_radio_scene *air, const aw_first_path *heard)
{
    const double clear = air->eirp - fmax(aw_free_space_db(link->range, air->hz), 0) - air->noise;
    double from = -INFINITY;
    link->white = aw_arrival_sigma(air->radio, clear);
    link->believed = sqrt(aw_link_variance(link));
    link->fade_sigma = air->fade_sigma;
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
    for (size_t i = 0; i < heard->n; i++) {
        const aw_path *path = &heard->paths[i];
        if (path->first < RARE && (i + 1 < heard->n || link->n_outcomes > 0))
            continue;
        link->outcomes[link->n_outcomes++] =
            (aw_outcome){from, path->excess, aw_path_kind_name(path->kind)};
        from = fmin(heard->limit[i], heard->lost_db);
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
