/* Bytes around a value: its line, the dash or key before it, the comma and blanks beside it. */
#include "scenario/patch.h"

#include <string.h>

#include "anchorwise/edit.h"

void aw_patch_free(aw_patch *patch)
{
    for (size_t i = 0; i < patch->n; i++)
        aw_text_free(&patch->splices[i].put);
    *patch = (aw_patch){0};
}

/* A splice whose text is yet empty. */
static aw_text *splice(aw_patch *patch, size_t begin, size_t end)
{
    aw_splice *s = &patch->splices[patch->n++];
    *s = (aw_splice){.at = begin, .cut = end - begin};
    return &s->put;
}

/* --- looking around --- */

static bool is_blank(char byte)
{
    return byte == ' ' || byte == '\t';
}

static bool is_break(char byte)
{
    return byte == '\n' || byte == '\r';
}

static size_t skip_blanks(const aw_text *t, size_t at)
{
    while (at < t->n && is_blank(t->at[at]))
        at++;
    return at;
}

static size_t skip_space(const aw_text *t, size_t at)
{
    while (at < t->n && (is_blank(t->at[at]) || is_break(t->at[at])))
        at++;
    return at;
}

static size_t back_over_blanks(const aw_text *t, size_t at)
{
    while (at > 0 && is_blank(t->at[at - 1]))
        at--;
    return at;
}

static size_t back_over_space(const aw_text *t, size_t at)
{
    while (at > 0 && (is_blank(t->at[at - 1]) || is_break(t->at[at - 1])))
        at--;
    return at;
}

/* Where the text begins, behind a byte order mark. */
static size_t text_begin(const aw_text *t)
{
    static const char mark[] = "\xEF\xBB\xBF";
    return t->n >= 3 && memcmp(t->at, mark, 3) == 0 ? 3 : 0;
}

static size_t line_begin(const aw_text *t, size_t at)
{
    const size_t first = text_begin(t);
    while (at > first && !is_break(t->at[at - 1]))
        at--;
    return at;
}

/* Where the line ends, before its break. */
static size_t line_end(const aw_text *t, size_t at)
{
    while (at < t->n && !is_break(t->at[at]))
        at++;
    return at;
}

static size_t skip_break(const aw_text *t, size_t at)
{
    if (at + 1 < t->n && t->at[at] == '\r' && t->at[at + 1] == '\n')
        return at + 2;
    return at < t->n && is_break(t->at[at]) ? at + 1 : at;
}

static bool begins_line(const aw_text *t, size_t at)
{
    const size_t first = back_over_blanks(t, at);
    return first == line_begin(t, at);
}

/* Whether nothing but blanks and a comment follows on the line. */
static bool ends_line(const aw_text *t, size_t at)
{
    const size_t next = skip_blanks(t, at);
    return next == t->n || is_break(t->at[next]) || (t->at[next] == '#' && next > at);
}

static void add_break(const aw_text *t, aw_text *out)
{
    const size_t end = line_end(t, 0), next = skip_break(t, end);
    if (next > end)
        aw_text_add_bytes(out, t->at + end, next - end);
    else
        aw_text_add(out, "\n");
}

/* A break, and as many blanks as there are characters before a place on its line. */
static void add_line_like(const aw_text *t, size_t at, aw_text *out)
{
    add_break(t, out);
    for (size_t i = line_begin(t, at); i < at; i++)
        if (((unsigned char)t->at[i] & 0xC0) != 0x80)
            aw_text_add(out, " ");
}

/* The dash at or behind a place, over blanks, breaks, comments and a name for aliases. */
static size_t find_dash(const aw_text *t, size_t at)
{
    while (at < t->n && t->at[at] != '-') {
        if (t->at[at] == '#')
            at = line_end(t, at);
        else if (t->at[at] == '&')
            at += strcspn(t->at + at, " \t\r\n");
        else
            at++;
    }
    return at;
}

/* Where child `i` of a collection begins with what belongs to it: its dash, or its key. */
static size_t child_begin(const aw_text *t, const aw_node *node, size_t i)
{
    if (node->kind == AW_NODE_MAPPING)
        return node->children[i - 1]->begin;
    if (node->flow)
        return node->children[i]->begin;
    return find_dash(t, i > 0 ? node->children[i - 1]->end : node->begin);
}

static size_t first_child(const aw_node *node)
{
    return node->kind == AW_NODE_MAPPING;
}

static size_t width_of(const aw_node *node)
{
    return node->kind == AW_NODE_MAPPING ? 2 : 1;
}

static void add_key(const aw_trail *t, aw_text *out)
{
    if (t->at[t->n - 1]->kind != AW_NODE_MAPPING)
        return;
    aw_edit_quote(out, t->key);
    aw_text_add(out, ": ");
}

/* --- set --- */

