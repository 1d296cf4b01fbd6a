/* Outages, for programs. */
#include <math.h>

#include "anchorwise.h"
#include "report/parts.h"
#include "report/told.h"
#include "report/words.h"

typedef aw_told_outage told;

static const aw_outage *outage_of(const aw_subject *s)
{
    return ((const told *)s->with)->outage;
}

static const aw_scenario *scenario_of(const aw_subject *s)
{
    return ((const told *)s->with)->run.scenario;
}

static const char *const kinds[] = {"linear estimate", "drawn", NULL};

AW_GETTER(get_kind)
{
    v->text = kinds[i];
    return true;
}

/* --- a place under a loss: place i, loss k --- */

static const aw_member drawn_members[] = {
    AW_NUMBER("p95_m", aw_loss_figures, drawn_p95, "m", "p95 of the fixes"),
    AW_NUMBER("share_meeting", aw_loss_figures, drawn_share, "share",
              "cells whose p95 is within the need"),
    AW_NUMBER("fix_share", aw_loss_figures, drawn_fix_share, "share", "draws that give a fix"),
};
static const aw_shape drawn_shape =
    AW_SHAPE("drawn_loss", "A place under a loss, by draws", drawn_members);

AW_GETTER(get_area_name)
{
    v->text = aw_area_name(scenario_of(s), s->i);
    return true;
}

AW_GETTER(get_drawn)
{
    v->object.of = s->of;
    return ((const aw_loss_figures *)s->of)->is_drawn;
}

AW_GETTER(get_short)
{
    v->truth = s->i == 0 ? -1 : ((const aw_loss_figures *)s->of)->falls_short;
    return true;
}

AW_GETTER(get_short_kind)
{
    v->text = kinds[((const aw_loss_figures *)s->of)->is_drawn];
    return true;
}

static const aw_member place_members[] = {
    AW_GOT("name", TEXT, get_area_name, "", "\"floor\", or the zone's name"),
    AW_WHICH_WORD("kind", get_kind, 0, kinds, "how the figures beside it were found"),
    AW_NUMBER("p95_m", aw_loss_figures, p95, "m", "p95"),
    AW_NUMBER("no_position_share", aw_loss_figures, no_fix, "share", "cells without a position"),
    AW_NUMBER("touched_share", aw_loss_figures, touched, "share",
              "cells that lose their position or whose error rises"),
    AW_NUMBER("share_meeting", aw_loss_figures, share, "share",
              "cells whose p95 is within the need"),
    AW_NUMBER("vertical_p95_m", aw_loss_figures, vertical_p95, "m",
              "p95 of the height, where the need asks for it"),
    AW_OBJECT("drawn", get_drawn, &drawn_shape, "the same by draws; null: not drawn"),
    AW_GOT("falls_short", TRUTH, get_short, "", "whether the zone's need fails; null of the floor"),
    AW_WORD("falls_short_kind", get_short_kind, kinds, "how that was found"),
};
static const aw_shape place_shape =
    AW_SHAPE("place_under_loss", "A place under a loss", place_members);

/* --- a loss --- */

AW_GETTER(get_lost)
{
    const aw_loss *l = &outage_of(s)->losses[s->k];
    if (i >= l->n)
        return false;
    v->text = scenario_of(s)->anchors[l->anchor[i]].name;
    return true;
}

/* Of none and of single ones. */
static bool has_worst(const aw_subject *s)
{
    return outage_of(s)->losses[s->k].n < 2;
}

AW_GETTER(get_worst_p95)
{
    if (has_worst(s))
        v->number = outage_of(s)->worst[s->k].p95;
    return has_worst(s);
}

AW_GETTER(get_worst_at)
{
    if (has_worst(s))
        v->numbers = outage_of(s)->worst[s->k].at;
    v->n = 3;
    return has_worst(s);
}

AW_GETTER(get_worst_kind)
{
    v->text = kinds[1];
    return has_worst(s);
}

AW_GETTER(get_idle)
{
    v->truth = aw_outage_is_idle(outage_of(s), s->k);
    return outage_of(s)->losses[s->k].n == 1;
}

