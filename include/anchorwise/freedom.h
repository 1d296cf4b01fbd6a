/** @file freedom.h
 *  Where each anchor may hang instead, while no need fails: there is always a duct in the way.
 *
 *  - Each anchor by itself, all others as planned: a region of the plan at its own height, and a
 *    band of heights at its own place. One or the other, not both, and one anchor at a time.
 *  - Samples stand on a grid about the anchor, at the corners and centres of squares. A sample can
 * be mounted if it is inside the outline, in no obstacle, wall or forbidden area, and at least 1 m
 * from every other anchor; this is not asked of the anchor's own place.
 *  - Linear estimates (rank-one updates, sums.h) say what a sample uses of each need: a length over
 *    what is asked, what is asked over a share; the largest part of a zone counts. They are set to
 * the draws' figures at the anchor's own place. Up to which level of use the draws still hold is
 * found by draws of samples just under it, zone by zone, so that odds and zone share count too, and
 * the border of what comes out is drawn once more: what does not hold there is given up, and the
 *    first place beyond is given back if it does hold. So what ends a side was drawn and failed; a
 *    share of cells, which has no interval, holds with one cell in hand if it does so as planned.
 *  - The region is made of squares whose samples all can be mounted and hold, joined side to side
 *    with the anchor's own place.
 *  - Zones whose need does not hold by its value today are left out, and told.
 *  - All anchors together: what is left of every part of every need that is met as planned, ln of
 *    asked over the worse end of the interval (for shares of what they lack), is shared out. What
 *    an anchor's region of half-size r costs is the largest rise of ln of the figure with that
 *    anchor alone at a corner of it, by the same random numbers; rises add up at worst, since
 * opposite moves cancel. Regions are their own ones cut to a factor of their size, the same for
 * all, found by halving so that every need keeps 2 %, then raised by 5 cm in turn. 200 draws put
 * all anchors at random corners at once, each with a seed that chose nothing: until every need is
 * met in 97 % of these, regions are made smaller.
 *
 *  Lengths in m.
 */
#ifndef ANCHORWISE_FREEDOM_H
#define ANCHORWISE_FREEDOM_H

#include <stdbool.h>
#include <stddef.h>

#include "anchorwise/assess.h"
#include "anchorwise/error.h"
#include "anchorwise/scenario.h"
#include "anchorwise/watch.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

/** Squares from an anchor to the end of the search; reach that is searched if none is asked for, m.
 */
#define AW_FREEDOM_STEPS 8
#define AW_FREEDOM_REACH 2.0
/** Squares along a side of the grid. */
#define AW_FREEDOM_SQUARES (2 * AW_FREEDOM_STEPS)

typedef enum aw_side {
    AW_SIDE_EAST, /**< +x */
    AW_SIDE_NORTH,
    AW_SIDE_WEST,
    AW_SIDE_SOUTH,
    AW_SIDE_UP,
    AW_SIDE_DOWN,
    AW_SIDES
} aw_side;

/** What ends an anchor's freedom on a side. */
typedef enum aw_limit_kind {
    AW_LIMIT_REACH,     /**< nothing: no further was searched */
    AW_LIMIT_OUTLINE,   /**< outside the floor's outline, or under the floor or over the ceiling */
    AW_LIMIT_FILLED,    /**< an obstacle or wall */
    AW_LIMIT_FORBIDDEN, /**< a forbidden area of the `candidates` */
    AW_LIMIT_CROWDED,   /**< within 1 m of another anchor */
    AW_LIMIT_CARRIER, /**< off the outline, wall or line of candidates by which the anchor hangs */
    AW_LIMIT_MOUNT,   /**< above every mount of the scenario's prices */
    AW_LIMIT_NEED     /**< a zone's need */
} aw_limit_kind;

typedef struct aw_limit {
    aw_limit_kind kind;
    double distance;  /**< along that side, from the anchor's place */
    double beyond[3]; /**< the sample by which it ends */
    /* Of a need: */
    size_t zone;
    aw_part part;       /**< that fails there */
    aw_estimate found;  /**< its value there, by draws */
    aw_verdict verdict; /**< of that part there: not met, or undecided: on the line */
    bool in_hand; /**< it holds, but not with the cell in hand that it has with the anchor in place
                   */
} aw_limit;

