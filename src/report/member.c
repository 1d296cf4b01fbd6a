/* The value of one member. */
#include "report/shape.h"

static const void *place_of(const aw_member *m, const aw_subject *s)
{
    return (const char *)s->of + m->at;
}

/* Takes a member out of its struct. */
static void take(const aw_member *m, const aw_subject *s, aw_value *v)
{
    const void *at = place_of(m, s);
    switch (m->kind) {
    case AW_MEMBER_NUMBER:
        v->number = *(const double *)at;
        break;
    case AW_MEMBER_COUNT:
        v->count = m->size == 4 ? *(const uint32_t *)at : *(const uint64_t *)at;
        break;
    case AW_MEMBER_TEXT:
    case AW_MEMBER_WORD:
        v->text = *(const char *const *)at;
        break;
    case AW_MEMBER_TRUTH:
        v->truth = *(const bool *)at;
        break;
    case AW_MEMBER_VERDICT:
        v->truth = (int)*(const aw_verdict *)at;
        break;
    case AW_MEMBER_NUMBERS:
        v->numbers = at;
        v->n = m->n;
        break;
    case AW_MEMBER_OBJECT:
        v->object = (aw_subject){at, s->with, s->i, s->k};
        break;
    case AW_MEMBER_EITHER:
    case AW_MEMBER_ROWS:
    case AW_MEMBER_TEXTS:
    case AW_MEMBER_TRUTHS:
    case AW_MEMBER_LIST:
        break;
    }
}

bool aw_member_find(const aw_member *m, const aw_subject *s, size_t i, aw_value *v)
{
    *v = (aw_value){0};
    if (m->get != NULL)
        return m->get(s, i, v);
    take(m, s, v);
    return true;
}
