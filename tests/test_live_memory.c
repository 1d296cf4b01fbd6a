/* Planning live with allocations refused: a step is done whole, or not at all and memory is blamed.
 */
#include <string.h>

#include "live/answer.h"
#include "live/session.h"
#include "aw_test.h"
#include "refusing.h"

#ifdef FAILING_ALLOCATOR

static const char HALL[] = "anchorwise: 1\n"
                           "title: hall\n"
                           "floor: {outline: [[0, 0], [6, 0], [6, 4], [0, 4]], ceiling: 6}\n"
                           "anchors:\n"
                           "  - {name: A1, at: [0.5, 0.5, 5]}\n"
                           "  - {name: A2, at: [5.5, 0.5, 5]}\n"
                           "  - {name: A3, at: [5.5, 3.5, 5]}\n"
                           "study: {step: 1, draws: 64, seed: 1}\n";
static const char BARE[] = "anchorwise: 1\ntitle: hall\n"
                           "floor: {outline: [[0, 0], [6, 0], [6, 4], [0, 4]], ceiling: 6}\n";
static const char *text;
static json_t *ops;

/* A step, its text and what the page is told of it. */
static void take_step(outcome *out)
{
    aw_session s = {.name = "hall.yaml"};
    aw_errors errors = {0};
    aw_text_add(&s.text, text);
    s.reading = s.text.failed ? NULL : aw_reading_make(&s.text);
    const bool read = s.reading != NULL && s.reading->sound;
    out->done = read && aw_session_step(&s, ops, &errors);
    aw_text_add_bytes(&out->text, s.text.n > 0 ? s.text.at : "", s.text.n);
    if (out->done)
        aw_scene_json(&s, 0, &out->text);
    out->blamed = out->text.failed || s.text.failed || s.reading == NULL ||
                  aw_errors_out_of_memory(&errors) || aw_errors_out_of_memory(&s.reading->errors);
    stop_refusing();
    if (!out->done && s.reading != NULL && !s.text.failed) /* nothing was half done */
        ck_assert(s.text.n == strlen(text) && memcmp(s.text.at, text, s.text.n) == 0);
    ck_assert(s.steps.done == (out->done ? 1 : 0));
    aw_errors_free(&errors);
    aw_session_close(&s);
}

static void refuse_ops(const char *of, const char *json)
{
    text = of;
    ops = json_loads(json, 0, NULL);
    ck_assert_ptr_nonnull(ops);
    refuse_some(take_step);
    json_decref(ops);
}

START_TEST(a_step_is_done_whole_or_memory_is_blamed)
{
    refuse_ops(HALL, "[{\"op\":\"set\",\"at\":[\"anchors\",\"A1\",\"at\"],\"value\":[1,1,5]}]");
    refuse_ops(HALL, "[{\"op\":\"copy\",\"at\":[\"anchors\",\"A1\"],"
                     "\"value\":{\"count\":2,\"by\":[1,0,0]}}]");
    refuse_ops(HALL, "[{\"op\":\"add\",\"at\":[\"zones\"],\"value\":{\"name\":\"bay\","
                     "\"outline\":[[1,1],[3,1],[3,3]],\"need\":{\"p95\":1}}}]");
}
END_TEST

START_TEST(a_text_without_anchors_stays_one_when_memory_is_short)
{
    refuse_ops(BARE, "[{\"op\":\"set\",\"at\":[\"title\"],\"value\":\"shed\"}]");
}
END_TEST

static const char OTHER[] = "anchorwise: 1\ntitle: hall\nanchors: [{name: A1, at: [9, 9, 9]}]\n";

static void compare(outcome *out)
{
    const aw_text base = {.at = strdup(HALL), .n = sizeof HALL - 1};
    const aw_text disk = {.at = strdup(OTHER), .n = sizeof OTHER - 1};
    const aw_text mine = {.at = strdup(BARE), .n = sizeof BARE - 1};
    aw_conflict c = {0};
    const bool copied = base.at != NULL && disk.at != NULL && mine.at != NULL;
    out->done = copied && aw_conflict_find(&c, &base, &mine, &disk);
    for (size_t i = 0; i < c.n; i++)
        aw_text_format(&out->text, "%s;", c.list[i].item != NULL ? c.list[i].item : "");
    /* What could not be compared is not said to be clean. */
    out->blamed = !out->done || out->text.failed || (c.n == 0 && !c.clean);
    stop_refusing();
    aw_conflict_free(&c);
    free(base.at);
    free(disk.at);
    free(mine.at);
}

START_TEST(a_conflict_is_told_whole_or_not_said_to_be_clean)
{
    refuse_each(compare);
}
END_TEST

static TCase *tests(void)
{
    TCase *all = tcase_create("memory");
    tcase_add_test(all, a_step_is_done_whole_or_memory_is_blamed);
    tcase_add_test(all, a_text_without_anchors_stays_one_when_memory_is_short);
    tcase_add_test(all, a_conflict_is_told_whole_or_not_said_to_be_clean);
    return all;
}

#else

static TCase *tests(void)
{
    return tcase_create("memory");
}

#endif

AW_TEST_MAIN("live memory", tests())
