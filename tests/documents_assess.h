/* What assess, zones, outage, explain and links print, line by line. */
#ifndef AW_TESTS_DOCUMENTS_ASSESS_H
#define AW_TESTS_DOCUMENTS_ASSESS_H

#include "documents_site.h"
#include "report/links.h"
#include "report/standing.h"

/* --- assess --- */

static void say_assess(aw_text *out)
{
    aw_assessment_json(&all.assessment, &all.s, "a.yaml", out);
}

static void hold_needs(document *d)
{
    number(d, "zones.0.need.p95_m", 0.9);
    number(d, "zones.0.need.share", 0.85);
    number(d, "zones.0.need.p50_m", 0.5);
    number(d, "zones.0.need.p99_m", 3);
    number(d, "zones.0.need.vertical_p95_m", (double)NAN);
    number(d, "zones.0.need.fix_share", 0.5);
    number(d, "zones.0.need.zone_share", 0.7);
    number(d, "zones.0.need.chance", 0.6);
    number(d, "zones.1.need.margin", 1.25);
    number(d, "zones.1.need.vertical_p95_m", 4);
    text(d, "zones.0.chance_of.0", "p95_m");
    text(d, "zones.0.chance_of.1", "share");
    text(d, "zones.0.chance_of.2", "p50_m");
    text(d, "zones.0.chance_of.3", "p99_m");
    text(d, "zones.1.chance_of.1", "vertical_p95_m");
    text(d, "zones.2.need", NULL);
}

static void hold_assessed_zone(document *d, size_t z)
{
    const aw_zone_result *r = &all.assessment.zones[z];
    const aw_estimate *odds = &r->parts[AW_PART_ODDS].found;
#define Z(key) at("zones.%zu.%s", z, key)
    text(d, Z("name"), all.s.zones[z].name);
    text(d, Z("tag"), z == 1 ? "hook" : "cart");
    number(d, Z("cells"), (double)r->errors.cells);
    number(d, Z("p50_m"), r->errors.p50);
    number(d, Z("p95_m"), r->errors.p95);
    number(d, Z("p95_low_m"), r->parts[AW_PART_P95].found.low);
    number(d, Z("p95_high_m"), r->parts[AW_PART_P95].found.high);
    number(d, Z("band_low_m"), r->band_low);
    number(d, Z("band_high_m"), r->band_high);
    number(d, Z("worst_cell_p95_m"), r->errors.worst_p95);
    numbers(d, Z("worst_at_m"), r->errors.worst_at, 3);
    number(d, Z("vertical_p50_m"), r->errors.vertical_p50);
    number(d, Z("vertical_p95_m"), r->errors.vertical_p95);
    number(d, Z("share_meeting"), r->parts[AW_PART_SHARE].found.value);
    number(d, Z("odds"), odds->value);
    number(d, Z("odds_low"), odds->low);
    number(d, Z("odds_high"), odds->high);
    truth(d, Z("met"), met(r->verdict));
    number(d, Z("draws_to_settle"), r->draws_to_settle);
    number(d, Z("p99_m"), r->errors.p99);
    number(d, Z("fix_share"), r->errors.fix_share);
    number(d, Z("zone_share"), r->parts[AW_PART_ZONE_SHARE].found.value);
    text(d, Z("on_level"), z == 0 ? "stage" : NULL);
    number(d, Z("draws"), r->draws);
    number(d, Z("chance"), r->parts[AW_PART_CHANCE].found.value);
    number(d, Z("chance_low"), r->parts[AW_PART_CHANCE].found.low);
    number(d, Z("chance_high"), r->parts[AW_PART_CHANCE].found.high);
    number(d, Z("chance_asked"), z == 0 ? 0.6 : (double)NAN);
    truth(d, Z("with_margin"), r->with_margin);
    length(d, Z("chance_of"), z == 0 ? 4 : z == 1 ? 2 : 0);
    number(d, Z("vertical_band_low_m"), r->vertical_band_low);
    number(d, Z("vertical_band_high_m"), r->vertical_band_high);
    hold_parts(d, at("zones.%zu%s", z, ""), r);
}

