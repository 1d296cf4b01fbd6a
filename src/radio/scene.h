/* What a scene is made of. */
#ifndef AW_RADIO_SCENE_H
#define AW_RADIO_SCENE_H

#include "anchorwise/link.h"
#include "base/arena.h"
#include "radio/sight.h"

struct aw_scene {
    const aw_scenario *scenario;
    aw_body *bodies; /* obstacles, then walls */
    size_t n_bodies;
    const struct aw_radio_scene *air; /* NULL: links have fixed figures */
    aw_arena *arena;
};

#endif
