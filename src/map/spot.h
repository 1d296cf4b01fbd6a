/** @file spot.h
 *  One cell made ready for its draws: links, bound and the case to run. */
#ifndef AW_MAP_SPOT_H
#define AW_MAP_SPOT_H

#include "anchorwise/map.h"
#include "position/states.h"
#include "position/trials.h"

/** The scene of a piece of work: one that is handed on, else one of its own. */
typedef struct aw_scene_use {
    const aw_scene *scene;
    aw_scene *own; /**< NULL: `scene` is another's */
} aw_scene_use;

/** Takes the scene given, or makes that of the scenario if it is NULL. False without memory. */
bool aw_scene_use_begin(aw_scene_use *use, const aw_scene *given, const aw_scenario *scenario);
void aw_scene_use_end(aw_scene_use *use);

typedef struct aw_spot {
    aw_link *links;      /**< room for every anchor; the caller's */
    aw_shadows *shadows; /**< of the scene; the caller's; NULL: each spot is asked by itself */
    aw_bound bound;
    aw_trials_case draws; /**< of the study's seed and number of draws; points into this struct */
} aw_spot;

/** Links of every anchor to the cell of a grid at a height (m), as aw_links_at() gives them for its
 *  centre. Cheap where cells are asked for row by row. */
void aw_cell_links(aw_shadows *shadows, const aw_grid *grid, uint32_t number, double height,
                   aw_link links[]);

/** What a thread needs to find the links of cells. */
typedef struct aw_cell_finder {
    const aw_scenario *scenario;
    aw_link *links; /**< of every anchor to the cell asked for last; owned */
    aw_shadows *shadows;
} aw_cell_finder;

/** False without memory; to be freed either way. */
bool aw_cell_finder_create(aw_cell_finder *finder, const aw_scene *scene,
                           const aw_scenario *scenario);
void aw_cell_finder_free(aw_cell_finder *finder);

/** Fills its links with those of a cell for a tag (index), and gives the tag's height there, m. */
double aw_cell_find(const aw_cell_finder *finder, const aw_grid *grid, uint32_t number, size_t tag);

/** Fills all but `links` and `shadows` for a cell of the grid. Allocates nothing, never fails; the
 *  spot must stay where it is while its draws are run. */
void aw_spot_prepare(aw_spot *spot, const aw_scene *scene, const aw_scenario *scenario, size_t tag,
                     const aw_grid *grid, uint32_t number);

/** The same for any place, with the random numbers of cell `number`. */
void aw_spot_prepare_at(aw_spot *spot, const aw_scene *scene, const aw_scenario *scenario,
                        size_t tag, aw_point at, uint32_t number);

/** A spot whose links are given or varied. */
typedef struct aw_trial_spot {
    const aw_scenario *scenario;
    size_t tag;
    double at[3];  /**< m */
    uint32_t cell; /**< names its random numbers */
} aw_trial_spot;

/** The case of a spot with n links, by the study's number of draws. Fills `bound`, which the case
 *  points to, as it does to the links. */
aw_trials_case aw_spot_case(const aw_trial_spot *spot, const aw_link links[], size_t n,
                            aw_bound *bound);

/** Expected error of a spot whose links are given, as the scenario's solver has it; by the plain
 * fix where the robust one has no law. */
aw_error_law aw_spot_error_law(const aw_scenario *scenario, size_t tag, const aw_link links[],
                               const aw_bound *bound);

/** Length of the bias (m) of a spot with the random numbers of cell `number`: that of its error
 *  law, or where any of them comes and goes the mean over its states. */
double aw_spot_bias(const aw_scenario *scenario, size_t tag, uint32_t number, const aw_link links[],
                    const aw_bound *bound);

#endif
