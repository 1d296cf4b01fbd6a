/* An allocator that refuses: the k-th allocation fails, for every k of a run, alone or with all
 * after it. What is done must be right, what is not be blamed on memory, and every block given
 * back.
 *
 * The allocator's entry points are defined here and so stand before the C library's, for the
 * libraries that the product uses too. Sanitizers do the same, so that there is none under them. */
#ifndef AW_TESTS_REFUSING_H
#define AW_TESTS_REFUSING_H

#include <errno.h>
#include <execinfo.h>
#include <limits.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <string.h>

#include "anchorwise/text.h"
#include "aw_test.h"

#if !defined __SANITIZE_ADDRESS__ && !defined __SANITIZE_THREAD__
#define FAILING_ALLOCATOR 1
#endif

#ifdef FAILING_ALLOCATOR

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t n, size_t size);
void *__libc_memalign(size_t bound, size_t size);
void *__libc_realloc(void *block, size_t size);
void __libc_free(void *block);
extern const char __executable_start, etext;

static atomic_long asked, fail_at, live;
static atomic_bool refusing;
static bool fail_on, only_own;
static size_t only_size; /* 0: blocks of any */

/* Who asked for the k-th allocation, by its innermost callers; noted while `noting`. */
#define MOST_NOTED 65536
#define CALLERS    6
static uint64_t noted[MOST_NOTED];
static bool noting;

static inline void note_callers(long k)
{
    static _Thread_local bool inside; /* the unwinder may allocate */
    void *frames[CALLERS + 2];
    if (inside || k >= MOST_NOTED)
        return;
    inside = true;
    const int n = backtrace(frames, CALLERS + 2);
    for (int i = 2; i < n; i++)
        noted[k] = (noted[k] ^ (uint64_t)(uintptr_t)frames[i]) * 0x100000001B3u;
    inside = false;
}

static inline bool is_refused(const void *caller, size_t size)
{
    const char *at = caller;
    if (!atomic_load(&refusing) || (only_size > 0 && size != only_size))
        return false;
    if (only_own && (at < &__executable_start || at >= &etext))
        return false;
    const long now = atomic_fetch_add(&asked, 1);
    if (noting)
        note_callers(now);
    return now == atomic_load(&fail_at) || (fail_on && now > atomic_load(&fail_at));
}

static inline void *counted(void *block)
{
    if (block != NULL)
        atomic_fetch_add(&live, 1);
    return block;
}

/* For the libraries too, whatever else is hidden. */
#pragma GCC visibility push(default)

void *malloc(size_t size)
{
    return is_refused(__builtin_return_address(0), size) ? NULL : counted(__libc_malloc(size));
}

void *calloc(size_t n, size_t size)
{
    return is_refused(__builtin_return_address(0), n * size) ? NULL
                                                             : counted(__libc_calloc(n, size));
}

int posix_memalign(void **block, size_t bound, size_t size)
{
    *block = is_refused(__builtin_return_address(0), size) ? NULL
                                                           : counted(__libc_memalign(bound, size));
    return *block != NULL ? 0 : ENOMEM;
}

void *aligned_alloc(size_t bound, size_t size)
{
    return is_refused(__builtin_return_address(0), size) ? NULL
                                                         : counted(__libc_memalign(bound, size));
}

void *realloc(void *block, size_t size)
{
    if (is_refused(__builtin_return_address(0), size))
        return NULL;
    void *moved = __libc_realloc(block, size);
    return block == NULL ? counted(moved) : moved;
}

void free(void *block)
{
    if (block != NULL)
        atomic_fetch_sub(&live, 1);
    __libc_free(block);
}

#pragma GCC visibility pop

/* What an operation came to. */
typedef struct outcome {
    bool done;    /* it said so */
    bool blamed;  /* it said that memory ran out */
    aw_text text; /* what it gave, for comparison */
} outcome;

typedef void operation(outcome *outcome);

/* From here on nothing is refused; how much was asked for until then. */
static inline long stop_refusing(void)
{
    static long until;
    if (atomic_exchange(&refusing, false))
        until = atomic_load(&asked);
    return until;
}

static inline void start_refusing(long k, bool on)
{
    fail_on = on;
    atomic_store(&asked, 0);
    atomic_store(&fail_at, k);
    atomic_store(&refusing, true);
}

/* Whether the k-th is the first that these callers asked for. */
static inline bool is_new(long k)
{
    for (long i = 0; i < k && k < MOST_NOTED; i++)
        if (noted[i] == noted[k])
            return false;
    return k < MOST_NOTED;
}

/* Whether the k-th is refused alone (on 0) or with all after it (on 1): the first 40 are both,
 * later ones the first of all callers and every stride-th, which are both with a stride of 1, else
 * one or the other in turn. */
static inline bool is_tried(long k, int on, long stride)
{
    if (k < 40 || stride == 1)
        return true;
    return k % 2 == on && (k % stride == 0 || is_new(k));
}

/* Runs undisturbed, then with allocations refused in turn. Every outcome must be the undisturbed
 * one or be blamed on memory, and every block given back. */
static inline void refuse(operation *run, long stride)
{
    outcome whole = {0};
    void *frame[1];
    backtrace(frame, 1);
    run(&whole); /* what libraries allocate once and for all */
    aw_text_free(&whole.text);
    whole = (outcome){0};
    memset(noted, 0, sizeof noted);
    noting = true;
    start_refusing(LONG_MAX, false);
    run(&whole);
    const long all = stop_refusing();
    noting = false;
    ck_assert_int_gt(all, 3);
    for (long k = 0; k < all; k++)
        for (int on = 0; on < 2; on++) {
            outcome broken = {0};
            if (!is_tried(k, on, stride))
                continue;
            const long before = atomic_load(&live);
            start_refusing(k, on);
            run(&broken);
            stop_refusing();
            const bool same = broken.done == whole.done && broken.text.n == whole.text.n &&
                              memcmp(broken.text.at, whole.text.at, whole.text.n) == 0;
            ck_assert_msg(broken.blamed || same, "allocation %ld%s: done %d of %d but not the same",
                          k, on ? " and all after it" : "", broken.done, whole.done);
            aw_text_free(&broken.text);
            ck_assert_msg(atomic_load(&live) == before, "allocation %ld: %ld blocks lost", k,
                          atomic_load(&live) - before);
        }
    aw_text_free(&whole.text);
}

static inline void refuse_each(operation *run)
{
    refuse(run, 1);
}

/* Of a run with hundreds of like parts; with AW_WHOLE each allocation. */
static inline void refuse_some(operation *run)
{
    refuse(run, getenv("AW_WHOLE") != NULL ? 1 : 31);
}

#endif
#endif
