/* A scenario's text while it is planned: steps and back. The measure of every step is the text,
 * byte for byte. */
#include "live_hall.h"

/* --- steps --- */

/* One of the operations that a page makes, on things that may or may not be there. */
static void add_random(uint64_t *dice, aw_text *out)
{
    static const char *const names[] = {"A1", "A2", "Ä3", "A4", "A5", "B \\\"9\\\"", "no"};
    const char *name = names[(size_t)(7 * test_uniform(dice))];
    const double x = test_between(dice, 0.1, 19.9), y = test_between(dice, 0.1, 9.9);
    switch ((int)(7 * test_uniform(dice))) {
    case 0:
    case 1:
        aw_text_format(out,
                       "{\"op\":\"set\",\"at\":[\"anchors\",\"%s\",\"at\"],"
                       "\"value\":[%.9f,%.9f,4.5]}",
                       name, x, y);
        break;
    case 2:
        aw_text_format(out,
                       "{\"op\":\"add\",\"at\":[\"anchors\"],\"value\":"
                       "{\"name\":\"%s\",\"at\":[%.9f,%.9f,5]}}",
                       name, x, y);
        break;
    case 3:
        aw_text_format(out, "{\"op\":\"remove\",\"at\":[\"anchors\",\"%s\"]}", name);
        break;
    case 4:
        aw_text_format(out, "{\"op\":\"rename\",\"at\":[\"tags\",\"cart\"],\"value\":\"c%d\"}",
                       (int)(100 * x));
        break;
    case 5:
        aw_text_format(out,
                       "{\"op\":\"copy\",\"at\":[\"anchors\",\"%s\"],\"value\":"
                       "{\"count\":2,\"by\":[0.5,0,0]}}",
                       name);
        break;
    default:
        aw_text_format(out,
                       "{\"op\":\"add\",\"at\":[\"obstacles\"],\"value\":{\"name\":\"o%d\","
                       "\"footprint\":[[%.3f,2],[%.3f,2],[%.3f,3]],\"material\":\"metal\"}}",
                       (int)(1000 * x), x, x + 0.5, x + 0.5);
    }
}

START_TEST(n_steps_and_n_times_back_are_the_file_byte_for_byte)
{
    aw_session s = begin();
    uint64_t dice = 22;
    aw_text texts[200] = {0};
    size_t n = 0, refused = 0;
    for (int i = 0; i < 250 && n < 199; i++) {
        aw_text ops = {0}, before = {0};
        aw_text_add_bytes(&before, s.text.at, s.text.n);
        aw_text_add(&ops, "[");
        add_random(&dice, &ops);
        aw_text_add(&ops, "]");
        if (try_step(&s, ops.at)) {
            texts[n++] = before;
        } else { /* what is refused changes nothing */
            ck_text(&s.text, before.at, before.n);
            aw_text_free(&before);
            refused++;
        }
        aw_text_free(&ops);
    }
    ck_assert_uint_gt(n, 100);
    ck_assert_uint_gt(refused, 10);
    ck_assert_uint_eq(s.steps.done, n);
    aw_text_add_bytes(&texts[n], s.text.at, s.text.n);
    for (int round = 0; round < 2; round++) {
        for (size_t i = n; i-- > 0;) {
            go(&s, i);
            ck_text(&s.text, texts[i].at, texts[i].n);
        }
        ck_text(&s.text, HALL, sizeof HALL - 1);
        for (size_t i = 1; i <= n; i++) {
            go(&s, i);
            ck_text(&s.text, texts[i].at, texts[i].n);
        }
    }
    for (size_t i = 0; i <= n; i++)
        aw_text_free(&texts[i]);
    aw_session_close(&s);
}
END_TEST

START_TEST(a_step_touches_nothing_but_its_value)
{
    aw_session s = begin();
    step(&s, MOVE("Ä3", "12.34567"));
    ck_assert(has(&s, "  - {name: \"Ä3\", at: [12.346, 1, 5]} # by the gate\n"));
    ck_assert(has(&s, "anchors:               # as drawn\n"));
    ck_assert_str_eq(s.steps.list[0].words, "Ä3 moved 11.11 m");
    aw_session_close(&s);
}
END_TEST

START_TEST(a_look_keeps_nothing)
{
    aw_session s = begin();
    aw_errors errors = {0};
    json_t *ops = json_loads(MOVE("A1", "3"), 0, NULL);
    aw_reading *look = aw_session_look(&s, ops, &errors);
    ck_assert_ptr_nonnull(look);
    ck_assert_double_eq(look->of.scenario.anchors[0].at[0], 3);
    ck_text(&s.text, HALL, sizeof HALL - 1);
    ck_assert_uint_eq(s.steps.n, 0);
    aw_reading_let_go(look);
    json_decref(ops);
    aw_session_close(&s);
}
END_TEST

