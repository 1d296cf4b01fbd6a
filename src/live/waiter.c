/* One text that changes hands under a lock. */
#include <pthread.h>
#include <stdlib.h>

#include "live/waiter.h"

struct aw_waiter {
    pthread_mutex_t lock;
    aw_wake *wake;
    void *sleeper; /* the sender that waits, or NULL */
    unsigned holders;
    aw_told answer;
    bool told;
};

aw_waiter *aw_waiter_create(aw_wake *wake)
{
    aw_waiter *w = calloc(1, sizeof *w);
    if (w == NULL)
        return NULL;
    pthread_mutex_init(&w->lock, NULL);
    w->wake = wake;
    w->holders = 2;
    return w;
}

void aw_waiter_let_go(aw_waiter *w)
{
    if (w == NULL)
        return;
    pthread_mutex_lock(&w->lock);
    const bool last = --w->holders == 0;
    pthread_mutex_unlock(&w->lock);
    if (!last)
        return;
    pthread_mutex_destroy(&w->lock);
    aw_text_free(&w->answer.text);
    free(w);
}

void aw_waiter_tell(aw_waiter *w, aw_told *told)
{
    pthread_mutex_lock(&w->lock);
    aw_text_free(&w->answer.text);
    w->answer = *told;
    *told = (aw_told){0};
    w->told = true;
    if (w->sleeper != NULL)
        w->wake(w->sleeper);
    w->sleeper = NULL;
    pthread_mutex_unlock(&w->lock);
}

bool aw_waiter_take(aw_waiter *w, aw_told *told, void *sender, aw_wake *rest)
{
    pthread_mutex_lock(&w->lock);
    const bool is_told = w->told;
    if (is_told) {
        *told = w->answer;
        w->answer.text = (aw_text){0};
    } else {
        w->sleeper = sender;
        rest(sender);
    }
    pthread_mutex_unlock(&w->lock);
    return is_told;
}

void aw_waiter_abandon(aw_waiter *w)
{
    pthread_mutex_lock(&w->lock);
    w->sleeper = NULL;
    pthread_mutex_unlock(&w->lock);
}
