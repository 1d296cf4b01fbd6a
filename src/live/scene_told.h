/* The things that a scene lists, and what it is told of. */
#ifndef AW_LIVE_SCENE_TOLD_H
#define AW_LIVE_SCENE_TOLD_H

#include "live/answer.h"

typedef struct aw_scene_told {
    const aw_session *session;
    size_t tag; /* shown */
    aw_grid grid;
    const struct aw_source_line *lines; /* of each mistake */
} aw_scene_told;

static inline const aw_scene_told *aw_told_of(const aw_subject *s)
{
    return s->with;
}

static inline const aw_scenario *aw_scenario_of(const aw_subject *s)
{
    return &aw_told_of(s)->session->reading->of.scenario;
}

/* Point i of n as a row of numbers; false behind the last. */
bool aw_get_point(const aw_point points[], size_t n, size_t i, aw_value *value);

extern const aw_shape aw_live_level_shape, aw_live_wall_shape, aw_live_obstacle_shape,
    aw_live_zone_shape, aw_live_anchor_shape, aw_live_tag_shape, aw_live_line_shape,
    aw_live_forbidden_shape, aw_live_file_shape, aw_live_picture_shape;

#endif
