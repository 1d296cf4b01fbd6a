/* Two numbers of draws tell what a cell takes by itself from what each of its draws takes. */
#include "anchorwise/effort.h"

#include <math.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>

#include "anchorwise/link.h"
#include "anchorwise/map.h"
#include "assess/odds.h"
#include "assess/parts.h"
#include "assess/pool.h"
#include "base/plane.h"

/* Cells of the first look, and of the others at most. */
#define FEW_CELLS  4
#define MOST_CELLS 96
/* Draws of the looks. A cell of fewer is another matter, so it is timed as it is. */
#define FEWER 320
#define MORE  640
/* Of the time of a cell, that of its draws at least: on the wheel pit, whose links are prepared for
 * each cell, some six tenths. */
#define LEAST_SHARE 0.5
/* Processor time for looks, s: of one number of draws, and of all. */
#define SLOW  0.1
#define WORTH 0.12

/* Seconds. */
typedef struct sample {
    const aw_scenario *scenario;
    aw_grid floor;
    double laying, scene;
    double cell, draw, once; /* a cell, one more draw of it, what a thread takes once for a map */
    bool failed;
} sample;

/* A cell, and what comes before the first. */
typedef struct look {
    double cell, once;
} look;

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Most memory the process has held so far, bytes. */
static double held(void)
{
    struct rusage used;
    return getrusage(RUSAGE_SELF, &used) == 0 ? 1024.0 * (double)used.ru_maxrss : 0;
}

static bool begin(sample *x, const aw_scenario *s, aw_errors *errors)
{
    const double before = now();
    *x = (sample){.scenario = s};
    if (!aw_grid_lay_zone(&x->floor, s, NULL, errors))
        return false;
    const double laid = now();
    aw_scene *scene = aw_scene_create(s);
    x->laying = laid - before;
    x->scene = now() - laid;
    x->failed = scene == NULL;
    aw_scene_free(scene);
    return true;
}

/* Seconds of a map of n cells spread over the floor by the golden ratio, which keeps step with no
 * row; listed so many times. */
static double time_map(sample *x, size_t n, size_t times, uint32_t draws)
{
    aw_scenario s = *x->scenario;
    aw_errors errors = {0};
    aw_grid grid = x->floor;
    aw_map map = {0};
    const aw_map_plan plan = {.scenario = &s, .groups = AW_GROUPS};
    s.study.draws = draws;
    grid.n = n * times;
    grid.number = calloc(grid.n, sizeof *grid.number);
    for (size_t i = 0; grid.number != NULL && i < grid.n; i++) {
        const double at = 0.61803398874989485 * (double)(i % n + 1);
        grid.number[i] = x->floor.number[(size_t)((at - floor(at)) * (double)x->floor.n)];
    }
    const double before = now();
    const bool done =
        grid.number != NULL && aw_map_run(&map, &grid, &plan, &(aw_run){1, NULL, &errors});
    const double spent = now() - before;
    x->failed = x->failed || !done;
    aw_map_free(&map);
    aw_errors_free(&errors);
    return spent;
}

/* What is taken once, caches of draws for one, is told from cells by drawing the same again. */
static look look_at(sample *x, size_t cells, uint32_t draws)
{
    const size_t n = cells < x->floor.n ? cells : x->floor.n;
    const double some = time_map(x, n, 1, draws), more = time_map(x, n, 2, draws);
    const double cell = fmax(more - some, 1e-7) / (double)n;
    return (look){cell, fmax(some - (double)n * cell, 0)};
}

static uint32_t draws_up_to(const aw_scenario *s, uint32_t most)
{
    return s->study.draws < most ? s->study.draws : most;
}

double aw_effort_glance(const aw_scenario *s)
{
    aw_errors errors = {0};
    sample x;
    double of_draw = 0;
    if (begin(&x, s, &errors) && x.floor.n > 0) {
        const uint32_t draws = draws_up_to(s, FEWER);
        const look at = look_at(&x, FEW_CELLS, draws);
        of_draw = (at.cell + at.once / FEW_CELLS) / draws;
    }
    const bool failed = x.failed;
    aw_grid_free(&x.floor);
    aw_errors_free(&errors);
    return failed ? 0 : of_draw;
}

static void time_floor(sample *x)
{
    const uint32_t all = x->scenario->study.draws, few = draws_up_to(x->scenario, FEWER);
    const double before = now();
    time_map(x, 1, 1, few); /* memory is touched for the first time */
    look at = look_at(x, FEW_CELLS, few);
    x->draw = at.cell / few;
    x->cell = x->draw * all;
    x->once = at.once;
    if (now() - before > SLOW || x->failed)
        return;
    const double worth = WORTH / (9 * x->draw * FEWER);
    const size_t cells = worth < FEW_CELLS    ? FEW_CELLS
                         : worth > MOST_CELLS ? MOST_CELLS
                                              : (size_t)worth;
    const look fewer = look_at(x, cells, FEWER), more = look_at(x, cells, MORE);
    /* On a busy machine fewer draws can seem to take as long as more. */
    x->draw = fmax((more.cell - fewer.cell) / (MORE - FEWER), LEAST_SHARE * more.cell / MORE);
    if (all < FEWER) {
        at = look_at(x, cells, all);
        x->cell = at.cell;
        x->once = at.once;
    } else {
        x->cell = fewer.cell + x->draw * (all - FEWER);
        x->once = fmax(fewer.once, more.once);
    }
}

/* By its area: laying every zone of a large floor would take longer than the looks. */
static double cells_of(const sample *x, const aw_zone *z)
{
    const double step = x->scenario->study.step;
    return fmin(fmax(fabs(aw_polygon_area(z->outline.at, z->outline.n)) / (step * step), 1),
                (double)x->floor.n);
}

/* Floor and zones, but for odds that the map's draws do not tell, and what is laid and prepared for
 * each. */
static double seconds_of(const sample *x, unsigned threads)
{
    const aw_scenario *s = x->scenario;
    const double confirming = AW_CONFIRMING * x->draw * s->study.draws + x->scene;
    const double map = x->laying + threads * x->once;
    double seconds = x->cell * (double)x->floor.n + map + confirming;
    for (size_t i = 0; i < s->n_zones; i++) {
        const aw_zone *z = &s->zones[i];
        const double n = cells_of(x, z), maps = isnan(z->need.zone_share) ? 1 : 2;
        seconds += maps * (x->cell * n + map) + confirming;
    }
    return seconds;
}

/* The maps of the floor and of the largest zone, and of each thread as much as the looks took,
 * which is held once already. */
static double bytes_of(const sample *x, unsigned threads, double looked)
{
    const aw_scenario *s = x->scenario;
    const double cell = AW_LAYERS * sizeof(double) + sizeof(uint32_t);
    double largest = 0;
    for (size_t i = 0; i < s->n_zones; i++)
        largest = fmax(largest, cells_of(x, &s->zones[i]));
    return held() + cell * ((double)x->floor.n + largest) +
           looked * (threads * fmax(1, (double)s->study.draws / MORE) - 1);
}

bool aw_effort_measure(aw_effort *e, const aw_scenario *s, unsigned threads, aw_errors *errors)
{
    sample x;
    *e = (aw_effort){0};
    if (!begin(&x, s, errors))
        return false;
    const double before = held();
    if (x.floor.n > 0 && !x.failed)
        time_floor(&x);
    if (x.failed) {
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the cost of an assessment");
    } else {
        e->seconds = seconds_of(&x, threads);
        e->bytes = bytes_of(&x, threads, held() - before);
        e->per_draw = x.cell / s->study.draws;
    }
    aw_grid_free(&x.floor);
    return !x.failed;
}
