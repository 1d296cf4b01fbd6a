/* What one link is, whatever it was made of. */
#include "anchorwise/link.h"

#include <math.h>
#include <string.h>

#include "radio/power.h"
#include "radio/scatter.h"

double aw_link_variance(const aw_link *link)
{
    return link->white * link->white + (1 - link->tail_share) * link->spot * link->spot +
           link->tail_share * link->tail * link->tail + link->survey * link->survey +
           link->delay * link->delay;
}

double aw_link_bias(const aw_link *link)
{
    double excess = 0;
    for (size_t k = 0; k < link->n_outcomes && link->outcomes[k].fade_db <= 0; k++)
        excess = link->outcomes[k].excess;
    if (link->scatters && link->scattered_db >= 0 && link->n_outcomes > 0)
        excess = fmin(excess, fmax(link->scattered_least, AW_SCATTER_MEDIAN));
    return isinf(excess) ? link->scattered_least : excess;
}

/* Mean excess of what an outcome times over fades between two, times their share. */
static double excess_between(const aw_link *link, double excess, double low, double high)
{
    if (!link->scatters)
        return (high - low) * excess;
    const double split = fmin(fmax(aw_fade_share(link->fade_sigma, link->scattered_db), low), high);
    const double first = aw_scatter_first(link->scattered_least, excess);
    return (split - low) * first + (high > split ? (high - split) * excess : 0);
}

aw_link_chances aw_link_expect(const aw_link *link)
{
    aw_link_chances c = {0};
    double from = 0, excess = 0;
    for (size_t k = 0; k < link->n_outcomes; k++) {
        const bool last = k + 1 == link->n_outcomes;
        const double end =
            last ? link->lost_db : fmin(link->outcomes[k + 1].fade_db, link->lost_db);
        const double to = fmax(from, aw_fade_share(link->fade_sigma, end)), share = to - from;
        c.received += share;
        if (share > 0)
            excess += excess_between(link, link->outcomes[k].excess, from, to);
        if (strcmp(link->outcomes[k].name, "direct") == 0)
            c.direct += share;
        from = to;
    }
    c.excess = c.received > 0 ? excess / c.received : (double)NAN;
    return c;
}

void aw_link_aim(aw_link *link, const double anchor[3], const double spot[3])
{
    double squared = 0;
    for (int k = 0; k < 3; k++) {
        link->to_anchor[k] = anchor[k] - spot[k];
        squared += link->to_anchor[k] * link->to_anchor[k];
    }
    link->range = sqrt(squared);
    for (int k = 0; k < 3; k++)
        link->u[k] = link->range > 0 ? -link->to_anchor[k] / link->range : 0;
}