static void hold_assess(document *d)
{
    const aw_pooled *p = &all.assessment.floor;
    hold_run(d);
    number(d, "floor.cells", (double)p->cells);
    number(d, "floor.p50_m", p->p50);
    number(d, "floor.p95_m", p->p95);
    number(d, "floor.worst_cell_p95_m", p->worst_p95);
    numbers(d, "floor.worst_at_m", p->worst_at, 3);
    number(d, "floor.fix_share", p->fix_share);
    number(d, "floor.ambiguous_share", p->ambiguous_share);
    number(d, "floor.vertical_p50_m", p->vertical_p50);
    number(d, "floor.vertical_p95_m", p->vertical_p95);
    number(d, "floor.p99_m", p->p99);
    const aw_site_range across = aw_site_range_of(&all.s, false),
                        up = aw_site_range_of(&all.s, true);
    number(d, "floor.band_low_m", p->p95 * across.low);
    number(d, "floor.band_high_m", p->p95 * across.high);
    number(d, "floor.vertical_band_low_m", p->vertical_p95 * up.low);
    number(d, "floor.vertical_band_high_m", p->vertical_p95 * up.high);
    length(d, "anchors", 5);
    for (size_t i = 0; i < 5; i++) {
        text(d, at("anchors.%zu.%s", i, "name"), all.s.anchors[i].name);
        numbers(d, at("anchors.%zu.%s", i, "at_m"), all.s.anchors[i].at, 3);
        number(d, at("anchors.%zu.%s", i, "used_share"), all.assessment.used_share[i]);
    }
    length(d, "zones", 3);
    for (size_t z = 0; z < 3; z++)
        hold_assessed_zone(d, z);
    hold_needs(d);
    truth(d, "met", met(all.assessment.verdict));
    text(d, "start.name", all.s.ranging.start->name);
    text(d, "start.measured", all.s.ranging.start->measured);
    text(d, "start.source", all.s.ranging.start->source);
    number(d, "start.days_differ_by", 1.5);
    number(d, "band_level", 0.9);
    text(d, "footing.kind", "equipment");
    number(d, "footing.systems", 3);
    number(d, "footing.points", 12);
    number(d, "footing.days", 2);
    number(d, "footing.low", across.low);
    number(d, "footing.high", across.high);
    number(d, "footing.vertical_low", up.low);
    number(d, "footing.vertical_high", up.high);
}

/* --- zones --- */

static void say_zones(aw_text *out)
{
    aw_decisions_json(&all.decisions, all.verdicts, &all.s, "a.yaml", out);
}

static void hold_border(document *d, const char *under, const aw_setback *b, bool inside)
{
    static const char *const reason[] = {
        NULL, "too narrow", "no fix", "no fix and too narrow", "no room", "no tag can be there"};
    char p[8][96];
    const char *const key[] = {"setback_m",    "at_m",       "reported_share", "place_m",
                               "no_fix_share", "none_since", "cramped_points", "cramped_at_m"};
    for (int i = 0; i < 8; i++)
        snprintf(p[i], sizeof p[i], "%s.%s", under, key[i]);
    number(d, p[0], b->depth);
    numbers(d, p[1], b->at, 2);
    number(d, p[2], b->share);
    numbers(d, p[3], b->place, 2);
    number(d, p[4], b->no_fix);
    text(d, p[5], reason[aw_setback_why(b, inside)]);
    number(d, p[6], (double)b->cramped);
    numbers(d, p[7], b->cramped_at, 2);
    snprintf(p[0], sizeof p[0], "%s.cramped_share", under);
    number(d, p[0], b->cramped_share);
}

static void hold_share(document *d, const char *under, const aw_estimate *e)
{
    char path[96];
    const double value[] = {e->value, e->low, e->high};
    const char *const key[] = {"share", "low", "high"};
    for (int i = 0; i < 3; i++) {
        snprintf(path, sizeof path, "%s.%s", under, key[i]);
        number(d, path, value[i]);
    }
}

static void hold_decided_zone(document *d, size_t z)
{
    const aw_zone_decisions *x = &all.decisions.zones[z];
    char path[64];
    text(d, Z("name"), all.s.zones[z].name);
    text(d, Z("tag"), z == 1 ? "hook" : "cart");
    length(d, Z("reported"), 3);
    for (size_t i = 0; i < 3; i++) {
        snprintf(path, sizeof path, "zones.%zu.reported.%zu", z, i);
        hold_share(d, path, &x->reported[i]);
        snprintf(path, sizeof path, "zones.%zu.reported.%zu.zone", z, i);
        text(d, path, all.s.zones[i].name);
    }
    hold_share(d, Z("elsewhere"), &x->elsewhere);
    hold_share(d, Z("no_fix"), &x->no_fix);
    hold_border(d, Z("inside"), &x->inside, true);
    hold_border(d, Z("outside"), &x->outside, false);
    number(d, Z("right_area_share"), x->right_share);
    text(d, Z("on_level"), z == 0 ? "stage" : NULL);
    truth(d, Z("met"), met(all.verdicts[z]));
}

