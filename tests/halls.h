/* Halls under a radio, for the suites of paths. */
#ifndef AW_TESTS_HALLS_H
#define AW_TESTS_HALLS_H

#include <stdio.h>

#include "radio/paths.h"
#include "links.h"

typedef struct hall {
    aw_scenario scenario;
    aw_scene *scene;
} hall;

/* A hall of 40 x 20 m, 8 m high, whose floor and ceiling mirror nothing unless asked for. */
static inline void build(hall *h, bool mirrors, const char *rest)
{
    char text[8192];
    snprintf(text, sizeof text,
             "anchorwise: 1\ntitle: hall\n"
             "floor: {outline: [[0, 0], [40, 0], [40, 20], [0, 20]], ceiling: 8%s}\n"
             "radio: {scattered: false, receiver: {sensitivity_dbm: -200}}\n"
             "materials: {dull: {loss_db: 3, delay: 0.02}, body: {based_on: metal},\n"
             "            case: {layers: [[plasterboard, 0.0125], [air, 0.075], [wood, 0.02]]},\n"
             "            cardboard: {permittivity: 1.6}, foam: {permittivity: 1.05},\n"
             "            plastic: {permittivity: 2.3},\n"
             "            panel: {layers: [[metal, 0.0006], [foam, 0.1], [metal, 0.0006]]},\n"
             "            foiled: {layers: [[plasterboard, 0.0125], [metal, 0.00003]]},\n"
             "            full: {based_on: wood, added_db: 7, added_delay: 0.1}}\n"
             "tags: [{name: t}]\n%s",
             mirrors ? "" : ", material: dull, ceiling_material: dull, wall_material: dull", rest);
    read_text(&h->scenario, text);
    h->scene = aw_scene_create(&h->scenario);
    ck_assert_ptr_nonnull(h->scene);
}

static inline void pull_down(hall *h)
{
    aw_scene_free(h->scene);
    aw_scenario_free(&h->scenario);
}

static inline aw_link_trace trace_from(const hall *h, double x, double y, double z)
{
    aw_link_trace t;
    aw_link_trace_at(h->scene, (double[3]){x, y, z}, &h->scenario.anchors[0], &t);
    return t;
}

static inline const aw_path *find(const aw_link_trace *t, aw_path_kind kind)
{
    for (size_t i = 0; i < t->n_paths; i++)
        if (t->paths[i].kind == kind)
            return &t->paths[i];
    return NULL;
}

static inline double apart(const double a[3], const double b[3])
{
    return sqrt(pow(a[0] - b[0], 2) + pow(a[1] - b[1], 2) + pow(a[2] - b[2], 2));
}

#endif
