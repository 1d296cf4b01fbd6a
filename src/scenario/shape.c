/* Points, polygons and paths. What stands in the scenario is sound: no corner repeated, simple,
 * counter-clockwise. */
#include "scenario/reader.h"

#include <math.h>
#include <stdio.h>

#include "anchorwise/level.h"
#include "base/plane.h"

#define REPEAT     1e-3 /* m */
#define AREA_LEAST 0.01 /* m2 */
/* Between the two points of a picture. */
#define LEAST_PIXELS 20
#define LEAST_METRES 0.1
/* A wall is at least this thick in geometry, m: then every line through its middle runs inside it
 * for more than the 1 mm that a crossing takes, however it meets ends and bends. */
#define THINNEST 2e-3

/* A coordinate has the limits of a spot, in every shape. */
static double read_coordinate(aw_reader *r, const char *axis, const aw_node *node)
{
    aw_field row = *aw_field_find(AW_BLOCK_ANCHOR, "at", 2);
    row.key = axis;
    return aw_read_number(r, &row, node);
}

/* A height goes from the floor, or from the bottom of the pit there, to the ceiling. */
static double read_height(aw_reader *r, double x, double y, const aw_node *node)
{
    aw_field row = *aw_field_find(AW_BLOCK_TAG, "height", 6);
    row.key = "z";
    row.range.low = fmin(0, aw_floor_at(r->scenario, x, y));
    return aw_read_number(r, &row, node);
}

/* Whether the node is a list of `n` values. */
static bool expect_tuple(aw_reader *r, const char *key, const char *shape, size_t n,
                         const aw_node *node)
{
    if (node->kind == AW_NODE_LIST && node->n == n)
        return true;
    char count[40] = "";
    if (node->kind == AW_NODE_LIST)
        snprintf(count, sizeof count, " of %zu", node->n);
    aw_errors_add(r->errors, AW_ERROR, node->line, node->column, "%s: needs %s, not %s%s", key,
                  shape, aw_node_shown(node).text, count);
    return false;
}

void aw_read_spot(aw_reader *r, const aw_field *field, const aw_node *node, double at[3])
{
    at[0] = at[1] = at[2] = (double)NAN;
    if (!expect_tuple(r, field->key, "[x, y, z]", 3, node))
        return;
    at[0] = read_coordinate(r, "x", node->children[0]);
    at[1] = read_coordinate(r, "y", node->children[1]);
    at[2] = read_height(r, at[0], at[1], node->children[2]);
}

static bool read_pin(aw_reader *r, const aw_field *field, const aw_node *node, aw_pin *pin)
{
    const aw_field pixels = {.type = AW_FIELD_NUMBER, .range = field->range};
    aw_field across = pixels, down = pixels;
    if (!expect_tuple(r, field->key, "[px, py, x, y]", 4, node))
        return false;
    across.key = "px";
    down.key = "py";
    pin->px = aw_read_number(r, &across, node->children[0]);
    pin->py = aw_read_number(r, &down, node->children[1]);
    pin->x = read_coordinate(r, "x", node->children[2]);
    pin->y = read_coordinate(r, "y", node->children[3]);
    return !isnan(pin->px) && !isnan(pin->py) && !isnan(pin->x) && !isnan(pin->y);
}

void aw_read_pins(aw_reader *r, const aw_field *field, const aw_node *node, aw_pin pins[2])
{
    if (!expect_tuple(r, field->key, "two points", 2, node))
        return;
    const bool first = read_pin(r, field, node->children[0], &pins[0]);
    if (!read_pin(r, field, node->children[1], &pins[1]) || !first)
        return;
    const double pixels = aw_length(pins[1].px - pins[0].px, pins[1].py - pins[0].py);
    const double metres = aw_length(pins[1].x - pins[0].x, pins[1].y - pins[0].y);
    if (pixels < LEAST_PIXELS || metres < LEAST_METRES)
        aw_errors_add(
            r->errors, AW_ERROR, node->children[1]->line, node->children[1]->column,
            "%s: the two are %.3g pixels and %.3g %s apart; under %d pixels or %.2g %s their "
            "scale is a guess",
            field->key, pixels, metres / aw_reader_metre(r), aw_reader_unit(r), LEAST_PIXELS,
            LEAST_METRES / aw_reader_metre(r), aw_reader_unit(r));
}

void aw_read_between(aw_reader *r, const aw_field *field, const aw_node *node, aw_between *between)
{
    *between = (aw_between){(double)NAN, (double)NAN};
    if (!expect_tuple(r, field->key, "[low, high]", 2, node))
        return;
    const double low = aw_read_number(r, field, node->children[0]);
    const double high = aw_read_number(r, field, node->children[1]);
    if (low > high)
        aw_errors_add(r->errors, AW_ERROR, node->line, node->column,
                      "%s: %s, the low end, is above %s, the high one", field->key,
                      node->children[0]->text, node->children[1]->text);
    else if (low <= high)
        *between = (aw_between){low, high};
}

/* A line of points: where each stood in the list, counted from 1. */
typedef struct line {
    aw_point *at;
    size_t *order;
    size_t n;
} line;

