/* Lines of one value, broken where that value stands on them. */
#include <math.h>
#include <stdio.h>

#include "draw/draft.h"

/* Curves shorter than this have no value, mm. */
#define LABELLED 22.0
/* Curves are cut in steps, and keep off texts by, mm. */
#define STRIDE 0.3
#define CLEAR  0.25

typedef struct curve {
    aw_point *at; /* mm */
    size_t n;
    bool closed;
    double level;
    const aw_field *fine;     /* that it was traced in */
    const aw_polygon *within; /* where its value may stand; NULL: anywhere */
} curve;

static double span_of(const curve *c, size_t from, size_t to)
{
    return hypot(c->at[to].x - c->at[from].x, c->at[to].y - c->at[from].y);
}

/* Whether the surface has the curve's value at a place, and the cell there a figure. */
static bool is_at_level(const aw_draft *d, const curve *c, aw_point paper)
{
    const aw_point m = aw_draft_to_metres(d, paper);
    const size_t cell = aw_field_cell(&d->field, m);
    const double off = fabs(aw_surface_at(d->surface, m) - c->level);
    return cell != AW_NO_CELL && !isnan(d->field.value[cell]) && off <= 0.15 * fabs(c->level);
}

/* Whether a point lies on the edge of what was traced: a ring that closes there follows nothing. */
static bool is_on_edge(const aw_draft *d, const curve *c, aw_point paper)
{
    const aw_point m = aw_draft_to_metres(d, paper);
    const aw_field *f = c->fine;
    const double near = 0.05 * f->step, x = m.x - f->x0, y = m.y - f->y0;
    return x < 1.5 * f->step + near || x > ((double)f->nx - 1.5) * f->step - near ||
           y < 1.5 * f->step + near || y > ((double)f->ny - 1.5) * f->step - near;
}

/* Tries to set the value at point `at` along a stretch as long as the text that is nearly straight.
 */
static bool label_at(aw_draft *d, const curve *c, size_t at, const char *text, aw_point size)
{
    size_t from = at, to = at;
    while (from > 0 && span_of(c, from, at) < size.x * 0.6)
        from--;
    while (to + 1 < c->n && span_of(c, at, to) < size.x * 0.6)
        to++;
    const double along = span_of(c, from, to);
    double walked = 0;
    for (size_t i = from; i < to; i++)
        walked += span_of(c, i, i + 1);
    if (along < size.x * 1.05 || walked > 1.15 * along)
        return false;
    double angle = atan2(c->at[to].y - c->at[from].y, c->at[to].x - c->at[from].x);
    angle = angle > M_PI / 2 ? angle - M_PI : angle < -M_PI / 2 ? angle + M_PI : angle;
    const double s = sin(angle), k = cos(angle);
    const aw_point middle = {(c->at[from].x + c->at[to].x) / 2, (c->at[from].y + c->at[to].y) / 2};
    const aw_point low = {middle.x - size.x / 2 * k + size.y / 2 * s,
                          middle.y - size.x / 2 * s - size.y / 2 * k};
    const aw_box about = {{middle.x - size.x / 2, middle.y - size.x / 2},
                          {middle.x + size.x / 2, middle.y + size.x / 2}};
    return (c->within == NULL || aw_draft_is_on(d, c->within, about)) &&
           aw_draft_on_water(d, about) && is_at_level(d, c, middle) &&
           aw_draft_try_text(d, AW_INK_VALUE, text, low, angle * 180 / M_PI, d->map);
}

/* Whether a point lies on one of the first n texts and marks that have their places. */
static bool is_taken(const aw_draft *d, aw_point p, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        const aw_box *t = &d->taken[i];
        if (p.x > t->low.x - CLEAR && p.x < t->high.x + CLEAR && p.y > t->low.y - CLEAR &&
            p.y < t->high.y + CLEAR)
            return true;
    }
    return false;
}

/* Whether a break begins or ends within a stride. */
static bool is_near_break(const aw_draft *d, aw_point p, aw_point place, double gap, size_t n)
{
    static const double around[4][2] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
    bool near = hypot(p.x - place.x, p.y - place.y) <= gap + 1.5 * STRIDE;
    for (int k = 0; k < 4 && !near; k++)
        near = is_taken(
            d, (aw_point){p.x + 1.5 * STRIDE * around[k][0], p.y + 1.5 * STRIDE * around[k][1]}, n);
    return near;
}

/* Draws a curve but for what lies within `gap` of a place or under the first n texts, and for runs
 * along the edge. */
