/* An edit is a patch of bytes and a change of the tree, made from the same path; the patched text
 * is read again and must give the changed tree, else nothing is done. So a turn of YAML that the
 * patch does not foresee is refused and not spoiled. */
#include "anchorwise/edit.h"

#include <stdlib.h>
#include <string.h>

#include "scenario/patch.h"
#include "scenario/path.h"
#include "scenario/tree.h"

struct aw_edit {
    aw_text text;
    aw_arena *arena; /* of the tree */
    const aw_node *root;
};

static bool run_out(aw_errors *errors)
{
    aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for an edit");
    return false;
}

/* Reads the text into a tree; keeps both if it can be read. */
static bool take_text(aw_edit *e, aw_text *text, aw_errors *errors)
{
    aw_arena *arena = aw_arena_create();
    const size_t before = errors->n_errors;
    if (arena == NULL)
        return run_out(errors);
    const aw_node *root = aw_yaml_read(arena, text->at, text->n, errors);
    if (root == NULL || errors->n_errors > before) {
        aw_arena_free(arena);
        return false;
    }
    aw_arena_free(e->arena);
    aw_text_free(&e->text);
    *e = (aw_edit){*text, arena, root};
    *text = (aw_text){0};
    return true;
}

aw_edit *aw_edit_create(const char text[], size_t length, aw_errors *errors)
{
    aw_edit *e = calloc(1, sizeof *e);
    aw_text copy = {0};
    aw_text_add_bytes(&copy, text, length);
    if (e == NULL || copy.failed)
        run_out(errors);
    else if (take_text(e, &copy, errors))
        return e;
    aw_text_free(&copy);
    free(e);
    return NULL;
}

void aw_edit_free(aw_edit *e)
{
    if (e == NULL)
        return;
    aw_arena_free(e->arena);
    aw_text_free(&e->text);
    free(e);
}

const char *aw_edit_text(const aw_edit *e, size_t *length)
{
    *length = e->text.n;
    return e->text.at;
}

bool aw_edit_has(const aw_edit *e, const char *path)
{
    aw_errors ignored = {0};
    aw_trail trail;
    const bool has = aw_path_follow(&trail, e->root, path, false, &ignored);
    aw_errors_free(&ignored);
    return has;
}

/* --- an edit --- */

static bool refuse(const char *path, const aw_node *node, const char *why, aw_errors *errors)
{
    aw_errors_add(errors, AW_ERROR, node->line, node->column, "%s: %s",
                  aw_text_shown(path, strlen(path)).text, why);
    return false;
}

static bool holds_copied(const aw_node *node)
{
    if (node->copied)
        return true;
    for (size_t i = 0; !node->alias && i < node->n; i++)
        if (holds_copied(node->children[i]))
            return true;
    return false;
}

/* Whether an edit there stays there. `deep`: what the last node holds goes too. */
static bool stands_alone(const aw_trail *t, const char *path, bool deep, aw_errors *errors)
{
    for (size_t k = 0; k < t->n; k++) {
        const bool last = k + 1 == t->n;
        if (t->at[k]->alias && !(last && deep))
            return refuse(path, t->at[k],
                          "stands in an alias; an edit would change what it names as well", errors);
        if (t->at[k]->copied || (last && deep && holds_copied(t->at[k])))
            return refuse(path, t->at[k],
                          "an alias copies this elsewhere; an edit would change the copy as well",
                          errors);
    }
    return true;
}

/* Puts a patch in place if the text then reads as the tree. */
static bool apply(aw_edit *e, const aw_patch *patch, const aw_node *tree, const char *path,
                  const aw_node *node, aw_errors *errors)
{
    aw_text text = {0};
    aw_errors found = {0};
    size_t at = 0;
    for (size_t i = 0; i < patch->n; i++) {
        const aw_splice *s = &patch->splices[i];
        aw_text_add_bytes(&text, e->text.at + at, s->at - at);
        aw_text_add(&text, s->put.at != NULL ? s->put.at : "");
        text.failed = text.failed || s->put.failed;
        at = s->at + s->cut;
    }
    aw_text_add_bytes(&text, e->text.at + at, e->text.n - at);
    aw_edit fresh = {0};
    const bool read = !text.failed && take_text(&fresh, &text, &found);
    const bool done = read && aw_tree_is_same(fresh.root, tree);
    if (text.failed || aw_errors_out_of_memory(&found))
        run_out(errors);
    else if (!done)
        refuse(path, node, "is written in a way that cannot be patched", errors);
    aw_text_free(&text);
    aw_errors_free(&found);
    aw_edit old = done ? *e : fresh;
    if (done)
        *e = fresh;
    aw_arena_free(old.arena);
    aw_text_free(&old.text);
    return done;
}

typedef enum action { SET, INSERT, REMOVE } action;

