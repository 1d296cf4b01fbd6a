#include "plan/arcs.h"

#include <math.h>

#include "base/plane.h"

/* The centre of the circle through three points, as seen from the first. */
static bool find_centre(aw_point b, aw_point c, aw_point *centre)
{
    const double d = 2 * (b.x * c.y - b.y * c.x), bb = b.x * b.x + b.y * b.y,
                 cc = c.x * c.x + c.y * c.y;
    *centre = (aw_point){(c.y * bb - b.y * cc) / d, (b.x * cc - c.x * bb) / d};
    return fabs(d) > 1e-9 * (bb + cc) && isfinite(centre->x) && isfinite(centre->y);
}

bool aw_arc_fit(const aw_point at[], size_t n, aw_arc *arc)
{
    const aw_point o = at[0];
    aw_point centre;
    if (n < AW_ARC_CORNERS)
        return false;
    const aw_point middle = {at[n / 2].x - o.x, at[n / 2].y - o.y},
                   last = {at[n - 1].x - o.x, at[n - 1].y - o.y};
    if (!find_centre(middle, last, &centre))
        return false;
    *arc = (aw_arc){{o.x + centre.x, o.y + centre.y}, aw_length(centre.x, centre.y), 0};
    for (size_t i = 0; i < n; i++) {
        const aw_point p = {at[i].x - o.x - centre.x, at[i].y - o.y - centre.y};
        if (fabs(aw_length(p.x, p.y) - arc->radius) > 0.001 * arc->radius)
            return false;
        if (i + 1 == n)
            break;
        const aw_point q = {at[i + 1].x - o.x - centre.x, at[i + 1].y - o.y - centre.y};
        const double step = atan2(p.x * q.y - p.y * q.x, p.x * q.x + p.y * q.y);
        if (step * arc->turn < 0)
            return false;
        arc->turn += step;
    }
    return true;
}
