/* Operations become changes of vary.h: paths with names in quotes, values as YAML on one line in
 * the file's units. The table of fields says which numbers are lengths. */
#include "live/ops.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/edit.h"
#include "anchorwise/vary.h"
#include "scenario/fields.h"
#include "scenario/yaml.h"

#define MOST_DEPTH   8
#define MOST_CHANGES 400
/* Lengths are written to so many of a unit, other numbers to so many of one. */
#define FINE  1e3
#define PLAIN 1e6

/* Stands for the anchors of a text that has none yet. */
#define ANCHORS    "anchors"
#define NO_ANCHORS "[{name: none, at: [0, 0, 0]}]"

typedef struct changes {
    aw_change list[MOST_CHANGES + 1];
    aw_text room[MOST_CHANGES][2]; /* what they point to */
    const char *fresh[8];          /* lists that a change before makes */
    size_t n, n_fresh;
    aw_edit *edit; /* of the text before them, to be asked what it has */
    const aw_scenario *now;
    aw_errors *errors;
} changes;

static bool refuse(const changes *c, const char *why)
{
    aw_errors_add(c->errors, AW_ERROR, 0, 0, "%s", why);
    return false;
}

/* --- values --- */

static void add_number(const aw_field *field, double value, aw_units units, aw_text *out)
{
    const bool length = field != NULL && aw_field_is_length(field);
    const double metre = length ? aw_unit_metres(units) : 1, fine = length ? FINE : PLAIN;
    const double scaled = value / metre * fine;
    aw_text_number(out, fabs(scaled) < 1e15 ? round(scaled) / fine + 0.0 : value / metre);
}

static bool add_value(const changes *c, json_t *value, const aw_field *field, int depth,
                      aw_text *out);

static bool add_object(const changes *c, json_t *value, const aw_field *field, int depth,
                       aw_text *out)
{
    const bool known =
        field != NULL && (field->type == AW_FIELD_BLOCK || field->type == AW_FIELD_LIST);
    const char *key, *between = "";
    json_t *inner;
    aw_text_add(out, "{");
    json_object_foreach(value, key, inner)
    {
        const aw_field *row = known ? aw_field_find(field->inner, key, strlen(key)) : NULL;
        aw_text_add(out, between);
        aw_edit_quote(out, key);
        aw_text_add(out, ": ");
        if (!add_value(c, inner, row, depth + 1, out))
            return false;
        between = ", ";
    }
    aw_text_add(out, "}");
    return true;
}

/* Of a pin of a picture the first two numbers are the picture's own, and no lengths. */
static const aw_field *field_in_list(const aw_field *field, json_t *item, size_t i)
{
    const bool pin = field != NULL && field->type == AW_FIELD_PINS && json_is_number(item) && i < 2;
    return pin ? NULL : field;
}

static bool add_list(const changes *c, json_t *value, const aw_field *field, int depth,
                     aw_text *out)
{
    aw_text_add(out, "[");
    for (size_t i = 0; i < json_array_size(value); i++) {
        json_t *item = json_array_get(value, i);
        aw_text_add(out, i > 0 ? ", " : "");
        if (!add_value(c, item, field_in_list(field, item, i), depth + 1, out))
            return false;
    }
    aw_text_add(out, "]");
    return true;
}

/* Of a field of the format, NULL: of none, which the reader will refuse. */
static bool add_value(const changes *c, json_t *value, const aw_field *field, int depth,
                      aw_text *out)
{
    if (depth > MOST_DEPTH)
        return refuse(c, "the value is too deep");
    switch (json_typeof(value)) {
    case JSON_OBJECT:
        return add_object(c, value, field, depth, out);
    case JSON_ARRAY:
        return add_list(c, value, field, depth, out);
    case JSON_STRING:
        aw_edit_quote(out, json_string_value(value));
        return true;
    case JSON_INTEGER:
    case JSON_REAL:
        add_number(field, json_number_value(value), c->now->units, out);
        return true;
    case JSON_TRUE:
    case JSON_FALSE:
        aw_text_add(out, json_is_true(value) ? "true" : "false");
        return true;
    default:
        return refuse(c, "null is no value");
    }
}

/* --- paths --- */

static void add_name(const char *name, aw_text *out)
{
    aw_text_add(out, "\"");
    for (; *name != '\0'; name++) {
        if (*name == '"' || *name == '\\')
            aw_text_add(out, "\\");
        aw_text_add_bytes(out, name, 1);
    }
    aw_text_add(out, "\"");
}

