/* Ground round a pit. */
#ifndef AW_RADIO_PIT_H
#define AW_RADIO_PIT_H

#include "anchorwise/scenario.h"

/* The share of the segment from-to after which it runs into the ground beside a pit, 0 to 1;
 * infinity if it does not. Ground reaches up to the floor beside the pit's edge, at most to the
 * finished floor: a mezzanine is open underneath. `level` gets the pit, and may be NULL. */
double aw_pit_share(const aw_scenario *scenario, const double from[3], const double to[3],
                    const aw_level **level);

#endif
