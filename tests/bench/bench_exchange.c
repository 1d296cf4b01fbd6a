/* A sweep over every exchange of one of the first twelve candidates for another, as place does it,
 * with all processors; best of several. Writes the figures. */
#include "anchorwise/candidates.h"
#include "place/views.h"
#include "bench.h"

#define ANCHORS 12
#define ROUNDS  9

int main(int argc, char **argv)
{
    aw_scenario scenario;
    aw_grid grid;
    aw_candidates candidates;
    aw_views views;
    aw_errors errors = {0};
    const aw_run run = {aw_processors(), NULL, &errors};
    size_t layout[ANCHORS];
    bench_open(argc, argv, &scenario, &grid);
    if (!aw_candidates_list(&candidates, &scenario, NULL, &errors) ||
        !aw_views_make(&views, &scenario, &candidates, SIZE_MAX, &run)) {
        aw_errors_write(&errors, argv[1], true, stderr);
        return 3;
    }
    double *score = calloc((ANCHORS + 1) * candidates.n, sizeof *score), best = HUGE_VAL;
    FILE *out = fopen(argv[2], "w");
    if (score == NULL || out == NULL)
        return 3;
    for (size_t i = 0; i < ANCHORS; i++)
        layout[i] = i;
    for (int i = 0; i < ROUNDS; i++) {
        const double began = bench_now();
        aw_views_sweep(&views, layout, ANCHORS, 0, &run, score);
        best = fmin(best, bench_now() - began);
    }
    for (size_t k = 0; k < ANCHORS * candidates.n; k++)
        fprintf(out, "%.9g\n", score[k]);
    fclose(out);
    printf("seconds %.6f\nfixes %zu\n", best, ANCHORS * candidates.n * views.n_cells);
    free(score);
    aw_views_free(&views);
    aw_candidates_free(&candidates);
    aw_grid_free(&grid);
    aw_scenario_free(&scenario);
    return 0;
}
