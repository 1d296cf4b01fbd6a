/* The toolbox: numbers and files as text, JSON. */
#include "links.h"

#include <signal.h>
#include <stdio.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/json.h"

/* --- numbers --- */

/* The shortest of all decimal texts: no precision below the one used reads back. */
static void check_number(double x)
{
    char text[AW_NUMBER_ROOM], other[64];
    const size_t n = aw_number_text(x, text);
    ck_assert_uint_eq(n, strlen(text));
    ck_assert_msg(strtod(text, NULL) == x, "%s is not %a", text, x);
    for (int digits = 1; digits <= 17; digits++) {
        snprintf(other, sizeof other, "%.*g", digits, x);
        if (strtod(other, NULL) == x) {
            ck_assert_msg(strlen(text) <= strlen(other), "%s is longer than %s", text, other);
            break;
        }
    }
}

START_TEST(numbers_are_the_shortest_text_that_reads_back)
{
    uint64_t state = 3;
    const double edges[] = {0,
                            1,
                            -1,
                            0.1,
                            1e23,
                            5e-324,
                            1.7976931348623157e308,
                            2.2250738585072014e-308,
                            123456789012345680.0,
                            0.30000000000000004,
                            (double)0.1f,
                            72,
                            1e-5};
    for (size_t i = 0; i < sizeof edges / sizeof *edges; i++)
        check_number(edges[i]);
    for (int i = 0; i < 20000; i++) {
        check_number((test_uniform(&state) - 0.5) * pow(10, test_between(&state, -12, 12)));
        check_number((double)(float)test_uniform(&state));
        check_number(round(test_between(&state, 0, 1e6)) / 1000);
        /* Any bits: all exponents, subnormal numbers too. */
        const uint64_t bits = (uint64_t)(test_uniform(&state) * 0x1p53) << 11 ^
                              (uint64_t)(test_uniform(&state) * 0x1p53);
        double any;
        memcpy(&any, &bits, sizeof any);
        if (isfinite(any))
            check_number(i % 16 ? any : any * 0x1p-1000 * 0x1p-60);
    }
}
END_TEST

START_TEST(json_is_written_as_it_reads)
{
    aw_text text = {0};
    aw_json j = {.text = &text};
    const double list[3] = {1, 0.5, (double)NAN};
    aw_json_open(&j, NULL, '{');
    aw_json_string(&j, "quote \"", "back\\slash, tab\t, \xC3\xA9, bad \xFF");
    aw_json_numbers(&j, "list", list, 3);
    aw_json_open(&j, "empty", '[');
    aw_json_close(&j, ']');
    aw_json_truth(&j, "yes", 1);
    aw_json_truth(&j, "no", 0);
    aw_json_truth(&j, "unknown", -1);
    aw_json_count(&j, "count", UINT64_MAX);
    aw_json_string(&j, "none", NULL);
    aw_json_number(&j, "infinite", HUGE_VAL);
    aw_json_close(&j, '}');
    ck_assert_str_eq(text.at,
                     "{\"quote \\\"\": \"back\\\\slash, tab\\u0009, \xC3\xA9, bad \xEF\xBF\xBD\", "
                     "\"list\": [1, 0.5, null], \"empty\": [], \"yes\": true, \"no\": false, "
                     "\"unknown\": null, \"count\": 18446744073709551615, \"none\": null, "
                     "\"infinite\": null}");
    aw_text_free(&text);
}
END_TEST

static void check_quoted(const char *value, const char *want)
{
    aw_text text = {0};
    aw_json j = {.text = &text};
    aw_json_string(&j, NULL, value);
    ck_assert_str_eq(text.at, want);
    aw_text_free(&text);
}

/* Every byte alone, and sequences that RFC 3629 forbids: overlong, surrogate, beyond U+10FFFF, cut
 * short. RFC 8259 asks that quotes, backslashes and control characters be escaped. */
START_TEST(every_byte_is_escaped_kept_or_replaced)
{
    const char *const good[] = {
        "\x7F",         "\xC2\x80",     "\xDF\xBF",         "\xE0\xA0\x80",
        "\xED\x9F\xBF", "\xEF\xBF\xBF", "\xF0\x90\x80\x80", "\xF4\x8F\xBF\xBF"};
    const char *const bad[] = {
        "\xC0\x80",         "\xC1\xBF",         "\xE0\x9F\xBF", "\xED\xA0\x80", "\xF0\x8F\xBF\xBF",
        "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xE2\x82",     "\xF0\x9F\x98", "\x80"};
    char want[64];
    for (int byte = 1; byte < 256; byte++) {
        const char one[2] = {(char)byte, '\0'};
        if (byte == '"' || byte == '\\')
            snprintf(want, sizeof want, "\"\\%c\"", byte);
        else if (byte < 0x20)
            snprintf(want, sizeof want, "\"\\u%04x\"", (unsigned)byte);
        else
            snprintf(want, sizeof want, "\"%s\"", byte < 0x80 ? one : "\xEF\xBF\xBD");
        check_quoted(one, want);
    }
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        snprintf(want, sizeof want, "\"%s\"", good[i]);
        check_quoted(good[i], want);
    }
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        const size_t n = strlen(bad[i]);
        snprintf(want, sizeof want, "\"%.*s\"", (int)(3 * n),
                 "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD");
        check_quoted(bad[i], want);
    }
}
END_TEST

