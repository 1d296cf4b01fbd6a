/** @file sensitivity.h
 *  Which assumptions matter most, and how large the tolerances may be.
 *
 *  - Each assumption has a range, stated in the scenario or the standard one of its row. It is set
 *    to either end by itself, all else as today, with the same random numbers: the difference of
 *    p95 is the assumption's, and its interval is that of the difference.
 *  - Jointly: AW_JOINT draws of all assumptions together, each independent of the others, at either
 *    side of today's value with even odds and evenly spread there; where today's value lies outside
 *    a stated range, evenly over it. The draws name the same random numbers every time, so what
 *    differs is the assumptions. A draw holds a need if every part does by its value; the odds, a
 *    run of its own, are left out.
 *  - Tolerances: the largest of a ladder of round values at which every need is still met, one at a
 *    time, all else as today. Found by few draws, confirmed by all of the study's: what is told was
 *    met by a verdict. A zone that is not met even with none of that error is left out and named.
 *  - A budget: all four at once. From none of them on, what each uses of every need (ln of the
 *    figure, the same random numbers) is added up, which is at worst: independent errors add in
 *    squares. All are taken as many rungs below their single tolerances as leaves every need 2 %,
 *    then raised in turn. Looks with seeds that chose nothing confirm it with a margin; where they
 *    refuse it, what uses most of the need refused goes down a rung.
 *
 *  Without zones the floor is looked at, by the first tag. Lengths in m; NaN where a value does not
 *  exist.
 */
#ifndef ANCHORWISE_SENSITIVITY_H
#define ANCHORWISE_SENSITIVITY_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/assess.h"
#include "anchorwise/error.h"
#include "anchorwise/scenario.h"
#include "anchorwise/vary.h"
#include "anchorwise/watch.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/* sigma, range and budget_db are about links without a radio, the last four about those with one.
 *
 * To add an assumption: a name here (at the end, since its number names random numbers), a member
 * of aw_assumptions with a row in fields.c, a row in assumptions.c with what today's value is and
 * how another one is put into a scenario. Tables, JSON and the chart loop over the rows. */
typedef enum aw_assumption {
    AW_ASSUME_TOPS,
    AW_ASSUME_LOSSES,
    AW_ASSUME_DELAYS,
    AW_ASSUME_SIGMA,
    AW_ASSUME_SPOT,
    AW_ASSUME_TAIL_SHARE,
    AW_ASSUME_TAIL,
    AW_ASSUME_SURVEY,
    AW_ASSUME_DELAY,
    AW_ASSUME_TAG_HEIGHTS,
    AW_ASSUME_HEIGHT_SIGMAS,
    AW_ASSUME_RANGE,
    AW_ASSUME_BUDGET,
    AW_ASSUME_FLOOR,
    AW_ASSUME_POWER,
    AW_ASSUME_RECEIVER,
    AW_ASSUME_SHADOWING,
    AW_ASSUMPTIONS
} aw_assumption;

typedef enum aw_assumption_range_unit {
    AW_ASSUMED_LENGTH, /**< on the site, m */
    AW_ASSUMED_ERROR,  /**< an error, m */
    AW_ASSUMED_SHARE,
    AW_ASSUMED_TIMES,
    AW_ASSUMED_DB
} aw_assumption_range_unit;

typedef struct aw_assumption_row {
    const char *key;  /**< of the scenario's `assumptions`, and where data leave the program */
    const char *name; /**< for people */
    aw_assumption_range_unit unit;
    size_t offset;       /**< into aw_assumptions */
    bool relative;       /**< the standard range is times today's value, else it is the range */
    double low, high;    /**< standard range; both 0: that of days, AW_VISIT_FACTOR */
    const char *footing; /**< why that range */
    double limits[2];    /**< what a value may be */
} aw_assumption_row;

extern const aw_assumption_row aw_assumption_rows[AW_ASSUMPTIONS];

typedef struct aw_assumption_range {
    bool present; /**< false: the scenario has nothing that it is about; all else is NaN */
    bool stated;  /**< by the scenario */
    double today, low, high;
} aw_assumption_range;

aw_assumption_range aw_assumption_range_of(const aw_scenario *scenario, aw_assumption assumption);

/** Sets one assumption of a varied scenario; all those that are not NaN. False without memory. */
bool aw_varied_assume(aw_varied *varied, aw_assumption assumption, double value);
bool aw_varied_assume_all(aw_varied *varied, const double values[AW_ASSUMPTIONS]);

