/* The plan: outline, walls, things in the way, each anchor with its ordinates. A dimension runs
 * from one datum on each side, so that errors do not add up and lines do not cross: along the long
 * edges distances from the west, split at half the depth, along the short ones from the south. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/plane.h"
#include "anchorwise/level.h"
#include "book/installers.h"
#include "report/lengths.h"

/* mm: how far the bands lie from the plan, room for them, least distance of two figures. */
#define BAND   7.0
#define ROOM   24.0
#define SPREAD 3.8
#define RING   1.25
#define BAR    0.85
/* An anchor hangs by a wall so near, m; by a line of candidates. */
#define BY_WALL    1.0
#define BY_LINE    0.3
#define MOST_TAKEN 4096
/* A plan is crowded where a figure stands further than this from its line's place, mm; names wider
 * than this make way for numbers. */
#define FARTHEST_FIGURE 12.0
#define WIDEST_NAME     22.0

typedef struct box {
    aw_point low, high;
    bool is_witness; /* a text may stand on it if it has to */
} box;

typedef struct plan {
    aw_sheet *sheet;
    const aw_installers *what;
    const aw_installers_part *part;
    const aw_scenario *s;
    aw_point origin; /* of the window's lower left corner, on paper */
    double mm;       /* of a metre */
    box taken[MOST_TAKEN];
    size_t n_taken;
    bool by_number, is_crowded;
} plan;

static aw_point to_paper(const plan *p, double x, double y)
{
    const aw_point low = p->part->low;
    return (aw_point){p->origin.x + (x - low.x) * p->mm, p->origin.y - (y - low.y) * p->mm};
}

/* --- what is taken --- */

static bool meets(const box *a, const box *b)
{
    return a->low.x < b->high.x && b->low.x < a->high.x && a->low.y < b->high.y &&
           b->low.y < a->high.y;
}

static void take(plan *p, box b)
{
    if (p->n_taken < MOST_TAKEN)
        p->taken[p->n_taken++] = b;
}

static bool is_free(const plan *p, box b, bool of_witnesses)
{
    for (size_t i = 0; i < p->n_taken; i++)
        if ((of_witnesses || !p->taken[i].is_witness) && meets(&p->taken[i], &b))
            return false;
    return true;
}

/* A line along an axis, as thin as it is. */
static void take_line(plan *p, aw_point a, aw_point b, bool is_witness)
{
    take(p, (box){{fmin(a.x, b.x) - 0.3, fmin(a.y, b.y) - 0.3},
                  {fmax(a.x, b.x) + 0.3, fmax(a.y, b.y) + 0.3},
                  is_witness});
}

static void set_text(plan *p, aw_ink ink, const char *text, aw_point low, double angle)
{
    aw_sheet_text(p->sheet, ink, text, low, angle);
}

/* --- the building --- */

static void add_polygon(plan *p, aw_item_kind kind, aw_ink ink, const aw_polygon *o)
{
    aw_item *item = aw_sheet_add(p->sheet, kind, ink);
    for (size_t i = 0; i < o->n; i++) {
        const aw_point at = to_paper(p, o->at[i].x, o->at[i].y);
        aw_sheet_point(p->sheet, item, at.x, at.y);
    }
    aw_sheet_end_path(p->sheet, item);
    if (item != NULL)
        item->closed = true;
    for (size_t i = 0; i < o->n; i++) {
        const aw_point a = o->at[i], b = o->at[(i + 1) % o->n];
        if (fabs(a.x - b.x) < 1e-6 || fabs(a.y - b.y) < 1e-6)
            take_line(p, to_paper(p, a.x, a.y), to_paper(p, b.x, b.y), false);
    }
}

/* In the middle of what is seen of a thing, where it has room there. */
static void name_thing(plan *p, const aw_obstacle *o)
{
    aw_text text = {0};
    const aw_length_text base = aw_coordinate_words("%.3g", o->base, p->s->units);
    aw_phrase_fill(p->what->language, o->base > 0 ? AW_SAY_UNDER_IT : AW_SAY_NAME,
                   (const char *const[]){o->name, base.text, NULL}, &text);
    const char *name = text.at != NULL ? text.at : "";
    const aw_point size = aw_sheet_measure(p->sheet, AW_INK_OVERHEAD_NAME, name);
    const aw_point low = p->part->low, high = p->part->high;
    const aw_point a = to_paper(p, fmax(o->footprint.low.x, low.x),
                                fmin(o->footprint.high.y, high.y)),
                   b = to_paper(p, fmin(o->footprint.high.x, high.x),
                                fmax(o->footprint.low.y, low.y));
    const aw_point at = {(a.x + b.x - size.x) / 2, (a.y + b.y - size.y) / 2};
    const box place = {at, {at.x + size.x, at.y + size.y}, false};
    if (size.x < b.x - a.x && size.y < b.y - a.y && is_free(p, place, false)) {
        set_text(p, AW_INK_OVERHEAD_NAME, name, at, 0);
        take(p, place);
    }
    p->sheet->failed |= text.failed;
    aw_text_free(&text);
}

