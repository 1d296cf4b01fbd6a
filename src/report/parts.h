/** @file
 *  Needs and what became of each part of them. */
#ifndef AW_REPORT_PARTS_H
#define AW_REPORT_PARTS_H

#include "report/shape.h"

/* What is asked, of an aw_need. */
extern const aw_shape aw_need_shape;
/* The parts that count for a verdict, of an aw_part_result[AW_PARTS]. */
extern const aw_shape aw_parts_shape;

#endif
