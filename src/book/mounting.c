/* Distances are from faces: of a wall its own, half its thickness from the path that it is drawn
 * by.
 */
#include "book/mounting.h"

#include <float.h>
#include <math.h>

/* Faces are straight and along the axes within this, m. */
#define STRAIGHT 1e-6

double aw_mounting_cable(const aw_scenario *s, const double at[3])
{
    const double *c = s->prices.cabinet;
    return !aw_has_prices(s) ? (double)NAN
                             : fabs(at[0] - c[0]) + fabs(at[1] - c[1]) + fabs(at[2] - c[2]);
}

aw_mounting_heights aw_mounting_heights_of(const aw_scenario *s, const aw_freedom *f)
{
    const double own = s->anchors[f->anchor].at[2], unit = aw_unit_metres(s->units);
    const aw_mount *mount = aw_has_prices(s) ? aw_mount_at(&s->prices, own) : NULL;
    const double top = mount != NULL ? fmin(f->high, mount->up_to) : f->high;
    const double low = ceil(10 * f->low / unit - 1e-6) * unit / 10;
    const double high = floor(10 * top / unit + 1e-6) * unit / 10;
    return (aw_mounting_heights){fmin(low, own), fmax(high, own)};
}

static double axis_of(aw_point p, int axis)
{
    return axis == 0 ? p.x : p.y;
}

/* Takes an edge for the nearest face if it lies across the axis, beside the anchor and nearer. */
static void look_at_edge(aw_offset *best, aw_point a, aw_point b, const double at[3], int axis,
                         const char *name)
{
    const double along = axis_of(a, axis), cross = at[1 - axis];
    const double from = fmin(axis_of(a, 1 - axis), axis_of(b, 1 - axis));
    const double to = fmax(axis_of(a, 1 - axis), axis_of(b, 1 - axis));
    const double distance = fabs(at[axis] - along);
    if (fabs(along - axis_of(b, axis)) > STRAIGHT || to - from < STRAIGHT ||
        cross < from - STRAIGHT || cross > to + STRAIGHT || distance >= best->distance)
        return;
    const int side = name != NULL ? 0 : along < at[axis] ? -1 : 1;
    *best = (aw_offset){{along, from, to, name, side, false, 0}, distance};
}

double aw_mounting_line_step(const aw_scenario *s)
{
    return s->units == AW_FEET ? 150 * AW_FOOT : 50;
}

static aw_offset from_line(const aw_scenario *s, const double at[3], int axis)
{
    const aw_polygon *o = &s->floor.outline;
    const double step = aw_mounting_line_step(s), low = axis_of(o->low, axis);
    const double line = step * floor((at[axis] - low) / step);
    const aw_face face = {.at = low + line,
                          .from = axis_of(o->low, 1 - axis),
                          .to = axis_of(o->high, 1 - axis),
                          .is_line = true,
                          .line = line};
    return (aw_offset){face, at[axis] - face.at};
}

bool aw_offset_find(aw_offset *offset, const aw_scenario *s, const double at[3], int axis)
{
    const aw_polygon *o = &s->floor.outline;
    aw_offset best = {.distance = DBL_MAX};
    for (size_t i = 0; i < o->n; i++)
        look_at_edge(&best, o->at[i], o->at[(i + 1) % o->n], at, axis, NULL);
    for (size_t i = 0; i < s->n_walls; i++)
        for (size_t k = 0; k + 1 < s->walls[i].n; k++) {
            const aw_polygon *leg = &s->walls[i].legs[k];
            for (size_t c = 0; c < leg->n; c++)
                look_at_edge(&best, leg->at[c], leg->at[(c + 1) % leg->n], at, axis,
                             s->walls[i].name);
        }
    const bool found = best.distance < DBL_MAX;
    if (found && best.distance > AW_MOUNTING_FAR)
        best = from_line(s, at, axis);
    *offset = found ? best : (aw_offset){.distance = 0};
    return found;
}
