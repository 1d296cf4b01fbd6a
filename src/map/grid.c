/* Which cells of the floor are computed. Rows are cut by the same rule that decides a single point,
 * so a spot and a row agree to the bit. */
#include "anchorwise/level.h"
#include "anchorwise/map.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/plane.h"

static size_t count_steps(double length, double step)
{
    const double n = ceil(length / step - 1e-9);
    return n < 1 ? 1 : n > 1e9 ? 1000000000 : (size_t)n;
}

static void set_frame(aw_grid *grid, const aw_scenario *s)
{
    const aw_polygon *o = &s->floor.outline;
    *grid = (aw_grid){.x0 = o->low.x, .y0 = o->low.y, .step = s->study.step};
    grid->nx = count_steps(o->high.x - o->low.x, grid->step);
    grid->ny = count_steps(o->high.y - o->low.y, grid->step);
}

static const char *unit_of(const aw_scenario *s)
{
    return aw_unit_name(s->units);
}

static double in_units(const aw_scenario *s, double metres)
{
    return metres / aw_unit_metres(s->units);
}

/* Cells of the outline's box at a step. */
static double box_cells(const aw_scenario *s, double step)
{
    const aw_polygon *o = &s->floor.outline;
    return (double)count_steps(o->high.x - o->low.x, step) *
           (double)count_steps(o->high.y - o->low.y, step);
}

/* The first figure that people use, in the file's units, at which the floor is not too large. */
static double step_that_would_do(const aw_scenario *s)
{
    static const double figures[] = {1, 2, 5};
    const double unit = in_units(s, 1);
    for (double power = 1e-9; power < 1e9; power *= 10)
        for (int k = 0; k < 3; k++)
            if (figures[k] * power / unit > s->study.step &&
                box_cells(s, figures[k] * power / unit) <= AW_MOST_CELLS)
                return figures[k] * power;
    return in_units(s, s->study.step);
}

static bool frame_is_allowed(const aw_grid *grid, const aw_scenario *s, aw_errors *errors)
{
    const double cells = (double)grid->nx * (double)grid->ny;
    if (cells <= AW_MOST_CELLS)
        return true;
    aw_errors_add(errors, AW_ERROR, s->study_place.line, s->study_place.column,
                  "step: %.6g %s makes %.0f cells, more than %d; a step of %.6g %s would do",
                  in_units(s, s->study.step), unit_of(s), cells, AW_MOST_CELLS,
                  step_that_would_do(s), unit_of(s));
    return false;
}

aw_point aw_grid_centre(const aw_grid *grid, uint32_t number)
{
    const size_t i = number % grid->nx, j = number / grid->nx;
    return (aw_point){grid->x0 + ((double)i + 0.5) * grid->step,
                      grid->y0 + ((double)j + 0.5) * grid->step};
}

static size_t column_at(double from_low, double step, size_t n)
{
    const double i = floor(from_low / step);
    return i < 1 ? 0 : i > (double)(n - 1) ? n - 1 : (size_t)i;
}

uint32_t aw_grid_number_at(const aw_grid *grid, aw_point point)
{
    return (uint32_t)(column_at(point.y - grid->y0, grid->step, grid->ny) * grid->nx +
                      column_at(point.x - grid->x0, grid->step, grid->nx));
}

/* Turns over the marks of the cells of row j that lie inside the polygon. xs has room for its
 * corners. */
static void flip_row(const aw_grid *grid, const aw_polygon *p, size_t j, double xs[],
                     uint8_t marks[])
{
    const double y = grid->y0 + ((double)j + 0.5) * grid->step;
    const size_t n = aw_polygon_row(p, y, xs);
    size_t passed = 0;
    for (size_t i = 0; n > 0 && i < grid->nx; i++) {
        const double x = grid->x0 + ((double)i + 0.5) * grid->step;
        while (passed < n && !(x < xs[passed]))
            passed++;
        if (passed == n)
            break;
        marks[i] ^= (n - passed) & 1;
    }
}

