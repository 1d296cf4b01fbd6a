/* Which cells of a floor are computed: each against the rule asked point by point, and the limits
 * by what would do instead. */
#include "links.h"

#include <stdio.h>

#include "base/plane.h"

/* Writes a ragged ring of corners about a place; corners fall on multiples of `raster` where it is
 * not 0, so that cell centres lie exactly on edges and corners. */
static void print_ring(FILE *out, uint64_t *state, double x, double y, double most, double raster)
{
    const int n = 4 + (int)(test_uniform(state) * 9);
    fputc('[', out);
    for (int k = 0; k < n; k++) {
        const double a = 2 * M_PI * (k + 0.6 * test_uniform(state)) / n;
        const double r = test_between(state, 0.3, 1) * most;
        double cx = x + r * cos(a), cy = y + r * sin(a);
        if (raster > 0) {
            cx = raster * round(cx / raster);
            cy = raster * round(cy / raster);
        }
        fprintf(out, "%s[%.10g, %.10g]", k ? ", " : "", cx, cy);
    }
    fputc(']', out);
}

static char *write_floor(uint64_t seed, double raster)
{
    char *yaml = NULL;
    size_t length;
    uint64_t state = seed;
    FILE *out = open_memstream(&yaml, &length);
    ck_assert_ptr_nonnull(out);
    fputs("anchorwise: 1\ntitle: t\nfloor: {ceiling: 6, outline: ", out);
    print_ring(out, &state, 3, -2, 14, raster);
    fputs("}\nobstacles:\n", out);
    for (int i = 0; i < 4; i++) {
        fprintf(out, "  - {name: o%d, material: metal, base: %d, top: %d, footprint: ", i, i % 2,
                2 + i);
        print_ring(out, &state, test_between(&state, -4, 9), test_between(&state, -8, 5), 3,
                   raster);
        fputs("}\n", out);
    }
    fprintf(out,
            "walls: [{name: w, material: brick, top: 3, thickness: 0.5, path: [[-6, -6], [2, "
            "%g], [8, %g]]}]\n",
            test_between(&state, -3, 3), test_between(&state, -9, 9));
    fputs("anchors: [{name: a, at: [0, 0, 4]}]\ntags: [{name: low, height: 0.5}, {name: high, "
          "height: 2.5}]\nzones:\n",
          out);
    for (int i = 0; i < 2; i++) {
        fprintf(out, "  - {name: z%d, tag: %s, outline: ", i, i ? "high" : "low");
        print_ring(out, &state, 2, 0, 8, raster);
        fputs("}\n", out);
    }
    fclose(out);
    return yaml;
}

/* Rings on a raster may cross themselves; then the floor says so and another is tried. */
static void read_floor(aw_scenario *s, uint64_t *seed, double raster)
{
    for (;; (*seed)++) {
        aw_errors errors = {0};
        char *yaml = write_floor(*seed, raster);
        const bool sound = aw_scenario_parse(s, yaml, strlen(yaml), &errors);
        aw_errors_free(&errors);
        free(yaml);
        if (sound)
            return;
    }
}

/* The rule of the model, one point at a time. */
static bool is_kept(const aw_scenario *s, double x, double y, double height)
{
    bool kept = aw_polygon_holds(&s->floor.outline, x, y);
    for (size_t k = 0; k < s->n_obstacles; k++)
        if (s->obstacles[k].base < height && height < s->obstacles[k].top)
            kept = kept && !aw_polygon_holds(&s->obstacles[k].footprint, x, y);
    for (size_t k = 0; k < s->n_walls; k++)
        for (size_t l = 0; l + 1 < s->walls[k].n; l++)
            if (s->walls[k].base < height && height < s->walls[k].top)
                kept = kept && !aw_polygon_holds(&s->walls[k].legs[l], x, y);
    return kept;
}

typedef bool chosen(const void *what, aw_point centre);