static void hold_zones(document *d)
{
    hold_run(d);
    number(d, "right", 0.99);
    length(d, "zones", 3);
    for (size_t z = 0; z < 3; z++)
        hold_decided_zone(d, z);
    for (size_t z = 0; z < 3; z++) {
        const aw_taken *beyond = &all.decisions.zones[z].inside.beyond;
        aw_text words = {0};
        aw_taken_words(beyond, &words);
        text(d, Z("inside.beyond"), beyond->by == AW_TAKEN_BY_NOTHING ? NULL : words.at);
        aw_text_free(&words);
    }
    /* West and east overlap, east and the rest do too. */
    length(d, "zones.0.overlaps", 1);
    text(d, "zones.0.overlaps.0", "east");
    length(d, "zones.1.overlaps", 2);
    text(d, "zones.1.overlaps.0", "west");
    text(d, "zones.1.overlaps.1", "rest");
}

/* --- outage --- */

static void say_outage(aw_text *out)
{
    aw_outage_json(&all.outage, &all.s, "a.yaml", out);
}

static void hold_loss_figures(document *d, size_t loss, size_t place)
{
    const aw_loss_figures *f = aw_outage_at(&all.outage, place, loss);
    char p[96];
#define P(key) (snprintf(p, sizeof p, "losses.%zu.places.%zu.%s", loss, place, key), p)
    text(d, P("name"), place == 0 ? "floor" : all.s.zones[place - 1].name);
    text(d, P("kind"), "linear estimate");
    number(d, P("p95_m"), f->p95);
    number(d, P("no_position_share"), f->no_fix);
    number(d, P("touched_share"), f->touched);
    number(d, P("share_meeting"), f->share);
    number(d, P("vertical_p95_m"), f->vertical_p95);
    if (f->is_drawn) {
        number(d, P("drawn.p95_m"), f->drawn_p95);
        number(d, P("drawn.share_meeting"), f->drawn_share);
        number(d, P("drawn.fix_share"), f->drawn_fix_share);
    } else {
        text(d, P("drawn"), NULL);
    }
    truth(d, P("falls_short"), place == 0 ? -1 : f->falls_short);
    text(d, P("falls_short_kind"), f->is_drawn ? "drawn" : "linear estimate");
}

static void hold_outage(document *d)
{
    const aw_outage *o = &all.outage;
#define L(key) at("losses.%zu.%s", loss, key)
    hold_run(d);
    length(d, "losses", o->n_losses);
    for (size_t loss = 0; loss < o->n_losses; loss++) {
        const aw_loss *l = &o->losses[loss];
        length(d, L("lost"), l->n);
        for (size_t k = 0; k < l->n; k++)
            text(d, at("losses.%zu.lost.%s", loss, k == 0 ? "0" : "1"),
                 all.s.anchors[l->anchor[k]].name);
        if (l->n < 2) {
            number(d, L("worst_cell_p95_m"), o->worst[loss].p95);
            numbers(d, L("worst_at_m"), o->worst[loss].at, 3);
            text(d, L("worst_cell_kind"), "drawn");
        }
        if (l->n == 1)
            truth(d, L("changes_nothing"), aw_outage_is_idle(o, loss));
        length(d, L("places"), 4);
        for (size_t place = 0; place < 4; place++)
            hold_loss_figures(d, loss, place);
    }
    length(d, "zones", 3);
    for (size_t z = 0; z < 3; z++) {
        const aw_sturdy *r = &o->sturdy[z];
        const bool judged = r->verdict != AW_NO_NEED;
        text(d, Z("name"), all.s.zones[z].name);
        truth(d, Z("met_with_all"), met(o->intact[z].verdict));
        if (o->sturdy[z].verdict == AW_NO_NEED)
            hold_no_parts(d, at("zones.%zu%s", z, ""));
        else
            hold_parts(d, at("zones.%zu%s", z, ""), &o->sturdy[z].confirmed);
        truth(d, Z("sturdy"), met(r->verdict));
        text(d, Z("worst_loss"), judged ? all.s.anchors[o->losses[r->loss].anchor[0]].name : NULL);
        number(d, Z("p95_then_m"), judged ? r->confirmed.errors.p95 : (double)NAN);
        text(d, Z("kind"), "drawn");
    }
    truth(d, "sturdy", met(o->verdict));
}

/* --- explain --- */

