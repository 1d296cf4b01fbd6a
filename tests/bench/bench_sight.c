/* Sight of a whole floor through the product's own path: scene, shadows of each row, links. FILE
 * gets one byte for each anchor and cell of the floor's box, anchor after anchor: how many
 * obstacles the link crosses, each of a loss of 1 dB. Best of as many rounds as the time holds. */
#include "map/spot.h"
#include "bench.h"

#define LEAST_SECONDS 1.0

typedef struct job {
    const aw_scenario *scenario;
    const aw_grid *grid;
    const aw_scene *scene;
    uint8_t *crossed;
} job;

static void find_rows(void *context, size_t from, size_t to, unsigned thread)
{
    const job *j = context;
    const size_t n = j->scenario->n_anchors, all = j->grid->nx * j->grid->ny;
    aw_shadows *shadows = aw_shadows_create(j->scene);
    aw_link *links = calloc(n, sizeof *links);
    (void)thread;
    if (shadows == NULL || links == NULL)
        exit(3);
    for (size_t k = from * j->grid->nx; k < to * j->grid->nx; k++) {
        aw_cell_links(shadows, j->grid, (uint32_t)k, j->scenario->tags[0].height, links);
        for (size_t i = 0; i < n; i++)
            j->crossed[i * all + k] = (uint8_t)(links[i].loss_db + 0.5);
    }
    free(links);
    aw_shadows_free(shadows);
}

int main(int argc, char **argv)
{
    aw_scenario scenario;
    aw_grid grid;
    bench_open(argc, argv, &scenario, &grid);
    const size_t values = grid.nx * grid.ny * scenario.n_anchors;
    uint8_t *crossed = calloc(values, 1);
    double best = HUGE_VAL;
    for (const double end = bench_now() + LEAST_SECONDS; bench_now() < end;) {
        const double began = bench_now();
        aw_scene *scene = aw_scene_create(&scenario);
        job j = {&scenario, &grid, scene, crossed};
        if (scene == NULL || crossed == NULL)
            return 3;
        aw_parallel(grid.ny, 8, &(aw_run){aw_processors(), NULL, NULL}, find_rows, &j, 0);
        aw_scene_free(scene);
        best = fmin(best, bench_now() - began);
    }
    FILE *out = fopen(argv[2], "wb");
    if (out == NULL || fwrite(crossed, 1, values, out) != values || fclose(out) != 0)
        return 3;
    printf("seconds %.9f\nlinks %zu\n", best, values);
    free(crossed);
    aw_grid_free(&grid);
    aw_scenario_free(&scenario);
    return 0;
}
