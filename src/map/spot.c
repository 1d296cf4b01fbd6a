/* From a cell's number to what is drawn there, the same for every study. */
#include "map/spot.h"

#include <math.h>
#include <stdlib.h>

#include "anchorwise/level.h"
#include "base/plane.h"
#include "position/influence.h"

/* A mean needs fewer states than a percentile. */
#define BIAS_STATES (AW_MOST_STATES / 4)

bool aw_scene_use_begin(aw_scene_use *use, const aw_scene *given, const aw_scenario *scenario)
{
    use->own = given == NULL ? aw_scene_create(scenario) : NULL;
    use->scene = given != NULL ? given : use->own;
    return use->scene != NULL;
}

void aw_scene_use_end(aw_scene_use *use)
{
    aw_scene_free(use->own);
}

bool aw_cell_finder_create(aw_cell_finder *f, const aw_scene *scene, const aw_scenario *s)
{
    *f = (aw_cell_finder){.scenario = s,
                          .links = calloc(s->n_anchors, sizeof *f->links),
                          .shadows = aw_shadows_create(scene)};
    return f->links != NULL && f->shadows != NULL;
}

void aw_cell_finder_free(aw_cell_finder *f)
{
    free(f->links);
    aw_shadows_free(f->shadows);
}

double aw_cell_find(const aw_cell_finder *f, const aw_grid *grid, uint32_t number, size_t tag)
{
    const aw_point at = aw_grid_centre(grid, number);
    const double height = aw_tag_at(f->scenario, tag, at.x, at.y);
    aw_cell_links(f->shadows, grid, number, height, f->links);
    return height;
}

aw_trials_case aw_spot_case(const aw_trial_spot *spot, const aw_link links[], size_t n,
                            aw_bound *bound)
{
    const aw_scenario *s = spot->scenario;
    *bound = aw_bound_at(links, n, s->tags[spot->tag].fix);
    return (aw_trials_case){.links = links,
                            .n_links = n,
                            .bound = bound,
                            .height_sigma = s->tags[spot->tag].height_sigma,
                            .spot = {spot->at[0], spot->at[1], spot->at[2]},
                            .site = {&s->floor.outline, s->floor.ceiling, aw_lowest_floor(s)},
                            .solver = s->ranging.solver,
                            .seed = s->study.seed,
                            .cell = spot->cell,
                            .n_draws = s->study.draws};
}

aw_error_law aw_spot_error_law(const aw_scenario *s, size_t tag, const aw_link links[],
                               const aw_bound *bound)
{
    const aw_tag *t = &s->tags[tag];
    const aw_error_law robust =
        s->ranging.solver == AW_SOLVER_ROBUST
            ? aw_robust_error_law(links, s->n_anchors, t->fix, t->height_sigma)
            : (aw_error_law){.xx = (double)NAN};
    return isnan(robust.xx) ? aw_bound_error_law(bound, t->height_sigma) : robust;
}

double aw_spot_bias(const aw_scenario *s, size_t tag, uint32_t number, const aw_link links[],
                    const aw_bound *bound)
{
    bool varies = false;
    for (size_t i = 0; s->radio.given && i < s->n_anchors; i++)
        varies = varies || aw_link_varies(&links[i]);
    const bool is_robust = s->ranging.solver == AW_SOLVER_ROBUST;
    if (varies && is_robust)
        return aw_robust_states_bias(links, s->n_anchors, BIAS_STATES, s->tags[tag].fix,
                                     s->study.seed, number);
    if (varies)
        return aw_states_bias(links, s->n_anchors, BIAS_STATES, s->tags[tag].fix, s->study.seed,
                              number);
    const aw_error_law law = aw_spot_error_law(s, tag, links, bound);
    return aw_length(law.bias[0], law.bias[1]);
}

void aw_cell_links(aw_shadows *shadows, const aw_grid *grid, uint32_t number, double height,
                   aw_link links[])
{
    const size_t column = number % grid->nx;
    const aw_point at = aw_grid_centre(grid, number);
    const aw_point first = aw_grid_centre(grid, (uint32_t)(number - column));
    aw_shadows_cast(shadows, (double[3]){first.x, first.y, height}, grid->step, grid->nx);
    aw_links_in_row(shadows, column, (double[3]){at.x, at.y, height}, links);
}

void aw_spot_prepare_at(aw_spot *spot, const aw_scene *scene, const aw_scenario *s, size_t tag,
                        aw_point at, uint32_t number)
{
    const aw_trial_spot place = {s, tag, {at.x, at.y, aw_tag_at(s, tag, at.x, at.y)}, number};
    aw_links_at(scene, place.at, spot->links);
    spot->draws = aw_spot_case(&place, spot->links, s->n_anchors, &spot->bound);
}

void aw_spot_prepare(aw_spot *spot, const aw_scene *scene, const aw_scenario *s, size_t tag,
                     const aw_grid *grid, uint32_t number)
{
    const aw_point at = aw_grid_centre(grid, number);
    const aw_trial_spot place = {s, tag, {at.x, at.y, aw_tag_at(s, tag, at.x, at.y)}, number};
    if (spot->shadows != NULL)
        aw_cell_links(spot->shadows, grid, number, place.at[2], spot->links);
    else
        aw_links_at(scene, place.at, spot->links);
    spot->draws = aw_spot_case(&place, spot->links, s->n_anchors, &spot->bound);
}
