/* The surface under tints and contours, held against the cells it is made of. */
#include "draw/surface.h"
#include "base/plane.h"
#include "sheets.h"

#define CLOSE 1e-6

typedef struct made {
    aw_scenario s;
    aw_field field;
    aw_surface surface;
} made;

/* The field of p95 over a demo by its default tag, with few draws, so that there is much to smooth.
 */
static void make_demo(made *m, const char *name)
{
    aw_errors errors = {0};
    aw_grid grid;
    aw_map map;
    read_demo(&m->s, name);
    m->s.study.draws = 100;
    const aw_map_plan plan = {.scenario = &m->s, .groups = 1, .interval_of = AW_LAYER_P95};
    ck_assert(aw_grid_lay_zone(&grid, &m->s, NULL, &errors));
    ck_assert(aw_field_create(&m->field, &grid));
    ck_assert(aw_map_run(&map, &grid, &plan, &(aw_run){2, NULL, &errors}));
    aw_field_lay(&m->field, &map, AW_LAYER_P95);
    aw_map_free(&map);
    ck_assert(aw_surface_make(&m->surface, &m->field, &m->s, 0, true));
}

static void release(made *m)
{
    aw_surface_free(&m->surface);
    aw_field_free(&m->field);
    aw_scenario_free(&m->s);
}

/* A floor of 20 x 12 m with what stands on it, and a field of 1 m over it. */
static void make_floor(made *m, const char *more)
{
    char yaml[2048];
    aw_errors errors = {0};
    snprintf(
        yaml, sizeof yaml,
        "anchorwise: 1\ntitle: A floor\nfloor: {outline: [[0, 0], [20, 0], [20, 12], [0, 12]], "
        "ceiling: 6}\nanchors:\n  - {name: A1, at: [0.5, 0.5, 4]}\n  - {name: A2, at: [19, 1, "
        "4]}\n  - {name: A3, at: [19, 11, 4]}\n%sstudy: {step: 1, draws: 40}\n",
        more);
    ck_assert_msg(aw_scenario_parse(&m->s, yaml, strlen(yaml), &errors), "%s", errors.list[0].text);
    const aw_grid grid = {.step = 1, .nx = 20, .ny = 12};
    ck_assert(aw_field_create(&m->field, &grid));
    for (size_t at = 0; at < 20 * 12; at++)
        m->field.kept[at] = true;
}

static void set(made *m, size_t at, double value, double width)
{
    m->field.value[at] = value;
    m->field.ends[0][at] = value / width;
    m->field.ends[1][at] = value * width;
}

/* --- what holds on every floor --- */

START_TEST(every_cell_is_drawn_inside_its_interval)
{
    made m = {0};
    size_t checked = 0, moved = 0;
    make_demo(&m, scenarios[_i]);
    for (size_t at = 0; at < m.field.nx * m.field.ny; at++) {
        if (isnan(m.field.value[at]))
            continue;
        const double drawn = aw_surface_at(&m.surface, aw_field_centre(&m.field, at));
        ck_assert_msg(drawn >= m.field.ends[0][at] * (1 - CLOSE) &&
                          drawn <= m.field.ends[1][at] * (1 + CLOSE),
                      "cell %zu: %g is not in %g to %g", at, drawn, m.field.ends[0][at],
                      m.field.ends[1][at]);
        checked++;
        moved += fabs(drawn / m.field.value[at] - 1) > 0.01;
    }
    ck_assert_uint_gt(checked, 100);
    ck_assert_uint_gt(3 * moved, checked);
    release(&m);
}
END_TEST

/* Between cells the surface has nothing that the four cells round a place have not: beside steep
 * places and water without a fix too. */
