/* What a link out of sight receives beside its single paths. */
#include "radio/first_path.h"

#include <math.h>

#include "radio/law.h"
#include "radio/power.h"
#include "radio/scatter.h"

double aw_found_above(const aw_radio_scene *air)
{
    return air->noise + air->radio->receiver.detect_db;
}

/* What the rays lack of the power that the law of the environment gives a link out of sight, dBm;
 * minus infinity for nothing. An open place has no such law. */
static double scattered_power(const aw_radio_scene *air, double range, double rays_dbm)
{
    const aw_radio *radio = air->radio;
    if (!radio->scattered || radio->environment == AW_OPEN_OUTDOOR)
        return -HUGE_VAL;
    const double law = air->eirp - aw_law_db(radio->environment, false, range, air->hz, NULL);
    return law > rays_dbm ? law + 10 * log10(1 - pow(10, (rays_dbm - law) / 10)) : -HUGE_VAL;
}

/* Takes from every ray the spots at which what is scattered comes first; returns their share. */
static double take_first(aw_first_path *heard, double limit)
{
    double last = 0, taken = 0;
    const double most = aw_fade_share(heard->fade_sigma, fmin(limit, heard->lost_db));
    for (size_t i = 0; i < heard->rays; i++) {
        aw_path *ray = &heard->paths[i];
        const double up_to =
            fmax(last, aw_fade_share(heard->fade_sigma, fmin(heard->limit[i], heard->lost_db)));
        const double both = fmax(fmin(up_to, most) - last, 0);
        const double sooner = ray->excess > heard->least ? aw_scatter_share(ray->excess) : 0;
        ray->first = up_to - last - both * sooner;
        taken += both * sooner;
        last = up_to;
    }
    return taken + fmax(most - last, 0);
}

void aw_first_path_scatter(aw_first_path *heard, const aw_radio_scene *air, double range,
                           double shortest)
{
    const double power = scattered_power(air, range, heard->total_dbm);
    const double own = power - AW_SCATTER_DB, limit = own - aw_found_above(air);
    const double strongest = heard->rays > 0 ? heard->paths[heard->rays - 1].power_dbm : -HUGE_VAL;
    if (isinf(shortest) || !(limit > -AW_NEVER * heard->fade_sigma) ||
        own < strongest - air->radio->receiver.dynamic_db)
        return;
    const double last = heard->rays > 0 ? heard->limit[heard->rays - 1] : -HUGE_VAL;
    const double clear = air->eirp - fmax(aw_free_space_db(range, air->hz), 0);
    heard->total_dbm = aw_dbm_sum(heard->total_dbm, power);
    heard->lost_db =
        fmin(fmax(last, limit), heard->total_dbm - air->radio->receiver.sensitivity_dbm);
    heard->least = shortest;
    aw_path *path = &heard->paths[heard->n];
    *path = (aw_path){.kind = AW_PATH_SCATTERED,
                      .loss_db = clear - power,
                      .excess = aw_scatter_first(shortest, HUGE_VAL),
                      .power_dbm = power,
                      .found = aw_fade_share(heard->fade_sigma, limit)};
    path->first = take_first(heard, limit);
    heard->limit[heard->n++] = limit;
}
