/* Placings, for programs. */
#include <math.h>

#include "anchorwise.h"
#include "report/parts.h"
#include "report/told.h"

typedef aw_told_placings told;

static const told *told_of(const aw_subject *s)
{
    return s->with;
}

static const aw_placing *placing_of(const aw_subject *s)
{
    return &told_of(s)->placings[s->k];
}

/* --- a zone --- */

static const aw_member zone_members[] = {
    AW_GOT("name", TEXT, aw_get_zone_name, "", "its name"),
    AW_NUMBER("p95_m", aw_zone_result, errors.p95, "m", "its p95"),
    AW_NUMBER("vertical_p95_m", aw_zone_result, errors.vertical_p95, "m",
              "in height; null without a 3d fix"),
    AW_VERDICT("met", aw_zone_result, verdict, "whether its need is met; null: undecided"),
    AW_PARTS_MEMBER(aw_zone_result, ),
};
static const aw_shape zone_shape = AW_SHAPE("placed_zone", "A zone under a layout", zone_members);

/* The i-th zone with a verdict. */
static bool find_zone(const aw_zone_result results[], const aw_subject *s, size_t i, aw_value *v)
{
    for (size_t z = 0; z < told_of(s)->run.scenario->n_zones; z++)
        if (results[z].verdict != AW_NO_NEED && i-- == 0) {
            v->object = (aw_subject){&results[z], s->with, z, s->k};
            return true;
        }
    return false;
}

AW_GETTER(get_zone)
{
    return find_zone(placing_of(s)->zones, s, i, v);
}

AW_GETTER(get_all)
{
    return find_zone(placing_of(s)->all, s, i, v);
}

AW_GETTER(get_confirmed)
{
    return find_zone(placing_of(s)->confirmed, s, i, v);
}

/* --- an anchor --- */

AW_GETTER(get_anchor_price)
{
    v->number = aw_anchor_price(told_of(s)->run.scenario, ((const aw_anchor *)s->of)->at);
    return true;
}

static const aw_member anchor_members[] = {
    AW_TEXT("name", aw_anchor, name, "its name"),
    AW_NUMBERS("at_m", aw_anchor, at, 3, "m", "x, y, height"),
    AW_GOT("price", NUMBER, get_anchor_price, "currency", "of it; null without prices"),
};
static const aw_shape anchor_shape = AW_SHAPE("placed_anchor", "An anchor placed", anchor_members);

AW_GETTER(get_anchor)
{
    if (i >= placing_of(s)->n_anchors)
        return false;
    v->object = (aw_subject){&placing_of(s)->anchors[i], s->with, i, s->k};
    return true;
}

/* --- a placing --- */

static const char *const ends[] = {"left alone", "found", "on the line", "not found", NULL};

AW_GETTER(get_end)
{
    v->text = ends[placing_of(s)->end];
    return true;
}

AW_GETTER(get_stopped)
{
    v->truth = placing_of(s)->stopped;
    return true;
}

AW_GETTER(get_candidates)
{
    v->count = placing_of(s)->candidates.n;
    return true;
}

AW_GETTER(get_price)
{
    v->number = placing_of(s)->price;
    return true;
}

AW_GETTER(get_currency)
{
    v->text = told_of(s)->run.scenario->prices.currency;
    return true;
}

AW_GETTER(get_bound)
{
    v->number = placing_of(s)->bound;
    return true;
}

AW_GETTER(get_is_least)
{
    v->truth = placing_of(s)->is_least;
    return true;
}

AW_GETTER(get_none_can)
{
    v->truth = isinf(placing_of(s)->bound) != 0;
    return true;
}

AW_GETTER(get_met)
{
    v->truth = (int)placing_of(s)->verdict;
    return true;
}

AW_GETTER(get_seed)
{
    v->count = placing_of(s)->seed;
    return true;
}

AW_GETTER(get_layouts)
{
    v->count = placing_of(s)->n_layouts;
    return true;
}

AW_GETTER(get_looks)
{
    v->count = placing_of(s)->n_looks;
    return true;
}

AW_GETTER(get_confirmations)
{
    v->count = placing_of(s)->n_confirmations;
    return true;
}

AW_GETTER(get_own_looks)
{
    v->count = placing_of(s)->n_own;
    return true;
}

AW_GETTER(get_own_met)
{
    v->count = placing_of(s)->n_own_met;
    return true;
}

