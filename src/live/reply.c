/* A text that is filled at one end and emptied at the other, under a lock. */
#include <pthread.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/text.h"
#include "live/reply.h"

/* Bits of `flags`. */
#define ESTIMATE 1u

struct aw_reply {
    pthread_mutex_t lock;
    aw_wake *wake;
    void *sleeper; /* the sender that waits, or NULL */
    aw_text text;
    size_t taken; /* of it */
    unsigned holders;
    bool ended, abandoned;
};

aw_reply *aw_reply_create(aw_wake *wake)
{
    aw_reply *r = calloc(1, sizeof *r);
    if (r == NULL)
        return NULL;
    pthread_mutex_init(&r->lock, NULL);
    r->wake = wake;
    r->holders = 2;
    return r;
}

void aw_reply_let_go(aw_reply *r)
{
    if (r == NULL)
        return;
    pthread_mutex_lock(&r->lock);
    const bool last = --r->holders == 0;
    pthread_mutex_unlock(&r->lock);
    if (!last)
        return;
    pthread_mutex_destroy(&r->lock);
    aw_text_free(&r->text);
    free(r);
}

static void wake(aw_reply *r)
{
    if (r->sleeper != NULL)
        r->wake(r->sleeper);
    r->sleeper = NULL;
}

static void add_word(aw_text *out, uint32_t value, int bytes)
{
    for (int i = 0; i < bytes; i++)
        aw_text_add_bytes(out, &(char){(char)(value >> (8 * i))}, 1);
}

bool aw_reply_put(aw_reply *r, const aw_frame *f)
{
    const size_t padding = (4 - f->n % 4) % 4;
    pthread_mutex_lock(&r->lock);
    const bool wanted = !r->abandoned && !r->ended;
    if (wanted) {
        add_word(&r->text, (uint32_t)(12 + f->n + padding), 4);
        add_word(&r->text, f->rev, 4);
        add_word(&r->text, (uint32_t)f->kind, 2);
        add_word(&r->text, f->estimate ? ESTIMATE : 0, 2);
        add_word(&r->text, f->draws, 4);
        aw_text_add_bytes(&r->text, f->n > 0 ? f->body : "", f->n);
        aw_text_add_bytes(&r->text, "   ", padding);
        wake(r);
    }
    const bool done = wanted && !r->text.failed;
    pthread_mutex_unlock(&r->lock);
    return done;
}

void aw_reply_end(aw_reply *r)
{
    pthread_mutex_lock(&r->lock);
    r->ended = true;
    wake(r);
    pthread_mutex_unlock(&r->lock);
}

void aw_reply_abandon(aw_reply *r)
{
    pthread_mutex_lock(&r->lock);
    r->abandoned = true;
    r->sleeper = NULL;
    pthread_mutex_unlock(&r->lock);
}

/* What was taken makes room once it is most of the text. */
static void forget_taken(aw_reply *r)
{
    if (r->taken < r->text.n / 2 && r->taken < r->text.n)
        return;
    memmove(r->text.at, r->text.at + r->taken, r->text.n - r->taken);
    r->text.n -= r->taken;
    r->taken = 0;
}

ssize_t aw_reply_take(aw_reply *r, char *to, size_t most, void *sender, aw_wake *pause)
{
    pthread_mutex_lock(&r->lock);
    size_t n = r->text.n - r->taken;
    n = n < most ? n : most;
    ssize_t got = (ssize_t)n;
    if (n > 0) {
        memcpy(to, r->text.at + r->taken, n);
        r->taken += n;
        forget_taken(r);
    } else if (r->ended) {
        got = -1;
    } else {
        r->sleeper = sender;
        pause(sender);
    }
    pthread_mutex_unlock(&r->lock);
    return got;
}
