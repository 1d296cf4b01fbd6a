/* Files of the tests' folder, for suites that read scenarios. */
#ifndef AW_TESTS_FILES_H
#define AW_TESTS_FILES_H

#include <stdio.h>

#include "aw_test.h"

static inline char *join(const char *folder, const char *name)
{
    const char *root = getenv("AW_TESTS");
    char *path = NULL;
    ck_assert(asprintf(&path, "%s/%s/%s", root != NULL ? root : "tests", folder, name) > 0);
    return path;
}

static inline char *slurp(const char *path, size_t *length)
{
    FILE *file = fopen(path, "rb");
    ck_assert_msg(file != NULL, "%s cannot be opened", path);
    const size_t room = 1 << 20;
    char *text = calloc(room, 1);
    ck_assert_ptr_nonnull(text);
    *length = fread(text, 1, room - 1, file);
    fclose(file);
    return text;
}

#endif