/* --- files --- */

static bool write_to(const char *path, const char *what)
{
    aw_text text = {0};
    aw_errors errors = {0};
    aw_text_add(&text, what);
    const bool written = aw_text_write(&text, path, &errors);
    ck_assert_int_eq(written, errors.n_errors == 0);
    aw_errors_free(&errors);
    aw_text_free(&text);
    return written;
}

START_TEST(a_file_is_written_whole_or_not_at_all)
{
    char folder[] = "/tmp/aw_base_XXXXXX", path[64], under[80], read[16] = "";
    struct stat info;
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/file", folder);
    snprintf(under, sizeof under, "%s/file/under", folder);
    ck_assert(write_to(path, "first"));
    ck_assert_int_eq(chmod(path, 0640), 0);
    ck_assert(write_to(path, "second"));
    ck_assert_int_eq(stat(path, &info), 0);
    ck_assert_int_eq(info.st_mode & 0777, 0640);
    ck_assert(!write_to(under, "third"));
    ck_assert(!write_to("/dev/full", "fourth"));
    FILE *file = fopen(path, "r");
    ck_assert_ptr_nonnull(fgets(read, sizeof read, file));
    fclose(file);
    ck_assert_str_eq(read, "second");
    ck_assert_int_eq(unlink(path), 0);
    /* No temporary file is left: the folder is empty. */
    ck_assert_int_eq(rmdir(folder), 0);
}
END_TEST

/* A file that is new has the mode that the user's mask leaves. */
START_TEST(a_file_that_cannot_be_made_leaves_nothing)
{
    char folder[] = "/tmp/aw_base_XXXXXX", path[64], missing[80];
    struct stat info;
    aw_errors errors = {0};
    const aw_text failed = {.failed = true};
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/new", folder);
    snprintf(missing, sizeof missing, "%s/none/new", folder);
    ck_assert(!write_to(missing, "lost"));
    ck_assert(!write_to(folder, "a folder is no file"));
    ck_assert(!aw_text_write(&failed, path, &errors));
    ck_assert_uint_eq(errors.n_errors, 1);
    ck_assert_int_eq(errors.list[0].line, 0);
    aw_errors_free(&errors);
    ck_assert_int_ne(stat(path, &info), 0);
    const mode_t mask = umask(027);
    ck_assert(write_to(path, ""));
    umask(mask);
    ck_assert_int_eq(stat(path, &info), 0);
    ck_assert_int_eq(info.st_mode & 0777, 0640);
    ck_assert_int_eq(info.st_size, 0);
    ck_assert_int_eq(unlink(path), 0);
    ck_assert_int_eq(rmdir(folder), 0);
}
END_TEST

static void check_reads(const char *path, const char *want)
{
    char read[16] = "";
    FILE *file = fopen(path, "r");
    ck_assert_msg(file != NULL, "%s is not there", path);
    ck_assert_ptr_nonnull(fgets(read, sizeof read, file));
    fclose(file);
    ck_assert_str_eq(read, want);
}

/* latest -> sub/second -> first, the second link relative to its own folder. */
START_TEST(a_link_stays_and_what_it_leads_to_is_written)
{
    char folder[] = "/tmp/aw_base_XXXXXX";
    struct stat info;
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(chdir(folder), 0);
    ck_assert_int_eq(mkdir("sub", 0755), 0);
    ck_assert_int_eq(symlink("sub/second", "latest"), 0);
    ck_assert_int_eq(symlink("first", "sub/second"), 0);
    ck_assert(write_to("latest", "new")); /* nothing there yet */
    check_reads("sub/first", "new");
    ck_assert_int_eq(chmod("sub/first", 0600), 0);
    ck_assert(write_to("latest", "again"));
    check_reads("sub/first", "again");
    ck_assert_int_eq(stat("sub/first", &info), 0);
    ck_assert_int_eq(info.st_mode & 0777, 0600);
    ck_assert(lstat("latest", &info) == 0 && S_ISLNK(info.st_mode));
    ck_assert(lstat("sub/second", &info) == 0 && S_ISLNK(info.st_mode));
    ck_assert_int_eq(unlink("latest") + unlink("sub/second") + unlink("sub/first"), 0);
    ck_assert_int_eq(rmdir("sub") + rmdir(folder), 0);
}
END_TEST

static void check_complaint(const char *path, const char *want)
{
    aw_text text = {0};
    aw_errors errors = {0};
    aw_text_add(&text, "x");
    ck_assert(!aw_text_write(&text, path, &errors));
    ck_assert_uint_eq(errors.n, 1);
    ck_assert_str_eq(errors.list[0].text, want);
    aw_errors_free(&errors);
    aw_text_free(&text);
}

