/* The assessment as JSON. New members go to the end of their object. */
#include "anchorwise/report.h"
#include "anchorwise/site_law.h"
#include "report/parts.h"
#include "report/told.h"
#include "report/worth.h"

#include <math.h>

typedef aw_told_assessment told;

static const told *told_of(const aw_subject *s)
{
    return s->with;
}

/* --- a place --- */

/* Of a floor or a zone: what all cells make together. */
#define WORST_MEMBERS(type, inside)                                                                \
    AW_NUMBER("worst_cell_p95_m", type, inside worst_p95, "m",                                     \
              "p95 of the worst cell, drawn 16 times as often; null if some cell has none"),       \
        AW_NUMBERS("worst_at_m", type, inside worst_at, 3, "m", "where that is: x, y, height")
#define VERTICAL_MEMBERS(type, inside)                                                             \
    AW_NUMBER("vertical_p50_m", type, inside vertical_p50, "m",                                    \
              "half of the fixes err by at most this in height; null without a 3d fix"),           \
        AW_NUMBER("vertical_p95_m", type, inside vertical_p95, "m", "95 of 100 fixes, in height")

/* Of the range: 0 and 1 its ends, 2 and 3 those of the height. */
AW_GETTER(get_floor_band)
{
    const told *t = s->with;
    const aw_site_range range = aw_site_range_of(t->run.scenario, i > 1);
    const aw_pooled *floor = &t->assessment->floor;
    v->number = (i > 1 ? floor->vertical_p95 : floor->p95) * (i % 2 == 1 ? range.high : range.low);
    return true;
}

static const aw_member floor_members[] = {
    AW_COUNT("cells", aw_pooled, cells, "", "cells that a tag can be in"),
    AW_NUMBER("p50_m", aw_pooled, p50, "m", "half of the fixes err by at most this"),
    AW_NUMBER("p95_m", aw_pooled, p95, "m", "95 of 100 fixes err by at most this"),
    WORST_MEMBERS(aw_pooled, ),
    AW_NUMBER("fix_share", aw_pooled, fix_share, "share", "draws that give a fix"),
    AW_NUMBER("ambiguous_share", aw_pooled, ambiguous_share, "share",
              "draws that fit two places equally well"),
    VERTICAL_MEMBERS(aw_pooled, ),
    AW_NUMBER("p99_m", aw_pooled, p99, "m", "99 of 100 fixes err by at most this"),
    AW_WHICH("band_low_m", NUMBER, get_floor_band, 0, "m",
             "lower end of the range of p95: where nine sites in ten are expected"),
    AW_WHICH("band_high_m", NUMBER, get_floor_band, 1, "m", "upper end"),
    AW_WHICH("vertical_band_low_m", NUMBER, get_floor_band, 2, "m",
             "lower end of the range of the height's p95"),
    AW_WHICH("vertical_band_high_m", NUMBER, get_floor_band, 3, "m", "upper end"),
};
static const aw_shape floor_shape =
    AW_SHAPE("floor", "The whole floor, by the default tag", floor_members);

/* --- anchors --- */

AW_GETTER(get_used)
{
    v->number = told_of(s)->assessment->used_share[s->i];
    return true;
}

static const aw_member anchor_members[] = {
    AW_TEXT("name", aw_anchor, name, "its name"),
    AW_NUMBERS("at_m", aw_anchor, at, 3, "m", "x, y, height"),
    AW_GOT("used_share", NUMBER, get_used, "share", "cells in which it is usable"),
};
static const aw_shape anchor_shape = AW_SHAPE("anchor", "An anchor", anchor_members);

AW_GETTER(get_anchor)
{
    const told *t = s->of;
    if (i >= t->run.scenario->n_anchors)
        return false;
    v->object = (aw_subject){&t->run.scenario->anchors[i], t, i, 0};
    return true;
}

/* --- zones --- */

static const aw_zone *zone_of(const aw_subject *s)
{
    return &told_of(s)->run.scenario->zones[s->i];
}

AW_GETTER(get_need)
{
    v->object.of = &zone_of(s)->need;
    return aw_need_is_stated(&zone_of(s)->need);
}

AW_GETTER(get_chance_asked)
{
    v->number = aw_need_chance(&zone_of(s)->need, &told_of(s)->run.scenario->study);
    return true;
}

