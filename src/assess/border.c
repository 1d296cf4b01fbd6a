/* The distance from the border rises at slope 1 off an edge; where several edges are equally near,
 * it rises most steeply along the middle of the directions away from them, and if these do not fit
 * into a half-plane it rises nowhere: that is the middle of the zone. Edges count as equally near
 * within a step of the climb, and near the middle the steps become short. */
#include "assess/border.h"

#include <math.h>

#include "anchorwise/decisions.h"
#include "base/plane.h"

#define LEAST_STEP 1e-4 /* m */
/* Sides that open by less than a degree count as parallel: along them the distance does not rise.
 */
#define LEAST_SLOPE 0.01
#define HALVINGS    30

double aw_cloud_share(const aw_cloud *cloud, const aw_polygon *zone, aw_point p)
{
    size_t inside = 0;
    for (size_t i = 0; i < cloud->n; i++) {
        const double x = p.x + (double)cloud->x[i], y = p.y + (double)cloud->y[i];
        inside += x >= zone->low.x && x <= zone->high.x && y >= zone->low.y && y <= zone->high.y &&
                  aw_polygon_holds(zone, x, y);
    }
    return (double)inside / (double)cloud->n;
}

/* --- the walk --- */

static aw_point towards(aw_point from, aw_point to, double part)
{
    return (aw_point){from.x + part * (to.x - from.x), from.y + part * (to.y - from.y)};
}

/* Left of a -> b: a zone's corners go round counter-clockwise. */
static aw_point normal_of(aw_point a, aw_point b)
{
    const double length = aw_length(b.x - a.x, b.y - a.y);
    return (aw_point){(a.y - b.y) / length, (b.x - a.x) / length};
}

static aw_point bisector(aw_point before, aw_point tip, aw_point after)
{
    const aw_point m = normal_of(before, tip), n = normal_of(tip, after);
    const double x = m.x + n.x, y = m.y + n.y, length = aw_length(x, y);
    /* The needle of a zone: its edges all but lie on each other. */
    if (length < 1e-6)
        return (aw_point){-n.y, n.x};
    return (aw_point){x / length, y / length};
}

static size_t parts_of(aw_point a, aw_point b, double step)
{
    return (size_t)fmax(ceil(aw_length(b.x - a.x, b.y - a.y) / step - 1e-9), 1);
}

size_t aw_border_count(const aw_polygon *zone, double step)
{
    size_t n = 0;
    for (size_t i = 0; i < zone->n; i++)
        n += parts_of(zone->at[i], zone->at[(i + 1) % zone->n], step);
    return n;
}

void aw_border_walk(const aw_polygon *zone, double step, aw_border_point points[])
{
    size_t k = 0;
    for (size_t i = 0; i < zone->n; i++) {
        const aw_point before = zone->at[(i + zone->n - 1) % zone->n];
        const aw_point a = zone->at[i], b = zone->at[(i + 1) % zone->n];
        const size_t parts = parts_of(a, b, step);
        points[k++] = (aw_border_point){a, bisector(before, a, b)};
        for (size_t j = 1; j < parts; j++)
            points[k++] =
                (aw_border_point){towards(a, b, (double)j / (double)parts), normal_of(a, b)};
    }
}

aw_point aw_border_foot(const aw_polygon *zone, size_t edge, aw_point p)
{
    const aw_point a = zone->at[edge], b = zone->at[(edge + 1) % zone->n];
    const double dx = b.x - a.x, dy = b.y - a.y;
    const double part = ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy);
    return towards(a, b, fmin(fmax(part, 0), 1));
}

/* --- the climb --- */

typedef struct climber {
    const aw_polygon *zone;
    bool inside;
    aw_point at, way; /* the way is followed from the border, where nothing else is known */
    double depth, step;
} climber;

