/* One member for each part of a need, in the order and by the keys of aw_part_rows. */
#include "report/parts.h"

AW_GETTER(get_asked)
{
    v->number = aw_need_asks(s->of, (aw_part)i);
    return true;
}

static const aw_member need_members[] = {
    AW_WHICH("p95_m", NUMBER, get_asked, AW_PART_P95, "m", "p95 is to be at most this"),
    AW_WHICH("share", NUMBER, get_asked, AW_PART_SHARE, "share",
             "cells whose p95 is within the need, at least"),
    AW_WHICH("p50_m", NUMBER, get_asked, AW_PART_P50, "m", "p50, at most"),
    AW_WHICH("p99_m", NUMBER, get_asked, AW_PART_P99, "m", "p99, at most"),
    AW_WHICH("vertical_p95_m", NUMBER, get_asked, AW_PART_VERTICAL_P95, "m",
             "p95 of the height, at most"),
    AW_WHICH("fix_share", NUMBER, get_asked, AW_PART_FIX_SHARE, "share",
             "draws that give a fix, at least"),
    AW_WHICH("zone_share", NUMBER, get_asked, AW_PART_ZONE_SHARE, "share",
             "tags in the zone that are reported in it, at least"),
    AW_NUMBER("chance", aw_need, chance, "share",
              "sites that are to meet the errors; null: as the study asks"),
    AW_NUMBER("margin", aw_need, margin, "times",
              "errors times this are to meet it, in place of a chance; null: none"),
};
const aw_shape aw_need_shape =
    AW_SHAPE("need", "What is asked of a zone; null: not asked", need_members);

static const aw_member verdict_members[] = {
    AW_NUMBER("asked", aw_part_result, asked, "",
              "at most, of a length, a margin taken off; at least, of a share"),
    AW_NUMBER("value", aw_part_result, found.value, "", "what was found"),
    AW_NUMBER("low", aw_part_result, found.low, "", "lower end of its 95 % simulation interval"),
    AW_NUMBER("high", aw_part_result, found.high, "", "upper end"),
    AW_VERDICT("met", aw_part_result, verdict, "whether it is met; null: undecided"),
};
static const aw_shape verdict_shape =
    AW_SHAPE("verdict", "What is asked, what was found, and whether that does", verdict_members);

/* Left out where the verdict does not ask for it. */
AW_GETTER(get_part)
{
    const aw_part_result *p = (const aw_part_result *)s->of + i;
    v->object.of = p;
    return p->verdict != AW_NO_NEED;
}

#define PART(key, part, help) AW_MAY(key, OBJECT, get_part, part, &verdict_shape, help)
static const aw_member parts_members[] = {
    PART("p95_m", AW_PART_P95, "p95"),
    PART("share", AW_PART_SHARE, "share of cells"),
    PART("p50_m", AW_PART_P50, "p50"),
    PART("p99_m", AW_PART_P99, "p99"),
    PART("vertical_p95_m", AW_PART_VERTICAL_P95, "p95 of the height"),
    PART("fix_share", AW_PART_FIX_SHARE, "share of draws with a fix"),
    PART("zone_share", AW_PART_ZONE_SHARE, "share of tags reported in their zone"),
    PART("odds", AW_PART_ODDS, "share of installations that meet p95"),
    PART("chance", AW_PART_CHANCE, "chance that a site meets what is asked of errors"),
};
const aw_shape aw_parts_shape =
    AW_SHAPE("parts", "Every part that counts for a verdict", parts_members);
