/* A small hall in a folder of its own, and a session on it: for the suites of planning live. */
#ifndef LIVE_HALL_H
#define LIVE_HALL_H

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "live/session.h"
#include "aw_test.h"

static char folder[64], path[96];

/* --- files --- */

static inline void put_file(const char *name, const char *text, size_t n)
{
    FILE *file = fopen(name, "w");
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_eq(fwrite(text, 1, n, file), n);
    fclose(file);
}

/* To be freed. */
static inline char *get_file(const char *name, size_t *n)
{
    char *bytes = NULL;
    aw_errors errors = {0};
    ck_assert(aw_file_read(name, &bytes, n, &errors));
    aw_errors_free(&errors);
    return bytes;
}

static const char HALL[] = "# the client's hall\n"
                           "anchorwise: 1\n"
                           "title: hall\n"
                           "floor: {outline: [[0, 0], [20, 0], [20, 10], [0, 10]], ceiling: 6}\n"
                           "anchors:               # as drawn\n"
                           "  - {name: A1, at: [0.5, 0.5, 5]}\n"
                           "  - {name: A2, at: [19.5, 0.5, 5]}\n"
                           "  - {name: \"Ä3\", at: [19.5, 9.5, 5]} # by the gate\n"
                           "  - {name: A4, at: [0.5, 9.5, 5]}\n"
                           "tags: [{name: cart, height: 1}]\n"
                           "zones:\n"
                           "  - name: bay\n"
                           "    outline: [[1, 1], [9, 1], [9, 9], [1, 9]]\n"
                           "    tag: cart\n"
                           "    need: {p95: 1}\n"
                           "study: {step: 1, draws: 64, seed: 1}\n";

static inline void set_up(void)
{
    snprintf(folder, sizeof folder, "/tmp/test_live.XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    setenv("XDG_STATE_HOME", folder, 1);
    snprintf(path, sizeof path, "%s/hall.yaml", folder);
    put_file(path, HALL, sizeof HALL - 1);
}

static inline void take_down(void)
{
    char command[128];
    snprintf(command, sizeof command, "rm -r '%s'", folder);
    ck_assert_int_eq(system(command), 0);
}

/* The one journal there is; false if there is none. */
static inline bool find_journal(char name[256])
{
    char command[128];
    snprintf(command, sizeof command, "ls '%s'/anchorwise/*.steps 2> /dev/null", folder);
    FILE *list = popen(command, "r");
    const bool found = fgets(name, 256, list) != NULL;
    if (found)
        name[strcspn(name, "\n")] = '\0';
    pclose(list);
    return found;
}

/* --- sessions --- */

static inline aw_session begin(void)
{
    aw_session s;
    aw_errors errors = {0};
    ck_assert(aw_session_open(&s, path, &errors));
    ck_assert_uint_eq(errors.n, 0);
    return s;
}

static inline bool try_step(aw_session *s, const char *ops)
{
    aw_errors errors = {0};
    json_t *list = json_loads(ops, 0, NULL);
    ck_assert_msg(list != NULL, "%s", ops);
    const bool done = aw_session_step(s, list, &errors);
    ck_assert(done || errors.n_errors > 0);
    json_decref(list);
    aw_errors_free(&errors);
    return done;
}

static inline void step(aw_session *s, const char *ops)
{
    ck_assert_msg(try_step(s, ops), "%s", ops);
}

#define MOVE(name, x)                                                                              \
    "[{\"op\":\"set\",\"at\":[\"anchors\",\"" name "\",\"at\"],\"value\":[" x ",1,5]}]"

static inline void go(aw_session *s, size_t to)
{
    aw_errors errors = {0};
    ck_assert(aw_session_go(s, to, &errors));
    aw_errors_free(&errors);
}

static inline bool has(const aw_session *s, const char *piece)
{
    return memmem(s->text.at, s->text.n, piece, strlen(piece)) != NULL;
}

static inline void ck_text(const aw_text *text, const char *want, size_t n)
{
    ck_assert_uint_eq(text->n, n);
    ck_assert_int_eq(memcmp(text->at, want, n), 0);
}

static TCase *tests_of(const char *name, const TTest *const tests[], size_t n)
{
    TCase *all = tcase_create(name);
    tcase_add_checked_fixture(all, set_up, take_down);
    for (size_t i = 0; i < n; i++)
        tcase_add_test(all, tests[i]);
    return all;
}

#define TESTS(name, ...)                                                                           \
    tests_of(name, (const TTest *const[]){__VA_ARGS__},                                            \
             sizeof((const TTest *const[]){__VA_ARGS__}) / sizeof(const TTest *))

#endif
