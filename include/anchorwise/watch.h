/** @file watch.h
 *  Progress and a stop flag, shared by all the loops of one piece of work.
 *
 *  A zeroed watch shows nothing and never stops. Any thread, and a signal handler too, may set
 *  `stop`: the loops then end early and the work that was asked for returns false. */
#ifndef ANCHORWISE_WATCH_H
#define ANCHORWISE_WATCH_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

typedef struct aw_watch {
    atomic_int stop;
    atomic_size_t done; /**< work units finished */
    size_t total;       /**< units of the whole piece of work; 0: unknown */
    FILE *bar;          /**< a terminal that shows progress after one second, or NULL */
    double began;       /**< private */
    atomic_bool drawn;  /**< the bar stands on the terminal */
} aw_watch;

/** Starts the clock of the bar, for `total` units of work. */
void aw_watch_start(aw_watch *watch, size_t total, FILE *bar);

/** Clears the bar. */
void aw_watch_end(aw_watch *watch);

#endif
