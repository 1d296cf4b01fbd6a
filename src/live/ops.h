/* What the page asks to have changed, as changes of the scenario's text.
 *
 * An operation names a place by keys and names, `["anchors", "C2", "at"]`, and has lengths in
 * metres, whatever the file's units. Set, add (to a list), remove, rename (through every
 * reference), copy (anchors in a row). */
#ifndef AW_LIVE_OPS_H
#define AW_LIVE_OPS_H

#include <jansson.h>

#include "anchorwise/scenario.h"
#include "anchorwise/text.h"

/* A text as it reads. `bare`: it has no anchors yet, and the scenario one that stands for them. */
typedef struct aw_reading_of {
    aw_scenario scenario;
    bool bare;
} aw_reading_of;

/* Reads a text, with or without anchors. False with errors; aw_scenario_free() either way. */
bool aw_ops_read(aw_reading_of *out, const aw_text *text, aw_errors *errors);

/* Makes the operations, a JSON list, one after the other. The text is as it was after a failure. */
bool aw_ops_apply(aw_text *text, const aw_reading_of *now, json_t *ops, aw_errors *errors);

/* What they do, in words, in the units of the scenario that they are made in: "E1 moved 8.3 m". */
void aw_ops_words(json_t *ops, const aw_scenario *before, aw_text *out);

#endif
