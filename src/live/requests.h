/* What each request does, behind the guard and without HTTP. */
#ifndef AW_LIVE_REQUESTS_H
#define AW_LIVE_REQUESTS_H

#include <pthread.h>

#include "live/desk.h"
#include "live/session.h"
#include "live/waiter.h"

/* All that requests work on. The lock is held while one is answered, and while the computing thread
 * tells what it found. */
typedef struct aw_floor_plan {
    pthread_mutex_t lock;
    aw_session session;
    aw_desk *desk;
    char tag[256]; /* the name of the one that is shown; "": the first */
    char *picture; /* the file that was put beside the scenario last, or NULL; owned */
    bool closing;
} aw_floor_plan;

/* What is to be sent: a text at once, a reply that goes on, or a text later. */
typedef struct aw_answering {
    unsigned status;
    aw_text text;
    aw_reply *reply;   /* held; or NULL */
    aw_waiter *waiter; /* held: will be told; or NULL */
} aw_answering;

typedef struct aw_request {
    const char *method, *path;
    const char *body;
    size_t n;
    aw_wake *wake; /* of whom an answer that is not there yet is sent by */
} aw_request;

/* Largest body of a request, bytes. */
#define AW_MOST_BODY    ((size_t)64 << 10)
#define AW_MOST_PICTURE ((size_t)16 << 20)

/* Whether there is such a request, with any method. */
bool aw_request_is_known(const char *path);

/* How long its body may be. */
size_t aw_request_room(const char *path);

void aw_request_answer(aw_floor_plan *plan, const aw_request *request, aw_answering *outcome);

#endif