/* The steps of a path; the row of the last key, NULL past the keys of the format. */
static bool add_path(const changes *c, json_t *at, aw_text *out, const aw_field **field)
{
    aw_block_id block = AW_BLOCK_SCENARIO;
    bool names = false; /* what comes next is an item of a list */
    *field = NULL;
    if (!json_is_array(at) || json_array_size(at) == 0 || json_array_size(at) > MOST_DEPTH)
        return refuse(c, "an operation needs `at`, a list of keys and names");
    for (size_t i = 0; i < json_array_size(at); i++) {
        json_t *step = json_array_get(at, i);
        const char *text = json_string_value(step);
        if (text != NULL && (*text == '\0' || strlen(text) > 400))
            return refuse(c, "a step of a path is empty, or too long");
        aw_text_add(out, i > 0 ? "." : "");
        if (json_is_integer(step) && json_integer_value(step) >= 0 && i > 0) {
            aw_text_format(out, "%lld", (long long)json_integer_value(step));
            names = false;
        } else if (text == NULL) {
            return refuse(c, "a step of a path is neither a name nor a number");
        } else if (names) {
            add_name(text, out);
            names = false;
        } else {
            *field = block < AW_BLOCKS ? aw_field_find(block, text, strlen(text)) : NULL;
            if (*field == NULL)
                return refuse(c, "a path has a key that the format does not know");
            aw_text_add(out, text);
            names = (*field)->type == AW_FIELD_LIST || (*field)->type == AW_FIELD_MATERIALS;
            block = names || (*field)->type == AW_FIELD_BLOCK ? (*field)->inner : AW_BLOCKS;
        }
    }
    return true;
}

/* --- operations --- */

/* Room for one more; its texts are ended by end_change(). */
static aw_text *begin_change(changes *c)
{
    if (c->n < MOST_CHANGES)
        return c->room[c->n];
    refuse(c, "too many operations at once");
    return NULL;
}

static bool end_change(changes *c)
{
    aw_text *room = c->room[c->n];
    if (room[0].failed || room[1].failed)
        return refuse(c, "out of memory for an edit");
    c->list[c->n++] = (aw_change){room[0].at, room[1].at};
    return true;
}

static bool set(changes *c, json_t *op)
{
    const aw_field *field;
    aw_text *room = begin_change(c);
    json_t *value = json_object_get(op, "value");
    if (room == NULL)
        return false;
    if (value == NULL)
        return refuse(c, "an operation needs a `value`");
    return add_path(c, json_object_get(op, "at"), &room[0], &field) &&
           add_value(c, value, field, 0, &room[1]) && end_change(c);
}

static bool takes_away(changes *c, json_t *op)
{
    const aw_field *field;
    aw_text *room = begin_change(c);
    if (room == NULL || !add_path(c, json_object_get(op, "at"), &room[0], &field))
        return false;
    aw_text_add(&room[0], ".present");
    aw_text_add(&room[1], "false");
    return end_change(c);
}

/* Whether a list stands in the text, or a change before makes it. */
static bool is_there(changes *c, const char *path)
{
    for (size_t i = 0; i < c->n_fresh; i++)
        if (strcmp(c->fresh[i], path) == 0)
            return true;
    return aw_edit_has(c->edit, path);
}

/* Behind the last item of a list, or as the first of one that is not written yet. */
static bool add_item(changes *c, json_t *at, json_t *value)
{
    const aw_field *field;
    aw_text *room = begin_change(c);
    if (room == NULL || !add_path(c, at, &room[0], &field))
        return false;
    if (!json_is_object(value) || field->type != AW_FIELD_LIST)
        return refuse(c, "add needs a list of the format and an object");
    const bool there = !room[0].failed && is_there(c, room[0].at);
    aw_text_add(&room[1], there ? "" : "[");
    if (!add_value(c, value, field, 0, &room[1]))
        return false;
    aw_text_add(there ? &room[0] : &room[1], there ? "[]" : "]");
    if (!there && !room[0].failed && c->n_fresh < sizeof c->fresh / sizeof *c->fresh)
        c->fresh[c->n_fresh++] = room[0].at;
    return end_change(c);
}

static bool set_text(changes *c, const char *list, size_t item, const char *key, const char *text)
{
    aw_text *room = begin_change(c);
    if (room == NULL)
        return false;
    aw_text_format(&room[0], "%s.%zu.%s", list, item, key);
    aw_edit_quote(&room[1], text);
    return end_change(c);
}

