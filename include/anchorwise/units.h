/** @file units.h
 *  Units of lengths: those of a scenario's file, and those that plans are drawn in. */
#ifndef ANCHORWISE_UNITS_H
#define ANCHORWISE_UNITS_H

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

typedef enum aw_units { AW_METRES, AW_FEET } aw_units;

/** "m" or "ft"; and how many metres one of them has. */
const char *aw_unit_name(aw_units units);
double aw_unit_metres(aw_units units);

/** Metres in one foot, exactly. */
#define AW_FOOT 0.3048

/** Units that plans are drawn in. */
typedef enum aw_plan_unit {
    AW_PLAN_MM,
    AW_PLAN_CM,
    AW_PLAN_M,
    AW_PLAN_IN,
    AW_PLAN_FT,
    AW_PLAN_UNITS
} aw_plan_unit;

/** Where the site lies in the plan that it was made from: its 0, 0 at (east, north), its x axis
 *  turned there by `turn`. */
typedef struct aw_plan_place {
    aw_plan_unit unit;  /**< of the plan */
    double east, north; /**< m */
    double turn;        /**< degrees, counter-clockwise */
} aw_plan_place;

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