AW_GETTER(get_place)
{
    if (i >= outage_of(s)->n_places)
        return false;
    v->object = (aw_subject){aw_outage_at(outage_of(s), i, s->k), s->with, i, s->k};
    return true;
}

static const aw_member loss_members[] = {
    AW_GOT("lost", TEXTS, get_lost, "", "the anchors that are lost: none, one or two"),
    AW_MAY("worst_cell_p95_m", NUMBER, get_worst_p95, 0, NULL,
           "p95 of the worst cell; not of pairs"),
    AW_MAY("worst_at_m", NUMBERS, get_worst_at, 0, NULL, "where that is"),
    AW_MAY("worst_cell_kind", TEXT, get_worst_kind, 0, NULL, "how it was found: drawn"),
    AW_MAY("changes_nothing", TRUTH, get_idle, 0, NULL, "whether this single loss touches no cell"),
    AW_LIST("places", get_place, &place_shape, "the floor, then every zone"),
};
static const aw_shape loss_shape = AW_SHAPE("loss", "Anchors lost together", loss_members);

AW_GETTER(get_loss)
{
    if (i >= outage_of(s)->n_losses)
        return false;
    v->object = (aw_subject){&outage_of(s)->losses[i], s->with, 0, i};
    return true;
}

/* --- a zone with any one lost --- */

AW_GETTER(get_met_with_all)
{
    v->truth = (int)outage_of(s)->intact[s->i].verdict;
    return true;
}

static const aw_sturdy *judged(const aw_subject *s)
{
    const aw_sturdy *r = s->of;
    return r->verdict != AW_NO_NEED ? r : NULL;
}

AW_GETTER(get_worst_loss)
{
    const aw_sturdy *r = judged(s);
    v->text =
        r != NULL ? scenario_of(s)->anchors[outage_of(s)->losses[r->loss].anchor[0]].name : NULL;
    return true;
}

AW_GETTER(get_p95_then)
{
    const aw_sturdy *r = judged(s);
    v->number = r != NULL ? r->confirmed.errors.p95 : (double)NAN;
    return true;
}

AW_GETTER(get_parts_then)
{
    const aw_sturdy *r = judged(s);
    v->object.of = r != NULL ? r->confirmed.parts : NULL;
    return true;
}

static const aw_member zone_members[] = {
    AW_GOT("name", TEXT, aw_get_zone_name, "", "its name"),
    AW_GOT("met_with_all", VERDICT, get_met_with_all, "", "whether its need is met with all"),
    AW_VERDICT("sturdy", aw_sturdy, verdict, "whether it is met with any one lost"),
    AW_GOT("worst_loss", TEXT, get_worst_loss, "", "the anchor whose loss decides that"),
    AW_GOT("p95_then_m", NUMBER, get_p95_then, "m", "its p95 then"),
    AW_WHICH_WORD("kind", get_kind, 1, kinds, "how that was found"),
    AW_OBJECT("parts", get_parts_then, &aw_parts_shape, "every part that counts for the verdict"),
};
static const aw_shape zone_shape =
    AW_SHAPE("sturdy_zone", "A zone with any one anchor lost", zone_members);

AW_GETTER(get_zone)
{
    if (i >= scenario_of(s)->n_zones)
        return false;
    v->object = (aw_subject){&outage_of(s)->sturdy[i], s->with, i, 0};
    return true;
}

AW_GETTER(get_sturdy)
{
    v->truth = (int)outage_of(s)->verdict;
    return true;
}

static const aw_member members[] = {
    AW_RUN_MEMBERS,
    AW_LIST("losses", get_loss, &loss_shape, "none, then each anchor, then pairs"),
    AW_LIST("zones", get_zone, &zone_shape, "every zone"),
    AW_GOT("sturdy", VERDICT, get_sturdy, "", "whether every need is met with any one anchor lost"),
    AW_RUN_END,
};
const aw_shape aw_outage_shape = AW_SHAPE("outage", "What each anchor's loss costs", members);

void aw_outage_json(const aw_outage *o, const aw_scenario *s, const char *file, aw_text *out)
{
    const told t = {{s, file}, o};
    aw_document_json(&aw_outage_shape, &AW_DOCUMENT(t), out);
}
