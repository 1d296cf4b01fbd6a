/* What sensitivity, sweep, place and compare print, line by line. */
#ifndef AW_TESTS_DOCUMENTS_WHATIF_H
#define AW_TESTS_DOCUMENTS_WHATIF_H

#include "documents_freedom.h"
#include "documents_site.h"
#include "report/sentences.h"
#include "report/words.h"

/* --- sensitivity --- */

static void say_sensitivity(aw_text *out)
{
    aw_sensitivity_json(&all.sensitivity, &all.s, "a.yaml", out);
}

static void hold_result(document *d, const char *under, const aw_zone_result *r)
{
    char p[96];
    snprintf(p, sizeof p, "%s.p95_m", under);
    number(d, p, r->errors.p95);
    snprintf(p, sizeof p, "%s.odds", under);
    number(d, p, r->parts[AW_PART_ODDS].found.value);
    snprintf(p, sizeof p, "%s.met", under);
    truth(d, p, met(r->verdict));
}

static void hold_ends(document *d, size_t z)
{
    const aw_sensitivity *x = &all.sensitivity;
    aw_assumption order[AW_ASSUMPTIONS];
    char under[64], p[96];
    const size_t n = aw_sensitivity_rank(x, z, order);
    length(d, Z("ranked"), n);
    for (size_t k = 0; k < 2 * n; k++) {
        const aw_assumption a = order[k / 2];
        const aw_sensitivity_end *end = aw_sensitivity_at(x, z, a, (int)(k % 2));
        snprintf(p, sizeof p, "zones.%zu.ranked.%zu.assumed", z, k / 2);
        text(d, p, aw_assumption_rows[a].key);
        snprintf(under, sizeof under, "zones.%zu.ranked.%zu.%s", z, k / 2, k % 2 ? "high" : "low");
        hold_result(d, under, &end->result);
        snprintf(p, sizeof p, "%s.at", under);
        number(d, p, k % 2 ? x->assumed[a].high : x->assumed[a].low);
        snprintf(p, sizeof p, "%s.change_m", under);
        hold_estimate(d, p, &end->change);
        snprintf(p, sizeof p, "%s.draws", under);
        number(d, p, end->result.draws);
    }
}

static void hold_ranges(document *d)
{
    static const char *const units[] = {"m", "m", "share", "times", "dB"};
    size_t n = 0;
    for (int a = 0; a < AW_ASSUMPTIONS; a++) {
        const aw_assumption_range *x = &all.sensitivity.assumed[a];
        if (!x->present)
            continue;
#define A(key) at("assumptions.%zu.%s", n, key)
        text(d, A("assumed"), aw_assumption_rows[a].key);
        text(d, A("unit"), units[aw_assumption_rows[a].unit]);
        number(d, A("low"), x->low);
        number(d, A("today"), x->today);
        number(d, A("high"), x->high);
        truth(d, A("stated"), x->stated);
        text(d, A("footing"), x->stated ? NULL : aw_assumption_rows[a].footing);
        n++;
    }
    length(d, "assumptions", n);
}

/* The zones with a need of which that is so. */
static void hold_left_out(document *d, const char *list, const bool of[], bool so)
{
    char path[96];
    size_t n = 0;
    for (size_t z = 0; z < 3; z++)
        if (aw_need_is_stated(&all.s.zones[z].need) && of[z] == so) {
            snprintf(path, sizeof path, "%s.%zu", list, n++);
            text(d, path, all.s.zones[z].name);
        }
    length(d, list, n);
}

static void hold_tolerances(document *d)
{
    static const char *const keys[] = {"survey", "delay", "height", "clock"};
    length(d, "tolerances", 4);
    for (size_t k = 0; k < 4; k++) {
        const aw_tolerance *t = &all.sensitivity.tolerances[k];
        aw_text reason = {0};
#define T(key) at("tolerances.%zu.%s", k, key)
        if (t->zone < 3)
            aw_reason_words(&t->limit, &reason);
        text(d, T("of"), keys[k]);
        number(d, T("today_m"), t->today);
        number(d, T("most_m"), t->most);
        text(d, T("limit_zone"), t->zone < 3 ? all.s.zones[t->zone].name : NULL);
        text(d, T("limit"), reason.at);
        text(d, T("takes"), aw_tolerance_words((aw_tolerance_kind)k, t->most));
        number(d, T("together_m"), all.sensitivity.budget.most[k]);
        hold_left_out(d, T("left_out"), &all.sensitivity.without_room[k * 3], true);
        aw_text_free(&reason);
    }
}

