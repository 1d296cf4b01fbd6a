/* Warnings: what may well be meant and more often is a slip. Only sound items are looked at, so
 * that one mistake makes one complaint. */
#include "scenario/reader.h"

#include <math.h>
#include <stdlib.h>

#include "anchorwise/level.h"
#include "base/plane.h"
#include "scenario/ground.h"

#define TOUCH AW_GROUND_TOUCH

/* Of more levels than these, which no site has, only the first are looked at. */
#define MOST_LEVELS 200

#define OUTDOOR_RULE                                                                               \
    "anchors that send may not hang outdoors unless licensed (47 CFR 15.517(a) and 15.519(a), "    \
    "ETSI EN 302 065-2); local rules decide"

static bool is_outside(const aw_polygon *polygon, aw_point p)
{
    return !aw_polygon_holds(polygon, p.x, p.y) && aw_polygon_edge_distance(polygon, p) > TOUCH;
}

static bool is_well_inside(const aw_polygon *polygon, aw_point p)
{
    return p.x > polygon->low.x && p.x < polygon->high.x && p.y > polygon->low.y &&
           p.y < polygon->high.y && aw_polygon_holds(polygon, p.x, p.y) &&
           aw_polygon_edge_distance(polygon, p) > TOUCH;
}

static bool obstacle_is_sound(const aw_obstacle *o)
{
    return o->name != NULL && o->footprint.n > 0 && !isnan(o->base) && !isnan(o->top);
}

static bool anchor_is_sound(const aw_anchor *a)
{
    return !isnan(a->at[0]) && !isnan(a->at[1]) && !isnan(a->at[2]);
}

static bool anchors_send(const aw_scenario *s)
{
    return s->radio.given && s->radio.mode == AW_ANCHORS_SEND && !s->radio.licensed;
}

static void warn_of_anchor(aw_reader *r, const aw_anchor *anchor)
{
    const aw_scenario *s = r->scenario;
    const aw_point p = {anchor->at[0], anchor->at[1]};
    const double z = anchor->at[2];
    if (anchor->name == NULL || !anchor_is_sound(anchor))
        return;
    if (s->floor.outline.n > 0 && is_outside(&s->floor.outline, p))
        aw_errors_add(r->errors, AW_WARNING, anchor->place.line, anchor->place.column,
                      "anchor '%s' stands outside the outline%s", anchor->name,
                      anchors_send(s) ? "; " OUTDOOR_RULE : "");
    for (size_t i = 0; i < s->n_obstacles; i++) {
        const aw_obstacle *o = &s->obstacles[i];
        if (obstacle_is_sound(o) && z > o->base + TOUCH && z < o->top - TOUCH &&
            is_well_inside(&o->footprint, p))
            aw_errors_add(r->errors, AW_WARNING, anchor->place.line, anchor->place.column,
                          "anchor '%s' is inside %s '%s'", anchor->name,
                          o->is_level ? "level" : "obstacle", o->name);
    }
}

/* What `place` takes no candidate in. */
static void warn_of_forbidden(aw_reader *r, const aw_anchor *anchor)
{
    const aw_candidate_rules *rules = &r->scenario->candidates;
    const double *at = anchor->at;
    for (size_t i = 0; i < rules->n_forbidden && anchor->name != NULL; i++) {
        const aw_forbidden *f = &rules->forbidden[i];
        if (f->name != NULL && f->outline.n > 0 && at[2] >= f->base && at[2] <= f->top &&
            aw_polygon_holds(&f->outline, at[0], at[1]))
            aw_errors_add(r->errors, AW_WARNING, anchor->place.line, anchor->place.column,
                          "anchor '%s' hangs in the forbidden area '%s'", anchor->name, f->name);
    }
}

static void warn_of_outdoors(aw_reader *r)
{
    const aw_radio *radio = &r->scenario->radio;
    if (anchors_send(r->scenario) &&
        (radio->environment == AW_OUTDOOR || radio->environment == AW_OPEN_OUTDOOR))
        aw_errors_add(r->errors, AW_WARNING, radio->place.line, radio->place.column,
                      "the environment is '%s'; " OUTDOOR_RULE,
                      aw_environment_name(radio->environment));
}

