/* Smoothing by cells, then by samples. */
#include "draw/surface.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Of a step towards the neighbours' mean; moves that end it; the most passes. */
#define STEP   0.9
#define STILL  0.001
#define PASSES 200
/* Of the samples' smoothing, in samples; and of that between what is put back. */
#define WIDTH       1.6
#define WIDTH_AGAIN 0.9
#define AGAIN       8
#define WIDTH_EDGE  1.5
/* Lower than any level, in either scale. */
#define LOW (-1e9)
/* Lengths and ratios count from here on. */
#define LEAST 1e-4

/* The cells while they are smoothed; all in the surface's scale. */
typedef struct cells {
    const aw_field *f;
    const aw_rooms *rooms;
    double *value, *next; /* NaN without */
    double *ends[2];
} cells;

static double scaled(const aw_surface *s, double value)
{
    return !s->by_log || isnan(value) ? value : log(fmax(value, LEAST));
}

static uint32_t room_of(const cells *c, size_t cell)
{
    return c->rooms->room[aw_rooms_centre(c->rooms, c->f, cell)];
}

/* --- 1: cells --- */

static void begin_cells(const aw_surface *s, cells *c)
{
    const aw_field *f = c->f;
    for (size_t at = 0; at < f->nx * f->ny; at++) {
        const double value = scaled(s, f->value[at]);
        double low = scaled(s, f->ends[0][at]), high = scaled(s, f->ends[1][at]);
        low = isnan(low) ? value : low;
        high = isnan(high) ? value : high;
        c->ends[0][at] = low;
        c->ends[1][at] = high;
        c->value[at] = isinf(high) || f->ends[0][at] <= 0 ? value : (low + high) / 2;
        if (isnan(value))
            c->value[at] = value;
    }
}

/* Mean over neighbours with a value and nothing between; NaN without. */
static double mean_round(const cells *c, size_t at)
{
    const aw_field *f = c->f;
    const size_t i = at % f->nx, j = at / f->nx;
    const size_t near[4] = {i > 0 ? at - 1 : at, i + 1 < f->nx ? at + 1 : at,
                            j > 0 ? at - f->nx : at, j + 1 < f->ny ? at + f->nx : at};
    double sum = 0, n = 0;
    for (int side = 0; side < 4; side++) {
        const size_t o = near[side];
        if (o == at || isnan(c->value[o]) ||
            !aw_rooms_are_joined(c->rooms, f, o < at ? o : at, o < at ? at : o))
            continue;
        sum += c->value[o];
        n++;
    }
    return n > 0 ? sum / n : (double)NAN;
}

static void smooth_cells(cells *c)
{
    const size_t n = c->f->nx * c->f->ny;
    double most = HUGE_VAL;
    for (int pass = 0; pass < PASSES && most >= STILL; pass++) {
        most = 0;
        for (size_t at = 0; at < n; at++) {
            const double here = c->value[at];
            const double mean =
                isnan(here) || c->ends[0][at] == c->ends[1][at] ? (double)NAN : mean_round(c, at);
            c->next[at] = isnan(mean) ? here
                                      : fmin(fmax(here + STEP * (mean - here), c->ends[0][at]),
                                             c->ends[1][at]);
            most = fmax(most, isnan(mean) ? 0 : fabs(c->next[at] - here));
        }
        double *swap = c->value;
        c->value = c->next;
        c->next = swap;
    }
}

/* --- 2: a room's samples --- */

/* A part of the lattice: samples from (i0, j0) on, and its numbers. */
typedef struct part {
    size_t i0, j0, nx, ny;
    double *v, *spare;
} part;

