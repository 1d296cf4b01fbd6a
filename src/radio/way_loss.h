/* What a way loses at edges: those that it bends round and those that it passes closely. */
#ifndef AW_RADIO_WAY_LOSS_H
#define AW_RADIO_WAY_LOSS_H

#include "radio/way.h"

typedef struct aw_way_loss {
    double db;           /* beyond free space, by edges alone */
    const char *nearest; /* body of the edge that is passed most closely; NULL: none within reach */
} aw_way_loss;

/* Upright edges bend sideways, tops and undersides up and down: each family is a row of its own,
 * with the legs joined over the other's points, and decibels add. An edge that a leg passes at
 * -0.78 < v < 0 takes part, three of a family for each leg, and fades out towards that limit. Of a
 * body that a leg runs through its nearest edge costs J(-v) while v < 0.78: what goes through is
 * what does not go by. */
aw_way_loss aw_way_lose(const aw_scene *scene, const aw_way *way);

#endif
