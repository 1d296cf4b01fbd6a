/* The field as water: tints by depth, shoals where a need is missed, blank where there is no fix,
 * contours at round values, soundings. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/plane.h"
#include "draw/draft.h"

/* All in mm of paper. */
#define STIPPLE  1.7
#define DOT      0.16
#define LABELLED 22.0

/* --- figures --- */

bool aw_draft_shows_needs(const aw_draft *d)
{
    return d->options->layer == AW_LAYER_P95 && d->contrast == NULL;
}

const char *aw_draft_unit(const aw_draft *d)
{
    switch (aw_layer_rows[d->options->layer].figure) {
    case AW_FIGURE_LENGTH:
        return d->scenario->units == AW_FEET ? "inches" : "cm";
    case AW_FIGURE_SHARE:
        return "%";
    case AW_FIGURE_RATIO:
    case AW_FIGURE_COUNT:
        break;
    }
    return "";
}

/* A decimal where it matters, below 10 and above 99; never 100 for what is less. */
static void write_percent(double percent, char out[24])
{
    const bool fine = percent < 9.95 || (percent > 99 && percent < 100);
    const double tenths = percent > 99 ? floor(percent * 10) : round(percent * 10);
    snprintf(out, 24, fine ? "%.3g" : "%.0f", fine ? tenths / 10 : percent);
}

/* A difference with its sign; nothing but 0 where it rounds to that. */
static void write_difference(double value, char out[24])
{
    const double whole = round(value);
    snprintf(out, 24, "%s%.0f", whole > 0 ? "+" : whole < 0 ? "−" : "", fabs(whole));
}

void aw_draft_figure(const aw_draft *d, double value, char out[24])
{
    const double small = d->scenario->units == AW_FEET ? 12 / AW_FOOT : 100;
    if (d->contrast != NULL) {
        write_difference(value * small, out);
        return;
    }
    switch (aw_layer_rows[d->options->layer].figure) {
    case AW_FIGURE_LENGTH:
        snprintf(out, 24, "%.0f", value * small);
        break;
    case AW_FIGURE_RATIO:
        snprintf(out, 24, value < 9.95 ? "%.1f" : "%.0f", value);
        break;
    case AW_FIGURE_SHARE:
        write_percent(100 * value, out);
        break;
    case AW_FIGURE_COUNT:
        snprintf(out, 24, "%.0f", value);
        break;
    }
}

/* Round values in inches for a site in feet. */
static const double inches[AW_LAYER_CONTOURS] = {2, 4, 8, 12, 20, 30, 48, 80, 120, 200, 400, 800};

void aw_draft_choose_levels(aw_draft *d)
{
    const aw_layer_row *row = &aw_layer_rows[d->options->layer];
    const bool in_inches = row->figure == AW_FIGURE_LENGTH && d->scenario->units == AW_FEET;
    const double *contours = in_inches ? inches : row->contours;
    const double unit = in_inches ? AW_FOOT / 12 : 1;
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (size_t i = 0; i < d->field.nx * d->field.ny; i++) {
        low = fmin(low, d->field.value[i]);
        high = fmax(high, d->field.value[i]);
    }
    for (size_t k = 0; k < AW_LAYER_CONTOURS && contours[k] > 0; k++)
        if (contours[k] * unit > low && contours[k] * unit <= high)
            d->levels[d->n_levels++] = contours[k] * unit;
}

/* --- tints --- */

static void add_region(aw_draft *d, aw_ink ink, const aw_field *f, double level, double shade)
{
    aw_item *item = aw_sheet_add(d->sheet, AW_ITEM_FILL, ink);
    aw_piece piece;
    if (item == NULL)
        return;
    item->shade = shade;
    for (size_t cursor = 0; aw_field_next_piece(f, level, &cursor, &piece);) {
        for (size_t k = 0; k < piece.n; k++) {
            const aw_point p = aw_draft_to_paper(d, piece.at[k]);
            aw_sheet_point(d->sheet, item, p.x, p.y);
        }
        aw_sheet_end_path(d->sheet, item);
    }
}

/* Steps of the ramp that a chart with few contours has all the same, so that they look as they are.
 */
#define LEAST_BANDS 6

