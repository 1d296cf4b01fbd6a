/** @file map.h
 *  The same question for every cell of the floor: numbers over the floor, one row for each layer.
 *
 *  Cell centres are (low.x + (i + 1/2) step, low.y + (j + 1/2) step) over the outline's bounding
 * box, i < nx = ceil(width / step - 1e-9), j < ny likewise, kept where the centre is inside the
 * outline and inside no obstacle or wall at the tag's height. Cell number j nx + i counts the whole
 * box, kept or not, and names the cell's random numbers, so any part of the floor computed alone
 * equals its part of the whole.
 */
#ifndef ANCHORWISE_MAP_H
#define ANCHORWISE_MAP_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "anchorwise/error.h"
#include "anchorwise/link.h"
#include "anchorwise/scenario.h"
#include "anchorwise/run.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

#define AW_MOST_CELLS 4000000
/** Most cells x draws x anchors of one scenario. */
#define AW_MOST_WORK 1e12

typedef struct aw_grid {
    double x0, y0, step; /**< m */
    size_t nx, ny;
    size_t n;         /**< cells kept */
    uint32_t *number; /**< of each, rising: rows from low y to high, x rising in a row; owned */
} aw_grid;

/** Lays the grid for a tag (index) on the floor where it is: cells whose centre it can take. False
 * without memory or over the limit of cells, which is an error at the study block. */
bool aw_grid_lay(aw_grid *grid, const aw_scenario *scenario, size_t tag, aw_errors *errors);

/** Centre of a cell by its number. */
aw_point aw_grid_centre(const aw_grid *grid, uint32_t number);

/** Whether a tag (index) can be at a place, on the floor where it stands: inside the outline, not
 *  above the ceiling, in no obstacle and no wall. */
bool aw_floor_is_free(const aw_scenario *scenario, aw_point at, size_t tag);

/** Number of the cell that holds a point; outside the box, of the nearest one. */
uint32_t aw_grid_number_at(const aw_grid *grid, aw_point point);

/** Keeps only the cells whose centre lies in a polygon. False without memory; the grid is then as
 * it was. */
bool aw_grid_clip(aw_grid *grid, const aw_polygon *polygon);

/** Lays the cells of a zone by its own tag, or with zone == NULL the whole floor by the first tag.
 * False without memory or over the limit of cells (an error). */
bool aw_grid_lay_zone(aw_grid *grid, const aw_scenario *scenario, const aw_zone *zone,
                      aw_errors *errors);

/** Keeps only the cells whose centre lies in a rectangle, edges included. */
void aw_grid_clip_box(aw_grid *grid, aw_point low, aw_point high);

void aw_grid_free(aw_grid *grid);

/** Refuses what is too large, and zones without a cell, before any work: adds errors, returns
 * false. */
bool aw_map_check(const aw_scenario *scenario, aw_errors *errors);

/* To add a layer: a name here, a row in layers.c, its value in fill_links() or fill_errors() of
 * map.c. */
typedef enum aw_layer {
    AW_LAYER_USED,
    AW_LAYER_HDOP,
    AW_LAYER_VDOP,
    AW_LAYER_PDOP,
    AW_LAYER_TDOP,
    AW_LAYER_GDOP,
    AW_LAYER_BOUND,
    AW_LAYER_BIAS,
    AW_LAYER_P50,
    AW_LAYER_P95,
    AW_LAYER_RMS,
    AW_LAYER_FIX_SHARE,
    AW_LAYER_AMBIGUOUS_SHARE,
    AW_LAYER_VERTICAL_P50,
    AW_LAYER_VERTICAL_P95,
    AW_LAYER_RECEIVED,
    AW_LAYER_DIRECT_SHARE,
    AW_LAYER_LINK_BIAS,
    AW_LAYERS
} aw_layer;

/** How a layer's values are shown to people. */
typedef enum aw_figure {
    AW_FIGURE_LENGTH, /**< m; on charts in cm, or in for a site in feet */
    AW_FIGURE_RATIO,  /**< a plain number with a decimal */
    AW_FIGURE_SHARE,  /**< in percent */
    AW_FIGURE_COUNT   /**< a whole number */
} aw_figure;

/** Borders between the classes of a figure: they are the same on every sheet. */
#define AW_LAYER_BORDERS 6

typedef struct aw_layer_row {
    const char *key;  /**< column name where data leaves the program */
    const char *name; /**< for people */
    const char *unit; /**< "m" or "" */
    bool less_is_better;
    aw_figure figure;
    double borders[AW_LAYER_BORDERS]; /**< round values, rising */
} aw_layer_row;

extern const aw_layer_row aw_layer_rows[AW_LAYERS];

/** Numbers over some cells of a floor. */
typedef struct aw_map {
    aw_grid grid;      /**< owned */
    size_t tag;        /**< index into tags[] */
    double height;     /**< of the tag over the floor where it is, m */
    double *value;     /**< value[layer * n + cell]; NaN where it does not exist; owned */
    uint64_t *used_in; /**< for each anchor, in how many cells it is usable; owned */
    uint32_t *within;  /**< for each cell, its draws with an error up to the plan's limit; owned */
    uint32_t *cells_within;         /**< for each draw, its cells with such an error; owned */
    struct aw_tally *radius, *rise; /**< pooled errors of all draws; owned */
    uint64_t draws, failed, ambiguous;
    double *ends[2]; /**< for each cell, the 95 % simulation interval of the plan's interval_of,
                          which holds its figure; NaN where that is; owned */
} aw_map;

/** What to run. */
typedef struct aw_map_plan {
    const aw_scenario *scenario;
    size_t tag;            /**< index into tags[] */
    size_t groups;         /**< of draws in the tallies, m mod groups; at least 1 */
    double limit;          /**< of `within`, m */
    aw_layer interval_of;  /**< the layer whose simulation intervals are kept; of one that draws
                                have no part in, as AW_LAYER_USED, the figures themselves */
    const aw_scene *scene; /**< of the scenario; NULL: one is made for this map */
    bool errors_alone;     /**< layers that tell of links, and not of draws, stay NaN */
} aw_map_plan;

/** Fills a map over the cells of `grid`, which it takes over whatever happens; the watch gets one
 *  unit for each draw. False if stopped or without memory. aw_map_free() it either way. */
bool aw_map_run(aw_map *map, aw_grid *grid, const aw_map_plan *plan, const aw_run *run);

/** The same without a draw, in milliseconds: fills AW_LAYER_USED, and AW_LAYER_BOUND to 1e-4 of
 *  itself (bounds.h); the other layers are NaN, used_in, within, ends and the tallies NULL. The
 * watch gets one unit for each cell. */
bool aw_map_bound(aw_map *map, aw_grid *grid, const aw_map_plan *plan, const aw_run *run);

void aw_map_free(aw_map *map);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
