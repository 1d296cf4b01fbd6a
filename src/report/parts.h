/** @file
 *  Needs and what became of each part of them. */
#ifndef AW_REPORT_PARTS_H
#define AW_REPORT_PARTS_H

#include "report/shape.h"

/* What is asked, of an aw_need. */
extern const aw_shape aw_need_shape;
/* The parts that count for a verdict, of an aw_part_result[AW_PARTS]. */
extern const aw_shape aw_parts_shape;

/* A member of every object that tells of a zone judged, an aw_zone_result found `inside` a
 * type: its verdicts, all by one shape. What later is known of a verdict (the range of its value,
 * its chance, its footing) is a member of that shape. */
#define AW_PARTS_MEMBER(type, inside)                                                              \
    AW_INSIDE("parts", type, inside parts, &aw_parts_shape,                                        \
              "every part that counts for the verdict")

#endif
