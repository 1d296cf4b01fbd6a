/* The product's own map over the floor, from links to percentiles and pooled counts. */
#include "bench.h"
#include "position/kernel.h"

int main(int argc, char **argv)
{
    aw_scenario scenario;
    aw_grid grid;
    aw_map map;
    aw_errors errors = {0};
    bench_open(argc, argv, &scenario, &grid);
    const aw_map_plan plan = {
        .scenario = &scenario, .tag = 0, .groups = 1, .threads = aw_processors()};
    const double began = bench_now();
    if (!aw_map_run(&map, &grid, &plan, &errors)) {
        aw_errors_write(&errors, argv[1], true, stderr);
        return 3;
    }
    const double seconds = bench_now() - began;
    bench_close(argv[2], map.value + (size_t)AW_LAYER_P95 * map.grid.n, map.grid.n, seconds,
                (double)map.draws);
    printf("level %s\n", aw_kernel_best()->level);
    aw_map_free(&map);
    aw_scenario_free(&scenario);
    return 0;
}
