/* A spot with one thing about it shifted a little: what a drawing, a ladder or a lift driver may be
 * off by. */
#ifndef AW_WHATIF_SHIFTS_H
#define AW_WHATIF_SHIFTS_H

#include "anchorwise/explain.h"
#include "position/states.h"
#include "position/sums.h"
#include "whatif/spot_trials.h"

/* The spot as it then is, with the links of the layout that stands. */
typedef struct aw_shifted {
    aw_shift shift;
    double spot[3];
    const aw_scene *scene;
    aw_link *links; /* of every anchor; owned */
    size_t states;  /* of links that come and go: see aw_states_of() */
    aw_sums sums[AW_MOST_STATES];
    aw_varied varied; /* private: of an obstacle that is shifted, with a scene of its own */
    aw_scene *own;
} aw_shifted;

/* False without memory; aw_shifted_free() it either way. Spot and scene must outlive it. */
bool aw_shifted_create(aw_shifted *shifted, const aw_trial_spot *spot, const aw_scene *scene,
                       aw_shift shift);
void aw_shifted_free(aw_shifted *shifted);

/* Number k of the shifts that do without an obstacle; of none the kind is AW_SHIFT_NONE. */
aw_shift aw_shift_plain(size_t k);
#define AW_PLAIN_SHIFTS 10

/* Number k of an obstacle's, and whether it changes anything. */
aw_shift aw_shift_of_obstacle(size_t obstacle, size_t k);
bool aw_shift_changes(const aw_scenario *scenario, aw_shift shift);
#define AW_OBSTACLE_SHIFTS 4

/* Whether the way from a spot to a place (m) comes as near as half a metre to an obstacle. */
bool aw_way_meets(const aw_obstacle *obstacle, const double spot[3], const double at[3]);

#endif
