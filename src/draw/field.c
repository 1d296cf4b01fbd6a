/* The grid behind a chart. */
#include "draw/field.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bool aw_field_create(aw_field *field, const aw_grid *grid)
{
    const size_t n = grid->nx * grid->ny;
    *field = (aw_field){
        .x0 = grid->x0, .y0 = grid->y0, .step = grid->step, .nx = grid->nx, .ny = grid->ny};
    field->value = malloc(n * sizeof *field->value);
    field->kept = calloc(n, sizeof *field->kept);
    for (int k = 0; k < 2; k++)
        field->ends[k] = malloc(n * sizeof *field->ends[k]);
    if (field->value == NULL || field->kept == NULL || field->ends[0] == NULL ||
        field->ends[1] == NULL) {
        aw_field_free(field);
        return false;
    }
    for (size_t i = 0; i < n; i++)
        field->value[i] = field->ends[0][i] = field->ends[1][i] = (double)NAN;
    return true;
}

void aw_field_free(aw_field *field)
{
    free(field->value);
    free(field->kept);
    free(field->ends[0]);
    free(field->ends[1]);
    *field = (aw_field){0};
}

void aw_field_lay(aw_field *field, const aw_map *map, aw_layer layer)
{
    for (size_t k = 0; k < map->grid.n; k++) {
        const size_t at = map->grid.number[k];
        const double value = map->value[(size_t)layer * map->grid.n + k];
        field->value[at] = value;
        field->kept[at] = true;
        for (int end = 0; end < 2; end++)
            field->ends[end][at] = map->ends[end] != NULL ? map->ends[end][k] : value;
    }
}

size_t aw_field_cell(const aw_field *f, aw_point p)
{
    const double u = (p.x - f->x0) / f->step, v = (p.y - f->y0) / f->step;
    if (u < 0 || v < 0 || u >= (double)f->nx || v >= (double)f->ny)
        return AW_NO_CELL;
    return (size_t)v * f->nx + (size_t)u;
}

aw_point aw_field_centre(const aw_field *f, size_t cell)
{
    return (aw_point){f->x0 + ((double)(cell % f->nx) + 0.5) * f->step,
                      f->y0 + ((double)(cell / f->nx) + 0.5) * f->step};
}

double aw_field_at(const aw_field *f, double x, double y)
{
    const double u = (x - f->x0) / f->step - 0.5, v = (y - f->y0) / f->step - 0.5;
    if (!(u >= 0) || !(v >= 0) || u > (double)(f->nx - 1) || v > (double)(f->ny - 1))
        return (double)NAN;
    const size_t i = u < (double)(f->nx - 1) ? (size_t)u : f->nx - 1;
    const size_t j = v < (double)(f->ny - 1) ? (size_t)v : f->ny - 1;
    const size_t right = i + 1 < f->nx ? 1 : 0, up = j + 1 < f->ny ? f->nx : 0;
    const double s = u - (double)i, t = v - (double)j, *a = &f->value[j * f->nx + i];
    return (a[0] * (1 - s) + a[right] * s) * (1 - t) + (a[up] * (1 - s) + a[up + right] * s) * t;
}
