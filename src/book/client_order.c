/* Zones and assumptions in the order that matters: which needs are met, which zone is least sure,
 * what to confirm first. */
#include <math.h>

#include "book/client.h"

/* --- zones --- */

size_t aw_client_needs(const aw_client *c)
{
    size_t n = 0;
    for (size_t i = 0; i < c->s->n_zones; i++)
        n += c->st->assessment.zones[i].verdict != AW_NO_NEED;
    return n;
}

size_t aw_client_met(const aw_client *c)
{
    size_t n = 0;
    for (size_t i = 0; i < c->s->n_zones; i++)
        n += c->st->assessment.zones[i].verdict == AW_MET;
    return n;
}

size_t aw_client_least_sure(const aw_client *c)
{
    const aw_zone_result *zones = c->st->assessment.zones;
    size_t least = c->s->n_zones;
    for (size_t i = 0; i < c->s->n_zones; i++)
        if (zones[i].verdict == AW_MET && !isnan(zones[i].parts[AW_PART_CHANCE].found.value) &&
            (least == c->s->n_zones || zones[i].parts[AW_PART_CHANCE].found.value <
                                           zones[least].parts[AW_PART_CHANCE].found.value))
            least = i;
    return least;
}

/* --- assumptions --- */

/* Of a zone with one assumption at one end: over 1000 if a met need is then not met, else what p95
 * moves in proportion to its need; 0 where nothing is asked. */
static double harm_of(const aw_client *c, size_t zone, aw_assumption assumption, int end)
{
    const aw_sensitivity *v = &c->st->sensitivity;
    const aw_sensitivity_end *e = aw_sensitivity_at(v, zone, assumption, end);
    const double asked = v->zones[zone].need.p95, change = e->change.value;
    if (v->today[zone].verdict == AW_NO_NEED)
        return 0;
    const double moved = isinf(change)                   ? 999
                         : isnan(change) || isnan(asked) ? 0
                                                         : fabs(change) / asked;
    const bool breaks = v->today[zone].verdict == AW_MET && e->result.verdict == AW_NOT_MET;
    return (breaks ? 1000 : 0) + fmin(moved, 999);
}

bool aw_client_harm(const aw_client *c, aw_assumption assumption, size_t *zone, int *end)
{
    double most = 0;
    for (size_t z = 0; z < c->st->sensitivity.n_zones; z++)
        for (int k = 0; k < 2; k++)
            if (harm_of(c, z, assumption, k) > most) {
                most = harm_of(c, z, assumption, k);
                *zone = z;
                *end = k;
            }
    return most > 0;
}

static double most_harm(const aw_client *c, aw_assumption assumption)
{
    size_t zone = 0;
    int end = 0;
    return aw_client_harm(c, assumption, &zone, &end) ? harm_of(c, zone, assumption, end) : 0;
}

size_t aw_client_order(const aw_client *c, aw_assumption order[AW_ASSUMPTIONS], size_t *breaks)
{
    size_t n = 0;
    *breaks = 0;
    for (int a = 0; c->st->has_sensitivity && a < AW_ASSUMPTIONS; a++) {
        const double harm = most_harm(c, (aw_assumption)a);
        if (!c->st->sensitivity.assumed[a].present || !(harm > 0))
            continue;
        size_t at = n++;
        for (; at > 0 && most_harm(c, order[at - 1]) < harm; at--)
            order[at] = order[at - 1];
        order[at] = (aw_assumption)a;
        *breaks += harm >= 1000;
    }
    return n;
}
