/* The spot in the middle, its anchors round it by their bearings. Lines are as long as they are on
 * the plan, the farthest anchor in range standing on the rim; names stand round the rim, pushed
 * apart where they would touch. */
#include <math.h>
#include <stdlib.h>

#include "book/figures.h"

#define WIDE  88.0 /* mm */
#define TALL  72.0
#define RIM   30.0
#define TEXT  2.6
#define CROSS 0.9

typedef struct mark {
    const aw_sightline *line;
    const char *name;
    double bearing; /* of the name, pushed apart */
} mark;

static int compare_marks(const void *a, const void *b)
{
    const mark *p = a, *q = b;
    return p->line->bearing < q->line->bearing ? -1 : p->line->bearing > q->line->bearing;
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
    const aw_point at = polar(m->bearing, RIM + 2.6), rim = polar(m->line->bearing, RIM + 0.9);
    const bool clear = m->line->link.state != AW_LINK_LOST;
    const aw_ink ink = clear ? AW_INK_NAME : AW_INK_NOTE;
    const aw_point size = aw_sheet_measure(sheet, ink, m->name);
    const double across = (1 - sin(m->bearing)) / 2;
    aw_sheet_line(sheet, AW_INK_LEADER, rim, polar(m->bearing, RIM + 2));
    aw_sheet_text(sheet, ink, m->name, (aw_point){at.x - across * size.x, at.y - size.y / 2}, 0);
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
        marks[i] = (mark){&e->lines[i], s->anchors[i].name, e->lines[i].bearing};
        if (!e->lines[i].too_far)
            farthest = fmax(farthest, flat_range(&e->lines[i]));
    }
    draw_compass(sheet);
    for (size_t i = 0; i < s->n_anchors; i++)
        draw_line(sheet, &e->lines[i], aw_scene_clear_share(scene, e->spot, s->anchors[i].at),
                  farthest > 0 ? (RIM - 1) / farthest : 1);
    aw_sheet_circle(sheet, AW_ITEM_FILL, AW_INK_STIPPLE, polar(0, 0), 1.1);
    qsort(marks, s->n_anchors, sizeof *marks, compare_marks);
    push_apart(marks, s->n_anchors);
    for (size_t i = 0; i < s->n_anchors; i++)
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
