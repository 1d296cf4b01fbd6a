/* Steps that outlast the program, the lock, and what becomes of a file that another changed. */
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include "live/conflict.h"
#include "live/journal.h"
#include "live_hall.h"

/* --- the journal --- */

static void abandon(aw_session *s)
{
    aw_session_close(s); /* without saving: what a killed program leaves is the same */
}

START_TEST(what_is_not_saved_is_there_again)
{
    aw_session s = begin();
    char name[256];
    struct stat known;
    step(&s, MOVE("A1", "2"));
    step(&s, MOVE("A1", "3"));
    step(&s, MOVE("Ä3", "4"));
    go(&s, 2);
    aw_text want = {0};
    aw_text_add_bytes(&want, s.text.at, s.text.n);
    abandon(&s);
    ck_assert(find_journal(name));
    ck_assert_int_eq(stat(name, &known), 0);
    ck_assert_uint_eq(known.st_mode & 0777, 0600);
    s = begin();
    aw_errors errors = {0};
    ck_assert_uint_eq(s.waiting.done, 2);
    ck_text(&s.text, HALL, sizeof HALL - 1);
    ck_assert(!try_step(&s, MOVE("A2", "7"))); /* not before it is said what becomes of them */
    ck_assert(aw_session_recover(&s, true, &errors));
    ck_text(&s.text, want.at, want.n);
    ck_assert_uint_eq(aw_session_unsaved(&s), 2);
    go(&s, 3);
    ck_assert(has(&s, "[4, 1, 5]"));
    go(&s, 0);
    ck_text(&s.text, HALL, sizeof HALL - 1);
    aw_text_free(&want);
    aw_session_close(&s);
}
END_TEST

/* Names that share a part of a letter: a journal is of whole ones. */
START_TEST(a_step_within_a_letter_is_kept)
{
    aw_session s = begin();
    aw_errors errors = {0};
    step(&s, "[{\"op\":\"rename\",\"at\":[\"anchors\",\"Ä3\"],\"value\":\"Ö3\"}]");
    step(&s, "[{\"op\":\"rename\",\"at\":[\"anchors\",\"Ö3\"],\"value\":\"ä3\"}]");
    ck_assert(aw_journal_keeps(s.journal));
    abandon(&s);
    s = begin();
    ck_assert_uint_eq(s.waiting.done, 2);
    ck_assert(aw_session_recover(&s, true, &errors));
    ck_assert(has(&s, "ä3"));
    go(&s, 0);
    ck_text(&s.text, HALL, sizeof HALL - 1);
    aw_session_close(&s);
}
END_TEST

START_TEST(steps_thrown_away_are_gone_and_saved_ones_too)
{
    char name[256];
    aw_errors errors = {0};
    aw_session s = begin();
    step(&s, MOVE("A1", "2"));
    abandon(&s);
    s = begin();
    ck_assert(aw_session_recover(&s, false, &errors));
    ck_assert(!find_journal(name));
    step(&s, MOVE("A1", "3"));
    ck_assert(find_journal(name));
    ck_assert(aw_session_save(&s, &errors));
    ck_assert(!find_journal(name));
    aw_session_close(&s);
    s = begin();
    ck_assert_uint_eq(s.waiting.n, 0);
    aw_session_close(&s);
}
END_TEST

/* Whatever is cut off: a number of whole steps is left, and goes on from there. */
START_TEST(a_torn_journal_keeps_its_whole_lines)
{
    char name[256];
    aw_session s = begin();
    step(&s, MOVE("A1", "2"));
    step(&s, MOVE("A1", "3"));
    abandon(&s);
    ck_assert(find_journal(name));
    size_t n, lines = 0;
    char *bytes = get_file(name, &n);
    for (size_t cut = 0; cut <= n; cut++) {
        aw_errors errors = {0};
        put_file(name, bytes, cut);
        lines += cut > 0 && bytes[cut - 1] == '\n';
        s = begin();
        ck_assert_uint_eq(s.waiting.done, lines > 0 ? lines - 1 : 0);
        ck_assert(aw_session_recover(&s, true, &errors));
        step(&s, MOVE("A2", "11"));
        abandon(&s);
        s = begin();
        ck_assert_uint_eq(s.waiting.done, lines > 1 ? lines : 1);
        aw_session_close(&s);
    }
    ck_assert_uint_eq(lines, 3);
    free(bytes);
}
END_TEST

