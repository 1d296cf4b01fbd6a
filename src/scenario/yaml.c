/* libyaml's events are put together here and not by its own loader, which takes quadratic time on
 * nested text and knows neither duplicate keys nor cyclic aliases. One stack of open collections,
 * one of finished nodes that wait for their parent. */
#include "scenario/yaml.h"

#include <search.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

/* A balanced tree and not a hash holds the anchors: nobody can make it slow. */
typedef struct anchor {
    const char *name;
    aw_node *node;
} anchor;

typedef struct builder {
    aw_arena *arena;
    aw_errors *errors;
    const char *text; /* without a byte order mark */
    size_t length;
    size_t skipped;     /* bytes of that mark */
    size_t byte, index; /* one place of the text: bytes and characters before it */
    void *anchors;
    aw_node *open[AW_YAML_DEPTH];
    size_t first[AW_YAML_DEPTH]; /* where an open collection's children begin in waiting[] */
    size_t depth;
    const aw_node **waiting;
    size_t n_waiting, room;
    size_t n_nodes;
    const aw_node *root;
} builder;

static bool refuse(builder *b, const yaml_mark_t *mark, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static bool refuse(builder *b, const yaml_mark_t *mark, const char *format, ...)
{
    char text[256];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    aw_errors_add(b->errors, AW_ERROR, (int)mark->line + 1, (int)mark->column + 1, "%s", text);
    return false;
}

static bool run_out(builder *b)
{
    aw_errors_add(b->errors, AW_ERROR, 0, 0, "out of memory");
    return false;
}

static bool begins_character(char byte)
{
    return ((unsigned char)byte & 0xC0) != 0x80;
}

/* The byte of a mark. libyaml's marks count characters; they rise but for the ends of blocks, so
 * the walk from one to the next is short. */
static size_t byte_at(builder *b, const yaml_mark_t *mark)
{
    while (b->index < mark->index && b->byte < b->length) {
        b->byte++;
        while (b->byte < b->length && !begins_character(b->text[b->byte]))
            b->byte++;
        b->index++;
    }
    while (b->index > mark->index) {
        b->byte--;
        while (!begins_character(b->text[b->byte]))
            b->byte--;
        b->index--;
    }
    return b->skipped + b->byte;
}

static bool is_space(char byte)
{
    return byte == ' ' || byte == '\t' || byte == '\r' || byte == '\n';
}

/* The bytes of a scalar. The end of a block scalar is behind all empty lines that follow. */
static void set_span(builder *b, aw_node *node, const yaml_event_t *event, bool block)
{
    const char *text = b->text - b->skipped;
    node->begin = byte_at(b, &event->start_mark);
    node->end = byte_at(b, &event->end_mark);
    while (block && node->end > node->begin + 1 && is_space(text[node->end - 1]))
        node->end--;
}

static aw_node *make_node(builder *b, aw_node_kind kind, const yaml_mark_t *mark)
{
    aw_node *node = aw_arena_take(b->arena, sizeof *node);
    if (node == NULL)
        return NULL;
    node->kind = kind;
    node->line = (int)mark->line + 1;
    node->column = (int)mark->column + 1;
    node->size = 1;
    return node;
}

static bool count_nodes(builder *b, size_t n, const yaml_mark_t *mark)
{
    b->n_nodes += n;
    if (b->n_nodes > AW_YAML_NODES)
        return refuse(b, mark, "the scenario holds over %d values, aliases counted in full",
                      AW_YAML_NODES);
    return true;
}

static bool hand_to_parent(builder *b, const aw_node *node)
{
    if (b->depth == 0) {
        b->root = node;
        return true;
    }
    if (b->n_waiting == b->room) {
        const size_t room = b->room ? 2 * b->room : 64;
        const aw_node **waiting = realloc(b->waiting, room * sizeof *waiting);
        if (waiting == NULL)
            return run_out(b);
        b->waiting = waiting;
        b->room = room;
    }
    b->waiting[b->n_waiting++] = node;
    return true;
}

static int compare_anchors(const void *a, const void *b)
{
    return strcmp(((const anchor *)a)->name, ((const anchor *)b)->name);
}

static bool remember_anchor(builder *b, const yaml_char_t *name, aw_node *node)
{
    if (name == NULL)
        return true;
    const char *text = (const char *)name;
    anchor *fresh = aw_arena_take(b->arena, sizeof *fresh);
    if (fresh == NULL || (fresh->name = aw_arena_copy_text(b->arena, text, strlen(text))) == NULL)
        return run_out(b);
    anchor **slot = tsearch(fresh, &b->anchors, compare_anchors);
    if (slot == NULL)
        return run_out(b);
    (*slot)->node = node;
    return true;
}

static bool refuse_tag(builder *b, const yaml_char_t *tag, const yaml_mark_t *mark)
{
    if (tag == NULL)
        return true;
    return refuse(b, mark, "explicit tags are not allowed");
}

static bool add_alias(builder *b, const yaml_event_t *event)
{
    const char *name = (const char *)event->data.alias.anchor;
    const aw_shown shown = aw_text_shown(name, strlen(name));
    const anchor wanted = {.name = name};
    anchor **found = tfind(&wanted, &b->anchors, compare_anchors);
    if (found == NULL)
        return refuse(b, &event->start_mark, "alias '*%s' has no '&%s' before it", shown.text,
                      shown.text);
    aw_node *target = (*found)->node;
    for (size_t i = 0; i < b->depth; i++)
        if (b->open[i] == target)
            return refuse(b, &event->start_mark, "alias '*%s' stands inside what it names",
                          shown.text);
    aw_node *node = make_node(b, target->kind, &event->start_mark);
    if (node == NULL)
        return run_out(b);
    const int line = node->line, column = node->column;
    target->copied = true;
    *node = *target;
    node->line = line;
    node->column = column;
    node->alias = true;
    node->copied = false;
    set_span(b, node, event, false);
    return count_nodes(b, node->size, &event->start_mark) && hand_to_parent(b, node);
}

static bool add_scalar(builder *b, const yaml_event_t *event)
{
    aw_node *node = make_node(b, AW_NODE_SCALAR, &event->start_mark);
    if (node == NULL)
        return run_out(b);
    const char *text = (const char *)event->data.scalar.value;
    node->length = event->data.scalar.length;
    node->plain = event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
    node->text = aw_arena_copy_text(b->arena, text, node->length);
    if (node->text == NULL)
        return run_out(b);
    set_span(b, node, event,
             event->data.scalar.style == YAML_LITERAL_SCALAR_STYLE ||
                 event->data.scalar.style == YAML_FOLDED_SCALAR_STYLE);
    return refuse_tag(b, event->data.scalar.tag, &event->start_mark) &&
           count_nodes(b, 1, &event->start_mark) &&
           remember_anchor(b, event->data.scalar.anchor, node) && hand_to_parent(b, node);
}

static bool open_collection(builder *b, aw_node_kind kind, bool flow, const yaml_char_t *name,
                            const yaml_char_t *tag, const yaml_mark_t *mark)
{
    if (b->depth == AW_YAML_DEPTH)
        return refuse(b, mark, "lists and mappings are nested more than %d deep", AW_YAML_DEPTH);
    aw_node *node = make_node(b, kind, mark);
    if (node == NULL)
        return run_out(b);
    if (!refuse_tag(b, tag, mark) || !count_nodes(b, 1, mark) || !remember_anchor(b, name, node) ||
        !hand_to_parent(b, node))
        return false;
    node->flow = flow;
    node->begin = byte_at(b, mark);
    b->first[b->depth] = b->n_waiting;
    b->open[b->depth++] = node;
    return true;
}

typedef struct key {
    const aw_node *node;
    size_t order;
} key;

static int compare_texts(const aw_node *a, const aw_node *b)
{
    const size_t shorter = a->length < b->length ? a->length : b->length;
    const int order = memcmp(a->text, b->text, shorter);
    return order != 0 ? order : (a->length > b->length) - (a->length < b->length);
}

static int compare_keys(const void *a, const void *b)
{
    const key *k = a, *l = b;
    const int order = compare_texts(k->node, l->node);
    return order != 0 ? order : (k->order > l->order) - (k->order < l->order);
}

static void drop_pair(const aw_node *mapping, size_t i)
{
    mapping->children[i] = mapping->children[i + 1] = NULL;
}

/* Marks the later of two equal keys by NULL. */
static bool refuse_twins(builder *b, const aw_node *mapping)
{
    key *keys = malloc((mapping->n / 2 + 1) * sizeof *keys);
    size_t n = 0;
    if (keys == NULL)
        return run_out(b);
    for (size_t i = 0; i + 1 < mapping->n; i += 2)
        if (mapping->children[i] != NULL)
            keys[n++] = (key){mapping->children[i], i};
    qsort(keys, n, sizeof *keys, compare_keys);
    for (size_t i = 1, first = 0; i < n; i++) {
        const aw_node *earlier = keys[first].node, *later = keys[i].node;
        if (compare_texts(earlier, later) != 0) {
            first = i;
            continue;
        }
        const aw_shown shown = aw_text_shown(later->text, later->length);
        aw_errors_add(b->errors, AW_ERROR, later->line, later->column,
                      "key '%s' is given twice; first at line %d", shown.text, earlier->line);
        drop_pair(mapping, keys[i].order);
    }
    free(keys);
    return true;
}

static bool refuse_bad_keys(builder *b, aw_node *mapping)
{
    for (size_t i = 0; i + 1 < mapping->n; i += 2) {
        const aw_node *k = mapping->children[i];
        if (k->kind == AW_NODE_SCALAR)
            continue;
        aw_errors_add(b->errors, AW_ERROR, k->line, k->column, "a key must be text, not %s",
                      aw_node_shown(k).text);
        drop_pair(mapping, i);
    }
    if (!refuse_twins(b, mapping))
        return false;
    size_t kept = 0;
    for (size_t i = 0; i < mapping->n; i++)
        if (mapping->children[i] != NULL)
            mapping->children[kept++] = mapping->children[i];
    mapping->n = kept;
    return true;
}

/* A collection without a bracket at its end (a block, or one pair in a list of brackets) ends with
 * its last child: there libyaml's mark is that of whatever comes next. */
static size_t end_of_collection(builder *b, const yaml_event_t *event, size_t n)
{
    if (n == 0 || event->end_mark.index > event->start_mark.index)
        return byte_at(b, &event->end_mark);
    return b->waiting[b->n_waiting - 1]->end;
}

static bool close_collection(builder *b, const yaml_event_t *event)
{
    aw_node *node = b->open[--b->depth];
    const size_t first = b->first[b->depth], n = b->n_waiting - first;
    node->end = end_of_collection(b, event, n);
    node->children = aw_arena_take_array(b->arena, n, sizeof *node->children);
    if (node->children == NULL)
        return run_out(b);
    for (size_t i = 0; i < n; i++) {
        node->children[i] = b->waiting[first + i];
        node->size += node->children[i]->size;
    }
    node->n = n;
    b->n_waiting = first;
    return node->kind == AW_NODE_LIST || refuse_bad_keys(b, node);
}

static bool take_event(builder *b, const yaml_event_t *event)
{
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        if (b->root != NULL)
            return refuse(b, &event->start_mark,
                          "a second document begins; a file holds one scenario");
        return true;
    case YAML_ALIAS_EVENT:
        return add_alias(b, event);
    case YAML_SCALAR_EVENT:
        return add_scalar(b, event);
    case YAML_SEQUENCE_START_EVENT:
        return open_collection(
            b, AW_NODE_LIST, event->data.sequence_start.style == YAML_FLOW_SEQUENCE_STYLE,
            event->data.sequence_start.anchor, event->data.sequence_start.tag, &event->start_mark);
    case YAML_MAPPING_START_EVENT:
        return open_collection(
            b, AW_NODE_MAPPING, event->data.mapping_start.style == YAML_FLOW_MAPPING_STYLE,
            event->data.mapping_start.anchor, event->data.mapping_start.tag, &event->start_mark);
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        return close_collection(b, event);
    default:
        return true;
    }
}

