/* Sweeps, for programs. */
#include "anchorwise.h"
#include "report/csv.h"
#include "report/parts.h"
#include "report/told.h"

typedef aw_told_sweep told;

static const aw_sweep *sweep_of(const aw_subject *s)
{
    return ((const told *)s->with)->sweep;
}

static const aw_swept *point_of(const aw_subject *s)
{
    return &sweep_of(s)->points[s->k];
}

static const char *const kinds[] = {
    [AW_SWEEP_COUNTS] = "anchors", [AW_SWEEP_HEIGHTS] = "height_m", NULL};

/* --- a point --- */

/* Either a number of anchors or a height. */
AW_GETTER(get_at)
{
    v->number = point_of(s)->at;
    return (size_t)sweep_of(s)->kind == i;
}

AW_GETTER(get_price)
{
    v->number = point_of(s)->price;
    return true;
}

AW_GETTER(get_zone_name)
{
    v->text = sweep_of(s)->names[s->i];
    return true;
}

#define P95 parts[AW_PART_P95].found
#define P95_MEMBERS                                                                                \
    AW_NUMBER("p95_m", aw_zone_result, P95.value, "m", "its p95"),                                 \
        AW_NUMBER("p95_low_m", aw_zone_result, P95.low, "m",                                       \
                  "lower end of its 95 % simulation interval"),                                    \
        AW_NUMBER("p95_high_m", aw_zone_result, P95.high, "m", "upper end")

AW_GETTER(get_worse)
{
    v->truth = point_of(s)->worse[s->i];
    return sweep_of(s)->kind == AW_SWEEP_COUNTS;
}

static const aw_member point_zone_members[] = {
    AW_GOT("name", TEXT, get_zone_name, "", "the zone, or \"floor\""),
    P95_MEMBERS,
    AW_VERDICT("met", aw_zone_result, verdict,
               "whether its need is met; null: undecided, or nothing is asked"),
    AW_PARTS_MEMBER(aw_zone_result, ),
    AW_MAY("worse", TRUTH, get_worse, 0, NULL,
           "whether its p95 is surely larger than with one anchor less; only of counts"),
};
static const aw_shape point_zone_shape =
    AW_SHAPE("swept_zone", "A zone at a point of a sweep", point_zone_members);

AW_GETTER(get_zone)
{
    if (i >= sweep_of(s)->n_zones)
        return false;
    v->object = (aw_subject){&point_of(s)->zones[i], s->with, i, s->k};
    return true;
}

static const aw_member swept_anchor_members[] = {
    AW_TEXT("name", aw_anchor, name, "its name"),
    AW_NUMBERS("at_m", aw_anchor, at, 3, "m", "x, y, height"),
};
static const aw_shape swept_anchor_shape =
    AW_SHAPE("swept_anchor", "An anchor of a point", swept_anchor_members);

AW_GETTER(get_anchor)
{
    if (i >= point_of(s)->n_anchors)
        return false;
    v->object = (aw_subject){&point_of(s)->anchors[i], s->with, i, s->k};
    return true;
}

AW_GETTER(get_score)
{
    v->number = point_of(s)->score;
    return true;
}

AW_GETTER(get_no_better)
{
    v->truth = point_of(s)->no_better;
    return sweep_of(s)->kind == AW_SWEEP_COUNTS;
}

AW_GETTER(get_met)
{
    v->truth = (int)point_of(s)->verdict;
    return true;
}

static const aw_member point_members[] = {
    AW_MAY("anchors", NUMBER, get_at, AW_SWEEP_COUNTS, NULL, "how many; only of counts"),
    AW_MAY("height_m", NUMBER, get_at, AW_SWEEP_HEIGHTS, NULL, "how high; only of heights"),
    AW_GOT("price", NUMBER, get_price, "currency", "of the layout; null without prices"),
    AW_LIST("zones", get_zone, &point_zone_shape, "every zone that is looked at"),
    AW_GOT("met", VERDICT, get_met, "",
           "whether every need is met; null: undecided, or nothing is asked"),
    AW_GOT("score", NUMBER, get_score, "",
           "the largest ratio of any part of any need, found / asked of a length, held to what "
           "stated figures have to meet, (1 - found) / (1 - asked) of a share; null: a zone has no "
           "position"),
    AW_MAY("no_better", TRUTH, get_no_better, 0, NULL,
           "whether its score is larger than that of one anchor less; only of counts"),
    AW_LIST("layout", get_anchor, &swept_anchor_shape, "its anchors"),
};
static const aw_shape point_shape = AW_SHAPE("point", "A point of a sweep", point_members);

AW_GETTER(get_point)
{
    if (i >= sweep_of(s)->n)
        return false;
    v->object = (aw_subject){s->of, s->with, 0, i};
    return true;
}

/* --- a zone at a point, as a row by itself --- */

AW_GETTER(get_set)
{
    const aw_scenario *all = ((const told *)s->with)->run.scenario;
    aw_csv_set(all, &v->room);
    v->text = v->room.at;
    return all->n_changes > 0;
}

