/* Why a spot is as it is, for programs. */
#include <math.h>

#include "anchorwise.h"
#include "report/standing.h"
#include "report/parts.h"
#include "report/told.h"

typedef aw_told_explanation told;

static const aw_explanation *explanation_of(const aw_subject *s)
{
    return ((const told *)s->with)->explanation;
}

static const aw_scenario *scenario_of(const aw_subject *s)
{
    return ((const told *)s->with)->run.scenario;
}

static double degrees(double radians)
{
    return radians * 180 / M_PI;
}

static void give_estimate(const aw_estimate *e, aw_value *v)
{
    v->own[0] = e->value;
    v->own[1] = e->low;
    v->own[2] = e->high;
    v->numbers = v->own;
    v->n = 3;
}

/* --- the spot --- */

AW_GETTER(get_tag)
{
    v->text = scenario_of(s)->tags[explanation_of(s)->tag].name;
    return true;
}

AW_GETTER(get_spot_p95)
{
    give_estimate(&explanation_of(s)->p95, v);
    return true;
}

AW_GETTER(get_azimuth)
{
    v->number = degrees(explanation_of(s)->spread.azimuth);
    return true;
}

AW_GETTER(get_gap)
{
    v->number = degrees(explanation_of(s)->gap);
    return true;
}

AW_GETTER(get_taken)
{
    aw_get_spot_taken(scenario_of(s), explanation_of(s)->spot, v);
    return true;
}

AW_GETTER(get_level)
{
    v->text = aw_spot_level_name(scenario_of(s), explanation_of(s)->spot);
    return true;
}

static const aw_member spot_members[] = {
    AW_NUMBERS("at_m", aw_explanation, spot, 3, "m", "x, y, height of the tag"),
    AW_GOT("tag", TEXT, get_tag, "", "the tag that is computed"),
    AW_COUNT("draws", aw_explanation, draws, "", "draws of every estimate"),
    AW_COUNT("used", aw_explanation, used, "", "anchors that are usable here"),
    AW_GOT("p95_m", NUMBERS, get_spot_p95, "m", "p95, and its 95 % simulation interval"),
    AW_NUMBER("p50_m", aw_explanation, p50, "m", "p50"),
    AW_NUMBER("vertical_p50_m", aw_explanation, vertical_p50, "m",
              "in height; null without a 3d fix"),
    AW_NUMBER("vertical_p95_m", aw_explanation, vertical_p95, "m", "likewise, p95"),
    AW_NUMBER("fix_share", aw_explanation, fix_share, "share", "draws that give a fix"),
    AW_NUMBER("ambiguous_share", aw_explanation, ambiguous_share, "share",
              "draws that fit two places equally well"),
    AW_GOT("azimuth_deg", NUMBER, get_azimuth, "degrees",
           "of the long axis of the expected error, from +x towards +y"),
    AW_NUMBER("along_m", aw_explanation, along, "m", "95 of 100 fixes err by less along it"),
    AW_NUMBER("across_m", aw_explanation, across, "m", "and by less across it"),
    AW_GOT("gap_deg", NUMBER, get_gap, "degrees", "widest fan of bearings without an anchor"),
    AW_GOT("taken_by", TEXT, get_taken, "", "what already fills the spot; null: nothing"),
    AW_GOT("on_level", TEXT, get_level, "", "the level that the tag stands on"),
};
static const aw_shape spot_shape = AW_SHAPE("spot", "A spot explained", spot_members);

AW_GETTER(get_spot)
{
    v->object = (aw_subject){explanation_of(s), s->with, 0, 0};
    return true;
}

/* --- lines of sight --- */

static const char *const states[] = {"clear", "through", "lost", NULL};

static const aw_sightline *line_of(const aw_subject *s)
{
    return s->of;
}

AW_GETTER(get_bearing)
{
    v->number = degrees(line_of(s)->bearing);
    return true;
}

AW_GETTER(get_elevation)
{
    v->number = degrees(line_of(s)->elevation);
    return true;
}

AW_GETTER(get_state)
{
    v->text = states[line_of(s)->link.state];
    return true;
}

AW_GETTER(get_in_range)
{
    v->truth = !line_of(s)->too_far;
    return true;
}

AW_GETTER(get_excess)
{
    const aw_link *link = &line_of(s)->link;
    v->number = link->n_outcomes > 0 ? aw_link_bias(link) : (double)NAN;
    return true;
}

