/* What follows from a chance in studies: a chance asked is a need divided. And a zone's verdict,
 * its chance and its margin by the table of docs/model.md. */
#include <string.h>

#include "anchorwise/assess.h"
#include "anchorwise/outage.h"
#include "anchorwise/placing.h"
#include "anchorwise/site_law.h"
#include "links.h"

#define HALL                                                                                       \
    "anchorwise: 1\ntitle: Hall\nfloor: {outline: [[0, 0], [24, 0], [24, 16], [0, 16]], "          \
    "ceiling: 6}\nanchors:\n  - {name: a, at: [0.5, 0.5, 5]}\n  - {name: b, at: [23.5, 0.5, 5]}\n" \
    "  - {name: c, at: [23.5, 15.5, 5]}\n  - {name: d, at: [0.5, 15.5, 5]}\n"                      \
    "  - {name: e, at: [12, 15.5, 5]}\n  - {name: f, at: [12, 0.5, 5]}\n"                          \
    "ranging: {%s}\nstudy: {step: 1, draws: 400%s}\nzones: [{name: z, outline: [[3, 3], [21, 3], " \
    "[21, 13], [3, 13]], need: {%s}}]\n"
#define TERMS "start: industrial lab"

static void read_hall(aw_scenario *s, const char *ranging, const char *study, const char *need)
{
    char text[3000];
    snprintf(text, sizeof text, HALL, ranging, study, need);
    read_text(s, text);
}

static aw_zone_result assess(const aw_scenario *s)
{
    aw_zone_result r;
    aw_errors errors = {0};
    ck_assert(aw_assess_zone(&r, s, &s->zones[0], &(aw_run){1, NULL, &errors}));
    aw_errors_free(&errors);
    return r;
}

/* The factor by which 80 % of the sites are worse than the terms of the industrial lab at most. */
static double factor_of(const aw_scenario *s)
{
    const aw_site_factor f = aw_site_factor_of(s, false);
    return aw_site_factor_at(&f, 0.8);
}

/* The same hall, asked by a chance, and by a need that is divided and taken by itself. */
static void read_both(aw_scenario both[2], double p95)
{
    char need[80];
    snprintf(need, sizeof need, "p95: %.12g", p95);
    read_hall(&both[0], TERMS, "", need);
    snprintf(need, sizeof need, "p95: %.12g", p95 / factor_of(&both[0]));
    read_hall(&both[1], TERMS, ", margin: 1", need);
    ck_assert_double_gt(factor_of(&both[0]), 2);
}

START_TEST(places_are_chosen_for_the_chance)
{
    static const double needs[] = {0.5, 0.6, 0.8};
    aw_scenario both[2];
    aw_placing p[2];
    read_both(both, needs[_i]);
    for (int k = 0; k < 2; k++) {
        aw_errors errors = {0};
        const aw_placing_plan plan = {.scenario = &both[k], .afresh = true};
        ck_assert(aw_placing_run(&p[k], &plan, &(aw_run){2, NULL, &errors}));
        ck_assert_int_eq(p[k].end, AW_PLACING_FOUND);
        aw_errors_free(&errors);
    }
    ck_assert_uint_eq(p[0].n_anchors, p[1].n_anchors);
    ck_assert_double_eq_tol(p[0].bound, p[1].bound, 1e-9);
    /* Of layouts with so many anchors either search takes one that holds. */
    ck_assert_double_eq_tol(p[0].zones[0].errors.p95, p[1].zones[0].errors.p95,
                            0.05 * p[1].zones[0].errors.p95);
    ck_assert_double_ge(p[0].zones[0].parts[AW_PART_CHANCE].found.value, 0.8);
    for (int k = 0; k < 2; k++) {
        aw_placing_free(&p[k]);
        aw_scenario_free(&both[k]);
    }
}
END_TEST

START_TEST(outages_fall_short_by_the_chance)
{
    static const double needs[] = {0.5, 0.55, 0.7};
    aw_scenario both[2];
    aw_outage o[2];
    read_both(both, needs[_i]);
    for (int k = 0; k < 2; k++) {
        aw_errors errors = {0};
        ck_assert(aw_outage_run(&o[k], &both[k], &(aw_run){2, NULL, &errors}));
        aw_errors_free(&errors);
    }
    for (size_t loss = 0; loss < o[0].n_losses; loss++)
        ck_assert(aw_outage_at(&o[0], 1, loss)->falls_short ==
                  aw_outage_at(&o[1], 1, loss)->falls_short);
    ck_assert_int_eq(o[0].verdict, o[1].verdict);
    for (int k = 0; k < 2; k++) {
        aw_outage_free(&o[k]);
        aw_scenario_free(&both[k]);
    }
}
END_TEST

/* --- the table of verdicts --- */

