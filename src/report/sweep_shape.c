/* Sweeps, for programs. */
#include "anchorwise.h"
#include "report/csv.h"
#include "report/told.h"

typedef aw_told_sweep told;

static const aw_sweep *sweep_of(const aw_subject *s)
{
    return ((const told *)s->with)->sweep;
}

static const char *const kinds[] = {
    [AW_SWEEP_COUNTS] = "anchors", [AW_SWEEP_HEIGHTS] = "height_m", NULL};

/* --- a point --- */

/* Either a number of anchors or a height. */
AW_GETTER(get_at)
{
    v->number = sweep_of(s)->at[s->k];
    return (size_t)sweep_of(s)->kind == i;
}

AW_GETTER(get_price)
{
    v->number = sweep_of(s)->price[s->k];
    return true;
}

AW_GETTER(get_zone_name)
{
    v->text = sweep_of(s)->names[s->i];
    return true;
}

static const aw_member point_zone_members[] = {
    AW_GOT("name", TEXT, get_zone_name, "", "the zone, or \"floor\""),
    AW_NUMBER("p95_m", aw_estimate, value, "m", "its p95"),
    AW_NUMBER("p95_low_m", aw_estimate, low, "m", "lower end of its 95 % simulation interval"),
    AW_NUMBER("p95_high_m", aw_estimate, high, "m", "upper end"),
};
static const aw_shape point_zone_shape =
    AW_SHAPE("swept_zone", "A zone at a point of a sweep", point_zone_members);

AW_GETTER(get_zone)
{
    const aw_sweep *w = sweep_of(s);
    if (i >= w->n_zones)
        return false;
    v->object = (aw_subject){&w->p95[s->k * w->n_zones + i], s->with, i, s->k};
    return true;
}

static const aw_member point_members[] = {
    AW_MAY("anchors", NUMBER, get_at, AW_SWEEP_COUNTS, NULL, "how many; only of counts"),
    AW_MAY("height_m", NUMBER, get_at, AW_SWEEP_HEIGHTS, NULL, "how high; only of heights"),
    AW_GOT("price", NUMBER, get_price, "currency", "of the layout; null without prices"),
    AW_LIST("zones", get_zone, &point_zone_shape, "every zone that is looked at"),
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
    AW_NUMBER("p95_m", aw_estimate, value, "m", "its p95"),
    AW_NUMBER("p95_low_m", aw_estimate, low, "m", "lower end of its 95 % simulation interval"),
    AW_NUMBER("p95_high_m", aw_estimate, high, "m", "upper end"),
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

AW_GETTER(get_says)
{
    v->text = shapes[((const aw_curve_shape *)s->of)->kind];
    return true;
}

static const aw_member curve_members[] = {
    AW_GOT("name", TEXT, get_zone_name, "", "the zone, or \"floor\""),
    AW_GOT("asked_m", NUMBER, get_asked, "m", "p95 that it needs; null: none"),
    AW_WORD(
        "says", get_says, shapes,
        "none: no p95 anywhere; flat: no point betters another by more than 15 %; knee: nothing "
        "is gained from `from` on; falling: better to the end; band: within 15 % of the best"),
    AW_NUMBER("from", aw_curve_shape, from, "", "where that begins"),
    AW_NUMBER("to", aw_curve_shape, to, "", "where it ends"),
    AW_NUMBER("best", aw_curve_shape, best, "", "of a band: where the best is"),
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
