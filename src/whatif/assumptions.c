/* The table of assumptions, and scenarios in which they are otherwise. */
#include "anchorwise/sensitivity.h"
#include "anchorwise/site_law.h"

#include <math.h>

#include "position/trials.h"

/* Random numbers of joint draws. */
#define TERM 32u
#define CELL 0xFFFFFFFFu

/* Standard ranges. Rows of days have the spread between days of one site that open flight data show
 * (AW_VISIT_FACTOR, docs/validation.md); the share of errors above 0.5 m differed from 4 to 14
 * % there, about its middle. One and the same object delayed by 0.5 to 1.8 times its mean between
 * set-ups (H. Jiang and others, ICRA 2023: metal 0.33 m, 0.18 to 0.60). The loss of 20 cm of
 * concrete moved from 22.5 to 29.9 dB between two revisions of ITU-R P.2040. Where nobody measured,
 * the row says so. */
#define DAYS   "spread between days on one site, open flight data"
#define JUDGED "our judgement, not measured: state your own"

#define AT(member) .offset = offsetof(aw_assumptions, member)

const aw_assumption_row aw_assumption_rows[AW_ASSUMPTIONS] = {
    [AW_ASSUME_TOPS] = {"obstacle_tops",
                        "obstacle heights",
                        AW_ASSUMED_LENGTH,
                        AT(obstacle_tops),
                        false,
                        -0.3,
                        0.3,
                        JUDGED,
                        {-HUGE_VAL, HUGE_VAL}},
    [AW_ASSUME_LOSSES] = {"losses",
                          "material losses",
                          AW_ASSUMED_TIMES,
                          AT(losses),
                          false,
                          0.75,
                          1.25,
                          "what two revisions of ITU-R P.2040 differ by for concrete",
                          {0, HUGE_VAL}},
    [AW_ASSUME_DELAYS] = {"delays",
                          "material delays",
                          AW_ASSUMED_TIMES,
                          AT(delays),
                          false,
                          0.5,
                          1.8,
                          "one object in several set-ups, open range data",
                          {0, HUGE_VAL}},
    [AW_ASSUME_SIGMA] =
        {"sigma", "white error", AW_ASSUMED_ERROR, AT(sigma), true, 0, 0, DAYS, {1e-6, 100}},
    [AW_ASSUME_SPOT] = {"spot_sigma",
                        "reflection error",
                        AW_ASSUMED_ERROR,
                        AT(spot_sigma),
                        true,
                        0,
                        0,
                        DAYS,
                        {0, 100}},
    [AW_ASSUME_TAIL_SHARE] = {"tail_share",
                              "share of tails",
                              AW_ASSUMED_SHARE,
                              AT(tail_share),
                              true,
                              0.45,
                              1.55,
                              "4 to 14 % large errors between flights, open data",
                              {0, 1}},
    [AW_ASSUME_TAIL] =
        {"tail_sigma", "tail error", AW_ASSUMED_ERROR, AT(tail_sigma), true, 0, 0, DAYS, {0, 100}},
    [AW_ASSUME_SURVEY] = {"survey_sigma",
                          "survey error",
                          AW_ASSUMED_ERROR,
                          AT(survey_sigma),
                          true,
                          0.5,
                          2,
                          JUDGED,
                          {0, 100}},
    [AW_ASSUME_DELAY] = {"delay_sigma",
                         "cable and antenna delay",
                         AW_ASSUMED_ERROR,
                         AT(delay_sigma),
                         true,
                         0.5,
                         2,
                         JUDGED,
                         {0, 100}},
    [AW_ASSUME_TAG_HEIGHTS] = {"tag_heights",
                               "tag heights",
                               AW_ASSUMED_LENGTH,
                               AT(tag_heights),
                               false,
                               -0.2,
                               0.2,
                               JUDGED,
                               {-HUGE_VAL, HUGE_VAL}},
    [AW_ASSUME_HEIGHT_SIGMAS] = {"height_sigmas",
                                 "spread of tag heights",
                                 AW_ASSUMED_TIMES,
                                 AT(height_sigmas),
                                 false,
                                 0.5,
                                 2,
                                 JUDGED,
                                 {0, HUGE_VAL}},
    [AW_ASSUME_RANGE] = {"range",
                         "reach of a link",
                         AW_ASSUMED_LENGTH,
                         AT(range),
                         true,
                         0.8,
                         1.25,
                         JUDGED,
                         {1e-6, 1e5}},
    [AW_ASSUME_BUDGET] = {"budget_db",
                          "loss that a link bears",
                          AW_ASSUMED_DB,
                          AT(budget_db),
                          true,
                          0.75,
                          1.25,
                          JUDGED,
                          {0, 1000}},
    [AW_ASSUME_FLOOR] = {"arrival_floor",
                         "white error of a strong link",
                         AW_ASSUMED_ERROR,
                         AT(arrival_floor),
                         true,
                         0,
                         0,
                         DAYS,
                         {0, 100}},
    [AW_ASSUME_POWER] = {"power_db",
                         "power sent",
                         AW_ASSUMED_DB,
                         AT(power_db),
                         false,
                         -3,
                         3,
                         "antennas over angle, not in the model: our judgement",
                         {-HUGE_VAL, HUGE_VAL}},
    [AW_ASSUME_RECEIVER] = {"receiver_db",
                            "noise figure and sensitivity",
                            AW_ASSUMED_DB,
                            AT(receiver_db),
                            false,
                            -2,
                            2,
                            JUDGED,
                            {-HUGE_VAL, HUGE_VAL}},
    [AW_ASSUME_SHADOWING] = {"shadowing",
                             "shadowing",
                             AW_ASSUMED_TIMES,
                             AT(shadowing),
                             false,
                             0.45,
                             1.4,
                             "1.9 to 6 dB in published surveys of halls and offices",
                             {0, HUGE_VAL}},
};