/* Room for one row of cells. */
typedef struct strip {
    double *xs;     /* crossings, of the largest polygon */
    double *height; /* of the tag in each cell, m above the finished floor */
    uint8_t *inside, *kept;
} strip;

/* Whether a level counts for a tag: of two the later does, as in aw_standing_at(). */
static bool is_stood_on(const aw_scenario *s, size_t tag, size_t level)
{
    return s->tags[tag].level != AW_LEVEL_FLOOR || s->levels[level].slab.thickness == 0;
}

static void set_level(const aw_grid *grid, const aw_level *level, double height, size_t j, strip *r)
{
    memset(r->inside, 0, grid->nx);
    flip_row(grid, &level->outline, j, r->xs, r->inside);
    for (size_t i = 0; i < grid->nx; i++)
        if (r->inside[i])
            r->height[i] = level->height + height;
}

static void set_heights(const aw_grid *grid, const aw_scenario *s, size_t tag, size_t j, strip *r)
{
    const double height = s->tags[tag].height;
    for (size_t i = 0; i < grid->nx; i++)
        r->height[i] = height;
    for (size_t k = 0; k < s->n_levels; k++)
        if (is_stood_on(s, tag, k))
            set_level(grid, &s->levels[k], height, j, r);
    if (s->tags[tag].level != AW_LEVEL_TOP && s->tags[tag].level != AW_LEVEL_FLOOR)
        set_level(grid, &s->levels[s->tags[tag].level - 1], height, j, r);
}

/* Takes out the cells that lie inside the polygon and whose tag's height is in (base, top). */
static void take_out_row(const aw_grid *grid, const aw_polygon *p, double base, double top,
                         size_t j, strip *r)
{
    const double y = grid->y0 + ((double)j + 0.5) * grid->step;
    if (y < p->low.y || y > p->high.y)
        return;
    memset(r->inside, 0, grid->nx);
    flip_row(grid, p, j, r->xs, r->inside);
    for (size_t i = 0; i < grid->nx; i++)
        if (r->inside[i] && base < r->height[i] && r->height[i] < top)
            r->kept[i] = 0;
}

/* Row j: inside the outline, under the ceiling, and inside nothing that stands at the tag's
 * height. */
static void mark_row(const aw_grid *grid, const aw_scenario *s, size_t tag, size_t j, strip *r)
{
    set_heights(grid, s, tag, j, r);
    memset(r->kept, 0, grid->nx);
    flip_row(grid, &s->floor.outline, j, r->xs, r->kept);
    for (size_t i = 0; s->n_levels > 0 && i < grid->nx; i++)
        r->kept[i] &= r->height[i] <= s->floor.ceiling;
    for (size_t k = 0; k < s->n_obstacles; k++)
        take_out_row(grid, &s->obstacles[k].footprint, s->obstacles[k].base, s->obstacles[k].top, j,
                     r);
    for (size_t k = 0; k < s->n_walls; k++)
        for (size_t l = 0; l + 1 < s->walls[k].n; l++)
            take_out_row(grid, &s->walls[k].legs[l], s->walls[k].base, s->walls[k].top, j, r);
}

static size_t most_corners(const aw_scenario *s)
{
    size_t most = s->floor.outline.n > 4 ? s->floor.outline.n : 4;
    for (size_t k = 0; k < s->n_obstacles; k++)
        if (s->obstacles[k].footprint.n > most)
            most = s->obstacles[k].footprint.n;
    for (size_t k = 0; k < s->n_levels; k++)
        if (s->levels[k].outline.n > most)
            most = s->levels[k].outline.n;
    return most;
}