/* Counts the cells of the whole box that the rule keeps, and finds each in the grid. */
static void check_grid(const aw_grid *grid, const aw_scenario *s, double height, chosen *choose,
                       const void *what)
{
    size_t n = 0;
    const aw_polygon *o = &s->floor.outline;
    ck_assert_uint_eq(grid->nx, (size_t)ceil((o->high.x - o->low.x) / s->study.step - 1e-9));
    ck_assert_uint_eq(grid->ny, (size_t)ceil((o->high.y - o->low.y) / s->study.step - 1e-9));
    for (size_t j = 0; j < grid->ny; j++)
        for (size_t i = 0; i < grid->nx; i++) {
            const aw_point c = {o->low.x + ((double)i + 0.5) * s->study.step,
                                o->low.y + ((double)j + 0.5) * s->study.step};
            if (!is_kept(s, c.x, c.y, height) || (choose != NULL && !choose(what, c)))
                continue;
            ck_assert_uint_lt(n, grid->n);
            ck_assert_uint_eq(grid->number[n], j * grid->nx + i);
            const aw_point got = aw_grid_centre(grid, grid->number[n++]);
            ck_assert(got.x == c.x && got.y == c.y);
        }
    ck_assert_uint_eq(n, grid->n);
}

static bool in_polygon(const void *what, aw_point c)
{
    return aw_polygon_holds(what, c.x, c.y);
}

static bool in_box(const void *what, aw_point c)
{
    const aw_point *box = what;
    return box[0].x <= c.x && c.x <= box[1].x && box[0].y <= c.y && c.y <= box[1].y;
}

/* Heights at, above and below bases and tops; with a raster, centres on edges and corners. */
START_TEST(floors_keep_exactly_the_cells_of_the_rule)
{
    uint64_t seed = 1000 * (1 + (uint64_t)_i);
    const double raster = _i % 2 ? 0.5 : 0, heights[] = {0, 0.5, 1, 2, 2.5, 3, 4.7};
    aw_scenario s;
    aw_grid grid;
    aw_errors errors = {0};
    read_floor(&s, &seed, raster);
    s.study.step = _i % 2 ? 1 : 0.37;
    for (size_t k = 0; k < sizeof heights / sizeof *heights; k++) {
        ck_assert(lay_at(&grid, &s, heights[k], &errors));
        ck_assert_uint_gt(grid.n, 20);
        check_grid(&grid, &s, heights[k], NULL, NULL);
        aw_grid_free(&grid);
    }
    aw_scenario_free(&s);
}
END_TEST

START_TEST(zones_and_boxes_keep_exactly_their_own_cells)
{
    uint64_t seed = 77000 + 1000 * (uint64_t)_i;
    aw_scenario s;
    aw_grid grid;
    aw_errors errors = {0};
    read_floor(&s, &seed, _i % 2 ? 0.5 : 0);
    s.study.step = _i % 2 ? 1 : 0.29;
    for (size_t z = 0; z < 2; z++) {
        const double height = s.tags[z].height;
        ck_assert(aw_grid_lay_zone(&grid, &s, &s.zones[z], &errors));
        check_grid(&grid, &s, height, in_polygon, &s.zones[z].outline);
        aw_grid_free(&grid);
        ck_assert(lay_at(&grid, &s, height, &errors));
        ck_assert(aw_grid_clip(&grid, &s.zones[z].outline));
        check_grid(&grid, &s, height, in_polygon, &s.zones[z].outline);
        aw_grid_free(&grid);
    }
    ck_assert(aw_grid_lay_zone(&grid, &s, NULL, &errors));
    check_grid(&grid, &s, 0.5, NULL, NULL);
    /* A box whose corners are centres of cells. */
    const aw_point box[2] = {aw_grid_centre(&grid, grid.number[grid.n / 3]),
                             {HUGE_VAL, aw_grid_centre(&grid, grid.number[2 * grid.n / 3]).y}};
    aw_grid_clip_box(&grid, box[0], box[1]);
    ck_assert_uint_gt(grid.n, 0);
    check_grid(&grid, &s, 0.5, in_box, box);
    aw_grid_free(&grid);
    aw_scenario_free(&s);
}
END_TEST

