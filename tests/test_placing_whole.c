/* The whole of a placing: search, draws, bound, the draws that chose nothing, the text written. */
#include <string.h>

#include "anchorwise.h"
#include "aw_test.h"

typedef struct site {
    aw_text text;
    aw_scenario scenario;
} site;

static void close_site(site *s)
{
    aw_scenario_free(&s->scenario);
    aw_text_free(&s->text);
}

static void run_study(aw_placing *p, site *s, bool sturdy, bool afresh, unsigned threads,
                      const bool keep[])
{
    aw_errors errors = {0};
    const aw_placing_plan plan = {&s->scenario, keep, sturdy, afresh};
    ck_assert(aw_scenario_parse(&s->scenario, s->text.at, s->text.n, &errors));
    ck_assert_msg(aw_placing_run(p, &plan, &(aw_run){threads, NULL, &errors}), "%s",
                  errors.n ? errors.list[0].text : "");
    aw_errors_free(&errors);
}

static const char hall[] =
    "anchorwise: 1 # a remark\ntitle: hall\n"
    "floor: {outline: [[0, 0], [20, 0], [20, 12], [0, 12]], ceiling: 6}\n"
    "anchors:\n"
    "  - {name: A1, at: [0.5, 0.5, 4]} # south-west\n"
    "  - {name: A2, at: [19.5, 0.5, 4]}\n  - {name: A3, at: [19.5, 11.5, 4]}\n"
    "%s"
    "candidates:\n  lines:\n"
    "    - {name: wall, path: [[0.5, 0.5], [19.5, 0.5], [19.5, 11.5], [0.5, 11.5], [0.5, 1]], "
    "spacing: 3.8, low: 4}\n"
    "ranging: {sigma: 0.1, tail_share: 0.1, tail_sigma: 0.3, spot_sigma: 0.1}\n"
    "zones: [{name: z, outline: [[2, 2], [18, 2], [18, 10], [2, 10]], need: {p95: %g}}]\n"
    "study: {step: 2, draws: 400, seed: 3, margin: 1}\n";

START_TEST(a_sufficient_layout_is_left_alone)
{
    site s = {0};
    aw_placing p;
    aw_text_format(&s.text, hall, "  - {name: A4, at: [0.5, 11.5, 4]}\n", 1.0);
    run_study(&p, &s, false, false, 1, NULL);
    ck_assert_int_eq(p.end, AW_PLACING_LEFT);
    ck_assert_uint_eq(p.n_anchors, 4);
    for (size_t i = 0; i < 4; i++)
        ck_assert_str_eq(p.anchors[i].name, s.scenario.anchors[i].name);
    ck_assert_int_eq(p.confirmed_verdict, AW_MET);
    aw_placing_free(&p);
    close_site(&s);
}
END_TEST

START_TEST(what_is_found_meets_its_needs_by_draws_and_in_the_text_it_writes)
{
    site s = {0};
    aw_placing p;
    aw_errors errors = {0};
    size_t length;
    bool keep[3] = {true, false, false};
    aw_text_format(&s.text, hall, "", 0.4);
    run_study(&p, &s, false, false, 2, keep);
    ck_assert_int_eq(p.end, AW_PLACING_FOUND);
    ck_assert_str_eq(p.anchors[0].name, "A1");
    ck_assert_double_le(p.bound, (double)p.n_anchors);
    aw_edit *edit = aw_edit_create(s.text.at, s.text.n, &errors);
    ck_assert(aw_placing_write(&p, &s.scenario, edit, &errors));
    const char *text = aw_edit_text(edit, &length);
    ck_assert_ptr_nonnull(strstr(text, "anchorwise: 1 # a remark\n"));
    ck_assert_ptr_nonnull(strstr(text, "  - {name: A1, at: [0.5, 0.5, 4]} # south-west\n"));
    aw_scenario written;
    aw_assessment a;
    ck_assert(aw_scenario_parse(&written, text, length, &errors));
    ck_assert_uint_eq(written.n_anchors, p.n_anchors);
    ck_assert(aw_assess_run(&a, &written, &(aw_run){1, NULL, &errors}));
    ck_assert_int_eq(a.verdict, AW_MET);
    ck_close(a.zones[0].errors.p95, p.zones[0].errors.p95, 1e-2);
    aw_assessment_free(&a);
    aw_scenario_free(&written);
    aw_edit_free(edit);
    aw_placing_free(&p);
    close_site(&s);
    aw_errors_free(&errors);
}
END_TEST

START_TEST(a_sturdy_layout_bears_the_loss_of_any_anchor)
{
    site s = {0};
    aw_placing p;
    aw_errors errors = {0};
    aw_outage o;
    aw_text_format(&s.text, hall, "", 0.5);
    run_study(&p, &s, true, false, 2, NULL);
    ck_assert_int_eq(p.end, AW_PLACING_FOUND);
    const aw_scenario placed = aw_placing_apply(&p, &s.scenario);
    ck_assert(aw_outage_run(&o, &placed, &(aw_run){1, NULL, &errors}));
    ck_assert_int_eq(o.verdict, AW_MET);
    aw_outage_free(&o);
    aw_placing_free(&p);
    close_site(&s);
    aw_errors_free(&errors);
}
END_TEST

START_TEST(threads_do_not_matter)
{
    aw_text json[2] = {{0}};
    for (unsigned k = 0; k < 2; k++) {
        site s = {0};
        aw_placing p;
        aw_text_format(&s.text, hall, "", 0.35);
        run_study(&p, &s, false, true, k == 0 ? 1 : 3, NULL);
        aw_placing_json(&p, &s.scenario, "f", false, &json[k]);
        aw_placing_free(&p);
        close_site(&s);
    }
    ck_assert_str_eq(json[0].at, json[1].at);
    aw_text_free(&json[0]);
    aw_text_free(&json[1]);
}
END_TEST

START_TEST(what_cannot_be_met_is_said)
{
    site s = {0};
    aw_placing p;
    aw_text_format(&s.text, hall, "", 0.01);
    run_study(&p, &s, false, false, 1, NULL);
    ck_assert_int_eq(p.end, AW_PLACING_NOT_FOUND);
    ck_assert(isinf(p.bound));
    aw_placing_free(&p);
    close_site(&s);
}
END_TEST

static TCase *whole(void)
{
    TCase *tc = tcase_create("whole");
    tcase_add_test(tc, a_sufficient_layout_is_left_alone);
    tcase_add_test(tc, what_is_found_meets_its_needs_by_draws_and_in_the_text_it_writes);
    tcase_add_test(tc, a_sturdy_layout_bears_the_loss_of_any_anchor);
    tcase_add_test(tc, threads_do_not_matter);
    tcase_add_test(tc, what_cannot_be_met_is_said);
    return tc;
}

AW_TEST_MAIN("placing whole", whole())
