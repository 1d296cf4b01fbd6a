/* A varied scenario borrows every array until one of them is to change: then that one is copied. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/level.h"
#include "anchorwise/vary.h"

/* What moves keeps at least this height, m. */
#define THIN 0.01

aw_varied aw_vary(const aw_scenario *scenario)
{
    aw_varied v = {.scenario = *scenario};
    v.scenario.memory = NULL;
    return v;
}

void aw_varied_free(aw_varied *v)
{
    free(v->anchors);
    free(v->obstacles);
    free(v->walls);
    free(v->materials);
    free(v->tags);
    free(v->zones);
    *v = (aw_varied){0};
}

/* With room for one more than there are: an anchor may be added, and an empty array is not NULL. */
static void *copy_array(const void *array, size_t n, size_t size)
{
    void *copy = calloc(n + 1, size);
    if (copy != NULL && n > 0)
        memcpy(copy, array, n * size);
    return copy;
}

#define OWN(v, name)                                                                               \
    do {                                                                                           \
        if ((v)->name == NULL)                                                                     \
            (v)->name = copy_array((v)->scenario.name, (v)->scenario.n_##name, sizeof *(v)->name); \
        if ((v)->name != NULL)                                                                     \
            (v)->scenario.name = (v)->name;                                                        \
        return (v)->name;                                                                          \
    } while (0)

aw_anchor *aw_varied_anchors(aw_varied *v)
{
    OWN(v, anchors);
}

aw_obstacle *aw_varied_obstacles(aw_varied *v)
{
    OWN(v, obstacles);
}

aw_wall *aw_varied_walls(aw_varied *v)
{
    OWN(v, walls);
}

aw_material *aw_varied_materials(aw_varied *v)
{
    OWN(v, materials);
}

aw_tag *aw_varied_tags(aw_varied *v)
{
    OWN(v, tags);
}

aw_zone *aw_varied_zones(aw_varied *v)
{
    OWN(v, zones);
}

/* --- anchors and obstacles --- */

bool aw_varied_move_anchor(aw_varied *v, size_t anchor, const double to[3])
{
    aw_anchor *anchors = aw_varied_anchors(v);
    if (anchors != NULL)
        memcpy(anchors[anchor].at, to, sizeof anchors[anchor].at);
    return anchors != NULL;
}

bool aw_varied_add_anchor(aw_varied *v, const aw_anchor *anchor)
{
    const size_t n = v->scenario.n_anchors;
    aw_anchor *grown = calloc(n + 2, sizeof *grown);
    if (grown == NULL)
        return false;
    memcpy(grown, v->scenario.anchors, n * sizeof *grown);
    grown[n] = *anchor;
    free(v->anchors);
    v->scenario.anchors = v->anchors = grown;
    v->scenario.n_anchors = n + 1;
    return true;
}

/* Takes item i out of an array of n. */
static void take_out(void *array, size_t i, size_t n, size_t size)
{
    char *at = (char *)array + i * size;
    memmove(at, at + size, (n - i - 1) * size);
}

bool aw_varied_drop_anchor(aw_varied *v, size_t anchor)
{
    aw_anchor *anchors = aw_varied_anchors(v);
    if (anchors != NULL)
        take_out(anchors, anchor, v->scenario.n_anchors--, sizeof *anchors);
    return anchors != NULL;
}

bool aw_varied_drop_obstacle(aw_varied *v, size_t obstacle)
{
    aw_obstacle *obstacles = aw_varied_obstacles(v);
    if (obstacles != NULL)
        take_out(obstacles, obstacle, v->scenario.n_obstacles--, sizeof *obstacles);
    return obstacles != NULL;
}

/* --- all of a kind --- */

static void move_top(const aw_scenario *s, double base, double *top, double by)
{
    if (aw_ends_under_ceiling(s, *top))
        *top = fmin(fmax(*top + by, base + THIN), s->floor.ceiling);
}

bool aw_varied_move_tops(aw_varied *v, double by)
{
    const aw_scenario *s = &v->scenario;
    aw_obstacle *obstacles = aw_varied_obstacles(v);
    aw_wall *walls = aw_varied_walls(v);
    if (obstacles == NULL || walls == NULL)
        return false;
    for (size_t i = 0, n = aw_named_obstacles(s); i < n; i++)
        move_top(s, obstacles[i].base, &obstacles[i].top, by);
    for (size_t i = 0; i < s->n_walls; i++)
        move_top(s, walls[i].base, &walls[i].top, by);
    return true;
}

bool aw_varied_scale_materials(aw_varied *v, double loss, double delay)
{
    aw_scenario *s = &v->scenario;
    aw_material *materials = aw_varied_materials(v);
    if (materials == NULL)
        return false;
    for (size_t i = 0; i < s->n_materials; i++) {
        materials[i].loss_db *= loss;
        materials[i].delay *= delay;
        materials[i].added_db *= loss;
        materials[i].added_delay *= delay;
    }
    s->radio.loss_times *= loss;
    s->radio.delay_times *= delay;
    return true;
}

bool aw_varied_change_tags(aw_varied *v, double by, double times)
{
    const aw_scenario *s = &v->scenario;
    aw_tag *tags = aw_varied_tags(v);
    if (tags == NULL)
        return false;
    for (size_t i = 0; i < s->n_tags; i++) {
        tags[i].height = fmin(fmax(tags[i].height + by, 0), s->floor.ceiling);
        tags[i].height_sigma *= times;
    }
    return true;
}
