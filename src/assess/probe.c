/* What is drawn at a place tells also where to draw next: the same errors, carried along, are right
 * at some other depth. A place that they carry to itself is the one that is sought. */
#include "assess/probe.h"

#include <math.h>
#include <string.h>

/* Where a tag can just be, m. */
#define JUST 1e-3
/* A depth is told within this part of it, or JUST. */
#define FINE 0.01
/* Strides along the way, in steps of the study. */
#define STRIDE 0.125
/* A wall is passed over; behind what is thicker, m, is another place. */
#define THICK 1.0
/* Places drawn between a wrong and a right one; every third halves what is left. */
#define MOST_TRIES 24

typedef struct look {
    double depth;
    aw_point at;
    bool free, right; /* whether a tag can be there, and its decisions are right */
    bool ends;        /* no place is deeper */
    aw_depth asked;   /* at which errors as here would just be right */
    double share, no_fix;
} look;

static double fine_at(double depth)
{
    return fmax(FINE * depth, JUST);
}

/* --- one place --- */

static aw_draws draw_round(aw_prober *w, size_t round)
{
    const size_t m = w->scenario->study.draws;
    w->spot.draws.first_draw = (uint32_t)(round * m);
    return aw_trials_run(w->trials, &w->spot.draws);
}

static aw_cloud draw_cloud(aw_prober *w, const look *l, uint32_t number)
{
    const size_t m = w->scenario->study.draws;
    aw_spot_prepare_at(&w->spot, w->scene, w->scenario, w->zone->tag, l->at, number);
    if (w->rounds == 0) {
        const aw_draws d = draw_round(w, 0);
        return (aw_cloud){d.x, d.y, d.n};
    }
    for (size_t k = 0; k < w->rounds && !w->stopped; k++) {
        const aw_draws d = draw_round(w, k + 1);
        memcpy(w->x + k * m, d.x, m * sizeof *w->x);
        memcpy(w->y + k * m, d.y, m * sizeof *w->y);
        w->stopped = aw_run_stopped(w->run);
    }
    return (aw_cloud){w->x, w->y, w->rounds * m};
}

static double share_without_fix(const aw_cloud *cloud)
{
    size_t n = 0;
    for (size_t i = 0; i < cloud->n; i++)
        n += isnan(cloud->x[i]) ? 1 : 0;
    return (double)n / (double)cloud->n;
}

/* The random numbers are those of the border point's cell at every depth: errors change with the
 * place alone. */
static look look_at(aw_prober *w, const aw_probe *p, double depth)
{
    const aw_polygon *outline = &w->zone->outline;
    look l = {.asked = {(double)NAN, (double)NAN}};
    l.depth = aw_border_go(outline, &p->point, p->inside, STRIDE * w->grid->step, depth, &l.at);
    l.ends = l.depth < depth;
    l.free = aw_floor_is_free(w->scenario, l.at, w->zone->tag);
    w->stopped = w->stopped || (aw_run_stopped(w->run));
    if (!l.free || w->stopped)
        return l;
    const aw_cloud cloud = draw_cloud(w, &l, aw_grid_number_at(w->grid, p->point.at));
    l.share = aw_cloud_share(&cloud, outline, l.at);
    l.no_fix = share_without_fix(&cloud);
    l.right = aw_border_is_right(l.share, p->inside);
    if (!p->inside || aw_border_is_right(1 - l.no_fix, true))
        l.asked = aw_border_depth(outline, &p->point, p->inside, &cloud);
    return l;
}

/* --- along the way --- */

/* What is told of a place, which is the probe's end. */
static void tell(aw_probe *p, const look *l, aw_probe_end end, aw_depth found)
{
    p->end = end;
    p->depth = found.depth;
    p->share = found.share;
    p->at = l->at;
    p->nearest = l->depth;
    p->no_fix = l->no_fix;
}

/* A place whose errors are right at its own depth, but for a little, is right there. */
static bool is_found(const look *l)
{
    return l->free && fabs(l->depth - l->asked.depth) <= fine_at(l->depth) / 2;
}

static void tell_right(aw_probe *p, const look *l, double depth)
{
    tell(p, l, AW_PROBE_RIGHT, is_found(l) ? l->asked : (aw_depth){depth, l->share});
}

static double guess_between(const look *wrong, const look *right, int tries)
{
    const double under = wrong->asked.depth - wrong->depth,
                 over = right->depth - right->asked.depth;
    if (tries % 3 == 2 || !right->free || !(under > 0) || !(over >= 0))
        return (wrong->depth + right->depth) / 2;
    return wrong->depth + (right->depth - wrong->depth) * under / (under + over);
}

/* Between a wrong place and a deeper one that is right, or where no tag can be; `beyond` is the
 * right one. */