/* Better water is paler, whichever way the layer counts. */
double aw_draft_shade(const aw_draft *d, size_t band)
{
    const size_t bands = d->n_levels > LEAST_BANDS ? d->n_levels : LEAST_BANDS;
    const bool rising = aw_layer_rows[d->options->layer].less_is_better;
    return (double)(rising ? band : d->n_levels - band) / (double)bands;
}

void aw_draft_open_floor(aw_draft *d)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    aw_item *clip = aw_sheet_add(d->sheet, AW_ITEM_CLIP, AW_INK_SHORE);
    for (size_t i = 0; i < o->n; i++) {
        const aw_point p = aw_draft_to_paper(d, o->at[i]);
        aw_sheet_point(d->sheet, clip, p.x, p.y);
    }
    aw_sheet_end_path(d->sheet, clip);
}

void aw_draft_tints(aw_draft *d)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_TINT, aw_draft_shade(d, 0),
                 aw_draft_to_paper(d, o->low), aw_draft_to_paper(d, o->high));
    for (size_t k = 0; k < d->n_levels; k++)
        add_region(d, AW_INK_TINT, &d->filled, d->levels[k], aw_draft_shade(d, k + 1));
}

/* Where cells of the floor have no value: 1, elsewhere 0, spread to the walls. */
static bool mark_gaps(const aw_draft *d, aw_field *gaps)
{
    aw_field marks;
    bool any = false;
    if (!aw_field_fill_gaps(&marks, &d->field))
        return false;
    for (size_t i = 0; i < marks.nx * marks.ny; i++) {
        const bool gap = marks.kept[i] && isnan(d->field.value[i]);
        marks.value[i] = marks.kept[i] ? gap : (double)NAN;
        any = any || gap;
    }
    const bool marked = any && aw_field_fill_gaps(gaps, &marks);
    aw_field_free(&marks);
    return marked;
}

static void add_paths(aw_draft *d, aw_ink ink, const aw_paths *paths)
{
    for (size_t k = 0; k < paths->n; k++) {
        aw_item *item = aw_sheet_add(d->sheet, AW_ITEM_LINE, ink);
        for (size_t i = 0; i < paths->list[k].n; i++) {
            const aw_point p = aw_draft_to_paper(d, paths->list[k].at[i]);
            aw_sheet_point(d->sheet, item, p.x, p.y);
        }
        aw_sheet_end_path(d->sheet, item);
        if (item != NULL)
            item->closed = paths->list[k].closed;
    }
}

void aw_draft_gaps(aw_draft *d, aw_item_kind kind)
{
    aw_field gaps;
    aw_paths edges;
    if (!mark_gaps(d, &gaps))
        return;
    if (kind == AW_ITEM_FILL) {
        add_region(d, AW_INK_NO_FIX, &gaps, 0.5, 0);
    } else if (aw_field_trace(&gaps, 0.5, &edges)) {
        add_paths(d, AW_INK_NO_FIX, &edges);
        aw_paths_free(&edges);
    }
    aw_field_free(&gaps);
}

/* --- shoals --- */

/* The need that holds at a place, NaN without one; the first zone that has it speaks. */
static double need_at(const aw_draft *d, aw_point p)
{
    const aw_scenario *s = d->scenario;
    for (size_t i = 0; i < s->n_zones; i++) {
        const double need = aw_draft_need(d, &s->zones[i]);
        if (!isnan(need) && aw_polygon_holds(&s->zones[i].outline, p.x, p.y))
            return need;
    }
    return (double)NAN;
}

#define NO_CELL ((size_t)-1)

/* The place of the field that a point lies in. */
static size_t cell_at(const aw_field *f, aw_point p)
{
    const double u = (p.x - f->x0) / f->step, v = (p.y - f->y0) / f->step;
    if (u < 0 || v < 0 || u >= (double)f->nx || v >= (double)f->ny)
        return NO_CELL;
    return (size_t)v * f->nx + (size_t)u;
}

/* Nearest cell; its value decides, no value is a need missed. */
static bool is_shoal(const aw_draft *d, aw_point p)
{
    const size_t cell = cell_at(&d->field, p);
    if (cell == NO_CELL)
        return false;
    if (d->contrast != NULL)
        return d->contrast->ranking[cell] == AW_B_WORSE;
    const double need = need_at(d, p);
    if (isnan(need))
        return false;
    const double smooth = aw_field_at(&d->filled, p.x, p.y);
    return d->field.kept[cell] &&
           (isnan(d->field.value[cell]) ||
            !(isnan(smooth) ? d->field.value[cell] <= need : smooth <= need));
}