/* Tenths are no binary fractions: 2.1 / 0.7 is a little more than 3. */
START_TEST(a_floor_of_whole_steps_has_no_cell_more)
{
    const double tenths[] = {1, 2, 3, 6, 7, 11, 13};
    aw_scenario s;
    aw_grid grid;
    aw_errors errors = {0};
    char *yaml = write_floor(1, 0);
    size_t more = 0;
    read_text(&s, yaml);
    for (size_t k = 0; k < sizeof tenths / sizeof *tenths; k++)
        for (size_t n = 1; n <= 120; n++) {
            const double w = tenths[k] * (double)n / 10, h = tenths[k] * (double)(121 - n) / 10;
            const aw_point corner[4] = {{0, 0}, {w, 0}, {w, h}, {0, h}};
            s.floor.outline = (aw_polygon){.at = corner, .n = 4};
            aw_polygon_close(&s.floor.outline);
            s.study.step = tenths[k] / 10;
            ck_assert(lay_at(&grid, &s, 6, &errors));
            ck_assert_uint_eq(grid.nx, n);
            ck_assert_uint_eq(grid.ny, 121 - n);
            ck_assert_uint_eq(grid.n, n * (121 - n));
            more += w / s.study.step > (double)n;
            aw_grid_free(&grid);
        }
    ck_assert_uint_gt(more, 5);
    aw_scenario_free(&s);
    free(yaml);
}
END_TEST

/* --- limits --- */

static const char *const square =
    "anchorwise: 1\ntitle: t\nfloor: {outline: [[0, 0], [2000, 0], [2000, 2000], [0, 2000]], "
    "ceiling: 5}\nanchors: [{name: a, at: [0, 0, 4]}]\nstudy: {step: 1, draws: 250000}\n";

/* 4 000 000 cells, and 1e12 for cells x draws x anchors, are allowed; anything more is not. */
START_TEST(limits_are_the_last_that_is_allowed)
{
    aw_scenario s;
    aw_errors errors = {0};
    read_text(&s, square);
    ck_assert(aw_map_check(&s, &errors));
    ck_assert_uint_eq(errors.n, 0);
    s.study.draws = 250001;
    ck_assert(!aw_map_check(&s, &errors));
    ck_assert_uint_eq(errors.n_errors, 1);
    ck_assert_ptr_nonnull(strstr(errors.list[0].text, "at most 250000 draws"));
    aw_errors_free(&errors);
    s.study.draws = 10;
    s.study.step = 0.9995;
    ck_assert(!aw_map_check(&s, &errors));
    ck_assert_uint_eq(errors.n_errors, 1);
    aw_errors_free(&errors);
    aw_scenario_free(&s);
}
END_TEST

/* The figure before " m would do" or " ft would do". */
static double step_named(const aw_errors *errors, const char *unit)
{
    ck_assert_uint_eq(errors->n_errors, 1);
    const char *text = errors->list[0].text, *end = strstr(text, unit);
    ck_assert_msg(end != NULL, "%s", text);
    while (end > text && end[-1] != ' ')
        end--;
    return strtod(end, NULL);
}

#define OPENING "anchorwise: 1\ntitle: t\nanchors: [{name: a, at: [0, 0, 4]}]\n"

/* Zones thrown on a floor in metres or feet, too small for its step: the step that is named gives
 * the zone a cell, and twice that step gives it none. */