static void narrow(aw_prober *w, aw_probe *p, look wrong, look right, const look *beyond)
{
    for (int tries = 0; tries < MOST_TRIES && !w->stopped; tries++) {
        const double fine = fine_at(right.depth), guess = guess_between(&wrong, &right, tries);
        if (right.depth - wrong.depth <= fine || is_found(&right))
            break;
        const look l = look_at(w, p, fmax(guess, wrong.depth + fine / 4));
        if (l.free && !l.right)
            wrong = l;
        else
            right = l;
    }
    if (right.free)
        tell_right(p, &right, right.depth);
    else
        tell(p, beyond, AW_PROBE_RIGHT, (aw_depth){right.depth, beyond->share});
}

static double stride_from(const look *l, double step)
{
    if (!l->free)
        return step / 2;
    return isnan(l->asked.depth) ? step
                                 : fmin(fmax(l->asked.depth - l->depth, fine_at(l->depth)), step);
}

/* Back towards the border from a place where decisions are right. */
static void go_back(aw_prober *w, aw_probe *p, look right)
{
    const look beyond = right;
    while (right.depth > JUST && !w->stopped) {
        const double fine = fine_at(right.depth), step = w->grid->step;
        const double way =
            right.free ? fmin(fmax(right.depth - right.asked.depth, fine), step) : step / 2;
        if (is_found(&right)) {
            tell_right(p, &right, right.depth);
            return;
        }
        const look l = look_at(w, p, fmax(right.depth - way, JUST));
        if (l.free && !l.right) {
            narrow(w, p, l, right, &beyond);
            return;
        }
        right = l;
    }
    tell(p, right.free ? &right : &beyond, AW_PROBE_RIGHT,
         (aw_depth){0, right.free ? right.share : beyond.share});
}

/* The last depth between two at which a tag can be; it can at the first. */
static double find_free_end(const aw_prober *w, const aw_probe *p, double free, double taken)
{
    while (taken - free > JUST / 2) {
        const double middle = (free + taken) / 2;
        aw_point at;
        aw_border_go(&w->zone->outline, &p->point, p->inside, STRIDE * w->grid->step, middle, &at);
        if (aw_floor_is_free(w->scenario, at, w->zone->tag))
            free = middle;
        else
            taken = middle;
    }
    return free;
}

/* On from a place where decisions are not right, or no tag can be. */
static void go_on(aw_prober *w, aw_probe *p, look l)
{
    const double nan = (double)NAN;
    const aw_depth none = {nan, nan};
    const look nowhere = {.depth = nan, .at = {nan, nan}, .share = nan, .no_fix = nan};
    look wrong = nowhere, after = nowhere, nearest = nowhere;
    double free_up_to = l.depth;
    while (!w->stopped) {
        const bool right = l.free && l.right;
        if (!l.free && free_up_to == wrong.depth) {
            const double end = find_free_end(w, p, wrong.depth, l.depth);
            if (end - wrong.depth > fine_at(end)) {
                l = look_at(w, p, end);
                continue;
            }
        }
        if (isnan(after.depth) && !isnan(wrong.depth) && (right || !l.free))
            after = l;
        if (right) {
            if (isnan(wrong.depth))
                go_back(w, p, l);
            else
                narrow(w, p, wrong, after, &l);
            return;
        }
        if (l.free) {
            free_up_to = l.depth;
            wrong = l;
            after.depth = (double)NAN;
            if (isnan(nearest.depth) ||
                (p->inside ? l.share > nearest.share : l.share < nearest.share))
                nearest = l;
        }
        if (l.ends || l.depth - free_up_to > THICK)
            break;
        l = look_at(w, p, l.depth + stride_from(&l, w->grid->step));
    }
    if (isnan(nearest.depth))
        tell(p, &nowhere, AW_PROBE_NOWHERE, none);
    else
        tell(p, &nearest, l.free ? AW_PROBE_WRONG : AW_PROBE_BLOCKED,
             (aw_depth){none.depth, nearest.share});
}

void aw_probe_seek(aw_probe *p, aw_prober *w)
{
    w->rounds = 0;
    go_on(w, p, look_at(w, p, JUST));
}

void aw_probe_confirm(aw_probe *p, aw_prober *w, size_t rounds)
{
    const bool was_right = p->end == AW_PROBE_RIGHT;
    w->rounds = rounds;
    const look l = look_at(w, p, fmax(was_right ? p->depth : p->nearest, JUST));
    if (l.free && l.right)
        go_back(w, p, l);
    else if (was_right)
        go_on(w, p, l);
    else
        tell(p, &l, p->end, (aw_depth){(double)NAN, l.share});
}
