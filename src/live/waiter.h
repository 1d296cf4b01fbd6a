/* A request that is answered whole, but later: by the thread that computes. */
#ifndef AW_LIVE_WAITER_H
#define AW_LIVE_WAITER_H

#include "anchorwise/text.h"
#include "live/reply.h"

typedef struct aw_waiter aw_waiter;

/* Held once by each of two: who answers and who sends. NULL without memory. */
aw_waiter *aw_waiter_create(aw_wake *wake);
void aw_waiter_let_go(aw_waiter *waiter);

/* An answer: JSON, or a picture that is so large in the units of its points. */
typedef struct aw_told {
    unsigned status;
    aw_text text;
    bool is_picture; /* PNG */
    double width, height;
} aw_told;

/* Takes the answer over, and wakes the sender. */
void aw_waiter_tell(aw_waiter *waiter, aw_told *told);

/* Takes the answer; if there is none yet, false, and `rest` was called with the sender, who will be
 * woken. */
bool aw_waiter_take(aw_waiter *waiter, aw_told *told, void *sender, aw_wake *rest);

/* The sender has gone. */
void aw_waiter_abandon(aw_waiter *waiter);

#endif