static bool is_whole(const plan *p)
{
    return p->part->of == 1;
}

/* Of a part only what lies in its window is seen, to its dashed border. */
static void open_window(plan *p, aw_point low, aw_point high)
{
    if (!is_whole(p))
        aw_sheet_box(p->sheet, AW_ITEM_CLIP, AW_INK_RULE, 0, low, high);
}

static void close_window(plan *p, aw_point low, aw_point high)
{
    if (is_whole(p))
        return;
    aw_sheet_add(p->sheet, AW_ITEM_FREE, AW_INK_RULE);
    aw_sheet_box(p->sheet, AW_ITEM_LINE, AW_INK_OVERHEAD, 0, low, high);
}

static void add_building(plan *p)
{
    const aw_scenario *s = p->s;
    for (size_t i = 0, n = aw_named_obstacles(s); i < n; i++)
        add_polygon(p, s->obstacles[i].base > 0 ? AW_ITEM_LINE : AW_ITEM_FILL,
                    s->obstacles[i].base > 0 ? AW_INK_OVERHEAD : AW_INK_LAND,
                    &s->obstacles[i].footprint);
    for (size_t i = 0; i < s->n_walls; i++)
        for (size_t k = 0; k + 1 < s->walls[i].n; k++)
            add_polygon(p, AW_ITEM_FILL, AW_INK_LAND, &s->walls[i].legs[k]);
    for (size_t i = 0; i < s->n_levels; i++)
        add_polygon(p, AW_ITEM_LINE, AW_INK_ZONE, &s->levels[i].outline);
    add_polygon(p, AW_ITEM_LINE, AW_INK_SHORE, &s->floor.outline);
}

/* --- freedom along what carries an anchor --- */

/* Whether something that is known to carry it runs along an axis. */
static bool is_carried_along(const aw_scenario *s, const double at[3], int axis)
{
    const aw_point here = {at[0], at[1]};
    aw_offset offset;
    if (aw_offset_find(&offset, s, at, 1 - axis) && offset.distance <= BY_WALL)
        return true;
    for (size_t i = 0; i < s->candidates.n_lines; i++) {
        const aw_candidate_line *l = &s->candidates.lines[i];
        for (size_t k = 0; k + 1 < l->n; k++) {
            const aw_point a = l->path[k], b = l->path[k + 1];
            const double across = axis == 0 ? fabs(a.y - b.y) : fabs(a.x - b.x);
            if (across < 1e-6 && aw_segment_distance(a, b, here) <= BY_LINE + fabs(l->left_offset))
                return true;
        }
    }
    return false;
}

static void add_freedom(plan *p, size_t anchor)
{
    static const aw_side sides[2][2] = {{AW_SIDE_WEST, AW_SIDE_EAST},
                                        {AW_SIDE_SOUTH, AW_SIDE_NORTH}};
    const aw_freedoms *all = p->what->freedoms;
    const double *at = p->s->anchors[anchor].at;
    if (all == NULL || anchor >= all->n)
        return;
    for (int axis = 0; axis < 2; axis++) {
        const double low = all->list[anchor].sides[sides[axis][0]].distance,
                     high = all->list[anchor].sides[sides[axis][1]].distance;
        if (!is_carried_along(p->s, at, axis) || low + high < 0.01)
            continue;
        const aw_point a =
            axis == 0 ? to_paper(p, at[0] - low, at[1]) : to_paper(p, at[0], at[1] + high);
        const aw_point b =
            axis == 0 ? to_paper(p, at[0] + high, at[1]) : to_paper(p, at[0], at[1] - low);
        const double wide = axis == 0 ? 0 : BAR, tall = axis == 0 ? BAR : 0;
        aw_sheet_box(p->sheet, AW_ITEM_FILL, AW_INK_TINT, 0.6, (aw_point){a.x - wide, a.y - tall},
                     (aw_point){b.x + wide, b.y + tall});
    }
}

/* --- lines to be set out --- */

