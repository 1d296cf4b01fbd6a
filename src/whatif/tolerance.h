/* The tolerance budget. */
#ifndef AW_WHATIF_TOLERANCE_H
#define AW_WHATIF_TOLERANCE_H

#include "anchorwise/sensitivity.h"

/* Units of work for a watch, about. */
size_t aw_tolerances_work(const aw_scenario *scenario);

/* Fills the tolerances of a sensitivity whose zones are known. False if stopped (no complaint) or
 * without memory (an error). */
bool aw_tolerances_run(aw_sensitivity *sensitivity, const aw_scenario *scenario, const aw_run *run);

/* The ladder of round values, from 0 up to AW_MOST_TOLERANCE, m. */
double aw_tolerance_rung(size_t k);
size_t aw_tolerance_rungs(void);

/* Sets an error term of a varied scenario; of the clock what comes on top. False without memory. */
bool aw_tolerance_set(aw_varied *varied, aw_tolerance_kind kind, double value);

/* --- budget.c --- */

/* All four together, once each by itself is known. False likewise. */
bool aw_budget_run(aw_sensitivity *sensitivity, const aw_scenario *scenario, const aw_run *run);

#endif
