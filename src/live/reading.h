/* A text as it reads, shared between who keeps the text and who computes. Nothing in it changes
 * after it was made; whoever lets go of it last frees it. */
#ifndef AW_LIVE_READING_H
#define AW_LIVE_READING_H

#include <stdatomic.h>

#include "anchorwise/map.h"
#include "live/ops.h"

typedef struct aw_reading {
    atomic_uint holders;
    aw_reading_of of;
    bool sound;       /* false: the scenario is empty, and the errors say why */
    aw_errors errors; /* and warnings */
} aw_reading;

/* Reads a text; NULL without memory. Held once. */
aw_reading *aw_reading_make(const aw_text *text);

aw_reading *aw_reading_hold(aw_reading *reading);
/* Of NULL too. */
void aw_reading_let_go(aw_reading *reading);

#endif
