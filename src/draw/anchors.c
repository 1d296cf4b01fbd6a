/* Anchors, each with a mark by its shape: a dot in a ring; a dot in a square where it is new; a dot
 * in a diamond, with a line from an empty ring, where it was moved; a crossed ring where it was
 * taken away. Anchors are the same by name, or by place if their names differ. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "draw/floor_sheet.h"
#include "report/names.h"

/* Radius of an anchor's ring, half a side of the square, half a diagonal of the diamond, mm. */
#define RING    0.75
#define SQUARE  1.15
#define DIAMOND 1.6
/* How far from its mark a label may stand, mm. */
#define REACH 40.0
/* Anchors nearer than this hang at one place, m. */
#define SAME 0.001
#define NONE ((size_t)-1)

static bool at_one_place(const aw_anchor *a, const aw_anchor *b)
{
    return hypot(hypot(a->at[0] - b->at[0], a->at[1] - b->at[1]), a->at[2] - b->at[2]) < SAME;
}

static size_t find_name(const aw_scenario *s, const char *name)
{
    for (size_t i = 0; i < s->n_anchors; i++)
        if (strcmp(s->anchors[i].name, name) == 0)
            return i;
    return NONE;
}

/* The anchor of `s` that is anchor `i` of `of`; NONE if there is none. */
static size_t match(const aw_scenario *s, const aw_scenario *of, size_t i)
{
    const size_t named = find_name(s, of->anchors[i].name);
    if (named != NONE)
        return named;
    for (size_t k = 0; k < s->n_anchors; k++)
        if (at_one_place(&s->anchors[k], &of->anchors[i]) &&
            find_name(of, s->anchors[k].name) == NONE)
            return k;
    return NONE;
}

/* What an anchor of the drawn layout is, and which one of `before` it was. */
static aw_symbol symbol_of(const aw_draft *d, const aw_scenario *before, size_t i, size_t *was)
{
    *was = before != NULL ? match(before, d->scenario, i) : NONE;
    if (before == NULL)
        return AW_SYMBOL_ANCHOR;
    if (*was == NONE)
        return AW_SYMBOL_ADDED;
    return at_one_place(&d->scenario->anchors[i], &before->anchors[*was]) ? AW_SYMBOL_ANCHOR
                                                                          : AW_SYMBOL_MOVED;
}

static aw_point place_of(const aw_draft *d, const aw_anchor *a)
{
    return aw_draft_to_paper(d, (aw_point){a->at[0], a->at[1]});
}

static double reach_of(aw_symbol symbol)
{
    return symbol == AW_SYMBOL_ANCHOR ? RING : symbol == AW_SYMBOL_MOVED ? DIAMOND : SQUARE;
}

static void add_diamond(aw_draft *d, aw_item_kind kind, aw_ink ink, aw_point p)
{
    aw_item *item = aw_sheet_add(d->sheet, kind, ink);
    aw_sheet_point(d->sheet, item, p.x - DIAMOND, p.y);
    aw_sheet_point(d->sheet, item, p.x, p.y - DIAMOND);
    aw_sheet_point(d->sheet, item, p.x + DIAMOND, p.y);
    aw_sheet_point(d->sheet, item, p.x, p.y + DIAMOND);
    aw_sheet_end_path(d->sheet, item);
    if (item != NULL)
        item->closed = true;
}

static void add_cross(aw_draft *d, aw_point p)
{
    const double reach = SQUARE;
    aw_sheet_line(d->sheet, AW_INK_CHANGE, (aw_point){p.x - reach, p.y - reach},
                  (aw_point){p.x + reach, p.y + reach});
    aw_sheet_line(d->sheet, AW_INK_CHANGE, (aw_point){p.x - reach, p.y + reach},
                  (aw_point){p.x + reach, p.y - reach});
}

/* Four short rays at 45 degrees. */
static void add_rays(aw_draft *d, aw_point p)
{
    for (int i = 0; i < 4; i++) {
        const double x = i & 1 ? M_SQRT1_2 : -M_SQRT1_2, y = i & 2 ? M_SQRT1_2 : -M_SQRT1_2;
        aw_sheet_line(d->sheet, AW_INK_RING, (aw_point){p.x + RING * x, p.y + RING * y},
                      (aw_point){p.x + 1.5 * RING * x, p.y + 1.5 * RING * y});
    }
}

void aw_draft_anchor_mark(aw_draft *d, aw_symbol symbol, aw_point p)
{
    const aw_point low = {p.x - SQUARE, p.y - SQUARE}, high = {p.x + SQUARE, p.y + SQUARE};
    if (symbol == AW_SYMBOL_ADDED) {
        aw_sheet_box(d->sheet, AW_ITEM_FILL, AW_INK_PAPER, 0, low, high);
        aw_sheet_box(d->sheet, AW_ITEM_LINE, AW_INK_CHANGE, 0, low, high);
    } else if (symbol == AW_SYMBOL_MOVED) {
        add_diamond(d, AW_ITEM_FILL, AW_INK_PAPER, p);
        add_diamond(d, AW_ITEM_LINE, AW_INK_CHANGE, p);
    } else {
        aw_sheet_circle(d->sheet, AW_ITEM_FILL, AW_INK_PAPER, p, RING);
        aw_sheet_circle(d->sheet, AW_ITEM_LINE, AW_INK_RING, p, RING);
        add_rays(d, p);
    }
    if (symbol == AW_SYMBOL_REMOVED)
        add_cross(d, p);
    else
        aw_sheet_circle(d->sheet, AW_ITEM_FILL, AW_INK_ANCHOR, p, RING / 2);
}

