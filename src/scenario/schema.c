/* The fields table as a JSON Schema, so that an editor knows what the reader knows of single values
 * and of what a block must have. Limits of lengths are in the file's units: the whole tree stands
 * there once for each. What takes more than one value to tell, such as a top above its base or a
 * name that refers to nothing, is left to the reader; what is refused here it refuses too. */
#include <math.h>
#include <string.h>

#include "anchorwise/scenario.h"
#include "base/json.h"
#include "scenario/fields.h"

#define DIALECT "https://json-schema.org/draft/2020-12/schema"

/* Not blank, and without controls and what is commonly pasted along unseen. */
#define UNSEEN                                                                                     \
    "\\u0000-\\u001F\\u007F-\\u009F\\u200B\\u200E\\u200F\\u2028-\\u202E\\u2060-\\u206F\\uFEFF"
#define SEEN "^[^" UNSEEN "]*[^ " UNSEEN "][^" UNSEEN "]*$"

typedef struct writer {
    aw_json json;
    aw_units units;
} writer;

static void write_limits(writer *w, aw_range range, double scale)
{
    if (isfinite(range.low))
        aw_json_number(&w->json, range.low_open ? "exclusiveMinimum" : "minimum",
                       range.low / scale);
    if (isfinite(range.high))
        aw_json_number(&w->json, range.high_open ? "exclusiveMaximum" : "maximum",
                       range.high / scale);
}

static void write_number(writer *w, const char *key, const char *type, aw_range range, double scale)
{
    aw_json_open(&w->json, key, '{');
    aw_json_string(&w->json, "type", type);
    write_limits(w, range, scale);
    aw_json_close(&w->json, '}');
}

static void write_count(writer *w, const char *least, const char *most, aw_range range)
{
    if (range.low > 0)
        aw_json_number(&w->json, least, range.low);
    if (isfinite(range.high))
        aw_json_number(&w->json, most, range.high);
}

/* A plain number or truth value is text where text is asked for: `name: 7`. */
static void write_text(writer *w, aw_range characters)
{
    static const char *const kinds[] = {"string", "number", "boolean"};
    aw_json_open(&w->json, "type", '[');
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        aw_json_string(&w->json, NULL, kinds[i]);
    aw_json_close(&w->json, ']');
    write_count(w, "minLength", "maxLength", characters);
    aw_json_string(&w->json, "pattern", SEEN);
}

static aw_range name_characters(void)
{
    return aw_field_find(AW_BLOCK_TAG, "name", strlen("name"))->range;
}

/* A list of exactly n values. */
static void write_length(writer *w, double n)
{
    aw_json_string(&w->json, "type", "array");
    aw_json_number(&w->json, "minItems", n);
    aw_json_number(&w->json, "maxItems", n);
}

static aw_range coordinates(void)
{
    return aw_field_find(AW_BLOCK_ANCHOR, "at", strlen("at"))->range;
}

/* From the deepest pit to the highest ceiling. */
static aw_range heights(void)
{
    aw_range range = aw_field_find(AW_BLOCK_FLOOR, "ceiling", strlen("ceiling"))->range;
    range.low = aw_field_find(AW_BLOCK_LEVEL, "height", strlen("height"))->range.low;
    range.low_open = false;
    return range;
}

static void write_spot(writer *w, double metre)
{
    write_length(w, 3);
    aw_json_open(&w->json, "prefixItems", '[');
    write_number(w, NULL, "number", coordinates(), metre);
    write_number(w, NULL, "number", coordinates(), metre);
    write_number(w, NULL, "number", heights(), metre);
    aw_json_close(&w->json, ']');
}

static void write_pins(writer *w, aw_range pixels, double metre)
{
    write_length(w, 2);
    aw_json_open(&w->json, "items", '{');
    write_length(w, 4);
    aw_json_open(&w->json, "prefixItems", '[');
    write_number(w, NULL, "number", pixels, 1);
    write_number(w, NULL, "number", pixels, 1);
    write_number(w, NULL, "number", coordinates(), metre);
    write_number(w, NULL, "number", coordinates(), metre);
    aw_json_close(&w->json, ']');
    aw_json_close(&w->json, '}');
}

static void write_points(writer *w, aw_range count, double metre)
{
    aw_json_string(&w->json, "type", "array");
    write_count(w, "minItems", "maxItems", count);
    aw_json_open(&w->json, "items", '{');
    write_length(w, 2);
    write_number(w, "items", "number", coordinates(), metre);
    aw_json_close(&w->json, '}');
}