START_TEST(a_journal_with_a_byte_changed_is_not_believed)
{
    char name[256];
    uint64_t dice = 5;
    aw_session s = begin();
    step(&s, MOVE("A1", "2"));
    step(&s, MOVE("A1", "3"));
    abandon(&s);
    ck_assert(find_journal(name));
    size_t n;
    char *bytes = get_file(name, &n);
    for (int i = 0; i < 300; i++) {
        const size_t at = (size_t)((double)n * test_uniform(&dice));
        const char kept = bytes[at];
        bytes[at] = (char)(256 * test_uniform(&dice));
        put_file(name, bytes, n);
        s = begin();
        aw_errors errors = {0};
        if (s.waiting.n > 0 && aw_session_recover(&s, true, &errors))
            ck_assert(s.reading->sound);
        aw_errors_free(&errors);
        aw_session_close(&s);
        bytes[at] = kept;
    }
    free(bytes);
}
END_TEST

START_TEST(steps_kept_for_another_text_are_done_again_on_it)
{
    aw_session s = begin();
    aw_errors errors = {0};
    step(&s, MOVE("A1", "2"));
    abandon(&s);
    aw_text other = {0};
    aw_text_add(&other, "# a new line\n");
    aw_text_add(&other, HALL);
    put_file(path, other.at, other.n);
    s = begin();
    ck_assert(!s.fits);
    ck_assert(aw_session_recover(&s, true, &errors));
    ck_assert(has(&s, "# a new line\n"));
    ck_assert(has(&s, "{name: A1, at: [2, 1, 5]}"));
    ck_assert_uint_eq(aw_session_unsaved(&s), 1);
    abandon(&s);
    s = begin();
    ck_assert(s.fits);
    ck_assert_uint_eq(s.waiting.done, 1);
    aw_session_close(&s);
    aw_text_free(&other);
}
END_TEST

/* A program that ends between the file and its journal leaves both: nothing is to be done again. */
START_TEST(steps_that_the_file_has_already_do_not_wait)
{
    char name[256];
    size_t n;
    aw_errors errors = {0};
    aw_session s = begin();
    step(&s, "[{\"op\":\"remove\",\"at\":[\"anchors\",\"A2\"]}]");
    ck_assert(find_journal(name));
    char *bytes = get_file(name, &n);
    ck_assert(aw_session_save(&s, &errors));
    aw_session_close(&s);
    put_file(name, bytes, n);
    s = begin();
    ck_assert_uint_eq(s.waiting.n, 0);
    step(&s, MOVE("A1", "2"));
    abandon(&s);
    s = begin();
    ck_assert(s.fits);
    ck_assert_uint_eq(s.waiting.done, 1);
    aw_session_close(&s);
    free(bytes);
}
END_TEST

/* Files can grow to so many bytes; those of the suite too, so nothing is checked meanwhile. */
static void limit_files(rlim_t most)
{
    struct rlimit limit;
    getrlimit(RLIMIT_FSIZE, &limit);
    limit.rlim_cur = most < limit.rlim_max ? most : limit.rlim_max;
    setrlimit(RLIMIT_FSIZE, &limit);
}

/* Steps put on another text are kept anew: until that is done the old ones are there. */
START_TEST(a_journal_that_cannot_be_written_anew_stays)
{
    aw_session s = begin();
    aw_errors errors = {0};
    step(&s, MOVE("A1", "2"));
    abandon(&s);
    const char *rest = strchr(HALL, '\n') + 1;
    put_file(path, rest, strlen(rest));
    signal(SIGXFSZ, SIG_IGN);
    for (rlim_t room = 0; room < 160; room += 40) {
        s = begin();
        ck_assert_uint_eq(s.waiting.done, 1);
        limit_files(room);
        const bool done = aw_session_recover(&s, true, &errors);
        limit_files(RLIM_INFINITY);
        ck_assert(done);
        ck_assert(!aw_journal_keeps(s.journal));
        step(&s, MOVE("A2", "4")); /* what comes later is not kept behind a gap */
        ck_assert(!aw_journal_keeps(s.journal));
        abandon(&s);
    }
    s = begin();
    ck_assert(aw_session_recover(&s, true, &errors));
    ck_assert(aw_journal_keeps(s.journal));
    ck_assert(has(&s, "{name: A1, at: [2, 1, 5]}"));
    aw_session_close(&s);
}
END_TEST

START_TEST(a_second_program_only_reads)
{
    aw_session first = begin(), second = begin();
    ck_assert(!first.read_only);
    ck_assert(second.read_only);
    ck_assert(!try_step(&second, MOVE("A1", "2")));
    step(&first, MOVE("A1", "2"));
    aw_session_close(&first);
    aw_session_close(&second);
    second = begin();
    ck_assert(!second.read_only);
    aw_session_close(&second);
}
END_TEST

