#include "plan/letters.h"

#include <iconv.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistr.h>

#include "anchorwise/text.h"
#include "base/character.h"

/* The code pages that \M+n names: of Japan, Taiwan, Korea, Johab, China. */
static const char *const wide_pages[] = {NULL, "CP932", "CP950", "CP949", "JOHAB", "CP936"};

static void add_code(aw_text *out, uint32_t code)
{
    uint8_t bytes[6];
    int n = u8_uctomb(bytes, code, sizeof bytes);
    if (n <= 0)
        n = u8_uctomb(bytes, 0xFFFD, sizeof bytes);
    aw_text_add_bytes(out, (const char *)bytes, (size_t)n);
}

/* The bytes in UTF-8; what cannot be read becomes U+FFFD. */
static void convert(aw_text *out, const char bytes[], size_t length, const char *encoding)
{
    const iconv_t how = iconv_open("UTF-8", encoding);
    char *copy = malloc(length + 1);
    if (copy == NULL) {
        out->failed = true;
    } else if (how == (iconv_t)-1) {
        aw_text_add_bytes(out, bytes, length);
    } else {
        memcpy(copy, bytes, length);
        char *from = copy;
        while (length > 0) {
            char piece[256], *to = piece;
            size_t room = sizeof piece;
            const size_t before = length;
            iconv(how, &from, &length, &to, &room);
            aw_text_add_bytes(out, piece, sizeof piece - room);
            if (length == before && room == sizeof piece) {
                add_code(out, 0xFFFD);
                from++, length--;
            }
        }
    }
    free(copy);
    if (how != (iconv_t)-1)
        iconv_close(how);
}

/* Four hexadecimal digits. */
static bool read_hex(const char *at, size_t left, uint32_t *code)
{
    char digits[5] = "";
    if (left < 4)
        return false;
    memcpy(digits, at, 4);
    *code = (uint32_t)strtoul(digits, NULL, 16);
    return strspn(digits, "0123456789abcdefABCDEF") == 4;
}

/* A character that is written out; how many bytes that takes, 0 if none begins here. */
static size_t take_written(aw_text *out, const char *at, size_t left)
{
    static const char signs[] = "dpc";
    static const uint32_t codes[] = {0xB0, 0xB1, 0x2300};
    uint32_t code;
    if (left >= 3 && at[0] == '%' && at[1] == '%' && at[2] != '\0') {
        const char *sign = strchr(signs, at[2] | 0x20);
        if (sign != NULL)
            add_code(out, codes[sign - signs]);
        return sign != NULL ? 3 : 0;
    }
    if (left >= 7 && at[0] == '\\' && at[1] == 'U' && at[2] == '+' &&
        read_hex(at + 3, left - 3, &code)) {
        add_code(out, code);
        return 7;
    }
    if (left >= 8 && at[0] == '\\' && at[1] == 'M' && at[2] == '+' && at[3] >= '1' &&
        at[3] <= '5' && read_hex(at + 4, left - 4, &code)) {
        const char pair[2] = {(char)(code >> 8), (char)(code & 0xFF)};
        convert(out, pair, 2, wide_pages[at[3] - '0']);
        return 8;
    }
    return 0;
}

const char *aw_letters_decode(aw_arena *arena, const char bytes[], size_t length,
                              const char *encoding)
{
    aw_text plain = {0}, out = {0};
    convert(&plain, bytes, length, encoding);
    for (size_t i = 0; i < plain.n;) {
        const size_t written = take_written(&out, plain.at + i, plain.n - i);
        if (written > 0) {
            i += written;
            continue;
        }
        const aw_character c = aw_character_at(plain.at, plain.n, i);
        if (c.code == AW_NO_CHARACTER)
            add_code(&out, 0xFFFD);
        else if (c.code < 0x20 || aw_character_is_hidden(plain.at, plain.n, i))
            aw_text_add(&out, " ");
        else
            aw_text_add_bytes(&out, plain.at + i, c.width);
        i += c.width;
    }
    const char *text = plain.failed || out.failed
                           ? NULL
                           : aw_arena_copy_text(arena, out.n > 0 ? out.at : "", out.n);
    aw_text_free(&plain);
    aw_text_free(&out);
    return text;
}