/* libyaml names a bad byte by its offset alone. */
static yaml_mark_t mark_at(const char text[], size_t offset)
{
    yaml_mark_t mark = {0};
    for (size_t i = 0; i < offset; i++) {
        const bool breaks = text[i] == '\n' || (text[i] == '\r' && text[i + 1] != '\n');
        if (breaks)
            mark = (yaml_mark_t){.line = mark.line + 1};
        else if (begins_character(text[i]))
            mark.column++;
    }
    return mark;
}

static void report_syntax(builder *b, const yaml_parser_t *parser, const char text[], size_t length)
{
    if (parser->error == YAML_MEMORY_ERROR) {
        run_out(b);
    } else if (parser->error == YAML_READER_ERROR) {
        const size_t offset = parser->problem_offset < length ? parser->problem_offset : length;
        const yaml_mark_t mark = mark_at(text, offset);
        if (strstr(parser->problem, "control characters") != NULL)
            refuse(b, &mark, "U+%04X, an invisible control character, is not allowed",
                   (unsigned)parser->problem_value);
        else
            refuse(b, &mark, "%s", parser->problem);
    } else if (parser->context != NULL) {
        refuse(b, &parser->problem_mark, "%s (%s from line %zu)", parser->problem, parser->context,
               parser->context_mark.line + 1);
    } else {
        refuse(b, &parser->problem_mark, "%s", parser->problem);
    }
}

