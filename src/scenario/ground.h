/* The floor's outline prepared for one question, asked of every obstacle and zone: whether it keeps
 * on the floor. */
#ifndef AW_SCENARIO_GROUND_H
#define AW_SCENARIO_GROUND_H

#include "anchorwise/plane.h"

#define AW_GROUND_TOUCH 1e-3 /* m; what is this near an edge is on it */

typedef struct aw_ground aw_ground;

/* NULL without memory. The outline must outlive it. */
aw_ground *aw_ground_create(const aw_polygon *outline);
void aw_ground_free(aw_ground *ground);

typedef enum aw_keeping {
    AW_KEEPS,
    AW_LEAVES,
    AW_KEEPING_UNKNOWN /* without memory */
} aw_keeping;

/* Whether a polygon keeps within the outline but for AW_GROUND_TOUCH. A corner of the outline well
 * inside it is a notch that it spans. Costs about as much as there are corners in both, as long as
 * their edges are short. */
aw_keeping aw_ground_keeps(aw_ground *ground, const aw_polygon *inner);

#endif
