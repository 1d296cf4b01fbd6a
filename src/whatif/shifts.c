#include "whatif/shifts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/level.h"
#include "base/plane.h"

/* How near the way from spot to anchor an obstacle counts, and how finely that is looked for, m. */
#define NEAR 0.5
#define FINE 0.25
/* What an obstacle keeps of its height, m. */
#define THIN 0.01

aw_shift aw_shift_plain(size_t k)
{
    const double by = k % 2 == 0 ? -AW_SHIFT_BY : AW_SHIFT_BY;
    if (k < 6)
        return (aw_shift){AW_SHIFT_PLACE, k / 2, by};
    if (k < AW_PLAIN_SHIFTS)
        return (aw_shift){AW_SHIFT_SPOT, (k - 6) / 2, by};
    return (aw_shift){AW_SHIFT_NONE, 0, 0};
}

aw_shift aw_shift_of_obstacle(size_t obstacle, size_t k)
{
    return (aw_shift){k < 2 ? AW_SHIFT_BASE : AW_SHIFT_TOP, obstacle,
                      k % 2 == 0 ? -AW_SHIFT_BY : AW_SHIFT_BY};
}

/* What stands on the floor stands there still when it is lowered; nothing is turned inside out. */
bool aw_shift_changes(const aw_scenario *s, aw_shift shift)
{
    if (shift.kind != AW_SHIFT_BASE && shift.kind != AW_SHIFT_TOP)
        return true;
    const aw_obstacle *o = &s->obstacles[shift.of];
    if (shift.kind == AW_SHIFT_BASE)
        return (shift.by > 0 || o->base > 0) && o->base + shift.by < o->top - THIN;
    return o->top + shift.by > o->base + THIN;
}

bool aw_way_meets(const aw_obstacle *o, const double spot[3], const double at[3])
{
    const aw_polygon *p = &o->footprint;
    const double length = aw_length(at[0] - spot[0], at[1] - spot[1]);
    const size_t n = (size_t)(length / FINE) + 1;
    for (size_t i = 0; i <= n; i++) {
        const double t = (double)i / (double)n;
        const double x = spot[0] + t * (at[0] - spot[0]), y = spot[1] + t * (at[1] - spot[1]);
        const double z = spot[2] + t * (at[2] - spot[2]);
        if (z >= o->base - NEAR && z <= o->top + NEAR && x >= p->low.x - NEAR &&
            x <= p->high.x + NEAR && y >= p->low.y - NEAR && y <= p->high.y + NEAR &&
            (aw_polygon_holds(p, x, y) || aw_polygon_edge_distance(p, (aw_point){x, y}) <= NEAR))
            return true;
    }
    return false;
}

static bool shift_obstacle(aw_shifted *v, const aw_trial_spot *spot)
{
    v->varied = aw_vary(spot->scenario);
    aw_obstacle *all = aw_varied_obstacles(&v->varied);
    if (all == NULL)
        return false;
    if (v->shift.kind == AW_SHIFT_BASE)
        all[v->shift.of].base += v->shift.by;
    else
        all[v->shift.of].top += v->shift.by;
    v->own = aw_scene_create(&v->varied.scenario);
    v->scene = v->own;
    return v->own != NULL;
}

bool aw_shifted_create(aw_shifted *v, const aw_trial_spot *spot, const aw_scene *scene,
                       aw_shift shift)
{
    const aw_scenario *s = spot->scenario;
    *v = (aw_shifted){.shift = shift, .scene = scene, .states = 1};
    memcpy(v->spot, spot->at, sizeof v->spot);
    if (shift.kind == AW_SHIFT_SPOT) {
        v->spot[shift.of] += shift.by;
        v->spot[2] = aw_tag_at(s, spot->tag, v->spot[0], v->spot[1]);
    }
    v->links = calloc(s->n_anchors + 1, sizeof *v->links);
    bool done = v->links != NULL;
    if (done && (shift.kind == AW_SHIFT_BASE || shift.kind == AW_SHIFT_TOP))
        done = shift_obstacle(v, spot);
    if (!done)
        return false;
    aw_links_at(v->scene, v->spot, v->links);
    v->states = aw_states_of(s);
    for (size_t i = 0; i < s->n_anchors; i++) {
        aw_link_state_draw draws[AW_MOST_STATES];
        if (v->states > 1)
            aw_states_draw(s->study.seed, spot->cell, s->anchors[i].key, v->states, draws);
        for (size_t k = 0; k < v->states; k++) {
            const aw_link still =
                v->states > 1 ? aw_link_in_state(&v->links[i], &draws[k]) : v->links[i];
            aw_sums_add(&v->sums[k], &still);
        }
    }
    return true;
}

void aw_shifted_free(aw_shifted *v)
{
    free(v->links);
    aw_scene_free(v->own);
    aw_varied_free(&v->varied);
    *v = (aw_shifted){0};
}
