/* Whether parts of two scenarios are the same. */
#ifndef AW_ASSESS_COMPARE_CHECK_H
#define AW_ASSESS_COMPARE_CHECK_H

#include "anchorwise/scenario.h"

/* NaN is the same as NaN. */
bool aw_same_number(double a, double b);
bool aw_same_polygon(const aw_polygon *a, const aw_polygon *b);

/* All but their names. */
bool aw_same_material(const aw_material *a, const aw_material *b);

#endif
