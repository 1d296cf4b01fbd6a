/* Whether what is assumed otherwise changes anything that the draws of a zone see. */
#ifndef AW_WHATIF_ALIKE_H
#define AW_WHATIF_ALIKE_H

#include <stdint.h>

#include "anchorwise/run.h"
#include "anchorwise/scenario.h"

/* A name of all that the draws of a zone come of, study apart: its cells, where its tag is in them
 * and how surely, every term of their links. Two scenarios with the same name draw the same figures
 * of it; different ones share a name by a chance of 2^-64. False if stopped (no complaint) or
 * without memory (an error). */
bool aw_zone_name(uint64_t *name, const aw_scenario *scenario, const aw_zone *zone,
                  const aw_run *run);

#endif
