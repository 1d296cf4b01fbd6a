/* A change is an edit of the text, and the same change of a tree whose nodes keep the places that
 * they have in the text as it was given: the scenario is read from that tree. What came with change
 * k has line -1 - k there, by which its complaints are known. */
#include "anchorwise/vary.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/edit.h"
#include "scenario/reader.h"
#include "scenario/tree.h"

/* Names that are searched for what was meant. */
#define NAMES_SEARCHED 250

typedef struct job {
    aw_edit *edit;
    aw_arena *arena; /* of the tree */
    const aw_node *tree;
    const aw_change *change;
    int line; /* of what comes with it */
    aw_errors *errors;
} job;

const char *aw_change_value(const char *text)
{
    size_t depth = 0;
    bool quoted = false;
    const char *at = text;
    for (; *at != '\0' && (*at != '=' || quoted || depth > 0); at++) {
        if (quoted && *at == '\\' && at[1] != '\0')
            at++;
        else if (*at == '"')
            quoted = !quoted;
        else if (!quoted && *at == '[')
            depth++;
        else if (!quoted && *at == ']' && depth > 0)
            depth--;
    }
    const size_t path = (size_t)(at - text);
    if (*at == '\0' || strspn(text, " ") == path || at[1 + strspn(at + 1, " ")] == '\0')
        return NULL;
    return at + 1;
}

static bool complain(const job *j, const char *format, ...) __attribute__((format(printf, 2, 3)));

static bool complain(const job *j, const char *format, ...)
{
    char text[512];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    aw_errors_add(j->errors, AW_ERROR, j->line, 0, "%s", text);
    return false;
}

static bool run_out(const job *j)
{
    aw_errors_add(j->errors, AW_ERROR, 0, 0, "out of memory for a change");
    return false;
}

/* --- making a change --- */

typedef enum action { SET, INSERT, REMOVE } action;

/* Hands on what an edit complains of, without the path, which stands before it anyhow. */
static void hand_on(const job *j, const aw_errors *found, const char *path)
{
    char head[sizeof(aw_shown) + 2];
    snprintf(head, sizeof head, "%s: ", aw_text_shown(path, strlen(path)).text);
    if (aw_errors_out_of_memory(found)) {
        run_out(j);
        return;
    }
    for (size_t i = 0; i < found->n; i++) {
        const char *text = found->list[i].text;
        const bool named = strncmp(text, head, strlen(head)) == 0;
        complain(j, "%s", named ? text + strlen(head) : text);
    }
}

static bool edit_text(const job *j, action what, const char *path, const char *value)
{
    aw_errors found = {0};
    const bool done = what == SET      ? aw_edit_set(j->edit, path, value, &found)
                      : what == INSERT ? aw_edit_insert(j->edit, path, value, &found)
                                       : aw_edit_remove(j->edit, path, &found);
    if (!done)
        hand_on(j, &found, path);
    aw_errors_free(&found);
    return done;
}

static bool edit_both(job *j, action what, const char *path, const char *value)
{
    aw_trail trail;
    const aw_node *node = NULL, *tree = NULL;
    if (!edit_text(j, what, path, value))
        return false;
    if (!aw_path_follow(&trail, j->tree, path, what == INSERT, j->errors))
        return false;
    if (what != REMOVE) {
        node = aw_tree_value(j->arena, path, value, j->errors);
        node = node != NULL ? aw_tree_placed(j->arena, node, j->line) : NULL;
    }
    if (what == REMOVE || node != NULL)
        tree = aw_tree_changed(j->arena, &trail, what == INSERT, node, j->line);
    if (tree == NULL)
        return run_out(j);
    j->tree = tree;
    return true;
}

/* --- what a path names --- */

/* Where the written part of a path ends: its last node, and what the format says of it. */
typedef struct end {
    const aw_node *node;
    const char *key;       /* the last key on the way, "" of the root */
    const aw_field *field; /* its row; NULL: the root, or what the format does not know */
    aw_block_id block;     /* of a mapping; AW_BLOCKS: not known */
    bool names;            /* a mapping from names */
} end;

