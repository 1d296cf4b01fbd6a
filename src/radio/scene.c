/* Obstacles and walls as prisms with their boxes, cores and losses. */
#include "radio/scene.h"

#include "base/arena.h"
#include "radio/crossing.h"
#include "radio/radio_scene.h"
#include "radio/shadow.h"

static bool add_body(aw_scene *scene, const aw_polygon parts[], size_t n, double base, double top,
                     const aw_material *material)
{
    aw_prism *prisms = aw_arena_take_array(scene->arena, n, sizeof *prisms);
    aw_polygon *cores = aw_arena_take_array(scene->arena, n, sizeof *cores);
    bool room = prisms != NULL && cores != NULL;
    for (size_t i = 0; room && i < n; i++) {
        aw_point *corners =
            aw_arena_take_array(scene->arena, parts[i].n + AW_CORE_ROOM, sizeof *corners);
        prisms[i] = (aw_prism){parts[i], base, top};
        room = corners != NULL;
        if (room)
            cores[i] = aw_shadow_core(&parts[i], corners);
    }
    scene->bodies[scene->n_bodies++] = (aw_body){
        prisms, cores, n, aw_body_crossing(base, top), material->loss_db, material->delay};
    return room;
}

static bool add_bodies(aw_scene *scene)
{
    const aw_scenario *s = scene->scenario;
    for (size_t i = 0; i < s->n_obstacles; i++) {
        const aw_obstacle *o = &s->obstacles[i];
        if (!add_body(scene, &o->footprint, 1, o->base, o->top, &s->materials[o->material]))
            return false;
    }
    for (size_t i = 0; i < s->n_walls; i++) {
        const aw_wall *w = &s->walls[i];
        if (!add_body(scene, w->legs, w->n - 1, w->base, w->top, &s->materials[w->material]))
            return false;
    }
    return true;
}

aw_scene *aw_scene_create(const aw_scenario *scenario)
{
    aw_arena *arena = aw_arena_create();
    aw_scene *scene = arena ? aw_arena_take(arena, sizeof *scene) : NULL;
    if (scene == NULL) {
        aw_arena_free(arena);
        return NULL;
    }
    scene->arena = arena;
    scene->scenario = scenario;
    scene->bodies = aw_arena_take_array(arena, scenario->n_obstacles + scenario->n_walls,
                                        sizeof *scene->bodies);
    bool room = scene->bodies != NULL && add_bodies(scene);
    if (room && scenario->radio.given) {
        scene->air = aw_radio_scene_create(scene);
        room = scene->air != NULL;
    }
    if (!room) {
        aw_scene_free(scene);
        return NULL;
    }
    return scene;
}

void aw_scene_free(aw_scene *scene)
{
    if (scene != NULL)
        aw_arena_free(scene->arena);
}
