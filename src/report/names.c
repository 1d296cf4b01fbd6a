/* Width, clusters and direction of characters are Unicode's, by way of libunistring. */
#include "report/names.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>
#include <unictype.h>
#include <unigbrk.h>
#include <unilbrk.h>
#include <unistr.h>
#include <uniwidth.h>

#define ISOLATE     "\xE2\x81\xA8"
#define END_ISOLATE "\xE2\x81\xA9"

size_t aw_width_of(const char *text, size_t n)
{
    return (size_t)u8_width((const uint8_t *)text, n, "UTF-8");
}

size_t aw_shown_width(const char *text)
{
    size_t width = 0;
    while (*text != '\0') {
        const size_t plain = strcspn(text, "\033");
        width += aw_width_of(text, plain);
        text += plain;
        if (*text == '\033') {
            text += strcspn(text, "m");
            text += *text == 'm';
        }
    }
    return width;
}

/* --- lines --- */

/* Whether a figure and a blank end there: what follows may be its unit. */
static bool is_behind_figure(const char *text, size_t at)
{
    if (at < 2 || text[at - 1] != ' ' || text[at - 2] < '0' || text[at - 2] > '9')
        return false;
    at -= 2;
    while (at > 0 && text[at - 1] != ' ')
        at--;
    return text[at] >= '0' && text[at] <= '9';
}

/* Where lines may break before: as Unicode says, but not between a figure and its unit. */
static bool is_break(const char *text, const char *breaks, size_t at)
{
    return breaks[at] == UC_BREAK_POSSIBLE && !is_behind_figure(text, at);
}

/* Where the character that begins at `at` ends. */
static size_t next_character(const char *text, size_t at, size_t n)
{
    const uint8_t *begin = (const uint8_t *)text, *next = u8_grapheme_next(begin + at, begin + n);
    return next != NULL ? (size_t)(next - begin) : n;
}

/* Where lines may break in a text, or in the beginning of one so long that no line holds it all;
 * how many bytes were looked at, whole characters. */
static size_t find_breaks(const char *text, char breaks[AW_MOST_IN_LINE])
{
    size_t n = strnlen(text, AW_MOST_IN_LINE);
    while (n == AW_MOST_IN_LINE || (n > 0 && (text[n] & 0xC0) == 0x80))
        n--;
    u8_possible_linebreaks((const uint8_t *)text, n, "UTF-8", breaks);
    return n;
}

size_t aw_line_length(const char *text, size_t columns)
{
    char breaks[AW_MOST_IN_LINE];
    const size_t n = find_breaks(text, breaks);
    size_t fits = 0, last = 0;
    for (size_t at = 0; at < n;) {
        const size_t next = next_character(text, at, n);
        /* A blank at the end of a line takes no room. */
        if (text[at] != ' ' && aw_width_of(text, next) > columns)
            break;
        fits = at = next;
        if (at == n || is_break(text, breaks, at))
            last = at;
    }
    return last > 0 ? last : fits > 0 ? fits : next_character(text, 0, n);
}

size_t aw_longest_piece(const char *text)
{
    char breaks[AW_MOST_IN_LINE];
    const size_t n = find_breaks(text, breaks);
    size_t most = 0, from = 0;
    for (size_t at = 1; at <= n; at++) {
        if (at < n && !is_break(text, breaks, at))
            continue;
        size_t end = at;
        while (end > from && text[end - 1] == ' ')
            end--;
        const size_t width = aw_width_of(text + from, end - from);
        most = width > most ? width : most;
        from = at;
    }
    return most;
}

/* --- isolates --- */

/* A run from right to left as offsets of its first and behind its last letter; none if equal. */
typedef struct run {
    size_t from, to, end; /* `end`: where to look on */
    bool left_to_right;   /* letters of that direction before the end */
} run;

/* What is written up to the next letter of the other direction behind a run, or to the end. */
static run next_run(const char *text, size_t from, size_t n)
{
    run r = {from, from, n, false};
    for (size_t at = from; at < n;) {
        ucs4_t letter;
        const int bytes = u8_mbtouc(&letter, (const uint8_t *)text + at, n - at);
        const int direction = uc_bidi_class(letter);
        if (direction == UC_BIDI_R || direction == UC_BIDI_AL) {
            r.from = r.from == r.to ? at : r.from;
            r.to = at + (size_t)bytes;
        } else if (direction == UC_BIDI_NSM && r.to == at && r.from < r.to) {
            r.to = at + (size_t)bytes;
        } else if (direction == UC_BIDI_L) {
            r.left_to_right = true;
            if (r.from < r.to) {
                r.end = at;
                break;
            }
        }
        at += (size_t)bytes;
    }
    return r;
}

static void add_isolated(const char *text, size_t n, aw_text *out)
{
    aw_text_add(out, ISOLATE);
    aw_text_add_bytes(out, text, n);
    aw_text_add(out, END_ISOLATE);
}

/* A cell or a line of a sentence. */
static void add_cell(const char *text, size_t n, aw_text *out)
{
    run r = next_run(text, 0, n);
    if (r.from < r.to && !r.left_to_right) {
        add_isolated(text, n, out);
        return;
    }
    for (size_t at = 0; at < n; r = next_run(text, at, n)) {
        aw_text_add_bytes(out, text + at, r.from - at);
        if (r.from < r.to)
            add_isolated(text + r.from, r.to - r.from, out);
        aw_text_add_bytes(out, text + r.to, r.end - r.to);
        at = r.end;
    }
}

/* Cells end at the end of a line or where two spaces stand. */
static size_t cell_length(const char *text)
{
    size_t n = strcspn(text, "\n");
    const char *gap = memmem(text, n, "  ", 2);
    return gap != NULL ? (size_t)(gap - text) : n;
}

void aw_isolate_names(aw_text *text, size_t from)
{
    aw_text out = {0};
    if (text->failed || from >= text->n)
        return;
    for (const char *at = text->at + from; *at != '\0';) {
        const size_t n = cell_length(at);
        add_cell(at, n, &out);
        at += n;
        const size_t gap = strspn(at, " \n");
        aw_text_add_bytes(&out, at, gap);
        at += gap;
    }
    text->n = from;
    aw_text_add_bytes(text, out.at, out.n);
    text->failed |= out.failed;
    aw_text_free(&out);
}
