/* What a scenario says of itself, with nothing read or drawn. */
#include "anchorwise/scenario.h"

const char *aw_unit_name(aw_units units)
{
    return units == AW_FEET ? "ft" : "m";
}

double aw_unit_metres(aw_units units)
{
    return units == AW_FEET ? AW_FOOT : 1;
}

const char *aw_solver_name(aw_solver solver)
{
    return solver == AW_SOLVER_ROBUST ? "robust" : "plain";
}

bool aw_scenario_is_site(const aw_scenario *scenario)
{
    const aw_ranging *ranging = &scenario->ranging;
    return ranging->spot_sigma > 0 || (ranging->tail_share > 0 && ranging->tail_sigma > 0) ||
           aw_scenario_has_installation(scenario);
}

bool aw_scenario_has_installation(const aw_scenario *scenario)
{
    return scenario->ranging.survey_sigma > 0 || scenario->ranging.delay_sigma > 0;
}

/* A mount whose reach could not be read serves any height, so that its own complaint is the only
 * one. */
const aw_mount *aw_mount_at(const aw_prices *prices, double height)
{
    const aw_mount *best = NULL;
    for (size_t i = 0; i < prices->n_mounts; i++) {
        const aw_mount *m = &prices->mounts[i];
        if (!(m->up_to < height) && (best == NULL || m->up_to < best->up_to))
            best = m;
    }
    return best;
}