bool aw_grid_lay(aw_grid *grid, const aw_scenario *s, size_t tag, aw_errors *errors)
{
    set_frame(grid, s);
    if (!frame_is_allowed(grid, s, errors))
        return false;
    strip r = {malloc(most_corners(s) * sizeof *r.xs), malloc(grid->nx * sizeof *r.height),
               malloc(grid->nx), malloc(grid->nx)};
    grid->number = malloc(grid->nx * grid->ny * sizeof *grid->number);
    const bool room = r.xs && r.height && r.inside && r.kept && grid->number;
    for (size_t j = 0; room && j < grid->ny; j++) {
        mark_row(grid, s, tag, j, &r);
        for (size_t i = 0; i < grid->nx; i++)
            if (r.kept[i])
                grid->number[grid->n++] = (uint32_t)(j * grid->nx + i);
    }
    if (!room) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for %zu cells", grid->nx * grid->ny);
        aw_grid_free(grid);
    }
    free(r.xs);
    free(r.height);
    free(r.inside);
    free(r.kept);
    return room;
}

/* Cells come row by row, so each row of the polygon is cut once. */
bool aw_grid_clip(aw_grid *grid, const aw_polygon *polygon)
{
    double *xs = malloc(polygon->n * sizeof *xs);
    size_t kept = 0, row = SIZE_MAX, n = 0, passed = 0;
    if (xs == NULL)
        return false;
    for (size_t k = 0; k < grid->n; k++) {
        const aw_point c = aw_grid_centre(grid, grid->number[k]);
        if (grid->number[k] / grid->nx != row) {
            row = grid->number[k] / grid->nx;
            n = aw_polygon_row(polygon, c.y, xs);
            passed = 0;
        }
        while (passed < n && !(c.x < xs[passed]))
            passed++;
        if ((n - passed) % 2 == 1)
            grid->number[kept++] = grid->number[k];
    }
    grid->n = kept;
    free(xs);
    return true;
}

bool aw_grid_lay_zone(aw_grid *grid, const aw_scenario *s, const aw_zone *zone, aw_errors *errors)
{
    if (!aw_grid_lay(grid, s, zone ? zone->tag : 0, errors))
        return false;
    if (zone == NULL || aw_grid_clip(grid, &zone->outline))
        return true;
    aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for zone '%s'", zone->name);
    aw_grid_free(grid);
    return false;
}

void aw_grid_clip_box(aw_grid *grid, aw_point low, aw_point high)
{
    size_t kept = 0;
    for (size_t k = 0; k < grid->n; k++) {
        const aw_point c = aw_grid_centre(grid, grid->number[k]);
        if (c.x >= low.x && c.x <= high.x && c.y >= low.y && c.y <= high.y)
            grid->number[kept++] = grid->number[k];
    }
    grid->n = kept;
}

void aw_grid_free(aw_grid *grid)
{
    free(grid->number);
    *grid = (aw_grid){0};
}

/* --- what is refused before any work --- */

/* Cells looked at for each finer step when a zone has none, and zones it is done for. */
#define LOOKED_AT 1024.0
#define HELPED    20

bool aw_floor_is_free(const aw_scenario *s, aw_point c, size_t tag)
{
    return aw_taken_at(s, c.x, c.y, aw_tag_at(s, tag, c.x, c.y)).by == AW_TAKEN_BY_NOTHING;
}

/* Whether a finer step gives the zone a cell: only its own box is looked at. */
static bool would_do(const aw_scenario *s, const aw_zone *zone, double step)
{
    const aw_point origin = s->floor.outline.low, low = zone->outline.low,
                   high = zone->outline.high;
    const double i0 = fmax(floor((low.x - origin.x) / step - 0.5), 0);
    const double j0 = fmax(floor((low.y - origin.y) / step - 0.5), 0);
    for (double j = j0; origin.y + (j + 0.5) * step <= high.y; j++)
        for (double i = i0; origin.x + (i + 0.5) * step <= high.x; i++) {
            const aw_point c = {origin.x + (i + 0.5) * step, origin.y + (j + 0.5) * step};
            if (aw_polygon_holds(&zone->outline, c.x, c.y) && aw_floor_is_free(s, c, zone->tag))
                return true;
        }
    return false;
}

