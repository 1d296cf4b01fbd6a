/* A layout as edits of the scenario's text: anchors that stay keep their lines. */
#include "anchorwise/placing.h"
#include "anchorwise/sweep.h"

#include <math.h>
#include <string.h>

/* Places are written to so many of a unit. */
#define FINE 1e4

/* The anchor of that name; NULL if there is none. */
static const aw_anchor *find(const aw_anchor anchors[], size_t n, const char *name)
{
    for (size_t i = 0; i < n; i++)
        if (strcmp(anchors[i].name, name) == 0)
            return &anchors[i];
    return NULL;
}

static void add_place(const aw_anchor *anchor, aw_units units, aw_text *out)
{
    const double metre = aw_unit_metres(units);
    for (int i = 0; i < 3; i++) {
        aw_text_add(out, i == 0 ? "[" : ", ");
        aw_text_number(out, round(anchor->at[i] / metre * FINE) / FINE + 0.0);
    }
    aw_text_add(out, "]");
}

/* The path of an anchor, or of something of it. */
static void add_path(const char *name, const char *behind, aw_text *out)
{
    aw_text_add(out, "anchors[name=\"");
    for (const char *byte = name; *byte != '\0'; byte++) {
        if (*byte == '"' || *byte == '\\')
            aw_text_add(out, "\\");
        aw_text_add_bytes(out, byte, 1);
    }
    aw_text_format(out, "\"]%s", behind);
}

/* Frees both texts; false without memory, or if `done` is false already. */
static bool end_edit(aw_text *path, aw_text *value, bool done, aw_errors *errors)
{
    if (path->failed || value->failed)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for an edit");
    done = done && !path->failed && !value->failed;
    aw_text_free(path);
    aw_text_free(value);
    return done;
}

static bool insert(aw_edit *edit, const aw_scenario *s, const aw_anchor *anchor, aw_errors *errors)
{
    aw_text path = {0}, value = {0};
    aw_text_add(&value, "{name: ");
    aw_edit_quote(&value, anchor->name);
    aw_text_add(&value, ", at: ");
    add_place(anchor, s->units, &value);
    aw_text_add(&value, "}");
    const bool done = value.failed || aw_edit_insert(edit, "anchors[]", value.at, errors);
    return end_edit(&path, &value, done, errors);
}

static bool move(aw_edit *edit, const aw_scenario *s, const aw_anchor *anchor, aw_errors *errors)
{
    aw_text path = {0}, value = {0};
    add_path(anchor->name, ".at", &path);
    add_place(anchor, s->units, &value);
    const bool done = path.failed || value.failed || aw_edit_set(edit, path.at, value.at, errors);
    return end_edit(&path, &value, done, errors);
}

static bool remove_anchor(aw_edit *edit, const char *name, aw_errors *errors)
{
    aw_text path = {0}, value = {0};
    add_path(name, "", &path);
    const bool done = path.failed || aw_edit_remove(edit, path.at, errors);
    return end_edit(&path, &value, done, errors);
}

static bool is_moved(const aw_anchor *anchor, const aw_anchor *from)
{
    double most = 0;
    for (int i = 0; i < 3; i++)
        most = fmax(most, fabs(anchor->at[i] - from->at[i]));
    return most > 0;
}

/* What is new first, so that the list is never empty. */
static bool write(const aw_anchor anchors[], size_t n, const aw_scenario *s, aw_edit *edit,
                  aw_errors *errors)
{
    bool done = true;
    for (size_t i = 0; done && i < n; i++) {
        const aw_anchor *own = find(s->anchors, s->n_anchors, anchors[i].name);
        if (own == NULL)
            done = insert(edit, s, &anchors[i], errors);
        else if (is_moved(&anchors[i], own))
            done = move(edit, s, &anchors[i], errors);
    }
    for (size_t i = 0; done && i < s->n_anchors; i++)
        if (find(anchors, n, s->anchors[i].name) == NULL)
            done = remove_anchor(edit, s->anchors[i].name, errors);
    return done;
}

bool aw_placing_write(const aw_placing *p, const aw_scenario *s, aw_edit *edit, aw_errors *errors)
{
    return write(p->anchors, p->n_anchors, s, edit, errors);
}

bool aw_swept_write(const aw_swept *p, const aw_scenario *s, aw_edit *edit, aw_errors *errors)
{
    return write(p->anchors, p->n_anchors, s, edit, errors);
}
