/* The spot in the middle, its anchors round it by their bearings. Lines are as long as they are on
 * the plan, the farthest anchor in range standing on the rim; names stand round the rim, pushed
 * apart where they would touch. Of many those are named that reach the spot, then those that
 * something hides, as far as none stands too far from its line. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "book/figures.h"
#include "book/fitting.h"

#define WIDE  88.0 /* mm */
#define TALL  72.0
#define RIM   30.0
#define TEXT  2.6
#define CROSS 0.9
/* Names at most, and how far one may stand from its bearing. */
#define MOST_NAMES 48
#define FARTHEST   0.5 /* rad */

typedef struct mark {
    const aw_sightline *line;
    const char *name;
    double bearing;    /* of the name, pushed apart */
    double wide, tall; /* of the name, mm */
} mark;

static int compare_marks(const void *a, const void *b)
{
    const mark *p = a, *q = b;
    return p->line->bearing < q->line->bearing ? -1 : p->line->bearing > q->line->bearing;
}

/* What reaches the spot first, then what is hidden, then what is too far; the near ones first. */
static int compare_worth(const void *a, const void *b)
{
    const aw_sightline *p = ((const mark *)a)->line, *q = ((const mark *)b)->line;
    const int x = p->too_far ? 2 : p->link.state == AW_LINK_LOST,
              y = q->too_far ? 2 : q->link.state == AW_LINK_LOST;
    if (x != y)
        return x - y;
    return p->link.range < q->link.range ? -1 : p->link.range > q->link.range;
}

static aw_point polar(double bearing, double radius)
{
    return (aw_point){WIDE / 2 + radius * sin(bearing), TALL / 2 - radius * cos(bearing)};
}

/* Neighbours share the room between them until each has enough, in a few rounds. */
static void push_apart(mark marks[], size_t n)
{
    const double least = fmin(1.25 * TEXT / (RIM + 4), 2 * M_PI / (double)(n + 1));
    for (int round = 0; round < 200; round++)
        for (size_t i = 0; n > 1 && i < n; i++) {
            mark *a = &marks[i], *b = &marks[(i + 1) % n];
            const double gap = b->bearing + (i + 1 == n ? 2 * M_PI : 0) - a->bearing;
            if (gap < least) {
                a->bearing -= (least - gap) / 2;
                b->bearing += (least - gap) / 2;
            }
        }
}

static aw_ink ink_of(const mark *m)
{
    return m->line->link.state != AW_LINK_LOST ? AW_INK_NAME : AW_INK_NOTE;
}

/* Where a name stands round the rim, and the room it has there: to the picture's edge. */
static aw_point place_of(const mark *m, double *room)
{
    const aw_point at = polar(m->bearing, RIM + 2.6);
    const double across = (1 - sin(m->bearing)) / 2;
    *room = fmin(across > 0.01 ? at.x / across : WIDE,
                 across < 0.99 ? (WIDE - at.x) / (1 - across) : WIDE);
    return (aw_point){at.x - across * fmin(m->wide, *room), at.y - m->tall / 2};
}

static bool do_names_meet(const mark *a, const mark *b)
{
    double of_a, of_b;
    const aw_point p = place_of(a, &of_a), q = place_of(b, &of_b);
    return p.x < q.x + fmin(b->wide, of_b) && q.x < p.x + fmin(a->wide, of_a) &&
           p.y < q.y + 0.8 * b->tall && q.y < p.y + 0.8 * a->tall;
}

/* Whether all names stand near their lines and clear of one another. */
static bool has_room(const mark marks[], size_t n)
{
    for (size_t i = 0; i < n; i++) {
        if (fabs(marks[i].bearing - marks[i].line->bearing) > FARTHEST)
            return false;
        for (size_t k = 0; k < i; k++)
            if (do_names_meet(&marks[k], &marks[i]))
                return false;
    }
    return true;
}

/* Those that are named, one more at a time while all have room, to the front; how many. */
static size_t choose_names(mark marks[], size_t n)
{
    mark tried[MOST_NAMES], shown[MOST_NAMES];
    size_t named = 0;
    qsort(marks, n, sizeof *marks, compare_worth);
    for (size_t i = 0; i < n && named < MOST_NAMES; i++) {
        for (size_t k = 0; k < named; k++) {
            tried[k] = shown[k];
            tried[k].bearing = tried[k].line->bearing;
        }
        tried[named] = marks[i];
        qsort(tried, named + 1, sizeof *tried, compare_marks);
        push_apart(tried, named + 1);
        if (has_room(tried, named + 1))
            memcpy(shown, tried, ++named * sizeof *shown);
    }
    memcpy(marks, shown, named * sizeof *shown);
    return named;
}