static void step_in(end *e, const aw_node *parent, size_t child)
{
    e->node = parent->children[child];
    if (parent->kind == AW_NODE_LIST)
        return;
    const aw_node *key = parent->children[child - 1];
    const bool named = e->names;
    e->key = key->text;
    e->names = false;
    if (named)
        return;
    e->field = e->block < AW_BLOCKS ? aw_field_find(e->block, key->text, key->length) : NULL;
    e->names = e->field != NULL && e->field->type == AW_FIELD_MATERIALS;
    e->block = e->field != NULL && (e->names || e->field->type == AW_FIELD_BLOCK ||
                                    e->field->type == AW_FIELD_LIST)
                   ? e->field->inner
                   : AW_BLOCKS;
}

static end find_end(const aw_trail *t)
{
    end e = {t->at[0], "", NULL, AW_BLOCK_SCENARIO, false};
    for (size_t k = 0; k + 1 < t->n; k++)
        step_in(&e, t->at[k], t->child[k]);
    return e;
}

/* Whether a material of that name is there without being written. */
static bool is_built_in(const char *name)
{
    for (size_t i = 0; i < aw_materials_built_in_n; i++)
        if (strcmp(aw_materials_built_in[i].name, name) == 0)
            return true;
    return false;
}

static size_t list_names(const aw_node *node, const char *known[NAMES_SEARCHED])
{
    size_t n = 0;
    const bool mapping = node->kind == AW_NODE_MAPPING;
    for (size_t i = 0; i < node->n && n < NAMES_SEARCHED; i += mapping ? 2 : 1) {
        const aw_node *item = node->children[i];
        const aw_node *name = mapping                         ? item
                              : item->kind == AW_NODE_MAPPING ? aw_node_find(item, "name")
                                                              : NULL;
        if (name != NULL && name->kind == AW_NODE_SCALAR)
            known[n++] = name->text;
    }
    return n;
}

static bool complain_of_item(const job *j, const end *e)
{
    return complain(j, "%s has %zu item%s, counted from 0",
                    aw_text_shown(e->key, strlen(e->key)).text, e->node->n,
                    e->node->n == 1 ? "" : "s");
}

static bool complain_of_name(const job *j, const end *e, const aw_step *s)
{
    const char *known[NAMES_SEARCHED];
    const size_t n = list_names(e->node, known);
    char where[80];
    aw_reader r = {.errors = j->errors, .prefix = ""};
    const aw_node node = {.text = s->text, .length = s->length, .line = j->line};
    if (e->names && is_built_in(s->text))
        return complain(j,
                        "'%s' is built in and not written; materials.%s={based_on: %s, ...} "
                        "writes it",
                        s->text, s->text, s->text);
    if (n == 0 || (!s->quoted && strspn(s->text, "0123456789") == s->length))
        return complain_of_item(j, e);
    snprintf(where, sizeof where, " in %s", aw_text_shown(e->key, strlen(e->key)).text);
    aw_complain_of_unknown(&r, "name", where, known, n, &node);
    return false;
}

/* --- what is not written yet --- */

static bool is_present_key(const aw_step *s)
{
    return s->kind == AW_STEP_KEY && !s->quoted && strcmp(s->text, "present") == 0;
}

/* Whether the value is one by itself: within a block it could be more. */
static bool is_one_value(const job *j)
{
    aw_errors found = {0};
    const char *path = j->change->path;
    const bool one = aw_tree_value(j->arena, path, j->change->value, &found) != NULL;
    if (!one)
        hand_on(j, &found, path);
    aw_errors_free(&found);
    return one;
}

