/* Single values: numbers in their ranges and units, text, choices and names that refer to items. */
#include "scenario/reader.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/text.h"
#include "base/nearest.h"

double aw_reader_metre(const aw_reader *r)
{
    return aw_unit_metres(r->scenario->units);
}

const char *aw_reader_unit(const aw_reader *r)
{
    return aw_unit_name(r->scenario->units);
}

static bool is_whole(const aw_field *field)
{
    return field->type == AW_FIELD_COUNT || field->type == AW_FIELD_SEED;
}

static bool knows_ceiling(const aw_reader *r)
{
    return r->scenario->floor.ceiling > 0;
}

static double highest(const aw_reader *r, const aw_field *field)
{
    return field->to_ceiling && knows_ceiling(r) ? r->scenario->floor.ceiling : field->range.high;
}

aw_range_text aw_range_shown(const aw_reader *r, const aw_field *field)
{
    const double scale = aw_field_is_length(field) ? aw_reader_metre(r) : 1;
    const char *unit = aw_field_is_length(field) ? aw_reader_unit(r)
                       : field->unit != NULL     ? field->unit
                                                 : "";
    const char *ceiling = field->to_ceiling && knows_ceiling(r) ? " (the ceiling)" : "";
    const char open = field->range.low_open ? '(' : '[', shut = field->range.high_open ? ')' : ']';
    const double low = field->range.low / scale, high = highest(r, field) / scale;
    aw_range_text shown;
    char end[40];
    snprintf(end, sizeof end, is_whole(field) ? "%.0f" : "%.6g", high);
    snprintf(shown.text, sizeof shown.text, "%c%.6g, %s%c%s%s%s", open, low,
             field->type == AW_FIELD_SEED ? "2^63" : end, shut, *unit ? " " : "", unit, ceiling);
    return shown;
}

static size_t skip_digits(const char *text, size_t i)
{
    while (text[i] >= '0' && text[i] <= '9')
        i++;
    return i;
}

static bool is_whole_number(const aw_node *node)
{
    if (node->kind != AW_NODE_SCALAR || !node->plain)
        return false;
    const size_t begin = node->text[0] == '-' || node->text[0] == '+';
    const size_t end = skip_digits(node->text, begin);
    return end > begin && end == node->length;
}

/* YAML's core schema, decimal only: [-+]? ( \.D+ | D+ (\.D*)? ) ( [eE] [-+]? D+ )? */
static bool is_number(const aw_node *node)
{
    if (node->kind != AW_NODE_SCALAR || !node->plain)
        return false;
    const char *text = node->text;
    size_t i = text[0] == '-' || text[0] == '+';
    const size_t whole = skip_digits(text, i);
    size_t digits = whole - i;
    i = whole;
    if (text[i] == '.') {
        const size_t end = skip_digits(text, i + 1);
        digits += end - i - 1;
        i = end;
    }
    if (digits == 0)
        return false;
    if (text[i] == 'e' || text[i] == 'E') {
        i++;
        i += text[i] == '-' || text[i] == '+';
        const size_t end = skip_digits(text, i);
        if (end == i)
            return false;
        i = end;
    }
    return i == node->length;
}

static void complain_of_kind(aw_reader *r, const aw_field *field, const char *noun,
                             const aw_node *node)
{
    const bool quoted = node->kind == AW_NODE_SCALAR && !node->plain;
    aw_errors_add(r->errors, AW_ERROR, node->line, node->column, "%s%s: needs %s in %s, not %s%s",
                  r->prefix, field->key, noun, aw_range_shown(r, field).text,
                  quoted ? "the text " : "", aw_node_shown(node).text);
}

static void complain_of_range(aw_reader *r, const aw_field *field, const aw_node *node)
{
    aw_errors_add(r->errors, AW_ERROR, node->line, node->column, "%s%s: %s is outside %s",
                  r->prefix, field->key, aw_text_shown(node->text, node->length).text,
                  aw_range_shown(r, field).text);
}