/* The name itself, and of a tag the zones that use it. */
static bool rename_item(changes *c, json_t *op)
{
    json_t *at = json_object_get(op, "at");
    const char *list = json_string_value(json_array_get(at, 0));
    const char *old = json_string_value(json_array_get(at, 1));
    const char *name = json_string_value(json_object_get(op, "value"));
    const aw_field *field;
    aw_text *room = begin_change(c);
    if (room == NULL || !add_path(c, at, &room[0], &field))
        return false;
    if (name == NULL || old == NULL || list == NULL || strcmp(list, "materials") == 0)
        return refuse(c, "rename needs an item with a name, and a `value`");
    aw_text_add(&room[0], ".name");
    aw_edit_quote(&room[1], name);
    if (!end_change(c))
        return false;
    bool done = true;
    for (size_t i = 0; done && strcmp(list, "tags") == 0 && i < c->now->n_zones; i++) {
        const aw_zone *z = &c->now->zones[i];
        aw_text own = {0};
        aw_text_format(&own, "zones.%zu.tag", i);
        if (strcmp(c->now->tags[z->tag].name, old) == 0 && !own.failed &&
            aw_edit_has(c->edit, own.at))
            done = set_text(c, "zones", i, "tag", name);
        aw_text_free(&own);
    }
    return done;
}

static const aw_anchor *find_anchor(const aw_scenario *s, const char *name)
{
    for (size_t i = 0; name != NULL && i < s->n_anchors; i++)
        if (strcmp(s->anchors[i].name, name) == 0)
            return &s->anchors[i];
    return NULL;
}

/* A name that is free: that of the anchor copied with the next number behind its letters. */
static void next_name(const changes *c, const char *name, unsigned *number, aw_text *out)
{
    size_t stem = strlen(name);
    while (stem > 0 && strchr("0123456789", name[stem - 1]) != NULL)
        stem--;
    if (*number == 0)
        *number = (unsigned)strtoul(name + stem, NULL, 10) % 1000000;
    do {
        out->n = 0;
        aw_text_add_bytes(out, name, stem);
        aw_text_format(out, "%u", ++*number);
    } while (!out->failed && find_anchor(c->now, out->at) != NULL);
}

/* Anchors in a row: `count` more, each `by` further than the one before. */
static bool copy_anchor(changes *c, json_t *op)
{
    json_t *at = json_object_get(op, "at"), *value = json_object_get(op, "value");
    const aw_anchor *from = find_anchor(c->now, json_string_value(json_array_get(at, 1)));
    const json_int_t count = json_integer_value(json_object_get(value, "count"));
    double by[3];
    unsigned number = 0;
    if (from == NULL || count < 1 || count > 100 ||
        json_unpack(json_object_get(value, "by"), "[F, F, F]", &by[0], &by[1], &by[2]) != 0)
        return refuse(c, "copy needs an anchor, a count from 1 to 100, and `by`, three lengths");
    bool done = true;
    for (int k = 1; done && k <= count; k++) {
        aw_text name = {0};
        next_name(c, from->name, &number, &name);
        json_t *item =
            json_pack("{s:s, s:[f,f,f]}", "name", name.failed ? "" : name.at, "at",
                      from->at[0] + k * by[0], from->at[1] + k * by[1], from->at[2] + k * by[2]);
        json_t *list = json_pack("[s]", ANCHORS);
        done = item != NULL && list != NULL ? add_item(c, list, item)
                                            : refuse(c, "out of memory for an edit");
        json_decref(item);
        json_decref(list);
        aw_text_free(&name);
    }
    return done;
}

static bool take_op(changes *c, json_t *op)
{
    const char *what = json_string_value(json_object_get(op, "op"));
    if (what == NULL)
        return refuse(c, "an operation needs an `op`");
    if (strcmp(what, "set") == 0)
        return set(c, op);
    if (strcmp(what, "add") == 0)
        return add_item(c, json_object_get(op, "at"), json_object_get(op, "value"));
    if (strcmp(what, "remove") == 0)
        return takes_away(c, op);
    if (strcmp(what, "rename") == 0)
        return rename_item(c, op);
    if (strcmp(what, "copy") == 0)
        return copy_anchor(c, op);
    return refuse(c, "`op` is none of set, add, remove, rename, copy");
}

/* --- all of them --- */