/* --- today's values --- */

/* Not a number where there is nothing to be wrong about. */
static double today_of(const aw_scenario *s, aw_assumption a)
{
    const double none = (double)NAN, tail = s->ranging.tail_share;
    const bool radio = s->radio.given;
    switch (a) {
    case AW_ASSUME_TOPS:
        return aw_scenario_has_tops(s) ? 0 : none;
    case AW_ASSUME_LOSSES:
        return aw_scenario_has_losses(s) ? 1 : none;
    case AW_ASSUME_DELAYS:
        return aw_scenario_has_delays(s) ? 1 : none;
    case AW_ASSUME_SIGMA:
        return radio ? none : s->ranging.sigma;
    case AW_ASSUME_SPOT:
        return s->ranging.spot_sigma;
    case AW_ASSUME_TAIL_SHARE:
        return tail;
    case AW_ASSUME_TAIL:
        return s->ranging.tail_sigma;
    case AW_ASSUME_SURVEY:
        return s->ranging.survey_sigma;
    case AW_ASSUME_DELAY:
        return s->ranging.delay_sigma;
    case AW_ASSUME_TAG_HEIGHTS:
        return 0;
    case AW_ASSUME_HEIGHT_SIGMAS:
        return aw_scenario_has_height_sigmas(s) ? 1 : none;
    case AW_ASSUME_RANGE:
        return radio ? none : s->ranging.range;
    case AW_ASSUME_BUDGET:
        return radio || !aw_scenario_has_losses(s) ? none : s->ranging.budget_db;
    case AW_ASSUME_FLOOR:
        return radio ? s->radio.arrival_floor : none;
    case AW_ASSUME_POWER:
    case AW_ASSUME_RECEIVER:
        return radio ? 0 : none;
    case AW_ASSUME_SHADOWING:
        return radio ? 1 : none;
    default:
        return none;
    }
}

