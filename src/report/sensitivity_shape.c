/* Sensitivity, for programs. */
#include "report/sensitivity.h"

#include "anchorwise.h"
#include "report/parts.h"
#include "report/told.h"
#include "report/words.h"

typedef aw_told_sensitivity told;

static const aw_sensitivity *sensitivity_of(const aw_subject *s)
{
    return ((const told *)s->with)->sensitivity;
}

/* --- assumptions --- */

static const char *const units[] = {
    [AW_ASSUMED_LENGTH] = "m",    [AW_ASSUMED_ERROR] = "m", [AW_ASSUMED_SHARE] = "share",
    [AW_ASSUMED_TIMES] = "times", [AW_ASSUMED_DB] = "dB",   NULL};

AW_GETTER(get_key)
{
    v->text = aw_assumption_rows[s->k].key;
    return true;
}

AW_GETTER(get_unit)
{
    v->text = units[aw_assumption_rows[s->k].unit];
    return true;
}

AW_GETTER(get_footing)
{
    const aw_assumption_range *x = s->of;
    v->text = x->stated ? NULL : aw_assumption_rows[s->k].footing;
    return true;
}

static const aw_member range_members[] = {
    AW_GOT("assumed", TEXT, get_key, "", "the assumption, by its key"),
    AW_GOT("unit", TEXT, get_unit, "", "of the range"),
    AW_NUMBER("low", aw_assumption_range, low, "", "lower end of its range"),
    AW_NUMBER("today", aw_assumption_range, today, "", "its value in the scenario"),
    AW_NUMBER("high", aw_assumption_range, high, "", "upper end"),
    AW_TRUTH("stated", aw_assumption_range, stated, "whether the scenario states the range"),
    AW_GOT("footing", TEXT, get_footing, "", "why that range; null: the scenario states it"),
};
static const aw_shape range_shape = AW_SHAPE("range", "An assumption and its range", range_members);

/* The i-th that is present. */
AW_GETTER(get_range)
{
    for (size_t a = 0; a < AW_ASSUMPTIONS; a++)
        if (sensitivity_of(s)->assumed[a].present && i-- == 0) {
            v->object = (aw_subject){&sensitivity_of(s)->assumed[a], s->with, 0, a};
            return true;
        }
    return false;
}

/* --- an end of a range: zone i, assumption k --- */

/* End 0 or 1 of the assumption of an object. */
AW_GETTER(get_at_end)
{
    const aw_assumption_range *x = &sensitivity_of(s)->assumed[s->k / 2];
    v->number = s->k % 2 == 0 ? x->low : x->high;
    return true;
}

#define RESULT_MEMBERS(type, inside)                                                               \
    AW_NUMBER("p95_m", type, inside errors.p95, "m", "p95 of the zone"),                           \
        AW_NUMBER("odds", type, inside parts[AW_PART_ODDS].found.value, "share",                   \
                  "installations that meet the need of p95"),                                      \
        AW_VERDICT("met", type, inside verdict,                                                    \
                   "whether its need is met; null: undecided, or none is stated")

static const aw_member end_members[] = {
    AW_GOT("at", NUMBER, get_at_end, "", "the assumption's value there"),
    RESULT_MEMBERS(aw_sensitivity_end, result.),
    AW_INSIDE("change_m", aw_sensitivity_end, change, &aw_estimate_shape,
              "p95 less that as planned"),
    AW_COUNT("draws", aw_sensitivity_end, result.draws, "", "draws of each cell that told it"),
};
static const aw_shape end_shape =
    AW_SHAPE("end", "A zone with an assumption at one end of its range", end_members);

AW_GETTER(get_end)
{
    const aw_sensitivity_end *end =
        aw_sensitivity_at(sensitivity_of(s), s->i, (aw_assumption)s->k, (int)i);
    v->object = (aw_subject){end, s->with, s->i, 2 * s->k + i};
    return true;
}

static const aw_member ranked_members[] = {
    AW_GOT("assumed", TEXT, get_key, "", "the assumption, by its key"),
    AW_WHICH_OBJECT("low", get_end, 0, &end_shape, "at the lower end"),
    AW_WHICH_OBJECT("high", get_end, 1, &end_shape, "at the upper end"),
};
static const aw_shape ranked_shape =
    AW_SHAPE("ranked", "What an assumption does to a zone", ranked_members);

/* --- a zone --- */

static const aw_member today_members[] = {RESULT_MEMBERS(aw_zone_result, ),
                                          AW_PARTS_MEMBER(aw_zone_result, )};
static const aw_shape today_shape = AW_SHAPE("today", "A zone as planned", today_members);

AW_GETTER(get_today)
{
    v->object.of = &sensitivity_of(s)->today[s->i];
    return true;
}

AW_GETTER(get_zone_name)
{
    v->text = sensitivity_of(s)->zones[s->i].name;
    return true;
}

AW_GETTER(get_ranked)
{
    aw_assumption order[AW_ASSUMPTIONS];
    if (i >= aw_sensitivity_rank(sensitivity_of(s), s->i, order))
        return false;
    v->object = (aw_subject){s->of, s->with, s->i, order[i]};
    return true;
}

static const aw_member joint_members[] = {
    AW_NUMBER("p95_p05_m", aw_joint, p05, "m",
              "p95 of the zone in one of twenty joint draws or less"),
    AW_NUMBER("p95_p50_m", aw_joint, p50, "m", "in half of them"),
    AW_NUMBER("p95_p95_m", aw_joint, p95, "m", "in nineteen of twenty; null: none"),
    AW_INSIDE("share_holding", aw_joint, holding, &aw_estimate_shape,
              "joint draws in which the need holds"),
};
static const aw_shape joint_shape =
    AW_SHAPE("joint", "A zone with all assumptions drawn together", joint_members);