static const aw_member line_members[] = {
    AW_GOT("anchor", TEXT, aw_get_anchor_name, "", "the anchor"),
    AW_GOT("bearing_deg", NUMBER, get_bearing, "degrees", "clockwise from plan north"),
    AW_GOT("elevation_deg", NUMBER, get_elevation, "degrees", "of the anchor over the tag"),
    AW_NUMBER("range_m", aw_sightline, link.range, "m", "straight distance"),
    AW_WORD("state", get_state, states, "state of the link"),
    AW_GOT("in_range", TRUTH, get_in_range, "", "whether the anchor is near enough"),
    AW_TEXT("blocker", aw_sightline, blocker, "what costs most in the way; null: nothing"),
    AW_COUNT("crossed", aw_sightline, crossed, "", "obstacles and walls in the way"),
    AW_NUMBER("loss_db", aw_sightline, link.loss_db, "dB", "that they cost; null: nothing comes"),
    AW_GOT("excess_m", NUMBER, get_excess, "m", "how late the arrival is on average"),
};
static const aw_shape line_shape = AW_SHAPE("line", "A line of sight", line_members);

AW_GETTER(get_line)
{
    if (i >= scenario_of(s)->n_anchors)
        return false;
    v->object = (aw_subject){&explanation_of(s)->lines[i], s->with, i, 0};
    return true;
}

/* --- causes --- */

AW_GETTER(get_cause_key)
{
    v->text = aw_cause_rows[s->i].key;
    return true;
}

AW_GETTER(get_without)
{
    give_estimate(&((const aw_cause *)s->of)->without, v);
    return true;
}

static const aw_member cause_members[] = {
    AW_GOT("cause", TEXT, get_cause_key, "", "what is taken away"),
    AW_GOT("p95_without_m", NUMBERS, get_without, "m",
           "p95 then, and its 95 % simulation interval"),
    AW_NUMBER("gain_m", aw_cause, removal_gain, "m", "p95 less that"),
    AW_NUMBER("fair_part_m", aw_cause, shapley, "m", "mean gain over all orders of taking away"),
};
static const aw_shape cause_shape = AW_SHAPE("cause", "A cause of the error", cause_members);

/* The i-th that is there. */
AW_GETTER(get_cause)
{
    for (size_t kind = 0; kind < AW_CAUSES; kind++)
        if (explanation_of(s)->causes[kind].present && i-- == 0) {
            v->object = (aw_subject){&explanation_of(s)->causes[kind], s->with, kind, 0};
            return true;
        }
    return false;
}

AW_GETTER(get_left)
{
    v->number = explanation_of(s)->p95_without_all;
    return true;
}

/* --- remedies --- */

static const char *const kinds[] = {"add", "height", "move", NULL};

static const aw_remedy *remedy_of(const aw_subject *s)
{
    return &explanation_of(s)->remedies[s->k];
}

AW_GETTER(get_kind)
{
    v->text = kinds[remedy_of(s)->kind];
    return true;
}

AW_GETTER(get_anchor)
{
    const aw_scenario *all = scenario_of(s);
    v->text =
        remedy_of(s)->anchor < all->n_anchors ? all->anchors[remedy_of(s)->anchor].name : NULL;
    return true;
}

AW_GETTER(get_remedy_p95)
{
    give_estimate(&remedy_of(s)->p95, v);
    return true;
}

static const char *const carriers[] = {[AW_CARRIED_STATED] = "candidate",
                                       [AW_CARRIED_WALL] = "wall",
                                       [AW_CARRIED_UNSTATED] = "unstated",
                                       NULL};

AW_GETTER(get_carried)
{
    v->text = carriers[remedy_of(s)->carried];
    return true;
}

AW_GETTER(get_worst_p95)
{
    give_estimate(&remedy_of(s)->worst_p95, v);
    return true;
}

static const char *const shifted[] = {
    [AW_SHIFT_NONE] = "nothing", [AW_SHIFT_PLACE] = "anchor", [AW_SHIFT_SPOT] = "spot",
    [AW_SHIFT_BASE] = "base",    [AW_SHIFT_TOP] = "top",      NULL};

AW_GETTER(get_shifted)
{
    v->text = shifted[remedy_of(s)->worst.kind];
    return true;
}

AW_GETTER(get_shifted_along)
{
    static const char *const axes[] = {"x", "y", "z"};
    const aw_shift *w = &remedy_of(s)->worst;
    v->text = w->kind == AW_SHIFT_PLACE || w->kind == AW_SHIFT_SPOT ? axes[w->of] : NULL;
    return true;
}