/* Each line that an anchor of the plan is measured from, across the window, with its name. */
static void add_line(plan *p, const aw_face *face, int axis)
{
    const aw_point low = to_paper(p, p->part->low.x, p->part->low.y),
                   high = to_paper(p, p->part->high.x, p->part->high.y);
    const aw_point at = to_paper(p, face->at, face->at);
    aw_text text = {0};
    const aw_length_text far = aw_coordinate_figure("%.4g", face->line, p->s->units);
    aw_phrase_fill(p->what->language, axis == 0 ? AW_SAY_LINE_EAST : AW_SAY_LINE_NORTH,
                   (const char *const[]){far.text, NULL}, &text);
    const char *name = text.at != NULL ? text.at : "";
    const aw_point size = aw_sheet_measure(p->sheet, AW_INK_LABEL, name);
    const bool seen = axis == 0 ? at.x >= low.x && at.x <= high.x : at.y <= low.y && at.y >= high.y;
    if (seen) {
        const aw_point a = axis == 0 ? (aw_point){at.x, low.y} : (aw_point){low.x, at.y},
                       b = axis == 0 ? (aw_point){at.x, high.y} : (aw_point){high.x, at.y};
        const aw_point to = axis == 0 ? (aw_point){a.x + 0.8, b.y + 1} : (aw_point){a.x + 1, a.y};
        aw_sheet_line(p->sheet, AW_INK_RULE, a, b);
        set_text(p, AW_INK_LABEL, name, to, 0);
        take(p, (box){to, {to.x + size.x, to.y + size.y}, false});
    }
    p->sheet->failed |= text.failed;
    aw_text_free(&text);
}

static void add_lines(plan *p)
{
    for (int axis = 0; axis < 2; axis++)
        for (size_t i = 0; i < p->part->n; i++) {
            aw_offset offset;
            bool known =
                !aw_offset_find(&offset, p->s, p->s->anchors[p->part->anchors[i]].at, axis) ||
                !offset.face.is_line;
            for (size_t k = 0; !known && k < i; k++) {
                aw_offset other;
                known = aw_offset_find(&other, p->s, p->s->anchors[p->part->anchors[k]].at, axis) &&
                        other.face.is_line && other.face.line == offset.face.line;
            }
            if (!known)
                add_line(p, &offset.face, axis);
        }
}

/* --- ordinates --- */

typedef struct ordinate {
    double at;    /* m, along the axis */
    double from;  /* mm on paper, where its witness line begins */
    double place; /* mm, where its figure stands */
} ordinate;

static int compare_ordinates(const void *a, const void *b)
{
    const ordinate *p = a, *q = b;
    return p->at < q->at ? -1 : p->at > q->at;
}

/* Figures are pushed apart, in a few rounds, and stay in their order. */
static void spread(ordinate list[], size_t n)
{
    for (int round = 0; round < 400; round++)
        for (size_t i = 0; i + 1 < n; i++) {
            const double gap = fabs(list[i + 1].place - list[i].place);
            const double turn = list[n - 1].place < list[0].place ? -1 : 1;
            if (gap < SPREAD || (list[i + 1].place - list[i].place) * turn < 0) {
                const double middle = (list[i].place + list[i + 1].place) / 2;
                list[i].place = middle - turn * SPREAD / 2;
                list[i + 1].place = middle + turn * SPREAD / 2;
            }
        }
}

/* Those of one edge: axis 0 along x, at the top or the bottom; axis 1 along y, right or left.
 * Anchors in one row share a line, from the furthest of them. */
static size_t gather(const plan *p, ordinate list[], int axis, bool far_edge)
{
    const aw_point low = p->part->low, high = p->part->high;
    const double half = axis == 0 ? (low.y + high.y) / 2 : (low.x + high.x) / 2;
    size_t n = 0;
    for (size_t i = 0; i < p->part->n; i++) {
        const double *at = p->s->anchors[p->part->anchors[i]].at;
        const aw_point here = to_paper(p, at[0], at[1]);
        if ((at[1 - axis] > half) != far_edge)
            continue;
        const double from = axis == 0 ? here.y : here.x;
        size_t k = 0;
        while (k < n && fabs(list[k].at - at[axis]) >= 0.005)
            k++;
        if (k == n)
            list[n++] = (ordinate){at[axis], from, axis == 0 ? here.x : here.y};
        else if (axis == 0 ? far_edge == (from > list[k].from) : far_edge == (from < list[k].from))
            list[k].from = from;
    }
    qsort(list, n, sizeof *list, compare_ordinates);
    spread(list, n);
    return n;
}

