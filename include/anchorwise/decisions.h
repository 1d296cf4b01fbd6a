/** @file decisions.h
 *  In which zone a tag is reported, how far from a border that can be relied on, and what accuracy
 * a zone decision takes.
 *
 *  - The confusion table: a row for the zone a tag is in, by its own tag; columns for the zones its
 *    fixes are reported in (a fix may count in several that overlap), for elsewhere and for no fix.
 *    Tags stand evenly over the zone: every draw of every cell whose square reaches into the zone
 * is moved within the square by a fixed low-discrepancy offset named by the draw, with the error it
 *    has at the cell's centre; what then stands outside the zone is dropped. The diagonal is the
 *    zone detection probability of ISO/IEC 18305.
 *  - The setback of a zone: how far inside its border a tag must be so that at least 99 % of its
 *    blinks are reported inside, and how far outside so that at most 1 % are. The border is walked,
 *    each step along every edge and every corner. From each point a tag goes along the steepest
 *    rise of the distance from the border (square off an edge, along the bisector of a corner, up
 *    to the zone's middle), and the errors are drawn afresh at the places it comes to, until the
 *    decision is right often enough. The setback is the largest distance from the border that a
 *    point asks for. A failed fix is not reported. For errors that are normal with sigma along each
 *    axis: a straight border asks for 2.326 sigma, a square corner for 2.575 sigma, and a strip
 *    under 5.15 sigma has no setback.
 *  - The five weakest border points of either side are drawn again with 16 times as many other
 *    draws, and only what these give is told.
 *
 *  Lengths in m. NaN where a value does not exist.
 */
#ifndef ANCHORWISE_DECISIONS_H
#define ANCHORWISE_DECISIONS_H

#include "anchorwise/assess.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** Share of right decisions that a setback asks for. */
#define AW_RIGHT 0.99

typedef struct aw_setback {
    double depth;         /**< from the border; NaN: none */
    double at[2];         /**< the border point that asks for it; NaN if none can ask */
    double place[2];      /**< where a tag is that far from it, or without a depth the place on the
                             way that comes nearest to right */
    double share, no_fix; /**< there: reported inside, and without a fix */
    aw_taken beyond; /**< inside: what no tag can be in across a border that is nearest to `place`,
                          within half a step; names are the scenario's */
    size_t cramped;  /**< border points passed over: where no tag can be any deeper, since the
                        floor ends or something stands there, decisions are not yet right */
    double cramped_at[2]; /**< the worst of them; NaN if there is none */
    double cramped_share; /**< reported inside at the best place off it */
} aw_setback;

/** Why there is a setback, or none. */
typedef enum aw_setback_reason {
    AW_SETBACK_FOUND,
    AW_SETBACK_NARROW,            /**< more than 1 % of draws are reported on the wrong side */
    AW_SETBACK_NO_FIX,            /**< more than 1 % of draws have no fix */
    AW_SETBACK_NARROW_AND_NO_FIX, /**< both, or neither alone */
    AW_SETBACK_NO_ROOM,           /**< no tag can be deep enough anywhere */
    AW_SETBACK_NO_TAG             /**< no tag can be on that side of the border at all */
} aw_setback_reason;

aw_setback_reason aw_setback_why(const aw_setback *setback, bool inside);

typedef struct aw_zone_decisions {
    aw_estimate *reported; /**< in each of the scenario's zones */
    aw_estimate elsewhere, no_fix;
    aw_setback inside, outside;
    double right_share; /**< of the zone's area where at least 99 % are reported inside */
} aw_zone_decisions;

typedef struct aw_decisions {
    aw_zone_decisions *zones; /**< one for each of the scenario's zones; owned */
    aw_estimate *shares;      /**< what their `reported` point into; owned */
} aw_decisions;

/** Units of work that aw_decisions_run() reports to a watch. 0 without memory. */
size_t aw_decisions_work(const aw_scenario *scenario);

/** Fills the decisions of a scenario that passed aw_map_check(). False if stopped (no complaint) or
 * without memory (an error); aw_decisions_free() it either way. watch may be NULL. */
bool aw_decisions_run(aw_decisions *decisions, const aw_scenario *scenario, const aw_run *run);

void aw_decisions_free(aw_decisions *decisions);

/** A task that is a zone decision: in which of a row of bays or aisles, each `width` wide, is it.
 */
typedef struct aw_task {
    double width;     /**< m */
    double inside;    /**< least distance of a tag from its zone's border, m, in (0, width / 2] */
    double decisions; /**< in any time */
    double wrong;     /**< of them that may be wrong, above 0 and fewer */
} aw_task;

/** How many of the measured sets (site_law.h) reach a p95. What none reached may still be reached.
 */
typedef enum aw_reach { AW_REACHED_BY_ALL, AW_REACHED_BY_SOME, AW_REACHED_BY_NONE } aw_reach;

/** What a task takes of circular normal errors. */
typedef struct aw_task_need {
    double sigma; /**< along each axis: Phi(-inside / sigma) + Phi(-(width - inside) / sigma) is the
                       share that may be wrong */
    double p95;   /**< sigma x sqrt(-2 ln 0.05) */
    aw_reach reach;
    size_t reached; /**< by so many measured sets */
    double width;   /**< not reached by all: the zone that the p95 of all measured sets serves, if
                         tags may stand as far from the middle; else NaN */
} aw_task_need;

aw_task_need aw_task_asks(const aw_task *task);

/** The least and the largest p95 of the measured sets, m. */
void aw_measured_p95(double ends[2]);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
