/* The hidden characters are a list of code points, so that no version of a library moves them. */
#include "base/character.h"

#include <stdio.h>
#include <string.h>

#include "anchorwise/text.h"

#define NON_JOINER 0x200C
#define JOINER     0x200D

static bool continues(char byte)
{
    return ((unsigned char)byte & 0xC0) == 0x80;
}

/* RFC 3629, 3: neither longer than need be, nor a surrogate, nor beyond U+10FFFF. */
aw_character aw_character_at(const char text[], size_t length, size_t at)
{
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    const aw_character none = {AW_NO_CHARACTER, 1};
    const unsigned char first = (unsigned char)text[at];
    const size_t n = first < 0x80 ? 1 : first < 0xC0 ? 0 : first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
    if (n == 1)
        return (aw_character){first, 1};
    if (n == 0 || first > 0xF7 || n > length - at)
        return none;
    uint32_t code = first & (0x7Fu >> n);
    for (size_t i = 1; i < n; i++) {
        if (!continues(text[at + i]))
            return none;
        code = code << 6 | ((unsigned char)text[at + i] & 0x3Fu);
    }
    if (code < least[n] || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF))
        return none;
    return (aw_character){code, n};
}

/* Controls (categories Cc, Zl, Zp), and what Unicode 15 calls Default_Ignorable_Code_Point but for
 * the variation selectors, which change how the letter before them looks: soft hyphen, marks and
 * overrides of direction, spaces without width, joiners, fillers, tags. Besides, U+FFF9 to U+FFFB,
 * which bracket annotations, and U+FFFE and U+FFFF, which XML does not take. */
static bool is_listed(uint32_t code)
{
    static const uint32_t hidden[][2] = {
        {0x00, 0x1F},       {0x7F, 0x9F},       {0xAD, 0xAD},       {0x34F, 0x34F},
        {0x61C, 0x61C},     {0x115F, 0x1160},   {0x17B4, 0x17B5},   {0x180E, 0x180E},
        {0x200B, 0x200F},   {0x2028, 0x202E},   {0x2060, 0x206F},   {0x3164, 0x3164},
        {0xFEFF, 0xFEFF},   {0xFFA0, 0xFFA0},   {0xFFF0, 0xFFFB},   {0xFFFE, 0xFFFF},
        {0x1BCA0, 0x1BCA3}, {0x1D173, 0x1D17A}, {0xE0000, 0xE00FF}, {0xE01F0, 0xE0FFF}};
    for (size_t i = 0; i < sizeof hidden / sizeof hidden[0]; i++)
        if (code >= hidden[i][0] && code <= hidden[i][1])
            return true;
    return false;
}

/* A letter of a script that is written with joiners (Arabic, those of India, and others): they all
 * lie above Latin, Greek, Cyrillic and Hebrew, in which a joiner has no part. So do the pictures
 * that are joined into one. */
static bool takes_joiners(uint32_t code)
{
    return code >= 0x600 && code <= 0x10FFFF && !(code >= 0x2000 && code <= 0x206F);
}

static bool stands_between_joined(const char text[], size_t length, size_t at, size_t width)
{
    size_t before = at;
    if (at == 0 || at + width >= length)
        return false;
    do
        before--;
    while (before > 0 && continues(text[before]));
    return takes_joiners(aw_character_at(text, length, before).code) &&
           takes_joiners(aw_character_at(text, length, at + width).code);
}

bool aw_character_is_hidden(const char text[], size_t length, size_t at)
{
    const aw_character c = aw_character_at(text, length, at);
    if (c.code == AW_NO_CHARACTER)
        return true;
    if (c.code == NON_JOINER || c.code == JOINER)
        return !stands_between_joined(text, length, at, c.width);
    return is_listed(c.code);
}

bool aw_text_is_printable(const char text[], size_t length, char why[AW_WHY_ROOM])
{
    for (size_t at = 0; at < length;) {
        const aw_character c = aw_character_at(text, length, at);
        if (aw_character_is_hidden(text, length, at)) {
            if (c.code == AW_NO_CHARACTER)
                snprintf(why, AW_WHY_ROOM, "is not UTF-8");
            else
                snprintf(why, AW_WHY_ROOM, "holds U+%04X, %s", (unsigned)c.code,
                         c.code < 0xA0 ? "a control character" : "an invisible control character");
            return false;
        }
        at += c.width;
    }
    return true;
}
