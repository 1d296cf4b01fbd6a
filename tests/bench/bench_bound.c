/* The bound of every cell of a floor's box, sight being known, and one anchor dragged: its sight
 * found anew, then the whole map. One thread; best of as many rounds as the time holds. FILE gets
 * the bound of every cell. */
#include <string.h>

#include "map/spot.h"
#include "position/bound_batch.h"
#include "bench.h"

#define LEAST_SECONDS 1.0
#define DRAGGED       8

typedef struct floor_map {
    const aw_scenario *scenario;
    const aw_grid *grid;
    size_t n;
    float *x, *y, *weight, *anchor[3], *drms;
    aw_link *links;
    aw_bound_batch cells;
} floor_map;

static float *floats(size_t n)
{
    float *room = calloc(n, sizeof *room);
    if (room == NULL)
        exit(3);
    return room;
}

/* Weights of `n` anchors from number `from` on. */
static void find_sight(const floor_map *m, size_t from, size_t n)
{
    aw_scenario some = *m->scenario;
    some.anchors += from;
    some.n_anchors = n;
    aw_scene *scene = aw_scene_create(&some);
    aw_shadows *shadows = scene != NULL ? aw_shadows_create(scene) : NULL;
    if (shadows == NULL)
        exit(3);
    for (size_t k = 0; k < m->n; k++) {
        aw_cell_links(shadows, m->grid, (uint32_t)k, some.tags[0].height, m->links);
        for (size_t i = 0; i < n; i++)
            m->weight[(from + i) * m->cells.stride + k] = (float)aw_bound_weight(&m->links[i]);
    }
    aw_shadows_free(shadows);
    aw_scene_free(scene);
}

static void set_up(floor_map *m)
{
    const aw_scenario *s = m->scenario;
    m->n = m->grid->nx * m->grid->ny;
    const size_t stride = (m->n + AW_BOUNDS_GROUP - 1) / AW_BOUNDS_GROUP * AW_BOUNDS_GROUP;
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
    for (size_t k = 0; k < m->n; k++) {
        const aw_point at = aw_grid_centre(m->grid, (uint32_t)k);
        m->x[k] = (float)at.x;
        m->y[k] = (float)at.y;
    }
    m->cells = (aw_bound_batch){.n_anchors = s->n_anchors,
                                .n_cells = m->n,
                                .anchor_x = m->anchor[0],
                                .anchor_y = m->anchor[1],
                                .rise = m->anchor[2],
                                .x = m->x,
                                .y = m->y,
                                .weight = m->weight,
                                .stride = stride};
    find_sight(m, 0, s->n_anchors);
}

/* Best seconds of a bound map, `dragged` with the sight of one anchor before it. */
static double time_map(const floor_map *m, bool dragged)
{
    const double end = bench_now() + LEAST_SECONDS;
    double best = HUGE_VAL;
    while (bench_now() < end) {
        const double began = bench_now();
        if (dragged)
            find_sight(m, DRAGGED, 1);
        aw_bound_batch_run(&m->cells, m->drms);
        best = fmin(best, bench_now() - began);
    }
    return best;
}

int main(int argc, char **argv)
{
    aw_scenario scenario;
    aw_grid grid;
    bench_open(argc, argv, &scenario, &grid);
    floor_map m = {.scenario = &scenario, .grid = &grid};
    set_up(&m);
    const double map = time_map(&m, false), dragged = time_map(&m, true);
    double *drms = calloc(m.n, sizeof *drms);
    if (drms == NULL)
        return 3;
    for (size_t k = 0; k < m.n; k++)
        drms[k] = m.drms[k] < 0 ? (double)NAN : (double)m.drms[k];
    bench_close(argv[2], drms, m.n, map, (double)m.n);
    printf("dragged %.9f\n", dragged);
    return 0;
}
