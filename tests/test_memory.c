/* Memory that runs out at any moment: the k-th allocation fails, for every k of a small run, alone
 * or with all after it. Nothing crashes, nothing is lost, and what is said to be done is right.
 * Under sanitizers the suite is empty. */
#include "anchorwise.h"
#include "draw/chart.h"
#include "whatif/tolerance.h"
#include "links.h"
#include "refusing.h"
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#ifdef FAILING_ALLOCATOR

#define ROOM                                                                                       \
    "anchorwise: 1\ntitle: room\n"                                                                 \
    "floor: {outline: [[0, 0], [8, 0], [8, 8], [0, 8]], ceiling: 5}\n"                             \
    "materials: {felt: {loss_db: 3}}\n"                                                            \
    "obstacles: [{name: o, footprint: [[1, 1], [2, 1], [2, 2]], material: felt}]\n"                \
    "walls: [{name: w, path: [[3, 1], [4, 1]], material: metal}]\n"                                \
    "anchors:\n  - {name: a, at: [0.2, 0.3, 3]}\n  - {name: b, at: [7.7, 0.1, 3.5]}\n"             \
    "  - {name: c, at: [7.8, 7.6, 3]}\n  - &d {name: d, at: [0.3, 7.7, 2.8]}\n"                    \
    "  - {name: e, at: [4, 7.7, 4.5]}\n"                                                           \
    "tags: [{name: cart}, {name: crane, height: 2, fix: 3d}]\n"                                    \
    "study: {step: 3, draws: 24}\n"

static const char small_site[] =
    ROOM "ranging: {sigma: 0.1, spot_sigma: 0.1}\n"
         "zones: [{name: all, outline: [[1, 1], [7, 1], [7, 7], [1, 7]], need: {p95: 0.4}},\n"
         "  {name: hook, outline: [[3, 3], [7, 3], [7, 7]], tag: crane, need: {share: 0.5, p95: "
         "2}}]\n";

/* With installation terms, so that odds are drawn. */
static const char surveyed_site[] =
    ROOM "ranging: {sigma: 0.1, survey_sigma: 0.02}\n"
         "zones: [{name: all, outline: [[4, 4], [7, 4], [7, 7], [4, 7]], need: {p95: 0.4}}]\n";

/* With every kind of mistake that needs memory to be found. */
static const char wrong_site[] = "anchorwise: 1\ntitle: room\ntitle: hall\n"
                                 "floor: {outline: [[0, 0], [8, 8], [8, 0], [0, 8]], ceiling: 5}\n"
                                 "anchors: [{name: a, at: [9, 0.3, 6]}, {name: a, at: *none}]\n";
static const char crossed_site[] = "anchorwise: 1\ntitle: room\n"
                                   "floor: {outline: [[0, 0], [8, 8], [8, 0], [0, 8]], ceiling: 5}"
                                   "\nanchors: [{name: a, at: [1, 0.3, 2]}]\n";

static void tell_complaints(outcome *o, const aw_errors *errors)
{
    o->blamed = aw_errors_out_of_memory(errors);
    for (size_t i = 0; i < errors->n; i++)
        aw_text_format(&o->text, "%d:%d %s\n", errors->list[i].line, errors->list[i].column,
                       errors->list[i].text);
    o->blamed = o->blamed || o->text.failed;
}

static bool read_site(aw_scenario *s, const char *yaml, outcome *o)
{
    aw_errors errors = {0};
    const bool sound = aw_scenario_parse(s, yaml, strlen(yaml), &errors);
    tell_complaints(o, &errors);
    aw_errors_free(&errors);
    return sound;
}

static void read_and_summarise(outcome *o)
{
    aw_scenario s;
    o->done = read_site(&s, small_site, o);
    if (o->done) {
        aw_scenario_summary(&s, "site", &o->text);
        aw_scenario_summary_json(&s, "site", NULL, &(aw_errors){0}, &o->text);
        o->blamed = o->blamed || o->text.failed;
    }
    aw_scenario_free(&s);
}

static void read_mistakes(outcome *o)
{
    aw_scenario s;
    o->done = read_site(&s, wrong_site, o);
    aw_scenario_free(&s);
}

static void read_crossed(outcome *o)
{
    aw_scenario s;
    o->done = read_site(&s, crossed_site, o);
    aw_scenario_free(&s);
}

/* Read and computed once, undisturbed. */
static aw_scenario the_site, both[2];
static aw_assessment the_assessment;
static aw_comparison the_comparison;
static aw_outage the_outage;
static aw_decisions the_decisions;
static aw_explanation the_explanation;
static const char *const files[] = {"a", "b"};

static void assess(outcome *o)
{
    aw_errors errors = {0};
    aw_assessment a = {0};
    o->done = aw_map_check(&the_site, &errors) &&
              aw_assess_run(&a, &the_site, &(aw_run){2, NULL, &errors});
    stop_refusing();
    if (o->done)
        aw_assessment_json(&a, &the_site, "site", &o->text);
    tell_complaints(o, &errors);
    aw_assessment_free(&a);
    aw_errors_free(&errors);
}

