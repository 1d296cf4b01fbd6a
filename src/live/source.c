/* A line is found by counting; it is cut where it is long. */
#include "live/source.h"

#include <string.h>

#define MOST_SHOWN 400

const char *aw_source_find(const aw_text *text, int line)
{
    const char *at = text->n > 0 ? text->at : NULL, *end = text->at + text->n;
    for (int i = 1; i < line && at != NULL; i++) {
        at = memchr(at, '\n', (size_t)(end - at));
        at = at != NULL && at + 1 < end ? at + 1 : NULL;
    }
    return at;
}

AW_GETTER(get_number)
{
    v->count = (uint64_t)((const aw_source_line *)s->of)->line - 1 + s->i;
    return true;
}

AW_GETTER(get_text)
{
    const aw_source_line *of = s->of;
    const char *at = aw_source_find(of->text, of->line - 1 + (int)s->i);
    const size_t left = at != NULL ? of->text->n - (size_t)(at - of->text->at) : 0;
    const char *end = left > 0 ? memchr(at, '\n', left) : NULL;
    const size_t n = end != NULL ? (size_t)(end - at) : left;
    aw_text_add_bytes(&v->room, n > 0 ? at : "", n < MOST_SHOWN ? n : MOST_SHOWN);
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
