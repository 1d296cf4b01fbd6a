/* Hands every file of the folders and files named to a fuzz target, with any compiler. The limits
 * are those of the fuzzing: 5 s and 512 MiB for each input. */
#include "fuzz/fuzz.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#define SECONDS 5
#define MEMORY  ((long)512 << 10) /* KiB */

static size_t replayed;

static void fail(const char *path, const char *why)
{
    fprintf(stderr, "%s: %s\n", path, why);
    exit(EXIT_FAILURE);
}

static void replay_file(const char *path)
{
    size_t room = 1 << 16, n = 0;
    uint8_t *data = malloc(room);
    FILE *file = fopen(path, "rb");
    struct rusage used;
    if (file == NULL || data == NULL)
        fail(path, "cannot be read");
    for (size_t got; (got = fread(data + n, 1, room - n, file)) > 0;) {
        n += got;
        if (n == room && (data = realloc(data, room *= 2)) == NULL)
            fail(path, "out of memory");
    }
    fclose(file);
    alarm(SECONDS);
    LLVMFuzzerTestOneInput(data, n);
    alarm(0);
    free(data);
    getrusage(RUSAGE_SELF, &used);
    if (used.ru_maxrss > MEMORY)
        fail(path, "took too much memory");
    replayed++;
}

static void replay(const char *path)
{
    struct stat known;
    struct dirent **entries;
    if (stat(path, &known) != 0)
        fail(path, "is not there");
    if (!S_ISDIR(known.st_mode)) {
        replay_file(path);
        return;
    }
    const int n = scandir(path, &entries, NULL, alphasort);
    for (int i = 0; i < n; free(entries[i++])) {
        char inner[4096];
        snprintf(inner, sizeof inner, "%s/%s", path, entries[i]->d_name);
        if (entries[i]->d_name[0] != '.')
            replay(inner);
    }
    free(entries);
}

int main(int argc, char *argv[])
{
    if (LLVMFuzzerInitialize(&argc, &argv) != 0)
        fail(argv[0], "cannot be set up");
    for (int i = 1; i < argc; i++)
        replay(argv[i]);
    fprintf(stderr, "%zu inputs replayed\n", replayed);
    return replayed > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