static bool keeps_on_floor(aw_reader *r, aw_ground *ground, const aw_polygon *inner)
{
    const aw_keeping keeping = aw_ground_keeps(ground, inner);
    r->out_of_memory = r->out_of_memory || keeping == AW_KEEPING_UNKNOWN;
    return keeping != AW_LEAVES;
}

static void warn_of_places_on_floor(aw_reader *r)
{
    const aw_scenario *s = r->scenario;
    if (s->floor.outline.n == 0)
        return;
    aw_ground *ground = aw_ground_create(&s->floor.outline);
    if (ground == NULL) {
        r->out_of_memory = true;
        return;
    }
    for (size_t i = 0; i < s->n_obstacles; i++) {
        const aw_obstacle *o = &s->obstacles[i];
        if (o->name != NULL && !o->is_level && o->footprint.n > 0 &&
            !keeps_on_floor(r, ground, &o->footprint))
            aw_errors_add(r->errors, AW_WARNING, o->place.line, o->place.column,
                          "obstacle '%s' leaves the floor", o->name);
    }
    /* A zone wholly off the floor has no cell, which is an error of its own. */
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone *zone = &s->zones[i];
        if (zone->name != NULL && zone->outline.n > 0 &&
            !keeps_on_floor(r, ground, &zone->outline) &&
            aw_polygons_overlap(&zone->outline, &s->floor.outline))
            aw_errors_add(r->errors, AW_WARNING, zone->place.line, zone->place.column,
                          "zone '%s' is partly off the floor", zone->name);
    }
    aw_ground_free(ground);
}

static int compare_obstacles(const void *a, const void *b)
{
    const aw_obstacle *o = *(const aw_obstacle *const *)a, *p = *(const aw_obstacle *const *)b;
    if (o->footprint.low.x != p->footprint.low.x)
        return o->footprint.low.x < p->footprint.low.x ? -1 : 1;
    return (o > p) - (o < p);
}

static bool spans_meet(double low, double high, double other_low, double other_high)
{
    return low + TOUCH < other_high && other_low + TOUCH < high;
}

static bool polygons_overlap(const aw_polygon *p, const aw_polygon *q)
{
    return spans_meet(p->low.x, p->high.x, q->low.x, q->high.x) &&
           spans_meet(p->low.y, p->high.y, q->low.y, q->high.y) && aw_polygons_overlap(p, q);
}

static bool obstacles_overlap(const aw_obstacle *a, const aw_obstacle *b)
{
    return spans_meet(a->base, a->top, b->base, b->top) &&
           polygons_overlap(&a->footprint, &b->footprint);
}

static void warn_of_pair(aw_reader *r, const aw_obstacle *a, const aw_obstacle *b)
{
    const aw_obstacle *earlier = a < b ? a : b, *later = a < b ? b : a;
    if (!a->is_level && !b->is_level && obstacles_overlap(a, b))
        aw_errors_add(r->errors, AW_WARNING, later->place.line, later->place.column,
                      "obstacles '%s' and '%s' overlap", earlier->name, later->name);
}

/* Sweeps along x: only those that share a stretch of it are compared. */
static void warn_of_overlaps(aw_reader *r)
{
    const aw_scenario *s = r->scenario;
    const aw_obstacle **sorted = malloc((s->n_obstacles + 1) * sizeof *sorted);
    size_t n = 0;
    if (sorted == NULL) {
        r->out_of_memory = true;
        return;
    }
    for (size_t i = 0; i < s->n_obstacles; i++)
        if (obstacle_is_sound(&s->obstacles[i]))
            sorted[n++] = &s->obstacles[i];
    qsort(sorted, n, sizeof *sorted, compare_obstacles);
    for (size_t i = 0; i < n; i++)
        for (size_t j = i + 1; j < n && r->errors->n < AW_ERRORS_KEPT &&
                               sorted[j]->footprint.low.x < sorted[i]->footprint.high.x;
             j++)
            warn_of_pair(r, sorted[i], sorted[j]);
    free(sorted);
}