/* Along one axis, 0 for x, ends carried on. */
static void blur_axis(const part *p, const double *from, double *to, int axis, double width)
{
    const size_t n = axis == 0 ? p->nx : p->ny, rows = axis == 0 ? p->ny : p->nx;
    const size_t stride = axis == 0 ? 1 : p->nx, row_stride = axis == 0 ? p->nx : 1;
    const long reach = (long)ceil(3 * width);
    double weight[16], sum = 0;
    for (long k = -reach; k <= reach; k++)
        sum += weight[k + reach] = exp(-0.5 * (double)(k * k) / (width * width));
    for (size_t row = 0; row < rows; row++)
        for (long i = 0; i < (long)n; i++) {
            double at = 0;
            for (long k = -reach; k <= reach; k++) {
                const long o = i + k < 0 ? 0 : i + k >= (long)n ? (long)n - 1 : i + k;
                at += weight[k + reach] * from[row * row_stride + (size_t)o * stride];
            }
            to[row * row_stride + (size_t)i * stride] = at / sum;
        }
}

static void blur(part *p, double width)
{
    blur_axis(p, p->v, p->spare, 0, width);
    blur_axis(p, p->spare, p->v, 1, width);
}

/* Linear between the cells' centres of a rectangle of cells from (ci, cj) on; the outermost cells'
 * numbers are carried on. Adds to the part, times a factor. */
static void add_linear(part *p, size_t factor, const double *cell, const size_t low[2],
                       const size_t size[2], double times)
{
    for (size_t j = 0; j < p->ny; j++) {
        const double y = ((double)(p->j0 + j) - (double)factor / 2) / (double)factor;
        const double v = fmin(fmax(y - (double)low[1], 0), (double)(size[1] - 1));
        const size_t b = (size_t)v, up = b + 1 < size[1] ? size[0] : 0;
        for (size_t i = 0; i < p->nx; i++) {
            const double x = ((double)(p->i0 + i) - (double)factor / 2) / (double)factor;
            const double u = fmin(fmax(x - (double)low[0], 0), (double)(size[0] - 1));
            const size_t a = (size_t)u, right = a + 1 < size[0] ? 1 : 0;
            const double s = u - (double)a, t = v - (double)b, *at = &cell[b * size[0] + a];
            p->v[j * p->nx + i] += times * ((at[0] * (1 - s) + at[right] * s) * (1 - t) +
                                            (at[up] * (1 - s) + at[up + right] * s) * t);
        }
    }
}

/* A room's cells: the rectangle round them, and numbers over it. */
typedef struct patch {
    size_t low[2], size[2];
    double *value, *ends[2], *excess; /* owned */
    size_t *queue;                    /* owned */
} patch;

static void free_patch(patch *q)
{
    free(q->value);
    free(q->ends[0]);
    free(q->ends[1]);
    free(q->excess);
    free(q->queue);
}

/* Numbers of the room's own cells, NaN for all others. */
static bool cut_patch(patch *q, const cells *c, uint32_t room, const size_t low[2],
                      const size_t high[2])
{
    const size_t n = (high[0] - low[0] + 1) * (high[1] - low[1] + 1);
    *q = (patch){.low = {low[0], low[1]},
                 .size = {high[0] - low[0] + 1, high[1] - low[1] + 1},
                 .value = malloc(n * sizeof(double)),
                 .ends = {malloc(n * sizeof(double)), malloc(n * sizeof(double))},
                 .excess = malloc(n * sizeof(double)),
                 .queue = malloc(n * sizeof(size_t))};
    if (!q->value || !q->ends[0] || !q->ends[1] || !q->excess || !q->queue)
        return false;
    for (size_t j = 0; j < q->size[1]; j++)
        for (size_t i = 0; i < q->size[0]; i++) {
            const size_t at = (low[1] + j) * c->f->nx + low[0] + i, to = j * q->size[0] + i;
            const bool own = c->f->kept[at] && room_of(c, at) == room;
            q->value[to] = own ? c->value[at] : (double)NAN;
            for (int k = 0; k < 2; k++)
                q->ends[k][to] = own ? c->ends[k][at] : (double)NAN;
        }
    return true;
}

