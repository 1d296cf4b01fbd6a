/* Bodies are crossed by the one exact rule of sight.h; what a crossing costs, the body's stuff
 * says. */
#include "radio/crossing.h"

#include <math.h>

#include "base/plane.h"
#include "radio/pit.h"

/* A straight way: from, along, length. */
typedef struct way {
    const double *a, *b;
    double along[3]; /* unit */
    double length;
} way;

/* db and delay as worked out from permittivity. */
static void meet(aw_crossing *t, const aw_body_radio *s, double db, double delay)
{
    db = db * s->loss_times + s->loss_db;
    if (t->n++ == 0 || db > t->most_db) {
        t->most_db = db;
        t->most = s->name;
    }
    t->loss_db += db;
    t->delay += delay * s->delay_times + s->delay;
}

/* The cosine of the angle between a way and the normal of an upright face along (dx, dy). */
static double cosine_to(const way *w, double dx, double dy)
{
    return fabs(w->along[0] * dy - w->along[1] * dx) / aw_length(dx, dy);
}

/* The part t[0]..t[1] of a way inside a leg of a wall, a convex prism; false if there is none. */
static bool part_in_leg(const aw_prism *leg, const way *w, double t[2])
{
    const aw_polygon *p = &leg->footprint;
    if (!aw_prism_cut(leg, w->a[2], w->b[2], t))
        return false;
    const double dx = w->b[0] - w->a[0], dy = w->b[1] - w->a[1];
    for (size_t i = 0; i < p->n; i++) {
        const aw_point c = p->at[i], d = p->at[(i + 1) % p->n];
        /* Inside is left of every edge. */
        const double ex = d.x - c.x, ey = d.y - c.y;
        const double from = ex * (w->a[1] - c.y) - ey * (w->a[0] - c.x), grows = ex * dy - ey * dx;
        if (grows > 0)
            t[0] = fmax(t[0], -from / grows);
        else if (grows < 0)
            t[1] = fmin(t[1], -from / grows);
        else if (from <= 0)
            return false;
    }
    return t[0] < t[1];
}

/* Legs that are met one straight after another are one slab, at the angle of the leg in which the
 * way is longest. A leg's first edge runs along it. */
static void pass_wall(aw_crossing *toll, const aw_body *body, const aw_body_radio *s, const way *w,
                      double hz)
{
    double db = 0, delay = 0, from = 0, to = 0, longest = 0, cosine = 0;
    for (size_t i = 0; i <= body->n; i++) {
        double t[2] = {2, 2};
        const aw_polygon *p = i < body->n ? &body->prisms[i].footprint : NULL;
        if (p != NULL && !part_in_leg(&body->prisms[i], w, t))
            continue;
        const bool touches = p != NULL && longest > 0 && t[0] <= to + 1e-9 && t[1] >= from - 1e-9;
        if (longest > 0 && !touches) {
            db += aw_loss_by_angle_at(&s->angles, cosine);
            delay += aw_slab_delay(s->leaves, s->n_leaves, hz, cosine);
            longest = 0;
        }
        if (p != NULL && t[1] - t[0] > longest) {
            longest = t[1] - t[0];
            cosine = cosine_to(w, p->at[1].x - p->at[0].x, p->at[1].y - p->at[0].y);
        }
        from = touches ? fmin(from, t[0]) : t[0];
        to = touches ? fmax(to, t[1]) : t[1];
    }
    meet(toll, s, db, delay);
}

