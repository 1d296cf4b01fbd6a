/* Floor levels: how high the floor lies at a place, and so a tag. */
#include <math.h>

#include "anchorwise/scenario.h"
#include "base/plane.h"

/* A level that could not be read is passed over. */
static bool is_on(const aw_level *level, double x, double y)
{
    const aw_polygon *o = &level->outline;
    return o->n > 0 && !isnan(level->height) && x >= o->low.x && x <= o->high.x && y >= o->low.y &&
           y <= o->high.y && aw_polygon_holds(o, x, y);
}

const aw_level *aw_level_at(const aw_scenario *s, double x, double y)
{
    for (size_t i = s->n_levels; i-- > 0;)
        if (is_on(&s->levels[i], x, y))
            return &s->levels[i];
    return NULL;
}

double aw_floor_at(const aw_scenario *s, double x, double y)
{
    const aw_level *level = aw_level_at(s, x, y);
    return level != NULL ? level->height : 0;
}

double aw_tag_at(const aw_scenario *s, size_t tag, double x, double y)
{
    return aw_floor_at(s, x, y) + s->tags[tag].height;
}

double aw_lowest_floor(const aw_scenario *s)
{
    double lowest = 0;
    for (size_t i = 0; i < s->n_levels; i++)
        lowest = fmin(lowest, s->levels[i].height);
    return lowest;
}

const aw_level *aw_level_over(const aw_scenario *s, const aw_zone *zone)
{
    for (size_t i = 0; i < s->n_levels && zone->outline.n > 0 && zone->tag < s->n_tags; i++) {
        const aw_level *level = &s->levels[i];
        const double height = s->tags[zone->tag].height;
        if (level->name != NULL && level->outline.n > 0 && level->height > height &&
            level->height + height <= s->floor.ceiling &&
            aw_polygons_overlap(&level->outline, &zone->outline))
            return level;
    }
    return NULL;
}