/* Gaps take the nearest number and its ends, ring by ring. False if there is none. */
static bool fill_patch(patch *q)
{
    const size_t w = q->size[0], h = q->size[1];
    size_t n = 0;
    for (size_t at = 0; at < w * h; at++)
        if (!isnan(q->value[at]))
            q->queue[n++] = at;
    const bool any = n > 0;
    for (size_t k = 0; k < n; k++) {
        const size_t at = q->queue[k], i = at % w, j = at / w;
        const size_t near[4] = {i > 0 ? at - 1 : at, i + 1 < w ? at + 1 : at, j > 0 ? at - w : at,
                                j + 1 < h ? at + w : at};
        for (int side = 0; side < 4; side++)
            if (isnan(q->value[near[side]])) {
                q->value[near[side]] = q->value[at];
                q->ends[0][near[side]] = q->ends[0][at];
                q->ends[1][near[side]] = q->ends[1][at];
                q->queue[n++] = near[side];
            }
    }
    return any;
}

/* By how much the part leaves the intervals at the cells' centres. */
static void find_excess(const part *p, size_t factor, patch *q)
{
    for (size_t j = 0; j < q->size[1]; j++)
        for (size_t i = 0; i < q->size[0]; i++) {
            const size_t to = j * q->size[0] + i;
            const size_t si = (q->low[0] + i) * factor + factor / 2 - p->i0;
            const size_t sj = (q->low[1] + j) * factor + factor / 2 - p->j0;
            const double v = p->v[sj * p->nx + si];
            q->excess[to] = v > q->ends[1][to]   ? v - q->ends[1][to]
                            : v < q->ends[0][to] ? v - q->ends[0][to]
                                                 : 0;
        }
}

/* What the part has at the cells' centres. */
static void read_centres(const part *p, size_t factor, patch *q)
{
    for (size_t j = 0; j < q->size[1]; j++)
        for (size_t i = 0; i < q->size[0]; i++)
            q->value[j * q->size[0] + i] =
                p->v[((q->low[1] + j) * factor + factor / 2 - p->j0) * p->nx +
                     (q->low[0] + i) * factor + factor / 2 - p->i0];
}

/* Centre below or left of a sample, by its number from the first one on, and the next one where
 * the sample lies between them. */
static void centres_beside(size_t sample, size_t factor, size_t n, size_t out[2])
{
    const size_t below = sample < factor / 2 ? 0 : (sample - factor / 2) / factor;
    out[0] = below < n ? below : n - 1;
    const bool between = sample >= factor / 2 && sample % factor != factor / 2;
    out[1] = between && out[0] + 1 < n ? out[0] + 1 : out[0];
}

/* No sample leaves what the centres round it have: putting back overshoots beside steep places. */
static void limit(part *p, size_t factor, const patch *q)
{
    const size_t w = q->size[0];
    for (size_t j = 0; j < p->ny; j++)
        for (size_t i = 0; i < p->nx; i++) {
            size_t a[2], b[2];
            centres_beside(i, factor, w, a);
            centres_beside(j, factor, q->size[1], b);
            const double v[4] = {q->value[b[0] * w + a[0]], q->value[b[0] * w + a[1]],
                                 q->value[b[1] * w + a[0]], q->value[b[1] * w + a[1]]};
            const double low = fmin(fmin(v[0], v[1]), fmin(v[2], v[3]));
            const double high = fmax(fmax(v[0], v[1]), fmax(v[2], v[3]));
            double *at = &p->v[j * p->nx + i];
            *at = fmin(fmax(*at, low), high);
        }
}

/* The samples of a rectangle of cells, padded. */
static bool make_fine(aw_field *fine, const aw_rooms *r, const part *p)
{
    *fine = (aw_field){.x0 = r->x0 + ((double)p->i0 - 1.5) * r->step,
                       .y0 = r->y0 + ((double)p->j0 - 1.5) * r->step,
                       .step = r->step,
                       .nx = p->nx + 2,
                       .ny = p->ny + 2};
    fine->value = malloc(fine->nx * fine->ny * sizeof *fine->value);
    if (fine->value == NULL)
        return false;
    for (size_t at = 0; at < fine->nx * fine->ny; at++)
        fine->value[at] = LOW;
    for (size_t j = 0; j < p->ny; j++)
        memcpy(&fine->value[(j + 1) * fine->nx + 1], &p->v[j * p->nx], p->nx * sizeof *p->v);
    return true;
}

