/* Levels that one can stand under or that are solid: what of them stands in the way as obstacles,
 * and the tags of zones that say where they stand. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "anchorwise/level.h"
#include "base/plane.h"
#include "scenario/reader.h"

/* Of more, which no site has, only so many are looked at. */
#define MOST_BELOW     1000
#define MOST_STANDINGS 64

static bool is_sound(const aw_level *level)
{
    return level->name != NULL && level->outline.n > 0 && !isnan(level->height) &&
           !isnan(level->slab.thickness);
}

/* --- what stands in the way --- */

static bool is_body(const aw_level *level)
{
    return is_sound(level) && (level->slab.thickness > 0 || level->height > 0);
}

/* What a level stands on: of those before it the last that holds its first corner, if lower. */
static double base_of(const aw_scenario *s, size_t level)
{
    const aw_level *own = &s->levels[level];
    const aw_point at = own->outline.at[0];
    for (size_t i = level; i-- > 0 && level - i <= MOST_BELOW;)
        if (is_sound(&s->levels[i]) && s->levels[i].height < own->height &&
            aw_polygon_holds(&s->levels[i].outline, at.x, at.y))
            return s->levels[i].height;
    return 0;
}

static aw_obstacle body_of(const aw_scenario *s, size_t level)
{
    const aw_level *l = &s->levels[level];
    const bool slab = l->slab.thickness > 0;
    return (aw_obstacle){.name = l->name,
                         .footprint = l->outline,
                         .base = slab ? l->height - l->slab.thickness : base_of(s, level),
                         .top = l->height,
                         .material = slab ? l->slab.material : s->floor.material,
                         .is_level = true,
                         .place = l->place};
}

static void add_bodies(aw_reader *r, aw_scenario *s)
{
    size_t n = 0;
    for (size_t i = 0; i < s->n_levels; i++)
        n += is_body(&s->levels[i]);
    if (n == 0)
        return;
    aw_obstacle *all = aw_arena_take_array(r->arena, s->n_obstacles + n, sizeof *all);
    if (all == NULL) {
        r->out_of_memory = true;
        return;
    }
    if (s->n_obstacles > 0)
        memcpy(all, s->obstacles, s->n_obstacles * sizeof *all);
    for (size_t i = 0; i < s->n_levels; i++)
        if (is_body(&s->levels[i]))
            all[s->n_obstacles++] = body_of(s, i);
    s->obstacles = all;
}

/* --- tags that say where they stand --- */

static const aw_node *level_of(const aw_node *zones, size_t zone)
{
    return zones != NULL && zones->kind == AW_NODE_LIST && zone < zones->n
               ? aw_node_find(zones->children[zone], "level")
               : NULL;
}

static void complain_of_level(aw_reader *r, const aw_zone *zone, const aw_node *node,
                              const char *why)
{
    const aw_text_pos at = node != NULL ? (aw_text_pos){node->line, node->column} : zone->place;
    aw_errors_add(r->errors, AW_ERROR, at.line, at.column, "level: '%s' %s", zone->level, why);
}

/* The standing that a zone names; AW_LEVEL_TOP, with a complaint, if it cannot be. */
static size_t standing_of(aw_reader *r, const aw_zone *zone, const aw_node *node)
{
    const aw_scenario *s = r->scenario;
    if (strcmp(zone->level, "floor") == 0)
        return AW_LEVEL_FLOOR;
    const aw_name *named = aw_names_find(&r->levels, zone->level);
    if (named != NULL) {
        const aw_level *level = &s->levels[named->index];
        if (is_sound(level) && zone->outline.n > 0 &&
            !aw_polygons_overlap(&level->outline, &zone->outline))
            complain_of_level(r, zone, node, "lies nowhere in the zone");
        return named->index + 1;
    }
    complain_of_level(r, zone, node, "is no level of this scenario, nor 'floor'");
    return AW_LEVEL_TOP;
}

/* Among those that stand on levels, behind the written ones; their number if there is none. */
static size_t tag_standing(const aw_scenario *s, const aw_tag *like, size_t level, size_t written)
{
    size_t i = written;
    while (i < s->n_tags &&
           (s->tags[i].level != level || s->tags[i].place.line != like->place.line ||
            s->tags[i].place.column != like->place.column))
        i++;
    return i;
}

static const char *name_standing(aw_reader *r, const char *tag, size_t level)
{
    const char *on = level == AW_LEVEL_FLOOR ? "the floor" : r->scenario->levels[level - 1].name;
    const size_t n = strlen(tag) + strlen(on) + sizeof " on ";
    char *name = aw_arena_take_array(r->arena, n, 1);
    if (name != NULL)
        snprintf(name, n, "%s on %s", tag, on);
    return name;
}

/* The zone's tag becomes the one with that standing, which is added if there is none yet. */
static void stand(aw_reader *r, aw_zone *zone, const aw_node *node, aw_tag tags[], size_t written)
{
    aw_scenario *s = r->scenario;
    const aw_tag like = tags[zone->tag];
    const size_t level = standing_of(r, zone, node);
    if (level == AW_LEVEL_TOP)
        return;
    const size_t tag = tag_standing(s, &like, level, written);
    if (tag == written + MOST_STANDINGS) {
        complain_of_level(r, zone, node, "is one more than 64 tags on levels");
        return;
    }
    zone->tag = tag;
    if (tag < s->n_tags)
        return;
    tags[tag] = like;
    tags[tag].level = level;
    tags[tag].name = name_standing(r, like.name, level);
    r->out_of_memory = r->out_of_memory || tags[tag].name == NULL;
    s->n_tags++;
}

static void add_tags(aw_reader *r, const aw_node *zones)
{
    aw_scenario *s = r->scenario;
    const size_t written = s->n_tags;
    aw_tag *tags = NULL;
    for (size_t i = 0; i < s->n_zones && !r->out_of_memory; i++) {
        aw_zone *zone = &r->zones_read[i];
        if (zone->level == NULL || zone->tag >= written || s->tags[zone->tag].name == NULL)
            continue;
        if (tags == NULL) {
            tags = aw_arena_take_array(r->arena, written + MOST_STANDINGS, sizeof *tags);
            r->out_of_memory = tags == NULL;
            if (tags == NULL)
                return;
            memcpy(tags, s->tags, written * sizeof *tags);
            s->tags = tags;
        }
        stand(r, zone, level_of(zones, i), tags, written);
    }
}

void aw_storeys_settle(aw_reader *r, const aw_node *root)
{
    add_tags(r, aw_node_find(root, "zones"));
    add_bodies(r, r->scenario);
}
