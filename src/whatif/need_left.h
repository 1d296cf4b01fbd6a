/* What a need has left, and what a change uses of that. */
#ifndef AW_WHATIF_NEED_LEFT_H
#define AW_WHATIF_NEED_LEFT_H

#include "anchorwise/assess.h"

/* Draws that tell what a change uses. */
#define AW_NEED_LOOKS 256

/* ln of asked over the worse end of the interval of a length, of what a share lacks; of the chance
 * by how much all errors may rise, of the odds by how much the need may be tightened. At least 0,
 * NaN of what is not asked. False if stopped or without memory (an error). */
bool aw_need_left(double *left, const aw_zone_result *today, const aw_scenario *scenario,
                  size_t zone, aw_part part, const aw_run *run);

/* A zone by AW_NEED_LOOKS draws, the odds apart. False likewise. */
bool aw_need_look(aw_zone_result *result, const aw_scenario *scenario, size_t zone,
                  const aw_run *run);

/* Rise of that from one such look to another, at least 0: of ln of a length, or of what a share
 * lacks, told by the difference at the lower end of its interval; of the largest length for odds
 * and chance, which follow from these. */
double aw_need_rise(aw_part part, const aw_zone_result *today, const aw_zone_result *was,
                    const aw_zone_result *is);

#endif
