/* Boxes around all bodies of a scene: which of them a segment comes near. */
#ifndef AW_RADIO_BOXES_H
#define AW_RADIO_BOXES_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "radio/sight.h"

/* A box 1 um wider than its body to every side, far more than what rounding feels, m: its low sides
 * along the axes, then its high ones. */
typedef struct aw_body_box {
    double side[6];
} aw_body_box;

/* Along each axis the boxes lie over AW_STRIPS strips of one width; the first and the last go on
 * for ever. One bit for each box, of every strip: those that begin in it or before, and those that
 * end in it or behind. */
typedef struct aw_boxes {
    const aw_body_box *box;
    size_t n, n_words;
    double from[3], per[3]; /* where the strips begin, m, and how many there are to a metre */
    uint64_t *begun[3], *lasting[3]; /* n_words of each strip */
} aw_boxes;
#define AW_STRIPS 64
/* A segment is looked up in so many pieces. */
#define AW_PIECES 2

/* A walk through the boxes near one segment. What it enters by along an axis is the side of number
 * enter, what it leaves by that of number leave; both as far off as the segment may be. */
typedef struct aw_near {
    const aw_boxes *boxes;
    size_t enter[3], leave[3];
    double enters[3], leaves[3]; /* where the segment begins, as those sides see it */
    double inverse[3];           /* of the way along each axis */
    const uint64_t *begun[AW_PIECES][3], *lasting[AW_PIECES][3]; /* of each piece of the segment */
    size_t word;
    uint64_t left; /* bits of the word that have not been looked at */
} aw_near;

/* Boxes of n bodies, in the arena. False without memory. */
bool aw_boxes_lay(aw_boxes *boxes, aw_arena *arena, const aw_body bodies[], size_t n);

/* Whether the boxes of two bodies meet. */
bool aw_boxes_touch(const aw_boxes *boxes, size_t i, size_t k);

/* Begins a walk through the boxes to which the segment a-b comes within `reach` (m) along every
 * axis. */
aw_near aw_boxes_near(const aw_boxes *boxes, const double a[3], const double b[3], double reach);

/* The next of them, in rising order; boxes->n if there is none. */
size_t aw_near_next(aw_near *near);

#endif
