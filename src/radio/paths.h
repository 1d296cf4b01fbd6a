/** @file paths.h
 *  One link laid open: every path that its law was made of, for those who check by hand.
 *
 *  Under a `radio` block a link is a short list of paths, and the receiver times the first that it
 *  finds (docs/radio.md). With fixed figures there is one path at most, and no power.
 */
#ifndef AW_RADIO_PATHS_H
#define AW_RADIO_PATHS_H

#include "anchorwise/link.h"

typedef enum aw_path_kind {
    AW_PATH_DIRECT,   /**< the straight line, which crosses nothing */
    AW_PATH_THROUGH,  /**< the straight line, through what it crosses */
    AW_PATH_OVER,     /**< bent over tops alone */
    AW_PATH_AROUND,   /**< at upright edges alone */
    AW_PATH_MIRRORED, /**< by one reflection */
    AW_PATH_UNDER,    /**< under what hangs alone */
    AW_PATH_MIXED,    /**< at edges of several kinds */
    AW_PATH_SCATTERED /**< by no single way (scatter.h) */
} aw_path_kind;

typedef struct aw_path {
    aw_path_kind kind;
    const char *meets; /**< the body or face met that costs most, the scenario's name or "floor",
                            "ceiling"; NULL if it meets nothing */
    size_t n_meets;    /**< bodies and faces met: crossed, bent at or mirrored by */
    double loss_db;   /**< beyond free space at its own length; of what is scattered at the straight
                           range */
    double excess;    /**< m beyond the straight range, delay inside of bodies included; of what is
                           scattered the mean over spots */
    double power_dbm; /**< median at the receiver; NaN with fixed figures */
    double found;     /**< probability over shadowing that the receiver finds it */
    double first;     /**< probability that it is the one timed */
} aw_path;

/** Why no frame, or less than half of them, is received. */
typedef enum aw_hindrance {
    AW_HINDRANCE_NONE,
    AW_HINDRANCE_GROUND,     /**< fixed figures: the way leads into the ground beside a pit */
    AW_HINDRANCE_RANGE,      /**< fixed figures: out of range */
    AW_HINDRANCE_BUDGET,     /**< fixed figures: more loss than the budget */
    AW_HINDRANCE_NO_PATH,    /**< radio: no path that any fade makes strong enough */
    AW_HINDRANCE_NOISE,      /**< radio: no path clears the noise at the median */
    AW_HINDRANCE_SENSITIVITY /**< radio: all paths together are below the sensitivity there */
} aw_hindrance;

typedef struct aw_link_trace {
    aw_link link;
    aw_hindrance hindrance;
    size_t n_paths;
    aw_path paths[AW_OUTCOMES]; /**< by excess, the shortest first; what is scattered last */
    double received;            /**< probability that the frame is received and timed; 0 of a link
                                     that is lost for good */
    double elevation;           /**< of the anchor seen from the tag, rad */
    double snr_db;              /**< of the path first at the median, after processing gain */
    double bias;                /**< mean excess of what is timed, m; NaN if never received */
    double path_loss_db;        /**< ours, of all paths together; NaN without a path */
    double law_db;              /**< published law of the environment at that range; its row in line
                                     of sight for a clear link, else the other */
    bool law_extrapolated;      /**< the range lies outside that law's */
} aw_link_trace;

/** "direct", "through", "over", "around", "mirrored", "under", "mixed" or "scattered". */
const char *aw_path_kind_name(aw_path_kind kind);

/** For people: "out of range", "below the sensitivity"; "" for none. */
const char *aw_hindrance_name(aw_hindrance hindrance);

/** The link of one anchor, of the scenario or not, from a spot (x, y, z in m), with its paths.
 *  trace->link is what aw_link_at() gives. Figures in dB are NaN with fixed figures. Allocates
 *  nothing, never fails, may be called from several threads. */
void aw_link_trace_at(const aw_scene *scene, const double spot[3], const aw_anchor *anchor,
                      aw_link_trace *trace);

#endif