static void draw_broken(aw_draft *d, const curve *c, aw_ink ink, aw_point place, double gap,
                        size_t n)
{
    aw_item *item = aw_sheet_add(d->sheet, AW_ITEM_LINE, ink);
    for (size_t i = 0; i + (c->closed ? 0 : 1) < c->n; i++) {
        const aw_point a = c->at[i], b = c->at[(i + 1) % c->n];
        const size_t steps = (size_t)ceil(hypot(b.x - a.x, b.y - a.y) / STRIDE) + 1;
        if (is_on_edge(d, c, a) && is_on_edge(d, c, b)) {
            aw_sheet_end_path(d->sheet, item);
            continue;
        }
        for (size_t k = 0; k <= steps; k++) {
            const double s = (double)k / (double)steps;
            const aw_point p = {a.x + s * (b.x - a.x), a.y + s * (b.y - a.y)};
            if (hypot(p.x - place.x, p.y - place.y) <= gap || is_taken(d, p, n))
                aw_sheet_end_path(d->sheet, item);
            else if (k == 0 || k == steps || is_near_break(d, p, place, gap, n))
                aw_sheet_point(d->sheet, item, p.x, p.y);
        }
    }
    aw_sheet_end_path(d->sheet, item);
}

static void draw_curve(aw_draft *d, const curve *c, aw_ink ink, const char *text)
{
    static const double tried[] = {0.5, 0.3, 0.7, 0.15, 0.85, 0.4, 0.6, 0.05, 0.95};
    const aw_point size = aw_sheet_measure(d->sheet, AW_INK_VALUE, text);
    const size_t taken = d->n_taken;
    double length = 0;
    for (size_t i = 0; i + 1 < c->n; i++)
        length += span_of(c, i, i + 1);
    for (size_t k = 0; length > LABELLED && k < sizeof tried / sizeof *tried; k++) {
        if (!label_at(d, c, (size_t)(tried[k] * (double)(c->n - 1)), text, size))
            continue;
        const aw_box *box = &d->taken[d->n_taken - 1];
        const aw_point middle = {(box->low.x + box->high.x) / 2, (box->low.y + box->high.y) / 2};
        draw_broken(d, c, ink, middle, size.x / 2 + 0.5, taken);
        return;
    }
    draw_broken(d, c, ink, (aw_point){-1e9, -1e9}, 0, taken);
}

static void contour(aw_draft *d, size_t room, double level, aw_ink ink, const aw_polygon *within)
{
    aw_paths rings;
    char figure[24], text[40];
    if (!aw_draft_rings(d, room, level, ink == AW_INK_NEED, &rings)) {
        d->sheet->failed = true;
        return;
    }
    aw_draft_border(d, level, figure);
    snprintf(text, sizeof text, ink == AW_INK_NEED ? "need %s" : "%s", figure);
    for (size_t k = 0; k < rings.n; k++) {
        const curve c = {
            rings.list[k].at, rings.list[k].n, true, level, &d->surface->room[room].fine, within};
        draw_curve(d, &c, ink, text);
    }
    aw_paths_free(&rings);
}

/* In all rooms, each by itself. */
static void contour_rooms(aw_draft *d, double level, aw_ink ink, const aw_polygon *within)
{
    const size_t rooms = d->surface->rooms.n;
    for (size_t room = 0; room < rooms; room++) {
        if (rooms > 1)
            aw_draft_open_room(d, room);
        contour(d, room, level, ink, within);
        if (rooms > 1)
            aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_SHORE);
    }
}

/* Each zone's need shows inside that zone only, and beside it what its tints change at. */
static void contour_needs(aw_draft *d)
{
    const aw_scenario *s = d->scenario;
    for (size_t i = 0; i < s->n_zones && aw_draft_shows_needs(d); i++) {
        const aw_zone *z = &s->zones[i];
        const double need = aw_draft_need(d, z);
        if (isnan(need))
            continue;
        aw_draft_open_zone(d, z);
        for (size_t k = 0; k + 1 < AW_RELATIVE_BANDS && d->options->relative; k++)
            if (aw_relative_borders[k] != 1)
                contour_rooms(d, aw_relative_borders[k] * need, AW_INK_CONTOUR, &z->outline);
        contour_rooms(d, need, AW_INK_NEED, &z->outline);
        aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_ZONE);
    }
}

void aw_draft_contours(aw_draft *d)
{
    aw_draft_open_floor(d, AW_DEPTH_CONTOURS);
    for (size_t k = 0; k < d->n_levels && !d->options->relative; k++)
        contour_rooms(d, d->levels[k], AW_INK_CONTOUR, NULL);
    contour_needs(d);
    aw_draft_close_floor(d);
}
