/* Links from fixed figures: each obstacle crossed adds its material's loss and delay, once; under a
 * radio, from their paths. */
#include "anchorwise/link.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "radio/crossing.h"
#include "radio/first_path.h"
#include "radio/pit.h"
#include "radio/scene.h"
#include "radio/shadow.h"

/* What the ground is said to cost, dB: nothing comes through. */
#define GROUND 200

/* A link to nowhere with its errors set. The solver does not know which links are obstructed: it
 * believes the clear link's sum. */
static aw_link clear_link(const aw_ranging *r)
{
    aw_link link = {.white = r->sigma,
                    .spot = r->spot_sigma,
                    .tail = r->tail_sigma,
                    .tail_share = r->tail_share,
                    .survey = r->survey_sigma,
                    .delay = r->delay_sigma};
    link.believed = sqrt(aw_link_variance(&link));
    return link;
}

/* Asks the bodies in whose shadow the spot may lie; shade NULL: all of them. */
static void set_path(aw_link *link, const aw_scene *scene, const double spot[3],
                     const double anchor[3], aw_shade *shade)
{
    const size_t n = scene->n_bodies;
    const aw_ranging *r = &scene->scenario->ranging;
    double delay = 0;
    bool crosses = false;
    for (size_t i = aw_shade_next(shade, 0, n); i < n; i = aw_shade_next(shade, i + 1, n))
        if ((shade != NULL && shade->sure) || aw_body_is_crossed(&scene->bodies[i], spot, anchor)) {
            crosses = true;
            link->loss_db += scene->bodies[i].loss_db;
            delay += scene->bodies[i].delay;
        }
    const bool buried = aw_pit_meet(scene->scenario, spot, anchor).level != NULL;
    link->loss_db += buried ? GROUND : 0;
    link->lost_db = INFINITY;
    if (buried || link->range > r->range || link->loss_db > r->budget_db) {
        link->state = AW_LINK_LOST;
        return;
    }
    link->state = crosses ? AW_LINK_THROUGH : AW_LINK_CLEAR;
    link->n_outcomes = 1;
    link->outcomes[0] = (aw_outcome){-INFINITY, delay, crosses ? "through" : "direct"};
}

static void set_heard(aw_link *link, const aw_scene *scene, const double spot[3],
                      const aw_anchor *anchor, aw_shade *shade)
{
    aw_faces room;
    aw_first_path heard;
    aw_first_path_find(&heard, scene, spot, anchor->at, aw_faces_of(scene, anchor, &room), shade);
    aw_first_path_law(link, scene->air, &heard);
}

/* In two pieces, which compilers copy in place where they call a slow instruction for the whole. */
static void copy_link(aw_link *to, const aw_link *from)
{
    memcpy(to, from, offsetof(aw_link, outcomes));
    memcpy(to->outcomes, from->outcomes, sizeof to->outcomes);
}

static void aim_link(aw_link *link, const aw_scene *scene, const double spot[3],
                     const aw_anchor *anchor, aw_shade *shade)
{
    link->key = anchor->key;
    aw_link_aim(link, anchor->at, spot);
    if (scene->air != NULL)
        set_heard(link, scene, spot, anchor, shade);
    else
        set_path(link, scene, spot, anchor->at, shade);
}

aw_link aw_link_at(const aw_scene *scene, const double spot[3], const aw_anchor *anchor)
{
    aw_link link = clear_link(&scene->scenario->ranging);
    aim_link(&link, scene, spot, anchor, NULL);
    return link;
}

void aw_links_at(const aw_scene *scene, const double spot[3], aw_link links[])
{
    const aw_scenario *s = scene->scenario;
    const aw_link clear = clear_link(&s->ranging);
    for (size_t i = 0; i < s->n_anchors; i++) {
        copy_link(&links[i], &clear);
        aim_link(&links[i], scene, spot, &s->anchors[i], NULL);
    }
}

void aw_links_in_row(const aw_shadows *shadows, size_t place, const double spot[3], aw_link links[])
{
    const aw_scene *scene = aw_shadows_scene(shadows);
    const aw_scenario *s = scene->scenario;
    const aw_link clear = clear_link(&s->ranging);
    for (size_t i = 0; i < s->n_anchors; i++) {
        aw_shade shade = aw_shadows_over(shadows, i, place);
        copy_link(&links[i], &clear);
        aim_link(&links[i], scene, spot, &s->anchors[i], &shade);
    }
}

static const char *name_of_body(const aw_scene *scene, size_t i)
{
    const aw_scenario *s = scene->scenario;
    return i < s->n_obstacles ? s->obstacles[i].name : s->walls[i - s->n_obstacles].name;
}

size_t aw_scene_crossed(const aw_scene *scene, const double spot[3], const double anchor[3],
                        const char **most)
{
    const aw_pit_edge pit = aw_pit_meet(scene->scenario, spot, anchor);
    size_t crossed = 0, worst = 0;
    if (scene->air != NULL) {
        aw_crossing toll = {0};
        aw_crossing_add(&toll, scene, spot, anchor, NULL);
        if (most != NULL)
            *most = toll.most;
        return toll.n;
    }
    for (size_t i = 0; i < scene->n_bodies; i++) {
        if (!aw_body_is_crossed(&scene->bodies[i], spot, anchor))
            continue;
        if (crossed++ == 0 || scene->bodies[i].loss_db > scene->bodies[worst].loss_db)
            worst = i;
    }
    if (most != NULL)
        *most = pit.level != NULL ? pit.level->name
                : crossed > 0     ? name_of_body(scene, worst)
                                  : NULL;
    return crossed + (pit.level != NULL);
}

double aw_scene_clear_share(const aw_scene *scene, const double spot[3], const double anchor[3])
{
    double clear = fmin(1, aw_pit_meet(scene->scenario, spot, anchor).share);
    for (size_t i = 0; i < scene->n_bodies; i++) {
        double low = 0, high = clear;
        const double whole[3] = {spot[0] + clear * (anchor[0] - spot[0]),
                                 spot[1] + clear * (anchor[1] - spot[1]),
                                 spot[2] + clear * (anchor[2] - spot[2])};
        if (!aw_body_is_crossed(&scene->bodies[i], spot, whole))
            continue;
        while (high - low > 1e-6) {
            const double share = (low + high) / 2;
            const double end[3] = {spot[0] + share * (anchor[0] - spot[0]),
                                   spot[1] + share * (anchor[1] - spot[1]),
                                   spot[2] + share * (anchor[2] - spot[2])};
            if (aw_body_is_crossed(&scene->bodies[i], spot, end))
                high = share;
            else
                low = share;
        }
        clear = high;
    }
    return clear;
}