AW_GETTER(get_shifted_obstacle)
{
    const aw_shift *w = &remedy_of(s)->worst;
    const bool any = w->kind == AW_SHIFT_BASE || w->kind == AW_SHIFT_TOP;
    v->text = any ? scenario_of(s)->obstacles[w->of].name : NULL;
    return true;
}

AW_GETTER(get_p95_before)
{
    v->number = explanation_of(s)->zones[s->i].errors.p95;
    return true;
}

AW_GETTER(get_met_before)
{
    v->truth = (int)explanation_of(s)->zones[s->i].verdict;
    return true;
}

static const aw_member zone_members[] = {
    AW_GOT("name", TEXT, aw_get_zone_name, "", "its name"),
    AW_NUMBER("p95_m", aw_zone_result, errors.p95, "m", "its p95 then"),
    AW_GOT("p95_before_m", NUMBER, get_p95_before, "m", "its p95 as planned"),
    AW_VERDICT("met", aw_zone_result, verdict, "whether its need is met then; null: undecided"),
    AW_GOT("met_before", VERDICT, get_met_before, "", "whether it is met as planned"),
    AW_PARTS_MEMBER(aw_zone_result, ),
};
static const aw_shape zone_shape = AW_SHAPE("remedied_zone", "A zone after a remedy", zone_members);

AW_GETTER(get_zone)
{
    if (i >= scenario_of(s)->n_zones)
        return false;
    v->object = (aw_subject){&remedy_of(s)->zones[i], s->with, i, s->k};
    return true;
}

static const aw_member remedy_members[] = {
    AW_WORD("kind", get_kind, kinds, "one more anchor, another height, another place"),
    AW_GOT("anchor", TEXT, get_anchor, "", "the anchor that is changed; null: one more"),
    AW_NUMBERS("at_m", aw_remedy, at, 3, "m", "where it then hangs"),
    AW_GOT("p95_m", NUMBERS, get_remedy_p95, "m",
           "p95 of the spot then, and its 95 % simulation interval"),
    AW_WORD("carried", get_carried, carriers,
            "what holds it there: a stated candidate, outline or wall, nothing that is stated"),
    AW_TRUTH("robust", aw_remedy, robust,
             "whether 15 % are gained too with any one shift of 0.2 m of the anchor, the spot, or "
             "base or top of an obstacle near the way"),
    AW_GOT("worst_p95_m", NUMBERS, get_worst_p95, "m",
           "p95 with the shift that harms most, and its 95 % simulation interval"),
    AW_WORD("worst_shift", get_shifted, shifted, "what is shifted then"),
    AW_GOT("worst_along", TEXT, get_shifted_along, "", "along which axis; null: an obstacle"),
    AW_GOT("worst_obstacle", TEXT, get_shifted_obstacle, "", "the obstacle; null: none"),
    AW_NUMBER("worst_by_m", aw_remedy, worst.by, "m", "by how much"),
    AW_NUMBER("price", aw_remedy, price, "currency", "of the change; null without prices"),
    AW_TRUTH("breaks_a_need", aw_remedy, breaks, "whether a need that is met fails then"),
    AW_TRUTH("harms_a_zone", aw_remedy, harms, "that, or a zone's p95 rises by more than 15 %"),
    AW_LIST("zones", get_zone, &zone_shape, "every zone"),
};
static const aw_shape remedy_shape = AW_SHAPE("remedy", "A change that helps", remedy_members);

AW_GETTER(get_remedy)
{
    if (i >= explanation_of(s)->n_remedies)
        return false;
    v->object = (aw_subject){&explanation_of(s)->remedies[i], s->with, 0, i};
    return true;
}

static const aw_member members[] = {
    AW_RUN_MEMBERS,
    AW_OBJECT("spot", get_spot, &spot_shape, "the spot"),
    AW_LIST("lines", get_line, &line_shape, "every anchor's line of sight"),
    AW_LIST("causes", get_cause, &cause_shape, "what the error comes of"),
    AW_GOT("p95_without_all_m", NUMBER, get_left, "m", "p95 with every cause gone"),
    AW_LIST("remedies", get_remedy, &remedy_shape, "what would help, the best first"),
    AW_RUN_END,
};
const aw_shape aw_explanation_shape = AW_SHAPE("explain", "Why a spot is as it is", members);

void aw_explanation_json(const aw_explanation *e, const aw_scenario *s, const char *file,
                         aw_text *out)
{
    const told t = {{s, file}, e};
    aw_document_json(&aw_explanation_shape, &AW_DOCUMENT(t), out);
}
