/** @file
 *  Places for anchors: what is in their way. */
#ifndef AW_PLACE_MOUNTABLE_H
#define AW_PLACE_MOUNTABLE_H

#include "anchorwise/candidates.h"

/* What solid thing already fills the place: its name, and in `kind` "obstacle" or "wall"; NULL if
 * nothing does. */
const char *aw_filled_by(const aw_scenario *scenario, aw_point at, double height,
                         const char **kind);

/* Whether something does. */
bool aw_is_filled(const aw_scenario *scenario, aw_point at, double height);

/* Whether an anchor hangs so near that the two share their reflections; `except` is not asked. */
bool aw_is_crowded(const aw_scenario *scenario, aw_point at, double height, size_t except);

/* What holds an anchor along the outline and on both sides of walls: called at places 0.3 m off it,
 * at most `apart` (m) from each other, with the heights from which to which it stands. */
typedef void aw_mount_visit(void *context, aw_point at, double low, double high);
void aw_mounts_walk(const aw_scenario *scenario, double apart, aw_mount_visit *visit,
                    void *context);

/* Length of it all, m. */
double aw_mounts_length(const aw_scenario *scenario);

#endif
