/* All anchors together: what the steps share. */
#ifndef AW_WHATIF_TOGETHER_H
#define AW_WHATIF_TOGETHER_H

#include "anchorwise/freedom.h"
#include "anchorwise/link.h"

/* --- corners.c --- */

#define AW_MOST_CORNERS ((AW_FREEDOM_SQUARES + 3) * (AW_FREEDOM_SQUARES + 3) + 2)
typedef struct aw_corners {
    size_t n;
    double at[AW_MOST_CORNERS][3]; /* m */
} aw_corners;

/* Corners of a region cut to `half` m every way in plan, and the ends of its band of heights cut
 * likewise. */
void aw_corners_find(aw_corners *corners, const aw_freedoms *all, const aw_freedom *freedom,
                     const double own[3], double half);

/* How far region and band of an anchor by itself go, m. */
double aw_freedom_half(const aw_freedoms *all, const aw_freedom *freedom, const double own[3]);

/* --- move_cost.c --- */

/* Half-sizes at which moves are drawn. */
#define AW_MOVE_SIZES 5

typedef struct aw_move_costs {
    aw_freedoms *all;
    const aw_scenario *scenario;
    aw_scene *scene; /* of the scenario; owned */
    const aw_run *run;
    aw_zone_result *look; /* of each zone as planned, by few draws; owned */
    double *slack; /* slack[zone * AW_PARTS + part]: ln of asked over found; NaN: not held; owned */
    double *rises; /* of ln of found, by anchor, size, zone and part; owned */
    aw_corners *corners; /* room; owned */
} aw_move_costs;

/* Fills what needs have left, all->shared, and what the moves of each anchor that does not stand
 * still cost them. False if stopped or without memory (an error); aw_move_costs_free() it either
 * way. */
bool aw_move_costs_run(aw_move_costs *costs, aw_freedoms *all, const aw_scenario *scenario,
                       const aw_run *run);
void aw_move_costs_free(aw_move_costs *costs);

/* What a region of that size costs a part of a zone's need; between sizes it rises evenly. */
double aw_move_cost(const aw_move_costs *costs, const aw_freedom *freedom, double half, size_t zone,
                    aw_part part);

/* Whether any move of an anchor costs a zone anything. */
bool aw_move_touches(const aw_move_costs *costs, const aw_freedom *freedom, size_t zone);

/* Units of work of drawing all zones that are held, each cell so often. */
size_t aw_held_work(const aw_freedoms *all, const aw_scenario *scenario, uint32_t draws);

/* Complains that there is no memory; false. */
bool aw_together_complain(const aw_run *run);

#endif