static void compare(outcome *o)
{
    aw_errors errors = {0};
    aw_comparison c = {0};
    o->done = aw_same_floor(&both[0], &both[1], &errors) &&
              aw_compare_run(&c, &both[0], &both[1], &(aw_run){2, NULL, &errors});
    stop_refusing();
    if (o->done)
        aw_comparisons_json(&c, both, files, 2, &o->text);
    tell_complaints(o, &errors);
    aw_comparison_free(&c);
    aw_errors_free(&errors);
}

static void lose_anchors(outcome *o)
{
    aw_errors errors = {0};
    aw_outage lost = {0};
    o->done = aw_outage_run(&lost, &the_site, &(aw_run){2, NULL, &errors});
    stop_refusing();
    if (o->done)
        aw_outage_json(&lost, &the_site, "site", &o->text);
    tell_complaints(o, &errors);
    aw_outage_free(&lost);
    aw_errors_free(&errors);
}

static void decide(outcome *o)
{
    aw_errors errors = {0};
    aw_decisions d = {0};
    o->done = aw_decisions_run(&d, &the_site, &(aw_run){2, NULL, &errors});
    stop_refusing();
    if (o->done)
        aw_decisions_json(&d, (aw_verdict[8]){AW_MET}, &the_site, "site", &o->text);
    tell_complaints(o, &errors);
    aw_decisions_free(&d);
    aw_errors_free(&errors);
}

static void explain(outcome *o)
{
    aw_errors errors = {0};
    aw_explanation e = {0};
    o->done = aw_explain_run(&e, &the_site, (aw_point){4, 5}, 0, &(aw_run){2, NULL, &errors});
    stop_refusing();
    if (o->done)
        aw_explanation_json(&e, &the_site, "site", &o->text);
    tell_complaints(o, &errors);
    aw_explanation_free(&e);
    aw_errors_free(&errors);
}

/* Every result as every kind of text. */
static void tell_all(outcome *o)
{
    aw_assessment_table(&the_assessment, &the_site, "site", true, &o->text);
    aw_assessment_json(&the_assessment, &the_site, "site", &o->text);
    aw_cells_csv(&the_assessment.map, &the_site, &o->text);
    aw_comparisons_table(&the_comparison, both, files, 2, false, &o->text);
    aw_comparisons_json(&the_comparison, both, files, 2, &o->text);
    aw_outage_table(&the_outage, &the_site, "site", true, &o->text);
    aw_outage_json(&the_outage, &the_site, "site", &o->text);
    aw_decisions_table(&the_decisions, (aw_verdict[8]){AW_MET}, &the_site, "site", true, &o->text);
    aw_decisions_json(&the_decisions, (aw_verdict[8]){AW_MET}, &the_site, "site", &o->text);
    aw_explanation_table(&the_explanation, &the_site, "site", &o->text);
    aw_explanation_json(&the_explanation, &the_site, "site", &o->text);
    o->blamed = o->text.failed;
    o->done = !o->blamed;
}

static void draw_chart(outcome *o)
{
    static const aw_point spot = {4, 5};
    aw_errors errors = {0};
    aw_sheet sheet = {0};
    const aw_chart_options options = {
        .layer = AW_LAYER_P95, .paper = AW_PAPER_A4, .spots = &spot, .n_spots = 1};
    aw_chart *chart = aw_chart_create(&the_site, &options, &(aw_run){2, NULL, &errors});
    o->done = chart != NULL && aw_chart_draw(&sheet, chart, &errors) &&
              aw_sheet_svg(&sheet, &o->text, &errors);
    tell_complaints(o, &errors);
    aw_sheet_free(&sheet);
    aw_chart_free(chart);
    aw_errors_free(&errors);
}

static char written[] = "/tmp/anchorwise.XXXXXX";

static void write_file(outcome *o)
{
    aw_errors errors = {0};
    aw_text text = {0};
    for (int i = 0; i < 12; i++)
        aw_text_format(&text, "%d%c", 1 << i, '\n');
    o->done = aw_text_write(&text, written, &errors);
    o->blamed = !o->done && errors.n_errors > 0;
    aw_text_free(&text);
    aw_errors_free(&errors);
}

START_TEST(a_scenario_is_read_or_memory_is_blamed)
{
    refuse_each(read_and_summarise);
}
END_TEST

START_TEST(mistakes_are_all_found_or_memory_is_blamed)
{
    refuse_each(read_mistakes);
    refuse_each(read_crossed);
}
END_TEST

static void refuse_on(const char *site, void (*way)(operation *run), operation *run)
{
    read_text(&the_site, site);
    both[0] = both[1] = the_site;
    way(run);
    aw_scenario_free(&the_site);
}

START_TEST(an_assessment_is_right_or_memory_is_blamed)
{
    refuse_on(small_site, refuse_each, assess);
    refuse_on(surveyed_site, refuse_some, assess);
}
END_TEST

