/* Writes halls of 1 to 6 metal boxes at random and the shortest way round them for one link each
 * that they block. With two numbers, so many halls whose boxes all stand and so many in which some
 * hang:
 *
 *     hall STANDING|HUNG N, N lines "box X Y HALF_WIDTH HALF_DEPTH TURN BASE TOP",
 *     way X Y Z X Y Z LENGTH N and N times X Y Z; length -1 if there is none
 *
 * The hall is written in C, for the reader of scenarios is not what is looked at. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/plane.h"
#include "radio/way.h"
#include "aw_test.h"

#define MOST 6

static const aw_material metal = {"metal", .kind = AW_MATERIAL_SLAB, .opaque = true,
                                  .dielectric = {1, 0, 1e7, 0}};
static const aw_point outline[] = {{0, 0}, {30, 0}, {30, 20}, {0, 20}};

typedef struct boxes {
    size_t n;
    aw_point corner[MOST][4];
    aw_obstacle box[MOST];
} boxes;

static void add_box(boxes *to, uint64_t *state, bool hung)
{
    aw_obstacle *own = &to->box[to->n];
    aw_point *at = to->corner[to->n++];
    const double x = test_between(state, 5, 25), y = test_between(state, 4, 16);
    const double w = test_between(state, 0.2, 3), d = test_between(state, 0.2, 2);
    const double turn = test_between(state, 0, M_PI), c = cos(turn), s = sin(turn);
    const double base = hung && test_between(state, 0, 1) < 0.6 ? test_between(state, 0.8, 4) : 0;
    const double top = fmin(base + test_between(state, 0.5, 5), 7.5);
    for (int i = 0; i < 4; i++) {
        const double along = i == 0 || i == 3 ? -w : w, across = i < 2 ? -d : d;
        at[i] = (aw_point){x + along * c - across * s, y + along * s + across * c};
    }
    *own = (aw_obstacle){.name = "box", .footprint = {.at = at, .n = 4}, .base = base, .top = top};
    aw_polygon_close(&own->footprint);
    printf("box %.17g %.17g %.17g %.17g %.17g %.17g %.17g\n", x, y, w, d, turn, base, top);
}

static double write_way(void *context, const aw_way *way)
{
    *(bool *)context = true;
    printf(" %.17g %zu", way->length, way->n);
    for (size_t i = 1; i <= way->n; i++)
        printf(" %.17g %.17g %.17g", way->at[i][0], way->at[i][1], way->at[i][2]);
    return 0;
}

static bool is_inside(const aw_scene *scene, const double at[3])
{
    for (size_t i = 0; i < scene->n_bodies; i++) {
        const aw_prism *p = &scene->bodies[i].prisms[0];
        if (at[2] > p->base - 0.05 && at[2] < p->top + 0.05 &&
            (aw_polygon_holds(&p->footprint, at[0], at[1]) ||
             aw_polygon_edge_distance(&p->footprint, (aw_point){at[0], at[1]}) < 0.05))
            return true;
    }
    return false;
}

static void write_hall(uint64_t *state, bool hung)
{
    boxes b = {.n = 0};
    const size_t n = 1 + (size_t)test_between(state, 0, MOST - 1e-9);
    printf("hall %s %zu\n", hung ? "hung" : "standing", n);
    while (b.n < n)
        add_box(&b, state, hung);
    aw_scenario s = {.floor = {.outline = {.at = outline, .n = 4}, .ceiling = 8},
                     .materials = &metal,
                     .n_materials = 1,
                     .obstacles = b.box,
                     .n_obstacles = n,
                     .radio = {.given = true, .channel = {5, 6489.6e6, 499.2e6}}};
    aw_polygon_close(&s.floor.outline);
    aw_scene *scene = aw_scene_create(&s);
    const aw_barriers barriers = {.scene = scene};
    double from[3], to[3];
    aw_met met;
    bool found = false;
    do {
        for (int k = 0; k < 3; k++) {
            const double side[3] = {29.9, 19.9, 7.4};
            from[k] = test_between(state, 0.1, k < 2 ? side[k] : 2.5);
            to[k] = test_between(state, 0.1, side[k]);
        }
    } while (is_inside(scene, from) || is_inside(scene, to) ||
             !aw_barriers_meet(&barriers, from, to, &met));
    printf("way %.17g %.17g %.17g %.17g %.17g %.17g", from[0], from[1], from[2], to[0], to[1],
           to[2]);
    aw_ways_find(&barriers, from, to, HUGE_VAL, write_way, &found);
    printf(found ? "\n" : " -1 0\n");
    aw_scene_free(scene);
}

int main(int n_words, char *words[])
{
    uint64_t state = 19;
    for (int hung = 0; hung < 2; hung++)
        for (int i = 0; i < (n_words > 1 ? atoi(words[1]) : 20); i++)
            write_hall(&state, hung != 0);
    return 0;
}
