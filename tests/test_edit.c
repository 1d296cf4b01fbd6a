/* Known edits of a scenario's text, to the byte; random ones are in test_edit_laws.c. */
#include <string.h>

#include "anchorwise/edit.h"
#include "scenario/yaml.h"
#include "aw_test.h"

typedef enum what { SET, INSERT, REMOVE } what;

static bool apply(aw_edit *e, what w, const char *path, const char *value, aw_errors *errors)
{
    return w == SET      ? aw_edit_set(e, path, value, errors)
           : w == INSERT ? aw_edit_insert(e, path, value, errors)
                         : aw_edit_remove(e, path, errors);
}

static const struct known {
    what what;
    const char *before, *path, *value, *after; /* after NULL: refused */
} known[] = {
    {SET, "a: 1 # one\nb: 2\n", "a", "7.5", "a: 7.5 # one\nb: 2\n"},
    {SET, "a: # one\nb: 2\n", "a", "x", "a: x # one\nb: 2\n"},
    {SET, "a: {b: [1, 2 ], c: }\n", "a.b[1]", "3", "a: {b: [1, 3 ], c: }\n"},
    {SET, "a: {b: 1, c: }\n", "a.c", "3", "a: {b: 1, c: 3 }\n"},
    {SET, "a: \"x\\\"\" # é\r\nb: é2\r\n", "b", "3", "a: \"x\\\"\" # é\r\nb: 3\r\n"},
    {SET, "a: |\n  t\n\n# c\nb: 1\n", "a", "u", "a: u\n\n# c\nb: 1\n"},
    {SET, "a:\n- 1\n- 2 # c\nb: 1\n", "a", "[3]", "a:\n  [3] # c\nb: 1\n"},
    {SET, "a:\n  x: 1\n  y: 2 # c\nb: 1\n", "a", "{}", "a:\n  {} # c\nb: 1\n"},
    {SET, "a: [{name: p, v: 1}, {name: q, v: 2}]", "a[name=q].v", "9",
     "a: [{name: p, v: 1}, {name: q, v: 9}]"},
    {SET, "a: [{name: p, v: 1}, {name: q.2, v: 2}]", "a.\"q.2\".v", "9",
     "a: [{name: p, v: 1}, {name: q.2, v: 9}]"},
    {SET, "a: [{name: 1, v: 1}, {name: q, v: 2}]", "a.1.v", "9",
     "a: [{name: 1, v: 9}, {name: q, v: 2}]"},
    {SET, "a: [{name: p, v: 1}, {name: q, v: 2}]", "a.1.v", "9",
     "a: [{name: p, v: 1}, {name: q, v: 9}]"},
    {SET, "a: [{name: p, v: 1}, {name: q, v: 2}]", "a.\"1\".v", "9", NULL},
    {SET, "a: [{name: p, v: 1}, {name: q, v: 2}]", "a.2.v", "9", NULL},
    {SET, "a: 1\n", "a", "b: 2", NULL},
    {SET, "\"k.x\": 1\n", "[\"k.x\"]", "2", "\"k.x\": 2\n"},
    {SET,
     "\xEF\xBB\xBF"
     "a: 1\n",
     "a", "2",
     "\xEF\xBB\xBF"
     "a: 2\n"},
    {SET, "a: &n 1\nb: *n\n", "b", "2", "a: &n 1\nb: 2\n"},
    {SET, "a: &n 1\nb: *n\n", "a", "2", NULL},
    {SET, "a: &n {x: 1}\nb: *n\n", "b.x", "2", NULL},
    {SET, "a: &n {x: 1}\nb: *n\n", "a.x", "2", NULL},
    {SET, "a: [&n 1, 2]\nb: *n\n", "a", "2", NULL},
    {SET, "a: 1\n", "b", "2", NULL},
    {SET, "a: 1\n", "a", "2, 3", NULL},
    {SET, "a: 1\n", "a", "2 # c", NULL},
    {SET, "a: 1\n", "a", "", NULL},
    {SET, "a: 1\n", "a.b", "1", NULL},
    {SET, "a: 1\n", "a[", "1", NULL},
    {INSERT, "a: [1, 2]\n", "a[0]", "0", "a: [0, 1, 2]\n"},
    {INSERT, "a: [1, 2]\n", "a[]", "3", "a: [1, 2, 3]\n"},
    {INSERT, "a: [1, 2, ]\n", "a[]", "3", "a: [1, 2, 3, ]\n"},
    {INSERT, "a: []\n", "a[]", "3", "a: [3]\n"},
    {INSERT, "a: [ # c\n  1, # one\n  2 # two\n]\n", "a[]", "3",
     "a: [ # c\n  1, # one\n  2, # two\n  3\n]\n"},
    {INSERT, "a:\n  - 1 # one\n\n  # two\n  - 2\n", "a[1]", "9",
     "a:\n  - 1 # one\n  - 9\n\n  # two\n  - 2\n"},
    {INSERT, "a:\r\n- 1\r\n", "a[]", "{x: 2}", "a:\r\n- 1\r\n- {x: 2}\r\n"},
    {INSERT, "a:\n- 1", "a[0]", "0", "a:\n- 0\n- 1"},
    {INSERT, "- x: 1\n  y: 2\n- z: 3\n", "[0].k", "9", "- x: 1\n  y: 2\n  k: 9\n- z: 3\n"},
    {INSERT, "a: {}\n", "a.b", "1", "a: {b: 1}\n"},
    {INSERT, "a: {x: 1}\n", "a[\"b: c\"]", "1", "a: {x: 1, \"b: c\": 1}\n"},
    {INSERT, "a: 1\n", "a", "1", NULL},
    {INSERT, "a: [1]\n", "a[3]", "1", NULL},
    {REMOVE, "a: 1 # one\nb: 2\n# end\n", "a", NULL, "b: 2\n# end\n"},
    {REMOVE, "a: 1\nb: 2", "b", NULL, "a: 1\n"},
    {REMOVE, "a: [1, 2, 3]\n", "a[1]", NULL, "a: [1, 3]\n"},
    {REMOVE, "a: [1, 2, 3]\n", "a[2]", NULL, "a: [1, 2]\n"},
    {REMOVE, "a: [ 1 ]\n", "a[0]", NULL, "a: []\n"},
    {REMOVE, "a: [\n  1,\n  2, # two\n  3\n]\n", "a[0]", NULL, "a: [\n  2, # two\n  3\n]\n"},
    {REMOVE, "a:\n- 1\n# c\n- 2\n", "a[0]", NULL, "a:\n# c\n- 2\n"},
    {REMOVE, "a:\n- 1\nb: 1\n", "a[0]", NULL, "a:\n  []\nb: 1\n"},
    {REMOVE, "- x: 1 # one\n  y: 2\n", "[0].x", NULL, "- y: 2\n"},
    {REMOVE, "- x: 1\n  # of y\n  y: 2\n", "[0].x", NULL, "- \n  # of y\n  y: 2\n"},
    {REMOVE, "a: {b: 1}\n", "a.b", NULL, "a: {}\n"},
    {REMOVE, "a: &n 1\nb: *n\n", "b", NULL, "a: &n 1\n"},
    {REMOVE, "a: &n 1\nb: *n\n", "a", NULL, NULL},
};