static void write_layers(writer *w, aw_range count, double metre)
{
    aw_json_string(&w->json, "type", "array");
    write_count(w, "minItems", "maxItems", count);
    aw_json_open(&w->json, "items", '{');
    write_length(w, 2);
    aw_json_open(&w->json, "prefixItems", '[');
    aw_json_open(&w->json, NULL, '{');
    write_text(w, name_characters());
    aw_json_close(&w->json, '}');
    write_number(w, NULL, "number", AW_LEAF_THICKNESS, metre);
    aw_json_close(&w->json, ']');
    aw_json_close(&w->json, '}');
}

/* --- Names --- */

static void write_choices(writer *w, const aw_choice *choices)
{
    aw_json_open(&w->json, "enum", '[');
    for (const aw_choice *choice = choices; choice->text != NULL; choice++)
        aw_json_string(&w->json, NULL, choice->text);
    aw_json_close(&w->json, ']');
}

static void write_starts(writer *w)
{
    aw_json_open(&w->json, "enum", '[');
    for (size_t i = 0; i < aw_starts_n; i++)
        aw_json_string(&w->json, NULL, aw_starts[i].name);
    aw_json_close(&w->json, ']');
}

/* Any name will do, for the file may add materials; the built-in ones are offered. */
static void write_material(writer *w)
{
    write_text(w, name_characters());
    aw_json_open(&w->json, "examples", '[');
    for (size_t i = 0; i < aw_materials_built_in_n; i++)
        aw_json_string(&w->json, NULL, aw_materials_built_in[i].name);
    aw_json_close(&w->json, ']');
}

/* --- Rows and blocks --- */

static void write_block(writer *w, aw_block_id block);

static void write_items(writer *w, const aw_field *field)
{
    aw_json_string(&w->json, "type", "array");
    write_count(w, "minItems", "maxItems", field->range);
    aw_json_open(&w->json, "items", '{');
    write_block(w, field->inner);
    aw_json_close(&w->json, '}');
}

static void write_named(writer *w, const aw_field *field)
{
    aw_json_string(&w->json, "type", "object");
    aw_json_open(&w->json, "propertyNames", '{');
    write_count(w, "minLength", "maxLength", name_characters());
    aw_json_string(&w->json, "pattern", SEEN);
    aw_json_close(&w->json, '}');
    aw_json_open(&w->json, "additionalProperties", '{');
    write_block(w, field->inner);
    aw_json_close(&w->json, '}');
}

static void write_shape(writer *w, const aw_field *field)
{
    const double scale = aw_field_is_length(field) ? aw_unit_metres(w->units) : 1;
    switch (field->type) {
    case AW_FIELD_VERSION:
        aw_json_number(&w->json, "const", field->range.low);
        break;
    case AW_FIELD_TEXT:
    case AW_FIELD_TAG:
        write_text(w, field->type == AW_FIELD_TAG ? name_characters() : field->range);
        break;
    case AW_FIELD_MATERIAL:
    case AW_FIELD_BASE:
        write_material(w);
        break;
    case AW_FIELD_CHOICE:
        write_choices(w, field->choices);
        break;
    case AW_FIELD_START:
        write_starts(w);
        break;
    case AW_FIELD_FLAG:
        aw_json_string(&w->json, "type", "boolean");
        break;
    case AW_FIELD_LENGTH:
    case AW_FIELD_NUMBER:
        aw_json_string(&w->json, "type", "number");
        write_limits(w, field->range, scale);
        break;
    case AW_FIELD_COUNT:
    case AW_FIELD_SEED:
        aw_json_string(&w->json, "type", "integer");
        write_limits(w, field->range, 1);
        break;
    case AW_FIELD_SPOT:
        write_spot(w, scale);
        break;
    case AW_FIELD_PINS:
        write_pins(w, field->range, scale);
        break;
    case AW_FIELD_BETWEEN:
        write_length(w, 2);
        write_number(w, "items", "number", field->range, scale);
        break;
    case AW_FIELD_POLYGON:
    case AW_FIELD_PATH:
        write_points(w, field->range, scale);
        break;
    case AW_FIELD_LAYERS:
        write_layers(w, field->range, aw_unit_metres(w->units));
        break;
    case AW_FIELD_BLOCK:
        write_block(w, field->inner);
        break;
    case AW_FIELD_LIST:
        write_items(w, field);
        break;
    case AW_FIELD_MATERIALS:
        write_named(w, field);
        break;
    }
}