/* --- Levels --- */

static size_t count_levels(const aw_scenario *s)
{
    return s->n_levels < MOST_LEVELS ? s->n_levels : MOST_LEVELS;
}

static bool level_is_sound(const aw_scenario *s, const aw_level *level)
{
    return level->name != NULL && level->outline.n > 0 && level->height < s->floor.ceiling;
}

static bool lies_within(aw_reader *r, const aw_polygon *inner, const aw_polygon *outer)
{
    aw_ground *ground = aw_ground_create(outer);
    r->out_of_memory = r->out_of_memory || ground == NULL;
    const bool within = ground != NULL && keeps_on_floor(r, ground, inner);
    aw_ground_free(ground);
    return within;
}

/* A sump in a pit is meant. A pit written after its sump, which it covers, is not. */
static void warn_of_levels_pair(aw_reader *r, const aw_level *earlier, const aw_level *later)
{
    const aw_polygon *p = &earlier->outline, *q = &later->outline;
    if (earlier->height == later->height || !polygons_overlap(p, q) ||
        (lies_within(r, q, p) && !lies_within(r, p, q)))
        return;
    aw_errors_add(r->errors, AW_WARNING, later->place.line, later->place.column,
                  "levels '%s' and '%s' overlap; there the later counts, its floor at %.6g %s",
                  earlier->name, later->name, later->height / aw_reader_metre(r),
                  aw_reader_unit(r));
}

/* Where a level lifts the tag over the ceiling there is no cell of what lies in the outline. */
static void warn_of_lifted(aw_reader *r, const aw_tag *tag, const aw_polygon *outline,
                           const aw_zone *zone)
{
    const aw_scenario *s = r->scenario;
    const double metre = aw_reader_metre(r);
    for (size_t i = 0; i < count_levels(s) && tag->level == AW_LEVEL_TOP; i++) {
        const aw_level *level = &s->levels[i];
        const aw_text_pos place = zone != NULL ? zone->place : level->place;
        if (tag->name == NULL || !level_is_sound(s, level) ||
            !(level->height + tag->height > s->floor.ceiling) ||
            !polygons_overlap(&level->outline, outline))
            continue;
        aw_errors_add(r->errors, AW_WARNING, place.line, place.column,
                      "level '%s' lifts tag '%s' to %.6g %s, over the ceiling (%.6g %s): %s%s%s "
                      "has no cell there",
                      level->name, tag->name, (level->height + tag->height) / metre,
                      aw_reader_unit(r), s->floor.ceiling / metre, aw_reader_unit(r),
                      zone != NULL ? "zone '" : "the floor", zone != NULL ? zone->name : "",
                      zone != NULL ? "'" : "");
    }
}

/* Whether a tag is meant on the level or under it no file can say. */
static void warn_of_zones_beneath(aw_reader *r)
{
    const aw_scenario *s = r->scenario;
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone *zone = &s->zones[i];
        const aw_level *level = zone->name != NULL ? aw_level_over(s, zone) : NULL;
        if (level != NULL)
            aw_errors_add(r->errors, AW_WARNING, zone->place.line, zone->place.column,
                          "zone '%s' is computed for a tag standing on level '%s'; a tag under it "
                          "is computed with 'level: floor'",
                          zone->name, level->name);
    }
}

static void warn_of_levels(aw_reader *r)
{
    const aw_scenario *s = r->scenario;
    for (size_t i = 0; i < count_levels(s); i++)
        for (size_t j = i + 1; j < count_levels(s); j++)
            if (level_is_sound(s, &s->levels[i]) && level_is_sound(s, &s->levels[j]))
                warn_of_levels_pair(r, &s->levels[i], &s->levels[j]);
    if (s->n_tags > 0 && s->floor.outline.n > 0)
        warn_of_lifted(r, &s->tags[0], &s->floor.outline, NULL);
    /* The first tag's cells are those of the floor. */
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone *zone = &s->zones[i];
        if (zone->name != NULL && zone->outline.n > 0 && zone->tag > 0 && zone->tag < s->n_tags)
            warn_of_lifted(r, &s->tags[zone->tag], &zone->outline, zone);
    }
    warn_of_zones_beneath(r);
}

