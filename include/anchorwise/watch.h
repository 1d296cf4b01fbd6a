/** @file watch.h
 *  Progress and a stop flag, shared by all the loops of one piece of work.
 *
 *  A zeroed watch shows nothing and never stops. Any thread, and a signal handler too, may set
 *  `stop`: the loops then end early and the work that was asked for returns false.
 *
 *  Work goes on in stages, which the studies name. A terminal gets one line that is drawn anew,
 * with the stage, how much of it is done and how long the rest of it will take at the pace so far;
 * it appears after a second and is never wider than the terminal. */
#ifndef ANCHORWISE_WATCH_H
#define ANCHORWISE_WATCH_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* The same size and place in both languages. */
#ifdef __cplusplus
#include <atomic>
typedef std::atomic<int> aw_atomic_int;
typedef std::atomic<size_t> aw_atomic_size;
typedef std::atomic<bool> aw_atomic_bool;
#else
#include <stdatomic.h>
typedef atomic_int aw_atomic_int;
typedef atomic_size_t aw_atomic_size;
typedef atomic_bool aw_atomic_bool;
#endif

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** Bytes of a stage's name. */
#define AW_STAGE_ROOM 360
/** Bytes of what stands above the bar. */
#define AW_WATCH_NOTE 2048

typedef struct aw_watch {
    aw_atomic_int stop;
    aw_atomic_size done;       /**< work units finished, of all stages */
    FILE *bar;                 /**< a terminal, or NULL */
    FILE *lines;               /**< gets one line for each stage that begins, or NULL */
    aw_atomic_bool drawn;      /**< the bar stands on the terminal */
    double began, stage_began; /**< private, s */
    size_t from, total;        /**< private: `done` where the stage began, and its units */
    char stage[AW_STAGE_ROOM]; /**< private */
} aw_watch;

/** Starts the clock. A bar is drawn by a thread of its own, one at a time in a process, from the
 * first stage to aw_watch_end(); without a thread there is none. */
void aw_watch_start(aw_watch *watch, FILE *bar, FILE *lines);

/** Whether anybody sees the stages: else their work need not be counted. watch may be NULL. */
bool aw_watch_shows(const aw_watch *watch);

/** Begins a stage of `total` work units, 0 if that cannot be known; more units than were foreseen
 * make it so as well. watch may be NULL. */
void aw_watch_stage(aw_watch *watch, size_t total, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/** Lines that stand above the bar on a terminal, each cut to its width, from when the bar first
 * appears until aw_watch_end() clears both: what can be said before the work is done. Copied, as
 * far as AW_WATCH_NOTE goes; "" for none. watch may be NULL. */
void aw_watch_note(aw_watch *watch, const char *text);

/** Clears the bar. The next stage shows it again. */
void aw_watch_end(aw_watch *watch);

/** Writes the line of a bar, for a terminal of so many columns, after `spent` seconds of a stage
 * with that share done, NaN if unknown; at most columns - 1 wide, every character beyond ASCII
 * counted as two. `line` is valid UTF-8 if the stage's name is. */
void aw_watch_line(char *line, size_t room, unsigned columns, double share, double spent,
                   const char *stage);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