/** Why an anchor stands still while all others move too. */
typedef enum aw_still {
    AW_STILL_NOT,     /**< it moves */
    AW_STILL_ASKED,   /**< it was asked to */
    AW_STILL_NO_ROOM, /**< it has no region of its own, and no band */
    AW_STILL_NEED     /**< under 5 cm are left to it by a need */
} aw_still;

/** An anchor's part of what all may move by together. */
typedef struct aw_shared {
    double half; /**< its region and band go so far to every side where they go that far, m; 0: it
                      stands still */
    aw_still still;
    size_t zone;  /**< whose need leaves it none; n_zones: none does */
    aw_part part; /**< of that need; AW_PARTS: not told */
} aw_shared;

/** What a zone's need has left to share. */
typedef struct aw_shared_need {
    bool held;    /**< it is met as planned; else it is not held */
    double left;  /**< share of what is asked that is left, of the tightest part; NaN if not held */
    aw_part part; /**< that part */
} aw_shared_need;

/** Draws of corners of all regions at once. */
#define AW_CORNER_DRAWS 200

typedef struct aw_freedom {
    size_t anchor;
    /** Square (i, j), i from the west, j from the south, of which the anchor's place is the corner
     *  between the middle four. */
    bool square[AW_FREEDOM_SQUARES][AW_FREEDOM_SQUARES];
    /** Squares outside it in which something could be mounted but for a need. */
    bool fails[AW_FREEDOM_SQUARES][AW_FREEDOM_SQUARES];
    size_t limiting_zone; /**< zone whose need ends the region somewhere; n_zones: none does */
    double area;          /**< m^2 */
    double low, high;     /**< band of heights at the anchor's own place */
    aw_limit sides[AW_SIDES];
    aw_shared shared; /**< if all move together */
} aw_freedom;

typedef struct aw_freedoms {
    double reach, step;    /**< step: side of a square */
    size_t n;              /**< anchors looked at */
    aw_freedom *list;      /**< owned */
    aw_zone_result *today; /**< each zone as planned; owned */
    bool *kept;    /**< of each zone: whether its need holds today, so that it is kept; owned */
    size_t n_kept; /**< 0: there is no need to keep, and no anchor is looked at */
    bool together; /**< whether aw_freedom_share() filled what follows */
    aw_shared_need *shared; /**< of each zone; owned; NULL: not shared */
    size_t corners_met;     /**< of AW_CORNER_DRAWS, those that met every need that regions touch;
                                 0 if all anchors stand still */
} aw_freedoms;

/** Corner (i, j) of the squares in m, i and j from 0 to AW_FREEDOM_SQUARES. */
aw_point aw_freedom_corner(const aw_freedoms *freedoms, const double at[3], size_t i, size_t j);

/** Whether a place (m) at the anchor's own height lies in its region. */
bool aw_freedom_holds(const aw_freedoms *freedoms, const aw_freedom *freedom,
                      const aw_scenario *scenario, aw_point at);

/** Whether any of square (i, j) lies in what is left of its region while all anchors move. */
bool aw_freedom_shares(const aw_freedoms *freedoms, const aw_freedom *freedom, size_t i, size_t j);

/** Corner (i, j) of such squares, cut to what is left, in m. */
aw_point aw_freedom_shared_corner(const aw_freedoms *freedoms, const aw_freedom *freedom,
                                  const double at[3], size_t i, size_t j);

/** Units of work for a watch. 0 without memory. */
size_t aw_freedom_work(const aw_scenario *scenario, size_t n_anchors);

/** Looks at one anchor of a scenario that passed aw_map_check(), or with `anchor` = n_anchors at
 * all, within `reach`. False if stopped (no complaint) or without memory (an error);
 *  aw_freedom_free() it either way. watch may be NULL. */
bool aw_freedom_run(aw_freedoms *freedoms, const aw_scenario *scenario, size_t anchor, double reach,
                    const aw_run *run);

/** Shares freedom out among all anchors, which must have been looked at; those for which still[]
 *  (NULL: none) stand where they are. False as above. */
bool aw_freedom_share(aw_freedoms *freedoms, const aw_scenario *scenario, const bool still[],
                      const aw_run *run);
void aw_freedom_free(aw_freedoms *freedoms);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
