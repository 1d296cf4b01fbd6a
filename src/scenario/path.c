/* One step at a time: a key, a number or a name in brackets; each must lead somewhere. */
#include "scenario/path.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Text in quotes; where it ends, NULL if it does not. */
static const char *read_quoted(const char *at, aw_step *s)
{
    s->quoted = true;
    for (at++; *at != '"'; at++) {
        if (*at == '\\')
            at++;
        if (*at == '\0' || s->length + 1 == sizeof s->text)
            return NULL;
        s->text[s->length++] = *at;
    }
    return at + 1;
}

/* Text up to one of some characters, or in quotes. */
static const char *read_words(const char *at, const char *until, aw_step *s)
{
    if (*at == '"')
        return read_quoted(at, s);
    const size_t n = strcspn(at, until);
    if (n == 0 || n >= sizeof s->text)
        return NULL;
    memcpy(s->text, at, n);
    s->length = n;
    return at + n;
}

static const char *read_bracket(const char *at, aw_step *s)
{
    static const char name[] = "name=";
    if (*at == ']') {
        s->kind = AW_STEP_END;
    } else if (*at == '"') {
        s->kind = AW_STEP_KEY;
        at = read_quoted(at, s);
    } else if (strncmp(at, name, strlen(name)) == 0) {
        s->kind = AW_STEP_NAME;
        at = read_words(at + strlen(name), "]", s);
    } else {
        char *end;
        const size_t digits = strspn(at, "0123456789");
        s->kind = AW_STEP_ITEM;
        s->item = strtoul(at, &end, 10);
        at = digits > 0 && digits < 10 ? end : NULL;
    }
    return at != NULL && *at == ']' ? at + 1 : NULL;
}

const char *aw_path_step(const char *at, bool first, aw_step *s)
{
    *s = (aw_step){.kind = AW_STEP_KEY};
    if (*at == '[')
        return read_bracket(at + 1, s);
    if (!first && *at++ != '.')
        return NULL;
    return read_words(at, ".[", s);
}

static bool complain(const aw_node *node, const char *path, const char *what, aw_errors *errors)
{
    aw_errors_add(errors, AW_ERROR, node->line, node->column, "%s: %s",
                  aw_text_shown(path, strlen(path)).text, what);
    return false;
}

static bool has_text(const aw_node *node, const aw_step *s)
{
    return node->kind == AW_NODE_SCALAR && node->length == s->length &&
           memcmp(node->text, s->text, s->length) == 0;
}

static bool has_name(const aw_node *item, const aw_step *s)
{
    const aw_node *name = item->kind == AW_NODE_MAPPING ? aw_node_find(item, "name") : NULL;
    return name != NULL && has_text(name, s);
}

/* The child that a step leads to; the node's n if it leads to none. A key of a list is the name of
 * an item, else its number. */
static size_t find_child(const aw_node *node, const aw_step *s)
{
    const bool mapping = node->kind == AW_NODE_MAPPING;
    size_t item = node->n;
    for (size_t i = 0; (s->kind == AW_STEP_KEY || s->kind == AW_STEP_NAME) && i < node->n;
         i += mapping ? 2 : 1)
        if (mapping ? has_text(node->children[i], s) : has_name(node->children[i], s))
            return i + mapping;
    if (s->kind == AW_STEP_ITEM)
        item = s->item;
    else if (s->kind == AW_STEP_KEY && !mapping && !s->quoted && s->length < 10 &&
             strspn(s->text, "0123456789") == s->length)
        item = strtoul(s->text, NULL, 10);
    return item < node->n ? item : node->n;
}

/* The last step of an insertion. */
static bool find_gap(aw_trail *t, const aw_step *s, const char *path, aw_errors *errors)
{
    const aw_node *node = t->at[t->n - 1];
    t->child[t->n - 1] = s->kind == AW_STEP_ITEM ? s->item : node->n;
    if (node->kind == AW_NODE_LIST)
        return (s->kind == AW_STEP_END || (s->kind == AW_STEP_ITEM && s->item <= node->n)) ||
               complain(node, path, "the list is not that long", errors);
    if (find_child(node, s) < node->n)
        return complain(node, path, "the key is there already", errors);
    memcpy(t->key, s->text, s->length);
    t->key_length = s->length;
    return true;
}

/* Whether a step can lead from a node to a child. */
static bool fits(const aw_step *s, const aw_node *node)
{
    return s->kind == AW_STEP_KEY ? node->kind != AW_NODE_SCALAR : node->kind == AW_NODE_LIST;
}

bool aw_path_follow(aw_trail *t, const aw_node *root, const char *path, bool insert,
                    aw_errors *errors)
{
    const char *at = path;
    *t = (aw_trail){.at = {root}, .n = 1};
    do {
        aw_step s;
        const aw_node *node = t->at[t->n - 1];
        at = aw_path_step(at, at == path, &s);
        if (at == NULL || (s.kind == AW_STEP_END && (!insert || *at != '\0')))
            return complain(node, path, "is not a path", errors);
        if (!fits(&s, node))
            return complain(node, path, s.kind == AW_STEP_KEY ? "not a mapping" : "not a list",
                            errors);
        if (insert && *at == '\0')
            return find_gap(t, &s, path, errors);
        const size_t child = find_child(node, &s);
        if (child == node->n)
            return complain(node, path, "leads nowhere", errors);
        t->child[t->n - 1] = child;
        t->at[t->n++] = node->children[child];
    } while (*at != '\0');
    return true;
}

const char *aw_path_reach(aw_trail *t, const aw_node *root, const char *path)
{
    const char *at = path;
    *t = (aw_trail){.at = {root}, .n = 1};
    while (*at != '\0') {
        aw_step s;
        const aw_node *node = t->at[t->n - 1];
        const char *next = aw_path_step(at, at == path, &s);
        const size_t child = next != NULL && fits(&s, node) ? find_child(node, &s) : node->n;
        if (child == node->n)
            break;
        t->child[t->n - 1] = child;
        t->at[t->n++] = node->children[child];
        at = next;
    }
    return at;
}