AW_GETTER(get_joint)
{
    v->object.of = &sensitivity_of(s)->joint[s->i];
    return true;
}

static const aw_member zone_members[] = {
    AW_GOT("name", TEXT, get_zone_name, "", "its name, or \"floor\""),
    AW_OBJECT("today", get_today, &today_shape, "as planned"),
    AW_LIST("ranked", get_ranked, &ranked_shape, "every assumption, the largest effect first"),
    AW_OBJECT("joint", get_joint, &joint_shape, "all assumptions drawn together"),
};
static const aw_shape zone_shape =
    AW_SHAPE("sensitive_zone", "What assumptions do to a zone", zone_members);

AW_GETTER(get_zone)
{
    if (i >= sensitivity_of(s)->n_zones)
        return false;
    v->object = (aw_subject){s->of, s->with, i, 0};
    return true;
}

/* --- tolerances --- */

AW_GETTER(get_tolerance_key)
{
    v->text = aw_tolerance_rows[s->k].key;
    return true;
}

static const aw_tolerance *limited(const aw_subject *s)
{
    const aw_tolerance *t = s->of;
    return t->zone < sensitivity_of(s)->n_zones ? t : NULL;
}

AW_GETTER(get_limit_zone)
{
    const aw_tolerance *t = limited(s);
    v->text = t != NULL ? sensitivity_of(s)->zones[t->zone].name : NULL;
    return true;
}

AW_GETTER(get_limit)
{
    const aw_tolerance *t = limited(s);
    if (t != NULL) {
        aw_reason_words(&t->limit, &v->room);
        v->text = v->room.at;
    }
    return true;
}

AW_GETTER(get_takes)
{
    v->text = aw_tolerance_words((aw_tolerance_kind)s->k, ((const aw_tolerance *)s->of)->most);
    return true;
}

/* The i-th of the zones that are left out of a tolerance. */
AW_GETTER(get_left_out)
{
    const aw_sensitivity *x = sensitivity_of(s);
    for (size_t z = 0; z < x->n_zones; z++)
        if (x->without_room[s->k * x->n_zones + z] && i-- == 0) {
            v->text = x->zones[z].name;
            return true;
        }
    return false;
}

AW_GETTER(get_together)
{
    v->number = sensitivity_of(s)->budget.most[s->k];
    return true;
}

static const aw_member tolerance_members[] = {
    AW_GOT("of", TEXT, get_tolerance_key, "", "what is exact to this"),
    AW_NUMBER("today_m", aw_tolerance, today, "m", "1 sigma in the scenario"),
    AW_NUMBER("most_m", aw_tolerance, most, "m",
              "largest 1 sigma with which every need is met; null: none is small enough"),
    AW_GOT("limit_zone", TEXT, get_limit_zone, "", "the zone whose need is the limit"),
    AW_GOT("limit", TEXT, get_limit, "", "which parts of it"),
    AW_GOT("takes", TEXT, get_takes, "", "what that takes, as common practice"),
    AW_GOT("left_out", TEXTS, get_left_out, "",
           "zones that are not met even with none of that error, and not asked here"),
    AW_GOT("together_m", NUMBER, get_together, "m",
           "1 sigma of it in a budget of all four at once; null: there is none"),
};
static const aw_shape tolerance_shape =
    AW_SHAPE("tolerance", "How exact work has to be", tolerance_members);

AW_GETTER(get_tolerance)
{
    if (i >= AW_TOLERANCES)
        return false;
    v->object = (aw_subject){&sensitivity_of(s)->tolerances[i], s->with, 0, i};
    return true;
}

/* --- all at once --- */

AW_GETTER(get_not_held)
{
    const aw_sensitivity *x = sensitivity_of(s);
    for (size_t z = 0; z < x->n_zones; z++)
        if (aw_need_is_stated(&x->zones[z].need) && !x->budget.held[z] && i-- == 0) {
            v->text = x->zones[z].name;
            return true;
        }
    return false;
}

static const aw_member budget_members[] = {
    AW_COUNT("looks", aw_budget, looks, "",
             "simulations with seeds of their own that confirmed it; 0: there is no budget"),
    AW_GOT(
        "left_out", TEXTS, get_not_held, "",
        "zones that are not held: not met, or with 2 % or less left, where none of the four errs"),
};
static const aw_shape budget_shape = AW_SHAPE("budget", "All tolerances at once", budget_members);

AW_GETTER(get_budget)
{
    v->object = (aw_subject){&sensitivity_of(s)->budget, s->with, 0, 0};
    return true;
}

AW_GETTER(get_holding)
{
    v->object.of = &sensitivity_of(s)->holding;
    return true;
}

static const aw_member members[] = {
    AW_RUN_MEMBERS,
    AW_LIST("assumptions", get_range, &range_shape, "what the scenario assumes"),
    AW_LIST("zones", get_zone, &zone_shape, "every zone"),
    AW_OBJECT("share_holding_all", get_holding, &aw_estimate_shape,
              "joint draws in which every need holds"),
    AW_LIST("tolerances", get_tolerance, &tolerance_shape, "how exact work has to be"),
    AW_OBJECT("budget", get_budget, &budget_shape,
              "of together_m: survey, delay, height and clock all at once"),
    AW_RUN_END,
};
const aw_shape aw_sensitivity_shape = AW_SHAPE("sensitivity", "Which assumptions matter", members);

void aw_sensitivity_json(const aw_sensitivity *x, const aw_scenario *s, const char *file,
                         aw_text *out)
{
    const told t = {{s, file}, x};
    aw_document_json(&aw_sensitivity_shape, &AW_DOCUMENT(t), out);
}