static bool smooth_part(aw_room *room, const aw_rooms *r, part *p, patch *q)
{
    add_linear(p, r->factor, q->value, q->low, q->size, 1);
    blur(p, WIDTH);
    for (int k = 0; k < AGAIN; k++) {
        find_excess(p, r->factor, q);
        add_linear(p, r->factor, q->excess, q->low, q->size, -1);
        if (k + 1 < AGAIN)
            blur(p, WIDTH_AGAIN);
    }
    read_centres(p, r->factor, q);
    limit(p, r->factor, q);
    return make_fine(&room->fine, r, p);
}

static bool smooth_room(aw_surface *s, const cells *c, uint32_t number, const size_t low[2],
                        const size_t high[2])
{
    const aw_rooms *r = &s->rooms;
    patch q;
    part p = {.i0 = low[0] * r->factor,
              .j0 = low[1] * r->factor,
              .nx = (high[0] - low[0] + 1) * r->factor + 1,
              .ny = (high[1] - low[1] + 1) * r->factor + 1};
    p.v = calloc(p.nx * p.ny, sizeof *p.v);
    p.spare = malloc(p.nx * p.ny * sizeof *p.spare);
    bool done = cut_patch(&q, c, number, low, high) && p.v != NULL && p.spare != NULL;
    if (done && fill_patch(&q))
        done = smooth_part(&s->room[number], r, &p, &q);
    free(p.v);
    free(p.spare);
    free_patch(&q);
    return done;
}

/* --- the whole --- */

/* Rectangle of cells that holds all samples of each room. */
static void find_bounds(const aw_rooms *r, const aw_field *f, size_t (*bounds)[4])
{
    for (size_t k = 0; k < r->n; k++) {
        bounds[k][0] = bounds[k][1] = SIZE_MAX;
        bounds[k][2] = bounds[k][3] = 0;
    }
    for (size_t at = 0; at < r->nx * r->ny; at++) {
        if (r->room[at] == AW_NO_ROOM)
            continue;
        size_t *b = bounds[r->room[at]];
        const size_t i = at % r->nx, j = at / r->nx;
        const size_t i0 = i > 0 ? (i - 1) / r->factor : 0, j0 = j > 0 ? (j - 1) / r->factor : 0;
        const size_t i1 = i / r->factor < f->nx ? i / r->factor : f->nx - 1;
        const size_t j1 = j / r->factor < f->ny ? j / r->factor : f->ny - 1;
        b[0] = i0 < b[0] ? i0 : b[0];
        b[1] = j0 < b[1] ? j0 : b[1];
        b[2] = i1 > b[2] ? i1 : b[2];
        b[3] = j1 > b[3] ? j1 : b[3];
    }
}

/* The line round one room of several. */
static bool trace_bound(aw_room *room, const aw_rooms *r, uint32_t number)
{
    part p = {.nx = r->nx, .ny = r->ny, .v = malloc(r->nx * r->ny * sizeof(double))};
    aw_field mask = {0};
    if (p.v == NULL)
        return false;
    for (size_t at = 0; at < r->nx * r->ny; at++)
        p.v[at] = r->room[at] == number ? 1 : 0;
    bool done = make_fine(&mask, r, &p);
    for (size_t at = 0; done && at < mask.nx * mask.ny; at++)
        mask.value[at] = fmax(mask.value[at], 0);
    done = done && aw_field_trace(&mask, 0.5, &room->bound);
    free(p.v);
    aw_field_free(&mask);
    return done;
}

