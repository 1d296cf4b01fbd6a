/* Places for anchors: what a scenario's candidates stand for, and what is left out. */
#include <string.h>

#include "whatif/mounts.h"
#include "anchorwise.h"
#include "aw_test.h"

#define HALL                                                                                       \
    "anchorwise: 1\ntitle: t\nfloor: {outline: [[0, 0], [20, 0], [20, 10], [0, 10]], ceiling: "    \
    "6}\n"                                                                                         \
    "obstacles:\n"                                                                                 \
    "  - {name: press, footprint: [[9, 0], [11, 0], [11, 2], [9, 2]], top: 5, material: metal}\n"  \
    "anchors:\n  - {name: A1, at: [0, 1, 4]}\n  - {name: A2, at: [19.5, 9, 4]}\n"                  \
    "  - {name: A3, at: [3, 9, 4]}\n"

static const char hall[] =
    HALL "candidates:\n"
         "  points:\n    - {name: column, at: [0, 1, 4]}\n    - {name: beam, at: [5, 5, 6]}\n"
         "  lines:\n"
         "    - {name: south, path: [[0, 1], [20, 1]], spacing: 5, low: 3, high: 5.5, rise: 1}\n"
         "    - {name: row, path: [[2, 8], [6, 8]], off: 1, low: 4}\n"
         "  forbidden:\n"
         "    - {name: crane way, outline: [[12, 0], [21, 0], [21, 4], [12, 4]], base: 4.5}\n"
         "prices:\n  currency: EUR\n  anchor: 100\n"
         "  mounts:\n    - {name: bracket, up_to: 4.5, price: 10}\n"
         "    - {name: drop, up_to: 5.5, price: 30}\n";

static void parse(aw_scenario *s, const char *text)
{
    aw_errors errors = {0};
    ck_assert_msg(aw_scenario_parse(s, text, strlen(text), &errors), "%s", errors.list[0].text);
    aw_errors_free(&errors);
}

static const aw_candidate *find(const aw_candidates *c, double x, double y, double z)
{
    for (size_t i = 0; i < c->n; i++)
        if (fabs(c->list[i].at[0] - x) + fabs(c->list[i].at[1] - y) + fabs(c->list[i].at[2] - z) <
            1e-9)
            return &c->list[i];
    return NULL;
}

/* By hand: the line has 5 columns of 3 heights (3, 4, 5); the press fills the middle one up to 5 m,
 * the crane way takes those at 15 and 20 m at 5 m, and (0, 1, 4) repeats the point. The beam at 6 m
 * is above every mount. The row of columns lies one to the left, y = 9, where A3 is not. */
START_TEST(lines_have_columns_of_heights_and_what_cannot_be_used_is_left_out)
{
    aw_scenario s;
    aw_candidates c;
    aw_errors errors = {0};
    parse(&s, hall);
    ck_assert(aw_candidates_list(&c, &s, NULL, &errors));
    ck_assert(c.stated);
    ck_assert_uint_eq(c.n_filled, 3);
    ck_assert_uint_eq(c.n_forbidden, 2);
    ck_assert_uint_eq(c.n_out_of_reach, 1);
    ck_assert_uint_eq(c.n, 1 + (15 - 3 - 2 - 1) + 2);
    ck_assert_ptr_nonnull(find(&c, 15, 1, 4));
    ck_assert_ptr_null(find(&c, 15, 1, 5));
    ck_assert_ptr_null(find(&c, 10, 1, 3));
    ck_assert_ptr_nonnull(find(&c, 2, 9, 4));
    ck_assert_ptr_nonnull(find(&c, 6, 9, 4));
    aw_candidates_free(&c);
    aw_scenario_free(&s);
    aw_errors_free(&errors);
}
END_TEST

/* Bracket up to 4.5 m 110, drop 130. */
START_TEST(a_place_has_the_price_of_its_mount_and_the_name_of_the_anchor_there)
{
    aw_scenario s;
    aw_candidates c;
    aw_errors errors = {0};
    const bool keep[3] = {false, true, false};
    parse(&s, hall);
    ck_assert(aw_candidates_list(&c, &s, keep, &errors));
    ck_assert_uint_eq(c.n_kept, 1);
    ck_assert_str_eq(c.list[0].name, "A2");
    ck_assert(c.list[0].kept);
    const aw_candidate *at_a1 = find(&c, 0, 1, 4), *low = find(&c, 5, 1, 3);
    const aw_candidate *high = find(&c, 5, 1, 5);
    ck_assert_str_eq(at_a1->name, "A1");
    ck_assert_uint_eq(at_a1->key, s.anchors[0].key);
    ck_assert_str_eq(low->name, "south 4");
    ck_assert_double_eq(low->price, 110);
    ck_assert_double_eq(high->price, 130);
    for (size_t i = 0; i < c.n; i++)
        for (size_t k = 0; k < i; k++)
            ck_assert(strcmp(c.list[i].name, c.list[k].name) != 0 &&
                      c.list[i].key != c.list[k].key);
    aw_candidates_free(&c);
    aw_scenario_free(&s);
    aw_errors_free(&errors);
}
END_TEST

START_TEST(without_candidates_there_are_the_anchors_and_mountable_places)
{
    aw_scenario s;
    aw_candidates c;
    aw_errors errors = {0};
    parse(&s, HALL);
    ck_assert(aw_candidates_list(&c, &s, NULL, &errors));
    ck_assert(!c.stated);
    ck_assert_uint_ge(c.n, 3 + aw_mountable(&s, NULL, 0) / 2); /* corners come twice */
    ck_assert_uint_le(c.n, 3 + aw_mountable(&s, NULL, 0));
    ck_assert_double_eq(c.list[0].price, 1);
    aw_candidates_free(&c);
    aw_scenario_free(&s);
    aw_errors_free(&errors);
}
END_TEST