static void say_explain(aw_text *out)
{
    aw_explanation_json(&all.explanation, &all.s, "a.yaml", out);
}

static double degrees(double radians)
{
    return radians * 180 / M_PI;
}

static void hold_spot(document *d)
{
    const aw_explanation *e = &all.explanation;
    numbers(d, "spot.at_m", e->spot, 3);
    text(d, "spot.tag", "hook");
    number(d, "spot.draws", e->draws);
    number(d, "spot.used", (double)e->used);
    hold_three(d, "spot.p95_m", &e->p95);
    number(d, "spot.p50_m", e->p50);
    number(d, "spot.vertical_p50_m", e->vertical_p50);
    number(d, "spot.vertical_p95_m", e->vertical_p95);
    number(d, "spot.fix_share", e->fix_share);
    number(d, "spot.ambiguous_share", e->ambiguous_share);
    number(d, "spot.azimuth_deg", degrees(e->spread.azimuth));
    number(d, "spot.along_m", e->along);
    number(d, "spot.across_m", e->across);
    number(d, "spot.gap_deg", degrees(e->gap));
    text(d, "spot.taken_by", NULL);
    text(d, "spot.on_level", NULL);
}

static void hold_lines(document *d)
{
    static const char *const states[] = {"clear", "through", "lost"};
    length(d, "lines", 5);
    for (size_t i = 0; i < 5; i++) {
        const aw_sightline *l = &all.explanation.lines[i];
#define S(key) at("lines.%zu.%s", i, key)
        text(d, S("anchor"), all.s.anchors[i].name);
        number(d, S("bearing_deg"), degrees(l->bearing));
        number(d, S("elevation_deg"), degrees(l->elevation));
        number(d, S("range_m"), l->link.range);
        text(d, S("state"), states[l->link.state]);
        truth(d, S("in_range"), !l->too_far);
        text(d, S("blocker"), l->blocker);
        number(d, S("crossed"), (double)l->crossed);
        number(d, S("loss_db"), l->link.loss_db);
        number(d, S("excess_m"), l->link.n_outcomes > 0 ? aw_link_bias(&l->link) : (double)NAN);
    }
}

static void hold_remedy(document *d, size_t i)
{
    static const char *const kinds[] = {"add", "height", "move"};
    const aw_remedy *r = &all.explanation.remedies[i];
    char p[96];
#define R(key) at("remedies.%zu.%s", i, key)
    text(d, R("kind"), kinds[r->kind]);
    text(d, R("anchor"), r->anchor < 5 ? all.s.anchors[r->anchor].name : NULL);
    numbers(d, R("at_m"), r->at, 3);
    hold_three(d, R("p95_m"), &r->p95);
    static const char *const held[] = {"candidate", "wall", "unstated"};
    static const char *const shifted[] = {"nothing", "anchor", "spot", "base", "top"};
    static const char *const axes[] = {"x", "y", "z"};
    const bool obstacle = r->worst.kind >= AW_SHIFT_BASE, none = r->worst.kind == AW_SHIFT_NONE;
    text(d, R("carried"), held[r->carried]);
    truth(d, R("robust"), r->robust);
    hold_three(d, R("worst_p95_m"), &r->worst_p95);
    text(d, R("worst_shift"), shifted[r->worst.kind]);
    text(d, R("worst_along"), obstacle || none ? NULL : axes[r->worst.of]);
    text(d, R("worst_obstacle"), obstacle ? all.s.obstacles[r->worst.of].name : NULL);
    number(d, R("worst_by_m"), r->worst.by);
    number(d, R("price"), r->price);
    truth(d, R("breaks_a_need"), r->breaks);
    truth(d, R("harms_a_zone"), r->harms);
    length(d, R("zones"), 3);
    for (size_t z = 0; z < 3; z++) {
        const aw_zone_result *then = &r->zones[z], *now = &all.explanation.zones[z];
#define RZ(key) (snprintf(p, sizeof p, "remedies.%zu.zones.%zu.%s", i, z, key), p)
        text(d, RZ("name"), all.s.zones[z].name);
        number(d, RZ("p95_m"), then->errors.p95);
        number(d, RZ("p95_before_m"), now->errors.p95);
        truth(d, RZ("met"), met(then->verdict));
        truth(d, RZ("met_before"), met(now->verdict));
        char under[96];
        snprintf(under, sizeof under, "remedies.%zu.zones.%zu", i, z);
        hold_parts(d, under, then);
    }
}

