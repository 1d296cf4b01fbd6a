/* One line for the document, one value after the other, in the order they are written. */
#include "base/json.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "base/character.h"

static void add_quoted(aw_text *text, const char *value)
{
    const size_t length = strlen(value);
    aw_text_add(text, "\"");
    for (size_t at = 0; at < length;) {
        const aw_character c = aw_character_at(value, length, at);
        if (c.code == '"' || c.code == '\\')
            aw_text_format(text, "\\%c", (int)c.code);
        else if (c.code < 0x20)
            aw_text_format(text, "\\u%04x", (unsigned)c.code);
        else if (c.code == AW_NO_CHARACTER)
            aw_text_add(text, "\xEF\xBF\xBD");
        else
            aw_text_add_bytes(text, value + at, c.width);
        at += c.width;
    }
    aw_text_add(text, "\"");
}

static void begin_value(aw_json *json, const char *key)
{
    if (json->follows)
        aw_text_add(json->text, ", ");
    json->follows = true;
    if (key != NULL) {
        add_quoted(json->text, key);
        aw_text_add(json->text, ": ");
    }
}

void aw_json_open(aw_json *json, const char *key, char bracket)
{
    begin_value(json, key);
    aw_text_add_bytes(json->text, &bracket, 1);
    json->follows = false;
}

void aw_json_close(aw_json *json, char bracket)
{
    aw_text_add_bytes(json->text, &bracket, 1);
    json->follows = true;
}

void aw_json_number(aw_json *json, const char *key, double value)
{
    begin_value(json, key);
    if (isfinite(value))
        aw_text_number(json->text, value);
    else
        aw_text_add(json->text, "null");
}

void aw_json_count(aw_json *json, const char *key, uint64_t value)
{
    begin_value(json, key);
    aw_text_format(json->text, "%" PRIu64, value);
}

void aw_json_string(aw_json *json, const char *key, const char *value)
{
    begin_value(json, key);
    if (value == NULL)
        aw_text_add(json->text, "null");
    else
        add_quoted(json->text, value);
}

void aw_json_truth(aw_json *json, const char *key, int value)
{
    begin_value(json, key);
    aw_text_add(json->text, value < 0 ? "null" : value ? "true" : "false");
}

void aw_json_numbers(aw_json *json, const char *key, const double values[], size_t n)
{
    aw_json_open(json, key, '[');
    for (size_t i = 0; i < n; i++)
        aw_json_number(json, NULL, values[i]);
    aw_json_close(json, ']');
}
