/* The product's own map over the floor, from links to percentiles and pooled counts; again and
 * again for about as long as a peer takes, so that a busy machine disturbs both alike. */
#include "bench.h"
#include "position/kernel.h"

#define LEAST_SECONDS 2.0

/* One whole map; returns its seconds, or ends the program. */
static double run_once(const aw_scenario *scenario, aw_grid *grid, aw_map *map)
{
    aw_errors errors = {0};
    const aw_map_plan plan = {
        .scenario = scenario, .tag = 0, .groups = 1, .threads = aw_processors()};
    const double began = bench_now();
    if (!aw_map_run(map, grid, &plan, &errors)) {
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
    bench_open(argc, argv, &scenario, &grid);
    double seconds = run_once(&scenario, &grid, &map), fixes = (double)map.draws;
    while (seconds < LEAST_SECONDS) {
        aw_map_free(&map);
        if (!aw_grid_lay(&grid, &scenario, scenario.tags[0].height, &errors))
            return 3;
        seconds += run_once(&scenario, &grid, &map);
        fixes += (double)map.draws;
    }
    bench_close(argv[2], map.value + (size_t)AW_LAYER_P95 * map.grid.n, map.grid.n, seconds, fixes);
    printf("level %s\n", aw_kernel_best()->level);
    aw_map_free(&map);
    aw_scenario_free(&scenario);
    return 0;
}