/* The value with a block round it for each step that is left. */
static bool nest(const job *j, const char *rest, aw_text *out)
{
    aw_step s;
    size_t depth = 0;
    for (; *rest != '\0'; depth++) {
        rest = aw_path_step(rest, false, &s);
        if (rest == NULL || s.kind != AW_STEP_KEY)
            return complain(j, "%s", rest == NULL ? "is not a path" : "leads nowhere");
        if (*rest == '\0' && is_present_key(&s))
            return complain(j, "present: what that names is not written");
        aw_text_add(out, "{");
        aw_edit_quote(out, s.text);
        aw_text_add(out, ": ");
    }
    aw_text_add(out, j->change->value);
    while (depth-- > 0)
        aw_text_add(out, "}");
    return !out->failed || run_out(j);
}

/* A key that its mapping has not yet, from `rest` to `next` in the path. */
static bool insert_key(job *j, const end *e, const aw_step *s, const char *next)
{
    const aw_field *field =
        e->block < AW_BLOCKS && !e->names ? aw_field_find(e->block, s->text, s->length) : NULL;
    if (*next != '\0' && e->names)
        return complain_of_name(j, e, s);
    if (*next != '\0' && field != NULL &&
        (field->type == AW_FIELD_LIST || field->type == AW_FIELD_MATERIALS))
        return complain(j, "%s: none are written; %s=%s writes them", field->key, field->key,
                        field->type == AW_FIELD_LIST ? "[...]" : "{...}");
    aw_text path = {0}, value = {0};
    aw_text_add_bytes(&path, j->change->path, (size_t)(next - j->change->path));
    const bool nested = is_one_value(j) && nest(j, next, &value);
    const bool done = path.failed ? run_out(j) : nested && edit_both(j, INSERT, path.at, value.at);
    aw_text_free(&path);
    aw_text_free(&value);
    return done;
}

/* PATH.present: `rest` is where that key begins. */
static bool set_present(job *j, const char *rest)
{
    const char *value = j->change->value;
    aw_text path = {0};
    if (strcmp(value, "true") == 0)
        return true;
    if (strcmp(value, "false") != 0)
        return complain(j, "present: needs true or false, not '%s'",
                        aw_text_shown(value, strlen(value)).text);
    aw_text_add_bytes(&path, j->change->path, (size_t)(rest - j->change->path));
    const bool done = path.failed ? run_out(j) : edit_both(j, REMOVE, path.at, NULL);
    aw_text_free(&path);
    return done;
}

static bool make_change(job *j)
{
    const char *path = j->change->path;
    aw_trail trail;
    aw_step s;
    const char *rest = aw_path_reach(&trail, j->tree, path);
    if (*rest == '\0')
        return *path != '\0' ? edit_both(j, SET, path, j->change->value)
                             : complain(j, "is not a path");
    const char *next = aw_path_step(rest, rest == path, &s);
    const end e = find_end(&trail);
    if (next == NULL)
        return complain(j, "is not a path");
    if (is_present_key(&s) && *next == '\0' && trail.n > 1)
        return set_present(j, rest);
    if (e.node->kind == AW_NODE_MAPPING && s.kind == AW_STEP_KEY)
        return insert_key(j, &e, &s, next);
    if (e.node->kind == AW_NODE_LIST && s.kind == AW_STEP_END)
        return *next == '\0' ? edit_both(j, INSERT, path, j->change->value)
                             : complain(j, "is not a path");
    if (e.node->kind == AW_NODE_LIST)
        return s.kind == AW_STEP_ITEM ? complain_of_item(j, &e) : complain_of_name(j, &e, &s);
    return complain(j, "leads nowhere");
}

/* --- all of them --- */

/* The changes as the scenario remembers them, without blanks round them; NULL without memory. */
static const aw_change *keep_changes(aw_arena *arena, const aw_change changes[], size_t n)
{
    aw_change *kept = aw_arena_take_array(arena, n, sizeof *kept);
    for (size_t k = 0; kept != NULL && k < n; k++) {
        const char *texts[2] = {changes[k].path, changes[k].value};
        for (int i = 0; i < 2; i++) {
            texts[i] += strspn(texts[i], " ");
            size_t length = strlen(texts[i]);
            while (length > 0 && texts[i][length - 1] == ' ')
                length--;
            texts[i] = aw_arena_copy_text(arena, texts[i], length);
        }
        if (texts[0] == NULL || texts[1] == NULL)
            return NULL;
        kept[k] = (aw_change){texts[0], texts[1]};
    }
    return kept;
}

