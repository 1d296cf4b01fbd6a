/* The tolerance budget. */
#ifndef AW_WHATIF_TOLERANCE_H
#define AW_WHATIF_TOLERANCE_H

#include "anchorwise/sensitivity.h"

/* Units of work for a watch, about. */
size_t aw_tolerances_work(const aw_scenario *scenario);

/* Fills the tolerances of a sensitivity whose zones are known. False if stopped (no complaint) or
 * without memory (an error). */
bool aw_tolerances_run(aw_sensitivity *sensitivity, const aw_scenario *scenario, const aw_run *run);

#endif
