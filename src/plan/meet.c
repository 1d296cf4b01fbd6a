/* Ends of walls, taken to the middle lines of those that they meet. */
#include "plan/faces.h"

#include <math.h>
#include <stdlib.h>

#include "base/plane.h"

#define MEETS 0.03 /* m beyond half the thickness of the wall that is met */

/* How far a wall's end is from the middle line of another, along the wall; NaN: they do not meet.
 */
static double step_to(aw_point end, aw_point u, double own, const aw_stroke *other)
{
    const aw_point d = {other->b.x - other->a.x, other->b.y - other->a.y};
    const double length = aw_length(d.x, d.y), sine = (u.x * d.y - u.y * d.x) / length;
    const aw_point to = {other->a.x - end.x, other->a.y - end.y};
    if (!(fabs(sine) > 0.1))
        return (double)NAN;
    const double step = (to.x * d.y - to.y * d.x) / length / sine;
    const double along = (to.x * u.y - to.y * u.x) / sine;
    const double most = (other->thickness / 2 + MEETS) / fabs(sine),
                 margin = (own / 2 + MEETS) / fabs(sine);
    const double limit = fmin(most, 5 * (other->thickness / 2 + MEETS));
    if (fabs(step) > limit || along < -margin || along > length + margin)
        return (double)NAN;
    return step;
}

/* Whether they are too far apart to meet. */
static bool is_far(aw_point end, const aw_stroke *other, double margin)
{
    const double m = 5 * (margin + other->thickness);
    return end.x < fmin(other->a.x, other->b.x) - m || end.x > fmax(other->a.x, other->b.x) + m ||
           end.y < fmin(other->a.y, other->b.y) - m || end.y > fmax(other->a.y, other->b.y) + m;
}

static double length_of(const aw_stroke *s)
{
    return aw_length(s->b.x - s->a.x, s->b.y - s->a.y);
}

/* The step from a wall's end to the nearest of some lines, the wall itself left out; NaN: none. */
static double nearest_step(const aw_stroke *w, bool at_b, const aw_stroke lines[], size_t n,
                           bool jambs)
{
    const aw_point end = at_b ? w->b : w->a, start = at_b ? w->a : w->b;
    const double length = length_of(w);
    const aw_point u = {(end.x - start.x) / length, (end.y - start.y) / length};
    double best = (double)NAN;
    for (size_t k = 0; k < n; k++) {
        const aw_stroke *other = &lines[k];
        if (other == w || is_far(end, other, w->thickness / 2 + MEETS) ||
            (jambs && (length_of(other) > w->thickness + MEETS || length_of(other) < MEETS)))
            continue;
        const double step = step_to(end, u, w->thickness, other);
        if (!isnan(step) && !(fabs(step) >= fabs(best)))
            best = step;
    }
    return best > -length / 2 ? best : (double)NAN;
}

bool aw_walls_meet(aw_strokes *walls, size_t first, const aw_strokes *lines)
{
    double(*steps)[2] = calloc(walls->n + 1, sizeof *steps);
    if (steps == NULL)
        return false;
    for (size_t i = first; i < walls->n; i++)
        for (int side = 0; side < 2; side++) {
            const aw_stroke *w = &walls->list[i];
            double step = nearest_step(w, side, walls->list + first, walls->n - first, false);
            if (isnan(step))
                step = nearest_step(w, side, lines->list, lines->n, true);
            steps[i][side] = isnan(step) ? 0 : step;
        }
    for (size_t i = first; i < walls->n; i++) {
        aw_stroke *w = &walls->list[i];
        const double length = length_of(w);
        const aw_point u = {(w->b.x - w->a.x) / length, (w->b.y - w->a.y) / length};
        w->a = (aw_point){w->a.x - steps[i][0] * u.x, w->a.y - steps[i][0] * u.y};
        w->b = (aw_point){w->b.x + steps[i][1] * u.x, w->b.y + steps[i][1] * u.y};
    }
    free(steps);
    return true;
}
