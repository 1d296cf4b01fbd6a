/* Sentences wrapped to a width; rows of tables are left alone. */
#include <string.h>

#include "aw_test.h"
#include "report/names.h"
#include "report/wrap.h"

/* Text, columns, and what comes of it. */
static const struct {
    const char *text;
    size_t columns;
    const char *wanted;
} cases[] = {
    {"one two three\n", 7, "one two\nthree\n"},
    {"one two three", 13, "one two three"},
    {"one two three\n\nfour five\n", 9, "one two\nthree\n\nfour five\n"},
    {"  far in one two\n", 8, "  far in\n  one\n  two\n"},
    {"west   met   0.35 m and more\n", 10, "west   met   0.35 m and more\n"},
    {"a word-that-is-wider-than-all b\n", 8, "a\nword-that-is-wider-than-all\nb\n"},
    {"größe über öl\n", 10, "größe über\nöl\n"}, /* ten columns, thirteen bytes */
    {"東京 京都\n", 5, "東京\n京都\n"},          /* two columns each */
    {"\033[31mNOT MET\033[0m by p95\n", 10, "\033[31mNOT MET\033[0m by\np95\n"},
    {"", 5, ""},
};

START_TEST(sentences_break_at_blanks_and_rows_stay_whole)
{
    aw_text text = {0};
    aw_text_add(&text, cases[_i].text);
    aw_text_wrap(&text, cases[_i].columns);
    ck_assert_str_eq(text.n > 0 ? text.at : "", cases[_i].wanted);
    aw_text_free(&text);
}
END_TEST

/* Whatever the width: the words in their order, and no line of several words beyond it. */
START_TEST(no_word_is_lost_and_no_line_is_too_wide)
{
    const char *said =
        "Each cause is taken away alone and the spot drawn again. Causes overlap, so "
        "the gains do not add up; the fair parts do.\n  A line further in, of "
        "some length, is broken too.\n";
    for (size_t columns = 10; columns < 90; columns++) {
        aw_text text = {0};
        char one[400], other[400];
        aw_text_add(&text, said);
        aw_text_wrap(&text, columns);
        size_t n = 0, m = 0;
        for (const char *p = said; *p != '\0'; p++)
            if (*p != ' ' && *p != '\n')
                one[n++] = *p;
        for (const char *p = text.at; *p != '\0'; p++)
            if (*p != ' ' && *p != '\n')
                other[m++] = *p;
        ck_assert_uint_eq(n, m);
        ck_assert(memcmp(one, other, n) == 0);
        char *rest = text.at;
        for (char *line = strsep(&rest, "\n"); line != NULL; line = strsep(&rest, "\n"))
            ck_assert_uint_le(aw_shown_width(line), columns);
        aw_text_free(&text);
    }
}
END_TEST

static TCase *wrapping(void)
{
    TCase *tc = tcase_create("wrapping");
    tcase_add_loop_test(tc, sentences_break_at_blanks_and_rows_stay_whole, 0,
                        sizeof cases / sizeof *cases);
    tcase_add_test(tc, no_word_is_lost_and_no_line_is_too_wide);
    return tc;
}

AW_TEST_MAIN("wrap", wrapping())
