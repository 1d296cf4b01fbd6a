/* Walls from what a draughtsman draws of them: two lines, the faces, in pieces, with gaps and
 * doubles. Lines of one layer at a time: faces of different layers are not one wall's. Metres.
 *
 * Lines are gathered by direction (0.1 degrees) and offset (2 mm), touching pieces joined. Parallel
 * faces opposite each other, nearest first, make a wall; a stretch of one side of a face serves one
 * wall, and what lies between two walls is none. Collinear walls are joined over gaps that are no
 * door, and their ends taken to the middle line of the wall that they meet.
 *
 * Cost: sorting, and a look at each pair of parallel faces that are near, and of walls that are. */
#ifndef AW_PLAN_FACES_H
#define AW_PLAN_FACES_H

#include "plan/rules.h"

/* A straight stretch: a line of the plan, or a wall's middle line with its thickness. */
typedef struct aw_stroke {
    aw_point a, b;
    double thickness;
} aw_stroke;

typedef struct aw_strokes {
    aw_stroke *list;
    size_t n, room;
} aw_strokes;

/* What no wall was made of. */
typedef struct aw_faces_left {
    size_t n_short, n_single; /* pieces as short as jambs; longer ones without a partner */
    double single_length;     /* of the latter together */
} aw_faces_left;

bool aw_strokes_add(aw_strokes *strokes, aw_point a, aw_point b, double thickness);

/* Adds the walls of some lines. `thickness`: NaN, or that of walls drawn as one line, and then of
 * every wall. False without memory, or (an error) of more than can be joined. */
bool aw_faces_join(const aw_strokes *lines, const aw_joining *how, double thickness,
                   aw_strokes *walls, aw_faces_left *left, aw_errors *errors);

/* Takes the ends of walls first ... n - 1 to the middle lines of those that they meet, and others
 * to the jamb among the lines that ends them. */
bool aw_walls_meet(aw_strokes *walls, size_t first, const aw_strokes *lines);

#endif