/** Values of one joint draw, NaN for what is not present. */
void aw_assumptions_draw(const aw_scenario *scenario, uint32_t draw, double values[AW_ASSUMPTIONS]);

/** Joint draws. */
#define AW_JOINT 100

/** A zone with one assumption at one end of its range. */
typedef struct aw_sensitivity_end {
    aw_zone_result result;
    aw_estimate change; /**< of p95 against today's; infinite where p95 is lost, NaN if it is lost
                             either way */
} aw_sensitivity_end;

/** A zone under the joint draws. */
typedef struct aw_joint {
    double p05, p50, p95; /**< of the zone's p95 over the draws; infinite where it is lost */
    aw_estimate holding;  /**< share of draws that hold the need, exact binomial interval; NaN
                               without a need */
} aw_joint;

typedef enum aw_tolerance_kind {
    AW_TOLERANCE_SURVEY,
    AW_TOLERANCE_DELAY,
    AW_TOLERANCE_HEIGHT,
    AW_TOLERANCE_CLOCK,
    AW_TOLERANCES
} aw_tolerance_kind;

#define AW_PRACTICES 4

/** Up to a bound a tolerance takes a way of working: common practice, not of this model. */
typedef struct aw_tolerance_class {
    double up_to; /**< m; infinity ends the list */
    const char *words;
} aw_tolerance_class;

typedef struct aw_tolerance_row {
    const char *key, *name;
    aw_tolerance_class practice[AW_PRACTICES];
} aw_tolerance_row;

extern const aw_tolerance_row aw_tolerance_rows[AW_TOLERANCES];

/** Largest value that is looked at, m. */
#define AW_MOST_TOLERANCE 1.0

typedef struct aw_tolerance {
    double today; /**< m; of the clock 0: what comes on top of today's white error */
    double most;  /**< m, 0: none at all, but the needs are met with that; NaN: no room, or no need
                       is stated */
    size_t zone;  /**< whose need is the limit: fails or is undecided at the next value, or at
                       zero if there is no room; n_zones if even AW_MOST_TOLERANCE is met */
    aw_zone_result limit; /**< that zone's result there */
} aw_tolerance;

/** All four at once. */
typedef struct aw_budget {
    double most[AW_TOLERANCES]; /**< m; NaN: there is none */
    bool *held;   /**< of each zone: its need is met, with something left, where none of the four
                       errs; owned */
    size_t looks; /**< simulations with seeds that chose nothing that confirmed it; 0 without one */
} aw_budget;

/** What it takes in words; NULL without room. */
const char *aw_tolerance_words(aw_tolerance_kind kind, double most);

typedef struct aw_sensitivity {
    size_t n_zones; /**< at least 1 */
    aw_zone *zones; /**< those of the scenario, or the floor */
    aw_assumption_range assumed[AW_ASSUMPTIONS];
    aw_zone_result *today;    /**< today[zone] */
    aw_sensitivity_end *ends; /**< ends[(zone * AW_ASSUMPTIONS + assumption) * 2 + end] */
    aw_joint *joint;          /**< joint[zone] */
    aw_estimate holding;      /**< share of joint draws that hold every need; NaN without a need */
    aw_tolerance tolerances[AW_TOLERANCES];
    bool *without_room; /**< [tolerance * n_zones + zone]: not met even with none of that error, and
                             left out of that tolerance */
    aw_budget budget;
} aw_sensitivity;

const aw_sensitivity_end *aw_sensitivity_at(const aw_sensitivity *sensitivity, size_t zone,
                                            aw_assumption assumption, int end);

/** The present assumptions of a zone, what moves its p95 most first; returns how many. */
size_t aw_sensitivity_rank(const aw_sensitivity *sensitivity, size_t zone,
                           aw_assumption order[AW_ASSUMPTIONS]);

/** How far an assumption moves a zone's p95, the end that moves it more, m; infinite where p95 is
 *  lost. */
double aw_sensitivity_movement(const aw_sensitivity *sensitivity, size_t zone,
                               aw_assumption assumption);

/** Units of work for a watch. 0 without memory. */
size_t aw_sensitivity_work(const aw_scenario *scenario);

/** Runs a scenario that passed aw_map_check(). False if stopped (no complaint) or without memory
 * (an error); aw_sensitivity_free() it either way. watch may be NULL. The scenario must outlive it.
 */
bool aw_sensitivity_run(aw_sensitivity *sensitivity, const aw_scenario *scenario,
                        const aw_run *run);
void aw_sensitivity_free(aw_sensitivity *sensitivity);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
