/* Boxes near a segment: nothing that counts is left out, little else is met. */
#include "links.h"

#include "base/arena.h"
#include "base/plane.h"
#include "radio/boxes.h"

#define BODIES 150
#define WAYS   4000

/* Bodies of one to three blocks; scenes with an even number have round coordinates, so that ways
 * run along faces and end at corners. */
typedef struct blocks {
    uint64_t state;
    bool round;
    aw_prism prism[BODIES][3];
    aw_point corner[BODIES][3][4];
    aw_body body[BODIES];
    aw_arena *arena;
    aw_boxes boxes;
} blocks;

static double figure(blocks *b, double low, double high)
{
    const double x = test_between(&b->state, low, high);
    return b->round ? floor(2 * x) / 2 : x;
}

static void set_block(blocks *b, size_t i, size_t part)
{
    const double x = figure(b, -20, 20), y = figure(b, -10, 10), z = figure(b, 0, 4);
    const double w = 0.5 + figure(b, 0, 3), d = 0.5 + figure(b, 0, 1);
    aw_point *at = b->corner[i][part];
    at[0] = (aw_point){x, y};
    at[1] = (aw_point){x + w, y};
    at[2] = (aw_point){x + w, y + d};
    at[3] = (aw_point){x, y + d};
    b->prism[i][part] = (aw_prism){{.at = at, .n = 4}, z, z + 0.5 + figure(b, 0, 3)};
    aw_polygon_close(&b->prism[i][part].footprint);
}

static void set_blocks(blocks *b, int number)
{
    *b = (blocks){.state = 70 + (uint64_t)number, .round = number % 2 == 0};
    for (size_t i = 0; i < BODIES; i++) {
        b->body[i] =
            (aw_body){.prisms = b->prism[i], .n = i % 10 == 0 ? 3 : 1, .crossing = AW_CROSSING};
        for (size_t part = 0; part < b->body[i].n; part++)
            set_block(b, i, part);
    }
    b->arena = aw_arena_create();
    ck_assert(aw_boxes_lay(&b->boxes, b->arena, b->body, BODIES));
}

/* Some upright, some level, some along an axis, some that leave the boxes behind. */
static void choose_way(blocks *b, int k, double from[3], double to[3])
{
    const double size[3] = {30, 15, 8};
    for (int axis = 0; axis < 3; axis++) {
        from[axis] = figure(b, -size[axis], size[axis]);
        to[axis] = k >> axis & 1 ? from[axis] : figure(b, -size[axis], size[axis]);
    }
}

/* Marks the bodies met; they come in rising order. */
static void walk(const blocks *b, const double from[3], const double to[3], double reach,
                 bool met[BODIES])
{
    aw_near near = aw_boxes_near(&b->boxes, from, to, reach);
    size_t last = 0, n = 0;
    memset(met, 0, BODIES * sizeof *met);
    for (size_t i = aw_near_next(&near); i < BODIES; i = aw_near_next(&near)) {
        if (n++ > 0 && i <= last)
            ck_abort_msg("%zu after %zu", i, last);
        met[i] = true;
        last = i;
    }
    ck_assert_uint_eq(aw_near_next(&near), BODIES);
}

/* The box around a body. */
static void bounds_of(const aw_body *body, double low[3], double high[3])
{
    for (int k = 0; k < 3; k++) {
        low[k] = INFINITY;
        high[k] = -INFINITY;
    }
    for (size_t i = 0; i < body->n; i++) {
        const aw_prism *p = &body->prisms[i];
        const double one[3] = {p->footprint.low.x, p->footprint.low.y, p->base};
        const double other[3] = {p->footprint.high.x, p->footprint.high.y, p->top};
        for (int k = 0; k < 3; k++) {
            low[k] = fmin(low[k], one[k]);
            high[k] = fmax(high[k], other[k]);
        }
    }
}

/* A segment and a box that share no point are parted along an axis or across the segment and an
 * axis: the theorem of separating axes. */
static bool are_parted(const double low[3], const double high[3], const double a[3],
                       const double b[3], double wider)
{
    double to[3], half[3], size[3];
    for (int k = 0; k < 3; k++) {
        to[k] = (a[k] + b[k]) / 2 - (low[k] + high[k]) / 2;
        half[k] = (b[k] - a[k]) / 2;
        size[k] = (high[k] - low[k]) / 2 + wider;
        if (fabs(to[k]) > size[k] + fabs(half[k]))
            return true;
    }
    for (int k = 0; k < 3; k++) {
        const int u = (k + 1) % 3, v = (k + 2) % 3;
        if (fabs(to[u] * half[v] - to[v] * half[u]) >
            size[u] * fabs(half[v]) + size[v] * fabs(half[u]))
            return true;
    }
    return false;
}

/* A tenth of a micrometre for rounding, 10 um for the width of the boxes. */
START_TEST(boxes_near_a_way_are_met_and_no_others)
{
    blocks b;
    bool met[BODIES];
    double from[3], to[3], low[3], high[3];
    size_t near = 0, apart = 0;
    set_blocks(&b, _i);
    for (int k = 0; k < WAYS; k++) {
        const double reach = k % 3 == 0 ? 0 : figure(&b, 0, 1);
        choose_way(&b, k, from, to);
        walk(&b, from, to, reach, met);
        for (size_t i = 0; i < BODIES; i++) {
            bounds_of(&b.body[i], low, high);
            const bool is_near = !are_parted(low, high, from, to, reach + 1e-7);
            const bool is_apart = are_parted(low, high, from, to, reach + 1e-5);
            if (met[i] ? is_apart : is_near)
                ck_abort_msg("way %d, body %zu", k, i);
            near += is_near;
            apart += is_apart;
        }
    }
    ck_assert_uint_gt(near, 5000);
    ck_assert_uint_gt(apart, 10 * near);
    aw_arena_free(b.arena);
}
END_TEST

START_TEST(what_a_way_crosses_is_met)
{
    blocks b;
    bool met[BODIES];
    double from[3], to[3];
    size_t crossed = 0;
    set_blocks(&b, _i);
    for (int k = 0; k < WAYS; k++) {
        choose_way(&b, k, from, to);
        walk(&b, from, to, 0, met);
        for (size_t i = 0; i < BODIES; i++) {
            const bool own = aw_body_is_crossed(&b.body[i], from, to);
            if (own && !met[i])
                ck_abort_msg("way %d, body %zu", k, i);
            crossed += own;
        }
    }
    ck_assert_uint_gt(crossed, 500);
    aw_arena_free(b.arena);
}
END_TEST

START_TEST(without_bodies_nothing_is_met)
{
    aw_arena *arena = aw_arena_create();
    aw_boxes boxes;
    ck_assert(aw_boxes_lay(&boxes, arena, NULL, 0));
    aw_near near = aw_boxes_near(&boxes, (double[3]){0, 0, 1}, (double[3]){9, 5, 4}, 1);
    ck_assert_uint_eq(aw_near_next(&near), 0);
    aw_arena_free(arena);
}
END_TEST

static TCase *boxes(void)
{
    TCase *tc = tcase_create("boxes");
    tcase_add_loop_test(tc, boxes_near_a_way_are_met_and_no_others, 0, 10);
    tcase_add_loop_test(tc, what_a_way_crosses_is_met, 0, 10);
    tcase_add_test(tc, without_bodies_nothing_is_met);
    return tc;
}

AW_TEST_MAIN("boxes", boxes())
