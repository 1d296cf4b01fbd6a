/* UTF-8 as RFC 3629 has it: no longer forms, no surrogates, nothing beyond U+10FFFF. */
#include "base/utf8.h"

#include <stdbool.h>
#include <stdint.h>

size_t aw_utf8_sequence(const unsigned char *s)
{
    size_t n = 0;
    uint32_t code = 0;
    if (s[0] < 0x80)
        return 1;
    if (s[0] >= 0xC2 && s[0] <= 0xDF) {
        n = 2;
        code = s[0] & 0x1Fu;
    } else if (s[0] >= 0xE0 && s[0] <= 0xEF) {
        n = 3;
        code = s[0] & 0x0Fu;
    } else if (s[0] >= 0xF0 && s[0] <= 0xF4) {
        n = 4;
        code = s[0] & 0x07u;
    }
    for (size_t i = 1; i < n; i++) {
        if ((s[i] & 0xC0) != 0x80)
            return 0;
        code = code << 6 | (s[i] & 0x3Fu);
    }
    const bool bad = (n == 3 && code < 0x800) || (n == 4 && code < 0x10000) || code > 0x10FFFF ||
                     (code >= 0xD800 && code <= 0xDFFF);
    return bad ? 0 : n;
}