static void hold_sensitivity(document *d)
{
    hold_run(d);
    hold_ranges(d);
    length(d, "zones", 3);
    for (size_t z = 0; z < 3; z++) {
        const aw_joint *joint = &all.sensitivity.joint[z];
        text(d, Z("name"), all.s.zones[z].name);
        hold_result(d, Z("today"), &all.sensitivity.today[z]);
        hold_parts(d, Z("today"), &all.sensitivity.today[z]);
        hold_ends(d, z);
        number(d, Z("joint.p95_p05_m"), joint->p05);
        number(d, Z("joint.p95_p50_m"), joint->p50);
        number(d, Z("joint.p95_p95_m"), joint->p95);
        hold_estimate(d, Z("joint.share_holding"), &joint->holding);
    }
    hold_estimate(d, "share_holding_all", &all.sensitivity.holding);
    hold_tolerances(d);
    number(d, "budget.looks", (double)all.sensitivity.budget.looks);
    hold_left_out(d, "budget.left_out", all.sensitivity.budget.held, false);
}

/* --- sweep --- */

static void say_counts(aw_text *out)
{
    aw_sweep_json(&all.sweep, &all.s, "a.yaml", out);
}

static void say_heights(aw_text *out)
{
    aw_sweep_json(&all.heights, &all.s, "a.yaml", out);
}

static void hold_swept_layout(document *d, size_t i, const aw_swept *point)
{
    char p[96];
#define SA(key) (snprintf(p, sizeof p, "points.%zu.layout%s", i, key), p)
    length(d, SA(""), point->n_anchors);
    for (size_t k = 0; k < point->n_anchors; k++) {
        const aw_anchor *a = &point->anchors[k];
        snprintf(p, sizeof p, "points.%zu.layout.%zu.name", i, k);
        text(d, p, a->name);
        snprintf(p, sizeof p, "points.%zu.layout.%zu.at_m", i, k);
        numbers(d, p, a->at, 3);
    }
}

static void hold_sweep(document *d, const aw_sweep *w, const char *against)
{
    static const char *const shapes[] = {"none", "flat", "knee", "falling", "band"};
    char p[96];
    hold_run(d);
    text(d, "against", against);
    length(d, "points", w->n);
    for (size_t i = 0; i < w->n; i++) {
        number(d, at("points.%zu.%s", i, against), w->points[i].at);
        number(d, at("points.%zu.%s", i, "price"), w->points[i].price);
        length(d, at("points.%zu.%s", i, "zones"), w->n_zones);
        for (size_t z = 0; z < w->n_zones; z++) {
            const aw_zone_result *r = &w->points[i].zones[z];
            const aw_estimate *e = &r->parts[AW_PART_P95].found;
#define PZ(key) (snprintf(p, sizeof p, "points.%zu.zones.%zu.%s", i, z, key), p)
            text(d, PZ("name"), w->names[z]);
            number(d, PZ("p95_m"), e->value);
            number(d, PZ("p95_low_m"), e->low);
            number(d, PZ("p95_high_m"), e->high);
            truth(d, PZ("met"), met(r->verdict));
            snprintf(p, sizeof p, "points.%zu.zones.%zu", i, z);
            hold_parts(d, p, r);
            if (w->kind == AW_SWEEP_COUNTS)
                truth(d, PZ("worse"), w->points[i].worse[z]);
        }
        truth(d, at("points.%zu.%s", i, "met"), met(w->points[i].verdict));
        number(d, at("points.%zu.%s", i, "score"), w->points[i].score);
        if (w->kind == AW_SWEEP_COUNTS)
            truth(d, at("points.%zu.%s", i, "no_better"), w->points[i].no_better);
        hold_swept_layout(d, i, &w->points[i]);
    }
    length(d, "curves", w->n_zones);
    for (size_t z = 0; z < w->n_zones; z++) {
#define C(key) at("curves.%zu.%s", z, key)
        text(d, C("name"), w->names[z]);
        number(d, C("asked_m"), w->asked[z]);
        text(d, C("says"), shapes[w->bends[z].kind]);
        number(d, C("from"), w->bends[z].from);
        number(d, C("to"), w->bends[z].to);
        number(d, C("best"), w->bends[z].best);
        number(d, C("to_meet_m"), w->to_meet[z]);
        if (w->bends[z].kind == AW_BEND_KNEE) {
            truth(d, C("is_first"), w->bends[z].is_first);
            truth(d, C("falls_on"), w->bends[z].falls_on);
        }
        length(d, C("points"), w->n_curve);
        for (size_t i = 0; i < w->n_curve; i++) {
            const aw_estimate *e = &w->curve[i * w->n_zones + z];
#define CP(key) (snprintf(p, sizeof p, "curves.%zu.points.%zu.%s", z, i, key), p)
            number(d, CP(against), w->curve_at[i]);
            number(d, CP("p95_m"), e->value);
            number(d, CP("p95_low_m"), e->low);
            number(d, CP("p95_high_m"), e->high);
        }
    }
}

