/* Warnings: what may well be meant and more often is a slip. Only sound items are looked at, so
 * that one mistake makes one complaint. */
#include "scenario/reader.h"

#include <math.h>
#include <stdlib.h>

#include "base/plane.h"

#define TOUCH 1e-3 /* m; what is this near an edge is on it */

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

static int compare_cuts(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Where the segment from a to b meets the polygon's edges or passes its corners, as parts of the
 * way, rising, both ends included. Room for 2 n + 2 cuts. */
static size_t cut_segment(aw_point a, aw_point b, const aw_polygon *polygon, double cuts[])
{
    const double dx = b.x - a.x, dy = b.y - a.y, length = aw_length(dx, dy);
    size_t n = 0;
    cuts[n++] = 0;
    cuts[n++] = 1;
    for (size_t i = 0, j = polygon->n - 1; i < polygon->n; j = i++) {
        const aw_point p = polygon->at[j], q = polygon->at[i];
        const double left_p = (dx * (p.y - a.y) - dy * (p.x - a.x)) / length;
        const double left_q = (dx * (q.y - a.y) - dy * (q.x - a.x)) / length;
        const double way_p = (dx * (p.x - a.x) + dy * (p.y - a.y)) / (length * length);
        const double way_q = (dx * (q.x - a.x) + dy * (q.y - a.y)) / (length * length);
        if ((left_p > 0) != (left_q > 0))
            cuts[n++] = way_p + left_p / (left_p - left_q) * (way_q - way_p);
        if (fabs(left_p) <= TOUCH)
            cuts[n++] = way_p;
    }
    for (size_t i = 2; i < n; i++)
        cuts[i] = fmin(fmax(cuts[i], 0), 1);
    qsort(cuts, n, sizeof *cuts, compare_cuts);
    return n;
}

static bool segment_leaves(aw_point a, aw_point b, const aw_polygon *polygon, double cuts[])
{
    const size_t n = cut_segment(a, b, polygon, cuts);
    const double length = aw_length(b.x - a.x, b.y - a.y);
    for (size_t i = 0; i + 1 < n; i++) {
        const double middle = (cuts[i] + cuts[i + 1]) / 2;
        const aw_point p = {a.x + middle * (b.x - a.x), a.y + middle * (b.y - a.y)};
        if ((cuts[i + 1] - cuts[i]) * length > TOUCH && is_outside(polygon, p))
            return true;
    }
    return false;
}

/* Whether a polygon keeps within the floor but for TOUCH. A floor's corner well inside it is a
 * notch that it spans. */
static bool keeps_on_floor(aw_reader *r, const aw_polygon *inner)
{
    const aw_polygon *floor = &r->scenario->floor.outline;
    double *cuts = malloc((2 * floor->n + 2) * sizeof *cuts);
    bool keeps = true;
    if (cuts == NULL) {
        r->out_of_memory = true;
        return true;
    }
    for (size_t i = 0, j = inner->n - 1; i < inner->n && keeps; j = i++)
        keeps = !segment_leaves(inner->at[j], inner->at[i], floor, cuts);
    for (size_t i = 0; i < floor->n && keeps; i++)
        keeps = !is_well_inside(inner, floor->at[i]);
    free(cuts);
    return keeps;
}

static bool obstacle_is_sound(const aw_obstacle *o)
{
    return o->name != NULL && o->footprint.n > 0 && !isnan(o->base) && !isnan(o->top);
}

static bool anchor_is_sound(const aw_anchor *a)
{
    return !isnan(a->at[0]) && !isnan(a->at[1]) && !isnan(a->at[2]);
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
                      "anchor '%s' stands outside the outline", anchor->name);
    for (size_t i = 0; i < s->n_obstacles; i++) {
        const aw_obstacle *o = &s->obstacles[i];
        if (obstacle_is_sound(o) && z > o->base + TOUCH && z < o->top - TOUCH &&
            is_well_inside(&o->footprint, p))
            aw_errors_add(r->errors, AW_WARNING, anchor->place.line, anchor->place.column,
                          "anchor '%s' is inside obstacle '%s'", anchor->name, o->name);
    }
}

static void warn_of_places_on_floor(aw_reader *r)
{
    const aw_scenario *s = r->scenario;
    if (s->floor.outline.n == 0)
        return;
    for (size_t i = 0; i < s->n_obstacles; i++) {
        const aw_obstacle *o = &s->obstacles[i];
        if (o->name != NULL && o->footprint.n > 0 && !keeps_on_floor(r, &o->footprint))
            aw_errors_add(r->errors, AW_WARNING, o->place.line, o->place.column,
                          "obstacle '%s' leaves the floor", o->name);
    }
    /* A zone wholly off the floor has no cell, which is an error of its own. */
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone *zone = &s->zones[i];
        if (zone->name != NULL && zone->outline.n > 0 && !keeps_on_floor(r, &zone->outline) &&
            aw_polygons_overlap(&zone->outline, &s->floor.outline))
            aw_errors_add(r->errors, AW_WARNING, zone->place.line, zone->place.column,
                          "zone '%s' is partly off the floor", zone->name);
    }
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

static bool obstacles_overlap(const aw_obstacle *a, const aw_obstacle *b)
{
    const aw_polygon *p = &a->footprint, *q = &b->footprint;
    return spans_meet(a->base, a->top, b->base, b->top) &&
           spans_meet(p->low.x, p->high.x, q->low.x, q->high.x) &&
           spans_meet(p->low.y, p->high.y, q->low.y, q->high.y) && aw_polygons_overlap(p, q);
}

static void warn_of_pair(aw_reader *r, const aw_obstacle *a, const aw_obstacle *b)
{
    const aw_obstacle *earlier = a < b ? a : b, *later = a < b ? b : a;
    if (obstacles_overlap(a, b))
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

static bool reaches(const aw_prices *p, double height)
{
    for (size_t i = 0; i < p->n_mounts; i++)
        if (!(p->mounts[i].up_to < height))
            return true;
    return p->n_mounts == 0;
}

static void warn_of_mounts(aw_reader *r)
{
    const aw_scenario *s = r->scenario;
    for (size_t i = 0; i < s->n_anchors; i++) {
        const aw_anchor *a = &s->anchors[i];
        if (anchor_is_sound(a) && !reaches(&s->prices, a->at[2]))
            aw_errors_add(r->errors, AW_WARNING, a->place.line, a->place.column,
                          "no mount of prices reaches up to anchor '%s'; the layout has no price",
                          a->name);
    }
}

void aw_scenario_warn(aw_reader *r)
{
    for (size_t i = 0; i < r->scenario->n_anchors; i++)
        warn_of_anchor(r, &r->scenario->anchors[i]);
    warn_of_places_on_floor(r);
    warn_of_overlaps(r);
    warn_of_tags(r);
    warn_of_mounts(r);
}
