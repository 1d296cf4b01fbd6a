/* Welford's running mean and squares. */
#include "place/race.h"

#include <math.h>

/* 95 % of a normal law, and half of a 95 % interval by 31 degrees of freedom. */
#define Z        1.645
#define INTERVAL 2.04
/* Of a share of cells, by its binomial law. */
#define OF_BINOMIAL 0.4

bool aw_slack_of(aw_part part, const aw_part_result *r, size_t cells, bool by_value, double *slack,
                 double *sigma)
{
    const aw_estimate *e = &r->found;
    const double low = by_value && part == AW_PART_SHARE ? e->value : e->low;
    if (r->verdict == AW_NO_NEED)
        return false;
    *slack = aw_part_rows[part].is_length ? r->asked - e->high : low - r->asked;
    if (part == AW_PART_SHARE)
        *sigma = OF_BINOMIAL * sqrt(e->value * (1 - e->value) / (double)cells);
    else if (part == AW_PART_ODDS)
        *sigma = sqrt(e->value * (1 - e->value) / AW_INSTALLATIONS);
    else
        *sigma = (e->high - e->low) / 2 / INTERVAL;
    return !isnan(*slack);
}

void aw_slacks_add(aw_slacks *s, aw_part part, double slack, double sigma)
{
    const double off = slack - s->mean;
    s->n++;
    s->mean += off / (double)s->n;
    s->squares += off * (slack - s->mean);
    s->variance += (sigma * sigma - s->variance) / (double)s->n;
    s->is_counted = part == AW_PART_SHARE;
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

bool aw_slack_has_margin(double slack, double sigma)
{
    return slack >= Z * sigma * M_SQRT2;
}
