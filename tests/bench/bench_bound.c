/* The bound of every cell, sight being known; and one anchor dragged: its sight found anew, then
 * the whole map. Best of as many rounds as two seconds hold. FILE gets the bound of every cell. */
#include <string.h>

#include "anchorwise/bounds.h"
#include "anchorwise/spot.h"
#include "bench.h"

#define LEAST_SECONDS 1.0

/* The floor's cells, with their own anchors' sight. */
typedef struct floor_map {
    aw_scenario *scenario;
    aw_grid *grid;
    aw_bounds_case cells;
    float *x, *y, *weight, *anchor[3], *drms;
    aw_link *links;
} floor_map;

static float *floats(size_t n)
{
    float *room = aligned_alloc(64, (n + 15) / 16 * 16 * sizeof *room);
    if (room == NULL)
        exit(3);
    memset(room, 0, (n + 15) / 16 * 16 * sizeof *room);
    return room;
}

/* Sight of n anchors from the given one on. */
static void find_sight(const floor_map *m, size_t from, size_t n)
{
    aw_scenario some = *m->scenario;
    some.anchors += from;
    some.n_anchors = n;
    aw_scene *scene = aw_scene_create(&some);
    aw_shadows *shadows = scene != NULL ? aw_shadows_create(scene) : NULL;
    if (shadows == NULL)
        exit(3);
    for (size_t k = 0; k < m->grid->n; k++) {
        aw_cell_links(shadows, m->grid, m->grid->number[k], some.tags[0].height, m->links);
        for (size_t i = 0; i < n; i++)
            m->weight[(from + i) * m->cells.stride + k] = (float)aw_bound_weight(&m->links[i]);
    }
    aw_shadows_free(shadows);
    aw_scene_free(scene);
}

static void set_up(floor_map *m)
{
    const aw_scenario *s = m->scenario;
    const size_t stride = (m->grid->n + 63) / 64 * 64;
    m->x = floats(stride);
    m->y = floats(stride);
    m->drms = floats(stride);
    m->weight = floats(s->n_anchors * stride);
    m->links = calloc(s->n_anchors, sizeof *m->links);
    for (int d = 0; d < 3; d++)
        m->anchor[d] = floats(s->n_anchors);
    for (size_t i = 0; i < s->n_anchors; i++)
        for (int d = 0; d < 3; d++)
            m->anchor[d][i] = (float)(s->anchors[i].at[d] - (d == 2 ? s->tags[0].height : 0));
    for (size_t k = 0; k < m->grid->n; k++) {
        const aw_point at = aw_grid_centre(m->grid, m->grid->number[k]);
        m->x[k] = (float)at.x;
        m->y[k] = (float)at.y;
    }
    m->cells = (aw_bounds_case){s->n_anchors, m->grid->n, m->anchor[0], m->anchor[1], m->anchor[2],
                                m->x,         m->y,       m->weight,    stride};
}

int main(int argc, char **argv)
{
    aw_scenario scenario;
    aw_grid grid;
    bench_open(argc, argv, &scenario, &grid);
    floor_map m = {.scenario = &scenario, .grid = &grid};
    set_up(&m);
    find_sight(&m, 0, scenario.n_anchors);
    double map = HUGE_VAL, dragged = HUGE_VAL;
    for (const double end = bench_now() + LEAST_SECONDS; bench_now() < end;) {
        const double began = bench_now();
        aw_bounds_run(&m.cells, m.drms);
        map = fmin(map, bench_now() - began);
    }
    for (const double end = bench_now() + LEAST_SECONDS; bench_now() < end;) {
        const double began = bench_now();
        find_sight(&m, 8, 1);
        aw_bounds_run(&m.cells, m.drms);
        dragged = fmin(dragged, bench_now() - began);
    }
    double *drms = calloc(grid.n, sizeof *drms);
    for (size_t k = 0; k < grid.n; k++)
        drms[k] = m.drms[k] < 0 ? NAN : m.drms[k];
    bench_close(argv[2], drms, grid.n, map, (double)grid.n);
    printf("dragged %.9f\n", dragged);
    return 0;
}