/* Names the first of ever finer steps that gives the zone a cell. */
static void refuse_empty_zone(const aw_scenario *s, const aw_zone *zone, bool help,
                              aw_errors *errors)
{
    const double wide = zone->outline.high.x - zone->outline.low.x;
    const double deep = zone->outline.high.y - zone->outline.low.y;
    double step = s->study.step / 2;
    for (; help && wide / step * (deep / step) < LOOKED_AT && box_cells(s, step) <= AW_MOST_CELLS;
         step /= 2)
        if (would_do(s, zone, step)) {
            aw_errors_add(errors, AW_ERROR, zone->place.line, zone->place.column,
                          "zone '%s' holds no cell at a step of %.6g %s; %.6g %s would do",
                          zone->name, in_units(s, s->study.step), unit_of(s), in_units(s, step),
                          unit_of(s));
            return;
        }
    aw_errors_add(errors, AW_ERROR, zone->place.line, zone->place.column,
                  "zone '%s' holds no cell: it is off the floor, inside obstacles, or too small",
                  zone->name);
}

/* The first kept cell of row j or later, as an index. */
static size_t first_from_row(const aw_grid *grid, double j)
{
    const double number = fmax(j, 0) * (double)grid->nx;
    size_t low = 0, high = grid->n;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if ((double)grid->number[middle] < number)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* Whether a kept cell lies in a polygon; looks at the polygon's rows only. xs has room for its
 * corners. */
static bool holds_cell(const aw_grid *grid, const aw_polygon *p, double xs[])
{
    const size_t from = first_from_row(grid, floor((p->low.y - grid->y0) / grid->step - 1));
    const size_t to = first_from_row(grid, ceil((p->high.y - grid->y0) / grid->step + 1));
    size_t row = SIZE_MAX, n = 0, passed = 0;
    for (size_t k = from; k < to; k++) {
        const aw_point c = aw_grid_centre(grid, grid->number[k]);
        if (grid->number[k] / grid->nx != row) {
            row = grid->number[k] / grid->nx;
            n = aw_polygon_row(p, c.y, xs);
            passed = 0;
        }
        while (passed < n && !(c.x < xs[passed]))
            passed++;
        if ((n - passed) % 2 == 1)
            return true;
    }
    return false;
}

static size_t most_zone_corners(const aw_scenario *s)
{
    size_t most = 1;
    for (size_t i = 0; i < s->n_zones; i++)
        most = s->zones[i].outline.n > most ? s->zones[i].outline.n : most;
    return most;
}

/* All zones of one tag against its grid. */
static bool check_zones(const aw_scenario *s, size_t tag, size_t *empty, aw_errors *errors)
{
    double *xs = malloc(most_zone_corners(s) * sizeof *xs);
    aw_grid grid = {0};
    bool done = xs != NULL;
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the zones");
    for (size_t i = 0; done && i < s->n_zones; i++) {
        if (s->zones[i].tag != tag)
            continue;
        done = grid.number != NULL || aw_grid_lay(&grid, s, tag, errors);
        if (done && !holds_cell(&grid, &s->zones[i].outline, xs))
            refuse_empty_zone(s, &s->zones[i], (*empty)++ < HELPED, errors);
    }
    free(xs);
    aw_grid_free(&grid);
    return done;
}

bool aw_map_check(const aw_scenario *s, aw_errors *errors)
{
    const size_t before = errors->n_errors;
    size_t empty = 0;
    aw_grid grid;
    set_frame(&grid, s);
    if (!frame_is_allowed(&grid, s, errors))
        return false;
    const double cells = (double)grid.nx * (double)grid.ny;
    const double work = cells * (double)s->study.draws * (double)s->n_anchors;
    if (work > AW_MOST_WORK)
        aw_errors_add(errors, AW_ERROR, s->study_place.line, s->study_place.column,
                      "draws: %.0f cells x %u draws x %zu anchors are more than 1e12; at most %.0f "
                      "draws",
                      cells, s->study.draws, s->n_anchors,
                      floor(AW_MOST_WORK / cells / (double)s->n_anchors));
    for (size_t tag = 0; tag < s->n_tags; tag++)
        if (!check_zones(s, tag, &empty, errors))
            return false;
    return errors->n_errors == before;
}
