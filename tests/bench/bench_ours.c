/* The product's own map over the floor, from links to percentiles and pooled counts; again and
 * again for about as long as a peer takes, so that a busy machine disturbs both alike. At the
 * processor level that BENCH_LEVEL names, else the best; ends with 77 where there is none such. */
#include "position/kernel.h"
#include "bench.h"

#define LEAST_SECONDS 2.0

const aw_kernel *__real_aw_kernel_best(void);
const aw_kernel *__wrap_aw_kernel_best(void);
static const aw_kernel *chosen;

const aw_kernel *__wrap_aw_kernel_best(void)
{
    return chosen;
}

/* One whole map; returns its seconds, or ends the program. */
static double run_once(const aw_scenario *scenario, aw_grid *grid, aw_map *map)
{
    aw_errors errors = {0};
    const aw_map_plan plan = {.scenario = scenario, .tag = 0, .groups = 1};
    const double began = bench_now();
    if (!aw_map_run(map, grid, &plan, &(aw_run){aw_processors(), NULL, &errors})) {
        aw_errors_write(&errors, "bench", true, stderr);
        exit(3);
    }
    return bench_now() - began;
}

int main(int argc, char **argv)
{
    aw_scenario scenario;
    aw_grid grid;
    aw_map map;
    aw_errors errors = {0};
    const char *level = getenv("BENCH_LEVEL");
    chosen = level != NULL ? aw_kernel_named(level) : __real_aw_kernel_best();
    if (chosen == NULL)
        return 77;
    bench_open(argc, argv, &scenario, &grid);
    double seconds = run_once(&scenario, &grid, &map), fixes = (double)map.draws, maps = 1;
    while (seconds < LEAST_SECONDS) {
        aw_map_free(&map);
        if (!aw_grid_lay(&grid, &scenario, 0, &errors))
            return 3;
        seconds += run_once(&scenario, &grid, &map);
        fixes += (double)map.draws;
        maps++;
    }
    bench_close(argv[2], map.value + (size_t)AW_LAYER_P95 * map.grid.n, map.grid.n, seconds, fixes);
    printf("level %s\nmaps %.0f\n", chosen->level, maps);
    aw_map_free(&map);
    aw_scenario_free(&scenario);
    return 0;
}
