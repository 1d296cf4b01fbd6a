/* A plan's frame, graduated in metres or feet on four sides, so that coordinates can be read off:
 * line, band of bars, figures, outer line. */
#include <math.h>
#include <stdio.h>

#include "draw/floor_sheet.h"

/* From the window outward, mm on A3: half of the band, the band, the outer line. */
#define HALF 0.75
#define BAND 1.5
/* Figures stand at least so far apart, mm on A3. */
#define APART 18.0

typedef struct graduation {
    double bar, figure; /* in the site's units */
} graduation;

/* The first whose figures have room. */
static graduation choose(const aw_draft *d)
{
    static const graduation steps[] = {{1, 5},    {2, 10},    {5, 25},     {10, 50},
                                       {50, 250}, {100, 500}, {500, 2500}, {5000, 25000}};
    const double unit = aw_unit_metres(d->scenario->units) * d->mm;
    size_t k = 0;
    while (k + 1 < sizeof steps / sizeof *steps &&
           steps[k].figure * unit < APART * aw_draft_type(d))
        k++;
    return steps[k];
}

/* One of the four sides: a place along it by its coordinate, `out` mm outside the window. */
typedef struct side {
    bool upright; /* left or right */
    bool far;     /* right or below */
} side;

static aw_point at_side(const aw_draft *d, side s, double along, double out)
{
    const aw_box *w = &d->map;
    if (s.upright)
        return (aw_point){s.far ? w->high.x + out : w->low.x - out, along};
    return (aw_point){along, s.far ? w->high.y + out : w->low.y - out};
}

/* The coordinate that runs along a side, in the site's units, to its place on paper. */
static double along_of(const aw_draft *d, side s, double coordinate)
{
    const double m = coordinate * aw_unit_metres(d->scenario->units);
    const aw_polygon *o = &d->scenario->floor.outline;
    const bool is_x = s.upright == d->turned;
    const aw_point p = aw_draft_to_paper(d, (aw_point){is_x ? m : o->low.x, is_x ? o->low.y : m});
    return s.upright ? p.y : p.x;
}

static void range_of(const aw_draft *d, side s, double out[2])
{
    const aw_point a = aw_draft_to_metres(d, d->map.low), b = aw_draft_to_metres(d, d->map.high);
    const double unit = aw_unit_metres(d->scenario->units);
    const bool is_x = s.upright == d->turned;
    const double from = (is_x ? a.x : a.y) / unit, to = (is_x ? b.x : b.y) / unit;
    out[0] = fmin(from, to);
    out[1] = fmax(from, to);
}

static void add_bars(aw_draft *d, side s, graduation g)
{
    const double k = aw_draft_type(d);
    double range[2];
    range_of(d, s, range);
    for (double n = floor(range[0] / g.bar); n * g.bar < range[1]; n++) {
        if (fmod(fabs(n), 2) != 0)
            continue;
        const double a = along_of(d, s, fmax(n * g.bar, range[0]));
        const double b = along_of(d, s, fmin((n + 1) * g.bar, range[1]));
        const aw_point p = at_side(d, s, a, 0), q = at_side(d, s, b, HALF * k);
        aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_ANCHOR, 0,
                     (aw_point){fmin(p.x, q.x), fmin(p.y, q.y)},
                     (aw_point){fmax(p.x, q.x), fmax(p.y, q.y)});
    }
}

/* Left out where a corner is nearer than half of it. */
static void add_figure(aw_draft *d, side s, double coordinate, double along)
{
    const double k = aw_draft_type(d);
    const double low = s.upright ? d->map.low.y : d->map.low.x;
    const double high = s.upright ? d->map.high.y : d->map.high.x;
    const aw_point middle = at_side(d, s, along, (BAND + AW_NEAT_WIDTH - 0.35) / 2 * k);
    char text[32];
    snprintf(text, sizeof text, coordinate == 0 && !s.upright ? "%g %s" : "%g", coordinate,
             d->scenario->units == AW_FEET ? "ft" : "m");
    const aw_point size = aw_sheet_measure(d->sheet, AW_INK_GRADUATION, text);
    if (along - low < size.x / 2 || high - along < size.x / 2)
        return;
    if (s.upright)
        aw_sheet_text(d->sheet, AW_INK_GRADUATION, text,
                      (aw_point){middle.x - size.y / 2, middle.y + size.x / 2}, -90);
    else
        aw_sheet_text(d->sheet, AW_INK_GRADUATION, text,
                      (aw_point){middle.x - size.x / 2, middle.y - size.y / 2}, 0);
}