static const aw_member row_members[] = {
    AW_MAY("anchors", NUMBER, get_at, AW_SWEEP_COUNTS, NULL, "how many; only of counts"),
    AW_MAY("height_m", NUMBER, get_at, AW_SWEEP_HEIGHTS, NULL, "how high; only of heights"),
    AW_GOT("price", NUMBER, get_price, "currency", "of the layout"),
    AW_GOT("zone", TEXT, get_zone_name, "", "the zone, or \"floor\""),
    P95_MEMBERS,
    AW_GOT("score", NUMBER, get_score, "", "of the layout"),
    AW_MAY("set", TEXT, get_set, 0, NULL, "changes laid over the scenario"),
};
const aw_shape aw_sweep_row_shape = AW_SHAPE("sweep_row", "A line of --csv", row_members);

/* --- a curve --- */

static const char *const shapes[] = {"none", "flat", "knee", "falling", "band", NULL};

AW_GETTER(get_asked)
{
    v->number = sweep_of(s)->asked[s->i];
    return true;
}

AW_GETTER(get_to_meet)
{
    v->number = sweep_of(s)->to_meet[s->i];
    return true;
}

AW_GETTER(get_says)
{
    v->text = shapes[((const aw_curve_shape *)s->of)->kind];
    return true;
}

AW_GETTER(get_is_first)
{
    v->truth = ((const aw_curve_shape *)s->of)->is_first;
    return ((const aw_curve_shape *)s->of)->kind == AW_BEND_KNEE;
}

AW_GETTER(get_falls_on)
{
    v->truth = ((const aw_curve_shape *)s->of)->falls_on;
    return ((const aw_curve_shape *)s->of)->kind == AW_BEND_KNEE;
}

/* Point k of the curve of zone i. */
AW_GETTER(get_curve_at)
{
    v->number = sweep_of(s)->curve_at[s->k];
    return (size_t)sweep_of(s)->kind == i;
}

static const aw_member curve_point_members[] = {
    AW_MAY("anchors", NUMBER, get_curve_at, AW_SWEEP_COUNTS, NULL, "how many; only of counts"),
    AW_MAY("height_m", NUMBER, get_curve_at, AW_SWEEP_HEIGHTS, NULL, "how high; only of heights"),
    AW_NUMBER("p95_m", aw_estimate, value, "m",
              "p95 of the zone; of a number that is no better than the one before, of that"),
    AW_NUMBER("p95_low_m", aw_estimate, low, "m", "lower end of its 95 % simulation interval"),
    AW_NUMBER("p95_high_m", aw_estimate, high, "m", "upper end"),
};
static const aw_shape curve_point_shape =
    AW_SHAPE("curve_point", "A point of a curve", curve_point_members);

AW_GETTER(get_curve_point)
{
    const aw_sweep *w = sweep_of(s);
    if (i >= w->n_curve)
        return false;
    v->object = (aw_subject){&w->curve[i * w->n_zones + s->i], s->with, s->i, i};
    return true;
}

static const aw_member curve_members[] = {
    AW_GOT("name", TEXT, get_zone_name, "", "the zone, or \"floor\""),
    AW_GOT("asked_m", NUMBER, get_asked, "m", "p95 that it needs; null: none"),
    AW_WORD("says", get_says, shapes,
            "none: no p95 anywhere; flat: less than 15 % is gained in all; knee: at `from`, by the "
            "rule of docs/model.md; falling: steadily to the end; band: within 15 % of the best"),
    AW_NUMBER("from", aw_curve_shape, from, "", "where that begins"),
    AW_NUMBER("to", aw_curve_shape, to, "", "where it ends"),
    AW_NUMBER("best", aw_curve_shape, best, "", "of a band: where the best is"),
    AW_GOT("to_meet_m", NUMBER, get_to_meet, "m",
           "p95 that its stated figures have to meet, so that the chance is what is asked or by "
           "the margin; null: none"),
    AW_MAY("is_first", TRUTH, get_is_first, 0, NULL,
           "whether it is only the first number with a position; only of a knee"),
    AW_MAY("falls_on", TRUTH, get_falls_on, 0, NULL,
           "whether 15 % more is gained from it to the end; only of a knee"),
    AW_LIST("points", get_curve_point, &curve_point_shape,
            "of counts every number from the first with a position, whatever was asked for"),
};
static const aw_shape curve_shape = AW_SHAPE("curve", "What a zone's curve says", curve_members);

AW_GETTER(get_curve)
{
    if (i >= sweep_of(s)->n_zones)
        return false;
    v->object = (aw_subject){&sweep_of(s)->bends[i], s->with, i, 0};
    return true;
}

/* --- the document --- */

AW_GETTER(get_kind)
{
    v->text = kinds[sweep_of(s)->kind];
    return true;
}

static const aw_member members[] = {
    AW_RUN_MEMBERS,
    AW_WORD("against", get_kind, kinds, "what is swept"),
    AW_LIST("points", get_point, &point_shape, "every point"),
    AW_LIST("curves", get_curve, &curve_shape, "every zone's curve"),
    AW_RUN_END,
};
const aw_shape aw_sweep_shape = AW_SHAPE("sweep", "Error against number or height", members);

void aw_sweep_json(const aw_sweep *w, const aw_scenario *s, const char *file, aw_text *out)
{
    const told t = {{s, file}, w};
    aw_document_json(&aw_sweep_shape, &AW_DOCUMENT(t), out);
}
