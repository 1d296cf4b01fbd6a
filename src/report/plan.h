/** @file
 *  What a plan holds and what became of it, for people and for programs. */
#ifndef AW_REPORT_PLAN_H
#define AW_REPORT_PLAN_H

#include "plan/made.h"
#include "report/shape.h"

typedef struct aw_told_plan {
    const char *file;
    const aw_plan *plan;
    const aw_unit_verdict *verdict;
    const aw_rules *rules; /* those given, or guessed */
    bool guessed;
    const aw_made *made; /* NULL: the plan was only listed */
} aw_told_plan;

extern const aw_shape aw_plan_shape;

void aw_plan_words(const aw_told_plan *told, aw_text *out);
void aw_plan_json(const aw_told_plan *told, aw_text *out);

#endif