static void add_figures(aw_draft *d, side s, graduation g)
{
    const double k = aw_draft_type(d);
    double range[2];
    range_of(d, s, range);
    for (double n = ceil(range[0] / g.figure); n * g.figure <= range[1]; n++) {
        const double coordinate = n == 0 ? 0 : n * g.figure; /* no minus before 0 */
        const double along = along_of(d, s, coordinate);
        aw_sheet_line(d->sheet, AW_INK_RULE, at_side(d, s, along, 0),
                      at_side(d, s, along, BAND * k));
        add_figure(d, s, coordinate, along);
    }
}

static void add_frame(aw_draft *d, aw_ink ink, double out)
{
    aw_sheet_box(d->sheet, AW_ITEM_LINE, ink, 0, (aw_point){d->map.low.x - out, d->map.low.y - out},
                 (aw_point){d->map.high.x + out, d->map.high.y + out});
}

/* At every second figure, on open floor and off all texts. */
void aw_draft_crosses(aw_draft *d)
{
    const graduation g = choose(d);
    const double unit = aw_unit_metres(d->scenario->units), step = 2 * g.figure * unit;
    const aw_polygon *o = &d->scenario->floor.outline;
    for (double y = ceil(o->low.y / step) * step; y <= o->high.y; y += step)
        for (double x = ceil(o->low.x / step) * step; x <= o->high.x; x += step) {
            const aw_point p = aw_draft_to_paper(d, (aw_point){x, y});
            const aw_box about = {{p.x - 1.2, p.y - 1.2}, {p.x + 1.2, p.y + 1.2}};
            if (!aw_draft_in_window(d, p) || !aw_draft_on_water(d, about) ||
                !aw_draft_is_free(d, about))
                continue;
            aw_sheet_line(d->sheet, AW_INK_CROSS, (aw_point){p.x - 1, p.y},
                          (aw_point){p.x + 1, p.y});
            aw_sheet_line(d->sheet, AW_INK_CROSS, (aw_point){p.x, p.y - 1},
                          (aw_point){p.x, p.y + 1});
            aw_draft_take(d, about);
        }
}

/* Where the floor goes on in the strip before or behind: a stroke across the band, above and below.
 */
static void add_matches(aw_draft *d)
{
    const double band = BAND * aw_draft_type(d);
    for (size_t i = d->window > 0 ? d->window - 1 : 0;
         !d->whole && i <= d->window && i + 1 < d->n_windows; i++) {
        const aw_polygon *o = &d->scenario->floor.outline;
        const aw_point m = {o->low.x + (d->turned ? 0 : d->match[i]),
                            o->low.y + (d->turned ? d->match[i] : 0)};
        const double x = aw_draft_to_paper(d, m).x;
        for (int far = 0; far < 2; far++) {
            const side s = {.far = far};
            aw_sheet_line(d->sheet, AW_INK_CHANGE, at_side(d, s, x, 0), at_side(d, s, x, band));
        }
    }
}

void aw_draft_neat_line(aw_draft *d)
{
    const double k = aw_draft_type(d);
    const graduation g = choose(d);
    for (int n = 0; n < 4; n++) {
        const side s = {n / 2, n % 2};
        add_bars(d, s, g);
        add_figures(d, s, g);
    }
    add_frame(d, AW_INK_RULE, 0);
    add_frame(d, AW_INK_RULE, BAND * k);
    add_frame(d, AW_INK_NEAT, AW_NEAT_WIDTH * k - 0.35);
    add_matches(d);
}
