/* What every candidate would measure in every cell of the zones with a need: links found once, kept
 * as their parts of the sums. */
#ifndef AW_PLACE_VIEWS_H
#define AW_PLACE_VIEWS_H

#include "anchorwise/assess.h"
#include "anchorwise/candidates.h"
#include "position/exchange.h"
#include "position/sums.h"

/* One candidate from one cell; w = 0 if it cannot be used. */
typedef struct aw_view {
    float w, v, b; /* of the sums of w, w^2 s^2 and w times the bias */
    float u[3];
} aw_view;

typedef struct aw_view_zone {
    const aw_zone *zone;
    aw_need need; /* that stated figures have to meet */
    const aw_tag *tag;
    aw_grid grid;
    size_t first;       /* of its cells among all; it has grid.n */
    size_t first_block; /* of AW_EXCHANGE_CELLS cells */
    size_t n_blocks;
} aw_view_zone;

typedef struct aw_views {
    const aw_scenario *scenario;
    const aw_candidates *candidates;
    aw_view_zone *zones;
    size_t n_zones, n_cells, n_blocks;
    aw_fix_kind dims;   /* 3d if some zone's tag is */
    aw_view *view;      /* view[candidate * n_cells + cell]: trials walk along the cells */
    float *planes;      /* of block and candidate, candidates one behind the other */
    float *flat, *tall; /* of each block's cells */
    float *prior; /* planes of a block: a faint ring of anchors, so that there is a figure with
                     fewer anchors than a position takes */
    void *memory;
} aw_views;

/* Most cells times candidates. */
#define AW_MOST_VIEWS ((size_t)16 << 20)

/* False if stopped (no complaint), or too large or without memory (an error); aw_views_free() it
 * either way. Scenario and candidates must outlive it. */
bool aw_views_make(aw_views *views, const aw_scenario *scenario, const aw_candidates *candidates,
                   unsigned threads, aw_watch *watch, aw_errors *errors);
void aw_views_free(aw_views *views);

/* Adds (sign 1) or takes away (-1) a view. */
void aw_view_change(aw_sums *sums, const aw_view *view, double sign);

/* Quick figures of the layouts that are `layout` (n candidates) with one exchanged: score[slot *
 * n_candidates + c] has layout[slot] replaced by c; slot n adds c. False if stopped. */
bool aw_views_sweep(const aw_views *views, const size_t layout[], size_t n, unsigned threads,
                    aw_watch *watch, double score[]);

#endif