aw_assumption_range aw_assumption_range_of(const aw_scenario *s, aw_assumption a)
{
    const aw_assumption_row *row = &aw_assumption_rows[a];
    const aw_between *stated =
        (const aw_between *)(const void *)((const char *)&s->assumptions + row->offset);
    const double none = (double)NAN, today = today_of(s, a), times = row->relative ? today : 1;
    aw_assumption_range found = {true, !isnan(stated->low), today, stated->low, stated->high};
    const double band = AW_VISIT_FACTOR;
    const bool days = row->low == 0 && row->high == 0;
    if (!found.stated) {
        found.low = fmax(times * (days ? 1 / band : row->low), row->limits[0]);
        found.high = fmin(times * (days ? band : row->high), row->limits[1]);
    }
    if (isnan(today) || !(found.low < found.high || found.stated))
        return (aw_assumption_range){false, false, none, none, none};
    return found;
}

/* --- other values --- */

static void worsen_receiver(aw_receiver *r, double by)
{
    r->noise_figure_db += by;
    r->sensitivity_dbm += by;
}

bool aw_varied_assume(aw_varied *v, aw_assumption a, double value)
{
    aw_scenario *s = &v->scenario;
    double *const member[AW_ASSUMPTIONS] = {
        [AW_ASSUME_SIGMA] = &s->ranging.sigma,
        [AW_ASSUME_SPOT] = &s->ranging.spot_sigma,
        [AW_ASSUME_TAIL_SHARE] = &s->ranging.tail_share,
        [AW_ASSUME_TAIL] = &s->ranging.tail_sigma,
        [AW_ASSUME_SURVEY] = &s->ranging.survey_sigma,
        [AW_ASSUME_DELAY] = &s->ranging.delay_sigma,
        [AW_ASSUME_RANGE] = &s->ranging.range,
        [AW_ASSUME_BUDGET] = &s->ranging.budget_db,
        [AW_ASSUME_FLOOR] = &s->radio.arrival_floor,
        [AW_ASSUME_SHADOWING] = &s->radio.shadowing_times,
    };
    if (a == AW_ASSUME_TOPS)
        return aw_varied_move_tops(v, value);
    if (a == AW_ASSUME_LOSSES || a == AW_ASSUME_DELAYS)
        return a == AW_ASSUME_LOSSES ? aw_varied_scale_materials(v, value, 1)
                                     : aw_varied_scale_materials(v, 1, value);
    if (a == AW_ASSUME_TAG_HEIGHTS || a == AW_ASSUME_HEIGHT_SIGMAS)
        return a == AW_ASSUME_TAG_HEIGHTS ? aw_varied_change_tags(v, value, 1)
                                          : aw_varied_change_tags(v, 0, value);
    if (member[a] != NULL)
        *member[a] = value;
    else if (a == AW_ASSUME_POWER)
        s->radio.backoff_db -= value;
    else if (a == AW_ASSUME_RECEIVER)
        worsen_receiver(&s->radio.receiver, value);
    return true;
}

bool aw_varied_assume_all(aw_varied *v, const double values[AW_ASSUMPTIONS])
{
    for (int a = 0; a < AW_ASSUMPTIONS; a++)
        if (!isnan(values[a]) && !aw_varied_assume(v, (aw_assumption)a, values[a]))
            return false;
    return true;
}

/* Half of the draws at either side of today's value, whichever way the range lies about it. */
static double value_at(const aw_assumption_range *a, double u)
{
    if (!(a->today >= a->low && a->today <= a->high))
        return a->low + u * (a->high - a->low);
    return u < 0.5 ? a->low + 2 * u * (a->today - a->low)
                   : a->today + (2 * u - 1) * (a->high - a->today);
}

void aw_assumptions_draw(const aw_scenario *s, uint32_t draw, double values[AW_ASSUMPTIONS])
{
    for (int a = 0; a < AW_ASSUMPTIONS; a++) {
        const aw_assumption_range assumed = aw_assumption_range_of(s, (aw_assumption)a);
        values[a] =
            assumed.present
                ? value_at(&assumed, aw_uniform(s->study.seed, CELL, (uint32_t)a, TERM, draw))
                : (double)NAN;
    }
}
