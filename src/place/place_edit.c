/* A layout as edits of the scenario's text: anchors that stay keep their lines. */
#include "anchorwise/placing.h"

#include <math.h>
#include <string.h>

/* Places are written to so many of a unit. */
#define FINE 1e4

static bool stays(const aw_placing *p, const aw_anchor *anchor)
{
    for (size_t i = 0; i < p->n_anchors; i++)
        if (strcmp(p->anchors[i].name, anchor->name) == 0)
            return true;
    return false;
}

static bool is_there(const aw_scenario *s, const aw_anchor *anchor)
{
    for (size_t i = 0; i < s->n_anchors; i++)
        if (strcmp(s->anchors[i].name, anchor->name) == 0)
            return true;
    return false;
}

static bool insert(aw_edit *edit, const aw_scenario *s, const aw_anchor *anchor, aw_errors *errors)
{
    const double metre = aw_unit_metres(s->units);
    aw_text value = {0};
    aw_text_add(&value, "{name: ");
    aw_edit_quote(&value, anchor->name);
    for (int i = 0; i < 3; i++) {
        aw_text_add(&value, i == 0 ? ", at: [" : ", ");
        aw_text_number(&value, round(anchor->at[i] / metre * FINE) / FINE + 0.0);
    }
    aw_text_add(&value, "]}");
    if (value.failed)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for an edit");
    const bool done = !value.failed && aw_edit_insert(edit, "anchors[]", value.at, errors);
    aw_text_free(&value);
    return done;
}

static bool remove_anchor(aw_edit *edit, const char *name, aw_errors *errors)
{
    aw_text path = {0};
    aw_text_add(&path, "anchors[name=\"");
    for (const char *byte = name; *byte != '\0'; byte++) {
        if (*byte == '"' || *byte == '\\')
            aw_text_add(&path, "\\");
        aw_text_add_bytes(&path, byte, 1);
    }
    aw_text_add(&path, "\"]");
    if (path.failed)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for an edit");
    const bool done = !path.failed && aw_edit_remove(edit, path.at, errors);
    aw_text_free(&path);
    return done;
}

/* What is new first, so that the list is never empty. */
bool aw_placing_write(const aw_placing *p, const aw_scenario *s, aw_edit *edit, aw_errors *errors)
{
    bool done = true;
    for (size_t i = 0; done && i < p->n_anchors; i++)
        if (!is_there(s, &p->anchors[i]))
            done = insert(edit, s, &p->anchors[i], errors);
    for (size_t i = 0; done && i < s->n_anchors; i++)
        if (!stays(p, &s->anchors[i]))
            done = remove_anchor(edit, s->anchors[i].name, errors);
    return done;
}
