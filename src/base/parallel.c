/* A region starts its threads and joins them: about 60 microseconds, and nothing is left running
 * between regions. The calling thread draws the bar, so that workers never wait for a terminal. */
#include "base/parallel.h"

#include <pthread.h>
#include <sched.h>
#include <stdlib.h>
#include <time.h>

typedef struct region {
    size_t n, grain, units;
    aw_body *body;
    void *context;
    aw_watch *watch;
    atomic_size_t next, running;
    pthread_mutex_t lock;
    pthread_cond_t ended;
} region;

typedef struct worker {
    region *region;
    unsigned number;
    pthread_t thread;
} worker;

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

void aw_watch_start(aw_watch *watch, size_t total, FILE *bar)
{
    watch->total = total;
    watch->bar = bar;
    watch->began = now();
    atomic_store(&watch->done, 0);
}

void aw_watch_end(aw_watch *watch)
{
    if (watch->drawn) {
        fputs("\r\033[K", watch->bar);
        fflush(watch->bar);
    }
    watch->drawn = false;
}

/* Nothing is drawn in the first second: short work shows no bar. */
static void draw_bar(aw_watch *watch)
{
    const double spent = now() - watch->began;
    const size_t done = atomic_load(&watch->done);
    if (spent < 1 || watch->total == 0 || done == 0)
        return;
    const double share = done < watch->total ? (double)done / (double)watch->total : 1;
    const int filled = (int)(30 * share);
    char bar[31];
    for (int i = 0; i < 30; i++)
        bar[i] = i < filled ? '=' : ' ';
    bar[30] = '\0';
    fprintf(watch->bar, "\r[%s] %3.0f %%  %.0f s left\033[K", bar, 100 * share,
            spent / share - spent);
    fflush(watch->bar);
    watch->drawn = true;
}

static void run_chunks(region *r, unsigned number)
{
    for (;;) {
        const size_t from = atomic_fetch_add(&r->next, r->grain);
        if (from >= r->n || (r->watch != NULL && atomic_load(&r->watch->stop)))
            return;
        const size_t to = r->n - from < r->grain ? r->n : from + r->grain;
        r->body(r->context, from, to, number);
        if (r->watch != NULL)
            atomic_fetch_add(&r->watch->done, (to - from) * r->units);
    }
}

static void *run_worker(void *argument)
{
    worker *w = argument;
    run_chunks(w->region, w->number);
    pthread_mutex_lock(&w->region->lock);
    if (atomic_fetch_sub(&w->region->running, 1) == 1)
        pthread_cond_signal(&w->region->ended);
    pthread_mutex_unlock(&w->region->lock);
    return NULL;
}

static void wait_for_workers(region *r)
{
    pthread_mutex_lock(&r->lock);
    while (atomic_load(&r->running) > 0) {
        struct timespec until;
        clock_gettime(CLOCK_REALTIME, &until);
        until.tv_nsec += 200000000;
        if (until.tv_nsec >= 1000000000) {
            until.tv_nsec -= 1000000000;
            until.tv_sec++;
        }
        pthread_cond_timedwait(&r->ended, &r->lock, &until);
        if (r->watch != NULL && r->watch->bar != NULL)
            draw_bar(r->watch);
    }
    pthread_mutex_unlock(&r->lock);
}

/* Threads that cannot be started are done without; with none at all the caller does the work. */
static void run_threads(region *r, unsigned threads)
{
    worker *workers = calloc(threads, sizeof *workers);
    unsigned started = 0;
    for (unsigned i = 0; workers != NULL && i < threads; i++) {
        workers[i].region = r;
        workers[i].number = i;
        atomic_fetch_add(&r->running, 1);
        if (pthread_create(&workers[i].thread, NULL, run_worker, &workers[i]) != 0) {
            atomic_fetch_sub(&r->running, 1);
            break;
        }
        started++;
    }
    if (started == 0)
        run_chunks(r, 0);
    else
        wait_for_workers(r);
    for (unsigned i = 0; i < started; i++)
        pthread_join(workers[i].thread, NULL);
    free(workers);
}

bool aw_parallel(size_t n, size_t grain, unsigned threads, aw_body *body, void *context,
                 aw_watch *watch, size_t units)
{
    region r = {
        .n = n, .grain = grain, .units = units, .body = body, .context = context, .watch = watch};
    pthread_mutex_init(&r.lock, NULL);
    pthread_cond_init(&r.ended, NULL);
    if (threads <= 1 && (watch == NULL || watch->bar == NULL))
        run_chunks(&r, 0);
    else
        run_threads(&r, threads);
    pthread_cond_destroy(&r.ended);
    pthread_mutex_destroy(&r.lock);
    return watch == NULL || !atomic_load(&watch->stop);
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