START_TEST(without_a_folder_for_its_state_it_says_so_and_works)
{
    aw_session s;
    aw_errors errors = {0};
    setenv("XDG_STATE_HOME", "/dev/null/none", 1);
    ck_assert(aw_session_open(&s, path, &errors));
    ck_assert_uint_eq(errors.n, 1);
    ck_assert_int_eq(errors.list[0].severity, AW_WARNING);
    ck_assert(!aw_journal_keeps(s.journal));
    step(&s, MOVE("A1", "2"));
    aw_errors_free(&errors);
    aw_session_close(&s);
}
END_TEST

/* --- conflicts --- */

/* The hall with a piece of it replaced. */
static aw_text hall_with(const char *piece, const char *by)
{
    aw_text out = {0};
    const char *at = strstr(HALL, piece);
    ck_assert_ptr_nonnull(at);
    aw_text_add_bytes(&out, HALL, (size_t)(at - HALL));
    aw_text_add(&out, by);
    aw_text_add(&out, at + strlen(piece));
    return out;
}

START_TEST(a_conflict_is_told_item_by_item)
{
    aw_text base = hall_with("hall\n", "hall\n"), mine = hall_with("A2, at: [19.5", "A2, at: [18");
    aw_text same = hall_with("A2, at: [19.5", "A2, at: [18"),
            other = hall_with("A4, at: [0.5", "A4, at: [1");
    aw_text clash = hall_with("A2, at: [19.5", "A2, at: [17");
    aw_text gone = hall_with("  - {name: A2, at: [19.5, 0.5, 5]}\n", "");
    aw_conflict c;
    ck_assert(aw_conflict_find(&c, &base, &mine, &other));
    ck_assert(c.clean);
    aw_conflict_free(&c);
    ck_assert(aw_conflict_find(&c, &base, &mine, &same));
    ck_assert(c.clean);
    aw_conflict_free(&c);
    ck_assert(aw_conflict_find(&c, &base, &mine, &clash));
    ck_assert(!c.clean);
    ck_assert_uint_eq(c.n, 1);
    ck_assert_str_eq(c.list[0].item, "anchors.A2");
    ck_assert_str_eq(c.list[0].mine, "{name: A2, at: [18, 0.5, 5]}");
    ck_assert_str_eq(c.list[0].disk, "{name: A2, at: [17, 0.5, 5]}");
    aw_conflict_free(&c);
    ck_assert(aw_conflict_find(&c, &base, &mine, &gone));
    ck_assert_uint_eq(c.n, 1);
    ck_assert_ptr_null(c.list[0].disk);
    aw_conflict_free(&c);
    ck_assert(aw_conflict_find(&c, &base, &gone, &mine));
    ck_assert_uint_eq(c.n, 1);
    ck_assert_ptr_null(c.list[0].mine);
    aw_conflict_free(&c);
    aw_text *all[] = {&base, &mine, &same, &other, &clash, &gone};
    for (int i = 0; i < 6; i++)
        aw_text_free(all[i]);
}
END_TEST

START_TEST(a_place_in_the_text_is_told_by_its_item)
{
    static const struct {
        int line, column;
        const char *item;
    } wanted[] = {{2, 13, "anchorwise"}, {4, 20, "floor.outline"}, {4, 70, "floor.ceiling"},
                  {8, 20, "anchors.Ä3"}, {15, 18, "zones.bay"},    {1, 1, ""},
                  {99, 1, "study.seed"}};
    const aw_text text = {.at = strdup(HALL), .n = sizeof HALL - 1};
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
        aw_text item = {0};
        aw_item_at(&text, wanted[i].line, wanted[i].column, &item);
        ck_assert_str_eq(item.n > 0 ? item.at : "", wanted[i].item);
        aw_text_free(&item);
    }
    free(text.at);
}
END_TEST

START_TEST(steps_are_put_on_top_of_a_changed_file_and_back_undoes_it)
{
    aw_session s = begin();
    aw_errors errors = {0};
    aw_text disk = {0}, other = hall_with("A4, at: [0.5", "A4, at: [1.25");
    bool changed;
    step(&s, MOVE("A1", "2"));
    step(&s, MOVE("A1", "3"));
    ck_assert(aw_session_look_at_disk(&s, &disk, &changed, &errors));
    ck_assert(!changed);
    put_file(path, other.at, other.n);
    disk.n = 0;
    ck_assert(aw_session_look_at_disk(&s, &disk, &changed, &errors));
    ck_assert(changed);
    ck_assert(aw_session_put_on_top(&s, &errors));
    ck_assert(has(&s, "{name: A1, at: [3, 1, 5]}"));
    ck_assert(has(&s, "{name: A4, at: [1.25, 9.5, 5]}"));
    ck_assert_uint_eq(aw_session_unsaved(&s), 2);
    ck_assert(aw_session_save(&s, &errors));
    go(&s, 0);
    ck_text(&s.text, HALL, sizeof HALL - 1);
    aw_text_free(&disk);
    aw_text_free(&other);
    aw_session_close(&s);
}
END_TEST

