/* A change copies the nodes from the root down to it and shares all others with the tree before it.
 */
#include "scenario/tree.h"

#include <string.h>

#include "anchorwise/edit.h"

bool aw_tree_is_same(const aw_node *a, const aw_node *b)
{
    if (a->kind != b->kind || a->n != b->n || a->plain != b->plain)
        return false;
    if (a->kind == AW_NODE_SCALAR)
        return a->length == b->length && memcmp(a->text, b->text, a->length) == 0;
    for (size_t i = 0; i < a->n; i++)
        if (!aw_tree_is_same(a->children[i], b->children[i]))
            return false;
    return true;
}

const aw_node *aw_tree_value(aw_arena *arena, const char *path, const char *value,
                             aw_errors *errors)
{
    aw_text text = {0};
    aw_errors found = {0};
    aw_text_format(&text, "[%s]", value);
    const aw_node *list = text.failed ? NULL : aw_yaml_read(arena, text.at, text.n, &found);
    /* "a: b" could stand between brackets, but behind no key. */
    const bool pair = list != NULL && list->n == 1 && list->children[0]->kind == AW_NODE_MAPPING &&
                      strpbrk(value, "{*") == NULL;
    const bool one = list != NULL && !pair && found.n_errors == 0 && list->kind == AW_NODE_LIST &&
                     list->n == 1 && list->end == text.n && strpbrk(value, "\r\n") == NULL &&
                     list->children[0]->end > list->children[0]->begin;
    if (text.failed || aw_errors_out_of_memory(&found))
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for an edit");
    else if (!one)
        aw_errors_add(errors, AW_ERROR, 0, 0, "%s: '%s' is not a value on one line",
                      aw_text_shown(path, strlen(path)).text,
                      aw_text_shown(value, strlen(value)).text);
    aw_text_free(&text);
    aw_errors_free(&found);
    return one ? list->children[0] : NULL;
}

/* A copy of a collection with `cut` children out at a place and `n` others in. */
static const aw_node *with_children(aw_arena *arena, const aw_node *node, size_t at, size_t cut,
                                    const aw_node *const put[], size_t n)
{
    aw_node *copy = aw_arena_take(arena, sizeof *copy);
    const aw_node **children = aw_arena_take_array(arena, node->n + n, sizeof *children);
    if (copy == NULL || children == NULL)
        return NULL;
    for (size_t i = 0; i < at; i++)
        children[i] = node->children[i];
    for (size_t i = 0; i < n; i++)
        children[at + i] = put[i];
    for (size_t i = at + cut; i < node->n; i++)
        children[i + n - cut] = node->children[i];
    *copy = *node;
    copy->children = children;
    copy->n = node->n + n - cut;
    return copy;
}

/* The tree in which node `k` of the trail is another. */
static const aw_node *with_node(aw_arena *arena, const aw_trail *t, size_t k, const aw_node *node)
{
    while (node != NULL && k-- > 0)
        node = with_children(arena, t->at[k], t->child[k], 1, &node, 1);
    return node;
}

static const aw_node *make_key(aw_arena *arena, const aw_trail *t, int line)
{
    aw_node *key = aw_arena_take(arena, sizeof *key);
    aw_text quoted = {0};
    if (key == NULL)
        return NULL;
    aw_edit_quote(&quoted, t->key);
    *key = (aw_node){.kind = AW_NODE_SCALAR,
                     .plain = quoted.n > 0 && quoted.at[0] != '"',
                     .line = line,
                     .text = aw_arena_copy_text(arena, t->key, t->key_length),
                     .length = t->key_length};
    const bool made = !quoted.failed && key->text != NULL;
    aw_text_free(&quoted);
    return made ? key : NULL;
}

const aw_node *aw_tree_changed(aw_arena *arena, const aw_trail *t, bool insert,
                               const aw_node *value, int line)
{
    const size_t last = t->n - 1;
    if (insert) {
        const bool mapping = t->at[last]->kind == AW_NODE_MAPPING;
        const aw_node *put[2] = {mapping ? make_key(arena, t, line) : value, value};
        return put[0] == NULL ? NULL
                              : with_node(arena, t, last,
                                          with_children(arena, t->at[last], t->child[last], 0, put,
                                                        mapping ? 2 : 1));
    }
    if (value != NULL)
        return with_node(arena, t, last, value);
    const aw_node *parent = t->at[last - 1];
    const size_t width = parent->kind == AW_NODE_MAPPING ? 2 : 1;
    return with_node(arena, t, last - 1,
                     with_children(arena, parent, t->child[last - 1] + 1 - width, width, NULL, 0));
}

const aw_node *aw_tree_placed(aw_arena *arena, const aw_node *node, int line)
{
    aw_node *copy = aw_arena_take(arena, sizeof *copy);
    const aw_node **children =
        node->n > 0 ? aw_arena_take_array(arena, node->n, sizeof *children) : NULL;
    if (copy == NULL || (node->n > 0 && children == NULL))
        return NULL;
    for (size_t i = 0; i < node->n; i++)
        if ((children[i] = aw_tree_placed(arena, node->children[i], line)) == NULL)
            return NULL;
    *copy = *node;
    copy->line = line;
    copy->column = 0;
    copy->children = children;
    return copy;
}