static double flat_range(const aw_sightline *l)
{
    return hypot(l->link.to_anchor[0], l->link.to_anchor[1]);
}

static void draw_line(aw_sheet *sheet, const aw_sightline *l, double share, double scale)
{
    const bool lost = l->link.state == AW_LINK_LOST;
    const double radius = fmin(flat_range(l) * scale, RIM) * (lost ? share : 1);
    const aw_point from = polar(0, 0), to = polar(l->bearing, radius);
    if (l->too_far) {
        aw_sheet_circle(sheet, AW_ITEM_LINE, AW_INK_RING, polar(l->bearing, RIM), 0.8);
        return;
    }
    aw_sheet_line(sheet,
                  lost                               ? AW_INK_THROUGH
                  : l->link.state == AW_LINK_THROUGH ? AW_INK_THROUGH
                                                     : AW_INK_NEAT,
                  from, to);
    if (!lost) {
        aw_sheet_circle(sheet, AW_ITEM_FILL, AW_INK_ANCHOR, to, 0.9);
        return;
    }
    aw_sheet_line(sheet, AW_INK_END, (aw_point){to.x - CROSS, to.y - CROSS},
                  (aw_point){to.x + CROSS, to.y + CROSS});
    aw_sheet_line(sheet, AW_INK_END, (aw_point){to.x - CROSS, to.y + CROSS},
                  (aw_point){to.x + CROSS, to.y - CROSS});
}

static void draw_name(aw_sheet *sheet, const mark *m)
{
    const aw_point rim = polar(m->line->bearing, RIM + 0.9);
    double room;
    const aw_point at = place_of(m, &room);
    char name[AW_FITTING_ROOM];
    aw_sheet_line(sheet, AW_INK_LEADER, rim, polar(m->bearing, RIM + 2));
    aw_sheet_text(sheet, ink_of(m), aw_fit(sheet, ink_of(m), m->name, room, name), at, 0);
}

static void draw_compass(aw_sheet *sheet)
{
    static const char *const winds[] = {"N", "E", "S", "W"};
    aw_sheet_circle(sheet, AW_ITEM_LINE, AW_INK_RULE, polar(0, 0), RIM);
    for (int k = 0; k < 36; k++)
        aw_sheet_line(sheet, AW_INK_CROSS, polar(k * M_PI / 18, RIM - (k % 9 == 0 ? 2 : 1)),
                      polar(k * M_PI / 18, RIM));
    for (int k = 0; k < 4; k++) {
        const aw_point size = aw_sheet_measure(sheet, AW_INK_LABEL, winds[k]);
        const aw_point at = polar(k * M_PI / 2, RIM - 4);
        aw_sheet_text(sheet, AW_INK_LABEL, winds[k],
                      (aw_point){at.x - size.x / 2, at.y - size.y / 2}, 0);
    }
}

static void draw_all(aw_sheet *sheet, mark marks[], const aw_explanation *e, const aw_scenario *s,
                     const aw_scene *scene)
{
    double farthest = 0;
    for (size_t i = 0; i < s->n_anchors; i++) {
        marks[i] = (mark){&e->lines[i], s->anchors[i].name, e->lines[i].bearing, 0, 0};
        const aw_point size = aw_sheet_measure(sheet, ink_of(&marks[i]), marks[i].name);
        marks[i].wide = size.x;
        marks[i].tall = size.y;
        if (!e->lines[i].too_far)
            farthest = fmax(farthest, flat_range(&e->lines[i]));
    }
    draw_compass(sheet);
    for (size_t i = 0; i < s->n_anchors; i++)
        draw_line(sheet, &e->lines[i], aw_scene_clear_share(scene, e->spot, s->anchors[i].at),
                  farthest > 0 ? (RIM - 1) / farthest : 1);
    aw_sheet_circle(sheet, AW_ITEM_FILL, AW_INK_STIPPLE, polar(0, 0), 1.1);
    const size_t named = choose_names(marks, s->n_anchors);
    for (size_t i = 0; i < named; i++)
        draw_name(sheet, &marks[i]);
}

bool aw_rose_draw(aw_sheet *sheet, const aw_explanation *e, const aw_scenario *s, aw_errors *errors)
{
    mark *marks = calloc(s->n_anchors, sizeof *marks);
    aw_scene *scene = aw_scene_create(s);
    *sheet = (aw_sheet){.width = WIDE, .height = TALL, .text_size = TEXT};
    if (marks != NULL && scene != NULL)
        draw_all(sheet, marks, e, s, scene);
    const bool done = marks != NULL && scene != NULL && !sheet->failed;
    if (!done)
        aw_errors_add(errors, AW_ERROR, 0, 0, "out of memory for the report");
    aw_scene_free(scene);
    free(marks);
    return done;
}
