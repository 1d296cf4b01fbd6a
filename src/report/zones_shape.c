/* Zone decisions, for programs. */
#include "anchorwise.h"
#include "report/borders.h"
#include "report/standing.h"
#include "report/told.h"

typedef aw_told_decisions told;

static const told *told_of(const aw_subject *s)
{
    return s->with;
}

/* --- shares of reports --- */

#define SHARE_MEMBERS                                                                              \
    AW_NUMBER("share", aw_estimate, value, "share", "of the draws"),                               \
        AW_NUMBER("low", aw_estimate, low, "share", "lower end of its 95 % simulation interval"),  \
        AW_NUMBER("high", aw_estimate, high, "share", "upper end")

static const aw_member share_members[] = {SHARE_MEMBERS};
static const aw_shape share_shape = AW_SHAPE("share", "A share of the draws", share_members);

static const aw_member reported_members[] = {
    AW_GOT("zone", TEXT, aw_get_zone_name, "", "where a tag is reported"),
    SHARE_MEMBERS,
};
static const aw_shape reported_shape =
    AW_SHAPE("reported", "How often a tag is reported in a zone", reported_members);

AW_GETTER(get_reported)
{
    const aw_zone_decisions *d = s->of;
    if (i >= told_of(s)->run.scenario->n_zones)
        return false;
    v->object = (aw_subject){&d->reported[i], s->with, i, 0};
    return true;
}

/* --- a border --- */

/* Of a side of it: k is 1 inside, 0 outside. */
static const char *const reasons[] = {
    "too narrow", "no fix", "no fix and too narrow", "no room", "no tag can be there", NULL};

AW_GETTER(get_reason)
{
    const aw_setback_reason why = aw_setback_why(s->of, s->k == 1);
    v->text = why == AW_SETBACK_FOUND ? NULL : reasons[why - 1];
    return true;
}

AW_GETTER(get_beyond)
{
    if (s->k == 0)
        return false;
    aw_get_taken(&((const aw_setback *)s->of)->beyond, v);
    return true;
}

static const aw_member border_members[] = {
    AW_NUMBER("setback_m", aw_setback, depth, "m",
              "how far from the border a tag is told rightly 99 times of 100; null: nowhere"),
    AW_NUMBERS("at_m", aw_setback, at, 2, "m", "the border point that asks for it"),
    AW_NUMBER("reported_share", aw_setback, share, "share", "reported in the zone at that place"),
    AW_NUMBERS("place_m", aw_setback, place, 2, "m",
               "where a tag is that far from it, or comes nearest to being told rightly"),
    AW_NUMBER("no_fix_share", aw_setback, no_fix, "share", "without a fix at that place"),
    AW_WORD("none_since", get_reason, reasons, "why there is no setback; null: there is one"),
    AW_MAY("beyond", TEXT, get_beyond, 0, NULL,
           "what no tag can be in across the border there; only inside"),
    AW_COUNT("cramped_points", aw_setback, cramped, "",
             "border points where no tag can be deep enough"),
    AW_NUMBERS("cramped_at_m", aw_setback, cramped_at, 2, "m", "the worst of them"),
    AW_NUMBER("cramped_share", aw_setback, cramped_share, "share",
              "reported in the zone at the best place off it"),
};
static const aw_shape border_shape =
    AW_SHAPE("border", "One side of a zone's border", border_members);

AW_GETTER(get_border)
{
    const aw_zone_decisions *d = s->of;
    v->object = (aw_subject){i == 1 ? &d->inside : &d->outside, s->with, s->i, i};
    return true;
}

/* --- a zone --- */

/* The i-th of the zones that it overlaps. */
AW_GETTER(get_overlap)
{
    const aw_scenario *all = told_of(s)->run.scenario;
    for (size_t z = 0; z < all->n_zones; z++)
        if (z != s->i && aw_zones_overlap(all, s->i, z) && i-- == 0) {
            v->text = all->zones[z].name;
            return true;
        }
    return false;
}

AW_GETTER(get_met)
{
    v->truth = (int)told_of(s)->verdicts[s->i];
    return true;
}

static const aw_member zone_members[] = {
    AW_GOT("name", TEXT, aw_get_zone_name, "", "its name"),
    AW_GOT("tag", TEXT, aw_get_zone_tag, "", "the tag that is computed in it"),
    AW_LIST("reported", get_reported, &reported_shape, "where a tag in it is reported"),
    AW_INSIDE("elsewhere", aw_zone_decisions, elsewhere, &share_shape, "reported in no zone"),
    AW_INSIDE("no_fix", aw_zone_decisions, no_fix, &share_shape, "not reported"),
    AW_WHICH_OBJECT("inside", get_border, 1, &border_shape, "tags in the zone"),
    AW_WHICH_OBJECT("outside", get_border, 0, &border_shape, "tags outside"),
    AW_NUMBER("right_area_share", aw_zone_decisions, right_share, "share",
              "of its area, where a tag is told rightly 99 times of 100"),
    AW_GOT("overlaps", TEXTS, get_overlap, "", "zones that it overlaps"),
    AW_GOT("on_level", TEXT, aw_get_zone_level, "", "the level that its figures are for"),
    AW_GOT("met", VERDICT, get_met, "",
           "whether its need is met; null: undecided, or none is stated"),
};
static const aw_shape zone_shape = AW_SHAPE("decided_zone", "Decisions on a zone", zone_members);

AW_GETTER(get_zone)
{
    const told *t = s->of;
    if (i >= t->run.scenario->n_zones)
        return false;
    v->object = (aw_subject){&t->decisions->zones[i], t, i, 0};
    return true;
}

AW_GETTER(get_right)
{
    v->number = AW_RIGHT;
    return true;
}

static const aw_member members[] = {
    AW_RUN_MEMBERS,
    AW_GOT("right", NUMBER, get_right, "share", "of right decisions that a setback asks for"),
    AW_LIST("zones", get_zone, &zone_shape, "every zone"),
    AW_RUN_END,
};
const aw_shape aw_decisions_shape = AW_SHAPE("zones", "Zone decisions", members);

void aw_decisions_json(const aw_decisions *d, const aw_verdict verdicts[], const aw_scenario *s,
                       const char *file, aw_text *out)
{
    const told t = {{s, file}, d, verdicts};
    aw_document_json(&aw_decisions_shape, &AW_DOCUMENT(t), out);
}
