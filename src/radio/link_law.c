/* What one link is, whatever it was made of. */
#include "anchorwise/link.h"

#include <math.h>
#include <string.h>

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
    return excess;
}

/* Share of fades up to one. */
static double share_up_to(const aw_link *link, double fade)
{
    if (link->fade_sigma > 0)
        return erfc(-fade / link->fade_sigma * M_SQRT1_2) / 2;
    return fade >= 0;
}

aw_link_chances aw_link_expect(const aw_link *link)
{
    aw_link_chances c = {0};
    double from = 0, excess = 0;
    for (size_t k = 0; k < link->n_outcomes; k++) {
        const bool last = k + 1 == link->n_outcomes;
        const double end =
            last ? link->lost_db : fmin(link->outcomes[k + 1].fade_db, link->lost_db);
        const double to = share_up_to(link, end), share = fmax(0, to - from);
        c.received += share;
        excess += share * link->outcomes[k].excess;
        if (strcmp(link->outcomes[k].name, "direct") == 0)
            c.direct += share;
        from = fmax(from, to);
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
