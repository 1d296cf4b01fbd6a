/* Rows of places by their shadows against every spot by itself: the same links to the last bit. */
#include "links.h"

#include <stdio.h>

#include "base/plane.h"
#include "map/spot.h"
#include "radio/shadow.h"

#define HALLS  300
#define GROUP  10
#define ACROSS 60.0
#define DEEP   40.0

/* Halls with a number that 2 divides have round coordinates, so that edges, places and anchors fall
 * on common lines and corners. */
typedef struct hall {
    uint64_t state;
    bool round;
    FILE *out;
} hall;

static double figure(hall *h, double low, double high)
{
    const double x = test_between(&h->state, low, high);
    return h->round ? floor(2 * x) / 2 : x;
}

static void print_star(hall *h, int i)
{
    const int n = 4 + i % 6;
    const double x = figure(h, 5, ACROSS - 5), y = figure(h, 5, DEEP - 5);
    for (int k = 0; k < n; k++) {
        const double a = 2 * M_PI * k / n, r = test_between(&h->state, 0.6, 4.5);
        fprintf(h->out, "%s[%.4f, %.4f]", k ? ", " : "", x + r * cos(a), y + r * sin(a));
    }
}

/* A u with its opening upward. */
static void print_u(hall *h)
{
    const double x = figure(h, 1, ACROSS - 8), y = figure(h, 1, DEEP - 8), w = figure(h, 2, 6);
    const double d = figure(h, 2, 6), t = w / 4;
    fprintf(h->out,
            "[%g, %g], [%g, %g], [%g, %g], [%g, %g], [%g, %g], [%g, %g], [%g, %g], [%g, %g]", x, y,
            x + w, y, x + w, y + d, x + w - t, y + d, x + w - t, y + t, x + t, y + t, x + t, y + d,
            x, y + d);
}

static void print_obstacles(hall *h)
{
    fputs("materials:\n", h->out);
    for (int i = 0; i < 21; i++)
        fprintf(h->out, "  m%d: {loss_db: %.4f, delay: %.4f}\n", i, test_between(&h->state, 0.1, 4),
                test_between(&h->state, 0, 0.5));
    fputs("obstacles:\n", h->out);
    for (int i = 0; i < 14; i++) {
        const double base = i % 3 == 0 ? figure(h, 0, 3) : 0;
        fprintf(h->out, "  - {name: o%d, material: m%d, base: %.3f, top: %.3f, footprint: [", i, i,
                base, base + 0.5 + figure(h, 0, 6));
        if (i % 2 == 0)
            print_star(h, i);
        else
            print_u(h);
        fputs("]}\n", h->out);
    }
    fputs("walls:\n", h->out);
    for (int i = 0; i < 7; i++) {
        fprintf(h->out, "  - {name: w%d, material: m%d, top: %.3f, thickness: %.4f, path: [", i,
                14 + i, 1 + figure(h, 0, 7), test_between(&h->state, 0.0004, 0.4));
        for (int k = 0; k < 4; k++)
            fprintf(h->out, "%s[%.4f, %.4f]", k ? ", " : "", figure(h, 0, ACROSS) + 1e-3 * k,
                    figure(h, 0, DEEP) + 2e-3 * k);
        fputs("]}\n", h->out);
    }
}

static void read_hall(aw_scenario *s, int number)
{
    hall h = {.state = 900 + (uint64_t)number, .round = number % 2 == 0};
    char *yaml = NULL;
    size_t length;
    h.out = open_memstream(&yaml, &length);
    fputs("anchorwise: 1\ntitle: hall\nfloor: {outline: [[0, 0], [60, 0], [60, 40], [0, 40]], "
          "ceiling: 9}\n",
          h.out);
    print_obstacles(&h);
    fputs("anchors:\n", h.out);
    for (int i = 0; i < 8; i++)
        fprintf(h.out, "  - {name: a%d, at: [%.4f, %.4f, %.4f]}\n", i, figure(&h, 0, ACROSS),
                figure(&h, 0, DEEP), figure(&h, 0, 9));
    fprintf(h.out, "tags: [{name: t, height: %.4f}]\nranging: {range: 44, budget_db: 14}\n",
            figure(&h, 0.5, 3.5));
    fprintf(h.out, "study: {step: %.3f}\n", 1 + 0.5 * (number % 4));
    fclose(h.out);
    read_text(s, yaml);
    free(yaml);
}

static bool is_same(const aw_link *a, const aw_link *b)
{
    const size_t from = offsetof(aw_link, to_anchor), to = offsetof(aw_link, state);
    bool same = a->key == b->key && a->state == b->state && a->n_outcomes == b->n_outcomes &&
                memcmp((const char *)a + from, (const char *)b + from, to - from) == 0;
    for (size_t k = 0; same && k < a->n_outcomes; k++)
        same = a->outcomes[k].name == b->outcomes[k].name &&
               memcmp(&a->outcomes[k].fade_db, &b->outcomes[k].fade_db, sizeof(double)) == 0 &&
               memcmp(&a->outcomes[k].excess, &b->outcomes[k].excess, sizeof(double)) == 0;
    return same;
}

