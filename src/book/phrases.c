/* A gap is one digit in braces. */
#include "book/phrases.h"

#include <string.h>

static bool is_gap(const char *at)
{
    return at[0] == '{' && at[1] >= '0' && at[1] <= '9' && at[2] == '}';
}

void aw_phrase_fill(const aw_language *language, aw_phrase phrase, const char *const args[],
                    aw_text *out)
{
    size_t n = 0;
    while (args[n] != NULL)
        n++;
    for (const char *at = language->phrases[phrase]; *at != '\0';) {
        const size_t plain = strcspn(at, "{");
        aw_text_add_bytes(out, at, plain);
        at += plain;
        if (is_gap(at) && (size_t)(at[1] - '0') < n) {
            aw_text_add(out, args[at[1] - '0']);
            at += 3;
        } else if (*at != '\0') {
            aw_text_add_bytes(out, at++, 1);
        }
    }
}
