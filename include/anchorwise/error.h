/** @file error.h
 *  What is wrong with a text the user wrote: every mistake at once, each with its place.
 *
 *  A complaint is an error (the text cannot be used) or a warning (it can, but look). Lines and
 *  columns count from 1, columns in characters; line 0 means the complaint has no place.
 */
#ifndef ANCHORWISE_ERROR_H
#define ANCHORWISE_ERROR_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** Where in the text an item stands, for complaints found later. A line below 1 is no place: the
 *  item came with a change (vary.h). */
typedef struct aw_text_pos {
    int line, column;
} aw_text_pos;

typedef enum aw_severity { AW_ERROR, AW_WARNING } aw_severity;

typedef struct aw_complaint {
    aw_severity severity;
    int line;   /**< from 1; 0: no place */
    int column; /**< from 1, in characters */
    char *text; /**< one line, no full stop; owned by the list */
} aw_complaint;

/** A list of complaints. A zeroed struct is an empty list. At most AW_ERRORS_KEPT are kept; the
 *  rest are only counted. */
typedef struct aw_errors {
    aw_complaint *list;
    size_t n, room;
    size_t n_errors;  /**< of any severity AW_ERROR, kept or not */
    size_t n_dropped; /**< complaints beyond AW_ERRORS_KEPT */
    bool lost;        /**< a complaint could not be kept for want of memory */
} aw_errors;

#define AW_ERRORS_KEPT 200

/** Adds one complaint; the text is built as by printf, and begins with "out of memory" if that is
 *  the trouble. Never fails: without memory the complaint is still counted. A repeat of an earlier
 * text at the same place is not added again. */
void aw_errors_add(aw_errors *errors, aw_severity severity, int line, int column,
                   const char *format, ...) __attribute__((format(printf, 5, 6)));

/** Whether anything went wrong for want of memory, so that what was read need not be wrong. */
bool aw_errors_out_of_memory(const aw_errors *errors);

/** Sorts by place, then by order of arrival. */
void aw_errors_sort(aw_errors *errors);

/** Writes `FILE:L:C: text` or `FILE:L:C: warning: text`, one complaint a line, `FILE: text` for one
 *  without a place, a line that counts the dropped ones, and one that says if memory ran out
 *  before all could be kept. Warnings only if asked for. */
void aw_errors_write(const aw_errors *errors, const char *file, bool warnings, FILE *out);

void aw_errors_free(aw_errors *errors);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
