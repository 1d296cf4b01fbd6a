/* What each thread of a piece of work has to itself: made together and freed together. */
#ifndef AW_BASE_WORKERS_H
#define AW_BASE_WORKERS_H

#include "anchorwise/run.h"

typedef struct aw_worker_kind {
    size_t size; /* bytes of one */
    /* Fills a zeroed one for a job; false without memory. release() is called either way. */
    bool (*create)(void *worker, const void *job);
    void (*release)(void *worker);
} aw_worker_kind;

typedef struct aw_workers {
    const aw_worker_kind *kind;
    unsigned n;
    char *first; /* n of them; owned */
} aw_workers;

/* One for each thread of a run. False without memory, and nothing is said of it; a zeroed set has
 * none. aw_workers_free() it either way. */
bool aw_workers_create(aw_workers *workers, const aw_run *run, const aw_worker_kind *kind,
                       const void *job);
void aw_workers_free(aw_workers *workers);

/* That of a thread, < n. */
static inline void *aw_worker(const aw_workers *workers, unsigned thread)
{
    return workers->first + thread * workers->kind->size;
}

#endif
