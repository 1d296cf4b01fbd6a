/* A program of others, in a process of its own, under limits of time, memory and size: nothing that
 * it does to itself is done to us. It gets no environment but a path, may write no file, and reads
 * its input from memory. */
#ifndef AW_PLAN_CHILD_H
#define AW_PLAN_CHILD_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/run.h"
#include "anchorwise/text.h"

/* Seconds by the clock until it is ended, of all runs for one plan together. */
#define AW_CHILD_SECONDS 14.0
/* Bytes that it may print. */
#define AW_CHILD_PRINTED ((size_t)512 << 20)
#define AW_CHILD_WHOLE   ((size_t)64 << 20)

typedef struct aw_child {
    const char *program;
    const char *const *words; /* after the program's name; ends with NULL */
    int input;                /* open file that it finds as AW_CHILD_INPUT; -1: none */
    double *seconds;          /* that are left; counted down */
    /* Gets each line of its output; false stops it. NULL: they are dropped. */
    bool (*take)(char line[], size_t length, void *context);
    void *context;
    aw_text *whole; /* gets all bytes of its output instead, up to AW_CHILD_WHOLE; NULL: lines */
    aw_text said;   /* what it said on standard error; the caller frees it */
} aw_child;

#define AW_CHILD_INPUT "/proc/self/fd/3"

typedef enum aw_child_end {
    AW_CHILD_DONE,    /* status 0 */
    AW_CHILD_REFUSED, /* another status, a crash, or a limit of its own */
    AW_CHILD_LATE,    /* stopped: time was up */
    AW_CHILD_LONG,    /* stopped: too much was printed */
    AW_CHILD_STOPPED, /* by `take` or the watch */
    AW_CHILD_MISSING, /* there is no such program */
    AW_CHILD_FAILED   /* no process, no memory */
} aw_child_end;

aw_child_end aw_child_run(aw_child *child, const aw_run *run);

/* Bytes as an open file in memory; -1 without memory. */
int aw_child_file(const char *const pieces[], const size_t lengths[], size_t n);

#endif
