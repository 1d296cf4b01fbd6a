/* One look whether the file is there, then the reading that every command does. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "anchorwise/scenario.h"
#include "live/plain_file.h"
#include "scenario/yaml.h"

bool aw_plain_file_read(const char *path, aw_text *text, bool *exists, aw_errors *errors)
{
    struct stat known;
    char *bytes = NULL;
    size_t n = 0;
    *exists = stat(path, &known) == 0;
    if (!*exists && errno == ENOENT)
        return true;
    if (*exists && !S_ISREG(known.st_mode)) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "is no file that can be planned in");
        return false;
    }
    *exists = true;
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