/* Where a moved anchor was: an empty ring, and a line to where it is, on which no text stands. */
static void add_former(aw_draft *d, const aw_anchor *was, aw_point now)
{
    const aw_point p = place_of(d, was);
    const double length = hypot(now.x - p.x, now.y - p.y);
    if (length <= RING + DIAMOND)
        return;
    const aw_point u = {(now.x - p.x) / length, (now.y - p.y) / length};
    aw_sheet_line(d->sheet, AW_INK_CHANGE, (aw_point){p.x + RING * u.x, p.y + RING * u.y}, now);
    aw_sheet_circle(d->sheet, AW_ITEM_LINE, AW_INK_RING, p, RING);
    for (double at = 0; at < length; at += RING) {
        const aw_point q = {p.x + at * u.x, p.y + at * u.y};
        aw_draft_take(d, (aw_box){{q.x - RING, q.y - RING}, {q.x + RING, q.y + RING}});
    }
}

static void add_mark(aw_draft *d, aw_symbol symbol, aw_point p)
{
    const double r = reach_of(symbol);
    if (!aw_draft_in_window(d, p))
        return;
    d->marked[symbol] = true;
    aw_draft_anchor_mark(d, symbol, p);
    aw_draft_take(d, (aw_box){{p.x - r, p.y - r}, {p.x + r, p.y + r}});
}

/* Name and mounting height, with the former height where that has changed. */
static void add_name(aw_draft *d, const aw_anchor *a, aw_symbol symbol, const aw_anchor *was)
{
    const bool feet = d->scenario->units == AW_FEET;
    const double metre = feet ? AW_FOOT : 1;
    if (!aw_draft_in_window(d, place_of(d, a)))
        return;
    char text[320];
    aw_text isolated = {0};
    aw_text_add(&isolated, a->name);
    aw_isolate_names(&isolated, 0);
    /* One written from right to left stays one with its own figures. */
    const bool turned = !isolated.failed && strcmp(isolated.at, a->name) != 0;
    int n = snprintf(text, sizeof text, turned ? "\u2068%s\u2069" : "%s", a->name);
    if (!(fabs(a->at[2] - d->common_height) < SAME) && !isinf(d->common_height))
        n += snprintf(text + n, sizeof text - (size_t)n, " %.1f %s", a->at[2] / metre,
                      feet ? "ft" : "m");
    if (was != NULL && fabs(was->at[2] - a->at[2]) >= SAME)
        snprintf(text + n, sizeof text - (size_t)n, ", was %.1f", was->at[2] / metre);
    const aw_label label = {AW_INK_NAME, (const char *[]){text}, 1};
    if (isolated.failed)
        d->sheet->failed = true;
    else
        aw_draft_label(d, &label, place_of(d, a), reach_of(symbol) + 0.6, REACH);
    aw_text_free(&isolated);
}

void aw_draft_anchor_marks(aw_draft *d)
{
    for (size_t i = 0; i < d->scenario->n_anchors; i++)
        add_mark(d, AW_SYMBOL_ANCHOR, place_of(d, &d->scenario->anchors[i]));
}

void aw_draft_anchor_names(aw_draft *d)
{
    for (size_t i = 0; i < d->scenario->n_anchors; i++)
        add_name(d, &d->scenario->anchors[i], AW_SYMBOL_ANCHOR, NULL);
}

/* Marks first, so that no label of one anchor covers the mark of another. */
void aw_draft_anchors(aw_draft *d, const aw_scenario *before)
{
    const aw_scenario *s = d->scenario;
    size_t was;
    for (size_t i = 0; i < s->n_anchors; i++)
        if (symbol_of(d, before, i, &was) == AW_SYMBOL_MOVED)
            add_former(d, &before->anchors[was], place_of(d, &s->anchors[i]));
    for (size_t i = 0; i < s->n_anchors; i++)
        add_mark(d, symbol_of(d, before, i, &was), place_of(d, &s->anchors[i]));
    for (size_t i = 0; before != NULL && i < before->n_anchors; i++)
        if (match(s, before, i) == NONE)
            add_mark(d, AW_SYMBOL_REMOVED, place_of(d, &before->anchors[i]));
    for (size_t i = 0; i < s->n_anchors; i++) {
        const aw_symbol symbol = symbol_of(d, before, i, &was);
        add_name(d, &s->anchors[i], symbol, was != NONE ? &before->anchors[was] : NULL);
    }
    for (size_t i = 0; before != NULL && i < before->n_anchors; i++)
        if (match(s, before, i) == NONE)
            add_name(d, &before->anchors[i], AW_SYMBOL_REMOVED, NULL);
}

void aw_draft_list_anchors(aw_draft *d)
{
    if (d->marked[AW_SYMBOL_ANCHOR])
        aw_draft_entry(d, AW_SYMBOL_ANCHOR, AW_INK_ANCHOR, "anchor");
    if (d->marked[AW_SYMBOL_ADDED])
        aw_draft_entry(d, AW_SYMBOL_ADDED, AW_INK_CHANGE, "anchor added");
    if (d->marked[AW_SYMBOL_REMOVED])
        aw_draft_entry(d, AW_SYMBOL_REMOVED, AW_INK_CHANGE, "anchor taken away");
    if (d->marked[AW_SYMBOL_MOVED])
        aw_draft_entry(d, AW_SYMBOL_MOVED, AW_INK_CHANGE, "moved, from the ring");
}
