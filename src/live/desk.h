/* The one thread that computes. What it works on is the latest look at the scenario, in stages that
 * sharpen; a newer look overtakes it between any two chunks of work, and so does a task, after
 * which the look goes on. */
#ifndef AW_LIVE_DESK_H
#define AW_LIVE_DESK_H

#include "live/linear.h"
#include "live/reading.h"
#include "live/reply.h"

typedef struct aw_desk aw_desk;

/* A scenario to be looked at. */
typedef struct aw_look {
    aw_reading *reading; /* held */
    aw_reply *reply;     /* held */
    char *scene;         /* JSON that goes with the first answer, or NULL; owned */
    size_t tag;
    aw_reading *base; /* held: the reading is that but for the place of anchor `moved` */
    size_t moved;     /* AW_NONE_MOVES: base is the reading itself */
    aw_reading *was;  /* before the step whose effect it shows, held; NULL: it shows none */
    size_t step;      /* that step, counted from 1 */
    char *words;      /* what it did, or NULL; owned */
    bool held;        /* the hand is down: no step yet */
    uint32_t rev;
} aw_look;

/* Called when a step's effect is known; by the thread that computes. */
typedef struct aw_effect_sink {
    void (*tell)(void *context, size_t step, const char *words);
    void *context;
} aw_effect_sink;

aw_desk *aw_desk_create(unsigned threads, aw_effect_sink sink);
void aw_desk_free(aw_desk *desk);

/* Takes a look over; the one before ends. */
void aw_desk_show(aw_desk *desk, aw_look *look);

/* Something else to be computed: `run` gets a run whose watch tells it to stop, and frees the
 * context. False if too many wait: nothing was taken. `patient`: a newer look does not stop it. */
typedef void aw_desk_task(void *context, const aw_run *run);
bool aw_desk_ask(aw_desk *desk, aw_desk_task *run, void *context, bool patient);

/* Stops the task at work. */
void aw_desk_stop_task(aw_desk *desk);
/* Of the patient task at work: from here on it holds up nobody. Before it is said that it is over.
 */
void aw_desk_make_way(aw_desk *desk);
/* Whether a patient one waits or is at work. */
bool aw_desk_is_busy(aw_desk *desk);

/* Computes until aw_desk_end() is called, or `stop` is set. */
void aw_desk_run(aw_desk *desk, const atomic_int *stop);
void aw_desk_end(aw_desk *desk);

#endif