/* The errors that the need asks for, and the share of cells, which is of their p95. */
AW_GETTER(get_chance_of)
{
    const aw_need *need = &zone_of(s)->need;
    for (int part = 0; part < AW_PARTS; part++) {
        const bool error = aw_part_rows[part].is_length || part == AW_PART_SHARE;
        if (!error || isnan(aw_need_asks(need, (aw_part)part)) || i-- > 0)
            continue;
        v->text = aw_part_rows[part].key;
        return true;
    }
    return false;
}

#define OF(part, member) parts[part].found.member
static const aw_member zone_members[] = {
    AW_GOT("name", TEXT, aw_get_zone_name, "", "its name"),
    AW_GOT("tag", TEXT, aw_get_zone_tag, "", "the tag that is computed in it"),
    AW_COUNT("cells", aw_zone_result, errors.cells, "", "cells that a tag can be in"),
    AW_NUMBER("p50_m", aw_zone_result, errors.p50, "m", "half of the fixes err by at most this"),
    AW_NUMBER("p95_m", aw_zone_result, errors.p95, "m", "95 of 100 fixes err by at most this"),
    AW_NUMBER("p95_low_m", aw_zone_result, OF(AW_PART_P95, low), "m",
              "lower end of the 95 % simulation interval of p95"),
    AW_NUMBER("p95_high_m", aw_zone_result, OF(AW_PART_P95, high), "m", "upper end"),
    AW_NUMBER("band_low_m", aw_zone_result, band_low, "m",
              "lower end of the range of p95: where nine sites in ten are expected"),
    AW_NUMBER("band_high_m", aw_zone_result, band_high, "m", "upper end"),
    WORST_MEMBERS(aw_zone_result, errors.),
    VERTICAL_MEMBERS(aw_zone_result, errors.),
    AW_NUMBER("share_meeting", aw_zone_result, OF(AW_PART_SHARE, value), "share",
              "cells whose p95 is within the need"),
    AW_NUMBER("odds", aw_zone_result, OF(AW_PART_ODDS, value), "share",
              "installations that meet the need of p95"),
    AW_NUMBER("odds_low", aw_zone_result, OF(AW_PART_ODDS, low), "share",
              "lower end of the 95 % interval of the odds"),
    AW_NUMBER("odds_high", aw_zone_result, OF(AW_PART_ODDS, high), "share", "upper end"),
    AW_OBJECT("need", get_need, &aw_need_shape, "what is asked; null if nothing is"),
    AW_VERDICT("met", aw_zone_result, verdict,
               "whether the need is met; null: undecided, or nothing is asked"),
    AW_NUMBER("draws_to_settle", aw_zone_result, draws_to_settle, "",
              "draws that would decide an undecided zone; null if none would"),
    AW_NUMBER("p99_m", aw_zone_result, errors.p99, "m", "99 of 100 fixes err by at most this"),
    AW_NUMBER("fix_share", aw_zone_result, errors.fix_share, "share", "draws that give a fix"),
    AW_NUMBER("zone_share", aw_zone_result, OF(AW_PART_ZONE_SHARE, value), "share",
              "tags in the zone that are reported in it"),
    AW_PARTS_MEMBER(aw_zone_result, ),
    AW_GOT("on_level", TEXT, aw_get_zone_level, "", "the level that its figures are for"),
    AW_COUNT("draws", aw_zone_result, draws, "", "draws of each of its cells"),
    AW_NUMBER("chance", aw_zone_result, OF(AW_PART_CHANCE, value), "share",
              "sites, equipped and built as the scenario says, that meet what is asked of errors; "
              "null: none is asked, or another part is not met"),
    AW_NUMBER("chance_low", aw_zone_result, OF(AW_PART_CHANCE, low), "share",
              "lower end of the 95 % simulation interval of the chance"),
    AW_NUMBER("chance_high", aw_zone_result, OF(AW_PART_CHANCE, high), "share", "upper end"),
    AW_GOT("chance_asked", NUMBER, get_chance_asked, "share",
           "that is asked, at least; null: a margin stands in its place, or no error is asked for"),
    AW_GOT("chance_of", TEXTS, get_chance_of, "", "the parts of the need that it is of"),
    AW_TRUTH("with_margin", aw_zone_result, with_margin,
             "whether the need is met at a chance of 0.95 or more"),
    AW_NUMBER("vertical_band_low_m", aw_zone_result, vertical_band_low, "m",
              "lower end of the range of the height's p95"),
    AW_NUMBER("vertical_band_high_m", aw_zone_result, vertical_band_high, "m", "upper end"),
};
static const aw_shape zone_shape = AW_SHAPE("zone", "A zone as assessed", zone_members);

