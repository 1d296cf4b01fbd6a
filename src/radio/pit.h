/* Ground round a pit. */
#ifndef AW_RADIO_PIT_H
#define AW_RADIO_PIT_H

#include "anchorwise/scenario.h"

/* Where a segment first runs into the ground beside a pit. */
typedef struct aw_pit_edge {
    const aw_level *level; /* NULL: nowhere */
    double share;          /* of the segment, 0 to 1; infinity: nowhere */
} aw_pit_edge;

/* Ground reaches up to the floor beside the pit's edge, at most to the finished floor: a mezzanine
 * is open underneath. */
aw_pit_edge aw_pit_meet(const aw_scenario *scenario, const double from[3], const double to[3]);

#endif
