/** @file first_scenario.h
 *  A first scenario of a rectangular hall, from its dimensions and, if there is one, the accuracy
 *  that is wished for: commented text that can be assessed as it stands, for an engineer to fill
 * in.
 *
 *  - Anchors hang along the walls, evenly and at equal heights; in a hall wider than a link reaches
 *    others hang inside, in rows. Layouts are tried from wide to close spacing, and the first is
 *    taken in which every spot of the work area hears five anchors (all, if there are fewer) and
 *    whose p95, by linear estimate, is well within the need.
 *  - The estimate knows nothing of what stands in the hall. The layout is a first guess, which the
 *    text says.
 *  - If no layout tried is estimated to reach the need, the text has the widest in which all spots
 *    hear enough, and says what the best would come to; if one just does, the text has that and
 *    says that it may not hold.
 *
 *  The text depends on the hall alone. */
#ifndef ANCHORWISE_FIRST_SCENARIO_H
#define ANCHORWISE_FIRST_SCENARIO_H

#include <stdbool.h>

#include "anchorwise/error.h"
#include "anchorwise/scenario.h"
#include "anchorwise/text.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** What is allowed of sides and heights, m. */
#define AW_HALL_LEAST       2.0
#define AW_HALL_MOST_SIDE   500.0
#define AW_HALL_MOST_HEIGHT 50.0
/** Largest need, in the units of the hall. */
#define AW_HALL_MOST_NEED 1000.0

/** A hall as the client gives it. Lengths in `units`, so that the text has them as given. */
typedef struct aw_hall {
    double length, width; /**< inside, along x and y */
    double height;        /**< to the ceiling, or to what hangs lowest under it */
    double need;          /**< p95 asked for in the work area; NaN: none is */
    aw_units units;
} aw_hall;

/** Whether the hall is one that there can be; if not, adds an error without a place for each length
 *  that is outside what is allowed: "width 0 is outside [2, 500] m". */
bool aw_hall_check(const aw_hall *hall, aw_errors *errors);

/** Adds the scenario of a hall that passed aw_hall_check() to `out`. False without memory (an
 *  error). Takes a few seconds for a hall of hundreds of metres. */
bool aw_first_scenario_write(const aw_hall *hall, aw_text *out, aw_errors *errors);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