static void draw_ordinate(plan *p, const ordinate *d, int axis, double edge, double out)
{
    const aw_polygon *o = &p->s->floor.outline;
    const aw_length_text figure =
        aw_coordinate_figure("%.2f", d->at - (axis == 0 ? o->low.x : o->low.y), p->s->units);
    const aw_point size = aw_sheet_measure(p->sheet, AW_INK_NOTE, figure.text);
    const double true_place = axis == 0 ? to_paper(p, d->at, 0).x : to_paper(p, 0, d->at).y;
    const double knee = edge + out * 2, end = edge + out * BAND;
    p->is_crowded = p->is_crowded || fabs(d->place - true_place) > FARTHEST_FIGURE;
    const aw_point pieces[4] = {
        {true_place, d->from}, {true_place, knee}, {d->place, end - out * 2}, {d->place, end}};
    for (int k = 0; k < 3; k++) {
        const aw_point a = pieces[k], b = pieces[k + 1];
        aw_sheet_line(p->sheet, k == 0 ? AW_INK_THROUGH : AW_INK_LEADER,
                      axis == 0 ? a : (aw_point){a.y, a.x}, axis == 0 ? b : (aw_point){b.y, b.x});
        if (k == 0)
            take_line(p, axis == 0 ? a : (aw_point){a.y, a.x}, axis == 0 ? b : (aw_point){b.y, b.x},
                      true);
    }
    if (axis == 0)
        set_text(p, AW_INK_NOTE, figure.text,
                 (aw_point){d->place - size.y / 2, out > 0 ? end + 0.8 + size.x : end - 0.8}, -90);
    else
        set_text(p, AW_INK_NOTE, figure.text,
                 (aw_point){out > 0 ? end + 0.8 : end - 0.8 - size.x, d->place - size.y / 2}, 0);
}

/* From which wall the figures of a band are, at its outer end. */
static void name_band(plan *p, int axis, double edge, double out)
{
    aw_text text = {0};
    aw_phrase_fill(p->what->language, axis == 0 ? AW_SAY_FROM_WEST_WALL : AW_SAY_FROM_SOUTH_WALL,
                   (const char *const[]){NULL}, &text);
    const char *name = text.at != NULL ? text.at : "";
    const aw_point size = aw_sheet_measure(p->sheet, AW_INK_LABEL, name);
    const aw_point low = p->part->low, high = p->part->high;
    const aw_point west = to_paper(p, low.x, high.y), east = to_paper(p, high.x, low.y);
    const double y = edge + out * (BAND + 2);
    if (axis == 0)
        set_text(p, AW_INK_LABEL, name, (aw_point){west.x - size.x - 3, out > 0 ? y : y - size.y},
                 0);
    else
        set_text(p, AW_INK_LABEL, name,
                 (aw_point){out > 0 ? east.x + 2 : west.x - size.x - 2, west.y - size.y - 4}, 0);
    aw_text_free(&text);
}

static void add_ordinates(plan *p, ordinate list[])
{
    const aw_point low = to_paper(p, p->part->low.x, p->part->low.y),
                   high = to_paper(p, p->part->high.x, p->part->high.y);
    for (int axis = 0; axis < 2; axis++)
        for (int far_edge = 0; far_edge < 2; far_edge++) {
            const double edge =
                axis == 0 ? (far_edge ? high.y : low.y) : (far_edge ? high.x : low.x);
            const double out = axis == 0 ? (far_edge ? -1 : 1) : (far_edge ? 1 : -1);
            const size_t n = gather(p, list, axis, far_edge);
            for (size_t i = 0; i < n; i++)
                draw_ordinate(p, &list[i], axis, edge, out);
            if (n > 0)
                name_band(p, axis, edge, out);
        }
}

/* --- anchors --- */

static void add_anchor(plan *p, size_t i)
{
    const aw_point at = to_paper(p, p->s->anchors[i].at[0], p->s->anchors[i].at[1]);
    aw_sheet_circle(p->sheet, AW_ITEM_FILL, AW_INK_PAPER, at, RING);
    aw_sheet_circle(p->sheet, AW_ITEM_LINE, AW_INK_NEAT, at, RING);
    aw_sheet_circle(p->sheet, AW_ITEM_FILL, AW_INK_ANCHOR, at, 0.45);
    take(p, (box){{at.x - RING, at.y - RING}, {at.x + RING, at.y + RING}, false});
}

/* The first place beside a ring that is free, up to so far away; false if none is. */
static bool find_beside(const plan *p, aw_point at, aw_point size, double furthest,
                        bool of_witnesses, box *place)
{
    static const double ways[][2] = {{1, -1}, {1, 1},  {-1, -1}, {-1, 1},
                                     {1, 0},  {-1, 0}, {0, -1},  {0, 1}};
    for (double far = 1.8; far < furthest; far += 1.2)
        for (size_t k = 0; k < sizeof ways / sizeof *ways; k++) {
            const double x = at.x + ways[k][0] * far - (1 - ways[k][0]) / 2 * size.x;
            const double y = at.y + ways[k][1] * far - (1 - ways[k][1]) / 2 * size.y;
            *place = (box){{x, y}, {x + size.x, y + size.y}, false};
            if (is_free(p, *place, of_witnesses))
                return true;
        }
    return false;
}

