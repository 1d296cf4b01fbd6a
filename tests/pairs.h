/* Two layouts of a demo floor on one sheet, for the suites that look at it. */
#ifndef AW_TESTS_PAIRS_H
#define AW_TESTS_PAIRS_H

#include "draw/beside.h"
#include "sheets.h"

/* Radius that holds 95 % of a circular normal law, in sigmas: sqrt(-2 ln 0.05). */
#define SIGMAS_95 2.447746830680816
#define MOST      64

/* Two layouts of a demo floor: the second lacks the first anchor, has the second one elsewhere and
 * one more. */
typedef struct pair {
    aw_scenario a, b;
    aw_anchor anchors[MOST];
    aw_beside what;
} pair;

static inline void read_pair(pair *p, const char *name, double x, double y)
{
    read_demo(&p->a, name);
    read_demo(&p->b, name);
    const aw_polygon *o = &p->a.floor.outline;
    const size_t n = p->b.n_anchors;
    memcpy(p->anchors, p->b.anchors + 1, (n - 1) * sizeof *p->anchors);
    p->anchors[0].at[0] += 0.2 * (o->high.x - o->low.x);
    p->anchors[n - 1] = p->b.anchors[0];
    p->anchors[n - 1].name = "new";
    p->anchors[n - 1].at[0] += 0.1 * (o->high.x - o->low.x);
    p->b.anchors = p->anchors;
    p->what = (aw_beside){.before = {&p->a, "As planned", 1.23, 1.17, 1.30},
                          .after = {&p->b, "With the change", 0.71, 0.67, 0.75},
                          .spot = {x, y}};
}

static inline void free_pair(pair *p)
{
    aw_scenario_free(&p->a);
    aw_scenario_free(&p->b);
}

static inline void draw(aw_sheet *sheet, const aw_beside *what)
{
    aw_errors errors = {0};
    ck_assert_msg(aw_beside_draw(sheet, what, &errors), "%s",
                  errors.n > 0 ? errors.list[0].text : "no reason");
    aw_errors_free(&errors);
}

static inline const aw_item *find_text(const aw_sheet *sheet, const char *text)
{
    for (size_t i = 0; i < sheet->n; i++)
        if (sheet->items[i].kind == AW_ITEM_TEXT && strstr(sheet->items[i].text, text) != NULL)
            return &sheet->items[i];
    ck_abort_msg("'%s' is not on the sheet", text);
}

static inline size_t count_texts(const aw_sheet *sheet, const char *text)
{
    size_t n = 0;
    for (size_t i = 0; i < sheet->n; i++)
        n += sheet->items[i].kind == AW_ITEM_TEXT && strcmp(sheet->items[i].text, text) == 0;
    return n;
}

/* The drawn outlines, before and after. */
static inline void find_floors(const aw_sheet *sheet, const aw_item *floors[2])
{
    size_t n = 0;
    for (size_t i = 0; i < sheet->n; i++)
        if (sheet->items[i].kind == AW_ITEM_LINE && sheet->items[i].ink == AW_INK_SHORE) {
            ck_assert_uint_lt(n, 2);
            floors[n++] = &sheet->items[i];
        }
    ck_assert_uint_eq(n, 2);
}

static inline double stated_scale(const aw_sheet *sheet)
{
    double scale = 0;
    for (size_t i = 0; i < sheet->n && scale == 0; i++)
        if (sheet->items[i].kind == AW_ITEM_TEXT)
            (void)sscanf(sheet->items[i].text, "1:%lf on", &scale);
    ck_assert_double_gt(scale, 0);
    return scale;
}

/* Where a place of the floor stands on paper, from the drawn outline's first corner. */
static inline aw_point on_paper(const aw_scenario *s, const aw_item *floor, double mm, double x,
                                double y)
{
    return (aw_point){floor->at[0].x + (x - s->floor.outline.at[0].x) * mm,
                      floor->at[0].y - (y - s->floor.outline.at[0].y) * mm};
}

#endif