START_TEST(a_known_edit_gives_the_known_text)
{
    const struct known *k = &known[_i];
    aw_errors errors = {0};
    aw_edit *e = aw_edit_create(k->before, strlen(k->before), &errors);
    ck_assert_ptr_nonnull(e);
    const bool done = apply(e, k->what, k->path, k->value, &errors);
    size_t length;
    const char *text = aw_edit_text(e, &length);
    ck_assert_str_eq(text, k->after != NULL ? k->after : k->before);
    ck_assert_uint_eq(length, strlen(text));
    ck_assert_msg(done == (k->after != NULL) && (errors.n == 0) == done, "%s", k->before);
    aw_edit_free(e);
    aw_errors_free(&errors);
}
END_TEST

START_TEST(a_remark_stands_on_top_once)
{
    static const struct {
        const char *before, *lines, *after;
    } cases[] = {
        {"a: 1\n", "one\ntwo\n", "# n: one\n# n: two\na: 1\n"},
        {"# n: old\n# mine\na: 1\n", "new", "# n: new\n# mine\na: 1\n"},
        {"# n: old\r\n# n: older\r\na: 1\r\n", "", "a: 1\r\n"},
        {"\xEF\xBB\xBF"
         "a: 1\r\n",
         "x\xE2\x80\xA8y\rz",
         "\xEF\xBB\xBF"
         "# n: x y z\r\na: 1\r\n"},
        {"%YAML 1.1\n---\na: 1", "x", "# n: x\n%YAML 1.1\n---\na: 1"},
        {"{a: 1}", "x", "# n: x\n{a: 1}"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        aw_errors errors = {0};
        size_t length;
        aw_edit *e = aw_edit_create(cases[i].before, strlen(cases[i].before), &errors);
        ck_assert_ptr_nonnull(e);
        ck_assert(aw_edit_remark(e, "# n: ", cases[i].lines, &errors));
        ck_assert_str_eq(aw_edit_text(e, &length), cases[i].after);
        ck_assert_uint_eq(length, strlen(cases[i].after));
        aw_edit_free(e);
        aw_errors_free(&errors);
    }
}
END_TEST

START_TEST(a_quoted_text_reads_back)
{
    static const char *const texts[] = {
        "A1",  "north bay", "1.5", "null", "a: b", "é", "x#y", "- a",  "\"q\" \\", "tram, old",
        " s ", "*a",        "[",   "a\tb", "true", "",  "&x",  "100%", "~",        "0x1"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        aw_text list = {0};
        aw_text_add(&list, "[");
        aw_edit_quote(&list, texts[i]);
        aw_text_add(&list, "]");
        aw_errors errors = {0};
        aw_arena *arena = aw_arena_create();
        const aw_node *node = aw_yaml_read(arena, list.at, list.n, &errors);
        ck_assert_msg(node != NULL && node->n == 1, "%s", list.at);
        ck_assert_str_eq(node->children[0]->text, texts[i]);
        aw_arena_free(arena);
        aw_errors_free(&errors);
        aw_text_free(&list);
    }
}
END_TEST

static TCase *words(void)
{
    TCase *tc = tcase_create("known");
    tcase_add_loop_test(tc, a_known_edit_gives_the_known_text, 0,
                        (int)(sizeof known / sizeof *known));
    tcase_add_test(tc, a_remark_stands_on_top_once);
    tcase_add_test(tc, a_quoted_text_reads_back);
    return tc;
}

AW_TEST_MAIN("edit", words())
