/* Published path-loss laws, which stand beside ours, and their shadowing, which ours takes. */
#ifndef AW_RADIO_LAW_H
#define AW_RADIO_LAW_H

#include <stdbool.h>

#include "anchorwise/scenario.h"

/* Median path loss in dB at a range in m and a frequency in Hz, in line of sight or not. An open
 * outdoor place has one row. `outside` (may be NULL) tells whether the range lies outside what was
 * measured. */
double aw_law_db(aw_environment environment, bool sight, double range, double hz, bool *outside);

/* 1-sigma shadowing in dB of the row in line of sight or not. */
double aw_law_shadowing(aw_environment environment, bool sight);

#endif
