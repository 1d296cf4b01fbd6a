/* Line by line into a new text, which then takes the old one's place. */
#include "report/wrap.h"

#include <stdlib.h>
#include <string.h>

#include "report/names.h"

/* As far in as a line may begin. */
#define MOST_INDENT 16

static bool is_row(const char *line)
{
    return strstr(line + strspn(line, " "), "  ") != NULL;
}

/* Adds a line, whose words are cut out of it one after the other. */
static void add_wrapped(char *line, size_t columns, aw_text *out)
{
    const size_t leading = strspn(line, " "), indent = leading < MOST_INDENT ? leading : 0;
    size_t at = 0;
    char *rest = line + leading;
    aw_text_format(out, "%*s", (int)leading, "");
    for (char *word = strsep(&rest, " "); word != NULL; word = strsep(&rest, " ")) {
        const size_t width = aw_shown_width(word);
        if (at > 0 && indent + at + 1 + width > columns) {
            aw_text_format(out, "\n%*s", (int)indent, "");
            at = 0;
        }
        aw_text_format(out, "%s%s", at > 0 ? " " : "", word);
        at += width + (at > 0);
    }
}

void aw_text_wrap(aw_text *text, size_t columns)
{
    aw_text out = {0};
    if (text->failed || text->n == 0)
        return;
    char *rest = text->at;
    for (char *line = strsep(&rest, "\n"); line != NULL; line = strsep(&rest, "\n")) {
        if (aw_shown_width(line) <= columns || is_row(line))
            aw_text_add(&out, line);
        else
            add_wrapped(line, columns, &out);
        aw_text_add(&out, rest != NULL ? "\n" : "");
    }
    aw_text_free(text);
    *text = out;
}
