/* The stages that studies name, and that the work they announce is the work they do. */
#include "aw_test.h"
#include "files.h"

#include "anchorwise/assess.h"
#include "anchorwise/decisions.h"
#include "anchorwise/outage.h"

/* --- stages --- */

typedef struct told {
    aw_scenario scenario;
    aw_watch watch;
    char *text;
    size_t length;
    FILE *lines;
} told;

static void begin(told *t)
{
    aw_errors errors = {0};
    char *path = join("good", "hall_metres.yaml");
    ck_assert(aw_scenario_read(&t->scenario, path, &errors));
    free(path);
    aw_errors_free(&errors);
    /* Without installation terms: odds that take draws of their own have a stage that no work
     * tells. */
    t->scenario.ranging.survey_sigma = t->scenario.ranging.delay_sigma = 0;
    t->scenario.study.draws = 16;
    t->scenario.study.step = 2;
    t->scenario.study_place = (aw_text_pos){0, 0};
    t->watch = (aw_watch){0};
    t->lines = open_memstream(&t->text, &t->length);
    ck_assert_ptr_nonnull(t->lines);
    aw_watch_start(&t->watch, NULL, t->lines);
}

/* The stages that were told, with the last of which all that was announced is done. */
static size_t end(told *t)
{
    size_t n = 0;
    aw_watch_end(&t->watch);
    fclose(t->lines);
    for (const char *at = t->text; *at != '\0'; at++)
        n += *at == '\n';
    ck_assert_uint_eq(atomic_load(&t->watch.done) - t->watch.from, t->watch.total);
    free(t->text);
    aw_scenario_free(&t->scenario);
    return n;
}

START_TEST(an_assessment_tells_floor_and_zones_and_does_what_it_announces)
{
    told t;
    aw_assessment a;
    aw_errors errors = {0};
    begin(&t);
    ck_assert(aw_assess_run(&a, &t.scenario, &(aw_run){2, &t.watch, &errors}));
    ck_assert_uint_eq(atomic_load(&t.watch.done), aw_assess_work(&t.scenario));
    fflush(t.lines);
    ck_assert_ptr_nonnull(strstr(t.text, " s: floor\n"));
    ck_assert_ptr_nonnull(strstr(t.text, " s: zone 1 of 1, bogie bay\n"));
    aw_assessment_free(&a);
    ck_assert_uint_eq(end(&t), 2);
}
END_TEST

START_TEST(decisions_tell_each_zone_and_do_what_they_announce)
{
    told t;
    aw_decisions d;
    aw_errors errors = {0};
    begin(&t);
    ck_assert(aw_decisions_run(&d, &t.scenario, &(aw_run){2, &t.watch, &errors}));
    ck_assert_uint_eq(atomic_load(&t.watch.done), aw_decisions_work(&t.scenario));
    aw_decisions_free(&d);
    ck_assert_uint_eq(end(&t), 1);
}
END_TEST

START_TEST(losses_are_told_place_by_place)
{
    told t;
    aw_outage o;
    aw_errors errors = {0};
    begin(&t);
    ck_assert(aw_outage_run(&o, &t.scenario, &(aw_run){2, &t.watch, &errors}));
    fflush(t.lines);
    ck_assert_ptr_nonnull(strstr(t.text, " s: with every anchor: floor\n"));
    ck_assert_ptr_nonnull(strstr(t.text, " s: floor, 11 losses\n"));
    ck_assert_ptr_nonnull(strstr(t.text, " s: with a loss: zone 1 of 1, bogie bay\n"));
    aw_outage_free(&o);
    ck_assert_uint_ge(end(&t), 5);
}
END_TEST

/* --- the bar --- */

static size_t columns_taken(const char *line)
{
    size_t n = 0;
    for (; *line != '\0'; line++)
        n += (*line & 0x80) == 0 ? 1 : (*line & 0x40) != 0 ? 2 : 0;
    return n;
}

START_TEST(a_bar_is_never_wider_than_its_terminal)
{
    static const char *const stages[] = {
        "floor", "zone 3 of 12, the bay of the overhead crane and what stands under it",
        "zone 1 of 2, \xE8\xBB\x8A\xE5\xBA\xAB\xE8\xBB\x8A\xE5\xBA\xAB\xE8\xBB\x8A\xE5\xBA\xAB"
        "\xE8\xBB\x8A\xE5\xBA\xAB\xE8\xBB\x8A\xE5\xBA\xAB\xE8\xBB\x8A\xE5\xBA\xAB, drawn"};
    static const double shares[] = {0.001, 0.42, 1, (double)NAN};
    char line[500];
    for (unsigned columns = 0; columns < 200; columns++)
        for (size_t k = 0; k < 3; k++)
            for (size_t i = 0; i < 4; i++) {
                aw_watch_line(line, sizeof line, columns, shares[i], 90, stages[k]);
                ck_assert_uint_lt(columns_taken(line), columns > 0 ? columns : 1);
                ck_assert(columns < 120 || strstr(line, stages[k]) != NULL);
            }
}
END_TEST

START_TEST(a_bar_says_stage_share_and_time_left)
{
    char line[500];
    aw_watch_line(line, sizeof line, 40, 0.25, 10, "zone 3 of 8, bogie bay");
    ck_assert_str_eq(line, " 25 %, 30 s left: zone 3 of 8, bogie...");
    aw_watch_line(line, sizeof line, 60, 0.01, 90, "zone 3 of 8, bogie bay");
    ck_assert_str_eq(line, "  1 %, 2 h left: zone 3 of 8, bogie bay");
    aw_watch_line(line, sizeof line, 80, 0.5, 600, "floor");
    ck_assert_str_eq(line, "[==========          ]  50 %, 10 min left: floor");
    aw_watch_line(line, sizeof line, 80, (double)NAN, 4, "reading a.yaml");
    ck_assert_str_eq(line, "4 s so far: reading a.yaml");
}
END_TEST

static TCase *stages(void)
{
    TCase *tc = tcase_create("stages");
    tcase_add_test(tc, an_assessment_tells_floor_and_zones_and_does_what_it_announces);
    tcase_add_test(tc, decisions_tell_each_zone_and_do_what_they_announce);
    tcase_add_test(tc, losses_are_told_place_by_place);
    tcase_add_test(tc, a_bar_is_never_wider_than_its_terminal);
    tcase_add_test(tc, a_bar_says_stage_share_and_time_left);
    return tc;
}

AW_TEST_MAIN("stages", stages())