double aw_read_number(aw_reader *r, const aw_field *field, const aw_node *node)
{
    if (!is_number(node)) {
        complain_of_kind(r, field, "a number", node);
        return (double)NAN;
    }
    const double scale = aw_field_is_length(field) ? aw_reader_metre(r) : 1;
    const double value = strtod(node->text, NULL) * scale + 0.0;
    const aw_range range = field->range;
    const double high = highest(r, field);
    const bool low_enough = range.high_open ? value < high : value <= high;
    const bool high_enough = range.low_open ? value > range.low : value >= range.low;
    if (!low_enough || !high_enough) {
        complain_of_range(r, field, node);
        return (double)NAN;
    }
    return value;
}

/* A seed may need more digits than a double has. */
static bool parse_whole(const char *text, uint64_t *value)
{
    const bool negative = text[0] == '-';
    *value = 0;
    for (const char *digit = text + (negative || text[0] == '+'); *digit != '\0'; digit++) {
        const uint64_t next = (uint64_t)(*digit - '0');
        if (*value > (UINT64_MAX - next) / 10)
            return false;
        *value = 10 * *value + next;
    }
    return !negative || *value == 0;
}

uint64_t aw_read_whole(aw_reader *r, const aw_field *field, const aw_node *node)
{
    uint64_t value;
    if (!is_whole_number(node)) {
        complain_of_kind(r, field, "a whole number", node);
        return (uint64_t)field->standard;
    }
    const uint64_t low = (uint64_t)field->range.low, high = (uint64_t)field->range.high;
    if (!parse_whole(node->text, &value) || value < low ||
        (field->range.high_open ? value >= high : value > high)) {
        complain_of_range(r, field, node);
        return (uint64_t)field->standard;
    }
    return value;
}

int aw_read_choice(aw_reader *r, const aw_field *field, const aw_node *node)
{
    char known[128] = "";
    for (const aw_choice *c = field->choices; c->text != NULL; c++) {
        if (node->kind == AW_NODE_SCALAR && strcmp(node->text, c->text) == 0)
            return c->value;
        const size_t n = strlen(known);
        snprintf(known + n, sizeof known - n, "%s%s", n > 0 ? ", " : "", c->text);
    }
    aw_errors_add(r->errors, AW_ERROR, node->line, node->column, "%s%s: %s is not one of %s",
                  r->prefix, field->key, aw_node_shown(node).text, known);
    return (int)field->standard;
}

bool aw_read_flag(aw_reader *r, const aw_field *field, const aw_node *node)
{
    const bool plain = node->kind == AW_NODE_SCALAR && node->plain;
    if (plain && strcmp(node->text, "true") == 0)
        return true;
    if (!plain || strcmp(node->text, "false") != 0)
        aw_errors_add(r->errors, AW_ERROR, node->line, node->column,
                      "%s%s: needs true or false, not %s", r->prefix, field->key,
                      aw_node_shown(node).text);
    return false;
}

static size_t count_characters(const aw_node *node)
{
    size_t n = 0;
    for (size_t i = 0; i < node->length; i++)
        n += ((unsigned char)node->text[i] & 0xC0) != 0x80;
    return n;
}

static bool is_blank(const aw_node *node)
{
    return strspn(node->text, " \t\r\n") == node->length;
}

bool aw_text_is_sound(aw_reader *r, const char *key, aw_range characters, const aw_node *node)
{
    const int line = node->line, column = node->column;
    char why[AW_WHY_ROOM];
    if (node->kind != AW_NODE_SCALAR || aw_node_is_null(node)) {
        aw_errors_add(r->errors, AW_ERROR, line, column,
                      "%s: needs text of %.0f to %.0f characters, "
                      "not %s",
                      key, characters.low, characters.high, aw_node_shown(node).text);
        return false;
    }
    const size_t n = count_characters(node);
    if (is_blank(node))
        aw_errors_add(r->errors, AW_ERROR, line, column, "%s: is blank", key);
    else if (!aw_text_is_printable(node->text, node->length, why))
        aw_errors_add(r->errors, AW_ERROR, line, column, "%s: %s", key, why);
    else if ((double)n > characters.high)
        aw_errors_add(r->errors, AW_ERROR, line, column,
                      "%s: %zu characters are outside "
                      "[%.0f, %.0f]",
                      key, n, characters.low, characters.high);
    else
        return true;
    return false;
}

