/* Where texts may stand. Every text takes its box, so that no two ever touch. */
#include <math.h>
#include <stdlib.h>

#include "anchorwise/level.h"
#include "base/plane.h"
#include "draw/draft.h"

/* Clear space round every text, and between the lines of one, mm. */
#define CLEAR   0.35
#define LEADING 0.2

/* Turned, +y points to the right and +x down the sheet. */
aw_point aw_draft_to_paper(const aw_draft *d, aw_point m)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    const double x = (m.x - o->low.x) * d->mm, y = (m.y - o->low.y) * d->mm;
    const double deep = (o->high.y - o->low.y) * d->mm;
    return d->turned ? (aw_point){d->origin.x + y, d->origin.y + x}
                     : (aw_point){d->origin.x + x, d->origin.y + deep - y};
}

aw_point aw_draft_to_metres(const aw_draft *d, aw_point paper)
{
    const aw_polygon *o = &d->scenario->floor.outline;
    const double x = (paper.x - d->origin.x) / d->mm, y = (paper.y - d->origin.y) / d->mm;
    return d->turned ? (aw_point){o->low.x + y, o->low.y + x}
                     : (aw_point){o->low.x + x, o->high.y - y};
}

aw_box aw_draft_box_of(const aw_draft *d, const aw_polygon *p)
{
    const aw_point a = aw_draft_to_paper(d, p->low), b = aw_draft_to_paper(d, p->high);
    return (aw_box){{fmin(a.x, b.x), fmin(a.y, b.y)}, {fmax(a.x, b.x), fmax(a.y, b.y)}};
}

aw_box aw_draft_shown_box(const aw_draft *d, const aw_polygon *p)
{
    const aw_box all = aw_draft_box_of(d, p);
    return (aw_box){{fmax(all.low.x, d->map.low.x), fmax(all.low.y, d->map.low.y)},
                    {fmin(all.high.x, d->map.high.x), fmin(all.high.y, d->map.high.y)}};
}

bool aw_draft_is_free(const aw_draft *d, aw_box box)
{
    for (size_t i = 0; i < d->n_taken; i++) {
        const aw_box *t = &d->taken[i];
        if (box.low.x < t->high.x + CLEAR && t->low.x < box.high.x + CLEAR &&
            box.low.y < t->high.y + CLEAR && t->low.y < box.high.y + CLEAR)
            return false;
    }
    return true;
}

void aw_draft_take(aw_draft *d, aw_box box)
{
    if (d->n_taken == d->room_taken) {
        const size_t room = d->room_taken ? 2 * d->room_taken : 256;
        aw_box *taken = realloc(d->taken, room * sizeof *taken);
        if (taken == NULL) {
            d->sheet->failed = true;
            return;
        }
        d->taken = taken;
        d->room_taken = room;
    }
    d->taken[d->n_taken++] = box;
}

static bool is_within(aw_box box, aw_box within)
{
    return box.low.x >= within.low.x && box.high.x <= within.high.x && box.low.y >= within.low.y &&
           box.high.y <= within.high.y;
}

/* The box of a text that is turned about its upper left corner. */
static aw_box box_of(const aw_draft *d, aw_ink ink, const char *text, aw_point low, double angle)
{
    const aw_point size = aw_sheet_measure(d->sheet, ink, text);
    const double c = cos(angle * M_PI / 180), s = sin(angle * M_PI / 180);
    const double x[3] = {size.x * c, size.x * c - size.y * s, -size.y * s};
    const double y[3] = {size.x * s, size.x * s + size.y * c, size.y * c};
    aw_box box = {low, low};
    for (int k = 0; k < 3; k++) {
        box.low = (aw_point){fmin(box.low.x, low.x + x[k]), fmin(box.low.y, low.y + y[k])};
        box.high = (aw_point){fmax(box.high.x, low.x + x[k]), fmax(box.high.y, low.y + y[k])};
    }
    return box;
}

bool aw_draft_try_text(aw_draft *d, aw_ink ink, const char *text, aw_point low, double angle,
                       aw_box within)
{
    const aw_box box = box_of(d, ink, text, low, angle);
    if (!is_within(box, within) || !aw_draft_is_free(d, box))
        return false;
    aw_sheet_text(d->sheet, ink, text, low, angle);
    aw_draft_take(d, box);
    return true;
}

void aw_draft_set_text(aw_draft *d, aw_ink ink, const char *text, aw_point low)
{
    aw_sheet_text(d->sheet, ink, text, low, 0);
    aw_draft_take(d, box_of(d, ink, text, low, 0));
}

static aw_ink ink_of(const aw_label *label, size_t line)
{
    return line == 0 ? label->ink : AW_INK_NOTE;
}