START_TEST(a_tag_renamed_is_renamed_where_it_is_used)
{
    aw_session s = begin();
    step(&s, "[{\"op\":\"rename\",\"at\":[\"tags\",\"cart\"],\"value\":\"trolley: no. 1\"}]");
    ck_assert(has(&s, "    tag: \"trolley: no. 1\"\n"));
    ck_assert_str_eq(s.reading->of.scenario.tags[0].name, "trolley: no. 1");
    aw_session_close(&s);
}
END_TEST

START_TEST(lengths_are_metres_in_a_file_in_feet)
{
    aw_session s = begin();
    step(&s, "[{\"op\":\"set\",\"at\":[\"units\"],\"value\":\"ft\"}]");
    step(&s,
         "[{\"op\":\"set\",\"at\":[\"anchors\",\"A1\",\"at\"],\"value\":[0.3048,0.6096,0.9144]},"
         "{\"op\":\"set\",\"at\":[\"zones\",\"bay\",\"need\"],"
         "\"value\":{\"p95\":0.3048,\"share\":0.9}}]");
    ck_assert(has(&s, "{name: A1, at: [1, 2, 3]}"));
    ck_assert(has(&s, "{p95: 1, share: 0.9}"));
    aw_session_close(&s);
}
END_TEST

START_TEST(steps_not_saved_are_counted_through_back_and_forward)
{
    aw_session s = begin();
    aw_errors errors = {0};
    for (int i = 0; i < 3; i++)
        step(&s, i == 0 ? MOVE("A1", "2") : i == 1 ? MOVE("A1", "3") : MOVE("A1", "4"));
    ck_assert_uint_eq(aw_session_unsaved(&s), 3);
    ck_assert(aw_session_save(&s, &errors));
    ck_assert_uint_eq(aw_session_unsaved(&s), 0);
    go(&s, 1);
    ck_assert_uint_eq(aw_session_unsaved(&s), 2);
    step(&s, MOVE("A2", "5"));
    ck_assert_uint_eq(aw_session_unsaved(&s), 3);
    go(&s, 0);
    ck_text(&s.text, HALL, sizeof HALL - 1);
    aw_session_close(&s);
}
END_TEST

/* --- from nothing --- */

START_TEST(a_hall_grows_from_an_empty_file)
{
    ck_assert_int_eq(unlink(path), 0);
    aw_session s = begin();
    aw_errors errors = {0};
    ck_assert(!s.exists);
    ck_assert(!s.reading->sound);
    step(&s,
         "[{\"op\":\"set\",\"at\":[\"floor\"],\"value\":{\"outline\":[[0,0],[30,0],[30,20],[0,20]],"
         "\"ceiling\":7}}]");
    ck_assert(s.reading->sound && s.reading->of.bare);
    step(&s, "[{\"op\":\"add\",\"at\":[\"zones\"],\"value\":{\"name\":\"bay\","
             "\"outline\":[[1,1],[9,1],[9,9]],\"need\":{\"p95\":0.5}}}]");
    ck_assert(s.reading->of.bare);
    step(&s, "[{\"op\":\"add\",\"at\":[\"anchors\"],\"value\":{\"name\":\"A1\",\"at\":[1,1,6]}},"
             "{\"op\":\"add\",\"at\":[\"anchors\"],\"value\":{\"name\":\"A2\",\"at\":[9,1,6]}}]");
    ck_assert(!s.reading->of.bare);
    ck_assert_uint_eq(s.reading->of.scenario.n_anchors, 2);
    ck_assert_int_ne(access(path, F_OK), 0);
    ck_assert(aw_session_save(&s, &errors));
    ck_assert_int_eq(access(path, F_OK), 0);
    aw_session_close(&s);
}
END_TEST

START_TEST(a_wrong_file_is_shown_with_its_mistakes)
{
    static const char WRONG[] = "anchorwise: 1\ntitle: x\nfloor: {ceiling: -1}\n";
    put_file(path, WRONG, sizeof WRONG - 1);
    aw_session s = begin();
    ck_assert(!s.reading->sound);
    ck_assert_uint_gt(s.reading->errors.n_errors, 0);
    ck_assert(!try_step(&s, MOVE("A1", "2")));
    aw_session_close(&s);
}
END_TEST

AW_TEST_MAIN("live",
             TESTS("steps", n_steps_and_n_times_back_are_the_file_byte_for_byte,
                   a_step_touches_nothing_but_its_value, a_look_keeps_nothing,
                   a_tag_renamed_is_renamed_where_it_is_used, lengths_are_metres_in_a_file_in_feet,
                   steps_not_saved_are_counted_through_back_and_forward),
             TESTS("from nothing", a_hall_grows_from_an_empty_file,
                   a_wrong_file_is_shown_with_its_mistakes))
