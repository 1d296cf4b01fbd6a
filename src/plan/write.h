/** @file
 *  The text of a scenario from what was made of a plan: a new one, or patches of one that is there.
 */
#ifndef AW_PLAN_WRITE_H
#define AW_PLAN_WRITE_H

#include "anchorwise/edit.h"
#include "plan/made.h"

/* Adds a whole scenario. `from` names the plan. Without anchors in the plan a first guess stands in
 * corners of the outline. False with an error: no outline. */
bool aw_made_write(const aw_made *made, const char *from, aw_text *out, aw_errors *errors);

/* Replaces the lists that the plan gives and leaves all else as it is written. */
bool aw_made_patch(const aw_made *made, const char *from, aw_edit *edit, aw_errors *errors);

#endif
