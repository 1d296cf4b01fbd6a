/* One line for the document, one value after the other, in the order they are written. */
#include "base/json.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "base/utf8.h"

static void add_quoted(aw_text *text, const char *value)
{
    aw_text_add(text, "\"");
    for (const unsigned char *s = (const unsigned char *)value; *s != '\0';) {
        const size_t n = aw_utf8_sequence(s);
        if (*s == '"' || *s == '\\')
            aw_text_format(text, "\\%c", *s);
        else if (*s < 0x20)
            aw_text_format(text, "\\u%04x", *s);
        else if (n == 0)
            aw_text_add(text, "\xEF\xBF\xBD");
        else
            aw_text_add_bytes(text, (const char *)s, n);
        s += n ? n : 1;
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
