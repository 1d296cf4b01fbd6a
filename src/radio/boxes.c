/* Strips leave few boxes in a few words; what is left is held against the segment itself. */
#include "radio/boxes.h"

#include <math.h>

/* A box is wider than its body by this, m. */
#define WIDER 1e-6
/* A segment that moves less along an axis counts as moving this much, m: a fraction of WIDER. */
#define LEAST 1e-9

static aw_body_box box_of(const aw_body *body)
{
    aw_body_box box = {{HUGE_VAL, HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL, -HUGE_VAL}};
    for (size_t part = 0; part < body->n; part++) {
        const aw_prism *p = &body->prisms[part];
        const double low[3] = {p->footprint.low.x, p->footprint.low.y, p->base};
        const double high[3] = {p->footprint.high.x, p->footprint.high.y, p->top};
        for (int k = 0; k < 3; k++) {
            box.side[k] = fmin(box.side[k], low[k] - WIDER);
            box.side[3 + k] = fmax(box.side[3 + k], high[k] + WIDER);
        }
    }
    return box;
}

/* Never falls as `at` rises, rounding included. */
static size_t strip_at(const aw_boxes *boxes, int axis, double at)
{
    const double strip = (at - boxes->from[axis]) * boxes->per[axis];
    return strip > 0 ? strip < AW_STRIPS - 1 ? (size_t)strip : AW_STRIPS - 1 : 0;
}

static void lay_strips(aw_boxes *boxes, int axis)
{
    const size_t words = boxes->n_words;
    double from = HUGE_VAL, to = -HUGE_VAL;
    for (size_t i = 0; i < boxes->n; i++) {
        from = fmin(from, boxes->box[i].side[axis]);
        to = fmax(to, boxes->box[i].side[3 + axis]);
    }
    boxes->from[axis] = from;
    boxes->per[axis] = AW_STRIPS / (to - from);
    for (size_t i = 0; i < boxes->n; i++) {
        const uint64_t bit = UINT64_C(1) << i % 64;
        const size_t first = strip_at(boxes, axis, boxes->box[i].side[axis]);
        const size_t last = strip_at(boxes, axis, boxes->box[i].side[3 + axis]);
        boxes->begun[axis][first * words + i / 64] |= bit;
        boxes->lasting[axis][last * words + i / 64] |= bit;
    }
    for (size_t i = words; i < AW_STRIPS * words; i++)
        boxes->begun[axis][i] |= boxes->begun[axis][i - words];
    for (size_t i = (AW_STRIPS - 1) * words; i-- > 0;)
        boxes->lasting[axis][i] |= boxes->lasting[axis][i + words];
}

bool aw_boxes_lay(aw_boxes *boxes, aw_arena *arena, const aw_body bodies[], size_t n)
{
    const size_t words = (n + 63) / 64;
    aw_body_box *box = aw_arena_take_array(arena, n, sizeof *box);
    uint64_t *bits = aw_arena_take_array(arena, 6 * AW_STRIPS * words, sizeof *bits);
    if (box == NULL || bits == NULL)
        return false;
    *boxes = (aw_boxes){.box = box, .n = n, .n_words = words};
    for (size_t i = 0; i < n; i++)
        box[i] = box_of(&bodies[i]);
    for (int k = 0; k < 3 && n > 0; k++) {
        boxes->begun[k] = bits + (size_t)(2 * k) * AW_STRIPS * words;
        boxes->lasting[k] = bits + (size_t)(2 * k + 1) * AW_STRIPS * words;
        lay_strips(boxes, k);
    }
    return true;
}

bool aw_boxes_touch(const aw_boxes *boxes, size_t i, size_t k)
{
    const double *a = boxes->box[i].side, *b = boxes->box[k].side;
    return a[0] <= b[3] && b[0] <= a[3] && a[1] <= b[4] && b[1] <= a[4] && a[2] <= b[5] &&
           b[2] <= a[5];
}

static void load_word(aw_near *near)
{
    const size_t w = near->word;
    near->left = 0;
    for (int i = 0; i < AW_PIECES; i++) {
        const uint64_t *const *begun = near->begun[i], *const *lasting = near->lasting[i];
        near->left |=
            begun[0][w] & lasting[0][w] & begun[1][w] & lasting[1][w] & begun[2][w] & lasting[2][w];
    }
}

/* The strips that each piece begins and ends in. */
static void look_up(aw_near *near, int axis, double a, double d, double reach)
{
    const aw_boxes *boxes = near->boxes;
    for (int i = 0; i < AW_PIECES; i++) {
        const double from = a + d * i / AW_PIECES, to = a + d * (i + 1) / AW_PIECES;
        const size_t high = strip_at(boxes, axis, (d > 0 ? to : from) + reach);
        const size_t low = strip_at(boxes, axis, (d > 0 ? from : to) - reach);
        near->begun[i][axis] = boxes->begun[axis] + high * boxes->n_words;
        near->lasting[i][axis] = boxes->lasting[axis] + low * boxes->n_words;
    }
}

aw_near aw_boxes_near(const aw_boxes *boxes, const double a[3], const double b[3], double reach)
{
    aw_near near;
    near.boxes = boxes;
    near.word = 0;
    if (boxes->n == 0)
        return near;
    for (int k = 0; k < 3; k++) {
        const double d = fabs(b[k] - a[k]) < LEAST ? LEAST : b[k] - a[k];
        near.enter[k] = (size_t)(d > 0 ? k : 3 + k);
        near.leave[k] = (size_t)(d > 0 ? 3 + k : k);
        near.enters[k] = d > 0 ? a[k] + reach : a[k] - reach;
        near.leaves[k] = d > 0 ? a[k] - reach : a[k] + reach;
        near.inverse[k] = 1 / d;
        look_up(&near, k, a[k], d, reach);
    }
    load_word(&near);
    return near;
}

/* Whether some part of the segment lies within reach of the box along all axes at once. */
static bool comes_near(const aw_near *near, const aw_body_box *box)
{
    double from = 0, to = 1;
    for (int k = 0; k < 3; k++) {
        const double first = (box->side[near->enter[k]] - near->enters[k]) * near->inverse[k];
        const double last = (box->side[near->leave[k]] - near->leaves[k]) * near->inverse[k];
        from = first > from ? first : from;
        to = last < to ? last : to;
    }
    return from <= to;
}

size_t aw_near_next(aw_near *near)
{
    const aw_boxes *boxes = near->boxes;
    while (near->word < boxes->n_words) {
        if (near->left == 0) {
            if (++near->word < boxes->n_words)
                load_word(near);
            continue;
        }
        const size_t i = near->word * 64 + (size_t)__builtin_ctzll(near->left);
        near->left &= near->left - 1;
        if (comes_near(near, &boxes->box[i]))
            return i;
    }
    return boxes->n;
}