/* What a complaint says behind the change that it is about; the whole if it is about none. */
static const char *behind_change(const char *text, const aw_change *change, bool *lost)
{
    aw_text head = {0};
    aw_text_format(&head, "--set %s=%s: ", aw_text_shown(change->path, strlen(change->path)).text,
                   aw_text_shown(change->value, strlen(change->value)).text);
    const char *at = head.failed ? NULL : strstr(text, head.at);
    if (at != NULL && at - text <= (ptrdiff_t)strlen("with "))
        text = at + head.n;
    *lost |= head.failed;
    aw_text_free(&head);
    return text;
}

/* Complaints without the changes that they are about, which the page has no command for. What is
 * said of the stand-in for anchors nobody asked. */
static void plain_words(const changes *c, aw_errors *errors)
{
    static const aw_change stand_in = {ANCHORS, NO_ANCHORS};
    aw_errors found = *errors;
    *errors = (aw_errors){.lost = found.lost};
    for (size_t i = 0; i < found.n; i++) {
        const aw_complaint *told = &found.list[i];
        const char *text = behind_change(told->text, &stand_in, &errors->lost);
        if (text != told->text && told->severity == AW_WARNING)
            continue;
        for (size_t k = 0; k < c->n; k++)
            text = behind_change(text, &c->list[k], &errors->lost);
        aw_errors_add(errors, told->severity, told->line, told->column, "%s", text);
    }
    aw_errors_free(&found);
}

/* Of a text that can be edited; of what cannot the reader will say why, but for memory. */
static bool lacks_anchors(const aw_text *text, aw_errors *errors)
{
    aw_errors found = {0};
    aw_edit *edit = aw_edit_create(text->at, text->n, &found);
    const bool lacks = edit != NULL && !aw_edit_has(edit, ANCHORS);
    if (edit == NULL && aw_errors_out_of_memory(&found))
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
    aw_edit_free(edit);
    aw_errors_free(&found);
    return lacks;
}

bool aw_ops_read(aw_reading_of *out, const aw_text *text, aw_errors *errors)
{
    aw_text copy = {0};
    *out = (aw_reading_of){.bare = lacks_anchors(text, errors)};
    if (errors->n_errors > 0)
        return false;
    if (!out->bare)
        return aw_scenario_parse(&out->scenario, text->at, text->n, errors);
    aw_text_add_bytes(&copy, text->at, text->n);
    const aw_change stand_in = {ANCHORS, NO_ANCHORS};
    const changes none = {.n = 0};
    if (copy.failed)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
    const bool read = !copy.failed && aw_scenario_vary(&out->scenario, &copy, &stand_in, 1, errors);
    plain_words(&none, errors);
    aw_text_free(&copy);
    return read;
}

/* Takes away what stood for anchors while the text was varied. */
static bool take_stand_in(aw_text *text, aw_errors *errors)
{
    size_t length;
    aw_edit *edit = aw_edit_create(text->at, text->n, errors);
    const bool done = edit != NULL && aw_edit_remove(edit, ANCHORS, errors);
    if (done) {
        const char *bytes = aw_edit_text(edit, &length);
        text->n = 0;
        aw_text_add_bytes(text, bytes, length);
    }
    aw_edit_free(edit);
    return done && !text->failed;
}

static bool make(changes *c, aw_text *text, bool bare)
{
    aw_scenario s;
    size_t n = c->n;
    for (size_t k = 0; bare && k < c->n; k++)
        bare = strncmp(c->list[k].path, ANCHORS, strlen(ANCHORS)) != 0;
    if (bare)
        c->list[n++] = (aw_change){ANCHORS, NO_ANCHORS};
    const bool done = aw_scenario_vary(&s, text, c->list, n, c->errors) &&
                      (!bare || take_stand_in(text, c->errors));
    aw_scenario_free(&s);
    plain_words(c, c->errors);
    return done;
}

bool aw_ops_apply(aw_text *text, const aw_reading_of *now, json_t *ops, aw_errors *errors)
{
    changes *c = calloc(1, sizeof *c);
    bool done = c != NULL;
    if (!done) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for an edit");
        return false;
    }
    c->now = &now->scenario;
    c->errors = errors;
    c->edit = aw_edit_create(text->at, text->n, errors);
    done = c->edit != NULL;
    if (done && (!json_is_array(ops) || json_array_size(ops) == 0))
        done = refuse(c, "`do` is no list of operations");
    for (size_t i = 0; done && i < json_array_size(ops); i++)
        done = take_op(c, json_array_get(ops, i));
    done = done && make(c, text, now->bare);
    for (size_t i = 0; i < MOST_CHANGES; i++)
        for (int k = 0; k < 2; k++)
            aw_text_free(&c->room[i][k]);
    aw_edit_free(c->edit);
    free(c);
    return done;
}
