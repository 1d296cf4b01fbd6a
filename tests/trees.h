/* Random scenario-like texts, and a tree of the tests' own to edit beside them. */
#ifndef AW_TESTS_TREES_H
#define AW_TESTS_TREES_H

#include <string.h>

#include "anchorwise/text.h"
#include "aw_test.h"
#include "scenario/yaml.h"

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

#endif
