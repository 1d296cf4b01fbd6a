/* Edits of a scenario's text: known ones to the byte, and random ones on random texts against a
 * tree of the test's own. The laws: parse(edit(text)) = edit(parse(text)), and no byte changes but
 * those of the value and of its line. */
#include <dirent.h>
#include <string.h>

#include "anchorwise/edit.h"
#include "anchorwise/scenario.h"
#include "trees.h"

/* --- known edits --- */

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

/* --- random edits --- */

typedef struct target {
    tree *parent, *node;
    size_t child;
    bool fixed; /* on the way or below */
    char path[400];
} target;

static bool any_fixed(const tree *t)
{
    bool fixed = t->fixed;
    for (size_t i = 0; i < t->n; i++)
        fixed = fixed || any_fixed(t->child[i]);
    return fixed;
}

/* A way down to some node, the root left out. */
static bool choose_target(uint64_t *state, tree *root, target *t)
{
    tree *node = root;
    *t = (target){.node = NULL};
    while (node->n > 0 && (t->node == NULL || test_uniform(state) < 0.7)) {
        const size_t step = node->mapping ? 2 : 1;
        const size_t i = step * (size_t)(test_uniform(state) * (double)(node->n / step));
        const size_t n = strlen(t->path);
        t->fixed = t->fixed || node->fixed;
        t->child = i;
        t->parent = node;
        if (node->mapping && strpbrk(node->child[i]->text, ".[\"") == NULL)
            snprintf(t->path + n, sizeof t->path - n, "%s%s", n > 0 ? "." : "",
                     node->child[i]->text);
        else if (node->mapping)
            snprintf(t->path + n, sizeof t->path - n, "[\"%s\"]", node->child[i]->text);
        else
            snprintf(t->path + n, sizeof t->path - n, "[%zu]", i);
        node = t->node = node->child[i + step - 1];
    }
    return t->node != NULL;
}

static void drop(tree *parent, size_t at, size_t n)
{
    for (size_t i = at; i < at + n; i++)
        tree_free(parent->child[i]);
    memmove(&parent->child[at], &parent->child[at + n],
            (parent->n - at - n) * sizeof *parent->child);
    parent->n -= n;
}

static void put(tree *parent, size_t at, tree *node)
{
    memmove(&parent->child[at + 1], &parent->child[at], (parent->n - at) * sizeof *parent->child);
    parent->child[at] = node;
    parent->n++;
}

static size_t common_start(const char *a, size_t n, const char *b, size_t m)
{
    size_t i = 0;
    while (i < n && i < m && a[i] == b[i])
        i++;
    return i;
}

/* Whether the bytes of one text stand in the other in that order. */
static bool stands_within(const char *less, size_t n, const char *more, size_t m)
{
    size_t i = 0;
    for (size_t k = 0; k < m && i < n; k++)
        i += less[i] == more[k];
    return i == n;
}

static size_t count_lines(const char *text, size_t n)
{
    size_t lines = 0;
    for (size_t i = 0; i < n; i++)
        lines += text[i] == '\n';
    return lines;
}

typedef struct sequence {
    uint64_t state;
    tree *root;
    aw_edit *edit;
    size_t done, refused;
} sequence;

/* How the written text may differ: where it does is one stretch (an insertion may put its comma
 * apart), of at most the value's lines. */
static void check_bytes(what w, const char *was, size_t n, const char *is, size_t m,
                        const char *value)
{
    const size_t start = common_start(was, n, is, m);
    size_t end = 0;
    while (end < n - start && end < m - start && was[n - 1 - end] == is[m - 1 - end])
        end++;
    if (w == INSERT) {
        ck_assert_msg(stands_within(was, n, is, m), "%s\n---\n%s", was, is);
        ck_assert_msg(m - n < strlen(value) + 60, "%s\n---\n%s", was, is);
    } else if (w == SET) {
        ck_assert_msg(m - start - end <= strlen(value) + 2, "%s\n---\n%s", was, is);
    } else {
        ck_assert_msg(stands_within(is, m, was, n) || m - start - end <= 4, "%s\n---\n%s", was, is);
    }
    ck_assert_uint_le(count_lines(is + start, m - start - end),
                      1 + count_lines(was + start, n - start - end));
}