START_TEST(nothing_is_drawn_that_no_cell_around_has)
{
    made m = {0};
    size_t checked = 0;
    make_demo(&m, scenarios[_i]);
    for (size_t j = 0; j + 1 < m.field.ny; j++)
        for (size_t i = 0; i + 1 < m.field.nx; i++) {
            double least = HUGE_VAL, most = 0;
            bool whole = true;
            for (int k = 0; k < 4; k++) {
                const size_t at = (j + (size_t)(k / 2)) * m.field.nx + i + (size_t)(k % 2);
                const aw_rooms *r = &m.surface.rooms;
                const double value = aw_surface_at(&m.surface, aw_field_centre(&m.field, at));
                whole = whole && !isnan(m.field.value[at]) &&
                        r->room[aw_rooms_centre(r, &m.field, at)] ==
                            r->room[aw_rooms_centre(r, &m.field, j * m.field.nx + i)];
                least = fmin(least, value);
                most = fmax(most, value);
            }
            const aw_point c = aw_field_centre(&m.field, j * m.field.nx + i);
            for (double u = 0.05; whole && u < 1; u += 0.15) {
                const double value = aw_surface_at(
                    &m.surface, (aw_point){c.x + u * m.field.step, c.y + 0.4 * m.field.step});
                ck_assert_double_ge(value, least * (1 - CLOSE));
                ck_assert_double_le(value, most * (1 + CLOSE));
                checked++;
            }
        }
    ck_assert_uint_gt(checked, 500);
    release(&m);
}
END_TEST

/* Parity of rings over a place. */
static bool is_over(const aw_paths *rings, aw_point p)
{
    bool over = false;
    for (size_t k = 0; k < rings->n; k++)
        for (size_t i = 0; i < rings->list[k].n; i++) {
            const aw_point a = rings->list[k].at[i];
            const aw_point b = rings->list[k].at[i + 1 < rings->list[k].n ? i + 1 : 0];
            if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x))
                over = !over;
        }
    return over;
}

/* A cell whose interval lies on one side of a level lies on that side of its rings; all rings
 * close. */
START_TEST(no_clear_cell_is_on_the_wrong_side)
{
    static const double levels[] = {0.2, 0.5, 0.8, 1, 2, 5};
    made m = {0};
    size_t clear = 0;
    make_demo(&m, scenarios[_i]);
    for (size_t k = 0; k < sizeof levels / sizeof *levels; k++)
        for (size_t room = 0; room < m.surface.rooms.n; room++) {
            aw_paths rings;
            ck_assert(aw_surface_rings(&m.surface, room, levels[k], &rings));
            for (size_t n = 0; n < rings.n; n++)
                ck_assert(rings.list[n].closed);
            for (size_t at = 0; at < m.field.nx * m.field.ny; at++) {
                const bool over = m.field.ends[0][at] > levels[k];
                if (isnan(m.field.value[at]) ||
                    m.surface.rooms.room[aw_rooms_centre(&m.surface.rooms, &m.field, at)] != room ||
                    (!over && !(m.field.ends[1][at] < levels[k])))
                    continue;
                clear++;
                ck_assert_int_eq(is_over(&rings, aw_field_centre(&m.field, at)), over);
            }
            aw_paths_free(&rings);
        }
    ck_assert_uint_gt(clear, 200);
    release(&m);
}
END_TEST

/* Noise within the intervals leaves no ring: a level floor is drawn level. */
START_TEST(noise_is_not_coast)
{
    made m = {0};
    uint64_t state = 5 + (uint64_t)_i;
    aw_paths rings;
    make_floor(&m, "");
    for (size_t at = 0; at < 20 * 12; at++)
        set(&m, at, 0.5 * exp(test_between(&state, -0.08, 0.08)), exp(0.1));
    ck_assert(aw_surface_make(&m.surface, &m.field, &m.s, 0, true));
    for (double level = 0.46; level < 0.55; level += 0.0799) {
        ck_assert(aw_surface_rings(&m.surface, 0, level, &rings));
        if (level < 0.5)
            ck_assert_uint_eq(rings.n, 1); /* round the whole room */
        else
            ck_assert_uint_eq(rings.n, 0);
        aw_paths_free(&rings);
    }
    release(&m);
}
END_TEST

/* --- rooms --- */

/* Ten times the error on the far side of a wall: neither side knows of the other up to it. */
START_TEST(nothing_is_carried_through_a_wall)
{
    made m = {0};
    make_floor(&m, "walls:\n  - {name: partition, path: [[10.1, -1], [10.1, 13]], thickness: 0.2, "
                   "material: metal}\n");
    for (size_t at = 0; at < 20 * 12; at++)
        set(&m, at, at % 20 < 10 ? 0.4 : 4, 1.2);
    ck_assert(aw_surface_make(&m.surface, &m.field, &m.s, 0, true));
    ck_assert_uint_eq(m.surface.rooms.n, 2);
    for (double y = 0.3; y < 12; y += 0.7)
        for (double x = 0.1; x < 20; x += 0.13) {
            if (x > 9.9 && x < 10.3)
                continue;
            ck_close(aw_surface_at(&m.surface, (aw_point){x, y}), x < 10 ? 0.4 : 4, 1e-9);
        }
    release(&m);
}
END_TEST

