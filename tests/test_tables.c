/* Tables for people: never wider than they may be, nothing lost on the way, columns kept. What is
 * printed is taken apart again by its blanks, and widths are counted by a rule written here. */
#include <string.h>

#include "report/columns.h"
#include "report/names.h"
#include "report/table.h"
#include "aw_test.h"

#define MOST_LINES 4096

typedef struct page {
    aw_text text;
    char *lines[MOST_LINES];
    size_t n;
} page;

static page print(aw_table *t)
{
    static char empty[1];
    page p = {.n = 0};
    aw_table_write(t, &p.text);
    ck_assert(!p.text.failed);
    char *rest = p.text.n > 0 ? p.text.at : strcpy(empty, "");
    for (char *line = strsep(&rest, "\n"); line != NULL; line = strsep(&rest, "\n"))
        if (p.n < MOST_LINES)
            p.lines[p.n++] = line;
    return p;
}

/* Of what these tests write: Latin, CJK of three bytes each two columns wide, Arabic one. */
static size_t columns_of(const char *line)
{
    size_t n = 0;
    for (const unsigned char *c = (const unsigned char *)line; *c != '\0'; c++)
        n += *c < 0x80 || (*c >= 0xC0 && *c < 0xE0) ? 1 : *c >= 0xE0 ? 2 : 0;
    return n;
}

static const char *const words[] = {"hall", "aisle",   "組立工程", "検査",
                                    "مخزن", "section", "9",        "northern"};

static void add_name(aw_table *t, uint64_t *state, size_t most)
{
    aw_text name = {0};
    const size_t n = 1 + (size_t)test_between(state, 0, (double)most);
    for (size_t i = 0; i < n; i++)
        aw_text_format(&name, "%s%s", i > 0 ? " " : "", words[(size_t)test_between(state, 0, 8)]);
    aw_table_add(t, "%s", name.at);
    aw_text_free(&name);
}

/* All letters of a page or a cell, blanks left out, as a sum that no order changes. */
static uint64_t ink_of(const char *text)
{
    uint64_t sum = 0;
    for (const unsigned char *c = (const unsigned char *)text; *c != '\0'; c++)
        if (*c != ' ' && *c != '\n')
            sum += (uint64_t)*c * *c * *c + 1;
    return sum;
}

/* Of any number of columns and names up to twelve words: at most 100 columns, no blank at the end
 * of a line, and every letter printed once (the first column again for each further block). */
START_TEST(no_table_is_too_wide_and_nothing_is_lost)
{
    uint64_t state = 71 + (uint64_t)_i;
    aw_table t = {.columns = 2 + (size_t)_i % 9, .heads = 1};
    uint64_t ink = 0, first = 0;
    for (size_t c = 0; c < t.columns; c++)
        t.align[c] = c == 0 ? 'l' : "lLr"[(size_t)test_between(&state, 0, 3)];
    for (size_t row = 0; row < 6; row++)
        for (size_t c = 0; c < t.columns; c++)
            if (t.align[c] == 'l' || row == 0)
                add_name(&t, &state, 12);
            else
                aw_table_add(&t, "%.2f", test_between(&state, 0, 1000));
    for (size_t i = 0; i < t.n; i++) {
        ink += ink_of(t.cells[i].text);
        first += i % t.columns == 0 ? ink_of(t.cells[i].text) : 0;
    }
    page p = print(&t);
    uint64_t printed = 0, blocks = 1;
    for (size_t i = 0; i < p.n; i++) {
        const size_t n = strlen(p.lines[i]);
        ck_assert_msg(columns_of(p.lines[i]) <= 100, "%zu columns: %s", columns_of(p.lines[i]),
                      p.lines[i]);
        ck_assert(n == 0 || p.lines[i][n - 1] != ' ');
        printed += ink_of(p.lines[i]);
        blocks += n == 0 && i + 1 < p.n;
    }
    ck_assert_uint_eq(printed, ink + (blocks - 1) * first);
    aw_text_free(&p.text);
}
END_TEST

static void check_page(aw_table *t, const char *const wanted[])
{
    page p = print(t);
    size_t n = 0;
    for (; wanted[n] != NULL; n++) {
        ck_assert_uint_lt(n, p.n);
        ck_assert_str_eq(p.lines[n], wanted[n]);
    }
    ck_assert_uint_eq(p.n, n + 1); /* what follows the last line end */
    aw_text_free(&p.text);
}