START_TEST(the_step_named_for_an_empty_zone_does)
{
    uint64_t state = 4000 + (uint64_t)_i;
    const bool feet = _i % 2;
    char yaml[1000];
    int refused = 0;
    for (int k = 0; k < 60; k++) {
        const double x = test_between(&state, 1, 25), y = test_between(&state, 1, 18);
        const double w = test_between(&state, 0.5, 1.4), h = test_between(&state, 0.5, 1.4);
        snprintf(yaml, sizeof yaml,
                 OPENING "units: %s\nfloor: {outline: [[0.3, 0.1], [30, 0], [31, 21], [0, 20]], "
                         "ceiling: 5}\nstudy: {step: %.3f}\nzones: [{name: z, outline: [[%.4f, "
                         "%.4f], [%.4f, %.4f], [%.4f, %.4f]]}]\n",
                 feet ? "ft" : "m", test_between(&state, 1.2, 3), x, y, x + w, y + h / 3, x + w / 4,
                 y + h);
        aw_scenario s;
        aw_errors errors = {0};
        aw_grid grid;
        read_text(&s, yaml);
        if (!aw_map_check(&s, &errors)) {
            const double named = step_named(&errors, feet ? " ft would do" : " m would do");
            refused++;
            aw_errors_free(&errors);
            s.study.step = (feet ? AW_FOOT : 1) * named;
            ck_assert_msg(aw_map_check(&s, &errors), "%s%g would not do", yaml, named);
            s.study.step *= 2;
            ck_assert(aw_grid_lay_zone(&grid, &s, &s.zones[0], &errors));
            ck_assert_uint_eq(grid.n, 0);
            aw_grid_free(&grid);
        }
        aw_scenario_free(&s);
    }
    ck_assert_int_gt(refused, 15);
}
END_TEST

/* A zone in the press is empty for the low tag at any step, and full for the one above it. */
START_TEST(a_zone_is_judged_at_the_height_of_its_own_tag)
{
    const char *const yaml = OPENING
        "floor: {outline: [[0, 0], [20, 0], [20, 10], [0, 10]], ceiling: 5}\n"
        "obstacles: [{name: press, top: 2, material: metal, footprint: [[4, 2], [9, 2], [9, "
        "7], [4, 7]]}]\ntags: [{name: low, height: 1}, {name: high, height: 3}]\nzones:\n"
        "  - {name: a, tag: high, outline: [[5, 3], [8, 3], [8, 6], [5, 6]]}\n"
        "  - {name: b, tag: low, outline: [[5, 3], [8, 3], [8, 6], [5, 6]]}\n"
        "  - {name: c, tag: low, outline: [[3, 3], [8, 3], [8, 6], [3, 6]]}\n";
    aw_scenario s;
    aw_errors errors = {0};
    read_text(&s, yaml);
    ck_assert(!aw_map_check(&s, &errors));
    ck_assert_uint_eq(errors.n_errors, 1);
    ck_assert_str_eq(errors.list[0].text, "zone 'b' holds no cell: it is off the floor, inside "
                                          "obstacles, or too small");
    ck_assert_int_eq(errors.list[0].line, s.zones[1].place.line);
    aw_errors_free(&errors);
    aw_scenario_free(&s);
}
END_TEST

static TCase *cells(void)
{
    TCase *tc = tcase_create("cells");
    tcase_add_loop_test(tc, floors_keep_exactly_the_cells_of_the_rule, 0, 24);
    tcase_add_loop_test(tc, zones_and_boxes_keep_exactly_their_own_cells, 0, 24);
    tcase_add_test(tc, a_floor_of_whole_steps_has_no_cell_more);
    return tc;
}

static TCase *limits(void)
{
    TCase *tc = tcase_create("limits");
    tcase_add_test(tc, limits_are_the_last_that_is_allowed);
    tcase_add_loop_test(tc, the_step_named_for_an_empty_zone_does, 0, 6);
    tcase_add_test(tc, a_zone_is_judged_at_the_height_of_its_own_tag);
    return tc;
}

AW_TEST_MAIN("grid", cells(), limits())
