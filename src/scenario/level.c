/* Floor levels: how high the floor lies at a place, and so a tag. */
#include <math.h>

#include "anchorwise/level.h"
#include "base/plane.h"

/* A level that could not be read is passed over. */
static bool is_on(const aw_level *level, double x, double y)
{
    const aw_polygon *o = &level->outline;
    return o->n > 0 && !isnan(level->height) && x >= o->low.x && x <= o->high.x && y >= o->low.y &&
           y <= o->high.y && aw_polygon_holds(o, x, y);
}

/* The last level that holds a place, slabs or only what is ground. */
static const aw_level *level_at(const aw_scenario *s, double x, double y, bool with_slabs)
{
    for (size_t i = s->n_levels; i-- > 0;)
        if ((with_slabs || s->levels[i].slab.thickness == 0) && is_on(&s->levels[i], x, y))
            return &s->levels[i];
    return NULL;
}

static double height_of(const aw_level *level)
{
    return level != NULL ? level->height : 0;
}

const aw_level *aw_level_at(const aw_scenario *s, double x, double y)
{
    return level_at(s, x, y, true);
}

double aw_floor_at(const aw_scenario *s, double x, double y)
{
    return height_of(level_at(s, x, y, true));
}

double aw_ground_at(const aw_scenario *s, double x, double y)
{
    return height_of(level_at(s, x, y, false));
}

double aw_standing_at(const aw_scenario *s, size_t tag, double x, double y)
{
    const size_t level = s->tags[tag].level;
    if (level == AW_LEVEL_FLOOR)
        return aw_ground_at(s, x, y);
    const aw_level *named = level != AW_LEVEL_TOP ? &s->levels[level - 1] : NULL;
    return named != NULL && is_on(named, x, y) ? named->height : aw_floor_at(s, x, y);
}

double aw_tag_at(const aw_scenario *s, size_t tag, double x, double y)
{
    return aw_standing_at(s, tag, x, y) + s->tags[tag].height;
}

size_t aw_named_obstacles(const aw_scenario *s)
{
    size_t n = s->n_obstacles;
    while (n > 0 && s->obstacles[n - 1].is_level)
        n--;
    return n;
}

double aw_lowest_floor(const aw_scenario *s)
{
    double lowest = 0;
    for (size_t i = 0; i < s->n_levels; i++)
        lowest = fmin(lowest, s->levels[i].height);
    return lowest;
}

/* Whether another zone has the tag under the slabs there. */
static bool is_computed_under(const aw_scenario *s, const aw_zone *zone)
{
    for (size_t i = 0; i < s->n_zones; i++)
        if (s->zones[i].outline.n > 0 && s->zones[i].tag < s->n_tags &&
            s->tags[s->zones[i].tag].level == AW_LEVEL_FLOOR &&
            aw_polygons_overlap(&s->zones[i].outline, &zone->outline))
            return true;
    return false;
}

const aw_level *aw_level_over(const aw_scenario *s, const aw_zone *zone)
{
    const bool says = zone->level != NULL || zone->outline.n == 0 || zone->tag >= s->n_tags;
    for (size_t i = 0; i < s->n_levels && !says; i++) {
        const aw_level *level = &s->levels[i];
        const double height = s->tags[zone->tag].height;
        if (level->name != NULL && level->outline.n > 0 && level->slab.thickness > 0 &&
            level->height - level->slab.thickness > height &&
            level->height + height <= s->floor.ceiling &&
            aw_polygons_overlap(&level->outline, &zone->outline))
            return is_computed_under(s, zone) ? NULL : level;
    }
    return NULL;
}