static void keep_node(void *node)
{
    (void)node;
}

static bool read_events(builder *b, yaml_parser_t *parser, const char text[], size_t length)
{
    for (;;) {
        yaml_event_t event;
        if (!yaml_parser_parse(parser, &event)) {
            report_syntax(b, parser, text, length);
            return false;
        }
        const bool ended = event.type == YAML_STREAM_END_EVENT;
        const bool sound = take_event(b, &event);
        yaml_event_delete(&event);
        if (!sound || ended)
            return sound;
    }
}

static bool begins_line(const char text[], const char *at)
{
    static const char *const breaks[] = {"\n", "\r", "\xC2\x85", "\xE2\x80\xA8", "\xE2\x80\xA9"};
    for (size_t i = 0; i < sizeof breaks / sizeof breaks[0]; i++) {
        const size_t n = strlen(breaks[i]);
        if ((size_t)(at - text) >= n && memcmp(at - n, breaks[i], n) == 0)
            return true;
    }
    return at == text;
}

/* libyaml compares each tag directive with all before it, and tags are refused anyhow. */
static bool refuse_directives(builder *b, const char text[], size_t length)
{
    const char *at = text;
    while ((at = memmem(at, length - (size_t)(at - text), "%TAG", 4)) != NULL) {
        if (begins_line(text, at)) {
            const yaml_mark_t mark = mark_at(text, (size_t)(at - text));
            return refuse(b, &mark, "tag directives are not allowed");
        }
        at++;
    }
    return true;
}