static bool edit(aw_edit *e, action what, const char *path, const char *text, aw_errors *errors)
{
    aw_trail trail;
    const aw_node *value = NULL, *tree;
    aw_patch patch = {0};
    if (!aw_path_follow(&trail, e->root, path, what == INSERT, errors) ||
        !stands_alone(&trail, path, what != INSERT, errors))
        return false;
    if (what != REMOVE && (value = aw_tree_value(e->arena, path, text, errors)) == NULL)
        return false;
    tree = aw_tree_changed(e->arena, &trail, what == INSERT, value, 0);
    if (tree == NULL)
        return run_out(errors);
    const aw_node *node = trail.at[trail.n - 1];
    const bool possible = what == SET      ? aw_patch_set(&patch, &e->text, &trail, text)
                          : what == INSERT ? aw_patch_insert(&patch, &e->text, &trail, text)
                                           : aw_patch_remove(&patch, &e->text, &trail);
    const bool done =
        possible ? apply(e, &patch, tree, path, node, errors)
                 : refuse(path, node, "is written in a way that cannot be patched", errors);
    aw_patch_free(&patch);
    return done;
}

bool aw_edit_set(aw_edit *e, const char *path, const char *value, aw_errors *errors)
{
    return edit(e, SET, path, value, errors);
}

bool aw_edit_insert(aw_edit *e, const char *path, const char *value, aw_errors *errors)
{
    return edit(e, INSERT, path, value, errors);
}

bool aw_edit_remove(aw_edit *e, const char *path, aw_errors *errors)
{
    return edit(e, REMOVE, path, NULL, errors);
}

/* --- lists in lines --- */

/* Puts lines in the place of a value that is there. */
static bool set_lines(aw_edit *e, const char *path, const char *lines, aw_errors *errors)
{
    aw_trail trail;
    aw_patch patch = {0};
    if (!aw_path_follow(&trail, e->root, path, false, errors) ||
        !stands_alone(&trail, path, true, errors))
        return false;
    const aw_node *value = aw_yaml_read(e->arena, lines, strlen(lines), errors);
    const aw_node *tree = value != NULL ? aw_tree_changed(e->arena, &trail, false, value, 0) : NULL;
    if (tree == NULL)
        return value != NULL && run_out(errors);
    const bool done = aw_patch_set_lines(&patch, &e->text, &trail, lines) &&
                      apply(e, &patch, tree, path, trail.at[trail.n - 1], errors);
    aw_patch_free(&patch);
    return done;
}

/* The items behind their dashes, without comments. */
static void add_on_one_line(aw_text *out, const char *lines)
{
    bool follows = false;
    aw_text_add(out, "[");
    while (*lines != '\0') {
        const size_t n = strcspn(lines, "\n");
        if (n > 2 && lines[0] == '-') {
            aw_text_add(out, follows ? ", " : "");
            aw_text_add_bytes(out, lines + 2, n - 2);
            follows = true;
        }
        lines += n + (lines[n] == '\n');
    }
    aw_text_add(out, "]");
}

static bool set_or_insert(aw_edit *e, const char *path, const char *value, aw_errors *errors)
{
    return aw_edit_has(e, path) ? aw_edit_set(e, path, value, errors)
                                : aw_edit_insert(e, path, value, errors);
}

bool aw_edit_set_list(aw_edit *e, const char *key, const char *inner, const char *lines,
                      aw_errors *errors)
{
    aw_text path = {0}, line = {0}, block = {0};
    const bool fresh = inner != NULL && !aw_edit_has(e, key);
    aw_text_format(&path, "%s%s%s", key, inner != NULL && !fresh ? "." : "",
                   inner != NULL && !fresh ? inner : "");
    if (fresh)
        aw_text_format(&line, "{%s: ", inner);
    add_on_one_line(&line, lines);
    aw_text_add(&line, fresh ? "}" : "");
    if (fresh)
        aw_text_format(&block, "%s:\n", inner);
    aw_text_add(&block, lines);
    bool done = !path.failed && !line.failed && !block.failed;
    if (!done)
        run_out(errors);
    /* On one line it can stand anywhere; from there it goes into lines where that is possible. */
    done = done && set_or_insert(e, path.at, line.at, errors);
    if (done) {
        aw_errors ignored = {0};
        set_lines(e, path.at, block.at, &ignored);
        aw_errors_free(&ignored);
    }
    aw_text_free(&path);
    aw_text_free(&line);
    aw_text_free(&block);
    return done;
}

bool aw_edit_remark(aw_edit *e, const char *mark, const char *lines, aw_errors *errors)
{
    aw_patch patch = {0};
    aw_patch_remark(&patch, &e->text, mark, lines);
    const bool done = apply(e, &patch, e->root, "the text", e->root, errors);
    aw_patch_free(&patch);
    return done;
}
