/* ln of asked over found, so that what several changes use adds up at worst. */
#include "whatif/need_left.h"

#include <math.h>

#include "assess/chance.h"
#include "assess/zone_assess.h"

#define HALVED 40
/* A larger rise, of what is lost altogether, counts as this. */
#define LOST 1e3

/* What has not been asked of a share, with a cell more of a share of cells. */
static double lacks(aw_part part, double share, size_t cells)
{
    return 1 - share + (part == AW_PART_SHARE ? 1 / (double)cells : 0);
}

/* By how much all errors may rise until a chance is just what is asked. */
static double chance_slack(const aw_part_result *chance, const aw_scenario *s)
{
    double low = 0, high = 5;
    for (int i = 0; i < HALVED; i++) {
        const double middle = (low + high) / 2;
        const aw_part_result moved = aw_chance_moved(chance, s, exp(middle));
        if (moved.found.low >= chance->asked)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* By how much a p95 need may be tightened while its odds still are what is asked. */
static bool odds_slack(double *slack, const aw_scenario *s, size_t zone, const aw_run *run)
{
    double high = 0.5;
    *slack = 0;
    for (int i = 0; i < 5; i++) {
        const double middle = (*slack + high) / 2;
        aw_zone tight = s->zones[zone];
        aw_zone_result r;
        aw_map map;
        tight.need.p95 *= exp(-middle);
        const aw_zone_plan plan = {.scenario = s, .zone = &tight, .judging = AW_JUDGE_VERDICT};
        const bool done = aw_assess_zone_run(&r, &map, &plan, run);
        aw_map_free(&map);
        if (!done)
            return false;
        if (r.parts[AW_PART_ODDS].verdict == AW_MET)
            *slack = middle;
        else
            high = middle;
    }
    return true;
}

bool aw_need_left(double *slack, const aw_zone_result *r, const aw_scenario *s, size_t zone,
                  aw_part part, const aw_run *run)
{
    const aw_part_result *p = &r->parts[part];
    *slack = (double)NAN;
    if (p->verdict == AW_NO_NEED)
        return true;
    if (part == AW_PART_ODDS)
        return odds_slack(slack, s, zone, run);
    if (part == AW_PART_CHANCE)
        *slack = chance_slack(p, s);
    else if (aw_part_rows[part].is_length)
        *slack = log(p->asked / p->found.high);
    else
        *slack = log(lacks(part, p->asked, r->errors.cells) /
                     lacks(part, p->found.low, r->errors.cells));
    *slack = fmax(isnan(*slack) ? 0 : *slack, 0);
    return true;
}

bool aw_need_look(aw_zone_result *r, const aw_scenario *s, size_t zone, const aw_run *run)
{
    aw_scenario few = *s;
    aw_map map;
    few.study.precision = (double)NAN;
    few.study.draws = AW_NEED_LOOKS;
    const aw_zone_plan plan = {
        .scenario = &few, .zone = &s->zones[zone], .judging = AW_JUDGE_PARTS, .without_odds = true};
    const bool done = aw_assess_zone_run(r, &map, &plan, run);
    aw_map_free(&map);
    return done;
}

double aw_need_rise(aw_part part, const aw_zone_result *today, const aw_zone_result *was,
                    const aw_zone_result *is)
{
    const aw_estimate *a = &was->parts[part].found, *b = &is->parts[part].found;
    double rise = 0;
    if (part == AW_PART_ODDS || part == AW_PART_CHANCE)
        for (int k = 0; k < AW_PARTS; k++)
            rise = aw_part_rows[k].is_length && !isnan(was->parts[k].found.value)
                       ? fmax(rise, aw_need_rise((aw_part)k, today, was, is))
                       : rise;
    else if (aw_part_rows[part].is_length)
        rise = log(b->value / a->value);
    else
        rise = log1p((a->low - b->low) /
                     lacks(part, today->parts[part].found.low, today->errors.cells));
    return isnan(rise) ? LOST : fmin(fmax(rise, 0), LOST);
}
