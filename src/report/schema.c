/* Shapes as JSON Schema, and as pages to read. */
#include <string.h>

#include "anchorwise/report.h"
#include "report/documents.h"

/* --- JSON Schema --- */

/* "type": [name, "null"], or one alone. */
static void add_type(aw_json *j, const char *type, bool or_null)
{
    if (!or_null) {
        aw_json_string(j, "type", type);
        return;
    }
    aw_json_open(j, "type", '[');
    aw_json_string(j, NULL, type);
    aw_json_string(j, NULL, "null");
    aw_json_close(j, ']');
}

static void add_reference(aw_json *j, const aw_shape *shape)
{
    aw_text path = {0};
    aw_text_format(&path, "#/$defs/%s", shape->name);
    aw_json_string(j, "$ref", path.at);
    j->text->failed |= path.failed;
    aw_text_free(&path);
}

static void add_items(aw_json *j, const char *type, bool or_null)
{
    aw_json_string(j, "type", "array");
    aw_json_open(j, "items", '{');
    add_type(j, type, or_null);
    aw_json_close(j, '}');
}

static void add_words(aw_json *j, const aw_member *m)
{
    aw_json_open(j, "enum", '[');
    for (size_t i = 0; m->words[i] != NULL; i++)
        aw_json_string(j, NULL, m->words[i]);
    aw_json_string(j, NULL, NULL);
    aw_json_close(j, ']');
}

static void add_rows(aw_json *j)
{
    aw_json_string(j, "type", "array");
    aw_json_open(j, "items", '{');
    add_items(j, "number", false);
    aw_json_close(j, '}');
}

static void add_either(aw_json *j)
{
    aw_json_open(j, "type", '[');
    aw_json_string(j, NULL, "string");
    aw_json_string(j, NULL, "number");
    aw_json_string(j, NULL, "null");
    aw_json_close(j, ']');
}

static void add_object(aw_json *j, const aw_member *m)
{
    aw_json_open(j, "anyOf", '[');
    aw_json_open(j, NULL, '{');
    add_reference(j, m->of);
    aw_json_close(j, '}');
    aw_json_open(j, NULL, '{');
    add_type(j, "null", false);
    aw_json_close(j, '}');
    aw_json_close(j, ']');
}

static void add_list(aw_json *j, const aw_member *m)
{
    aw_json_string(j, "type", "array");
    aw_json_open(j, "items", '{');
    add_reference(j, m->of);
    aw_json_close(j, '}');
}

static void add_kind(aw_json *j, const aw_member *m)
{
    switch (m->kind) {
    case AW_MEMBER_NUMBER:
        add_type(j, "number", true);
        break;
    case AW_MEMBER_COUNT:
        add_type(j, "integer", false);
        aw_json_number(j, "minimum", 0);
        break;
    case AW_MEMBER_TEXT:
        add_type(j, "string", true);
        break;
    case AW_MEMBER_WORD:
        add_words(j, m);
        break;
    case AW_MEMBER_TRUTH:
    case AW_MEMBER_VERDICT:
        add_type(j, "boolean", true);
        break;
    case AW_MEMBER_NUMBERS:
        add_items(j, "number", true);
        break;
    case AW_MEMBER_TRUTHS:
        add_items(j, "boolean", true);
        break;
    case AW_MEMBER_TEXTS:
        add_items(j, "string", false);
        break;
    case AW_MEMBER_EITHER:
        add_either(j);
        break;
    case AW_MEMBER_ROWS:
        add_rows(j);
        break;
    case AW_MEMBER_OBJECT:
        add_object(j, m);
        break;
    case AW_MEMBER_LIST:
        add_list(j, m);
        break;
    }
}

static void add_description(aw_json *j, const aw_member *m)
{
    aw_text said = {0};
    aw_text_add(&said, m->help);
    if (m->unit[0] != '\0')
        aw_text_format(&said, " (%s)", m->unit);
    aw_json_string(j, "description", said.at);
    j->text->failed |= said.failed;
    aw_text_free(&said);
}

