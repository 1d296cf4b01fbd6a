/* Figures for people: a value and what is asked of it stand on the page as the verdict says they
 * do. The figures are read back by the C library and compared; nothing of how they were made is
 * used. */
#include <math.h>
#include <string.h>

#include "report/figures.h"
#include "report/verdict.h"
#include "report/words.h"
#include "aw_test.h"

static double read_back(const char *text)
{
    return strtod(text + strspn(text, "<> "), NULL);
}

static size_t digits_after_point(const char *text)
{
    const char *point = strchr(text, '.');
    return point != NULL ? strspn(point + 1, "0123456789") : 0;
}

START_TEST(a_length_stands_on_its_side_of_what_is_asked)
{
    uint64_t state = 11;
    size_t longer = 0;
    for (int i = 0; i < 200000; i++) {
        const aw_units units = i % 2 == 0 ? AW_METRES : AW_FEET;
        const double unit = units == AW_METRES ? 1 : 0.0254; /* shown in m or in inches */
        const double shown = round(test_between(&state, 5, 3000)) / 100, asked = shown * unit;
        const double value = asked * (1 + pow(10, test_between(&state, -7, -1)) *
                                              (test_uniform(&state) < 0.5 ? -1 : 1));
        const aw_length_text text = aw_error_figure_asked(value, asked, units);
        const aw_length_text plain = aw_error_figure(value, units);
        ck_assert_msg((read_back(text.text) <= shown) == (value <= asked),
                      "%s of %.9g where %g is asked", text.text, value, shown);
        const bool enough = (read_back(plain.text) <= shown) == (value <= asked);
        ck_assert_msg(enough == (strcmp(text.text, plain.text) == 0), "%s for %s where %g is asked",
                      text.text, plain.text, shown);
        longer += !enough;
    }
    ck_assert_uint_gt(longer, 1000);
}
END_TEST

START_TEST(a_share_stands_on_its_side_of_what_is_asked)
{
    uint64_t state = 12;
    char text[AW_FIGURE_ROOM], plain[AW_FIGURE_ROOM];
    size_t longer = 0;
    for (int i = 0; i < 200000; i++) {
        const double percent = round(test_between(&state, 1, 9999)) / 100, asked = percent / 100;
        const double value = fmin(asked * (1 + pow(10, test_between(&state, -6, -1)) *
                                                   (test_uniform(&state) < 0.5 ? -1 : 1)),
                                  1);
        aw_figure_share_asked(value, asked, text);
        aw_figure_share(value, plain);
        ck_assert_msg((read_back(text) >= percent) == (value >= asked),
                      "%s of %.9g where %g is asked", text, value, asked);
        ck_assert_uint_ge(digits_after_point(text), digits_after_point(plain));
        ck_assert_ptr_nonnull(strstr(text, " %"));
        longer += strcmp(text, plain) != 0;
    }
    ck_assert_uint_gt(longer, 1000);
}
END_TEST

static void check_length(double value, double asked, const char *wanted)
{
    ck_assert_str_eq(aw_error_figure_asked(value, asked, AW_METRES).text, wanted);
}

static void check_share(double value, double asked, const char *wanted)
{
    char text[AW_FIGURE_ROOM];
    ck_assert_str_eq(aw_figure_share_asked(value, asked, text), wanted);
}

START_TEST(a_figure_has_no_more_digits_than_the_decision_takes)
{
    check_length(0.504, 0.5, "0.504");
    check_length(0.496, 0.5, "0.50");
    check_length(0.5, 0.5, "0.50");
    check_length(10.04, 10, "10.04");
    check_length(0.52, 0.5, "0.52");
    check_length(0.504, (double)NAN, "0.50");
    check_length((double)NAN, 0.5, "–");
    check_length((double)INFINITY, 0.5, "–");
    check_share(0.896, 0.9, "89.6 %");
    check_share(0.9, 0.9, "90 %");
    check_share(0.07, 0.07, "7 %");
    check_share(0.904, 0.9, "90 %");
    check_share(0.89999, 0.9, "89.999 %");
    check_share(0.99969, 0.9997, "99.969 %");
    check_share(0.99972, 0.9995, "99.97 %");
    check_share(0.99972, 0.9, "> 99.9 %");
    check_share(1, 0.9995, "100 %");
    check_share(0.896, (double)NAN, "90 %");
}
END_TEST

/* 1077 of 1200 cells. */
START_TEST(a_zone_that_misses_its_share_by_little_says_so)
{
    aw_zone_result r = {.verdict = AW_NOT_MET};
    aw_text asked = {0};
    const aw_need need = {.p95 = 0.7,
                          .share = 0.9,
                          .p50 = (double)NAN,
                          .p99 = (double)NAN,
                          .vertical_p95 = (double)NAN,
                          .fix_share = (double)NAN,
                          .zone_share = (double)NAN,
                          .chance = (double)NAN,
                          .margin = (double)NAN};
    for (int part = 0; part < AW_PARTS; part++)
        r.parts[part].verdict = AW_NO_NEED;
    r.parts[AW_PART_SHARE] =
        (aw_part_result){0.9, {1077 / 1200.0, 1077 / 1200.0, 1077 / 1200.0}, AW_NOT_MET};
    aw_need_words(&need, AW_METRES, &asked);
    ck_assert_str_eq(aw_part_words(&r.parts[AW_PART_SHARE], AW_PART_SHARE, AW_METRES).text,
                     "89.8 %");
    ck_assert_str_eq(asked.at, "p95 <= 0.7 m, in 90 %");
    aw_text_free(&asked);
}
END_TEST

/* A verdict is never told as another, in a column, in a sentence or by its colour. */
START_TEST(every_verdict_has_its_word)
{
    static const struct {
        aw_verdict verdict;
        const char *word, *phrase, *colour;
    } rows[] = {{AW_MET, "met", "met", "\033[32m"},
                {AW_NOT_MET, "NOT MET", "not met", "\033[31m"},
                {AW_UNDECIDED, "undecided", "undecided", "\033[33m"},
                {AW_NO_NEED, "–", "", ""}};
    const aw_verdict v = rows[_i].verdict;
    ck_assert_str_eq(aw_verdict_word(v), rows[_i].word);
    ck_assert_str_eq(aw_verdict_phrase(v), rows[_i].phrase);
    ck_assert_str_eq(aw_verdict_colour(v, true), rows[_i].colour);
    ck_assert_str_eq(aw_verdict_colour(v, false), "");
    ck_assert_str_eq(aw_verdict_colour_end(v, true), v == AW_NO_NEED ? "" : "\033[0m");
    ck_assert_str_eq(aw_verdict_colour_end(v, false), "");
}
END_TEST

static TCase *all(void)
{
    TCase *c = tcase_create("figures");
    tcase_add_loop_test(c, every_verdict_has_its_word, 0, 4);
    tcase_add_test(c, a_length_stands_on_its_side_of_what_is_asked);
    tcase_add_test(c, a_share_stands_on_its_side_of_what_is_asked);
    tcase_add_test(c, a_figure_has_no_more_digits_than_the_decision_takes);
    tcase_add_test(c, a_zone_that_misses_its_share_by_little_says_so);
    return c;
}

AW_TEST_MAIN("figures", all())