static void one_edit(sequence *s)
{
    static const char *const values[] = {
        "7", "-0.25", "[1, 2.5]", "{name: A9, at: [0, 1]}", "new", "\"in: quotes\"", "[]", "\"\""};
    const char *value = values[(size_t)(test_uniform(&s->state) * 8)];
    const what w = (what)(test_uniform(&s->state) * 3);
    target t;
    aw_errors errors = {0};
    size_t n, m;
    if (!choose_target(&s->state, s->root, &t))
        return;
    const bool into = w == INSERT && t.node->mapping;
    if (w == INSERT && !into && !t.parent->list)
        return;
    if (into)
        strcat(t.path, ".fresh");
    char *was = strdup(aw_edit_text(s->edit, &n));
    const bool fixed = t.fixed || (w == INSERT ? into && t.node->fixed : any_fixed(t.node));
    const bool done = apply(s->edit, w, t.path, value, &errors);
    const char *is = aw_edit_text(s->edit, &m);
    ck_assert_msg(done || errors.n == 1, "%s", was);
    if (!done) {
        ck_assert_str_eq(is, was);
        s->refused++;
        ck_assert_msg(fixed || (into && t.node->n >= 60) || strstr(errors.list[0].text, "key is"),
                      "%d %s %s: %s\n%s", (int)w, t.path, value, errors.list[0].text, was);
    } else {
        const size_t at = t.child + t.parent->mapping;
        check_bytes(w, was, n, is, m, value);
        if (w == SET || w == REMOVE)
            drop(t.parent, w == SET || !t.parent->mapping ? at : at - 1,
                 w == REMOVE && t.parent->mapping ? 2 : 1);
        if (into) {
            put(t.node, t.node->n, tree_of("fresh", 5));
            put(t.node, t.node->n, tree_of(value, strlen(value)));
        } else if (w != REMOVE) {
            put(t.parent, at, tree_of(value, strlen(value)));
        }
        tree *read = tree_of(is, m);
        ck_assert_msg(same(s->root, read), "%d %s %s\n%s\n---\n%s", (int)w, t.path, value, was, is);
        tree_free(read);
        s->done++;
    }
    free(was);
    aw_errors_free(&errors);
}

static void run_sequence(sequence *s, const char *text, size_t length, size_t edits)
{
    aw_errors errors = {0};
    s->edit = aw_edit_create(text, length, &errors);
    ck_assert_msg(s->edit != NULL, "%s\n%s", errors.list[0].text, text);
    s->root = tree_of(text, length);
    for (size_t i = 0; i < edits; i++)
        one_edit(s);
    tree_free(s->root);
    aw_edit_free(s->edit);
    aw_errors_free(&errors);
}

/* A root that is a list or mapping of up to 60 children is what the test's tree holds. */
START_TEST(an_edited_text_reads_as_the_edited_tree_and_nothing_else_changes)
{
    sequence s = {.state = 20};
    for (size_t i = 0; i < 500; i++) {
        writer w = {.state = 1000 + i};
        random_text(&w);
        ck_assert(!w.out.failed);
        w.out.at[w.out.n] = '\0';
        run_sequence(&s, w.out.at, w.out.n, 12);
        aw_text_free(&w.out);
    }
    /* Refusals are for aliases alone, so most edits are done. */
    ck_assert_uint_gt(s.done, 2500);
    ck_assert_uint_lt(s.refused, s.done);
}
END_TEST

/* With "\r\n" for "\n". */
static void add_dressed(aw_text *out, const char *text, size_t n)
{
    for (size_t i = 0; i < n; i++)
        aw_text_add_bytes(out, text[i] == '\n' ? "\r\n" : text + i, text[i] == '\n' ? 2 : 1);
}

static size_t edit_folder(sequence *s, const char *folder)
{
    size_t n = 0;
    DIR *dir = opendir(folder);
    ck_assert_msg(dir != NULL, "%s", folder);
    for (struct dirent *f; (f = readdir(dir)) != NULL;) {
        char path[600], text[20000];
        if (strstr(f->d_name, ".yaml") == NULL)
            continue;
        snprintf(path, sizeof path, "%s/%s", folder, f->d_name);
        FILE *file = fopen(path, "rb");
        ck_assert_ptr_nonnull(file);
        const size_t length = fread(text, 1, sizeof text - 1, file);
        fclose(file);
        text[length] = '\0';
        aw_text dressed = {0};
        add_dressed(&dressed, text, length);
        for (size_t k = 0; k < 5; k++) {
            run_sequence(s, text, length, 10);
            run_sequence(s, dressed.at, dressed.n, 10);
            n += 2;
        }
        aw_text_free(&dressed);
    }
    closedir(dir);
    return n;
}

START_TEST(so_do_the_demos_with_either_line_end)
{
    const char *root = getenv("AW_TESTS");
    char good[500], demos[500];
    sequence s = {.state = 7};
    snprintf(good, sizeof good, "%s/good", root != NULL ? root : "tests");
    snprintf(demos, sizeof demos, "%s/../scenarios", root != NULL ? root : "tests");
    ck_assert_uint_ge(edit_folder(&s, good) + edit_folder(&s, demos), 100);
    ck_assert_uint_gt(s.done, 500);
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
        tree *t = tree_of(list.at, list.n);
        ck_assert_uint_eq(t->n, 1);
        ck_assert_str_eq(t->child[0]->text, texts[i]);
        tree_free(t);
        aw_text_free(&list);
    }
}
END_TEST

static TCase *words(void)
{
    TCase *tc = tcase_create("known");
    tcase_add_loop_test(tc, a_known_edit_gives_the_known_text, 0,
                        (int)(sizeof known / sizeof *known));
    tcase_add_test(tc, a_quoted_text_reads_back);
    return tc;
}

static TCase *laws(void)
{
    TCase *tc = tcase_create("laws");
    tcase_add_test(tc, an_edited_text_reads_as_the_edited_tree_and_nothing_else_changes);
    tcase_add_test(tc, so_do_the_demos_with_either_line_end);
    return tc;
}

AW_TEST_MAIN("edit", words(), laws())
