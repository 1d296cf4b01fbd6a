/* Writes draws of a scenario that the careful solver was asked for, as text for a global search to
 * be held against. For each problem
 *
 *     case DIMS N CORNERS FLOOR CEILING SIDE
 *
 * with heights as seen from the spot, then the corners "X Y" of the outline, N lines
 * "X Y Z WEIGHT RHO", and one line "fix FOUND AMBIGUOUS X Y Z OFFSET SQUARES".
 *
 * usage: dump_draws SCENARIO CELLS EVERY [failed]: of every so many cells of the floor every so
 *            many draws; with `failed` those without a fix alone
 *        dump_draws layouts N: of so many random ones of three anchors on the floor those whose
 *            arrivals no place fits exactly */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise.h"
#include "map/spot.h"
#include "position/fix.h"
#include "position/kernel.h"
#include "position/trials.h"

static unsigned long every, asked;
static bool only_failed, only_inexact;

void __real_aw_fix_find_all(const aw_kernel *kernel, const aw_fix_problem problems[], size_t n,
                            aw_fix fixes[]);
void __wrap_aw_fix_find_all(const aw_kernel *kernel, const aw_fix_problem problems[], size_t n,
                            aw_fix fixes[]);

static void write_case(const aw_fix_problem *p, const aw_fix *fix)
{
    const aw_polygon *o = p->site.outline;
    printf("case %d %zu %zu %.17g %.17g %u\n", p->dims, p->n, o->n, p->site.floor - p->spot[2],
           p->site.ceiling - p->spot[2], p->side & 1);
    for (size_t i = 0; i < o->n; i++)
        printf("%.17g %.17g\n", o->at[i].x - p->spot[0], o->at[i].y - p->spot[1]);
    for (size_t i = 0; i < p->n; i++)
        printf("%.17g %.17g %.17g %.17g %.17g\n", p->anchor[i][0], p->anchor[i][1], p->anchor[i][2],
               p->weight[i], p->rho[i]);
    printf("fix %d %d %.17g %.17g %.17g %.17g %.17g\n", fix->found, fix->ambiguous, fix->at[0],
           fix->at[1], fix->at[2], fix->offset, fix->residual);
}

void __wrap_aw_fix_find_all(const aw_kernel *kernel, const aw_fix_problem problems[], size_t n,
                            aw_fix fixes[])
{
    __real_aw_fix_find_all(kernel, problems, n, fixes);
    for (size_t i = 0; i < n; i++) {
        const bool exact = fixes[i].found && fixes[i].residual < 1e-9;
        if ((!fixes[i].found || !only_failed) && !(exact && only_inexact) && asked++ % every == 0)
            write_case(&problems[i], &fixes[i]);
    }
}

static void draw_cells(const aw_scenario *s, unsigned long step)
{
    aw_errors errors = {0};
    aw_grid grid;
    aw_scene *scene = aw_scene_create(s);
    aw_spot spot = {.links = calloc(s->n_anchors, sizeof *spot.links)};
    aw_trials *trials = aw_trials_create(s->n_anchors, s->study.draws, NULL);
    if (scene == NULL || spot.links == NULL || trials == NULL ||
        !aw_grid_lay_zone(&grid, s, NULL, &errors))
        exit(3);
    for (size_t i = step / 2; i < grid.n; i += step) {
        aw_spot_prepare(&spot, scene, s, 0, &grid, grid.number[i]);
        aw_trials_run(trials, &spot.draws);
    }
    aw_trials_free(trials);
    free(spot.links);
    aw_scene_free(scene);
    aw_grid_free(&grid);
}

/* A number in [0, 1), by a generator of this file's own (Steele, Lea and Flood 2014). */
static double next_share(void)
{
    static uint64_t state = 5;
    uint64_t z = state += UINT64_C(0x9E3779B97F4A7C15);
    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    return (double)((z ^ (z >> 31)) >> 11) * 0x1p-53;
}

static double next_normal(void)
{
    const double radius = sqrt(-2 * log(1 - next_share()));
    return radius * cos(6.283185307179586 * next_share());
}

static void draw_layouts(unsigned long n)
{
    static const aw_point corner[] = {{0, 0}, {40, 0}, {40, 30}, {0, 30}};
    const aw_polygon outline = {corner, 4, {0, 0}, {40, 30}};
    every = 1;
    only_inexact = true;
    for (unsigned long i = 0; i < n; i++) {
        double anchor[3][3], weight[3], rho[3];
        const double sigma = 0.1 + next_share(), up = 1 + 4 * next_share();
        aw_fix_problem p = {.dims = 2,
                            .n = 3,
                            .anchor = anchor,
                            .weight = weight,
                            .rho = rho,
                            .spot = {40 * next_share(), 30 * next_share(), 1.2},
                            .site = {.outline = &outline, .ceiling = 8},
                            .side = i & 1};
        for (int k = 0; k < 3; k++) {
            anchor[k][0] = 40 * next_share() - p.spot[0];
            anchor[k][1] = 30 * next_share() - p.spot[1];
            anchor[k][2] = up;
            weight[k] = 1 / (sigma * sigma);
            rho[k] = sqrt(anchor[k][0] * anchor[k][0] + anchor[k][1] * anchor[k][1] + up * up) +
                     sigma * next_normal();
        }
        aw_fix fix;
        aw_fix_find_all(aw_kernel_best(), &p, 1, &fix);
    }
}

int main(int argc, char *argv[])
{
    aw_scenario s;
    aw_errors errors = {0};
    if (argc == 3 && strcmp(argv[1], "layouts") == 0) {
        draw_layouts(strtoul(argv[2], NULL, 10));
        return 0;
    }
    if (argc < 4 || !aw_scenario_read(&s, argv[1], &errors)) {
        fprintf(stderr, "usage: dump_draws SCENARIO CELLS EVERY [failed]\n");
        return 2;
    }
    every = strtoul(argv[3], NULL, 10);
    only_failed = argc > 4 && strcmp(argv[4], "failed") == 0;
    draw_cells(&s, strtoul(argv[2], NULL, 10));
    aw_scenario_free(&s);
    return 0;
}