static void write_row(writer *w, const aw_field *field)
{
    aw_text meaning = {0};
    aw_text_add(&meaning, field->help);
    if (aw_field_is_length(field))
        aw_text_format(&meaning, " [%s]", aw_unit_name(w->units));
    else if (field->unit != NULL && *field->unit != '\0')
        aw_text_format(&meaning, " [%s]", field->unit);
    if (!field->required)
        aw_text_format(&meaning, ". Default: %s", aw_field_standard(field).text);
    aw_text_add(w->json.text, "\n");
    aw_json_open(&w->json, field->key, '{');
    aw_json_string(&w->json, "description", meaning.failed ? NULL : meaning.at);
    write_shape(w, field);
    aw_json_close(&w->json, '}');
    w->json.text->failed = w->json.text->failed || meaning.failed;
    aw_text_free(&meaning);
}

static void write_needs(writer *w, const char *key, const char *needed)
{
    aw_json_open(&w->json, "dependentRequired", '{');
    aw_json_open(&w->json, key, '[');
    aw_json_string(&w->json, NULL, needed);
    aw_json_close(&w->json, ']');
    aw_json_close(&w->json, '}');
}

/* At most one of them. */
static void write_rivals(writer *w, const char *const keys[], size_t n)
{
    aw_json_open(&w->json, "allOf", '[');
    for (size_t i = 0; i < n; i++)
        for (size_t k = i + 1; k < n; k++) {
            aw_json_open(&w->json, NULL, '{');
            aw_json_open(&w->json, "not", '{');
            aw_json_open(&w->json, "required", '[');
            aw_json_string(&w->json, NULL, keys[i]);
            aw_json_string(&w->json, NULL, keys[k]);
            aw_json_close(&w->json, ']');
            aw_json_close(&w->json, '}');
            aw_json_close(&w->json, '}');
        }
    aw_json_close(&w->json, ']');
}

/* What a block needs beyond its rows. */
static void write_rules(writer *w, aw_block_id block)
{
    static const char *const origins[] = {"based_on", "permittivity", "layers"};
    if (block == AW_BLOCK_NEED) {
        aw_json_number(&w->json, "minProperties", 1);
        write_needs(w, "share", "p95");
    } else if (block == AW_BLOCK_MATERIAL) {
        write_needs(w, "conductivity", "permittivity");
        write_rivals(w, origins, sizeof origins / sizeof *origins);
    }
}

static void write_block(writer *w, aw_block_id block)
{
    aw_json_string(&w->json, "type", "object");
    aw_json_open(&w->json, "properties", '{');
    for (size_t i = 0; i < aw_fields_n; i++)
        if (aw_fields[i].block == block)
            write_row(w, &aw_fields[i]);
    aw_json_close(&w->json, '}');
    aw_json_truth(&w->json, "additionalProperties", 0);
    aw_json_open(&w->json, "required", '[');
    for (size_t i = 0; i < aw_fields_n; i++)
        if (aw_fields[i].block == block && aw_fields[i].required)
            aw_json_string(&w->json, NULL, aw_fields[i].key);
    aw_json_close(&w->json, ']');
    write_rules(w, block);
}

static void write_in(writer *w, const char *key, aw_units units)
{
    w->units = units;
    aw_json_open(&w->json, key, '{');
    write_block(w, AW_BLOCK_SCENARIO);
    aw_json_close(&w->json, '}');
}

void aw_scenario_schema(aw_text *out)
{
    writer w = {.json = {.text = out}};
    aw_json *j = &w.json;
    aw_json_open(j, NULL, '{');
    aw_json_string(j, "$schema", DIALECT);
    aw_json_string(j, "title", "anchorwise scenario");
    aw_json_open(j, "if", '{');
    aw_json_open(j, "properties", '{');
    aw_json_open(j, "units", '{');
    aw_json_string(j, "const", aw_unit_name(AW_FEET));
    aw_json_close(j, '}');
    aw_json_close(j, '}');
    aw_json_open(j, "required", '[');
    aw_json_string(j, NULL, "units");
    aw_json_close(j, ']');
    aw_json_close(j, '}');
    write_in(&w, "then", AW_FEET);
    write_in(&w, "else", AW_METRES);
    aw_json_close(j, '}');
    aw_text_add(out, "\n");
}
