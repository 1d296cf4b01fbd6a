/* A text's items are those of its lists that have names, the keys of its other blocks, and what
 * stands by itself; each with the bytes that hold it. Both sides are looked up from the base and
 * from each other. */
#include "live/conflict.h"

#include <stdlib.h>
#include <string.h>

#include "live/source.h"
#include "scenario/yaml.h"

#define MOST_ITEMS 100000

typedef struct item {
    char *name;
    const char *at; /* in its text */
    size_t n;
} item;

typedef struct items {
    item *list;
    size_t n, room;
    bool failed; /* the text is no mapping, or: */
    bool lost;   /* memory ran out */
} items;

static void add(items *all, const char *block, const char *name, const aw_text *text,
                const aw_node *value)
{
    aw_text whole = {0};
    if (all->n == all->room) {
        const size_t room = all->room > 0 ? 2 * all->room : 64;
        item *list = room <= MOST_ITEMS ? realloc(all->list, room * sizeof *list) : NULL;
        all->failed = all->failed || list == NULL;
        all->lost = all->lost || (list == NULL && room <= MOST_ITEMS);
        if (list == NULL)
            return;
        all->list = list;
        all->room = room;
    }
    aw_text_format(&whole, "%s%s%s", block, name != NULL ? "." : "", name != NULL ? name : "");
    all->failed = all->failed || whole.failed;
    all->lost = all->lost || whole.failed;
    if (whole.failed)
        aw_text_free(&whole);
    else
        all->list[all->n++] = (item){whole.at, text->at + value->begin, value->end - value->begin};
}

static void add_block(items *all, const char *key, const aw_text *text, const aw_node *value)
{
    bool named = value->kind == AW_NODE_LIST && value->n > 0;
    for (size_t i = 0; named && i < value->n; i++) {
        const aw_node *name = value->children[i]->kind == AW_NODE_MAPPING
                                  ? aw_node_find(value->children[i], "name")
                                  : NULL;
        named = name != NULL && name->kind == AW_NODE_SCALAR;
    }
    if (named)
        for (size_t i = 0; i < value->n; i++)
            add(all, key, aw_node_find(value->children[i], "name")->text, text, value->children[i]);
    else if (value->kind == AW_NODE_MAPPING)
        for (size_t i = 0; i + 1 < value->n; i += 2)
            add(all, key, value->children[i]->text, text, value->children[i + 1]);
    else
        add(all, key, NULL, text, value);
}

static int by_name(const void *a, const void *b)
{
    return strcmp(((const item *)a)->name, ((const item *)b)->name);
}

static items list_items(const aw_text *text)
{
    items all = {0};
    aw_errors errors = {0};
    aw_arena *arena = aw_arena_create();
    const aw_node *root =
        arena != NULL ? aw_yaml_read(arena, text->n > 0 ? text->at : "", text->n, &errors) : NULL;
    all.lost = arena == NULL || aw_errors_out_of_memory(&errors);
    all.failed = root == NULL || root->kind != AW_NODE_MAPPING;
    for (size_t i = 0; !all.failed && i + 1 < root->n; i += 2)
        add_block(&all, root->children[i]->text, text, root->children[i + 1]);
    if (all.n > 1)
        qsort(all.list, all.n, sizeof *all.list, by_name);
    aw_arena_free(arena);
    aw_errors_free(&errors);
    return all;
}

static void free_items(items *all)
{
    for (size_t i = 0; i < all->n; i++)
        free(all->list[i].name);
    free(all->list);
}

static int by_key(const void *key, const void *of)
{
    return strcmp(key, ((const item *)of)->name);
}

static const item *find(const items *all, const char *name)
{
    return all->n > 0 ? bsearch(name, all->list, all->n, sizeof *all->list, by_key) : NULL;
}

static bool is_same(const item *a, const item *b)
{
    return a == NULL || b == NULL ? a == b : a->n == b->n && memcmp(a->at, b->at, a->n) == 0;
}

static char *copy(const item *of)
{
    return of != NULL ? strndup(of->at, of->n) : NULL;
}

static bool add_clash(aw_conflict *c, const char *name, const item *mine, const item *disk)
{
    aw_clash *list = realloc(c->list, (c->n + 1) * sizeof *list);
    if (list == NULL)
        return false;
    c->list = list;
    list[c->n] = (aw_clash){strdup(name), copy(mine), copy(disk)};
    return list[c->n++].item != NULL;
}

/* Items that `seen` has: clashes among them, each told once. */
static bool compare(aw_conflict *c, const items *seen, const items of[3], bool all)
{
    for (size_t i = 0; i < seen->n; i++) {
        const char *name = seen->list[i].name;
        const item *base = find(&of[0], name), *mine = find(&of[1], name),
                   *disk = find(&of[2], name);
        if (!all && mine != NULL)
            continue; /* told already */
        if (!is_same(base, mine) && !is_same(base, disk) && !is_same(mine, disk) &&
            !add_clash(c, name, mine, disk))
            return false;
    }
    return true;
}

bool aw_conflict_find(aw_conflict *c, const aw_text *base, const aw_text *mine, const aw_text *disk)
{
    items of[3] = {list_items(base), list_items(mine), list_items(disk)};
    *c = (aw_conflict){0};
    const bool compared = !of[0].failed && !of[1].failed && !of[2].failed;
    bool done = true;
    if (compared)
        done = compare(c, &of[1], of, true) && compare(c, &of[2], of, false);
    c->clean = compared && done && c->n == 0;
    for (int k = 0; k < 3; k++)
        free_items(&of[k]);
    return done;
}

void aw_conflict_free(aw_conflict *c)
{
    for (size_t i = 0; i < c->n; i++) {
        free(c->list[i].item);
        free(c->list[i].mine);
        free(c->list[i].disk);
    }
    free(c->list);
    *c = (aw_conflict){0};
}

/* Where a place of a text is, NULL behind its end; columns are characters. */
static const char *find_place(const aw_text *text, int line, int column)
{
    const char *at = aw_source_find(text, line), *end = text->at + text->n;
    for (int i = 1; at != NULL && i < column && at < end && *at != '\n'; i++)
        do
            at++;
        while (at < end && ((unsigned char)*at & 0xC0) == 0x80);
    return at;
}

void aw_item_at(const aw_text *text, int line, int column, aw_text *out)
{
    items all = list_items(text);
    const char *place = find_place(text, line, column), *last = NULL;
    for (size_t i = 0; !all.failed && i < all.n; i++)
        if ((place == NULL || all.list[i].at <= place) && (last == NULL || all.list[i].at > last)) {
            last = all.list[i].at;
            out->n = 0;
            aw_text_add(out, all.list[i].name);
        }
    out->failed |= all.lost;
    free_items(&all);
}
