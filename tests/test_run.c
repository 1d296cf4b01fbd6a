/* What every piece of work shares: the thread loop and what it complains of. */
#include "links.h"

#include <stdatomic.h>

#include "base/parallel.h"

/* --- threads --- */

static void visit(void *context, size_t from, size_t to, unsigned thread)
{
    atomic_int *seen = context;
    (void)thread;
    for (size_t i = from; i < to; i++)
        atomic_fetch_add(&seen[i], 1);
}

START_TEST(each_item_is_visited_once)
{
    static atomic_int seen[1001];
    const unsigned threads[] = {1, 2, 7};
    const size_t grains[] = {1, 4, 5000};
    aw_watch watch = {0};
    memset(seen, 0, sizeof seen);
    ck_assert(aw_parallel(1001, grains[_i % 3], &(aw_run){threads[_i / 3], &watch, NULL}, visit,
                          seen, 3));
    for (size_t i = 0; i < 1001; i++)
        ck_assert_int_eq(atomic_load(&seen[i]), 1);
    ck_assert_uint_eq(atomic_load(&watch.done), 3003);
    ck_assert(aw_parallel(0, 1, &(aw_run){threads[_i / 3], NULL, NULL}, visit, seen, 1));
}
END_TEST

static aw_watch halfway;

static void stop_halfway(void *context, size_t from, size_t to, unsigned thread)
{
    visit(context, from, to, thread);
    if (from >= 500)
        atomic_store(&halfway.stop, 1);
}

START_TEST(a_loop_stops_when_told)
{
    static atomic_int seen[100000];
    int visited = 0;
    ck_assert(!aw_parallel(100000, 1, &(aw_run){3, &halfway, NULL}, stop_halfway, seen, 1));
    for (size_t i = 0; i < 100000; i++)
        visited += atomic_load(&seen[i]);
    ck_assert_int_ge(visited, 500);
    ck_assert_int_lt(visited, 100000);
}
END_TEST

static bool visit_alone(void *context, size_t item, const aw_run *run)
{
    atomic_int *seen = context;
    atomic_fetch_add(&seen[item], 1);
    if (item % 100 == 7)
        aw_errors_add(run->errors, AW_WARNING, (int)item, 1, "piece %zu", item);
    if (item == 800)
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "piece 800 fails");
    return run->threads == 1 && item != 800;
}

START_TEST(pieces_go_side_by_side_and_complain_together_until_one_fails)
{
    static atomic_int seen[900];
    const unsigned threads[] = {1, 2, 7};
    aw_errors errors = {0};
    const aw_run run = {threads[_i], NULL, &errors};
    memset(seen, 0, sizeof seen);
    ck_assert(aw_side_by_side(800, &run, visit_alone, seen));
    for (size_t i = 0; i < 800; i++)
        ck_assert_int_eq(atomic_load(&seen[i]), 1);
    ck_assert_uint_eq(errors.n, 8);
    ck_assert_uint_eq(errors.n_errors, 0);
    ck_assert(!aw_side_by_side(900, &run, visit_alone, seen));
    ck_assert_uint_eq(errors.n_errors, 1);
    ck_assert(run.threads > 1 || atomic_load(&seen[899]) == 0);
    aw_errors_free(&errors);
}
END_TEST

/* --- complaints --- */

START_TEST(errors_outlive_warnings_and_stand_in_order)
{
    aw_errors errors = {0};
    for (int i = 0; i < 300; i++)
        aw_errors_add(&errors, AW_WARNING, 300 - i, 1, "warning %d", i);
    for (int i = 0; i < 50; i++)
        aw_errors_add(&errors, AW_ERROR, 7, 50 - i, "error %d", i);
    aw_errors_add(&errors, AW_ERROR, 7, 50, "error 0");
    ck_assert_uint_eq(errors.n_errors, 50);
    ck_assert_uint_eq(errors.n, AW_ERRORS_KEPT);
    ck_assert_uint_eq(errors.n + errors.n_dropped, 350);
    aw_errors_sort(&errors);
    size_t kept = 0;
    for (size_t i = 0; i < errors.n; i++) {
        kept += errors.list[i].severity == AW_ERROR;
        if (i > 0)
            ck_assert(errors.list[i - 1].line < errors.list[i].line ||
                      (errors.list[i - 1].line == errors.list[i].line &&
                       errors.list[i - 1].column <= errors.list[i].column));
    }
    ck_assert_uint_eq(kept, 50);
    aw_errors_free(&errors);
}
END_TEST

/* Full of errors: what comes after is counted and not kept. */
START_TEST(complaints_beyond_the_room_are_counted)
{
    aw_errors errors = {0};
    char *text = NULL;
    size_t length;
    for (int i = 0; i < 230; i++)
        aw_errors_add(&errors, AW_ERROR, 1 + i % 7, 1 + i, "error %d", i);
    aw_errors_add(&errors, AW_WARNING, 1, 1, "warning");
    ck_assert_uint_eq(errors.n_errors, 230);
    ck_assert_uint_eq(errors.n, AW_ERRORS_KEPT);
    ck_assert_uint_eq(errors.n_dropped, 31);
    for (size_t i = 0; i < errors.n; i++)
        ck_assert_int_eq(errors.list[i].severity, AW_ERROR);
    FILE *out = open_memstream(&text, &length);
    aw_errors_write(&errors, "hall.yaml", true, out);
    fclose(out);
    ck_assert_ptr_nonnull(strstr(text, "hall.yaml:3:10: error 9\n"));
    ck_assert_str_eq(text + length - strlen("hall.yaml: and 31 more\n"),
                     "hall.yaml: and 31 more\n");
    free(text);
    aw_errors_free(&errors);
}
END_TEST

/* Equal places keep the order in which they came. */
START_TEST(sorting_keeps_what_stands_at_one_place_in_order)
{
    aw_errors errors = {0};
    uint64_t state = 6;
    for (int i = 0; i < 150; i++) {
        const int line = (int)(test_uniform(&state) * 4), column = 1 + i % 3;
        aw_errors_add(&errors, i % 2 ? AW_ERROR : AW_WARNING, line, column, "%d", i);
    }
    aw_errors_sort(&errors);
    ck_assert_uint_eq(errors.n, 150);
    for (size_t i = 1; i < errors.n; i++) {
        const aw_complaint *a = &errors.list[i - 1], *b = &errors.list[i];
        const int before = 1000 * a->line + a->column, after = 1000 * b->line + b->column;
        ck_assert(before < after || (before == after && atoi(a->text) < atoi(b->text)));
    }
    aw_errors_free(&errors);
}
END_TEST
static TCase *runs(void)
{
    TCase *tc = tcase_create("runs");
    tcase_add_loop_test(tc, each_item_is_visited_once, 0, 9);
    tcase_add_test(tc, a_loop_stops_when_told);
    tcase_add_loop_test(tc, pieces_go_side_by_side_and_complain_together_until_one_fails, 0, 3);
    tcase_add_test(tc, errors_outlive_warnings_and_stand_in_order);
    tcase_add_test(tc, complaints_beyond_the_room_are_counted);
    tcase_add_test(tc, sorting_keeps_what_stands_at_one_place_in_order);
    return tc;
}

AW_TEST_MAIN("run", runs())
