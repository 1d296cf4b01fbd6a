/* What every candidate would measure in every cell of the zones with a need: links found once, kept
 * as their parts of the sums. Links that come and go are held still in AW_VIEW_STATES states of
 * each cell, the same fades for every layout (position/states.h). */
#ifndef AW_PLACE_VIEWS_H
#define AW_PLACE_VIEWS_H

#include "anchorwise/assess.h"
#include "anchorwise/candidates.h"
#include "position/exchange.h"
#include "position/states.h"
#include "position/sums.h"

/* States of a cell whose links come and go. They rank; draws judge. */
#define AW_VIEW_STATES 8

/* One candidate from one cell; w = 0 if it is never received. */
typedef struct aw_view {
    float w, v;     /* of the sums of w and w^2 s^2 */
    float u[3];     /* from the anchor to the cell */
    float received; /* the share of fades at which it is */
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
    size_t n_states;    /* of each cell: 1 or AW_VIEW_STATES */
    aw_fix_kind dims;   /* 3d if some zone's tag is */
    aw_view *view;      /* view[candidate * n_cells + cell]: trials walk along the cells */
    float *late;        /* late[(candidate * n_cells + cell) * n_states + state]: w times the bias;
                           NaN where it is not received */
    float *planes;      /* of block and candidate, candidates one behind the other */
    float *flat, *tall; /* of each block's cells */
    float *prior; /* planes of a block: a faint ring of anchors, so that there is a figure with
                     fewer anchors than a position takes */
    void *memory;
} aw_views;

/* Most cells times candidates; under a radio half of it. */
#define AW_MOST_VIEWS ((size_t)16 << 20)

/* Of every zone's cells about `most` at most, spread over all of it. False if stopped (no
 * complaint), or too large or without memory (an error); aw_views_free() it either way. Scenario
 * and candidates must outlive it. */
bool aw_views_make(aw_views *views, const aw_scenario *scenario, const aw_candidates *candidates,
                   size_t most, const aw_run *run);
void aw_views_free(aw_views *views);

/* Adds (sign 1) or takes away (-1) a candidate in a state of a cell. */
void aw_views_change(const aw_views *views, aw_sums *sums, size_t candidate, size_t cell,
                     size_t state, double sign);

/* How often candidate c would add to a cell with fewer links than a position takes: have[cell *
 * n_states + state] links there, and what is added as a share of a position's. */
double aw_views_reach(const aw_views *views, size_t candidate, const unsigned char have[]);

/* Every stride-th of n cells, the k-th of them: moved about so that no row or column of a grid is
 * favoured. */
size_t aw_views_nth(size_t k, size_t stride, size_t n);

/* The links that a position takes in a zone. */
size_t aw_view_zone_least(const aw_view_zone *zone);

/* Quick figures of the layouts that are `layout` (n candidates) with one exchanged: score[slot *
 * n_candidates + c] has layout[slot] replaced by c; slot n adds c. Slots before `first` are left
 * out. False if stopped. */
bool aw_views_sweep(const aw_views *views, const size_t layout[], size_t n, size_t first,
                    const aw_run *run, double score[]);

#endif
