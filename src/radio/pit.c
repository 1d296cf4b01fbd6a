/* Where a line crosses a pit's edge below the floor beside it, it goes into the ground. */
#include "radio/pit.h"

#include <math.h>

#include "anchorwise/level.h"
#include "base/plane.h"

/* How far to either side of an edge the floor is looked up, m. */
#define BESIDE 1e-6

/* The share of the segment at which it crosses the edge a-b in plan; NaN if it does not. */
static double crossing(const double from[3], const double to[3], aw_point a, aw_point b)
{
    const double dx = to[0] - from[0], dy = to[1] - from[1], ex = b.x - a.x, ey = b.y - a.y;
    const double turn = dx * ey - dy * ex, px = a.x - from[0], py = a.y - from[1];
    const double t = (px * ey - py * ex) / turn, along = (px * dy - py * dx) / turn;
    return t >= 0 && t <= 1 && along >= 0 && along <= 1 ? t : (double)NAN;
}

/* Whether the segment runs into the ground at this share. */
static bool is_under(const aw_scenario *s, const double from[3], const double to[3], double t)
{
    const double length = aw_length(to[0] - from[0], to[1] - from[1]), off = BESIDE / length;
    double floor[2];
    for (int side = 0; side < 2; side++) {
        const double at = t + (side == 0 ? -off : off);
        floor[side] =
            aw_ground_at(s, from[0] + at * (to[0] - from[0]), from[1] + at * (to[1] - from[1]));
    }
    const double ground = fmin(0, fmax(floor[0], floor[1]));
    return fmin(floor[0], floor[1]) < ground && from[2] + t * (to[2] - from[2]) < ground;
}

aw_pit_edge aw_pit_meet(const aw_scenario *s, const double from[3], const double to[3])
{
    aw_pit_edge first = {.share = HUGE_VAL};
    for (size_t i = 0; i < s->n_levels; i++) {
        const aw_polygon *o = &s->levels[i].outline;
        for (size_t k = 0; s->levels[i].height < 0 && k < o->n; k++) {
            const aw_point a = o->at[k], b = o->at[(k + 1) % o->n];
            const double t = crossing(from, to, a, b);
            if (!(t < first.share))
                continue;
            if (is_under(s, from, to, t))
                first = (aw_pit_edge){&s->levels[i], t};
        }
    }
    return first;
}