/* Cells without a value as ones, by nearest samples and smoothed: a single cell stays. */
static bool find_no_fix(aw_surface *s, const cells *c)
{
    const aw_rooms *r = &s->rooms;
    const aw_field *f = c->f;
    part p = {.nx = r->nx,
              .ny = r->ny,
              .v = malloc(r->nx * r->ny * sizeof(double)),
              .spare = malloc(r->nx * r->ny * sizeof(double))};
    bool done = p.v != NULL && p.spare != NULL;
    for (size_t at = 0; done && at < r->nx * r->ny; at++) {
        const size_t i = at % r->nx / r->factor, j = at / r->nx / r->factor;
        const size_t cell = (j < f->ny ? j : f->ny - 1) * f->nx + (i < f->nx ? i : f->nx - 1);
        p.v[at] = isnan(f->value[cell]) && f->kept[cell];
        s->has_no_fix = s->has_no_fix || p.v[at] > 0;
    }
    if (done && s->has_no_fix) {
        blur(&p, WIDTH_EDGE);
        done = make_fine(&s->no_fix, r, &p);
        for (size_t at = 0; done && at < s->no_fix.nx * s->no_fix.ny; at++)
            s->no_fix.value[at] = fmax(s->no_fix.value[at], 0);
    }
    free(p.v);
    free(p.spare);
    return done;
}

static bool smooth_rooms(aw_surface *s, const cells *c)
{
    size_t(*bounds)[4] = malloc((s->rooms.n + 1) * sizeof *bounds);
    bool done = bounds != NULL;
    if (done)
        find_bounds(&s->rooms, c->f, bounds);
    for (size_t k = 0; done && k < s->rooms.n; k++)
        done = smooth_room(s, c, (uint32_t)k, &bounds[k][0], &bounds[k][2]) &&
               (s->rooms.n == 1 || trace_bound(&s->room[k], &s->rooms, (uint32_t)k));
    free(bounds);
    return done;
}

bool aw_surface_make(aw_surface *s, const aw_field *f, const aw_scenario *scenario, size_t tag,
                     bool by_log)
{
    const size_t n = f->nx * f->ny;
    cells c = {f,
               &s->rooms,
               malloc(n * sizeof(double)),
               malloc(n * sizeof(double)),
               {malloc(n * sizeof(double)), malloc(n * sizeof(double))}};
    *s = (aw_surface){.by_log = by_log};
    bool done = c.value != NULL && c.next != NULL && c.ends[0] != NULL && c.ends[1] != NULL &&
                aw_rooms_divide(&s->rooms, f, scenario, tag);
    s->room = done ? calloc(s->rooms.n + 1, sizeof *s->room) : NULL;
    done = s->room != NULL;
    if (done) {
        begin_cells(s, &c);
        smooth_cells(&c);
        done = smooth_rooms(s, &c) && find_no_fix(s, &c);
    }
    free(c.value);
    free(c.next);
    free(c.ends[0]);
    free(c.ends[1]);
    if (!done)
        aw_surface_free(s);
    return done;
}

void aw_surface_free(aw_surface *s)
{
    for (size_t k = 0; s->room != NULL && k < s->rooms.n; k++) {
        aw_field_free(&s->room[k].fine);
        aw_paths_free(&s->room[k].bound);
    }
    free(s->room);
    aw_field_free(&s->no_fix);
    aw_rooms_free(&s->rooms);
    *s = (aw_surface){0};
}

bool aw_surface_rings(const aw_surface *s, size_t room, double level, aw_paths *rings)
{
    *rings = (aw_paths){0};
    return s->room[room].fine.value == NULL ||
           aw_field_trace(&s->room[room].fine, scaled(s, level), rings);
}

double aw_surface_at(const aw_surface *s, aw_point p)
{
    const aw_rooms *r = &s->rooms;
    const double u = (p.x - r->x0) / r->step + 0.5, v = (p.y - r->y0) / r->step + 0.5;
    if (!(u >= 0) || !(v >= 0) || u >= (double)r->nx || v >= (double)r->ny)
        return (double)NAN;
    const uint32_t room = r->room[(size_t)v * r->nx + (size_t)u];
    if (room == AW_NO_ROOM || s->room[room].fine.value == NULL)
        return (double)NAN;
    const double value = aw_field_at(&s->room[room].fine, p.x, p.y);
    return value < LOW / 2 ? (double)NAN : s->by_log ? exp(value) : value;
}
