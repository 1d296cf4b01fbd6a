/* One reply that goes on while it is computed: frames put in by the thread that computes, taken out
 * by the one that sends. Frame: little-endian u32 bytes after this word, u32 rev, u16 kind, u16
 * flags, u32 draws, then the body, padded with blanks to a multiple of 4. */
#ifndef AW_LIVE_REPLY_H
#define AW_LIVE_REPLY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <sys/types.h>

typedef struct aw_reply aw_reply;

typedef enum aw_frame_kind {
    AW_FRAME_JSON = 1,
    AW_FRAME_GRID,  /* float32 p95 in m of each cell of the box, rows from low y */
    AW_FRAME_ERROR, /* JSON */
    AW_FRAME_STANDS /* the end of a reply that was not overtaken */
} aw_frame_kind;

/* What makes the sender ask again, after aw_reply_take() had nothing for it: called with what it
 * was given, by whichever thread puts something in. */
typedef void aw_wake(void *sender);

/* Held once by each of two: who fills it and who sends it. NULL without memory. */
aw_reply *aw_reply_create(aw_wake *wake);
void aw_reply_let_go(aw_reply *reply);

typedef struct aw_frame {
    uint32_t rev;
    aw_frame_kind kind;
    bool estimate;
    uint32_t draws;
    const void *body;
    size_t n;
} aw_frame;

/* Adds a frame. False without memory, or if the sender has gone: nobody waits for more. */
bool aw_reply_put(aw_reply *reply, const aw_frame *frame);

/* Nothing more will come. */
void aw_reply_end(aw_reply *reply);

/* The sender has gone. */
void aw_reply_abandon(aw_reply *reply);

/* Takes up to `most` bytes; 0: none now, the sender will be woken; -1: the end. `pause` is called
 * in the second case, before anything else can be put in. */
ssize_t aw_reply_take(aw_reply *reply, char *to, size_t most, void *sender, aw_wake *pause);

#endif
