/* Places for one anchor of a layout that stands: wherever the scenario says, along outline and
 * walls, and under the ceiling, if something carries it there. */
#ifndef AW_WHATIF_MOUNTS_H
#define AW_WHATIF_MOUNTS_H

#include "anchorwise/explain.h"

typedef struct aw_mount_place {
    double at[3];
    aw_carried carried;
    size_t crowded; /* by this anchor alone; n_anchors: by none; SIZE_MAX: by several */
} aw_mount_place;

typedef struct aw_mounts {
    aw_mount_place *list; /* owned */
    size_t n, room;
} aw_mounts;

/* Outline and both sides of walls at 1 m, each 0.5 m from 1 m up to 0.3 m under the ceiling; the
 * stated candidates; and where no lines of candidates are stated a grid of 1 m, down to 3 m under
 * the ceiling. On large floors wider, so that there are some ten thousand. What is
 * filled, forbidden or above every mount is left out. False without memory; aw_mounts_free() it
 * either way. */
bool aw_mounts_list(aw_mounts *mounts, const aw_scenario *scenario);
void aw_mounts_free(aw_mounts *mounts);

/* Heights that are tried, rising; writes at most `room` and returns how many there are. */
size_t aw_mount_heights(const aw_scenario *scenario, double heights[], size_t room);
#define AW_MOST_MOUNT_HEIGHTS 64

/* Whether an anchor may hang at a place at all, but for its neighbours. */
bool aw_mount_is_open(const aw_scenario *scenario, const double at[3]);

/* What carries an anchor at a place (m) above or below where one hangs. */
aw_carried aw_mount_carried(const aw_mounts *mounts, const double at[3]);

#endif
