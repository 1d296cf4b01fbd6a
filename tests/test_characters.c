/* Which characters a name may hold, and UTF-8, both held against GLib, which has its own tables of
 * Unicode and its own reading of UTF-8. */
#include <glib.h>
#include <string.h>

#include "anchorwise/text.h"
#include "base/character.h"
#include "aw_test.h"

static bool is_hidden(uint32_t code)
{
    char text[8];
    const int n = g_unichar_to_utf8(code, text);
    return aw_character_is_hidden(text, (size_t)n, 0);
}

/* Of the format characters (category Cf) these are drawn: signs that enclose a number or a word,
 * and marks that arrange signs of Egyptian and of shorthand. */
static bool is_drawn_format(uint32_t code)
{
    return (code >= 0x600 && code <= 0x605) || code == 0x6DD || code == 0x70F ||
           (code >= 0x890 && code <= 0x891) || code == 0x8E2 || code == 0x110BD ||
           code == 0x110CD || (code >= 0x13430 && code <= 0x1343F);
}

START_TEST(every_control_and_separator_of_lines_is_refused)
{
    size_t n = 0;
    for (uint32_t code = 0; code <= 0x10FFFF; code++) {
        const GUnicodeType type =
            code < 0xD800 || code > 0xDFFF ? g_unichar_type(code) : G_UNICODE_SURROGATE;
        const bool format = type == G_UNICODE_FORMAT && !is_drawn_format(code);
        if (type != G_UNICODE_CONTROL && type != G_UNICODE_LINE_SEPARATOR &&
            type != G_UNICODE_PARAGRAPH_SEPARATOR && !format)
            continue;
        ck_assert_msg(is_hidden(code), "U+%04X", code);
        n++;
    }
    ck_assert_uint_gt(n, 180);
}
END_TEST

/* Letters, figures, marks, signs, spaces of some width: all that Unicode has given a place and a
 * shape. */
START_TEST(no_character_that_is_drawn_is_refused)
{
    for (uint32_t code = 0; code <= 0x10FFFF; code++) {
        if ((code >= 0xD800 && code <= 0xDFFF) || !g_unichar_isdefined(code))
            continue;
        const GUnicodeType type = g_unichar_type(code);
        const bool control = type == G_UNICODE_FORMAT || type == G_UNICODE_CONTROL ||
                             type == G_UNICODE_LINE_SEPARATOR ||
                             type == G_UNICODE_PARAGRAPH_SEPARATOR;
        const bool drawn = g_unichar_isgraph(code) && !g_unichar_iszerowidth(code) && !control;
        const bool filler = code == 0x115F || code == 0x3164 || code == 0xFFA0;
        if (drawn && !filler)
            ck_assert_msg(!is_hidden(code), "U+%04X", code);
    }
}
END_TEST

START_TEST(utf_8_is_read_as_another_library_reads_it)
{
    uint64_t state = 5;
    for (int i = 0; i < 400000; i++) {
        char text[5] = {0};
        const size_t length = 1 + (size_t)(test_uniform(&state) * 4);
        for (size_t k = 0; k < length; k++) {
            const double where = test_uniform(&state);
            text[k] = (char)(where < 0.5 ? 0x80 + (int)(test_uniform(&state) * 0x40)
                                         : 1 + (int)(test_uniform(&state) * 0xFF));
        }
        const gunichar theirs = g_utf8_get_char_validated(text, (gssize)length);
        const aw_character ours = aw_character_at(text, length, 0);
        const bool sound = theirs != (gunichar)-1 && theirs != (gunichar)-2;
        ck_assert_uint_eq(ours.code, sound ? theirs : AW_NO_CHARACTER);
        if (sound)
            ck_assert_uint_eq(ours.width, (size_t)g_unichar_to_utf8(theirs, NULL));
    }
}
END_TEST

static void check_text(const char *text, const char *wanted)
{
    char why[AW_WHY_ROOM] = "";
    ck_assert_msg(aw_text_is_printable(text, strlen(text), why) == (*wanted == '\0'), "%s", text);
    ck_assert_str_eq(why, wanted);
}

START_TEST(a_text_names_the_first_character_that_it_may_not_hold)
{
    check_text("", "");
    check_text("Werkhalle Süd, 3. OG – “B”", "");
    check_text("\xe8\xbb\x8a\xe5\xba\xab", "");
    check_text("rev \xe2\x80\xae"
               "3",
               "holds U+202E, an invisible control character");
    check_text("a\tb\n", "holds U+0009, a control character");
    check_text("b\x7f", "holds U+007F, a control character");
    check_text("rev \xff", "is not UTF-8");
    check_text("rev \xc3", "is not UTF-8");
}
END_TEST

START_TEST(a_joiner_stands_only_inside_a_word_that_is_written_with_it)
{
    check_text("\xd9\x85\xdb\x8c\xe2\x80\x8c\xd8\xae\xd9\x88\xd8\xa7\xd9\x87\xd9\x85", "");
    check_text("\xe0\xa4\x95\xe0\xa5\x8d\xe2\x80\x8d\xe0\xa4\xb7", "");
    check_text("gate\xe2\x80\x8d"
               "A",
               "holds U+200D, an invisible control character");
    check_text("\xd9\x85\xe2\x80\x8c", "holds U+200C, an invisible control character");
    check_text("\xe2\x80\x8c\xd9\x85", "holds U+200C, an invisible control character");
    check_text("\xd9\x85\xe2\x80\x8c\xe2\x80\x8c\xd9\x85",
               "holds U+200C, an invisible control character");
}
END_TEST

static TCase *all(void)
{
    TCase *c = tcase_create("characters");
    tcase_add_test(c, every_control_and_separator_of_lines_is_refused);
    tcase_add_test(c, no_character_that_is_drawn_is_refused);
    tcase_add_test(c, utf_8_is_read_as_another_library_reads_it);
    tcase_add_test(c, a_text_names_the_first_character_that_it_may_not_hold);
    tcase_add_test(c, a_joiner_stands_only_inside_a_word_that_is_written_with_it);
    return c;
}

AW_TEST_MAIN("characters", all())