/* A value that is left out stands behind the colon or dash, or it has none yet. */
static void set_nothing(aw_patch *patch, const aw_text *t, const aw_node *node, const char *value)
{
    const size_t back = back_over_blanks(t, node->begin);
    const char before = back > 0 ? t->at[back - 1] : '\n';
    const bool after_sign = before == ':' || before == '-';
    const size_t at = after_sign ? back : node->begin;
    aw_text_format(splice(patch, at, at), "%s %s", after_sign ? "" : ":", value);
}

bool aw_patch_set(aw_patch *patch, const aw_text *t, const aw_trail *trail, const char *value)
{
    const aw_node *node = trail->at[trail->n - 1];
    if (node->begin == node->end) {
        set_nothing(patch, t, node, value);
        return true;
    }
    aw_text *put = splice(patch, node->begin, node->end);
    /* A list may stand no deeper than its key, a value between brackets may not. */
    if (node->kind == AW_NODE_LIST && !node->flow && begins_line(t, node->begin))
        aw_text_add(put, "  ");
    aw_text_add(put, value);
    return true;
}

/* Below the key, two columns further in than it; comments between the two stay. */
bool aw_patch_set_lines(aw_patch *patch, const aw_text *t, const aw_trail *trail, const char *lines)
{
    const aw_node *node = trail->at[trail->n - 1], *parent = trail->at[trail->n - 2];
    for (size_t i = 0; i + 1 < trail->n; i++)
        if (trail->at[i]->flow)
            return false;
    if (parent->kind != AW_NODE_MAPPING)
        return false;
    const size_t key = child_begin(t, parent, trail->child[trail->n - 2]);
    const size_t end = node->flow || node->n == 0 ? node->end : node->children[node->n - 1]->end;
    /* A comment that the lines begin with may stand there already. */
    const size_t note = lines[0] == '#' ? strcspn(lines, "\n") : 0;
    size_t begin = back_over_space(t, node->begin);
    if (note > 0 && begin >= note && memcmp(t->at + begin - note, lines, note) == 0)
        begin = back_over_space(t, begin - note);
    aw_text *put = splice(patch, begin, end);
    while (*lines != '\0') {
        const size_t n = strcspn(lines, "\n");
        add_line_like(t, key, put);
        aw_text_add(put, "  ");
        aw_text_add_bytes(put, lines, n);
        lines += n + (lines[n] == '\n');
    }
    return true;
}

/* --- insert --- */

/* Behind the last child between brackets: in a line of its own if that one has, below its comma and
 * comment. */
static void append_to_brackets(aw_patch *patch, const aw_text *t, const aw_trail *trail,
                               const char *value)
{
    const aw_node *node = trail->at[trail->n - 1], *last = node->children[node->n - 1];
    const size_t begin = child_begin(t, node, node->n - 1), next = skip_space(t, last->end);
    const bool comma = next < t->n && t->at[next] == ',', own_line = begins_line(t, begin);
    size_t at = comma ? next + 1 : last->end;
    if (!comma)
        aw_text_add(splice(patch, last->end, last->end), ",");
    if (own_line && ends_line(t, at))
        at = line_end(t, at);
    aw_text *put = comma || at > last->end ? splice(patch, at, at) : &patch->splices[0].put;
    if (own_line)
        add_line_like(t, begin, put);
    else
        aw_text_add(put, " ");
    add_key(trail, put);
    aw_text_format(put, "%s%s", value, comma ? "," : "");
}

static bool insert_into_brackets(aw_patch *patch, const aw_text *t, const aw_trail *trail,
                                 const char *value)
{
    const aw_node *node = trail->at[trail->n - 1];
    const size_t child = trail->child[trail->n - 1];
    if (t->at[node->end - 1] != ']' && t->at[node->end - 1] != '}')
        return false;
    if (node->n == 0) {
        aw_text *put = splice(patch, node->end - 1, node->end - 1);
        add_key(trail, put);
        aw_text_add(put, value);
    } else if (child == node->n) {
        append_to_brackets(patch, t, trail, value);
    } else {
        const size_t at = child_begin(t, node, child);
        aw_text *put = splice(patch, at, at);
        aw_text_format(put, "%s,", value);
        if (begins_line(t, at))
            add_line_like(t, at, put);
        else
            aw_text_add(put, " ");
    }
    return true;
}

static void add_block_child(const aw_trail *trail, const char *value, aw_text *put)
{
    if (trail->at[trail->n - 1]->kind == AW_NODE_LIST)
        aw_text_add(put, "- ");
    add_key(trail, put);
    aw_text_add(put, value);
}

/* In lines: below the child before it, or before the first. */
static bool insert_into_block(aw_patch *patch, const aw_text *t, const aw_trail *trail,
                              const char *value)
{
    const aw_node *node = trail->at[trail->n - 1];
    const size_t child = trail->child[trail->n - 1];
    const size_t first = child_begin(t, node, first_child(node));
    if (child == 0) {
        aw_text *put = splice(patch, first, first);
        add_block_child(trail, value, put);
        add_line_like(t, first, put);
        return true;
    }
    const size_t end = node->children[child - 1]->end;
    const size_t at = line_end(t, end);
    if (!ends_line(t, end) || (node->kind == AW_NODE_MAPPING && t->at[first] == '?'))
        return false;
    aw_text *put = splice(patch, at, at);
    add_line_like(t, first, put);
    add_block_child(trail, value, put);
    return true;
}

