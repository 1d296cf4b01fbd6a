/* One small site with every study of it, and what lines of several documents share. */
#ifndef AW_TESTS_DOCUMENTS_SITE_H
#define AW_TESTS_DOCUMENTS_SITE_H

#include "links.h"
#include "documents.h"
#include "radio/paths.h"

#define SITE                                                                                       \
    "anchorwise: 1\ntitle: Hall\nfloor: {outline: [[0,0],[24,0],[24,15],[0,15]], ceiling: 6}\n"    \
    "levels: [{name: stage, outline: [[1,1],[7,1],[7,9],[1,9]], height: 1.8, slab: {thickness: "   \
    "0.2, material: wood}}]\n"                                                                     \
    "obstacles: [{name: press, footprint: [[9,5],[13,5],[13,8],[9,8]], top: 3, material: "         \
    "metal}]\n"                                                                                    \
    "anchors:\n"                                                                                   \
    "  - {name: A1, at: [1, 1.5, 5]}\n  - {name: A2, at: [22.5, 0.5, 4.6]}\n"                      \
    "  - {name: A3, at: [23, 14.5, 5.2]}\n  - {name: A4, at: [1.5, 14, 5.1]}\n"                    \
    "  - {name: A5, at: [12.2, 14.6, 5.6]}\n"                                                      \
    "tags: [{name: cart, height: 1.1, height_sigma: 0.1}, {name: hook, height: 2.5, fix: 3d}]\n"   \
    "zones:\n"                                                                                     \
    "  - {name: west, outline: [[1,1],[7,1],[7,9],[1,9]], need: {p95: 0.9, share: 0.85, p50: "     \
    "0.5, "                                                                                        \
    "p99: 3, fix_share: 0.5, zone_share: 0.7, chance: 0.6}}\n"                                     \
    "  - {name: east, outline: [[6,2],[23,2],[23,13],[6,13]], tag: hook, need: {p95: 1.4, "        \
    "vertical_p95: 4, margin: 1.25}}\n  - {name: rest, outline: [[20,1],[23,1],[23,3],[20,3]]}\n"  \
    "prices: {currency: EUR, anchor: 310, cable: 2.5, cabinet: [1, 1, 1], mounts: [{name: "        \
    "bracket, up_to: 6, price: 48}]}\n"                                                            \
    "candidates: {points: [{name: C1, at: [12, 0.5, 5]}, {name: C2, at: [0.5, 7, 5]}, {name: C3, " \
    "at: [23.5, 8, 5]}]}\n"                                                                        \
    "ranging: {start: clear hall, survey_sigma: 0.03, delay_sigma: 0.05, range: 40, measured: "    \
    "{points: 12, days: 2, where: equipment}}\n"                                                   \
    "study: {step: 2, draws: 100, seed: 4}\n"

/* --- one small site, and every study of it --- */

static struct {
    bool done;
    aw_scenario s, other;
    aw_assessment assessment;
    aw_comparison comparison;
    aw_mismatches mismatches;
    aw_explanation explanation;
    aw_link_trace traces[5];
    aw_outage outage;
    aw_placing placings[2];
    aw_sweep sweep, heights;
    aw_curve_shape bends[8];
    aw_sensitivity sensitivity;
    aw_freedoms freedoms;
    aw_decisions decisions;
    aw_verdict verdicts[3];
    aw_task task;
    aw_task_need task_need;
    aw_errors warnings;
} all;

static const char *const files[] = {"a.yaml", "b.yaml"};
static const double asked[] = {0.8, 1.1}, spot[3] = {3, 4, 2.9};

static void run_place(aw_errors *errors)
{
    const aw_placing_plan plan = {.scenario = &all.s};
    ck_assert(aw_placing_run(&all.placings[0], &plan, &(aw_run){2, NULL, errors}));
    all.placings[1] = all.placings[0];
    all.placings[1].price += 7;
    all.placings[1].end = AW_PLACING_NOT_FOUND;
}

static void run_sweeps(aw_errors *errors)
{
    static const double heights[] = {4, 5};
    const aw_sweep_plan plan = {
        .scenario = &all.s, .kind = AW_SWEEP_HEIGHTS, .at = heights, .n = 2};
    ck_assert(aw_sweep_run(&all.heights, &plan, &(aw_run){2, NULL, errors}));
    all.sweep = all.heights;
    all.sweep.kind = AW_SWEEP_COUNTS;
    all.sweep.bends = all.bends;
    for (size_t z = 0; z < all.sweep.n_zones; z++)
        all.bends[z] = (aw_curve_shape){AW_BEND_KNEE, 4, 5, 5, z == 0, z == 1};
}

static void run_links(void)
{
    aw_scene *scene = aw_scene_create(&all.s);
    for (size_t i = 0; i < all.s.n_anchors; i++)
        aw_link_trace_at(scene, spot, &all.s.anchors[i], &all.traces[i]);
    aw_scene_free(scene);
}

static void vary_site(aw_scenario *scenario, const aw_change changes[], size_t n)
{
    aw_errors errors = {0};
    aw_text site = {0};
    aw_text_add(&site, SITE);
    ck_assert(aw_scenario_vary(scenario, &site, changes, n, &errors));
    aw_text_free(&site);
    aw_errors_free(&errors);
}

