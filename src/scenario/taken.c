/* Why no tag can be at a place: the one rule for a single place, which rows of cells follow. */
#include "anchorwise/scenario.h"
#include "base/plane.h"

static bool holds(const aw_polygon *p, double base, double top, double x, double y, double z)
{
    return base < z && z < top && aw_polygon_holds(p, x, y);
}

aw_taken aw_taken_at(const aw_scenario *s, double x, double y, double z)
{
    if (!aw_polygon_holds(&s->floor.outline, x, y))
        return (aw_taken){AW_OFF_THE_FLOOR, NULL};
    if (z > s->floor.ceiling)
        return (aw_taken){AW_OVER_THE_CEILING, NULL};
    for (size_t k = 0; k < s->n_obstacles; k++) {
        const aw_obstacle *o = &s->obstacles[k];
        if (holds(&o->footprint, o->base, o->top, x, y, z))
            return (aw_taken){AW_IN_AN_OBSTACLE, o->name};
    }
    for (size_t k = 0; k < s->n_walls; k++) {
        const aw_wall *w = &s->walls[k];
        for (size_t l = 0; l + 1 < w->n; l++)
            if (holds(&w->legs[l], w->base, w->top, x, y, z))
                return (aw_taken){AW_IN_A_WALL, w->name};
    }
    return (aw_taken){AW_TAKEN_BY_NOTHING, NULL};
}