bool aw_patch_insert(aw_patch *patch, const aw_text *t, const aw_trail *trail, const char *value)
{
    return trail->at[trail->n - 1]->flow ? insert_into_brackets(patch, t, trail, value)
                                         : insert_into_block(patch, t, trail, value);
}

/* --- remove --- */

/* The only child of a collection: what is left is an empty one. Its anchor, if it has one, stays.
 */
static bool empty(aw_patch *patch, const aw_text *t, const aw_node *node)
{
    const size_t begin = child_begin(t, node, first_child(node));
    const char *brackets = node->kind == AW_NODE_LIST ? "[]" : "{}";
    if (node->flow && t->at[node->end - 1] == brackets[1]) {
        const size_t open = back_over_space(t, begin);
        if (open == 0 || t->at[open - 1] != brackets[0])
            return false;
        splice(patch, open, node->end - 1);
        return true;
    }
    if (node->flow)
        return false;
    aw_text *put = splice(patch, begin, node->end > begin ? node->end : begin);
    if (begins_line(t, begin))
        aw_text_add(put, "  ");
    aw_text_add(put, brackets);
    return true;
}

static bool remove_from_brackets(aw_patch *patch, const aw_text *t, const aw_node *node, size_t i)
{
    const size_t begin = child_begin(t, node, i);
    const size_t end = node->children[i]->end, next = skip_space(t, end);
    if (next < t->n && t->at[next] == ',') {
        size_t stop = skip_blanks(t, next + 1);
        const bool whole = begins_line(t, begin) && stop < t->n && is_break(t->at[stop]);
        if (whole) /* the line goes with it */
            splice(patch, line_begin(t, begin), skip_break(t, stop));
        else
            splice(patch, begin, stop);
        return true;
    }
    /* The last one takes the comma before it along, if only blanks stand between. */
    const size_t comma = back_over_space(t, begin);
    if (comma == 0 || t->at[comma - 1] != ',')
        splice(patch, begin, end);
    else
        splice(patch, back_over_space(t, comma - 1), end);
    return true;
}

/* Whether only blanks and breaks stand between two places. */
static bool is_bare(const aw_text *t, size_t from, size_t to)
{
    return skip_space(t, from) >= to;
}

static bool remove_from_block(aw_patch *patch, const aw_text *t, const aw_node *node, size_t i)
{
    const size_t begin = child_begin(t, node, i), end = node->children[i]->end;
    const size_t width = width_of(node);
    if (end < begin || !ends_line(t, end))
        return false;
    const size_t stop = line_end(t, end);
    if (begins_line(t, begin)) {
        splice(patch, line_begin(t, begin), skip_break(t, stop));
        return true;
    }
    if (i + width >= node->n)
        return false;
    /* Behind a dash: the next one moves up, or leaves the dash alone on its line with the comments
     * between them. */
    const size_t next = child_begin(t, node, i + width);
    if (is_bare(t, stop, next))
        splice(patch, begin, next);
    else
        splice(patch, begin, stop);
    return true;
}

bool aw_patch_remove(aw_patch *patch, const aw_text *t, const aw_trail *trail)
{
    const aw_node *node = trail->at[trail->n - 2];
    const size_t i = trail->child[trail->n - 2];
    if (node->n == width_of(node))
        return empty(patch, t, node);
    return node->flow ? remove_from_brackets(patch, t, node, i)
                      : remove_from_block(patch, t, node, i);
}

/* --- comments at the top --- */

/* Length of what ends a line for YAML but not for an editor: next line, line and paragraph
 * separator. */
static size_t odd_break(const char *at)
{
    static const char *const breaks[] = {"\xC2\x85", "\xE2\x80\xA8", "\xE2\x80\xA9", "\r"};
    for (size_t i = 0; i < sizeof breaks / sizeof *breaks; i++)
        if (strncmp(at, breaks[i], strlen(breaks[i])) == 0)
            return strlen(breaks[i]);
    return 0;
}

void aw_patch_remark(aw_patch *patch, const aw_text *text, const char *mark, const char *lines)
{
    const size_t begin = text_begin(text), n = strlen(mark);
    size_t end = begin;
    while (text->n - end >= n && memcmp(text->at + end, mark, n) == 0)
        end = skip_break(text, line_end(text, end));
    aw_text *out = splice(patch, begin, end);
    for (const char *at = lines; *at != '\0';) {
        aw_text_add(out, mark);
        for (; *at != '\0' && *at != '\n';) {
            const size_t odd = odd_break(at);
            aw_text_add_bytes(out, odd > 0 ? " " : at, 1);
            at += odd > 0 ? odd : 1;
        }
        add_break(text, out);
        at += *at == '\n';
    }
}
