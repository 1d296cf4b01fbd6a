/* Causes of a spot's error, taken away one by one and together. */
#ifndef AW_STUDY_CAUSES_H
#define AW_STUDY_CAUSES_H

#include "anchorwise/explain.h"
#include "study/draw.h"

/* Fills causes and what is left without any. False if stopped (no complaint) or without memory (an
 * error). */
bool aw_causes_run(aw_explanation *explanation, const aw_drawn_spot *spot, unsigned threads,
                   aw_watch *watch, aw_errors *errors);

#endif