void aw_draft_set_label(aw_draft *d, const aw_label *label, aw_box box)
{
    aw_point low = box.low;
    for (size_t i = 0; i < label->n; i++) {
        aw_sheet_text(d->sheet, ink_of(label, i), label->lines[i], low, 0);
        low.y += aw_sheet_measure(d->sheet, ink_of(label, i), label->lines[i]).y + LEADING;
    }
    aw_draft_take(d, box);
}

aw_point aw_draft_label_size(const aw_draft *d, const aw_label *label)
{
    aw_point size = {0, 0};
    for (size_t i = 0; i < label->n; i++) {
        const aw_point line = aw_sheet_measure(d->sheet, ink_of(label, i), label->lines[i]);
        size.x = fmax(size.x, line.x);
        size.y += line.y + (i > 0 ? LEADING : 0);
    }
    return size;
}

/* Whether a segment of paper comes into a box: the part of it within both its strips. */
static bool meets(aw_box box, aw_point a, aw_point b)
{
    const double from[2] = {a.x, a.y}, along[2] = {b.x - a.x, b.y - a.y};
    const double low[2] = {box.low.x, box.low.y}, high[2] = {box.high.x, box.high.y};
    double enter = 0, leave = 1;
    for (int k = 0; k < 2; k++) {
        if (along[k] == 0) {
            if (from[k] < low[k] || from[k] > high[k])
                return false;
            continue;
        }
        const double s = (low[k] - from[k]) / along[k], t = (high[k] - from[k]) / along[k];
        enter = fmax(enter, fmin(s, t));
        leave = fmin(leave, fmax(s, t));
    }
    return enter <= leave;
}

/* Which lines a text should keep off: all that stand on the floor, or those that it hurts most. */
static bool counts(aw_ink ink, aw_keep_off keep_off)
{
    switch (ink) {
    case AW_INK_SHORE:
    case AW_INK_BEARING:
    case AW_INK_THROUGH:
    case AW_INK_CHANGE:
    case AW_INK_REGION:
    case AW_INK_LIMIT:
    case AW_INK_ELLIPSE:
    case AW_INK_DEEP:
    case AW_INK_FELLS:
    case AW_INK_HEARD:
    case AW_INK_HEARD_THROUGH:
    case AW_INK_HIDDEN:
    case AW_INK_END:
        return keep_off != AW_KEEP_OFF_NONE;
    case AW_INK_LAND:
    case AW_INK_OVERHEAD:
    case AW_INK_ZONE:
        return keep_off >= AW_KEEP_OFF_ALL;
    case AW_INK_CONTOUR:
    case AW_INK_NEED:
    case AW_INK_NO_FIX:
        return keep_off == AW_KEEP_OFF_LINES;
    default:
        return false;
    }
}

/* Lines, and what is drawn as a filled shape and read as one. */
static bool is_line(const aw_item *item)
{
    return item->kind == AW_ITEM_LINE || item->ink == AW_INK_LAND || item->ink == AW_INK_DEEP ||
           item->ink == AW_INK_FELLS;
}

static bool is_met(const aw_item *item, aw_box box)
{
    for (size_t path = 0, first = 0; path < item->n_paths; first = item->ends[path++]) {
        const size_t n = item->ends[path] - first;
        for (size_t i = 0; i + (item->closed ? 0 : 1) < n; i++)
            if (meets(box, item->at[first + i], item->at[first + (i + 1) % n]))
                return true;
    }
    return false;
}

bool aw_draft_is_crossed(const aw_draft *d, aw_box box, aw_keep_off keep_off)
{
    for (size_t i = 0; i < d->sheet->n; i++) {
        const aw_item *item = &d->sheet->items[i];
        if (is_line(item) && item->low.x <= box.high.x && item->high.x >= box.low.x &&
            item->low.y <= box.high.y && item->high.y >= box.low.y && counts(item->ink, keep_off) &&
            is_met(item, box))
            return true;
    }
    return false;
}

bool aw_draft_is_solid(const aw_draft *d, const aw_polygon *p, double base, double top)
{
    return aw_stands_at_tag(d->scenario, d->tag, p, base, top);
}

static bool is_land(const aw_draft *d, aw_point p)
{
    const aw_scenario *s = d->scenario;
    for (size_t i = 0; i < s->n_obstacles; i++) {
        const aw_obstacle *o = &s->obstacles[i];
        const aw_polygon *f = &o->footprint;
        if (p.x >= f->low.x && p.x <= f->high.x && p.y >= f->low.y && p.y <= f->high.y &&
            aw_polygon_holds(f, p.x, p.y) && aw_draft_is_solid(d, f, o->base, o->top))
            return true;
    }
    for (size_t i = 0; i < s->n_walls; i++)
        for (size_t k = 0; k + 1 < s->walls[i].n; k++)
            if (aw_polygon_holds(&s->walls[i].legs[k], p.x, p.y) &&
                aw_draft_is_solid(d, &s->walls[i].legs[k], s->walls[i].base, s->walls[i].top))
                return true;
    return false;
}

