/** @file text.h
 *  Text that grows, numbers in their shortest form, and files written whole: what the library's
 *  writers fill. */
#ifndef ANCHORWISE_TEXT_H
#define ANCHORWISE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/error.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** A zeroed struct is an empty text. After a failed allocation `failed` stays set and nothing more
 * is added; aw_text_write() then reports it. */
typedef struct aw_text {
    char *at;
    size_t n, room;
    bool failed;
} aw_text;

void aw_text_add(aw_text *text, const char *piece);
void aw_text_add_bytes(aw_text *text, const char piece[], size_t length);
void aw_text_format(aw_text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));

/** The shortest decimal text that reads back to the same double; nothing for NaN. */
void aw_text_number(aw_text *text, double value);

void aw_text_free(aw_text *text);

/** Room for aw_number_text(). */
#define AW_NUMBER_ROOM 32
/** Writes the shortest decimal text of a finite value; returns its length. */
size_t aw_number_text(double value, char out[AW_NUMBER_ROOM]);

/** Room for what aw_text_is_printable() finds. */
#define AW_WHY_ROOM 64
/** Whether every character of a name, a title or the like can be seen by who reads it, and leaves
 * the others where they are: valid UTF-8 without controls, line and paragraph separators, marks and
 * overrides of direction, spaces without width, fillers and tags. The joiners U+200C and U+200D may
 * stand inside words of scripts written with them: between two characters from U+0600 on. If not,
 * `why` says what is wrong with the first: "holds U+202E, an invisible control character". Source:
 * Unicode 15, Default_Ignorable_Code_Point; RFC 3629. */
bool aw_text_is_printable(const char text[], size_t length, char why[AW_WHY_ROOM]);

/** Writes the whole text to a file, by way of a temporary name beside it that is renamed, or to
 * standard output if the path is "-". An existing file keeps its mode. A symbolic link stays, and
 * what it leads to is written, or made if it is not there. A path that names something other than a
 * file (a device, a pipe) is written straight, and so is a file that is open for writing already
 * (/dev/stdout of a redirected output), behind what was written to it. On failure adds a complaint
 * without a place and returns false; an existing file is then as it was. */
bool aw_text_write(const aw_text *text, const char *path, aw_errors *errors);

/** Takes away the temporary file of a write that is under way, for a program that is about to end
 * without it. A signal handler may call it. False if the file is just being made and cannot be
 * named: to be asked again a moment later. Writes take turns, so there is one at most. */
bool aw_text_abandon(void);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
