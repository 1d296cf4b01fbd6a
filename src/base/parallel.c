/* A region starts its threads and joins them: about 60 microseconds, and nothing is left running
 * between regions. */
#include "base/parallel.h"

#include <pthread.h>
#include <sched.h>
#include <stdlib.h>

typedef struct region {
    size_t n, grain, units;
    aw_body *body;
    void *context;
    const aw_run *run;
    atomic_size_t next;
} region;

typedef struct worker {
    region *region;
    unsigned number;
    pthread_t thread;
} worker;

static void run_chunks(region *r, unsigned number)
{
    for (;;) {
        const size_t from = atomic_fetch_add(&r->next, r->grain);
        if (from >= r->n || aw_run_stopped(r->run))
            return;
        const size_t to = r->n - from < r->grain ? r->n : from + r->grain;
        r->body(r->context, from, to, number);
        if (r->run->watch != NULL)
            atomic_fetch_add(&r->run->watch->done, (to - from) * r->units);
    }
}

static void *run_worker(void *argument)
{
    worker *w = argument;
    run_chunks(w->region, w->number);
    return NULL;
}

/* Threads that cannot be started are done without; with none at all the caller does the work. */
static void run_threads(region *r, unsigned threads)
{
    worker *workers = calloc(threads, sizeof *workers);
    unsigned started = 0;
    for (unsigned i = 0; workers != NULL && i < threads; i++) {
        workers[i].region = r;
        workers[i].number = i;
        if (pthread_create(&workers[i].thread, NULL, run_worker, &workers[i]) != 0)
            break;
        started++;
    }
    if (started == 0)
        run_chunks(r, 0);
    for (unsigned i = 0; i < started; i++)
        pthread_join(workers[i].thread, NULL);
    free(workers);
}

unsigned aw_run_threads(const aw_run *run)
{
    return run->threads > 0 ? run->threads : 1;
}

bool aw_run_stopped(const aw_run *run)
{
    return run->watch != NULL && atomic_load(&run->watch->stop);
}

bool aw_parallel(size_t n, size_t grain, const aw_run *run, aw_body *body, void *context,
                 size_t units)
{
    region r = {
        .n = n, .grain = grain, .units = units, .body = body, .context = context, .run = run};
    if (run->threads <= 1)
        run_chunks(&r, 0);
    else
        run_threads(&r, run->threads);
    return !aw_run_stopped(run);
}

typedef struct row {
    aw_piece *piece;
    void *context;
    const aw_run *run;
    aw_errors *errors; /* of each thread */
    atomic_bool failed;
} row;

static void run_pieces(void *context, size_t from, size_t to, unsigned thread)
{
    row *r = context;
    const aw_run alone = {1, r->run->watch, &r->errors[thread]};
    for (size_t i = from; i < to && !atomic_load(&r->failed); i++)
        if (!r->piece(r->context, i, &alone))
            atomic_store(&r->failed, true);
}

bool aw_side_by_side(size_t n, const aw_run *run, aw_piece *piece, void *context)
{
    const unsigned threads = aw_run_threads(run);
    row r = {piece, context, run, calloc(threads, sizeof *r.errors), false};
    if (r.errors == NULL) {
        aw_errors_add(run->errors, AW_ERROR, 0, 0, "out of memory for the threads");
        return false;
    }
    const bool done = aw_parallel(n, 1, run, run_pieces, &r, 0) && !atomic_load(&r.failed);
    for (unsigned t = 0; t < threads; t++) {
        for (size_t i = 0; i < r.errors[t].n; i++) {
            const aw_complaint *c = &r.errors[t].list[i];
            aw_errors_add(run->errors, c->severity, c->line, c->column, "%s", c->text);
        }
        aw_errors_free(&r.errors[t]);
    }
    free(r.errors);
    return done;
}

typedef struct errand {
    void (*run)(void *context);
    void *context;
} errand;

static void *run_errand(void *argument)
{
    const errand *e = argument;
    e->run(e->context);
    return NULL;
}

bool aw_apart(void (*run)(void *context), void *context)
{
    errand e = {run, context};
    pthread_t thread;
    return pthread_create(&thread, NULL, run_errand, &e) == 0 && pthread_join(thread, NULL) == 0;
}

unsigned aw_processors(void)
{
    cpu_set_t set;
    if (sched_getaffinity(0, sizeof set, &set) != 0)
        return 1;
    const int n = CPU_COUNT(&set);
    return n > 0 ? (unsigned)n : 1;
}
