/* A line is found by counting; it is cut where it is long. */
#include "live/source.h"

#include <string.h>

#define MOST_SHOWN 400

static const char *find_line(const aw_source_line *at, int line, size_t *length)
{
    const aw_text *text = at->text;
    const char *begin = text->n > 0 ? text->at : NULL, *end = text->at + text->n;
    for (int i = 1; i < line && begin != NULL; i++) {
        begin = memchr(begin, '\n', (size_t)(end - begin));
        begin = begin != NULL && begin + 1 < end ? begin + 1 : NULL;
    }
    if (begin == NULL)
        return NULL;
    const char *last = memchr(begin, '\n', (size_t)(end - begin));
    *length = (size_t)((last != NULL ? last : end) - begin);
    *length = *length < MOST_SHOWN ? *length : MOST_SHOWN;
    return begin;
}

AW_GETTER(get_number)
{
    v->count = (uint64_t)((const aw_source_line *)s->of)->line - 1 + s->i;
    return true;
}

AW_GETTER(get_text)
{
    const aw_source_line *at = s->of;
    size_t n = 0;
    const char *begin = find_line(at, at->line - 1 + (int)s->i, &n);
    aw_text_add_bytes(&v->room, begin != NULL ? begin : "", n);
    v->text = v->room.at;
    return true;
}

static const aw_member source_members[] = {
    AW_GOT("line", COUNT, get_number, "", "from 1"),
    AW_GOT("text", TEXT, get_text, "", "as it is written"),
};
const aw_shape aw_live_source_shape = AW_SHAPE("live_source", "A line of the file", source_members);

bool aw_get_source(const aw_source_line *at, size_t i, aw_value *v)
{
    const size_t first = at->line > 1 ? 0 : 1;
    v->object = (aw_subject){at, NULL, i + first, 0};
    return at->text != NULL && at->line > 0 && i + first < 2;
}