/* Without the wall the same field is one slope. */
START_TEST(without_a_wall_it_is)
{
    made m = {0};
    make_floor(&m, "");
    for (size_t at = 0; at < 20 * 12; at++)
        set(&m, at, at % 20 < 10 ? 0.4 : 4, 1.2);
    ck_assert(aw_surface_make(&m.surface, &m.field, &m.s, 0, true));
    ck_assert_uint_eq(m.surface.rooms.n, 1);
    const double middle = aw_surface_at(&m.surface, (aw_point){10, 6});
    ck_assert_double_gt(middle, 0.7);
    ck_assert_double_lt(middle, 2.2);
    release(&m);
}
END_TEST

/* A zone by a tag of its own is a field of its own. */
START_TEST(a_zone_of_another_tag_is_a_room)
{
    made m = {0};
    make_floor(&m, "tags:\n  - {name: first, height: 1}\n  - {name: other, height: 2}\nzones:\n  - "
                   "{name: bay, outline: [[3, 3], [8, 3], [8, 8], [3, 8]], tag: other}\n");
    for (size_t at = 0; at < 20 * 12; at++)
        set(&m, at, at % 20 >= 3 && at % 20 < 8 && at / 20 >= 3 && at / 20 < 8 ? 2 : 0.4, 1.1);
    ck_assert(aw_surface_make(&m.surface, &m.field, &m.s, 0, true));
    ck_assert_uint_eq(m.surface.rooms.n, 2);
    ck_close(aw_surface_at(&m.surface, (aw_point){7.8, 5}), 2, 1e-9);
    ck_close(aw_surface_at(&m.surface, (aw_point){8.2, 5}), 0.4, 1e-9);
    release(&m);
}
END_TEST

/* --- no fix --- */

/* One cell without a fix, in the middle, at a wall, in a corner: it is on the sheet. */
START_TEST(a_single_cell_without_a_fix_stays)
{
    static const size_t cells[] = {6 * 20 + 9, 6 * 20, 0, 20 * 12 - 1};
    made m = {0};
    aw_paths rings;
    double area = 0;
    make_floor(&m, "");
    for (size_t at = 0; at < 20 * 12; at++)
        set(&m, at, 0.4, 1.1);
    m.field.value[cells[_i]] = m.field.ends[0][cells[_i]] = m.field.ends[1][cells[_i]] =
        (double)NAN;
    ck_assert(aw_surface_make(&m.surface, &m.field, &m.s, 0, true));
    ck_assert(m.surface.has_no_fix);
    ck_assert(aw_field_trace(&m.surface.no_fix, 0.5, &rings));
    ck_assert_uint_eq(rings.n, 1);
    for (size_t at = 0; at < 20 * 12; at++)
        ck_assert_int_eq(is_over(&rings, aw_field_centre(&m.field, at)), at == cells[_i]);
    for (size_t i = 0; i < rings.list[0].n; i++) {
        const aw_point a = rings.list[0].at[i];
        const aw_point b = rings.list[0].at[i + 1 < rings.list[0].n ? i + 1 : 0];
        area += (a.x * b.y - b.x * a.y) / 2;
    }
    ck_assert_double_gt(fabs(area), 0.3);
    aw_paths_free(&rings);
    release(&m);
}
END_TEST

static TCase *floors(void)
{
    TCase *tc = tcase_create("floors");
    tcase_add_loop_test(tc, every_cell_is_drawn_inside_its_interval, 0, N_SCENARIOS);
    tcase_add_loop_test(tc, nothing_is_drawn_that_no_cell_around_has, 0, N_SCENARIOS);
    tcase_add_loop_test(tc, no_clear_cell_is_on_the_wrong_side, 0, N_SCENARIOS);
    tcase_add_loop_test(tc, noise_is_not_coast, 0, 5);
    return tc;
}

static TCase *rooms(void)
{
    TCase *tc = tcase_create("rooms");
    tcase_add_test(tc, nothing_is_carried_through_a_wall);
    tcase_add_test(tc, without_a_wall_it_is);
    tcase_add_test(tc, a_zone_of_another_tag_is_a_room);
    tcase_add_loop_test(tc, a_single_cell_without_a_fix_stays, 0, 4);
    return tc;
}

AW_TEST_MAIN("surface", floors(), rooms())