START_TEST(a_link_that_leads_nowhere_is_complained_of)
{
    char folder[] = "/tmp/aw_base_XXXXXX";
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(chdir(folder), 0);
    ck_assert_int_eq(symlink("b", "a") + symlink("a", "b") + symlink("none/file", "lost"), 0);
    check_complaint("a", "cannot be written: Too many levels of symbolic links");
    check_complaint("lost",
                    "cannot be written, it leads to 'none/file': No such file or directory");
    ck_assert_int_eq(unlink("a") + unlink("b") + unlink("lost") + rmdir(folder), 0);
}
END_TEST

/* No file may grow beyond 4 kB: writing a longer one fails halfway. */
START_TEST(a_file_that_does_not_fit_leaves_the_old_one)
{
    static char large[20000], read[16];
    char folder[] = "/tmp/aw_base_XXXXXX", path[64];
    struct rlimit old, least;
    memset(large, 'x', sizeof large - 1);
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/file", folder);
    ck_assert(write_to(path, "old"));
    signal(SIGXFSZ, SIG_IGN);
    ck_assert_int_eq(getrlimit(RLIMIT_FSIZE, &old), 0);
    least = old;
    least.rlim_cur = 4096;
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &least), 0);
    const bool written = write_to(path, large);
    ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &old), 0);
    signal(SIGXFSZ, SIG_DFL);
    ck_assert(!written);
    FILE *file = fopen(path, "r");
    ck_assert_ptr_nonnull(fgets(read, sizeof read, file));
    fclose(file);
    ck_assert_str_eq(read, "old");
    ck_assert_int_eq(unlink(path), 0);
    ck_assert_int_eq(rmdir(folder), 0);
}
END_TEST

static void end_halfway(int signal_number)
{
    (void)signal_number;
    _exit(aw_text_abandon() ? 7 : 8);
}

/* The signal of a file that grows too large comes in the middle of writing it. */
START_TEST(a_write_that_is_abandoned_leaves_the_old_file_and_nothing_beside_it)
{
    static char large[20000], read[16];
    char folder[] = "/tmp/aw_base_XXXXXX", path[64];
    int status;
    memset(large, 'x', sizeof large - 1);
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/file", folder);
    ck_assert(write_to(path, "old"));
    const pid_t child = fork();
    if (child == 0) {
        const struct rlimit least = {4096, 4096};
        signal(SIGXFSZ, end_halfway);
        setrlimit(RLIMIT_FSIZE, &least);
        write_to(path, large);
        _exit(9);
    }
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert(WIFEXITED(status));
    ck_assert_int_eq(WEXITSTATUS(status), 7);
    FILE *file = fopen(path, "r");
    ck_assert_ptr_nonnull(fgets(read, sizeof read, file));
    fclose(file);
    ck_assert_str_eq(read, "old");
    ck_assert_int_eq(unlink(path), 0);
    ck_assert_int_eq(rmdir(folder), 0);
    ck_assert(aw_text_abandon());
}
END_TEST

/* Pieces of ragged lengths, with a NUL among the bytes. */
START_TEST(a_text_grows_and_keeps_every_byte)
{
    static char want[60000];
    aw_text text = {0};
    uint64_t state = 12;
    size_t n = 0;
    while (n < 59000) {
        const size_t length = (size_t)(test_uniform(&state) * 700);
        for (size_t i = 0; i < length; i++)
            want[n + i] = (char)(test_uniform(&state) * 256);
        aw_text_add_bytes(&text, want + n, length);
        n += length;
        n += (size_t)snprintf(want + n, 40, "%d|%.*s", (int)n, (int)(n % 9), "abcdefghi");
        aw_text_format(&text, "%d|%.*s", (int)text.n, (int)(text.n % 9), "abcdefghi");
        ck_assert_uint_eq(text.n, n);
    }
    ck_assert_mem_eq(text.at, want, n);
    ck_assert_int_eq(text.at[n], 0);
    ck_assert(!text.failed);
    aw_text_free(&text);
    ck_assert(text.at == NULL && text.n == 0);
}
END_TEST

static TCase *base(void)
{
    TCase *tc = tcase_create("base");
    tcase_add_test(tc, numbers_are_the_shortest_text_that_reads_back);
    tcase_add_test(tc, json_is_written_as_it_reads);
    tcase_add_test(tc, every_byte_is_escaped_kept_or_replaced);
    tcase_add_test(tc, a_file_that_cannot_be_made_leaves_nothing);
    tcase_add_test(tc, a_file_that_does_not_fit_leaves_the_old_one);
    tcase_add_test(tc, a_write_that_is_abandoned_leaves_the_old_file_and_nothing_beside_it);
    tcase_add_test(tc, a_link_stays_and_what_it_leads_to_is_written);
    tcase_add_test(tc, a_link_that_leads_nowhere_is_complained_of);
    tcase_add_test(tc, a_text_grows_and_keeps_every_byte);
    tcase_add_test(tc, a_file_is_written_whole_or_not_at_all);
    return tc;
}

AW_TEST_MAIN("base", base())
