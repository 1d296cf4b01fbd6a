/* What descents are judged by. */
#include "position/descent.h"

#include <math.h>

#include "base/plane.h"

double aw_site_reach(const aw_site *site)
{
    const aw_polygon *o = site->outline;
    return o != NULL ? aw_length(o->high.x - o->low.x, o->high.y - o->low.y) : HUGE_VAL;
}

bool aw_is_astray(const aw_fix_problem *p, const double at[3])
{
    const aw_polygon *o = p->site.outline;
    if (o == NULL)
        return false;
    const double reach = aw_site_reach(&p->site);
    const double rise = p->site.ceiling - p->site.floor;
    const double x = p->spot[0] + at[0], y = p->spot[1] + at[1], z = p->spot[2] + at[2];
    return x < o->low.x - reach || x > o->high.x + reach || y < o->low.y - reach ||
           y > o->high.y + reach ||
           (p->dims == 3 && (z < p->site.floor - rise || z > p->site.ceiling + rise));
}

double aw_implausible_squares(size_t n, int dims)
{
    const double freedom = n > (size_t)dims + 1 ? (double)(n - (size_t)dims - 1) : 0;
    return freedom + 6 * sqrt(2 * freedom) + 20;
}