static void hold_counts(document *d)
{
    hold_sweep(d, &all.sweep, "anchors");
}

static void hold_heights(document *d)
{
    hold_sweep(d, &all.heights, "height_m");
}

/* --- place --- */

static void say_place(aw_text *out)
{
    aw_placing_json(&all.placings[0], &all.s, "a.yaml", true, out);
}

static void say_placings(aw_text *out)
{
    aw_placings_json(&(aw_placings){all.placings, asked, 2, true}, &all.s, "a.yaml", out);
}

static void hold_placed_zones(document *d, const char *under, const aw_zone_result results[])
{
    char p[96];
    size_t n = 0;
    for (size_t z = 0; z < 3; z++) {
        const aw_zone_result *r = &results[z];
        if (r->verdict == AW_NO_NEED)
            continue;
#define PL(key) (snprintf(p, sizeof p, "%s.%zu.%s", under, n, key), p)
        text(d, PL("name"), all.s.zones[z].name);
        number(d, PL("p95_m"), r->errors.p95);
        number(d, PL("vertical_p95_m"), r->errors.vertical_p95);
        truth(d, PL("met"), met(r->verdict));
        snprintf(p, sizeof p, "%s.%zu", under, n);
        hold_parts(d, p, r);
        n++;
    }
    length(d, under, n);
}

static void hold_placing(document *d, const char *under, const aw_placing *x)
{
    static const char *const ends[] = {"left alone", "found", "on the line", "not found"};
    char p[96], q[96];
#define U(key) (snprintf(p, sizeof p, "%s%s", under, key), p)
    text(d, U("end"), ends[x->end]);
    truth(d, U("stopped"), x->stopped);
    number(d, U("candidates"), (double)x->candidates.n);
    length(d, U("anchors"), x->n_anchors);
    for (size_t i = 0; i < x->n_anchors; i++) {
#define UA(key) (snprintf(q, sizeof q, "%sanchors.%zu.%s", under, i, key), q)
        text(d, UA("name"), x->anchors[i].name);
        numbers(d, UA("at_m"), x->anchors[i].at, 3);
        number(d, UA("price"), aw_anchor_price(&all.s, x->anchors[i].at));
    }
    number(d, U("price"), x->price);
    text(d, U("currency"), "EUR");
    number(d, U("bound"), x->bound);
    truth(d, U("is_least"), x->is_least);
    truth(d, U("none_can"), isinf(x->bound) != 0);
    hold_placed_zones(d, U("zones"), x->zones);
    truth(d, U("met"), met(x->verdict));
    whole(d, U("confirming_seed"), x->seed);
    hold_placed_zones(d, U("confirmed"), x->confirmed);
    truth(d, U("confirmed_met"), met(x->confirmed_verdict));
    number(d, U("layouts"), (double)x->n_layouts);
    number(d, U("looks"), (double)x->n_looks);
    number(d, U("confirmations"), (double)x->n_confirmations);
    number(d, U("own_looks"), (double)x->n_own);
    number(d, U("own_looks_met"), (double)x->n_own_met);
    hold_placed_zones(d, U("all_candidates"), x->all);
}