static void define(const aw_shape *shape, void *context)
{
    aw_json *j = context;
    aw_json_open(j, shape->name, '{');
    aw_json_string(j, "description", shape->help);
    aw_json_string(j, "type", "object");
    aw_json_open(j, "properties", '{');
    for (size_t i = 0; i < shape->n; i++) {
        aw_json_open(j, shape->members[i].key, '{');
        add_kind(j, &shape->members[i]);
        add_description(j, &shape->members[i]);
        aw_json_close(j, '}');
    }
    aw_json_close(j, '}');
    aw_json_open(j, "required", '[');
    for (size_t i = 0; i < shape->n; i++)
        if (!shape->members[i].may_lack)
            aw_json_string(j, NULL, shape->members[i].key);
    aw_json_close(j, ']');
    aw_json_truth(j, "additionalProperties", 0);
    aw_json_close(j, '}');
}

void aw_output_schema(aw_text *out)
{
    aw_json json = {.text = out}, *j = &json;
    aw_json_open(j, NULL, '{');
    aw_json_string(j, "$schema", "https://json-schema.org/draft/2020-12/schema");
    aw_json_string(j, "title", "What anchorwise prints as JSON");
    aw_json_open(j, "anyOf", '[');
    for (size_t i = 0; i < aw_documents_n; i++) {
        aw_json_open(j, NULL, '{');
        add_reference(j, aw_documents[i].shape);
        aw_json_close(j, '}');
    }
    aw_json_close(j, ']');
    aw_json_open(j, "$defs", '{');
    aw_shapes_each(define, j);
    aw_json_close(j, '}');
    aw_json_close(j, '}');
    aw_text_add(out, "\n");
}

/* --- for people --- */

static const char *const kinds[] = {
    [AW_MEMBER_NUMBER] = "number",   [AW_MEMBER_COUNT] = "count",
    [AW_MEMBER_TEXT] = "text",       [AW_MEMBER_WORD] = "one of",
    [AW_MEMBER_TRUTH] = "truth",     [AW_MEMBER_VERDICT] = "verdict",
    [AW_MEMBER_NUMBERS] = "numbers", [AW_MEMBER_EITHER] = "text or number",
    [AW_MEMBER_ROWS] = "rows",       [AW_MEMBER_TEXTS] = "texts",
    [AW_MEMBER_TRUTHS] = "truths",   [AW_MEMBER_OBJECT] = "object",
    [AW_MEMBER_LIST] = "list of"};

static void add_kind_words(const aw_member *m, aw_text *out)
{
    aw_text_add(out, kinds[m->kind]);
    if (m->of != NULL)
        aw_text_format(out, " [%s](#%s)", m->of->name, m->of->name);
    for (size_t i = 0; m->kind == AW_MEMBER_WORD && m->words[i] != NULL; i++)
        aw_text_format(out, "%s `%s`", i > 0 ? "," : "", m->words[i]);
    if (m->may_lack)
        aw_text_add(out, "; may be left out");
}

static void add_page(const aw_shape *shape, void *context)
{
    aw_text *out = context;
    aw_text_format(out, "\n## %s\n\n%s.", shape->name, shape->help);
    for (size_t i = 0; i < aw_documents_n; i++)
        if (aw_documents[i].shape == shape)
            aw_text_format(out, " A document, printed by `%s`.", aw_documents[i].printed_by);
    aw_text_add(out, "\n\n| key | kind | unit | meaning |\n|---|---|---|---|\n");
    for (size_t i = 0; i < shape->n; i++) {
        const aw_member *m = &shape->members[i];
        aw_text_format(out, "| `%s` | ", m->key);
        add_kind_words(m, out);
        aw_text_format(out, " | %s | %s |\n", m->unit, m->help);
    }
}

void aw_output_reference(aw_text *out)
{
    aw_text_add(out,
                "# What `--json` prints\n\n"
                "One document on one line, in UTF-8; lengths in metres whatever the scenario's "
                "units. Numbers are the shortest text that reads back to the same double; null "
                "stands for what does not exist or is not told. A verdict is true, false, or null "
                "where it is undecided or nothing is asked. `format` counts up when a key changes "
                "its meaning or goes; new keys may come without that. This page is printed by "
                "`anchorwise help output`, a JSON Schema by `anchorwise help output-schema`.\n");
    aw_shapes_each(add_page, out);
}
