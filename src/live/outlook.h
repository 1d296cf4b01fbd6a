/* What a scenario reaches, in stages: a linear estimate at once, then more and more draws. */
#ifndef AW_LIVE_OUTLOOK_H
#define AW_LIVE_OUTLOOK_H

#include "anchorwise/assess.h"
#include "live/linear.h"

/* Draws of the stages between the estimate and the study's own. */
#define AW_FEW            96
#define AW_FEWER_THAN_ALL 200

typedef struct aw_outlook {
    aw_grid grid; /* of the tag that is shown; its cells are all of the box, `number` included */
    float *p95;   /* m, of each cell of the box: NaN where no tag can be, infinite without a p95 */
    aw_zone_result *zones; /* of every zone, by its own tag */
    size_t n_zones;
    aw_pooled floor;
    double price;   /* NaN: none */
    uint32_t draws; /* 0: estimate */
} aw_outlook;

/* Fills figures by the linear estimate, or by a few draws where there is none; `kept` is kept for
 * the next one. False if stopped or with errors; aw_outlook_free() it either way. */
bool aw_outlook_estimate(aw_outlook *figures, aw_linear *kept, const aw_linear_plan *plan,
                         const aw_run *run);

/* The same by so many draws, at most the study's, which are asked for by 0: those of the study are
 * the figures of `assess`. */
bool aw_outlook_draw(aw_outlook *figures, const aw_scenario *scenario, size_t tag, uint32_t draws,
                     const aw_run *run);

/* Of a zeroed struct too. */
void aw_outlook_free(aw_outlook *figures);

#endif