/* --- Tags and prices --- */

static bool hang_at_one_height(const aw_scenario *s)
{
    double low = INFINITY, high = -INFINITY;
    for (size_t i = 0; i < s->n_anchors; i++) {
        if (!anchor_is_sound(&s->anchors[i]))
            return false;
        low = fmin(low, s->anchors[i].at[2]);
        high = fmax(high, s->anchors[i].at[2]);
    }
    return high - low <= TOUCH;
}

static void warn_of_tags(aw_reader *r)
{
    const aw_scenario *s = r->scenario;
    const bool level = hang_at_one_height(s);
    for (size_t i = 0; i < s->n_tags && s->n_anchors > 0; i++) {
        const aw_tag *tag = &s->tags[i];
        const size_t needed = tag->fix == AW_FIX_3D ? 4 : 3;
        if (s->n_anchors < needed)
            aw_errors_add(r->errors, AW_WARNING, r->anchors_place.line, r->anchors_place.column,
                          "%zu anchor%s fewer than a %dd fix needs (%zu)", s->n_anchors,
                          s->n_anchors == 1 ? " is" : "s are", (int)tag->fix, needed);
        else if (tag->fix == AW_FIX_3D && level && tag->name != NULL)
            aw_errors_add(r->errors, AW_WARNING, tag->place.line, tag->place.column,
                          "tag '%s' asks for a 3d fix but all anchors hang at one height",
                          tag->name);
    }
}

static void warn_of_mounts(aw_reader *r)
{
    const aw_scenario *s = r->scenario;
    for (size_t i = 0; i < s->n_anchors && s->prices.n_mounts > 0; i++) {
        const aw_anchor *a = &s->anchors[i];
        if (anchor_is_sound(a) && aw_mount_at(&s->prices, a->at[2]) == NULL)
            aw_errors_add(r->errors, AW_WARNING, a->place.line, a->place.column,
                          "no mount of prices reaches up to anchor '%s'; the layout has no price",
                          a->name);
    }
}

/* --- Materials --- */

/* Metal is opaque by itself, not by its figures. */
static void warn_of_material(aw_reader *r, size_t material)
{
    const aw_material *m = &r->scenario->materials[material];
    const aw_radio *radio = &r->scenario->radio;
    const double hz = radio->channel.centre;
    if (m->kind == AW_MATERIAL_FIXED || m->opaque || m->highest == 0 ||
        (hz >= m->lowest && hz <= m->highest))
        return;
    aw_errors_add(r->errors, AW_WARNING, radio->place.line, radio->place.column,
                  "channel %u (%.1f MHz) is outside the frequencies that the figures of '%s' hold "
                  "for, %g to %g GHz (ITU-R P.2040-3, Table 3)",
                  (unsigned)radio->channel.number, hz / 1e6, m->name, m->lowest / 1e9,
                  m->highest / 1e9);
}

static void warn_of_frequencies(aw_reader *r)
{
    const aw_scenario *s = r->scenario;
    if (!s->radio.given || r->errors->n_errors > 0)
        return;
    warn_of_material(r, s->floor.material);
    warn_of_material(r, s->floor.ceiling_material);
    warn_of_material(r, s->floor.wall_material);
    for (size_t i = 0; i < s->n_obstacles; i++)
        warn_of_material(r, s->obstacles[i].material);
    for (size_t i = 0; i < s->n_walls; i++)
        warn_of_material(r, s->walls[i].material);
}

void aw_scenario_warn(aw_reader *r)
{
    for (size_t i = 0; i < r->scenario->n_anchors; i++)
        warn_of_anchor(r, &r->scenario->anchors[i]);
    for (size_t i = 0; i < r->scenario->n_anchors; i++)
        warn_of_forbidden(r, &r->scenario->anchors[i]);
    warn_of_outdoors(r);
    warn_of_places_on_floor(r);
    warn_of_overlaps(r);
    warn_of_levels(r);
    warn_of_tags(r);
    warn_of_mounts(r);
    warn_of_frequencies(r);
}
