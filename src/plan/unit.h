/** @file
 *  The unit that a plan is drawn in. What its header says is one witness of several, since headers
 *  lie: doors, the extent, the size of texts and how lengths are written speak too. */
#ifndef AW_PLAN_UNIT_H
#define AW_PLAN_UNIT_H

#include "anchorwise/scenario.h"
#include "plan/plan.h"

/* In place of a unit: none is known. */
#define AW_PLAN_UNSURE AW_PLAN_UNITS

extern const char *const aw_plan_unit_names[AW_PLAN_UNITS + 1]; /* ends with NULL */
extern const double aw_plan_unit_metres[AW_PLAN_UNITS];

/* What one witness says, and how many points it gives to each unit. */
typedef struct aw_unit_witness {
    char says[96];
    double points[AW_PLAN_UNITS];
} aw_unit_witness;

#define AW_UNIT_WITNESSES 6

typedef struct aw_unit_verdict {
    aw_plan_unit unit; /* AW_PLAN_UNSURE: no clear lead */
    aw_unit_witness witnesses[AW_UNIT_WITNESSES];
    size_t n;
    double sum[AW_PLAN_UNITS];
    size_t n_doors;
} aw_unit_verdict;

/* False without memory. */
bool aw_unit_judge(aw_unit_verdict *verdict, const aw_plan *plan);

/* What a header's unit is called: "mm" of 4; NULL of one that no plan has. */
const char *aw_plan_header_name(int unit);

/* The unit of a name such as "mm"; AW_PLAN_UNSURE if it is none. */
aw_plan_unit aw_unit_named(const char *name);

#endif
