/* Places for anchors: what is in their way. */
#ifndef AW_STUDY_MOUNTABLE_H
#define AW_STUDY_MOUNTABLE_H

#include "anchorwise/explain.h"

/* Whether something solid already fills the place. */
bool aw_is_filled(const aw_scenario *scenario, aw_point at, double height);

#endif
