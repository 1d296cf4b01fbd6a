/* One walk over a shape writes its object as JSON. */
#include "report/shape.h"

#include <math.h>
#include <string.h>

int aw_verdict_truth(aw_verdict verdict)
{
    return verdict == AW_MET ? 1 : verdict == AW_NOT_MET ? 0 : -1;
}

static void add_items(const aw_member *m, const aw_subject *s, aw_json *j)
{
    aw_value v;
    aw_json_open(j, m->key, '[');
    for (size_t i = 0; aw_member_find(m, s, i, &v); i++) {
        if (m->kind == AW_MEMBER_TEXTS)
            aw_json_string(j, NULL, v.text);
        else if (m->kind == AW_MEMBER_TRUTHS)
            aw_json_truth(j, NULL, v.truth);
        else if (m->kind == AW_MEMBER_ROWS)
            aw_json_numbers(j, NULL, v.numbers, v.n);
        else
            aw_shape_json(m->of, &v.object, NULL, j);
        j->text->failed |= v.room.failed;
        aw_text_free(&v.room);
    }
    aw_text_free(&v.room);
    aw_json_close(j, ']');
}

/* Null, in the way of its kind. */
static void add_nothing(const aw_member *m, aw_json *j)
{
    aw_json_string(j, m->key, NULL);
}

static void add_value(const aw_member *m, const aw_value *v, aw_json *j)
{
    switch (m->kind) {
    case AW_MEMBER_NUMBER:
        aw_json_number(j, m->key, v->number);
        break;
    case AW_MEMBER_COUNT:
        aw_json_count(j, m->key, v->count);
        break;
    case AW_MEMBER_TEXT:
    case AW_MEMBER_WORD:
        aw_json_string(j, m->key, v->text);
        break;
    case AW_MEMBER_TRUTH:
        aw_json_truth(j, m->key, v->truth);
        break;
    case AW_MEMBER_VERDICT:
        aw_json_truth(j, m->key, aw_verdict_truth((aw_verdict)v->truth));
        break;
    case AW_MEMBER_NUMBERS:
        aw_json_numbers(j, m->key, v->numbers, v->n);
        break;
    case AW_MEMBER_OBJECT:
        if (v->object.of == NULL)
            add_nothing(m, j);
        else
            aw_shape_json(m->of, &v->object, m->key, j);
        break;
    case AW_MEMBER_EITHER:
        if (v->text != NULL)
            aw_json_string(j, m->key, v->text);
        else
            aw_json_number(j, m->key, v->number);
        break;
    case AW_MEMBER_ROWS:
    case AW_MEMBER_TEXTS:
    case AW_MEMBER_TRUTHS:
    case AW_MEMBER_LIST:
        break;
    }
}

static bool is_list(aw_member_kind kind)
{
    return kind == AW_MEMBER_ROWS || kind == AW_MEMBER_TEXTS || kind == AW_MEMBER_TRUTHS ||
           kind == AW_MEMBER_LIST;
}

static void add_member(const aw_member *m, const aw_subject *s, aw_json *j)
{
    aw_value v;
    if (is_list(m->kind)) {
        if (!m->may_lack || aw_member_find(m, s, 0, &v))
            add_items(m, s, j);
        return;
    }
    const bool has = aw_member_find(m, s, m->n, &v);
    if (has)
        add_value(m, &v, j);
    else if (!m->may_lack)
        add_nothing(m, j);
    j->text->failed |= v.room.failed;
    aw_text_free(&v.room);
}

void aw_shape_json(const aw_shape *shape, const aw_subject *subject, const char *key, aw_json *j)
{
    aw_json_open(j, key, '{');
    for (size_t i = 0; i < shape->n; i++)
        add_member(&shape->members[i], subject, j);
    aw_json_close(j, '}');
}

void aw_document_json(const aw_shape *shape, const aw_subject *subject, aw_text *out)
{
    aw_json json = {.text = out};
    aw_shape_json(shape, subject, NULL, &json);
    aw_text_add(out, "\n");
}
