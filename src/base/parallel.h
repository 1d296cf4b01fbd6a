/* The one thread loop of the library.
 *
 * Items are handed out in chunks of `grain` in rising order, to whichever thread asks next, so a
 * body must not let its result depend on which thread or in which order it runs. */
#ifndef AW_BASE_PARALLEL_H
#define AW_BASE_PARALLEL_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/watch.h"

/* Called for items [from, to) by thread number `thread` < threads. */
typedef void aw_body(void *context, size_t from, size_t to, unsigned thread);

/* Runs body over [0, n) on `threads` threads (at least 1), adding `units` to watch->done for each
 * item. Returns false if it was stopped before the end or no thread could be started. watch may be
 * NULL. */
bool aw_parallel(size_t n, size_t grain, unsigned threads, aw_body *body, void *context,
                 aw_watch *watch, size_t units);

/* Runs something in a thread of its own and waits for it: for a library whose state belongs to the
 * thread. False if no thread could be started. */
bool aw_apart(void (*run)(void *context), void *context);

/* Processors this process may run on. */
unsigned aw_processors(void);

#endif