/* Once for all tests of this process. */
static void run_all(void)
{
    aw_errors errors = {0};
    if (all.done)
        return;
    vary_site(&all.s, (const aw_change[]){{"study.seed", "4"}}, 1);
    vary_site(&all.other,
              (const aw_change[]){{"ranging.range", "31"}, {"anchors.A1.at", "[1, 1.5, 3.5]"}}, 2);
    ck_assert(aw_assess_run(&all.assessment, &all.s, &(aw_run){2, NULL, &errors}));
    ck_assert(aw_compare_run(&all.comparison, &all.s, &all.other, &(aw_run){2, NULL, &errors}));
    ck_assert(aw_mismatches_find(&all.mismatches, &all.s, &all.other));
    ck_assert(
        aw_explain_run(&all.explanation, &all.s, (aw_point){3, 4}, 1, &(aw_run){2, NULL, &errors}));
    ck_assert(aw_outage_run(&all.outage, &all.s, &(aw_run){2, NULL, &errors}));
    ck_assert(aw_sensitivity_run(&all.sensitivity, &all.s, &(aw_run){2, NULL, &errors}));
    ck_assert(
        aw_freedom_run(&all.freedoms, &all.s, all.s.n_anchors, 1.5, &(aw_run){2, NULL, &errors}));
    ck_assert(aw_freedom_share(&all.freedoms, &all.s,
                               (const bool[]){false, true, false, false, false},
                               &(aw_run){2, NULL, &errors}));
    ck_assert(aw_decisions_run(&all.decisions, &all.s, &(aw_run){2, NULL, &errors}));
    for (size_t z = 0; z < 3; z++)
        all.verdicts[z] = all.assessment.zones[z].verdict;
    run_links();
    run_place(&errors);
    run_sweeps(&errors);
    all.task = (aw_task){3, 1.2, 1000, 2};
    all.task_need = aw_task_asks(&all.task);
    aw_errors_add(&all.warnings, AW_WARNING, 3, 7, "odd");
    aw_errors_add(&all.warnings, AW_ERROR, 4, 8, "bad");
    aw_errors_add(&all.warnings, AW_ERROR, 0, 0, "worse");
    ck_assert_uint_gt(all.explanation.n_remedies, 0);
    aw_errors_free(&errors);
    all.done = true;
}

/* --- what is the same in many --- */

/* A path with one index put in. */
static const char *at(const char *format, size_t i, const char *key)
{
    static char path[4][96];
    static int turn;
    turn = (turn + 1) % 4;
    snprintf(path[turn], sizeof path[turn], format, i, key);
    return path[turn];
}

static int met(aw_verdict v)
{
    return v == AW_MET ? 1 : v == AW_NOT_MET ? 0 : -1;
}

static void hold_head(document *d)
{
    text(d, "anchorwise", AW_VERSION);
    number(d, "format", 1);
    text(d, "scenario.file", "a.yaml");
    text(d, "scenario.title", "Hall");
    length(d, "scenario.set", 1);
    text(d, "scenario.set.0.path", "study.seed");
    text(d, "scenario.set.0.value", "4");
}

static void hold_settings(document *d, const char *under)
{
    char path[96];
    const double value[] = {all.s.study.step, all.s.study.draws, (double)all.s.study.seed,
                            all.s.study.precision};
    const char *const key[] = {"step_m", "draws", "seed", "precision"};
    for (int i = 0; i < 4; i++) {
        snprintf(path, sizeof path, "%s.%s", under, key[i]);
        number(d, path, value[i]);
    }
    snprintf(path, sizeof path, "%s.solver", under);
    text(d, path, all.s.ranging.solver == AW_SOLVER_ROBUST ? "robust" : "plain");
}

static void hold_run(document *d)
{
    hold_head(d);
    hold_settings(d, "settings");
    text(d, "figures", "site");
}

static void numbers(document *d, const char *path, const double values[], size_t n)
{
    char inner[96];
    length(d, path, n);
    for (size_t i = 0; i < n; i++) {
        snprintf(inner, sizeof inner, "%s.%zu", path, i);
        number(d, inner, values[i]);
    }
}

static void hold_estimate(document *d, const char *path, const aw_estimate *e)
{
    char inner[96];
    const double value[] = {e->value, e->low, e->high};
    const char *const key[] = {"value", "low", "high"};
    for (int i = 0; i < 3; i++) {
        snprintf(inner, sizeof inner, "%s.%s", path, key[i]);
        number(d, inner, value[i]);
    }
}

static void hold_three(document *d, const char *path, const aw_estimate *e)
{
    numbers(d, path, (const double[]){e->value, e->low, e->high}, 3);
}

/* The verdicts of a zone, all by one shape; `under` is the path of what has them. */
static void hold_parts(document *d, const char *under, const aw_zone_result *r)
{
    static const char *const key[AW_PARTS] = {[AW_PART_P95] = "p95_m",
                                              [AW_PART_SHARE] = "share",
                                              [AW_PART_P50] = "p50_m",
                                              [AW_PART_P99] = "p99_m",
                                              [AW_PART_VERTICAL_P95] = "vertical_p95_m",
                                              [AW_PART_FIX_SHARE] = "fix_share",
                                              [AW_PART_ZONE_SHARE] = "zone_share",
                                              [AW_PART_ODDS] = "odds",
                                              [AW_PART_CHANCE] = "chance"};
    for (int part = 0; part < AW_PARTS; part++) {
        char path[96];
        const aw_part_result *p = &r->parts[part];
        if (p->verdict == AW_NO_NEED)
            continue;
        snprintf(path, sizeof path, "%s.parts.%s.", under, key[part]);
        const double value[] = {p->asked, p->found.value, p->found.low, p->found.high};
        const char *const member[] = {"asked", "value", "low", "high"};
        char inner[128];
        for (int i = 0; i < 4; i++) {
            snprintf(inner, sizeof inner, "%s%s", path, member[i]);
            number(d, inner, value[i]);
        }
        snprintf(inner, sizeof inner, "%smet", path);
        truth(d, inner, met(p->verdict));
    }
}

static void hold_no_parts(document *d, const char *under)
{
    char path[96];
    snprintf(path, sizeof path, "%s.parts", under);
    text(d, path, NULL);
}

#endif