/* Every cell of the box, whether a tag can stand there or not. */
static void check_hall(int number)
{
    aw_scenario s;
    aw_grid grid;
    aw_errors errors = {0};
    aw_link by_row[8], alone[8];
    size_t clear = 0, through = 0;
    read_hall(&s, number);
    ck_assert(aw_grid_lay(&grid, &s, 0, &errors));
    aw_scene *scene = aw_scene_create(&s);
    aw_shadows *shadows = aw_shadows_create(scene);
    for (uint32_t cell = 0; cell < grid.nx * grid.ny; cell++) {
        const aw_point at = aw_grid_centre(&grid, cell);
        const double spot[3] = {at.x, at.y, s.tags[0].height};
        aw_links_at(scene, spot, alone);
        aw_cell_links(shadows, &grid, cell, s.tags[0].height, by_row);
        for (size_t i = 0; i < 8; i++) {
            if (!is_same(&by_row[i], &alone[i]))
                ck_abort_msg("hall %d, cell %u, anchor %zu", number, cell, i);
            clear += alone[i].loss_db <= 0;
            through += alone[i].loss_db > 0;
        }
    }
    ck_assert_uint_gt(clear, 100);
    ck_assert_uint_gt(through, 100);
    aw_shadows_free(shadows);
    aw_scene_free(scene);
    aw_grid_free(&grid);
    aw_scenario_free(&s);
}

START_TEST(a_row_and_its_spots_have_the_same_links_to_the_bit)
{
    for (int i = 0; i < GROUP; i++)
        check_hall(GROUP * _i + i);
}
END_TEST

/* Shadows may be wider than what is crossed, but not by much: else a row would ask in vain. Half of
 * the things are u-shaped or thin, which have no core. */
START_TEST(few_bodies_are_asked_in_vain)
{
    aw_scenario s;
    aw_grid grid;
    aw_errors errors = {0};
    size_t asked = 0, crossed = 0, sure = 0;
    read_hall(&s, 1);
    ck_assert(aw_grid_lay(&grid, &s, 0, &errors));
    aw_scene *scene = aw_scene_create(&s);
    aw_shadows *shadows = aw_shadows_create(scene);
    aw_link links[8];
    for (uint32_t number = 0; number < grid.nx * grid.ny; number++) {
        const aw_point at = aw_grid_centre(&grid, number);
        const double spot[3] = {at.x, at.y, s.tags[0].height};
        aw_cell_links(shadows, &grid, number, s.tags[0].height, links);
        for (size_t i = 0; i < 8; i++) {
            aw_shade shade = aw_shadows_over(shadows, i, number % grid.nx);
            for (size_t k = aw_shade_next(&shade, 0, 21); k < 21;
                 k = aw_shade_next(&shade, k + 1, 21)) {
                asked++;
                sure += shade.sure;
            }
            crossed += aw_scene_crossed(scene, spot, s.anchors[i].at, NULL);
        }
    }
    ck_assert_uint_ge(asked, crossed);
    ck_assert_uint_le(asked, crossed + crossed / 2);
    ck_assert_uint_ge(sure, crossed / 3);
    aw_shadows_free(shadows);
    aw_scene_free(scene);
    aw_grid_free(&grid);
    aw_scenario_free(&s);
}
END_TEST

/* By hand: each edge's line moves in by 1 mm. From no place all of the u can be seen, though from
 * the corner of the l it can. */
START_TEST(a_core_keeps_a_millimetre_from_every_edge_line)
{
    const aw_point square[] = {{1, 1}, {5, 1}, {5, 4}, {1, 4}};
    const aw_point l[] = {{0, 0}, {6, 0}, {6, 2}, {2, 2}, {2, 5}, {0, 5}};
    const aw_point u[] = {{0, 0}, {7, 0}, {7, 3}, {6, 3}, {6, 1}, {1, 1}, {1, 3}, {0, 3}};
    const aw_point foil[] = {{0, 0}, {9, 0}, {9, 0.0019}, {0, 0.0019}};
    const struct {
        const aw_point *at;
        size_t n, left;
        double box[4]; /* of what is left */
    } shape[] = {{square, 4, 4, {1.001, 1.001, 4.999, 3.999}},
                 {l, 6, 4, {0.001, 0.001, 1.999, 1.999}},
                 {u, 8, 0, {0}},
                 {foil, 4, 0, {0}}};
    for (size_t i = 0; i < 4; i++) {
        aw_point room[8 + AW_CORE_ROOM];
        aw_polygon p = {.at = shape[i].at, .n = shape[i].n};
        aw_polygon_close(&p);
        const aw_polygon core = aw_shadow_core(&p, room);
        ck_assert_uint_eq(core.n, shape[i].left);
        if (core.n == 0)
            continue;
        const double box[4] = {core.low.x, core.low.y, core.high.x, core.high.y};
        for (int k = 0; k < 4; k++)
            ck_close(box[k], shape[i].box[k], 1e-12);
        ck_close(aw_polygon_area(core.at, core.n), (box[2] - box[0]) * (box[3] - box[1]), 1e-12);
    }
}
END_TEST

static TCase *rows(void)
{
    TCase *tc = tcase_create("rows");
    tcase_add_loop_test(tc, a_row_and_its_spots_have_the_same_links_to_the_bit, 0, HALLS / GROUP);
    tcase_add_test(tc, few_bodies_are_asked_in_vain);
    tcase_add_test(tc, a_core_keeps_a_millimetre_from_every_edge_line);
    return tc;
}

AW_TEST_MAIN("shadow", rows())
