/* Texts that mean no good: none, however hostile, takes long or crashes the reader. */
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "anchorwise/scenario.h"
#include "files.h"

static void parse_any(const char *text, size_t length)
{
    aw_scenario scenario;
    aw_errors errors = {0};
    const bool sound = aw_scenario_parse(&scenario, text, length, &errors);
    ck_assert(sound == (errors.n_errors == 0));
    ck_assert(sound == (scenario.memory != NULL));
    aw_errors_free(&errors);
    aw_scenario_free(&scenario);
}

/* More where a checker slows all down. */
static double patience(void)
{
    const char *times = getenv("CK_TIMEOUT_MULTIPLIER");
    return times != NULL ? 2 * atof(times) : 2;
}

static void refused_soon(char *text, size_t length, const char *complaint)
{
    aw_scenario s;
    aw_errors errors = {0};
    const clock_t begin = clock();
    ck_assert(!aw_scenario_parse(&s, text, length, &errors));
    const double seconds = (double)(clock() - begin) / CLOCKS_PER_SEC;
    ck_assert_msg(seconds < patience(), "it took %.1f s", seconds);
    ck_assert_msg(strstr(errors.list[0].text, complaint) != NULL, "%s", errors.list[0].text);
    aw_errors_free(&errors);
    free(text);
}

static char *repeated(const char *unit, size_t bytes)
{
    const size_t n = strlen(unit);
    char *text = malloc(bytes + n);
    ck_assert_ptr_nonnull(text);
    for (size_t i = 0; i < bytes; i += n)
        memcpy(text + i, unit, n);
    return text;
}

START_TEST(deep_nesting_is_refused_at_once)
{
    refused_soon(repeated("[", 200000), 200000, "nested");
    refused_soon(repeated("- ", 200000), 200000, "nested");
    refused_soon(repeated("{a: ", 200000), 200000, "nested");
}
END_TEST

START_TEST(nested_aliases_are_refused_at_once)
{
    char *text;
    size_t length;
    FILE *out = open_memstream(&text, &length);
    fputs("a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n", out);
    for (int i = 1; i < 20000; i++)
        fprintf(out, "a%d: &a%d [*a%d, *a%d, *a%d, *a%d]\n", i, i, i - 1, i - 1, i - 1, i - 1);
    fclose(out);
    ck_assert_uint_gt(length, 900000);
    refused_soon(text, length, "aliases counted in full");
}
END_TEST

START_TEST(much_of_anything_is_refused_at_once)
{
    refused_soon(repeated("%TAG !a! x\n", 1 << 20), 1 << 20, "tag directives");
    refused_soon(repeated("k: 1\n", 1000000), 1000000, "given twice");
    refused_soon(repeated("\n", 17 << 20), 17 << 20, "larger than 16 MiB");
}
END_TEST

START_TEST(every_beginning_of_a_scenario_is_handled)
{
    char *path = join("good", "aliases.yaml");
    size_t length;
    char *text = slurp(path, &length);
    for (size_t n = 0; n <= length; n++) {
        char *part = malloc(n + 1);
        memcpy(part, text, n);
        parse_any(part, n);
        free(part);
    }
    free(text);
    free(path);
}
END_TEST

START_TEST(damaged_scenarios_never_crash_the_reader)
{
    static const char *const marks = "[]{}:,&*-#!%'\"|>~0e.\n\t \xC3\xFF";
    char *path = join("good", "aliases.yaml");
    size_t length;
    char *text = slurp(path, &length);
    uint64_t state = 20240607;
    char *damaged = malloc(length);
    ck_assert_ptr_nonnull(damaged);
    for (int round = 0; round < 5000; round++) {
        memcpy(damaged, text, length);
        const int hits = 1 + (int)(test_uniform(&state) * 4);
        for (int hit = 0; hit < hits; hit++)
            damaged[(size_t)(test_uniform(&state) * (double)length)] =
                round % 2 ? marks[(size_t)(test_uniform(&state) * (double)strlen(marks))]
                          : (char)(test_uniform(&state) * 256);
        parse_any(damaged, length);
    }
    free(damaged);
    free(text);
    free(path);
}
END_TEST

static TCase *hostility(void)
{
    TCase *tests = tcase_create("hostility");
    tcase_add_test(tests, deep_nesting_is_refused_at_once);
    tcase_add_test(tests, nested_aliases_are_refused_at_once);
    tcase_add_test(tests, much_of_anything_is_refused_at_once);
    tcase_add_test(tests, every_beginning_of_a_scenario_is_handled);
    tcase_add_test(tests, damaged_scenarios_never_crash_the_reader);
    return tests;
}

AW_TEST_MAIN("hostile", hostility())
