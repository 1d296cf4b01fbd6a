/* From a cell's number to what is drawn there, the same for every study. */
#include "anchorwise/spot.h"

void aw_spot_prepare_at(aw_spot *spot, const aw_scene *scene, const aw_scenario *s, size_t tag,
                        aw_point at, uint32_t number)
{
    const double place[3] = {at.x, at.y, s->tags[tag].height};
    aw_links_at(scene, place, spot->links);
    spot->bound = aw_bound_at(spot->links, s->n_anchors, s->tags[tag].fix);
    spot->draws = (aw_trials_case){.links = spot->links,
                                   .n_links = s->n_anchors,
                                   .bound = &spot->bound,
                                   .height_sigma = s->tags[tag].height_sigma,
                                   .spot = {place[0], place[1], place[2]},
                                   .site = {&s->floor.outline, s->floor.ceiling},
                                   .seed = s->study.seed,
                                   .cell = number,
                                   .n_draws = s->study.draws};
}

void aw_spot_prepare(aw_spot *spot, const aw_scene *scene, const aw_scenario *s, size_t tag,
                     const aw_grid *grid, uint32_t number)
{
    aw_spot_prepare_at(spot, scene, s, tag, aw_grid_centre(grid, number), number);
}