AW_GETTER(get_zone)
{
    const told *t = s->of;
    if (i >= t->run.scenario->n_zones)
        return false;
    v->object = (aw_subject){&t->assessment->zones[i], t, i, 0};
    return true;
}

/* --- the document --- */

AW_GETTER(get_days)
{
    v->number = AW_VISIT_FACTOR;
    return true;
}

static const aw_member start_members[] = {
    AW_TEXT("name", aw_start, name, "as `ranging` names it"),
    AW_TEXT("measured", aw_start, measured, "what was measured, and where"),
    AW_TEXT("source", aw_start, source, "by whom"),
    AW_GOT("days_differ_by", NUMBER, get_days, "times",
           "how far nine visits in ten to a site lie from the middle, either way"),
};
static const aw_shape start_shape =
    AW_SHAPE("start", "Where the figures of `ranging` were measured", start_members);

AW_GETTER(get_floor)
{
    v->object = (aw_subject){&((const told *)s->of)->assessment->floor, s->of, 0, 0};
    return true;
}

AW_GETTER(get_verdict)
{
    v->truth = (int)((const told *)s->of)->assessment->verdict;
    return true;
}

AW_GETTER(get_start)
{
    v->object.of = ((const told *)s->of)->run.scenario->ranging.start;
    return v->object.of != NULL;
}

/* --- what the range and the chance rest on --- */

AW_GETTER(get_footing_kind)
{
    v->text = aw_footing_word(s->of);
    return true;
}

AW_GETTER(get_systems)
{
    v->count = aw_measured_systems_n;
    return true;
}

AW_GETTER(get_measured)
{
    const aw_measured *m = &((const aw_scenario *)s->of)->ranging.measured;
    const uint32_t of[] = {m->points, m->points > 0 ? m->days : 0};
    v->count = of[i];
    return true;
}

AW_GETTER(get_factor)
{
    const aw_site_range range = aw_site_range_of(s->of, i > 1);
    v->number = i % 2 == 0 ? range.low : range.high;
    return true;
}

static const aw_member footing_members[] = {
    AW_WORD("kind", get_footing_kind, aw_footing_words_list,
            "measured at this site, with the same equipment elsewhere, or not at all"),
    AW_GOT("systems", COUNT, get_systems, "", "measured systems that the law of sites rests on"),
    AW_WHICH("points", COUNT, get_measured, 0, "", "spots measured; 0 without a measurement"),
    AW_WHICH("days", COUNT, get_measured, 1, "", "on so many days"),
    AW_WHICH("low", NUMBER, get_factor, 0, "times",
             "errors at the lower end of the range, over the stated ones"),
    AW_WHICH("high", NUMBER, get_factor, 1, "times", "at the upper end"),
    AW_WHICH("vertical_low", NUMBER, get_factor, 2, "times", "of the height, lower end"),
    AW_WHICH("vertical_high", NUMBER, get_factor, 3, "times", "upper end"),
};
static const aw_shape footing_shape =
    AW_SHAPE("footing", "What the range and the chance rest on", footing_members);

AW_GETTER(get_footing)
{
    v->object.of = ((const told *)s->of)->run.scenario;
    return true;
}

AW_GETTER(get_band_level)
{
    v->number = AW_RANGE_SHARE;
    return true;
}

static const aw_member members[] = {
    AW_RUN_MEMBERS,
    AW_OBJECT("floor", get_floor, &floor_shape, "the whole floor"),
    AW_LIST("anchors", get_anchor, &anchor_shape, "every anchor"),
    AW_LIST("zones", get_zone, &zone_shape, "every zone"),
    AW_GOT("met", VERDICT, get_verdict, "",
           "whether every need is met; null: undecided, or none is stated"),
    AW_MAY("start", OBJECT, get_start, 0, &start_shape,
           "where the figures of `ranging` were measured"),
    AW_GOT("band_level", NUMBER, get_band_level, "share", "sites that a range holds"),
    AW_OBJECT("footing", get_footing, &footing_shape, "what the range and the chance rest on"),
    AW_RUN_END,
};
const aw_shape aw_assessment_shape = AW_SHAPE("assess", "The assessment", members);

void aw_assessment_json(const aw_assessment *a, const aw_scenario *s, const char *file,
                        aw_text *out)
{
    const told t = {{s, file}, a};
    aw_document_json(&aw_assessment_shape, &AW_DOCUMENT(t), out);
}