/* Every upright face, roof and underside passed is one slab. */
static void pass_shell(aw_crossing *toll, const aw_prism *prism, const aw_body_radio *s,
                       const way *w, double hz)
{
    const aw_polygon *p = &prism->footprint;
    const aw_point a = {w->a[0], w->a[1]}, b = {w->b[0], w->b[1]};
    double db = 0, delay = 0;
    for (size_t i = 0; i < p->n; i++) {
        const aw_point c = p->at[i], d = p->at[(i + 1) % p->n];
        const double ex = d.x - c.x, ey = d.y - c.y;
        const double sa = ex * (a.y - c.y) - ey * (a.x - c.x);
        const double sb = ex * (b.y - c.y) - ey * (b.x - c.x);
        if ((sa > 0) == (sb > 0))
            continue;
        const double t = sa / (sa - sb), z = w->a[2] + t * (w->b[2] - w->a[2]);
        const double x = a.x + t * (b.x - a.x), y = a.y + t * (b.y - a.y);
        const double along = (x - c.x) * ex + (y - c.y) * ey;
        if (along < 0 || along >= ex * ex + ey * ey || z < prism->base || z > prism->top)
            continue;
        const double cosine = cosine_to(w, ex, ey);
        db += aw_loss_by_angle_at(&s->angles, cosine);
        delay += aw_slab_delay(s->leaves, s->n_leaves, hz, cosine);
    }
    for (int roof = 0; roof < 2; roof++) {
        const double z = roof ? prism->top : prism->base;
        if ((w->a[2] > z) == (w->b[2] > z))
            continue;
        const double t = (z - w->a[2]) / (w->b[2] - w->a[2]);
        if (!aw_polygon_holds(p, a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)))
            continue;
        db += aw_loss_by_angle_at(&s->angles, fabs(w->along[2]));
        delay += aw_slab_delay(s->leaves, s->n_leaves, hz, fabs(w->along[2]));
    }
    meet(toll, s, db, delay);
}

/* Body i, crossed for `inside` m, which counts for solids alone. */
static void pass(aw_crossing *toll, const aw_scene *scene, size_t i, const way *w, double inside)
{
    const aw_body_radio *s = &scene->air->stuff[i];
    const aw_body *body = &scene->bodies[i];
    const double hz = scene->air->hz, before = toll->loss_db;
    if (s->passage == AW_PASS_NOT) {
        toll->n++;
        toll->most = aw_crossing_bars(toll) ? toll->most : s->name;
        toll->most_db = INFINITY;
        toll->n_opaque++;
    } else if (s->passage == AW_PASS_FIXED) {
        meet(toll, s, 0, 0);
    } else if (s->passage == AW_PASS_WALL) {
        pass_wall(toll, body, s, w, hz);
    } else if (s->passage == AW_PASS_SHELL) {
        pass_shell(toll, body->prisms, s, w, hz);
    } else {
        meet(toll, s, aw_loss_by_length_at(&s->ways, inside), inside * s->root);
    }
    if (s->passage != AW_PASS_NOT && toll->loss_db - before >= toll->costliest_db) {
        toll->costliest_db = toll->loss_db - before;
        toll->costliest = i;
    }
}

static void pass_shaded(aw_crossing *toll, const aw_scene *scene, const way *w, aw_shade *shade)
{
    const size_t n = scene->n_bodies;
    for (size_t i = aw_shade_next(shade, 0, n); i < n; i = aw_shade_next(shade, i + 1, n)) {
        const bool counts = scene->air->stuff[i].passage == AW_PASS_SOLID;
        const double inside =
            shade->sure && !counts ? HUGE_VAL : aw_body_length(&scene->bodies[i], w->a, w->b);
        if (inside > scene->bodies[i].crossing)
            pass(toll, scene, i, w, inside);
    }
}

static void pass_all(aw_crossing *toll, const aw_scene *scene, const way *w)
{
    aw_near near = aw_boxes_near(&scene->air->boxes, w->a, w->b, 0);
    for (size_t i = aw_near_next(&near); i < scene->n_bodies; i = aw_near_next(&near)) {
        const double inside = aw_body_length(&scene->bodies[i], w->a, w->b);
        if (inside > scene->bodies[i].crossing)
            pass(toll, scene, i, w, inside);
        if (toll->brief && toll->n_opaque > 0)
            return;
    }
}

void aw_crossing_add(aw_crossing *toll, const aw_scene *scene, const double a[3], const double b[3],
                     aw_shade *shade)
{
    way w = {a, b, {b[0] - a[0], b[1] - a[1], b[2] - a[2]}, 0};
    w.length = sqrt(w.along[0] * w.along[0] + w.along[1] * w.along[1] + w.along[2] * w.along[2]);
    for (int k = 0; k < 3 && w.length > 0; k++)
        w.along[k] /= w.length;
    if (shade != NULL)
        pass_shaded(toll, scene, &w, shade);
    else
        pass_all(toll, scene, &w);
    const aw_level *pit = scene->air->has_rims ? aw_pit_meet(scene->scenario, a, b).level : NULL;
    if (pit != NULL && !toll->buried) {
        toll->n++;
        toll->most = toll->n_opaque == 0 ? pit->name : toll->most;
        toll->most_db = INFINITY;
        toll->buried = true;
    }
}
