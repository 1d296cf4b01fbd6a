/* A grid of nx by ny places whose outer ring runs along the walls. Its inner places carry anchors
 * only where the walls' own do not reach across: what hangs inside needs a column or a drop. */
#include "place/first_layout.h"

#include <math.h>

/* Anchors hang so far off the walls, and under the roof a tenth of the height within these, m. */
#define OFF_WALL    0.3
#define UNDER_LEAST 0.2
#define UNDER_MOST  0.8
/* A bracket is mounted no higher than from a small lift; a drop or a column may be, m. */
#define WALL_MOST   6.5
#define INSIDE_MOST 8.5
/* Closer than this more anchors teach little that is new, m, and in a room than a third of it. */
#define CLOSEST 3.0
#define ROOM    3.0
/* Nobody works so near to a wall, m; in a room a tenth of it. */
#define MARGIN 1.0
/* Cells of the floor that are enough for a first look. */
#define MOST_CELLS 12000.0
/* A room with fewer is looked at twice as closely. */
#define FEW_CELLS 200.0

static double shorter_side(const aw_hall *h)
{
    return (h->length < h->width ? h->length : h->width) * aw_unit_metres(h->units);
}

double aw_first_closest(const aw_hall *h)
{
    const double third = (shorter_side(h) - 2 * OFF_WALL) / ROOM;
    return third < CLOSEST ? third : CLOSEST;
}

static size_t count_along(double side, double spacing)
{
    return 1 + (size_t)fmax(1, ceil((side - 2 * OFF_WALL) / spacing - 1e-9));
}

static double place_of(size_t i, size_t n, double side)
{
    return OFF_WALL + (double)i * (side - 2 * OFF_WALL) / (double)(n - 1);
}

/* To 0.1 m below. */
static double height_under(double ceiling, double most)
{
    const double under = fmin(fmax(0.1 * ceiling, UNDER_LEAST), UNDER_MOST);
    return fmin(most, floor((ceiling - under) * 10 + 1e-9) / 10);
}

static void hang(aw_first_layout *l, size_t i, size_t j, double z)
{
    double *at = l->at[l->n++];
    at[0] = place_of(i, l->nx, l->length);
    at[1] = place_of(j, l->ny, l->width);
    at[2] = z;
}

/* Once round, from the corner at the origin along x. */
static void hang_along_walls(aw_first_layout *l)
{
    const double z = height_under(l->height, WALL_MOST);
    for (size_t i = 0; i + 1 < l->nx; i++)
        hang(l, i, 0, z);
    for (size_t j = 0; j + 1 < l->ny; j++)
        hang(l, l->nx - 1, j, z);
    for (size_t i = l->nx - 1; i > 0; i--)
        hang(l, i, l->ny - 1, z);
    for (size_t j = l->ny - 1; j > 0; j--)
        hang(l, 0, j, z);
}

static void hang_inside(aw_first_layout *l)
{
    const double z = height_under(l->height, INSIDE_MOST);
    for (size_t j = 1; j + 1 < l->ny; j++)
        for (size_t i = 1; i + 1 < l->nx; i++)
            hang(l, i, j, z);
}

static double step_for(const aw_first_layout *l)
{
    static const double steps[] = {0.5, 1, 2, 3, 4};
    const double area = l->length * l->width;
    if (area / pow(steps[0], 2) < FEW_CELLS)
        return steps[0] / 2;
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (area / pow(steps[i], 2) <= MOST_CELLS)
            return steps[i];
    return 5;
}

bool aw_first_layout_lay(aw_first_layout *l, const aw_hall *h, double spacing)
{
    const double metre = aw_unit_metres(h->units), shorter = shorter_side(h);
    l->length = h->length * metre;
    l->width = h->width * metre;
    l->height = h->height * metre;
    l->nx = count_along(l->length, spacing);
    l->ny = count_along(l->width, spacing);
    l->n = 0;
    l->n_inside = shorter > AW_FIRST_REACH ? (l->nx - 2) * (l->ny - 2) : 0;
    l->margin = fmin(MARGIN, shorter / 10);
    l->step = step_for(l);
    if (2 * (l->nx + l->ny) - 4 + l->n_inside > AW_FIRST_MOST_ANCHORS)
        return false;
    hang_along_walls(l);
    if (l->n_inside > 0)
        hang_inside(l);
    return true;
}