/* Whether it is text of two bytes a character, with or without a byte order mark: a scenario begins
 * with a letter of one byte, of which UTF-16 makes two, one of them 0. */
static bool is_utf_16(const char text[], size_t length)
{
    if (length < 2)
        return false;
    const unsigned char a = (unsigned char)text[0], b = (unsigned char)text[1];
    return (a == 0xFF && b == 0xFE) || (a == 0xFE && b == 0xFF) || (a == 0) != (b == 0);
}

const aw_node *aw_yaml_read(aw_arena *arena, const char text[], size_t length, aw_errors *errors)
{
    static const char byte_order_mark[] = "\xEF\xBB\xBF";
    builder b = {.arena = arena, .errors = errors};
    yaml_parser_t parser;
    if (length > AW_YAML_BYTES) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "larger than 16 MiB");
        return NULL;
    }
    if (is_utf_16(text, length)) {
        aw_errors_add(errors, AW_ERROR, 1, 1, "the text is UTF-16; save it as UTF-8");
        return NULL;
    }
    if (length >= 3 && memcmp(text, byte_order_mark, 3) == 0) {
        text += 3;
        length -= 3;
        b.skipped = 3;
    }
    b.text = text;
    b.length = length;
    if (!yaml_parser_initialize(&parser)) {
        run_out(&b);
        return NULL;
    }
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)text, length);
    const bool sound =
        refuse_directives(&b, text, length) && read_events(&b, &parser, text, length);
    if (sound && b.root == NULL)
        aw_errors_add(errors, AW_ERROR, 0, 0, "the scenario is empty");
    yaml_parser_delete(&parser);
    tdestroy(b.anchors, keep_node);
    free(b.waiting);
    return sound ? b.root : NULL;
}
