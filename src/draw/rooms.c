/* Edges of whatever divides are laid over the lattice first; then cells without such an edge
 * between them are one room, and every other sample falls to the room that reaches it first. */
#include "draw/rooms.h"
#include "anchorwise/level.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FINE   4
#define COARSE 2
/* Fields with more cells are divided less finely. */
#define MANY 250000

#define SIDEWAYS 1
#define UPWARDS  2

static double turn(aw_point a, aw_point b, aw_point c)
{
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

static bool cross(aw_point a, aw_point b, aw_point c, aw_point d)
{
    return (turn(a, b, c) > 0) != (turn(a, b, d) > 0) && (turn(c, d, a) > 0) != (turn(c, d, b) > 0);
}

static aw_point place_of(const aw_rooms *r, size_t i, size_t j)
{
    return (aw_point){r->x0 + (double)i * r->step, r->y0 + (double)j * r->step};
}

/* Samples from `low` to `high` along one axis, one more at either side. */
static void span(double low, double high, double from, double step, size_t n, size_t out[2])
{
    const double a = floor((low - from) / step) - 1, b = ceil((high - from) / step) + 1;
    out[0] = a > 0 ? (size_t)fmin(a, (double)n) : 0;
    out[1] = b > 0 ? (size_t)fmin(b + 1, (double)n) : 0;
}

static void block_edge(aw_rooms *r, aw_point a, aw_point b)
{
    size_t is[2], js[2];
    span(fmin(a.x, b.x), fmax(a.x, b.x), r->x0, r->step, r->nx, is);
    span(fmin(a.y, b.y), fmax(a.y, b.y), r->y0, r->step, r->ny, js);
    for (size_t j = js[0]; j < js[1]; j++)
        for (size_t i = is[0]; i < is[1]; i++) {
            const aw_point p = place_of(r, i, j);
            uint8_t *blocked = &r->blocked[j * r->nx + i];
            if (i + 1 < r->nx && cross(p, place_of(r, i + 1, j), a, b))
                *blocked |= SIDEWAYS;
            if (j + 1 < r->ny && cross(p, place_of(r, i, j + 1), a, b))
                *blocked |= UPWARDS;
        }
}

static void block_polygon(aw_rooms *r, const aw_polygon *p)
{
    for (size_t k = 0; k < p->n; k++)
        block_edge(r, p->at[k], p->at[(k + 1) % p->n]);
}

bool aw_stands_at_tag(const aw_scenario *s, size_t tag, const aw_polygon *p, double base,
                      double top)
{
    const double height = aw_tag_at(s, tag, (p->low.x + p->high.x) / 2, (p->low.y + p->high.y) / 2);
    return base < height && height < top;
}

static void block_all(aw_rooms *r, const aw_scenario *s, size_t tag)
{
    for (size_t i = 0; i < s->n_obstacles; i++)
        if (aw_stands_at_tag(s, tag, &s->obstacles[i].footprint, s->obstacles[i].base,
                             s->obstacles[i].top))
            block_polygon(r, &s->obstacles[i].footprint);
    for (size_t i = 0; i < s->n_walls; i++)
        for (size_t k = 0; k + 1 < s->walls[i].n; k++)
            if (aw_stands_at_tag(s, tag, &s->walls[i].legs[k], s->walls[i].base, s->walls[i].top))
                block_polygon(r, &s->walls[i].legs[k]);
    for (size_t i = 0; i < s->n_zones; i++)
        if (s->zones[i].tag != 0)
            block_polygon(r, &s->zones[i].outline);
}

/* --- rooms of cells --- */

size_t aw_rooms_centre(const aw_rooms *r, const aw_field *f, size_t cell)
{
    return (cell / f->nx * r->factor + r->factor / 2) * r->nx + cell % f->nx * r->factor +
           r->factor / 2;
}

bool aw_rooms_are_joined(const aw_rooms *r, const aw_field *f, size_t a, size_t b)
{
    const bool sideways = b == a + 1;
    const size_t from = aw_rooms_centre(r, f, a), stride = sideways ? 1 : r->nx;
    for (size_t k = 0; k < r->factor; k++)
        if (r->blocked[from + k * stride] & (sideways ? SIDEWAYS : UPWARDS))
            return false;
    return true;
}

/* The kept cells joined to one, by a queue with room for all. */
static void flood_cells(aw_rooms *r, const aw_field *f, size_t from, uint32_t room, size_t *queue)
{
    size_t n = 0;
    queue[n++] = from;
    r->room[aw_rooms_centre(r, f, from)] = room;
    for (size_t k = 0; k < n; k++) {
        const size_t at = queue[k], i = at % f->nx, j = at / f->nx;
        const size_t near[4] = {i > 0 ? at - 1 : at, i + 1 < f->nx ? at + 1 : at,
                                j > 0 ? at - f->nx : at, j + 1 < f->ny ? at + f->nx : at};
        for (int side = 0; side < 4; side++) {
            const size_t other = near[side], a = other < at ? other : at,
                         b = other < at ? at : other;
            if (a == b || !f->kept[other] || r->room[aw_rooms_centre(r, f, other)] != AW_NO_ROOM ||
                !aw_rooms_are_joined(r, f, a, b))
                continue;
            r->room[aw_rooms_centre(r, f, other)] = room;
            queue[n++] = other;
        }
    }
}

/* --- every other sample --- */

/* From all samples that have a room outward, over what is open, or over everything. */
static void spread(aw_rooms *r, bool through, size_t *queue)
{
    size_t n = 0;
    for (size_t at = 0; at < r->nx * r->ny; at++)
        if (r->room[at] != AW_NO_ROOM)
            queue[n++] = at;
    for (size_t k = 0; k < n; k++) {
        const size_t at = queue[k], i = at % r->nx, j = at / r->nx;
        const size_t near[4] = {i > 0 ? at - 1 : at, i + 1 < r->nx ? at + 1 : at,
                                j > 0 ? at - r->nx : at, j + 1 < r->ny ? at + r->nx : at};
        const bool shut[4] = {
            (r->blocked[near[0]] & SIDEWAYS) != 0, (r->blocked[at] & SIDEWAYS) != 0,
            (r->blocked[near[2]] & UPWARDS) != 0, (r->blocked[at] & UPWARDS) != 0};
        for (int side = 0; side < 4; side++)
            if (r->room[near[side]] == AW_NO_ROOM && (through || !shut[side])) {
                r->room[near[side]] = r->room[at];
                queue[n++] = near[side];
            }
    }
}

bool aw_rooms_divide(aw_rooms *r, const aw_field *f, const aw_scenario *s, size_t tag)
{
    const size_t cells = f->nx * f->ny, factor = cells > MANY ? COARSE : FINE;
    *r = (aw_rooms){.x0 = f->x0,
                    .y0 = f->y0,
                    .step = f->step / (double)factor,
                    .nx = f->nx * factor + 1,
                    .ny = f->ny * factor + 1,
                    .factor = factor};
    const size_t samples = r->nx * r->ny;
    size_t *queue = malloc(samples * sizeof *queue);
    r->room = malloc(samples * sizeof *r->room);
    r->blocked = calloc(samples, sizeof *r->blocked);
    if (queue == NULL || r->room == NULL || r->blocked == NULL) {
        free(queue);
        aw_rooms_free(r);
        return false;
    }
    memset(r->room, 0xFF, samples * sizeof *r->room);
    block_all(r, s, tag);
    for (size_t at = 0; at < cells; at++)
        if (f->kept[at] && r->room[aw_rooms_centre(r, f, at)] == AW_NO_ROOM)
            flood_cells(r, f, at, (uint32_t)r->n++, queue);
    spread(r, false, queue);
    spread(r, true, queue);
    free(queue);
    return true;
}

void aw_rooms_free(aw_rooms *r)
{
    free(r->room);
    free(r->blocked);
    *r = (aw_rooms){0};
}