static bool read_points(aw_reader *r, const aw_field *field, const aw_node *node, line *points)
{
    bool sound = true;
    if (!aw_expect_kind(r, field->key, AW_NODE_LIST, node) ||
        !aw_expect_count(r, field, "", node->n, node))
        return false;
    points->n = node->n;
    points->at = aw_arena_take_array(r->arena, node->n, sizeof *points->at);
    points->order = aw_arena_take_array(r->arena, node->n, sizeof *points->order);
    if (points->at == NULL || points->order == NULL) {
        r->out_of_memory = true;
        return false;
    }
    for (size_t i = 0; i < node->n; i++) {
        const aw_node *pair = node->children[i];
        sound = expect_tuple(r, field->key, "[x, y]", 2, pair) && sound;
        if (pair->kind != AW_NODE_LIST || pair->n != 2)
            continue;
        const double x = read_coordinate(r, "x", pair->children[0]);
        const double y = read_coordinate(r, "y", pair->children[1]);
        sound = sound && !isnan(x) && !isnan(y);
        points->at[i] = (aw_point){x, y};
        points->order[i] = i + 1;
    }
    return sound;
}

static bool repeats(aw_point a, aw_point b)
{
    return aw_length(a.x - b.x, a.y - b.y) <= REPEAT;
}

/* Drops points that repeat the one before, and at the end of a ring those that repeat the first. */
static void drop_repeats(aw_reader *r, const aw_field *field, const aw_node *node, bool ring,
                         line *points)
{
    size_t kept = 0;
    for (size_t i = 0; i < points->n; i++) {
        if (kept > 0 && repeats(points->at[kept - 1], points->at[i]))
            continue;
        points->at[kept] = points->at[i];
        points->order[kept++] = points->order[i];
    }
    while (ring && kept > 1 && repeats(points->at[kept - 1], points->at[0]))
        kept--;
    const size_t dropped = points->n - kept;
    const char *noun = ring ? "corner" : "point";
    points->n = kept;
    if (dropped == 1)
        aw_errors_add(r->errors, AW_WARNING, node->line, node->column,
                      "%s repeats a %s within 1 mm; dropped", field->key, noun);
    else if (dropped > 1)
        aw_errors_add(r->errors, AW_WARNING, node->line, node->column,
                      "%s repeats %zu %ss within 1 mm; dropped", field->key, dropped, noun);
}

static bool is_simple(aw_reader *r, const aw_field *field, const aw_node *node, const line *points)
{
    const double scale = aw_reader_metre(r) * aw_reader_metre(r);
    size_t edges[2];
    if (aw_polygon_crosses_itself(points->at, points->n, edges)) {
        aw_errors_add(r->errors, AW_ERROR, node->line, node->column,
                      "%s crosses itself: edges %zu and %zu", field->key, points->order[edges[0]],
                      points->order[edges[1]]);
        return false;
    }
    const double area = fabs(aw_polygon_area(points->at, points->n));
    if (area > AREA_LEAST)
        return true;
    aw_errors_add(r->errors, AW_ERROR, node->line, node->column,
                  "%s: an area of %.6g %s2 is not above %.6g %s2", field->key, area / scale,
                  aw_reader_unit(r), AREA_LEAST / scale, aw_reader_unit(r));
    return false;
}

static void turn_round(aw_point at[], size_t n)
{
    for (size_t i = 0; i < n / 2; i++) {
        const aw_point other = at[n - 1 - i];
        at[n - 1 - i] = at[i];
        at[i] = other;
    }
}

void aw_read_polygon(aw_reader *r, const aw_field *field, const aw_node *node, aw_polygon *polygon)
{
    line corners = {0};
    if (!read_points(r, field, node, &corners))
        return;
    drop_repeats(r, field, node, true, &corners);
    if (!aw_expect_count(r, field, "different ", corners.n, node) ||
        !is_simple(r, field, node, &corners))
        return;
    if (aw_polygon_area(corners.at, corners.n) < 0)
        turn_round(corners.at, corners.n);
    polygon->at = corners.at;
    polygon->n = corners.n;
    aw_polygon_close(polygon);
}

void aw_read_path(aw_reader *r, const aw_field *field, const aw_node *node, const aw_point **path,
                  size_t *n)
{
    line points = {0};
    if (!read_points(r, field, node, &points))
        return;
    drop_repeats(r, field, node, false, &points);
    if (!aw_expect_count(r, field, "different ", points.n, node))
        return;
    *path = points.at;
    *n = points.n;
}

void aw_wall_make_legs(aw_reader *r, aw_wall *wall)
{
    if (wall->n < 2 || isnan(wall->thickness))
        return;
    const size_t n = wall->n - 1;
    aw_polygon *legs = aw_arena_take_array(r->arena, n, sizeof *legs);
    aw_point *corners = aw_arena_take_array(r->arena, 4 * n, sizeof *corners);
    if (legs == NULL || corners == NULL) {
        r->out_of_memory = true;
        return;
    }
    for (size_t i = 0; i < n; i++, corners += 4) {
        const aw_point a = wall->path[i], b = wall->path[i + 1];
        const double half = fmax(wall->thickness, THINNEST) / 2 / aw_length(b.x - a.x, b.y - a.y);
        const aw_point left = {-(b.y - a.y) * half, (b.x - a.x) * half};
        corners[0] = (aw_point){a.x - left.x, a.y - left.y};
        corners[1] = (aw_point){b.x - left.x, b.y - left.y};
        corners[2] = (aw_point){b.x + left.x, b.y + left.y};
        corners[3] = (aw_point){a.x + left.x, a.y + left.y};
        legs[i] = (aw_polygon){.at = corners, .n = 4};
        aw_polygon_close(&legs[i]);
    }
    wall->legs = legs;
}