/* A column without a value goes, a heading breaks before a text does and never behind a figure,
 * figures end where their heading ends. */
START_TEST(a_table_is_laid_out_as_drawn_here)
{
    static const char *const cells[4][5] = {
        {"", "need", "weak pockets of the zone (m)", "odds", "what a heading of many words says"},
        {"bay 1", "p95 <= 0.8 m, in 95 %, p99 <= 1.2 m, fix share >= 99 %", "0.31", "–",
         "nothing of note but that it is long enough to be broken"},
        {"bay 12", "–", "12.5", "–", "little"},
        {"b", "p95 <= 1 m", "–", "", "–"}};
    static const char *const wanted[] = {
        "                                               weak pockets of",
        "        need                                      the zone (m)  what a heading of many "
        "words "
        "says",
        "bay 1   p95 <= 0.8 m, in 95 %, p99 <= 1.2 m,              0.31  nothing of note but that "
        "it "
        "is long",
        "          fix share >= 99 %                                       enough to be broken",
        "bay 12  –                                                 12.5  little",
        "b       p95 <= 1 m                                           –  –",
        NULL};
    aw_table t = {.columns = 5, .align = "llrrl", .heads = 1};
    for (size_t i = 0; i < 20; i++)
        aw_table_add(&t, "%s", cells[i / 5][i % 5]);
    check_page(&t, wanted);
}
END_TEST

/* What finds no room goes on below, behind the first column again. */
START_TEST(a_table_goes_on_below)
{
    static const char *const wanted[] = {
        "bay  11111111111111111111111111111111111111111  22222222222222222222222222222222222222222",
        "1    aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa  bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb",
        "",
        "bay  33333333333333333333333333333333333333333",
        "1    ccccccccccccccccccccccccccccccccccccccccc",
        NULL};
    aw_table t = {.columns = 4, .align = "lLLL", .heads = 1};
    for (int row = 0; row < 2; row++) {
        aw_table_add(&t, row == 0 ? "bay" : "1");
        for (int c = 0; c < 3; c++) {
            char text[42];
            memset(text, row == 0 ? '1' + c : 'a' + c, 41);
            text[41] = '\0';
            aw_table_add(&t, "%s", text);
        }
    }
    check_page(&t, wanted);
}
END_TEST

/* A verdict keeps its colour on every line of its cell, and colours take no room. */
START_TEST(a_broken_verdict_keeps_its_colour)
{
    static const char *const wanted[] = {"a  \033[31mNOT MET: one thing and another, one thing and "
                                         "another, one thing and another, one "
                                         "thing and\033[0m",
                                         "     \033[31manother\033[0m", "b  \033[32mmet\033[0m",
                                         "c  –", NULL};
    aw_table t = {.columns = 2, .align = "ll", .colour = true};
    aw_table_add(&t, "a");
    aw_table_add(&t, "NOT MET: one thing and another, one thing and another, one thing and "
                     "another, one thing and another");
    aw_table_colour(&t, AW_NOT_MET);
    aw_table_add(&t, "b");
    aw_table_add(&t, "met");
    aw_table_colour(&t, AW_MET);
    aw_table_add(&t, "c");
    aw_table_add(&t, "–");
    aw_table_colour(&t, AW_NO_NEED);
    check_page(&t, wanted);
}
END_TEST

START_TEST(a_table_of_headings_alone_is_not_printed)
{
    aw_table t = {.columns = 2, .align = "ll", .heads = 1};
    aw_table_add(&t, "a");
    aw_table_add(&t, "b");
    check_page(&t, (const char *const[]){NULL});
}
END_TEST

static TCase *all(void)
{
    TCase *c = tcase_create("tables");
    tcase_add_loop_test(c, no_table_is_too_wide_and_nothing_is_lost, 0, 300);
    tcase_add_test(c, a_table_is_laid_out_as_drawn_here);
    tcase_add_test(c, a_table_goes_on_below);
    tcase_add_test(c, a_broken_verdict_keeps_its_colour);
    tcase_add_test(c, a_table_of_headings_alone_is_not_printed);
    return c;
}

AW_TEST_MAIN("tables", all())
