/* Welford's running mean and squares. */
#include "place/race.h"

#include <math.h>

/* 95 % of a normal law, and half of a 95 % interval by 31 degrees of freedom. */
#define Z        1.645
#define INTERVAL 2.04
/* Of a share of cells, by its binomial law. */
#define OF_BINOMIAL 0.4

/* Of one look, by the part's own law or by its interval. */
static double scatter_of(const aw_slack *slack, aw_part part, const aw_estimate *e, size_t cells)
{
    const double by_interval = (e->high - e->low) / 2 / INTERVAL;
    if (part == AW_PART_SHARE)
        return OF_BINOMIAL * sqrt(e->value * (1 - e->value) / (double)cells);
    if (part == AW_PART_ODDS)
        return sqrt(e->value * (1 - e->value) / AW_INSTALLATIONS);
    return slack->is_counted ? OF_BINOMIAL * by_interval : by_interval;
}

aw_slack aw_slack_of(const aw_part_result parts[], aw_part part, size_t cells, bool by_value)
{
    const aw_part_result *r = &parts[part];
    const aw_estimate *e = &r->found;
    const double low = by_value && part == AW_PART_SHARE ? e->value : e->low;
    aw_slack slack = {(double)NAN, (double)NAN, part == AW_PART_SHARE};
    if (r->verdict == AW_NO_NEED)
        return slack;
    slack.left = aw_part_rows[part].is_length ? r->asked - e->high : low - r->asked;
    slack.is_counted = part == AW_PART_SHARE ||
                       (part == AW_PART_CHANCE && parts[AW_PART_SHARE].verdict != AW_NO_NEED);
    slack.s = scatter_of(&slack, part, e, cells);
    return slack;
}

void aw_slacks_add(aw_slacks *s, const aw_slack *slack)
{
    const double off = slack->left - s->mean;
    s->n++;
    s->mean += off / (double)s->n;
    s->squares += off * (slack->left - s->mean);
    s->variance += (slack->s * slack->s - s->variance) / (double)s->n;
    s->is_counted = slack->is_counted;
}

static double scatter(const aw_slacks *s)
{
    return sqrt(s->is_counted ? (s->variance / 2 + s->squares) / ((double)s->n - 0.5)
                              : s->variance);
}

aw_race_end aw_slacks_judge(const aw_slacks *s)
{
    const double n = (double)s->n, margin = Z * scatter(s);
    if (!isfinite(s->mean) || !isfinite(margin))
        return AW_RACE_OUT;
    if (s->n >= AW_RACE_MOST)
        return s->mean >= margin ? AW_RACE_HOLDS : AW_RACE_OUT;
    if (s->n >= AW_RACE_FEWEST && s->mean >= margin * sqrt(1 + 1 / n))
        return AW_RACE_HOLDS;
    return s->mean + margin / sqrt(n) < margin ? AW_RACE_OUT : AW_RACE_ON;
}

bool aw_slacks_suffice(const aw_slacks *s)
{
    return s->mean >= Z * scatter(s);
}

double aw_slacks_margin(const aw_slacks *s)
{
    return s->mean / scatter(s);
}

bool aw_slack_has_margin(const aw_slack *slack)
{
    return slack->left >= Z * slack->s * M_SQRT2;
}
