/** @file link.h
 *  What one anchor can measure of a tag at one spot: a small law, not a number.
 *
 *  Buildings and radio end here, geometry and statistics begin. The measured arrival, in metres, is
 *
 *      rho = r + delta + b + n
 *
 *  with r the straight range, delta the unknown emission time common to all anchors, b >= 0 the
 *  excess of the path that is timed, and n the sum of the error terms below, each of mean 0.
 *
 *  Which path is timed depends on the fade of the link, in dB: outcome k is timed from its own
 *  fade_db up to the next one's; above lost_db the frame is lost. A link with fixed figures has one
 *  outcome from minus infinity and is never lost; a link that cannot be used has none.
 *
 *  Where a link scatters, one more path is found up to a fade of scattered_db, whose excess is
 * drawn once for a spot (src/radio/scatter.h): max(scattered_least, X). What comes first of it and
 * of the outcome is timed; an outcome of infinite excess is that of fades at which nothing else is
 * found.
 */
#ifndef ANCHORWISE_LINK_H
#define ANCHORWISE_LINK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "anchorwise/scenario.h"

#ifdef __cplusplus
extern "C" {
#endif
#pragma GCC visibility push(default)

#define AW_OUTCOMES 7

typedef struct aw_outcome {
    double fade_db;   /**< fade from which on this path is the first one found */
    double excess;    /**< m beyond the straight range; infinite: only what is scattered is found */
    const char *name; /**< what kind of path */
} aw_outcome;

typedef enum aw_link_state {
    AW_LINK_CLEAR,   /**< crosses nothing */
    AW_LINK_THROUGH, /**< crosses something, still usable */
    AW_LINK_LOST     /**< out of range or over the loss budget; no outcomes */
} aw_link_state;

/** All lengths in m, sigmas 1-sigma in m. */
typedef struct aw_link {
    uint32_t key;        /**< of the anchor, names its random numbers */
    double to_anchor[3]; /**< anchor minus spot */
    double range;        /**< length of to_anchor */
    double u[3];         /**< unit vector from anchor to spot, the gradient of the range */
    double white;        /**< sigma of noise and clock jitter, new for every fix */
    double spot;         /**< sigma of multipath at this spot, with probability 1 - tail_share */
    double tail;         /**< sigma of the same otherwise */
    double tail_share;
    double survey;     /**< sigma of the anchor's surveyed place, each axis */
    double delay;      /**< sigma of its cable and antenna delay */
    double believed;   /**< sigma that the solver believes, > 0 */
    double fade_sigma; /**< dB; 0: the fade is 0 in every draw */
    double lost_db;    /**< fade above which the frame is lost */
    double loss_db;    /**< sum of the losses of what the link crosses; under a radio that of the
                            path timed at the median, infinite without a path */
    bool scatters;
    double scattered_db;    /**< fade up to which what is scattered is found */
    double scattered_least; /**< m, its least excess: that of the shortest way there is */
    aw_link_state state;
    size_t n_outcomes; /**< 0: the link cannot be used */
    aw_outcome outcomes[AW_OUTCOMES];
} aw_link;

/** True variance of the sum of all error terms, m^2. */
double aw_link_variance(const aw_link *link);

/** Excess of the path that is timed at a fade of 0 dB, m, what is scattered at its median; 0 for a
 * link without outcomes. */
double aw_link_bias(const aw_link *link);

/** What a link does over its fades. */
typedef struct aw_link_chances {
    double received; /**< share of fades at which a frame is timed */
    double direct;   /**< at which it is timed by a direct path, that crosses nothing */
    double excess;   /**< mean excess of what is timed, m; NaN if nothing ever is */
} aw_link_chances;

aw_link_chances aw_link_expect(const aw_link *link);

/** Sets to_anchor, range and u from two places. A tag exactly at the anchor gets u = (0, 0, 0). */
void aw_link_aim(aw_link *link, const double anchor[3], const double spot[3]);

/** A scenario prepared for sight: every prism with its box and losses, every anchor with its law.
 */
typedef struct aw_scene aw_scene;

/** NULL without memory. The scenario must outlive the scene. */
aw_scene *aw_scene_create(const aw_scenario *scenario);
void aw_scene_free(aw_scene *scene);

/** Links of every anchor, in the scenario's order, to one spot (x, y, z in m); links[] has room for
 *  scenario->n_anchors. Allocates nothing, never fails, may be called from several threads. */
void aw_links_at(const aw_scene *scene, const double spot[3], aw_link links[]);

/** The link of one anchor, of the scenario or not, as aw_links_at() would give it. */
aw_link aw_link_at(const aw_scene *scene, const double spot[3], const aw_anchor *anchor);

/** The shadows of a scene's obstacles and walls on one level row of places, with a light at every
 *  anchor. A place outside a shadow has a link that does not cross that obstacle; inside, the rule
 *  of aw_links_at() is asked. So rows and single spots agree to the bit, and a row costs little
 * more than what its links cross. */
typedef struct aw_shadows aw_shadows;

/** NULL without memory. The scene must outlive them; one for each thread. */
aw_shadows *aw_shadows_create(const aw_scene *scene);
void aw_shadows_free(aw_shadows *shadows);

/** Casts them on the n places (first[0] + i step, first[1], first[2]) in m, i < n; does nothing if
 *  that was the row cast last. Allocates nothing, never fails. */
void aw_shadows_cast(aw_shadows *shadows, const double first[3], double step, size_t n);

/** aw_links_at() for place number `place` of the row, whose coordinates are `spot`. */
void aw_links_in_row(const aw_shadows *shadows, size_t place, const double spot[3],
                     aw_link links[]);

/** Obstacles and walls that the segment from `spot` to `anchor` crosses, and the ground beside a
 * pit if it goes through that: their number, and in `most` the name of the one with the largest
 * loss, or of the pit (NULL if there is none; the scenario's; may be NULL). */
size_t aw_scene_crossed(const aw_scene *scene, const double spot[3], const double anchor[3],
                        const char **most);

/** Share of the segment from `spot` towards `anchor` that a line of sight goes before it has run
 * inside some obstacle or wall for more than 1 mm (half the height of a flat sheet if that
 * is less), or into the ground; 1 if it never does. Exact to
 * 1e-6 of the segment. */
double aw_scene_clear_share(const aw_scene *scene, const double spot[3], const double anchor[3]);

#pragma GCC visibility pop
#ifdef __cplusplus
}
#endif

#endif