/* Near its ring off all lines, else on a witness line, else further out with a leader. */
#define NEAR 4.0
#define FAR  16.0

static void name_anchor(plan *p, size_t i)
{
    const aw_point at = to_paper(p, p->s->anchors[i].at[0], p->s->anchors[i].at[1]);
    char number[24];
    snprintf(number, sizeof number, "%zu", i + 1);
    const char *name = p->by_number ? number : p->s->anchors[i].name;
    const aw_point size = aw_sheet_measure(p->sheet, AW_INK_ZONE_NAME, name);
    box place;
    const bool near = find_beside(p, at, size, NEAR, true, &place) ||
                      find_beside(p, at, size, NEAR, false, &place);
    if (!near) {
        p->is_crowded = true;
        find_beside(p, at, size, FAR, false, &place);
        aw_sheet_line(p->sheet, AW_INK_LEADER, at,
                      (aw_point){fmax(place.low.x, fmin(at.x, place.high.x)),
                                 fmax(place.low.y, fmin(at.y, place.high.y))});
    }
    set_text(p, AW_INK_ZONE_NAME, name, place.low, 0);
    take(p, place);
}

/* --- the whole --- */

bool aw_installers_by_number(const aw_sheet *sheet, const aw_scenario *s)
{
    for (size_t i = 0; i < s->n_anchors; i++)
        if (aw_sheet_measure(sheet, AW_INK_ZONE_NAME, s->anchors[i].name).x > WIDEST_NAME)
            return true;
    return false;
}

static double choose_scale(const plan *p, double wide, double tall)
{
    static const double metres[] = {20,   50,   100,  200,   250,   500,
                                    1000, 2000, 5000, 10000, 20000, 50000};
    static const double feet[] = {24, 48, 96, 192, 240, 480, 960, 1920, 4800, 9600, 19200, 48000};
    const aw_point low = p->part->low, high = p->part->high;
    const double *scales = p->s->units == AW_FEET ? feet : metres;
    size_t k = is_whole(p) ? 1 : 0;
    while (k + 1 < sizeof metres / sizeof *metres && ((high.x - low.x) * 1000 / scales[k] > wide ||
                                                      (high.y - low.y) * 1000 / scales[k] > tall))
        k++;
    return scales[k];
}

static void draw_all(plan *p, ordinate list[])
{
    const aw_installers_part *part = p->part;
    const aw_point low = to_paper(p, part->low.x, part->high.y),
                   high = to_paper(p, part->high.x, part->low.y);
    open_window(p, low, high);
    add_building(p);
    for (size_t i = 0; i < part->n; i++)
        add_freedom(p, part->anchors[i]);
    close_window(p, low, high);
    add_lines(p);
    add_ordinates(p, list);
    for (size_t i = 0; i < part->n; i++)
        add_anchor(p, part->anchors[i]);
    for (size_t i = 0; i < part->n; i++)
        name_anchor(p, part->anchors[i]);
    for (size_t i = 0, n = aw_named_obstacles(p->s); i < n; i++)
        name_thing(p, &p->s->obstacles[i]);
}

aw_installers_drawn aw_installers_plan(aw_sheet *sheet, const aw_installers *what,
                                       const aw_installers_part *part, aw_point low, aw_point high)
{
    plan *p = calloc(1, sizeof *p);
    ordinate *list = calloc(part->n + 1, sizeof *list);
    aw_installers_drawn drawn = {.scale = 1};
    sheet->failed |= p == NULL || list == NULL;
    if (p != NULL && list != NULL) {
        *p = (plan){.sheet = sheet, .what = what, .part = part, .s = what->scenario};
        drawn.scale = choose_scale(p, high.x - low.x - 2 * ROOM, high.y - low.y - 2 * ROOM);
        p->mm = 1000 / drawn.scale;
        p->by_number = aw_installers_by_number(sheet, p->s);
        p->origin = (aw_point){(low.x + high.x - (part->high.x - part->low.x) * p->mm) / 2,
                               (low.y + high.y + (part->high.y - part->low.y) * p->mm) / 2};
        draw_all(p, list);
        drawn.is_crowded = p->is_crowded;
    }
    free(list);
    free(p);
    return drawn;
}
