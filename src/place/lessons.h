/* What draws teach the linear estimates: lessons that hold near the layout that was drawn. */
#ifndef AW_PLACE_LESSONS_H
#define AW_PLACE_LESSONS_H

#include "place/looks.h"

/* Holds each part's linear estimate to what the draws of this layout made of it, up or down. With
 * `loose` less is asked than that, so that a search for cheaper layouts does not trust the lesson
 * further than it reaches. */
void aw_lessons_learn(aw_fitness *fitness, const aw_looked *layout, bool loose);

/* Draws refused layouts: asks more of the parts that failed each, and only of those; the most that
 * any of them asks counts. False without memory. */
bool aw_lessons_harden(aw_fitness *fitness, aw_looked *const layouts[], size_t n);

/* Asks no more than what this layout, which draws did not refuse, gives by linear estimates. */
void aw_lessons_ease(aw_fitness *fitness, const aw_looked *layout);

#endif
