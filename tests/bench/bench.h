/* What the timed programs share. Each is called as
 *
 *     bench_NAME SCENARIO FILE
 *
 * reads the scenario, works on all processors, writes the p95 of every cell of the first tag's
 * floor to FILE, one a line in the order of the cells ("nan" where there is none), and prints
 * "KEY VALUE" lines: seconds of the work alone, fixes, and what else it has to say. */
#ifndef BENCH_H
#define BENCH_H

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "anchorwise/map.h"
#include "base/parallel.h"

static inline double bench_now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Reads the scenario and lays its grid, or ends the program. */
static inline void bench_open(int argc, char **argv, aw_scenario *scenario, aw_grid *grid)
{
    aw_errors errors = {0};
    if (argc != 3) {
        fprintf(stderr, "usage: %s SCENARIO FILE\n", argv[0]);
        exit(2);
    }
    if (!aw_scenario_read(scenario, argv[1], &errors) || !aw_map_check(scenario, &errors) ||
        !aw_grid_lay(grid, scenario, 0, &errors)) {
        aw_errors_write(&errors, argv[1], true, stderr);
        exit(2);
    }
}

static inline void bench_close(const char *path, const double p95[], size_t n, double seconds,
                               double fixes)
{
    FILE *out = fopen(path, "w");
    bool written = out != NULL;
    for (size_t i = 0; written && i < n; i++)
        written = fprintf(out, "%.9g\n", p95[i]) > 0;
    if (out == NULL || fclose(out) != 0 || !written) {
        fprintf(stderr, "cannot write %s\n", path);
        exit(3);
    }
    printf("seconds %.9f\nfixes %.0f\n", seconds, fixes);
}

#endif