/* The way on, as a unit vector; false where the distance rises nowhere. */
static bool find_way(climber *c)
{
    const aw_polygon *z = c->zone;
    aw_point first = {0, 0};
    double low = 0, high = 0;
    bool any = false;
    for (size_t i = 0; i < z->n; i++) {
        const aw_point foot = aw_border_foot(z, i, c->at);
        const double x = c->at.x - foot.x, y = c->at.y - foot.y, far = aw_length(x, y);
        if (far > c->depth + c->step || far == 0)
            continue;
        if (!any)
            first = (aw_point){x / far, y / far};
        any = true;
        const double turn = atan2(first.x * y - first.y * x, first.x * x + first.y * y);
        low = fmin(low, turn);
        high = fmax(high, turn);
    }
    if (!any || high - low >= M_PI || cos((high - low) / 2) < LEAST_SLOPE)
        return false;
    const double turn = (low + high) / 2;
    c->way = (aw_point){first.x * cos(turn) - first.y * sin(turn),
                        first.x * sin(turn) + first.y * cos(turn)};
    return true;
}

/* One step of at most `longest` up; false at the middle. */
static bool climb(climber *c, double longest)
{
    for (c->step = fmin(2 * c->step, longest); c->step >= LEAST_STEP; c->step /= 2) {
        if (c->depth > 0 && !find_way(c))
            continue;
        const aw_point next = {c->at.x + c->step * c->way.x, c->at.y + c->step * c->way.y};
        const double depth = aw_polygon_edge_distance(c->zone, next);
        if (depth > c->depth + LEAST_SLOPE / 2 * c->step &&
            aw_polygon_holds(c->zone, next.x, next.y) == c->inside) {
            c->at = next;
            c->depth = depth;
            return true;
        }
    }
    return false;
}

bool aw_border_is_right(double share, bool inside)
{
    return inside ? share >= AW_RIGHT - 1e-9 : share <= 1 - AW_RIGHT + 1e-9;
}

/* Between the last place that was not right and the first that is. */
static aw_depth narrow(const climber *c, aw_point wrong, const aw_cloud *cloud)
{
    aw_point right = c->at;
    double share = aw_cloud_share(cloud, c->zone, right);
    for (int i = 0; i < HALVINGS; i++) {
        const aw_point middle = towards(wrong, right, 0.5);
        const double here = aw_cloud_share(cloud, c->zone, middle);
        if (aw_border_is_right(here, c->inside)) {
            right = middle;
            share = here;
        } else {
            wrong = middle;
        }
    }
    return (aw_depth){aw_polygon_edge_distance(c->zone, right), share};
}

/* About an eighth of sigma for errors that are normal: the share changes little in a step. */
static double stride_of(const aw_cloud *cloud)
{
    double sum = 0;
    size_t n = 0;
    for (size_t i = 0; i < cloud->n; i++)
        if (!isnan(cloud->x[i])) {
            sum += fabs((double)cloud->x[i]) + fabs((double)cloud->y[i]);
            n++;
        }
    return fmax(n > 0 ? sum / (double)n / 12 : 0, 1e-3);
}

double aw_border_go(const aw_polygon *zone, const aw_border_point *from, bool inside, double stride,
                    double depth, aw_point *at)
{
    const double side = inside ? 1 : -1;
    climber c = {zone, inside, from->at, {side * from->inward.x, side * from->inward.y}, 0, stride};
    aw_point below = c.at;
    while (c.depth < depth) {
        below = c.at;
        if (!climb(&c, fmax(stride, c.depth / 16))) {
            *at = c.at;
            return c.depth;
        }
    }
    aw_point above = c.at;
    for (int i = 0; i < HALVINGS; i++) {
        const aw_point middle = towards(below, above, 0.5);
        if (aw_polygon_edge_distance(zone, middle) < depth)
            below = middle;
        else
            above = middle;
    }
    *at = above;
    return depth;
}

aw_depth aw_border_depth(const aw_polygon *zone, const aw_border_point *from, bool inside,
                         const aw_cloud *cloud)
{
    const double stride = stride_of(cloud), side = inside ? 1 : -1;
    climber c = {zone, inside, from->at, {side * from->inward.x, side * from->inward.y}, 0, stride};
    double share = aw_cloud_share(cloud, zone, c.at), nearest = share;
    while (!aw_border_is_right(share, inside)) {
        const aw_point last = c.at;
        if (!climb(&c, fmax(stride, c.depth / 16)))
            return (aw_depth){(double)NAN, nearest};
        share = aw_cloud_share(cloud, zone, c.at);
        nearest = inside ? fmax(nearest, share) : fmin(nearest, share);
        if (aw_border_is_right(share, inside))
            return narrow(&c, last, cloud);
    }
    return (aw_depth){0, share};
}