START_TEST(a_verdict_follows_chance_and_parts)
{
    static const struct {
        double times; /* the need over p95 by the stated figures */
        const char *ranging;
        aw_verdict verdict;
        bool with_margin, has_chance;
    } cases[] = {
        /* Needs over p95 that chances of 80 and 95 % take, docs/model.md: 1.0 and 2.2; 4.7, 10.4.
         */
        {1.05, "start: not measured", AW_MET, false, true},
        {0.95, "start: not measured", AW_NOT_MET, false, true},
        {2.1, "start: not measured", AW_MET, false, true},
        {2.4, "start: not measured", AW_MET, true, true},
        {4.4, "start: static tag", AW_NOT_MET, false, true},
        {5.0, "start: static tag", AW_MET, false, true},
        {11, "start: static tag", AW_MET, true, true},
        /* The clear hall has 0.92: what misses the stated figure is not met, and not told. */
        {0.96, "start: clear hall", AW_NOT_MET, false, false},
        {0.88, "start: clear hall", AW_NOT_MET, false, true},
        /* Measured near the middle of the law, 40 spots on 3 days: 1.3 and 1.7. */
        {1.2, "sigma: 0.05, spot_sigma: 0.107, measured: {points: 40, days: 3}", AW_NOT_MET, false,
         true},
        {1.45, "sigma: 0.05, spot_sigma: 0.107, measured: {points: 40, days: 3}", AW_MET, false,
         true},
        {1.85, "sigma: 0.05, spot_sigma: 0.107, measured: {points: 40, days: 3}", AW_MET, true,
         true},
    };
    char need[80];
    aw_scenario s;
    read_hall(&s, cases[_i].ranging, "", "p95: 100");
    const double p95 = assess(&s).errors.p95;
    aw_scenario_free(&s);
    snprintf(need, sizeof need, "p95: %.12g", cases[_i].times * p95);
    read_hall(&s, cases[_i].ranging, "", need);
    const aw_zone_result r = assess(&s);
    const aw_part_result *chance = &r.parts[AW_PART_CHANCE];
    ck_assert_int_eq(r.verdict, cases[_i].verdict);
    ck_assert(r.with_margin == cases[_i].with_margin);
    ck_assert(!isnan(chance->found.value) == cases[_i].has_chance);
    if (cases[_i].has_chance)
        ck_assert((chance->found.value >= 0.8) == (r.verdict == AW_MET));
    ck_assert((r.band_high <= s.zones[0].need.p95) == r.with_margin);
    aw_scenario_free(&s);
}
END_TEST

START_TEST(a_margin_asks_of_the_stated_figures_and_tells_no_chance)
{
    aw_scenario s;
    read_hall(&s, "start: static tag", "", "p95: 100");
    const double p95 = assess(&s).errors.p95;
    aw_scenario_free(&s);
    for (int k = 0; k < 2; k++) {
        char need[80];
        snprintf(need, sizeof need, "p95: %.12g, margin: 1.5", (k == 0 ? 1.6 : 1.4) * p95);
        read_hall(&s, "start: static tag", "", need);
        const aw_zone_result r = assess(&s);
        ck_assert_int_eq(r.verdict, k == 0 ? AW_MET : AW_NOT_MET);
        ck_assert(!r.with_margin && isnan(r.parts[AW_PART_CHANCE].found.value));
        aw_scenario_free(&s);
    }
}
END_TEST

/* An installation that is off by its survey: by its own fixes, or by all fixes together. */
START_TEST(installations_and_pooled_figures_give_nearly_the_same_chance)
{
    for (double times = 0.6; times < 3; times *= 1.4) {
        char need[80];
        aw_scenario s;
        read_hall(&s, "start: not measured, survey_sigma: 0.1, delay_sigma: 0.1", "", "p95: 100");
        const double p95 = assess(&s).errors.p95;
        aw_scenario_free(&s);
        snprintf(need, sizeof need, "p95: %.12g", times * p95);
        read_hall(&s, "start: not measured, survey_sigma: 0.1, delay_sigma: 0.1", "", need);
        const aw_site_factor f = aw_site_factor_of(&s, false);
        const aw_zone_result r = assess(&s);
        const double chance = r.parts[AW_PART_CHANCE].found.value;
        if (!isnan(chance))
            ck_assert_double_eq_tol(chance, aw_site_chance(&f, times), 0.04);
        aw_scenario_free(&s);
    }
}
END_TEST

static TCase *all(void)
{
    TCase *c = tcase_create("chance");
    tcase_add_loop_test(c, places_are_chosen_for_the_chance, 0, getenv("AW_WHOLE") != NULL ? 3 : 1);
    tcase_add_loop_test(c, outages_fall_short_by_the_chance, 0, 3);
    tcase_add_loop_test(c, a_verdict_follows_chance_and_parts, 0, 12);
    tcase_add_test(c, a_margin_asks_of_the_stated_figures_and_tells_no_chance);
    tcase_add_test(c, installations_and_pooled_figures_give_nearly_the_same_chance);
    return c;
}

AW_TEST_MAIN("chance", all())
