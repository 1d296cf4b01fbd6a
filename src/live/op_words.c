/* A step in words: what was done to what, and how far. */
#include <math.h>
#include <string.h>

#include "live/ops.h"
#include "report/lengths.h"
#include "report/names.h"

#define MOST_WORDS 4

/* "C2", "bogie bay: need p95": the item by its name, then the keys behind it. */
static void add_place(json_t *at, aw_text *out)
{
    const size_t n = json_array_size(at);
    const size_t from = n > 1 && json_is_string(json_array_get(at, 1)) ? 1 : 0;
    for (size_t i = from; i < n; i++) {
        json_t *step = json_array_get(at, i);
        aw_text_add(out, i == from ? "" : i == from + 1 && from > 0 ? ": " : " ");
        if (json_is_string(step))
            aw_text_add(out, json_string_value(step));
        else
            aw_text_format(out, "no. %lld", (long long)json_integer_value(step) + 1);
    }
}

static const aw_anchor *anchor_at(json_t *at, const aw_scenario *s)
{
    const char *list = json_string_value(json_array_get(at, 0));
    const char *name = json_string_value(json_array_get(at, 1));
    for (size_t i = 0; list != NULL && name != NULL && i < s->n_anchors; i++)
        if (strcmp(list, "anchors") == 0 && strcmp(s->anchors[i].name, name) == 0)
            return &s->anchors[i];
    return NULL;
}

/* "E1 moved 8.3 m", "E1 raised 0.5 m to 6.7 m"; false for anything else. */
static bool add_move(json_t *op, const aw_scenario *s, aw_text *out)
{
    json_t *at = json_object_get(op, "at");
    const aw_anchor *anchor = anchor_at(at, s);
    const char *key = json_string_value(json_array_get(at, 2));
    double to[3];
    if (anchor == NULL || key == NULL || strcmp(key, "at") != 0 || json_array_size(at) != 3 ||
        json_unpack(json_object_get(op, "value"), "[F, F, F]", &to[0], &to[1], &to[2]) != 0)
        return false;
    const double aside = hypot(to[0] - anchor->at[0], to[1] - anchor->at[1]);
    const double up = to[2] - anchor->at[2];
    aw_text_add(out, anchor->name);
    if (aside >= 0.0005)
        aw_text_format(out, " moved %s", aw_coordinate_words("%.2f", aside, s->units).text);
    if (fabs(up) >= 0.0005)
        aw_text_format(out, "%s %s %s to %s", aside >= 0.0005 ? " and" : "",
                       up > 0 ? "raised" : "lowered",
                       aw_coordinate_words("%.2f", fabs(up), s->units).text,
                       aw_coordinate_words("%.2f", to[2], s->units).text);
    if (aside < 0.0005 && fabs(up) < 0.0005)
        aw_text_add(out, " stays where it is");
    return true;
}

static void add_scalar(json_t *value, aw_text *out)
{
    if (json_is_string(value))
        aw_text_format(out, " to %s", json_string_value(value));
    else if (json_is_number(value)) {
        aw_text_add(out, " to ");
        aw_text_number(out, round(json_number_value(value) * 1e6) / 1e6 + 0.0);
    }
}

static void add_op(json_t *op, const aw_scenario *s, aw_text *out)
{
    const char *what = json_string_value(json_object_get(op, "op"));
    json_t *at = json_object_get(op, "at"), *value = json_object_get(op, "value");
    if (strcmp(what, "add") == 0) {
        const char *name = json_string_value(json_object_get(value, "name"));
        aw_text_format(out, "%s added", name != NULL ? name : "an item");
    } else if (strcmp(what, "remove") == 0) {
        add_place(at, out);
        aw_text_add(out, " taken away");
    } else if (strcmp(what, "rename") == 0) {
        add_place(at, out);
        aw_text_format(out, " is now %s", json_string_value(value));
    } else if (strcmp(what, "copy") == 0) {
        const json_int_t n = json_integer_value(json_object_get(value, "count"));
        add_place(at, out);
        aw_text_format(out, " copied %lld %s", (long long)n, n == 1 ? "time" : "times");
    } else if (!add_move(op, s, out)) {
        add_place(at, out);
        aw_text_add(out, " set");
        add_scalar(value, out);
    }
}

void aw_ops_words(json_t *ops, const aw_scenario *before, aw_text *out)
{
    const size_t n = json_array_size(ops), from = out->n;
    for (size_t i = 0; i < n && i < MOST_WORDS; i++) {
        aw_text_add(out, i > 0 ? "; " : "");
        add_op(json_array_get(ops, i), before, out);
    }
    if (n > MOST_WORDS)
        aw_text_format(out, "; and %zu more", n - MOST_WORDS);
    aw_isolate_names(out, from);
}