/* A1 hangs at one of the nine places, (0, 1, 3) and (0, 1, 5) are 1 m from it, which is not less.
 */
START_TEST(remedies_use_the_candidates_where_there_are_some)
{
    aw_scenario s;
    aw_mounts mounts;
    size_t n = 0;
    parse(&s, hall);
    ck_assert(aw_mounts_list(&mounts, &s));
    for (size_t i = 0; i < mounts.n; i++)
        n += mounts.list[i].carried == AW_CARRIED_STATED && mounts.list[i].crowded == s.n_anchors;
    ck_assert_uint_eq(n, 12 - 1);
    aw_mounts_free(&mounts);
    aw_scenario_free(&s);
}
END_TEST

static void check_warnings(const char *text, const char *const wanted[])
{
    aw_scenario s;
    aw_errors errors = {0};
    size_t n = 0;
    parse(&s, text);
    ck_assert(aw_candidates_warn(&s, &errors));
    while (wanted[n] != NULL)
        n++;
    ck_assert_uint_eq(errors.n, n);
    for (size_t i = 0; i < n; i++) {
        char *said;
        const aw_complaint *c = &errors.list[i];
        ck_assert_int_eq(c->severity, AW_WARNING);
        ck_assert(asprintf(&said, "%d:%d %s", c->line, c->column, c->text) > 0);
        ck_assert_str_eq(said, wanted[i]);
        free(said);
    }
    aw_errors_free(&errors);
    aw_scenario_free(&s);
}

/* By hand: of the line's 15 places, of which (0, 1, 4) repeats the point, the press, 9 to 11 m and
 * up to 5 m, holds the three at 10 m. */
START_TEST(candidates_inside_something_are_told_with_their_place)
{
    check_warnings(hall,
                   (const char *const[]){
                       "15:7 line 'south': 3 of its 14 places lie inside something, the "
                       "first, (10, 1, 3) m, inside obstacle 'press'; no anchor can hang there",
                       NULL});
    check_warnings(
        HALL "units: ft\nwalls:\n  - {name: screen, path: [[5, 5], [5, 9]], thickness: "
             "1, material: wood}\ncandidates:\n  points:\n"
             "    - {name: screen post, at: [5, 6, 4]}\n"
             "    - {name: beam, at: [8, 5, 4]}\n  lines:\n"
             "    - {name: row, path: [[5.25, 8], [9, 8]], low: 2, high: 3, rise: 1}\n",
        (const char *const[]){
            "15:7 point 'screen post' lies inside wall 'screen'; no anchor can hang there",
            "18:7 line 'row': 2 of its 4 places lie inside something, the first, "
            "(5.25, 8, 2) ft, inside wall 'screen'; no anchor can hang there",
            NULL});
}
END_TEST

/* However near one another its places lie, and whatever they lie in. */
START_TEST(a_line_spaced_too_closely_is_refused_and_told_before)
{
    static const char too_close[] =
        HALL "candidates:\n  lines:\n"
             "    - {name: dust, path: [[9.1, 1], [9.9, 1]], spacing: 1e-200, low: 1, high: 4, "
             "rise: 1e-200}\n";
    aw_scenario s;
    aw_candidates c;
    aw_errors errors = {0};
    parse(&s, too_close);
    ck_assert(!aw_candidates_list(&c, &s, NULL, &errors));
    ck_assert_str_eq(errors.list[0].text, "there are over 2000 candidates, or over 20000 places to "
                                          "look at; space them wider");
    aw_candidates_free(&c);
    aw_scenario_free(&s);
    aw_errors_free(&errors);
    check_warnings(too_close,
                   (const char *const[]){
                       "12:7 line 'dust' makes over 2000 candidates, or over 20000 places to look "
                       "at; space them wider",
                       "12:7 line 'dust': 20000 of its 20000 places lie inside something, the "
                       "first, (9.1, 1, 1) m, inside obstacle 'press'; no anchor can hang there",
                       NULL});
}
END_TEST

START_TEST(a_line_of_one_point_has_its_place_whatever_the_spacing)
{
    aw_scenario s;
    aw_candidates c;
    aw_errors errors = {0};
    parse(&s, HALL "candidates:\n  lines:\n"
                   "    - {name: column, path: [[4, 4]], spacing: 2, low: 3}\n");
    ck_assert(aw_candidates_list(&c, &s, NULL, &errors));
    ck_assert_uint_eq(c.n, 1);
    ck_assert_ptr_nonnull(find(&c, 4, 4, 3));
    aw_candidates_free(&c);
    aw_scenario_free(&s);
    aw_errors_free(&errors);
}
END_TEST

static TCase *all(void)
{
    TCase *tc = tcase_create("candidates");
    tcase_add_test(tc, lines_have_columns_of_heights_and_what_cannot_be_used_is_left_out);
    tcase_add_test(tc, a_place_has_the_price_of_its_mount_and_the_name_of_the_anchor_there);
    tcase_add_test(tc, without_candidates_there_are_the_anchors_and_mountable_places);
    tcase_add_test(tc, candidates_inside_something_are_told_with_their_place);
    tcase_add_test(tc, a_line_spaced_too_closely_is_refused_and_told_before);
    tcase_add_test(tc, a_line_of_one_point_has_its_place_whatever_the_spacing);
    tcase_add_test(tc, remedies_use_the_candidates_where_there_are_some);
    return tc;
}

AW_TEST_MAIN("candidates", all())
