/* Numbers and texts alone: a row is flat. */
#include "report/csv.h"

#include <assert.h>
#include <math.h>

void aw_csv_text(const char *text, aw_text *out)
{
    aw_text_add(out, "\"");
    for (const char *byte = text; *byte != '\0'; byte++) {
        aw_text_add_bytes(out, byte, 1);
        if (*byte == '"')
            aw_text_add(out, "\"");
    }
    aw_text_add(out, "\"");
}

void aw_csv_set(const aw_scenario *s, aw_text *out)
{
    for (size_t k = 0; k < s->n_changes; k++)
        aw_text_format(out, "%s%s = %s", k > 0 ? "; " : "", s->changes[k].path,
                       s->changes[k].value);
}

static void add_field(const aw_member *m, const aw_value *v, aw_text *out)
{
    if (m->kind == AW_MEMBER_NUMBER) {
        if (isfinite(v->number))
            aw_text_number(out, v->number);
    } else {
        assert(m->kind == AW_MEMBER_TEXT);
        if (v->text != NULL)
            aw_csv_text(v->text, out);
    }
}

/* Heads, or fields. */
static void add_line(const aw_shape *shape, const aw_subject *row, bool head, aw_text *out)
{
    const char *comma = "";
    for (size_t i = 0; i < shape->n; i++) {
        const aw_member *m = &shape->members[i];
        aw_value v;
        const bool has = aw_member_find(m, row, m->n, &v);
        if (has || !m->may_lack) {
            aw_text_add(out, comma);
            comma = ",";
            if (head)
                aw_text_add(out, m->key);
            else if (has)
                add_field(m, &v, out);
        }
        out->failed |= v.room.failed;
        aw_text_free(&v.room);
    }
    aw_text_add(out, "\r\n");
}

void aw_csv_head(const aw_shape *shape, const aw_subject *row, aw_text *out)
{
    add_line(shape, row, true, out);
}

void aw_csv_row(const aw_shape *shape, const aw_subject *row, aw_text *out)
{
    add_line(shape, row, false, out);
}
