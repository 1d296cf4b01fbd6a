/* Fixes in lanes against the careful solver, draw by draw, over every demo: the same fix, of the
 * same standing. AW_WHOLE=1 takes every cell, AW_PRINT=1 prints what was found. */
#include <dirent.h>
#include <stdio.h>
#include <string.h>

#include "map/spot.h"
#include "position/descent.h"
#include "position/kernel.h"
#include "position/trials.h"
#include "files.h"
#include "links.h"

/* Fixes further apart than this are not the same, m, nor than this share of what they are off,
 * where a valley is so flat that floats end elsewhere in it; of so many draws one may differ, and
 * of the draws the careful solver may have to find so many in a hundred, under a radio as well
 * those that hear a row of the anchors. */
#define APART 1e-3
#define SHARE 2e-3
enum { ONE_IN = 10000, ROBUST_ONE_IN = 500, ROBUST_LEFT = 10, SAMPLED = 96 };

/* The best one, whose descents are counted; without its lanes all draws are left open. */
static aw_kernel kernel;

const aw_kernel *__real_aw_kernel_best(void);
const aw_kernel *__wrap_aw_kernel_best(void);
void __real_aw_fix_find_all(const aw_kernel *k, const aw_fix_problem problems[], size_t n,
                            aw_fix fixes[]);
void __wrap_aw_fix_find_all(const aw_kernel *k, const aw_fix_problem problems[], size_t n,
                            aw_fix fixes[]);

/* Draws that took a descent, and of the problems at hand those that have. */
static size_t n_careful;
static const aw_fix_problem *at_hand;
static bool descended[AW_BLOCK];

static void leave_all_open(const aw_lane_cell *cell, const aw_lane_block *block)
{
    (void)cell;
    memset(block->open, 0xFF, block->lanes * sizeof *block->open);
}

static void descend(aw_descent list[], size_t n)
{
    for (size_t i = 0; i < n; i++)
        descended[list[i].problem - at_hand] = true;
    __real_aw_kernel_best()->descend(list, n);
}

const aw_kernel *__wrap_aw_kernel_best(void)
{
    kernel = *__real_aw_kernel_best();
    kernel.descend = descend;
    return &kernel;
}

void __wrap_aw_fix_find_all(const aw_kernel *k, const aw_fix_problem problems[], size_t n,
                            aw_fix fixes[])
{
    memset(descended, 0, sizeof descended);
    at_hand = problems;
    __real_aw_fix_find_all(k, problems, n, fixes);
    for (size_t i = 0; i < n; i++)
        n_careful += descended[i];
}

typedef struct count {
    size_t draws, other_place, other_standing, careful;
    bool fades;
} count;

static aw_trials *create(const aw_scenario *s)
{
    aw_trials *t = aw_trials_create(s->n_anchors, s->study.draws, NULL);
    ck_assert_ptr_nonnull(t);
    return t;
}

static void compare(count *c, const aw_draws *a, const aw_draws *b)
{
    for (size_t m = 0; m < a->n; m++) {
        const double dx = (double)a->x[m] - (double)b->x[m], dy = (double)a->y[m] - (double)b->y[m];
        const double dz = (double)a->z[m] - (double)b->z[m];
        const double apart = sqrt(dx * dx + dy * dy + dz * dz);
        c->draws++;
        c->other_standing += a->status[m] != b->status[m];
        c->other_place += a->status[m] != AW_DRAW_FAILED && b->status[m] != AW_DRAW_FAILED &&
                          !(apart < APART + SHARE * (double)b->radius[m]);
    }
}

static count count_cells(const char *path, aw_solver solver)
{
    count c = {0};
    aw_scenario s;
    aw_errors errors = {0};
    aw_grid grid;
    ck_assert_msg(aw_scenario_read(&s, path, &errors), "%s", path);
    s.ranging.solver = solver;
    ck_assert(aw_grid_lay_zone(&grid, &s, NULL, &errors));
    aw_scene *scene = aw_scene_create(&s);
    aw_spot spot = {.links = calloc(s.n_anchors, sizeof *spot.links)};
    aw_trials *lanes = create(&s), *slow = create(&s);
    ck_assert(scene != NULL && spot.links != NULL);
    const size_t step = getenv("AW_WHOLE") != NULL || grid.n < SAMPLED ? 1 : grid.n / SAMPLED;
    for (size_t i = step / 2; i < grid.n; i += step) {
        aw_spot_prepare(&spot, scene, &s, 0, &grid, grid.number[i]);
        n_careful = 0;
        kernel.solve = __real_aw_kernel_best()->solve;
        const aw_draws a = aw_trials_run(lanes, &spot.draws);
        c.careful += n_careful;
        kernel.solve = leave_all_open;
        const aw_draws b = aw_trials_run(slow, &spot.draws);
        compare(&c, &a, &b);
    }
    c.fades = s.radio.given;
    aw_trials_free(lanes);
    aw_trials_free(slow);
    free(spot.links);
    aw_scene_free(scene);
    aw_grid_free(&grid);
    aw_scenario_free(&s);
    return c;
}

static const char *const demos[] = {"crate-hall",    "l-hall",          "parts-store",
                                    "scenery-store", "tram-hall-bogie", "tram-hall-places",
                                    "tram-hall",     "washing-shed",    "wheel-pit"};

static count compare_demo(const char *demo, aw_solver solver)
{
    char *path;
    ck_assert(asprintf(&path, "scenarios/%s.yaml", demo) > 0);
    const count c = count_cells(path, solver);
    if (getenv("AW_PRINT") != NULL)
        printf(
            "%-18s %-6s %8zu draws, %zu in another place, %zu of another standing, %.2f %% left\n",
            demo, aw_solver_name(solver), c.draws, c.other_place, c.other_standing,
            100 * (double)c.careful / (double)c.draws);
    ck_assert_uint_gt(c.draws, 50000);
    free(path);
    return c;
}

START_TEST(lanes_find_the_careful_solvers_fix)
{
    const count c = compare_demo(demos[_i], AW_SOLVER_PLAIN);
    ck_assert_uint_le((c.other_place + c.other_standing) * ONE_IN, c.draws);
    ck_assert_uint_le(c.careful * 100, (c.fades ? 2 : 1) * c.draws);
}
END_TEST

/* Where a draw is on the edge of suspicion, rounding may decide whether consensus is tried. */
static const char *const doubted[] = {"crate-hall", "tram-hall-bogie", "washing-shed", "wheel-pit"};

START_TEST(lanes_find_the_careful_robust_fix)
{
    const count c = compare_demo(doubted[_i], AW_SOLVER_ROBUST);
    ck_assert_uint_le((c.other_place + c.other_standing) * ROBUST_ONE_IN, c.draws);
    ck_assert_uint_le(c.careful * ROBUST_LEFT, c.draws);
}
END_TEST

static TCase *fixes(void)
{
    TCase *tc = tcase_create("demos");
    tcase_add_loop_test(tc, lanes_find_the_careful_solvers_fix, 0, sizeof demos / sizeof *demos);
    tcase_add_loop_test(tc, lanes_find_the_careful_robust_fix, 0, sizeof doubted / sizeof *doubted);
    return tc;
}

AW_TEST_MAIN("lanes", fixes())