AW_GETTER(get_confirmed_met)
{
    v->truth = (int)placing_of(s)->confirmed_verdict;
    return true;
}

#define PLACING_MEMBERS                                                                            \
    AW_WORD("end", get_end, ends, "how the search ended"),                                         \
        AW_GOT("stopped", TRUTH, get_stopped, "", "whether it was stopped: the best so far"),      \
        AW_GOT("candidates", COUNT, get_candidates, "", "places that were chosen from"),           \
        AW_LIST("anchors", get_anchor, &anchor_shape, "the layout"),                               \
        AW_GOT("price", NUMBER, get_price, "currency", "of the layout; null without prices"),      \
        AW_GOT("currency", TEXT, get_currency, "", "of the prices"),                               \
        AW_GOT("bound", NUMBER, get_bound, "",                                                     \
               "no layout of these candidates is under this price, or number of anchors; "         \
               "printed from two thirds of the layout's on"),                                      \
        AW_GOT("is_least", TRUTH, get_is_least, "", "whether the layout reaches the bound"),       \
        AW_GOT("none_can", TRUTH, get_none_can, "", "whether no layout meets the needs"),          \
        AW_LIST("zones", get_zone, &zone_shape, "every zone with a need, by the study's seed"),    \
        AW_GOT("met", VERDICT, get_met, "", "whether every need is met; null: undecided"),         \
        AW_GOT("confirming_seed", COUNT, get_seed, "", "seed of independent draws"),               \
        AW_LIST("confirmed", get_confirmed, &zone_shape, "the zones by these"),                    \
        AW_GOT("confirmed_met", VERDICT, get_confirmed_met, "",                                    \
               "whether every need is met by them"),                                               \
        AW_GOT("layouts", COUNT, get_layouts, "", "layouts that were drawn"),                      \
        AW_GOT("looks", COUNT, get_looks, "", "looks at them, each of all zones"),                 \
        AW_GOT("confirmations", COUNT, get_confirmations, "",                                      \
               "layouts that held and were drawn by a seed that chose nothing"),                   \
        AW_GOT("own_looks", COUNT, get_own_looks, "",                                              \
               "looks at this layout, the confirming one apart"),                                  \
        AW_GOT("own_looks_met", COUNT, get_own_met, "", "of these"),                               \
        AW_LIST("all_candidates", get_all, &zone_shape,                                            \
                "where none is found, the zones by all candidates together")

AW_GETTER(get_sturdy)
{
    v->truth = told_of(s)->sturdy;
    return true;
}

#define STURDY AW_GOT("sturdy", TRUTH, get_sturdy, "", "whether with any one anchor lost as well")

static const aw_member one_members[] = {AW_RUN_MEMBERS, STURDY, PLACING_MEMBERS, AW_RUN_END};
const aw_shape aw_placing_shape = AW_SHAPE("place", "Where anchors are placed", one_members);

AW_GETTER(get_asked)
{
    v->number = told_of(s)->p95[s->k];
    return true;
}

static const aw_member placing_members[] = {
    AW_GOT("p95_asked_m", NUMBER, get_asked, "m", "p95 asked of every zone with a need"),
    PLACING_MEMBERS,
};
static const aw_shape placing_shape = AW_SHAPE("placing", "One of several", placing_members);

AW_GETTER(get_placing)
{
    if (i >= told_of(s)->n)
        return false;
    v->object = (aw_subject){&told_of(s)->placings[i], s->with, 0, i};
    return true;
}

static const aw_member several_members[] = {
    AW_RUN_MEMBERS,
    STURDY,
    AW_LIST("placings", get_placing, &placing_shape, "one for each p95 that is asked"),
    AW_RUN_END,
};
const aw_shape aw_placings_shape =
    AW_SHAPE("place_needs", "Price against accuracy", several_members);

void aw_placing_json(const aw_placing *p, const aw_scenario *s, const char *file, bool sturdy,
                     aw_text *out)
{
    const told t = {{s, file}, sturdy, p, NULL, 1};
    aw_document_json(&aw_placing_shape, &AW_DOCUMENT(t), out);
}

void aw_placings_json(const aw_placings *p, const aw_scenario *s, const char *file, aw_text *out)
{
    const told t = {{s, file}, p->sturdy, p->list, p->p95, p->n};
    aw_document_json(&aw_placings_shape, &AW_DOCUMENT(t), out);
}
