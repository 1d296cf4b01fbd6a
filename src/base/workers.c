#include "base/workers.h"

#include <stdlib.h>

#include "base/parallel.h"

bool aw_workers_create(aw_workers *w, const aw_run *run, const aw_worker_kind *kind,
                       const void *job)
{
    const unsigned n = aw_run_threads(run);
    *w = (aw_workers){.kind = kind, .n = n, .first = calloc(n, kind->size)};
    bool done = w->first != NULL;
    for (unsigned i = 0; done && i < n; i++)
        done = kind->create(aw_worker(w, i), job);
    return done;
}

void aw_workers_free(aw_workers *w)
{
    for (unsigned i = 0; w->first != NULL && i < w->n; i++)
        w->kind->release(aw_worker(w, i));
    free(w->first);
    *w = (aw_workers){0};
}