void aw_draft_shoals(aw_draft *d)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    if (!aw_draft_shows_needs(d) && d->contrast == NULL)
        return;
    aw_item *item = aw_sheet_add(d->sheet, AW_ITEM_FILL, AW_INK_STIPPLE);
    const double wide = (o->high.x - o->low.x) * d->mm, deep = (o->high.y - o->low.y) * d->mm;
    size_t row = 0;
    for (double y = STIPPLE / 2; y < deep; y += STIPPLE * 0.87, row++)
        for (double x = row % 2 ? STIPPLE : STIPPLE / 2; x < wide; x += STIPPLE) {
            const aw_point m = {o->low.x + x / d->mm, o->low.y + y / d->mm};
            if (!is_shoal(d, m))
                continue;
            const aw_point p = aw_draft_to_paper(d, m);
            aw_sheet_point(d->sheet, item, p.x - DOT, p.y - DOT);
            aw_sheet_point(d->sheet, item, p.x + DOT, p.y - DOT);
            aw_sheet_point(d->sheet, item, p.x + DOT, p.y + DOT);
            aw_sheet_point(d->sheet, item, p.x - DOT, p.y + DOT);
            aw_sheet_end_path(d->sheet, item);
        }
}

/* --- contours --- */

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

/* Each zone's need shows inside that zone only. */
static void contour_needs(aw_draft *d)
{
    const aw_scenario *s = d->scenario;
    for (size_t i = 0; i < s->n_zones && aw_draft_shows_needs(d); i++) {
        const aw_zone *z = &s->zones[i];
        const double need = aw_draft_need(d, z);
        if (isnan(need))
            continue;
        aw_item *clip = aw_sheet_add(d->sheet, AW_ITEM_CLIP, AW_INK_ZONE);
        for (size_t k = 0; k < z->outline.n; k++) {
            const aw_point p = aw_draft_to_paper(d, z->outline.at[k]);
            aw_sheet_point(d->sheet, clip, p.x, p.y);
        }
        aw_sheet_end_path(d->sheet, clip);
        contour(d, need, AW_INK_NEED, &z->outline);
        aw_sheet_add(d->sheet, AW_ITEM_FREE, AW_INK_ZONE);
    }
}

void aw_draft_contours(aw_draft *d)
{
    for (size_t k = 0; k < d->n_levels; k++)
        contour(d, d->levels[k], AW_INK_CONTOUR, NULL);
    contour_needs(d);
}

/* --- soundings --- */

/* The figure of a place, or the letter of the layout that alone has one; false for neither. */
static bool figure_at(const aw_draft *d, aw_point metres, char out[24])
{
    const double value = aw_field_at(&d->field, metres.x, metres.y);
    if (!isnan(value)) {
        aw_draft_figure(d, value, out);
        return true;
    }
    const size_t cell = d->contrast != NULL ? cell_at(&d->field, metres) : NO_CELL;
    if (cell == NO_CELL || d->contrast->only[cell] == 0)
        return false;
    snprintf(out, 24, "%c", d->contrast->only[cell]);
    return true;
}

void aw_draft_soundings(aw_draft *d)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    const double size = d->sheet->text_size, apart = 4.4 * size, rows = 2.9 * size;
    const double wide = (o->high.x - o->low.x) * d->mm, deep = (o->high.y - o->low.y) * d->mm;
    size_t row = 0;
    for (double y = rows / 2; y < deep; y += rows, row++)
        for (double x = row % 2 ? apart : apart / 2; x < wide; x += apart) {
            char figure[24];
            const aw_point m = {o->low.x + x / d->mm, o->high.y - y / d->mm};
            if (!figure_at(d, m, figure))
                continue;
            const aw_point extent = aw_sheet_measure(d->sheet, AW_INK_SOUNDING, figure);
            const aw_point p = aw_draft_to_paper(d, m);
            const aw_box box = {{p.x - extent.x / 2, p.y - extent.y / 2},
                                {p.x + extent.x / 2, p.y + extent.y / 2}};
            if (aw_draft_on_water(d, box))
                aw_draft_try_text(d, AW_INK_SOUNDING, figure, box.low, 0, d->map);
        }
}
