/* A gap is one digit in braces. */
#include "book/phrases.h"

#include <string.h>

static bool is_gap(const char *at)
{
    return at[0] == '{' && at[1] >= '0' && at[1] <= '9' && at[2] == '}';
}

/* A blank between a figure and its unit, at which no line may break. */
static bool is_bound(const char *text, size_t at)
{
    static const char *const units[] = {"m", "ft", "in", "%", "dB", "h", "EUR"};
    const char *unit = text + at + 1;
    if (text[at] != ' ' || at == 0 || text[at - 1] < '0' || text[at - 1] > '9')
        return false;
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        const size_t n = strlen(units[i]);
        if (strncmp(unit, units[i], n) == 0 && strchr(" ,;.:)", unit[n]) != NULL)
            return true;
    }
    return false;
}

static void add_bound(const char *text, aw_text *out)
{
    for (size_t at = 0; text[at] != '\0'; at++) {
        const bool bound = is_bound(text, at);
        aw_text_add_bytes(out, bound ? "\xc2\xa0" : text + at, bound ? 2 : 1);
    }
}

static void fill(const aw_language *language, aw_phrase phrase, const char *const args[],
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

void aw_phrase_fill(const aw_language *language, aw_phrase phrase, const char *const args[],
                    aw_text *out)
{
    aw_text own = {0};
    fill(language, phrase, args, &own);
    add_bound(own.at != NULL ? own.at : "", out);
    out->failed |= own.failed;
    aw_text_free(&own);
}