const char *aw_read_text(aw_reader *r, const aw_field *field, const aw_node *node)
{
    return aw_text_is_sound(r, field->key, field->range, node) ? node->text : NULL;
}

/* Of a long list a part is shown and a part is searched for what was meant. */
#define NAMES_SHOWN    20
#define NAMES_SEARCHED 250

void aw_complain_of_unknown(aw_reader *r, const char *what, const char *where,
                            const char *const known[], size_t n, const aw_node *node)
{
    const aw_shown shown = aw_text_shown(node->text, node->length);
    char list[600] = "";
    size_t length = 0, listed = 0;
    if (r->errors->n >= AW_ERRORS_KEPT)
        n = 0;
    const char *nearest = aw_nearest(node->text, known, n < NAMES_SEARCHED ? n : NAMES_SEARCHED);
    if (nearest != NULL) {
        aw_errors_add(r->errors, AW_ERROR, node->line, node->column,
                      "unknown %s '%s'%s; did you mean '%s'?", what, shown.text, where, nearest);
        return;
    }
    while (listed < n && listed < NAMES_SHOWN && length + strlen(known[listed]) + 3 < sizeof list) {
        length += (size_t)snprintf(list + length, sizeof list - length, "%s%s", listed ? ", " : "",
                                   known[listed]);
        listed++;
    }
    aw_errors_add(r->errors, AW_ERROR, node->line, node->column,
                  "unknown %s '%s'%s; known are %s%s", what, shown.text, where, list,
                  listed < n ? ", …" : "");
}

static void complain_of_name(aw_reader *r, const char *what, const aw_names *names,
                             const aw_node *node)
{
    const char *known[NAMES_SEARCHED];
    size_t n = 0;
    for (; n < names->n && n < NAMES_SEARCHED; n++)
        known[n] = names->list[n].text;
    aw_complain_of_unknown(r, what, "", known, n, node);
}

size_t aw_read_reference(aw_reader *r, const char *what, const aw_names *names, const aw_node *node)
{
    if (!aw_text_is_sound(r, what, (aw_range){1, 60, false, false}, node))
        return 0;
    const aw_name *found = aw_names_find(names, node->text);
    if (found == NULL && names->complete)
        complain_of_name(r, what, names, node);
    return found != NULL ? found->index : 0;
}

bool aw_expect_kind(aw_reader *r, const char *key, aw_node_kind kind, const aw_node *node)
{
    if (node->kind == kind)
        return true;
    aw_errors_add(r->errors, AW_ERROR, node->line, node->column, "%s: needs %s, not %s", key,
                  kind == AW_NODE_LIST ? "a list" : "a mapping", aw_node_shown(node).text);
    return false;
}

static const char *counted(aw_field_type type, bool one)
{
    if (type == AW_FIELD_POLYGON)
        return one ? "corner is" : "corners are";
    if (type == AW_FIELD_PATH)
        return one ? "point is" : "points are";
    return one ? "entry is" : "entries are";
}

bool aw_expect_count(aw_reader *r, const aw_field *field, const char *kind, size_t n,
                     const aw_node *node)
{
    const aw_range range = field->range;
    if ((double)n >= range.low && (double)n <= range.high)
        return true;
    const char *noun = counted(field->type, n == 1);
    if (isinf(range.high))
        aw_errors_add(r->errors, AW_ERROR, node->line, node->column, "%s: %zu %s%s fewer than %.0f",
                      field->key, n, kind, noun, range.low);
    else
        aw_errors_add(r->errors, AW_ERROR, node->line, node->column,
                      "%s: %zu %s%s outside [%.0f, %.0f]", field->key, n, kind, noun, range.low,
                      range.high);
    return false;
}
