/* One way to prepare a case and to read its p95. */
#include "study/draw.h"

#include <string.h>

aw_trials_case aw_draw_case(const aw_drawn_spot *spot, const aw_link links[], size_t n,
                            double height_sigma, uint32_t first, uint32_t n_draws, aw_bound *bound)
{
    const aw_scenario *s = spot->scenario;
    *bound = aw_bound_at(links, n, s->tags[spot->tag].fix);
    aw_trials_case c = {.links = links,
                        .n_links = n,
                        .bound = bound,
                        .height_sigma = height_sigma,
                        .site = {&s->floor.outline, s->floor.ceiling},
                        .seed = s->study.seed,
                        .cell = spot->cell,
                        .first_draw = first,
                        .n_draws = n_draws};
    memcpy(c.spot, spot->at, sizeof c.spot);
    return c;
}

aw_estimate aw_drawn_p95(const aw_trials *trials)
{
    double ends[2];
    aw_trials_interval(trials, 0.95, false, ends);
    return (aw_estimate){aw_trials_percentile(trials, 0.95, false), ends[0], ends[1]};
}
