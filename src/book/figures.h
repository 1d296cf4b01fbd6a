/* The report's figures as sheets: charts of each tag's floor, bearings of the weakest spot, curves.
 */
#ifndef AW_BOOK_FIGURES_H
#define AW_BOOK_FIGURES_H

#include "book/studies.h"

/* Draws those that the sections want into `pictures`. False if stopped (no complaint) or with an
 * error. */
bool aw_figures_draw(aw_studies *studies, const aw_run *run);

/* Bearings of a spot in a compass: clear ones full, hidden ones broken to a cross where they are
 * met, those out of range to a ring. False without memory (an error). */
bool aw_rose_draw(aw_sheet *sheet, const aw_explanation *explanation, const aw_scenario *scenario,
                  aw_errors *errors);

/* p95 over what is asked, for each zone with a need, against the number of anchors; at most six
 * zones, those that are highest at the end. Likewise. */
bool aw_ratio_draw(aw_sheet *sheet, const aw_sweep *sweep, aw_errors *errors);

#endif
