/* The one thread loop of the library.
 *
 * Items are handed out in chunks of `grain` in rising order, to whichever thread asks next, so a
 * body must not let its result depend on which thread or in which order it runs. */
#ifndef AW_BASE_PARALLEL_H
#define AW_BASE_PARALLEL_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/run.h"

/* Called for items [from, to) by thread number `thread` < threads. */
typedef void aw_body(void *context, size_t from, size_t to, unsigned thread);

/* Runs body over [0, n) on the threads of a run, whose watch gets `units` for each item. False if
 * it was stopped before the end. */
bool aw_parallel(size_t n, size_t grain, const aw_run *run, aw_body *body, void *context,
                 size_t units);

/* A piece of work of its own: true if it is done, as every piece is (run.h). */
typedef bool aw_piece(void *context, size_t item, const aw_run *run);

/* Runs pieces [0, n), each by one thread, whichever is free: nothing within a piece waits for
 * another thread. What they complain of is the run's. False as soon as one is not done. */
bool aw_side_by_side(size_t n, const aw_run *run, aw_piece *piece, void *context);

/* Threads of a run: at least 1. */
unsigned aw_run_threads(const aw_run *run);

/* Runs something in a thread of its own and waits for it: for a library whose state belongs to the
 * thread. False if no thread could be started. */
bool aw_apart(void (*run)(void *context), void *context);

/* Processors this process may run on. */
unsigned aw_processors(void);

#endif
