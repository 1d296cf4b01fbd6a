/* The assessment as JSON. New members go to the end of their object. */
#include "anchorwise/report.h"

#include <math.h>

#include "base/json.h"
#include "report/standing.h"
#include "report/words.h"

static void add_worst(aw_json *j, const aw_pooled *p)
{
    aw_json_number(j, "worst_cell_p95_m", p->worst_p95);
    aw_json_numbers(j, "worst_at_m", p->worst_at, 3);
}

static void add_vertical(aw_json *j, const aw_pooled *p)
{
    aw_json_number(j, "vertical_p50_m", p->vertical_p50);
    aw_json_number(j, "vertical_p95_m", p->vertical_p95);
}

static void add_floor(aw_json *j, const aw_pooled *p)
{
    aw_json_open(j, "floor", '{');
    aw_json_count(j, "cells", p->cells);
    aw_json_number(j, "p50_m", p->p50);
    aw_json_number(j, "p95_m", p->p95);
    add_worst(j, p);
    aw_json_number(j, "fix_share", p->fix_share);
    aw_json_number(j, "ambiguous_share", p->ambiguous_share);
    add_vertical(j, p);
    aw_json_number(j, "p99_m", p->p99);
    aw_json_close(j, '}');
}

static void add_anchors(aw_json *j, const aw_assessment *a, const aw_scenario *s)
{
    aw_json_open(j, "anchors", '[');
    for (size_t i = 0; i < s->n_anchors; i++) {
        aw_json_open(j, NULL, '{');
        aw_json_string(j, "name", s->anchors[i].name);
        aw_json_numbers(j, "at_m", s->anchors[i].at, 3);
        aw_json_number(j, "used_share", a->used_share[i]);
        aw_json_close(j, '}');
    }
    aw_json_close(j, ']');
}

static void add_need(aw_json *j, const aw_need *need)
{
    if (!aw_need_is_stated(need)) {
        aw_json_string(j, "need", NULL);
        return;
    }
    aw_json_open(j, "need", '{');
    for (int part = 0; part < AW_PARTS; part++)
        if (aw_part_rows[part].ask != NULL)
            aw_json_number(j, aw_part_rows[part].key, aw_need_asks(need, (aw_part)part));
    aw_json_close(j, '}');
}

/* Every part that counts for the verdict. */
static void add_parts(aw_json *j, const aw_part_result parts[])
{
    aw_json_open(j, "parts", '{');
    for (int part = 0; part < AW_PARTS; part++) {
        const aw_part_result *p = &parts[part];
        if (p->verdict == AW_NO_NEED)
            continue;
        aw_json_open(j, aw_part_rows[part].key, '{');
        aw_json_number(j, "asked", p->asked);
        aw_json_number(j, "value", p->found.value);
        aw_json_number(j, "low", p->found.low);
        aw_json_number(j, "high", p->found.high);
        aw_verdict_json(j, "met", p->verdict);
        aw_json_close(j, '}');
    }
    aw_json_close(j, '}');
}

static void add_zone(aw_json *j, const aw_zone_result *r, const aw_scenario *s, size_t zone)
{
    const aw_zone *z = &s->zones[zone];
    const aw_estimate *p95 = &r->parts[AW_PART_P95].found, *odds = &r->parts[AW_PART_ODDS].found;
    aw_json_open(j, NULL, '{');
    aw_json_string(j, "name", z->name);
    aw_json_string(j, "tag", s->tags[z->tag].name);
    aw_json_count(j, "cells", r->errors.cells);
    aw_json_number(j, "p50_m", r->errors.p50);
    aw_json_number(j, "p95_m", r->errors.p95);
    aw_json_number(j, "p95_low_m", p95->low);
    aw_json_number(j, "p95_high_m", p95->high);
    aw_json_number(j, "band_low_m", r->band_low);
    aw_json_number(j, "band_high_m", r->band_high);
    add_worst(j, &r->errors);
    add_vertical(j, &r->errors);
    aw_json_number(j, "share_meeting", r->parts[AW_PART_SHARE].found.value);
    aw_json_number(j, "odds", odds->value);
    aw_json_number(j, "odds_low", odds->low);
    aw_json_number(j, "odds_high", odds->high);
    add_need(j, &z->need);
    aw_verdict_json(j, "met", r->verdict);
    aw_json_number(j, "draws_to_settle", r->draws_to_settle);
    aw_json_number(j, "p99_m", r->errors.p99);
    aw_json_number(j, "fix_share", r->errors.fix_share);
    aw_json_number(j, "zone_share", r->parts[AW_PART_ZONE_SHARE].found.value);
    add_parts(j, r->parts);
    aw_json_string(j, "on_level", aw_level_over_name(s, zone));
    aw_json_count(j, "draws", r->draws);
    aw_json_close(j, '}');
}

static void add_start(aw_json *j, const aw_start *start)
{
    if (start == NULL)
        return;
    aw_json_open(j, "start", '{');
    aw_json_string(j, "name", start->name);
    aw_json_string(j, "measured", start->measured);
    aw_json_string(j, "source", start->source);
    aw_json_number(j, "days_differ_by", start->spread);
    aw_json_close(j, '}');
}

void aw_assessment_json(const aw_assessment *a, const aw_scenario *s, const char *file,
                        aw_text *out)
{
    aw_json json = {.text = out}, *j = &json;
    aw_json_open(j, NULL, '{');
    aw_run_json(j, s, file);
    add_floor(j, &a->floor);
    add_anchors(j, a, s);
    aw_json_open(j, "zones", '[');
    for (size_t i = 0; i < s->n_zones; i++)
        add_zone(j, &a->zones[i], s, i);
    aw_json_close(j, ']');
    aw_verdict_json(j, "met", a->verdict);
    add_start(j, s->ranging.start);
    aw_json_close(j, '}');
    aw_text_add(out, "\n");
}
