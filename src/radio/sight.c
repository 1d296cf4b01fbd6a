/* A segment is cut to the prism's height span first; its plan is then measured against the
 * footprint, concave or not. */
#include "radio/sight.h"

#include <math.h>

#include "base/plane.h"

bool aw_prism_cut(const aw_prism *prism, double za, double zb, double t[2])
{
    t[0] = 0;
    t[1] = 1;
    if (za == zb)
        return za > prism->base && za < prism->top;
    const double at_base = (prism->base - za) / (zb - za), at_top = (prism->top - za) / (zb - za);
    const double first = at_base < at_top ? at_base : at_top;
    const double last = at_base < at_top ? at_top : at_base;
    t[0] = first > 0 ? first : 0;
    t[1] = last < 1 ? last : 1;
    return t[0] < t[1];
}

static bool misses_box(const aw_polygon *p, const double a[3], const double b[3])
{
    return (a[0] < p->low.x && b[0] < p->low.x) || (a[0] > p->high.x && b[0] > p->high.x) ||
           (a[1] < p->low.y && b[1] < p->low.y) || (a[1] > p->high.y && b[1] > p->high.y);
}

double aw_prism_length(const aw_prism *prism, const double a[3], const double b[3])
{
    double t[2];
    if (misses_box(&prism->footprint, a, b) || !aw_prism_cut(prism, a[2], b[2], t))
        return 0;
    const double share = aw_polygon_chord(&prism->footprint, (aw_point){a[0], a[1]},
                                          (aw_point){b[0], b[1]}, t[0], t[1]);
    const double dx = b[0] - a[0], dy = b[1] - a[1], dz = b[2] - a[2];
    return share * sqrt(dx * dx + dy * dy + dz * dz);
}

double aw_body_length(const aw_body *body, const double a[3], const double b[3])
{
    double length = 0;
    for (size_t i = 0; i < body->n; i++)
        length += aw_prism_length(&body->prisms[i], a, b);
    return length;
}

double aw_body_crossing(double base, double top)
{
    return fmin(AW_CROSSING, (top - base) / 2);
}

bool aw_body_is_crossed(const aw_body *body, const double spot[3], const double anchor[3])
{
    return aw_body_length(body, spot, anchor) > body->crossing;
}
