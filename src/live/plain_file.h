/* A scenario's file as bytes, where one that is not there is no error. */
#ifndef AW_LIVE_PLAIN_FILE_H
#define AW_LIVE_PLAIN_FILE_H

#include <stdbool.h>

#include "anchorwise/error.h"
#include "anchorwise/text.h"

/* Adds the file's bytes to a text. False, with an error, if it is there and cannot be read, or is
 * longer than a scenario may be. */
bool aw_plain_file_read(const char *path, aw_text *text, bool *exists, aw_errors *errors);

#endif
