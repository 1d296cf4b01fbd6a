/* Random edits on random texts, against a tree of the test's own: parse(edit(text)) =
 * edit(parse(text)), and no byte changes but those of the value and of its line. */
#include <dirent.h>
#include <string.h>

#include "anchorwise/edit.h"
#include "anchorwise/scenario.h"
#include "scenario/yaml.h"
#include "aw_test.h"

typedef enum what { SET, INSERT, REMOVE } what;

static bool apply(aw_edit *e, what w, const char *path, const char *value, aw_errors *errors)
{
    return w == SET      ? aw_edit_set(e, path, value, errors)
           : w == INSERT ? aw_edit_insert(e, path, value, errors)
                         : aw_edit_remove(e, path, errors);
}

/* --- a tree of the test's own --- */

typedef struct tree {
    bool list, mapping, plain;
    bool fixed; /* an alias names it, or it is one: not to be touched */
    char *text;
    struct tree *child[64];
    size_t n;
} tree;

static void tree_free(tree *t)
{
    for (size_t i = 0; i < t->n; i++)
        tree_free(t->child[i]);
    free(t->text);
    free(t);
}

static tree *tree_new(const aw_node *node)
{
    tree *t = calloc(1, sizeof *t);
    ck_assert_ptr_nonnull(t);
    t->list = node->kind == AW_NODE_LIST;
    t->mapping = node->kind == AW_NODE_MAPPING;
    t->plain = node->plain;
    t->fixed = node->alias || node->copied;
    if (node->kind == AW_NODE_SCALAR)
        t->text = strdup(node->text);
    t->n = node->n;
    ck_assert_uint_lt(t->n, 60);
    for (size_t i = 0; i < t->n; i++)
        t->child[i] = tree_new(node->children[i]);
    return t;
}

/* What a text reads as. */
static tree *tree_of(const char *text, size_t length)
{
    aw_errors errors = {0};
    aw_arena *arena = aw_arena_create();
    const aw_node *root = aw_yaml_read(arena, text, length, &errors);
    ck_assert_msg(root != NULL && errors.n == 0, "%s\n%s", errors.n ? errors.list[0].text : "",
                  text);
    tree *t = tree_new(root);
    aw_arena_free(arena);
    aw_errors_free(&errors);
    return t;
}

static bool same(const tree *a, const tree *b)
{
    if (a->list != b->list || a->mapping != b->mapping || a->n != b->n || a->plain != b->plain)
        return false;
    if (a->text != NULL && strcmp(a->text, b->text) != 0)
        return false;
    for (size_t i = 0; i < a->n; i++)
        if (!same(a->child[i], b->child[i]))
            return false;
    return true;
}

/* --- random texts: any mixture of lines and brackets, comments, quotes, line ends, aliases --- */

typedef struct writer {
    uint64_t state;
    aw_text out;
    const char *end;
    int names;
    bool aliases;
} writer;

static size_t pick(writer *w, size_t n)
{
    return (size_t)(test_uniform(&w->state) * (double)n);
}

static void add_comment(writer *w)
{
    if (pick(w, 3) == 0)
        aw_text_format(&w->out, " # remark %zu: [é] {", pick(w, 1000));
    aw_text_add(&w->out, w->end);
    while (pick(w, 6) == 0) {
        if (pick(w, 2) == 0)
            aw_text_add(&w->out, "  # of its own");
        aw_text_add(&w->out, w->end);
    }
}

static void add_scalar(writer *w)
{
    static const char *const some[] = {"1",       "-2.50",      "north bay", "\"a: \\\"b\\\"\"",
                                       "'it''s'", "\"é # no\"", "~",         "[]",
                                       "{}",      "x#y",        "0.5"};
    if (w->aliases && w->names > 0 && pick(w, 8) == 0) {
        aw_text_format(&w->out, "*n%zu ", pick(w, (size_t)w->names));
        return;
    }
    if (w->aliases && pick(w, 8) == 0)
        aw_text_format(&w->out, "&n%d ", w->names++);
    aw_text_add(&w->out, some[pick(w, sizeof some / sizeof *some)]);
}

static void add_flow(writer *w, int depth)
{
    const bool list = pick(w, 2) == 0, lines = pick(w, 4) == 0;
    const size_t n = pick(w, 4);
    if (depth == 0 || pick(w, 2) == 0) {
        add_scalar(w);
        return;
    }
    aw_text_add(&w->out, list ? "[" : "{");
    for (size_t i = 0; i < n; i++) {
        aw_text_add(&w->out, i > 0 ? "," : pick(w, 2) ? " " : "");
        if (lines)
            aw_text_format(&w->out, "%s          ", w->end);
        else
            aw_text_add(&w->out, i > 0 ? " " : "");
        if (!list)
            aw_text_format(&w->out, "k%zu: ", i);
        add_flow(w, depth - 1);
    }
    aw_text_add(&w->out, n > 0 && pick(w, 5) == 0 ? " , " : pick(w, 2) ? " " : "");
    aw_text_add(&w->out, list ? "]" : "}");
}

/* A value behind a colon or a dash on its line; `at` is the depth of the line. */
static void add_value(writer *w, int at, int depth, bool behind_dash);

static void add_block(writer *w, int at, int depth, bool goes_on)
{
    const bool list = pick(w, 2) == 0;
    const size_t n = 1 + pick(w, 4);
    for (size_t i = 0; i < n; i++) {
        if (i > 0 || !goes_on)
            aw_text_format(&w->out, "%*s", at, "");
        if (list)
            aw_text_add(&w->out, "-");
        else
            aw_text_format(&w->out, "key %zu:", i);
        add_value(w, at, depth - 1, list);
    }
}

static void add_value(writer *w, int at, int depth, bool behind_dash)
{
    const size_t how = pick(w, depth > 0 ? 8 : 4);
    if (how == 0) {
        add_comment(w); /* nothing */
    } else if (how == 1 && pick(w, 2) == 0) {
        aw_text_format(&w->out, " %s%s%*ssome text%s", pick(w, 2) ? "|" : ">-", w->end, at + 3, "",
                       w->end);
        if (pick(w, 2) == 0)
            aw_text_add(&w->out, w->end);
    } else if (how < 6) {
        aw_text_add(&w->out, " ");
        add_flow(w, 2);
        add_comment(w);
    } else if (behind_dash && pick(w, 2) == 0) {
        aw_text_add(&w->out, " ");
        add_block(w, at + 2, depth, true);
    } else {
        add_comment(w);
        add_block(w, at + 2, depth, false);
    }
}

static void random_text(writer *w)
{
    static const char *const ends[] = {"\n", "\r\n", "\n"};
    w->end = ends[pick(w, 3)];
    w->names = 0;
    w->aliases = pick(w, 2) == 0;
    if (pick(w, 4) == 0)
        aw_text_add(&w->out, "\xEF\xBB\xBF");
    add_block(w, 0, 4, false);
    /* No break at the end, which would make text in lines another one. */
    if (pick(w, 4) == 0 && memmem(w->out.at, w->out.n, "some text", 9) == NULL)
        w->out.n -= strlen(w->end);
}

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

static TCase *laws(void)
{
    TCase *tc = tcase_create("laws");
    tcase_add_test(tc, an_edited_text_reads_as_the_edited_tree_and_nothing_else_changes);
    tcase_add_test(tc, so_do_the_demos_with_either_line_end);
    return tc;
}

AW_TEST_MAIN("edit laws", laws())