START_TEST(the_file_on_disk_taken_is_a_step_that_can_be_taken_back)
{
    aw_session s = begin();
    aw_errors errors = {0};
    aw_text other = hall_with("A4, at: [0.5", "A4, at: [1.25");
    step(&s, MOVE("A1", "2"));
    put_file(path, other.at, other.n);
    ck_assert(aw_session_take_disk(&s, &errors));
    ck_text(&s.text, other.at, other.n);
    ck_assert_uint_eq(aw_session_unsaved(&s), 0);
    go(&s, 1);
    ck_assert(has(&s, "{name: A1, at: [2, 1, 5]}"));
    aw_text_free(&other);
    aw_session_close(&s);
}
END_TEST

/* Nothing can be taken from a file that another removed, and nothing is lost by trying. */
START_TEST(a_file_that_was_removed_is_not_taken_and_can_be_written_again)
{
    aw_session s = begin();
    aw_errors errors = {0};
    step(&s, MOVE("A1", "2"));
    ck_assert(!aw_session_is_gone(&s));
    ck_assert_int_eq(unlink(path), 0);
    ck_assert(aw_session_is_gone(&s));
    ck_assert(!aw_session_take_disk(&s, &errors));
    ck_assert_str_eq(errors.list[0].text, "hall.yaml is not on disk any more");
    aw_errors_free(&errors);
    errors = (aw_errors){0};
    ck_assert(!aw_session_put_on_top(&s, &errors));
    aw_errors_free(&errors);
    errors = (aw_errors){0};
    ck_assert(has(&s, "{name: A1, at: [2, 1, 5]}"));
    ck_assert_uint_eq(aw_session_unsaved(&s), 1);
    ck_assert(aw_session_save(&s, &errors));
    ck_assert(!aw_session_is_gone(&s));
    aw_session_close(&s);
}
END_TEST

/* A file can be cut to nothing by whoever is just writing it. */
START_TEST(a_file_cut_to_nothing_is_not_taken)
{
    aw_session s = begin();
    aw_errors errors = {0};
    const aw_text none = {0};
    step(&s, MOVE("A1", "2"));
    put_file(path, "", 0);
    ck_assert(!aw_session_take_disk(&s, &errors));
    ck_assert(!aw_session_replace(&s, &none, "nothing", true, &errors));
    ck_assert(has(&s, "{name: A1, at: [2, 1, 5]}"));
    aw_errors_free(&errors);
    aw_session_close(&s);
}
END_TEST

START_TEST(saving_beside_takes_a_free_name_and_leaves_the_file)
{
    aw_session s = begin();
    aw_errors errors = {0};
    aw_text name = {0};
    size_t n;
    step(&s, MOVE("A1", "2"));
    ck_assert(aw_session_save_beside(&s, &name, &errors));
    ck_assert_str_eq(name.at, "hall-mine.yaml");
    name.n = 0;
    ck_assert(aw_session_save_beside(&s, &name, &errors));
    ck_assert_str_eq(name.at, "hall-mine-2.yaml");
    char *bytes = get_file(path, &n);
    ck_assert_uint_eq(n, sizeof HALL - 1);
    ck_assert_int_eq(memcmp(bytes, HALL, n), 0);
    free(bytes);
    aw_text_free(&name);
    aw_session_close(&s);
}
END_TEST

AW_TEST_MAIN(
    "live files",
    TESTS("journal", what_is_not_saved_is_there_again, a_step_within_a_letter_is_kept,
          steps_thrown_away_are_gone_and_saved_ones_too, a_torn_journal_keeps_its_whole_lines,
          a_journal_with_a_byte_changed_is_not_believed,
          steps_kept_for_another_text_are_done_again_on_it,
          steps_that_the_file_has_already_do_not_wait, a_journal_that_cannot_be_written_anew_stays,
          a_second_program_only_reads, without_a_folder_for_its_state_it_says_so_and_works),
    TESTS("conflicts", a_conflict_is_told_item_by_item, a_place_in_the_text_is_told_by_its_item,
          steps_are_put_on_top_of_a_changed_file_and_back_undoes_it,
          the_file_on_disk_taken_is_a_step_that_can_be_taken_back,
          a_file_that_was_removed_is_not_taken_and_can_be_written_again,
          a_file_cut_to_nothing_is_not_taken, saving_beside_takes_a_free_name_and_leaves_the_file))