START_TEST(a_comparison_is_right_or_memory_is_blamed)
{
    refuse_on(small_site, refuse_each, compare);
}
END_TEST

START_TEST(an_outage_is_right_or_memory_is_blamed)
{
    refuse_on(small_site, refuse_some, lose_anchors);
}
END_TEST

START_TEST(zone_decisions_are_right_or_memory_is_blamed)
{
    refuse_on(small_site, refuse_each, decide);
}
END_TEST

START_TEST(an_explanation_is_right_or_memory_is_blamed)
{
    refuse_on(small_site, refuse_some, explain);
}
END_TEST

/* Of a zone that may be left out, and of one that is said to be met today and is tried at rungs. */
START_TEST(without_memory_for_a_tolerance_the_scenario_is_as_it_was)
{
    aw_errors errors = {0};
    read_text(&the_site, small_site);
    const aw_scenario *s = &the_site;
    aw_zone zone = s->zones[0];
    aw_zone_result today = {.verdict = _i == 0 ? AW_NOT_MET : AW_MET};
    bool without_room[AW_TOLERANCES] = {false};
    aw_sensitivity v = {
        .zones = &zone, .n_zones = 1, .today = &today, .without_room = without_room};
    zone.need.p50 = 0.01; /* met at no rung, so that few are tried; p95 would have odds drawn */
    zone.need.p95 = (double)NAN;
    only_size = (s->n_tags + 1) * sizeof *s->tags;
    long k = 0;
    for (bool done = false; !done; k++) {
        start_refusing(k, false);
        done = aw_tolerances_run(&v, s, &(aw_run){1, NULL, &errors});
        stop_refusing();
        ck_assert(done != aw_errors_out_of_memory(&errors));
        ck_assert(s->tags[0].height_sigma == 0 && s->tags[1].height_sigma == 0);
        aw_errors_free(&errors);
    }
    ck_assert_int_gt(k, _i == 0 ? 1 : AW_TOLERANCES);
    only_size = 0;
    aw_scenario_free(&the_site);
}
END_TEST

START_TEST(results_are_told_whole_or_memory_is_blamed)
{
    aw_errors errors = {0};
    read_text(&the_site, small_site);
    both[0] = both[1] = the_site;
    ck_assert(aw_assess_run(&the_assessment, &the_site, &(aw_run){2, NULL, &errors}));
    ck_assert(aw_compare_run(&the_comparison, &both[0], &both[1], &(aw_run){2, NULL, &errors}));
    ck_assert(aw_outage_run(&the_outage, &the_site, &(aw_run){2, NULL, &errors}));
    ck_assert(aw_decisions_run(&the_decisions, &the_site, &(aw_run){2, NULL, &errors}));
    ck_assert(aw_explain_run(&the_explanation, &the_site, (aw_point){4, 5}, 0,
                             &(aw_run){2, NULL, &errors}));
    refuse_each(tell_all);
    aw_assessment_free(&the_assessment);
    aw_comparison_free(&the_comparison);
    aw_outage_free(&the_outage);
    aw_decisions_free(&the_decisions);
    aw_explanation_free(&the_explanation);
    aw_scenario_free(&the_site);
}
END_TEST

/* Font libraries end the process when they run out; only the product's own requests are refused. */
START_TEST(a_chart_is_right_or_memory_is_blamed)
{
    only_own = true;
    refuse_on(small_site, refuse_some, draw_chart);
    only_own = false;
}
END_TEST

START_TEST(a_file_is_written_or_a_complaint_is_made)
{
    close(mkstemp(written));
    refuse_each(write_file);
    unlink(written);
}
END_TEST

static TCase *memory(void)
{
    TCase *tests = tcase_create("memory");
    gsl_set_error_handler_off();
    tcase_add_test(tests, a_scenario_is_read_or_memory_is_blamed);
    tcase_add_test(tests, mistakes_are_all_found_or_memory_is_blamed);
    tcase_add_test(tests, an_assessment_is_right_or_memory_is_blamed);
    tcase_add_test(tests, a_comparison_is_right_or_memory_is_blamed);
    tcase_add_test(tests, an_outage_is_right_or_memory_is_blamed);
    tcase_add_test(tests, zone_decisions_are_right_or_memory_is_blamed);
    tcase_add_test(tests, an_explanation_is_right_or_memory_is_blamed);
    tcase_add_loop_test(tests, without_memory_for_a_tolerance_the_scenario_is_as_it_was, 0, 2);
    tcase_add_test(tests, results_are_told_whole_or_memory_is_blamed);
    tcase_add_test(tests, a_chart_is_right_or_memory_is_blamed);
    tcase_add_test(tests, a_file_is_written_or_a_complaint_is_made);
    return tests;
}

#else

static TCase *memory(void)
{
    return tcase_create("memory");
}

#endif

AW_TEST_MAIN("memory", memory())