static void hold_explain(document *d)
{
    static const char *const key[AW_CAUSES] = {
        [AW_CAUSE_OBSTACLES] = "obstacles", [AW_CAUSE_DIRECTIONS] = "directions",
        [AW_CAUSE_BIAS] = "bias",           [AW_CAUSE_HEIGHT] = "height",
        [AW_CAUSE_SPOT] = "spot",           [AW_CAUSE_INSTALLATION] = "installation"};
    size_t n = 0;
    hold_run(d);
    hold_spot(d);
    hold_lines(d);
    for (int kind = 0; kind < AW_CAUSES; kind++) {
        const aw_cause *c = &all.explanation.causes[kind];
        if (!c->present)
            continue;
        text(d, at("causes.%zu.%s", n, "cause"), key[kind]);
        hold_three(d, at("causes.%zu.%s", n, "p95_without_m"), &c->without);
        number(d, at("causes.%zu.%s", n, "gain_m"), c->removal_gain);
        number(d, at("causes.%zu.%s", n++, "fair_part_m"), c->shapley);
    }
    length(d, "causes", n);
    number(d, "p95_without_all_m", all.explanation.p95_without_all);
    length(d, "remedies", all.explanation.n_remedies);
    for (size_t i = 0; i < all.explanation.n_remedies; i++)
        hold_remedy(d, i);
}

/* --- links --- */

static void say_links(aw_text *out)
{
    aw_traces_json(all.traces, &all.s, "a.yaml", spot, out);
}

static void hold_paths(document *d, size_t i)
{
    static const char *const kinds[] = {[AW_PATH_DIRECT] = "direct",
                                        [AW_PATH_THROUGH] = "through",
                                        [AW_PATH_OVER] = "over",
                                        [AW_PATH_AROUND] = "around",
                                        [AW_PATH_MIRRORED] = "mirrored"};
    const aw_link_trace *a = &all.traces[i];
    char p[96];
    length(d, at("links.%zu.%s", i, "paths"), a->n_paths);
    for (size_t k = 0; k < a->n_paths; k++) {
        const aw_path *x = &a->paths[k];
#define LP(key) (snprintf(p, sizeof p, "links.%zu.paths.%zu.%s", i, k, key), p)
        text(d, LP("kind"), kinds[x->kind]);
        text(d, LP("meets"), x->n_meets > 0 ? x->meets : NULL);
        number(d, LP("met"), (double)x->n_meets);
        number(d, LP("loss_db"), x->loss_db);
        number(d, LP("excess_m"), x->excess);
        number(d, LP("power_dbm"), x->power_dbm);
        number(d, LP("found_share"), x->found);
        number(d, LP("first_share"), x->first);
    }
}

static void hold_link(document *d, size_t i)
{
    static const char *const states[] = {"clear", "obstructed", "lost"};
    const aw_link_trace *a = &all.traces[i];
#define K(key) at("links.%zu.%s", i, key)
    text(d, K("name"), all.s.anchors[i].name);
    numbers(d, K("at_m"), all.s.anchors[i].at, 3);
    text(d, K("link"), states[a->link.state]);
    number(d, K("range_m"), a->link.range);
    number(d, K("elevation_deg"), a->elevation / (M_PI / 180));
    number(d, K("received_share"), a->received);
    text(d, K("why_lost"),
         a->hindrance == AW_HINDRANCE_NONE ? NULL : aw_hindrance_name(a->hindrance));
    number(d, K("bias_m"), a->bias);
    number(d, K("white_m"), a->link.white);
    number(d, K("spot_m"), a->link.spot);
    number(d, K("tail_share"), a->link.tail_share);
    number(d, K("tail_m"), a->link.tail);
    number(d, K("survey_m"), a->link.survey);
    number(d, K("delay_m"), a->link.delay);
    number(d, K("believed_m"), a->link.believed);
    number(d, K("weight_share"), aw_trace_weight(all.traces, 5, i));
    number(d, K("snr_db"), a->snr_db);
    number(d, K("path_loss_db"), a->path_loss_db);
    number(d, K("law_db"), a->law_db);
    truth(d, K("law_extrapolated"), isnan(a->law_db) ? -1 : a->law_extrapolated);
    hold_paths(d, i);
}

static void hold_links(document *d)
{
    hold_head(d);
    numbers(d, "spot_m", spot, 3);
    text(d, "taken_by", NULL);
    text(d, "on_level", "stage");
    length(d, "links", 5);
    for (size_t i = 0; i < 5; i++)
        hold_link(d, i);
}

#endif
