/* Normal points by the golden ratio: the radius through the quantiles of its own law, the angle by
 * turns that never come again. */
#include "place/inside.h"

#include <math.h>

#define POINTS 64
#define GOLDEN 2.399963229728653

bool aw_polygon_is_convex(const aw_polygon *p)
{
    for (size_t i = 0; i < p->n; i++) {
        const aw_point a = p->at[i], b = p->at[(i + 1) % p->n], c = p->at[(i + 2) % p->n];
        if ((b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x) < 0)
            return false;
    }
    return true;
}

static double normal_below(double z)
{
    return erfc(-z * M_SQRT1_2) / 2;
}

/* The corners go round counter-clockwise: inwards is to the left of an edge. */
static double product_of_edges(const aw_polygon *p, double x, double y, const aw_expected *e)
{
    double share = 1;
    for (size_t i = 0; i < p->n; i++) {
        const aw_point a = p->at[i], b = p->at[(i + 1) % p->n];
        const double length = aw_length(b.x - a.x, b.y - a.y);
        if (length == 0)
            continue;
        const double nx = -(b.y - a.y) / length, ny = (b.x - a.x) / length;
        const double variance = nx * nx * e->xx + 2 * nx * ny * e->xy + ny * ny * e->yy;
        const double off = nx * (x - a.x) + ny * (y - a.y);
        share *= variance > 0 ? normal_below(off / sqrt(variance)) : off > 0;
    }
    return share;
}

static double share_of_points(const aw_polygon *p, double x, double y, const aw_expected *e)
{
    const double sx = sqrt(fmax(e->xx, 0)), along = sx > 0 ? e->xy / sx : 0;
    const double sy = sqrt(fmax(e->yy - along * along, 0));
    size_t inside = 0;
    for (size_t k = 0; k < POINTS; k++) {
        const double radius = sqrt(-2 * log(1 - ((double)k + 0.5) / POINTS));
        const double u = radius * cos((double)k * GOLDEN), v = radius * sin((double)k * GOLDEN);
        inside += aw_polygon_holds(p, x + sx * u, y + along * u + sy * v);
    }
    return (double)inside / POINTS;
}

double aw_share_inside(const aw_polygon *outline, bool convex, double x, double y,
                       const aw_expected *e)
{
    if (e->status != AW_BOUND_OK)
        return 0;
    return (convex ? product_of_edges : share_of_points)(outline, x + e->bias[0], y + e->bias[1],
                                                         e);
}
