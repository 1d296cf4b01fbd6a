/* One look whether the file is there, then the reading that every command does. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "anchorwise/scenario.h"
#include "live/plain_file.h"
#include "scenario/yaml.h"

/* Whether a file could be made there. */
static bool has_folder(const char *path)
{
    const char *slash = strrchr(path, '/');
    char *folder = slash == NULL ? strdup(".") : strndup(path, (size_t)(slash + 1 - path));
    const bool has = folder != NULL && access(folder, W_OK | X_OK) == 0;
    free(folder);
    return has;
}

bool aw_plain_file_read(const char *path, aw_text *text, bool *exists, aw_errors *errors)
{
    struct stat known;
    char *bytes = NULL;
    size_t n = 0;
    if (*path == '\0') {
        aw_errors_add(errors, AW_ERROR, 0, 0, "a file needs a name");
        return false;
    }
    *exists = stat(path, &known) == 0;
    if (!*exists && errno == ENOENT && has_folder(path))
        return true;
    if (!*exists) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "is not there, and cannot be made there: %s",
                      strerror(errno));
        return false;
    }
    if (!S_ISREG(known.st_mode)) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "is no file that can be planned in");
        return false;
    }
    bool done = aw_file_read(path, &bytes, &n, errors);
    if (done && n > AW_YAML_BYTES) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "is longer than 16 MiB");
        done = false;
    }
    if (done)
        aw_text_add_bytes(text, n > 0 ? bytes : "", n);
    if (done && text->failed)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory");
    free(bytes);
    return done && !text->failed;
}