static void put_before(aw_errors *errors, aw_complaint *c, const char *word,
                       const aw_change *change)
{
    aw_text text = {0};
    aw_text_format(&text, "%s--set %s=%s: %s", word,
                   aw_text_shown(change->path, strlen(change->path)).text,
                   aw_text_shown(change->value, strlen(change->value)).text, c->text);
    if (text.failed) {
        errors->lost = true;
        aw_text_free(&text);
        return;
    }
    free(c->text);
    c->text = text.at;
}

/* Whether the text reads without a change. */
static bool is_sound(const aw_text *text, aw_errors *lost)
{
    aw_errors errors = {0};
    aw_scenario as_written;
    const bool sound = aw_scenario_parse(&as_written, text->at, text->n, &errors);
    lost->lost = lost->lost || aw_errors_out_of_memory(&errors);
    aw_scenario_free(&as_written);
    aw_errors_free(&errors);
    return sound;
}

/* Puts the change before each complaint of what came with it, and before the errors elsewhere that
 * the text has only with it, where there is but one change. */
static void name_changes(aw_errors *errors, const aw_text *text, const aw_change changes[],
                         size_t n)
{
    const bool follows = n == 1 && errors->n_errors > 0 && is_sound(text, errors);
    for (size_t i = 0; i < errors->n; i++) {
        aw_complaint *c = &errors->list[i];
        if (c->line < 0) {
            put_before(errors, c, "", &changes[-1 - c->line]);
            c->line = c->column = 0;
        } else if (c->line > 0 && c->severity == AW_ERROR && follows) {
            put_before(errors, c, "with ", &changes[0]);
        }
    }
}

static bool make_changes(job *j, const aw_change changes[], size_t n)
{
    for (size_t k = 0; k < n; k++) {
        j->change = &changes[k];
        j->line = -1 - (int)k;
        if (!make_change(j))
            return false;
    }
    return true;
}

/* Takes the edit's text in place of the one that was given. */
static bool take_text(const job *j, aw_text *text)
{
    size_t length;
    const char *bytes = aw_edit_text(j->edit, &length);
    aw_text varied = {0};
    aw_text_add_bytes(&varied, bytes, length);
    if (varied.failed) {
        aw_text_free(&varied);
        return run_out(j);
    }
    aw_text_free(text);
    *text = varied;
    return true;
}

bool aw_scenario_vary(aw_scenario *scenario, aw_text *text, const aw_change changes[], size_t n,
                      aw_errors *errors)
{
    *scenario = (aw_scenario){0};
    if (n == 0)
        return aw_scenario_parse(scenario, text->at, text->n, errors);
    job j = {.arena = aw_arena_create(), .errors = errors};
    const aw_change *kept = j.arena != NULL ? keep_changes(j.arena, changes, n) : NULL;
    if (kept == NULL)
        run_out(&j);
    else if ((j.edit = aw_edit_create(text->at, text->n, errors)) != NULL)
        j.tree = aw_yaml_read(j.arena, text->at, text->n, errors);
    const bool sound = j.tree != NULL && make_changes(&j, kept, n) &&
                       aw_scenario_read_tree(scenario, j.arena, j.tree, errors) &&
                       take_text(&j, text);
    if (kept != NULL)
        name_changes(errors, text, kept, n);
    aw_errors_sort(errors);
    aw_edit_free(j.edit);
    if (sound) {
        scenario->changes = kept;
        scenario->n_changes = n;
        scenario->memory = j.arena;
        return true;
    }
    *scenario = (aw_scenario){0};
    aw_arena_free(j.arena);
    return false;
}
