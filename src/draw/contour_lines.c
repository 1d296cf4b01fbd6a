/* Lines of one value, broken where that value stands on them. */
#include <math.h>
#include <stdio.h>

#include "draw/draft.h"

/* Curves shorter than this have no value, mm. */
#define LABELLED 22.0

typedef struct curve {
    aw_point *at; /* mm */
    size_t n;
    bool closed;
    const aw_polygon *within; /* where its value may stand; NULL: anywhere */
} curve;

static double span_of(const curve *c, size_t from, size_t to)
{
    return hypot(c->at[to].x - c->at[from].x, c->at[to].y - c->at[from].y);
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
           aw_draft_try_text(d, AW_INK_VALUE, text, low, angle * 180 / M_PI, d->map);
}

/* Draws a curve but for what lies within `gap` of a place. */
static void draw_broken(aw_draft *d, const curve *c, aw_ink ink, aw_point place, double gap)
{
    aw_item *item = aw_sheet_add(d->sheet, AW_ITEM_LINE, ink);
    for (size_t i = 0; i < c->n + (c->closed ? 1 : 0); i++) {
        const aw_point p = c->at[i % c->n];
        if (hypot(p.x - place.x, p.y - place.y) > gap)
            aw_sheet_point(d->sheet, item, p.x, p.y);
        else
            aw_sheet_end_path(d->sheet, item);
    }
    aw_sheet_end_path(d->sheet, item);
}

static void draw_curve(aw_draft *d, const curve *c, aw_ink ink, const char *text)
{
    static const double tried[] = {0.5, 0.3, 0.7, 0.15, 0.85, 0.4, 0.6, 0.05, 0.95};
    const aw_point size = aw_sheet_measure(d->sheet, AW_INK_VALUE, text);
    double length = 0;
    for (size_t i = 0; i + 1 < c->n; i++)
        length += span_of(c, i, i + 1);
    for (size_t k = 0; length > LABELLED && k < sizeof tried / sizeof *tried; k++) {
        if (!label_at(d, c, (size_t)(tried[k] * (double)(c->n - 1)), text, size))
            continue;
        const aw_box *box = &d->taken[d->n_taken - 1];
        const aw_point middle = {(box->low.x + box->high.x) / 2, (box->low.y + box->high.y) / 2};
        draw_broken(d, c, ink, middle, size.x / 2 + 0.5);
        return;
    }
    draw_broken(d, c, ink, (aw_point){-1e9, -1e9}, 0);
}

static void contour(aw_draft *d, double level, aw_ink ink, const aw_polygon *within)
{
    aw_paths paths;
    char figure[24], text[40];
    if (!aw_field_trace(&d->field, level, &paths)) {
        d->sheet->failed = true;
        return;
    }
    aw_draft_figure(d, level, figure);
    snprintf(text, sizeof text, ink == AW_INK_NEED ? "need %s" : "%s", figure);
    for (size_t k = 0; k < paths.n; k++) {
        const curve c = {paths.list[k].at, paths.list[k].n, paths.list[k].closed, within};
        for (size_t i = 0; i < c.n; i++)
            c.at[i] = aw_draft_to_paper(d, c.at[i]);
        draw_curve(d, &c, ink, text);
    }
    aw_paths_free(&paths);
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
                contour(d, aw_relative_borders[k] * need, AW_INK_CONTOUR, &z->outline);
        contour(d, need, AW_INK_NEED, &z->outline);
        aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_ZONE);
    }
}

void aw_draft_contours(aw_draft *d)
{
    for (size_t k = 0; k < d->n_levels && !d->options->relative; k++)
        contour(d, d->levels[k], AW_INK_CONTOUR, NULL);
    contour_needs(d);
}
