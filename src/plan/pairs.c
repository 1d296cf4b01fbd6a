#include "plan/pairs.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* One line; ends with \n, \r\n or \r. */
static bool next_line(aw_dxf_reader *r, const char **at, size_t *length)
{
    if (r->at >= r->length)
        return false;
    const char *from = r->text + r->at, *end = from, *last = r->text + r->length;
    while (end < last && *end != '\n' && *end != '\r')
        end++;
    *at = from;
    *length = (size_t)(end - from);
    r->at = (size_t)(end - r->text) + (end < last);
    if (end + 1 < last && end[0] == '\r' && end[1] == '\n')
        r->at++;
    r->line++;
    return true;
}

/* A whole number with blanks about it. */
static bool read_code(const char *at, size_t length, int *code)
{
    long value = 0;
    size_t i = 0, digits = 0;
    while (i < length && (at[i] == ' ' || at[i] == '\t'))
        i++;
    const bool negative = i < length && at[i] == '-';
    for (i += negative; i < length && at[i] >= '0' && at[i] <= '9' && digits < 6; i++, digits++)
        value = 10 * value + (at[i] - '0');
    while (i < length && (at[i] == ' ' || at[i] == '\t'))
        i++;
    *code = (int)(negative ? -value : value);
    return digits > 0 && i == length;
}

int aw_dxf_next(aw_dxf_reader *r, aw_dxf_pair *p)
{
    const char *at;
    size_t length;
    if (!next_line(r, &at, &length))
        return 0;
    p->line = r->line;
    if (!read_code(at, length, &p->code))
        return length == 0 && r->at >= r->length ? 0 : -1;
    if (!next_line(r, &p->value, &p->length))
        return 0;
    while (p->length > 0 && (p->value[0] == ' ' || p->value[0] == '\t'))
        p->value++, p->length--;
    while (p->length > 0 && (p->value[p->length - 1] == ' ' || p->value[p->length - 1] == '\t'))
        p->length--;
    return 1;
}

bool aw_dxf_is(const aw_dxf_pair *p, const char *word)
{
    return p->length == strlen(word) && strncasecmp(p->value, word, p->length) == 0;
}

double aw_dxf_number(const aw_dxf_pair *p)
{
    char digits[64];
    const size_t n = p->length < sizeof digits ? p->length : sizeof digits - 1;
    memcpy(digits, p->value, n);
    digits[n] = '\0';
    return strtod(digits, NULL);
}

int aw_dxf_whole(const aw_dxf_pair *p)
{
    const double x = aw_dxf_number(p);
    return x > -1e9 && x < 1e9 ? (int)x : 0;
}

void aw_dxf_word(const aw_dxf_pair *p, char out[32])
{
    const size_t n = p->length < 31 ? p->length : 31;
    memcpy(out, p->value, n);
    out[n] = '\0';
}