static void hold_place(document *d)
{
    hold_run(d);
    truth(d, "sturdy", 1);
    hold_placing(d, "", &all.placings[0]);
}

static void hold_placings(document *d)
{
    hold_run(d);
    truth(d, "sturdy", 1);
    length(d, "placings", 2);
    number(d, "placings.0.p95_asked_m", 0.8);
    number(d, "placings.1.p95_asked_m", 1.1);
    hold_placing(d, "placings.0.", &all.placings[0]);
    hold_placing(d, "placings.1.", &all.placings[1]);
}

/* --- compare --- */

static void say_compare(aw_text *out)
{
    const aw_scenario both[] = {all.s, all.other};
    aw_comparisons_json(&all.comparison, both, files, 2, out);
}

static void hold_area(document *d, size_t place)
{
    const aw_area_result *r = place == 0 ? &all.comparison.floor : &all.comparison.zones[place - 1];
    static const char *const better[] = {NULL, "b", "a", NULL};
    const char *name = place == 0 ? "floor" : all.s.zones[place - 1].name;
    aw_text said = {0};
#define X(key) at("comparisons.0.places.%zu.%s", place, key)
    text(d, X("name"), name);
    number(d, X("cells"), (double)r->cells);
    numbers(d, X("p50_m"), r->p50, 2);
    numbers(d, X("p95_m"), r->p95, 2);
    numbers(d, X("share_meeting"), r->share_meeting, 2);
    number(d, X("p95_difference_m"), r->difference);
    number(d, X("p95_difference_low_m"), r->difference_low);
    number(d, X("p95_difference_high_m"), r->difference_high);
    number(d, X("cells_better"), (double)r->better);
    number(d, X("cells_worse"), (double)r->worse);
    text(d, X("better"), better[r->ranking]);
    numbers(d, X("odds"), r->odds, 2);
    numbers(d, X("odds_low"), r->odds_low, 2);
    numbers(d, X("odds_high"), r->odds_high, 2);
    numbers(d, X("chance"), r->chance, 2);
    aw_area_sentence(r, name, AW_METRES, &said);
    text(d, X("verdict"), said.at);
    aw_text_free(&said);
    if (place > 0) {
        length(d, X("met"), 2);
        truth(d, X("met.0"), met(all.comparison.judged[0][place - 1].verdict));
        truth(d, X("met.1"), met(all.comparison.judged[1][place - 1].verdict));
    }
    truth(d, X("told_apart"), r->ranking != AW_NOT_TOLD_APART);
    number(d, X("cells_near"), (double)r->near);
}

static void hold_compare(document *d)
{
    aw_text said = {0};
    text(d, "anchorwise", AW_VERSION);
    number(d, "format", 1);
    length(d, "set", 1);
    text(d, "set.0.path", "study.seed");
    text(d, "set.0.value", "4");
    length(d, "comparisons", 1);
    text(d, "comparisons.0.a", "a.yaml");
    text(d, "comparisons.0.b", "b.yaml");
    numbers(d, "comparisons.0.price",
            (const double[]){aw_layout_price(&all.s), aw_layout_price(&all.other)}, 2);
    length(d, "comparisons.0.places", 4);
    for (size_t place = 0; place < 4; place++)
        hold_area(d, place);
    aw_whole_sentence(&all.comparison, &all.s, &said);
    text(d, "comparisons.0.verdict", said.at);
    aw_text_free(&said);
    length(d, "comparisons.0.met", 2);
    truth(d, "comparisons.0.met.0", met(all.comparison.verdict[0]));
    truth(d, "comparisons.0.met.1", met(all.comparison.verdict[1]));
    hold_settings(d, "comparisons.0.settings");
    length(d, "comparisons.0.differences", all.mismatches.n);
    for (size_t i = 0; i < all.mismatches.n; i++) {
        const aw_mismatch *m = &all.mismatches.list[i];
#define M(key) at("comparisons.0.differences.%zu.%s", i, key)
        text(d, M("what"), m->what);
        text(d, M("unit"), m->unit);
        if (m->unit == NULL) {
            text(d, M("a"), m->words[0]);
            text(d, M("b"), m->words[1]);
        } else {
            number(d, M("a"), m->number[0]);
            number(d, M("b"), m->number[1]);
        }
    }
}

#endif
