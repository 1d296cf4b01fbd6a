/* Adding to a list of mismatches. */
#ifndef AW_ASSESS_MISMATCH_H
#define AW_ASSESS_MISMATCH_H

#include "anchorwise/mismatch.h"

/* The next item, its `what` set; NULL without memory. */
aw_mismatch *aw_mismatch_add(aw_mismatches *list, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Adds two numbers if they differ. */
void aw_mismatch_number(aw_mismatches *list, const char *block, const char *key, const char *unit,
                        double a, double b);

/* Adds two texts if they differ; NULL is "none". */
void aw_mismatch_words(aw_mismatches *list, const char *block, const char *key, const char *a,
                       const char *b);

/* Materials, obstacles, walls and tags, each by its name. */
void aw_mismatch_things(aw_mismatches *list, const aw_scenario *a, const aw_scenario *b);

#endif