/* One of eight places round a mark. */
static aw_box box_round(aw_point mark, aw_point size, double off, int k)
{
    static const double around[8][2] = {{1, 0},  {-1, 0}, {0, -1}, {0, 1},
                                        {1, -1}, {1, 1},  {-1, 1}, {-1, -1}};
    const aw_point middle = {mark.x + around[k][0] * (off + size.x / 2),
                             mark.y + around[k][1] * (off + size.y / 2)};
    return (aw_box){{middle.x - size.x / 2, middle.y - size.y / 2},
                    {middle.x + size.x / 2, middle.y + size.y / 2}};
}

/* A label so many gaps off its mark, or so many mm beyond the gap, needs no leader; with one it
 * stands up to so far off before it is set over a line, mm. */
#define NEAR  2.5
#define APART 3.5
#define LED   11.0
#define FAR   45.0

static void add_leader(aw_draft *d, aw_point mark, aw_box box)
{
    aw_sheet_line(d->sheet, AW_INK_LEADER, mark,
                  (aw_point){fmax(box.low.x, fmin(mark.x, box.high.x)),
                             fmax(box.low.y, fmin(mark.y, box.high.y))});
}

/* How far off its mark a label may stand, mm. */
typedef struct bounds {
    double gap, reach;
} bounds;

static aw_point middle_of(const aw_draft *d, aw_box box)
{
    return aw_draft_to_metres(
        d, (aw_point){(box.low.x + box.high.x) / 2, (box.low.y + box.high.y) / 2});
}

/* Points of a box 3 by 3. */
static bool is_over_land(const aw_draft *d, aw_box b)
{
    for (int k = 0; k < 9; k++) {
        const aw_point paper = {b.low.x + (b.high.x - b.low.x) * (k % 3) / 2,
                                b.low.y + (b.high.y - b.low.y) * (k / 3) / 2};
        if (is_land(d, aw_draft_to_metres(d, paper)))
            return true;
    }
    return false;
}

/* Off the mark by up to the reach, clear of lines and land; far ones have a leader. */
static bool label_beside(aw_draft *d, const aw_label *label, aw_point mark, bounds off_by,
                         aw_keep_off keep_off)
{
    const aw_point size = aw_draft_label_size(d, label);
    const double gap = off_by.gap, reach = off_by.reach;
    for (double off = gap; off < reach; off += gap / 2)
        for (int k = 0; k < 8; k++) {
            const aw_box box = box_round(mark, size, off, k);
            if (!is_within(box, d->map) || !aw_draft_is_free(d, box) ||
                aw_draft_is_crossed(d, box, keep_off) ||
                (keep_off >= AW_KEEP_OFF_ALL && is_land(d, middle_of(d, box))) ||
                (off > LED && is_over_land(d, box)))
                continue;
            if (off >= fmin(NEAR * gap, gap + APART))
                add_leader(d, mark, box);
            aw_draft_set_label(d, label, box);
            return true;
        }
    return false;
}

bool aw_draft_label(aw_draft *d, const aw_label *label, aw_point mark, double gap, double reach)
{
    const bounds near = {gap, NEAR * gap}, led = {gap, fmin(LED, reach)},
                 far = {gap, fmin(FAR, reach)};
    const aw_point size = aw_draft_label_size(d, label);
    if (label_beside(d, label, mark, near, AW_KEEP_OFF_ALL) ||
        label_beside(d, label, mark, led, AW_KEEP_OFF_ALL) ||
        label_beside(d, label, mark, near, AW_KEEP_OFF_MOST) ||
        label_beside(d, label, mark, far, AW_KEEP_OFF_ALL) ||
        label_beside(d, label, mark, far, AW_KEEP_OFF_MOST))
        return true;
    for (double off = gap; off <= reach; off = off < 2 * gap ? off + gap : off * 1.35)
        for (int k = 0; k < 8; k++) {
            const aw_box box = box_round(mark, size, off, k);
            if (!is_within(box, d->map) || !aw_draft_is_free(d, box))
                continue;
            if (off > NEAR * gap)
                add_leader(d, mark, box);
            aw_draft_set_label(d, label, box);
            return true;
        }
    d->n_left_out++;
    return false;
}

/* Points are at most so far apart, mm. */
#define PROBE 1.2

bool aw_draft_on_water(const aw_draft *d, aw_box box)
{
    const int across = (int)ceil((box.high.x - box.low.x) / PROBE);
    const int down = (int)ceil((box.high.y - box.low.y) / PROBE);
    for (int i = 0; i <= across; i++)
        for (int j = 0; j <= down; j++) {
            const aw_point paper = {box.low.x + (box.high.x - box.low.x) * i / across,
                                    box.low.y + (box.high.y - box.low.y) * j / down};
            const aw_point p = aw_draft_to_metres(d, paper);
            if (!aw_polygon_holds(&d->scenario->floor.outline, p.x, p.y) || is_land(d, p))
                return false;
        }
    return true;
}
