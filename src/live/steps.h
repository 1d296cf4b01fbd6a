/* What was done to a text, as differences: bytes taken out at a place and bytes put in. Going back
 * and forward gives the same bytes, however often. */
#ifndef AW_LIVE_STEPS_H
#define AW_LIVE_STEPS_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/text.h"

/* Texts are owned and end with a NUL; `out` and `in` are UTF-8 by themselves if the texts are. */
typedef struct aw_step {
    size_t at;
    char *out, *in;
    char *words;  /* what was done */
    char *effect; /* what it did to zones and price; NULL: not known yet */
    char *ops;    /* JSON, to be done again on another text; NULL: there are none */
} aw_step;

typedef struct aw_steps {
    aw_step *list;
    size_t n, room;
    size_t done; /* of them */
} aw_steps;

/* The difference of two texts; false without memory. */
bool aw_step_find(aw_step *step, const aw_text *before, const aw_text *after);
void aw_step_free(aw_step *step);

/* Lays a step's difference, or its inverse, on a text. False without memory, or if the text is not
 * the one that the step belongs to; the text is then as it was. */
bool aw_step_lay(const aw_step *step, bool back, aw_text *text);

/* Room for one more, so that it can be added without fail; false without memory. */
bool aw_steps_make_room(aw_steps *steps);

/* Takes a step over behind those done; what could be gone forward to is forgotten. False without
 * memory, the step then freed. */
bool aw_steps_add(aw_steps *steps, aw_step *step);

void aw_steps_free(aw_steps *steps);

#endif
