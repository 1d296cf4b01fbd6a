/* From squares to the outward corners of what is left of them. */
#include <math.h>
#include <string.h>

#include "whatif/together.h"

bool aw_freedom_shares(const aw_freedoms *all, const aw_freedom *f, size_t i, size_t j)
{
    const double half = f->shared.half;
    const double west = ((double)i - AW_FREEDOM_STEPS) * all->step,
                 south = ((double)j - AW_FREEDOM_STEPS) * all->step;
    return f->square[j][i] && west < half && south < half && west + all->step > -half &&
           south + all->step > -half;
}

aw_point aw_freedom_shared_corner(const aw_freedoms *all, const aw_freedom *f, const double at[3],
                                  size_t i, size_t j)
{
    const double half = f->shared.half;
    const double x = ((double)i - AW_FREEDOM_STEPS) * all->step,
                 y = ((double)j - AW_FREEDOM_STEPS) * all->step;
    return (aw_point){at[0] + fmin(fmax(x, -half), half), at[1] + fmin(fmax(y, -half), half)};
}

static bool is_within(const aw_freedoms *all, const aw_freedom *f, double x, double y, double half)
{
    const double i = floor(x / all->step) + AW_FREEDOM_STEPS,
                 j = floor(y / all->step) + AW_FREEDOM_STEPS;
    return fabs(x) < half && fabs(y) < half && i >= 0 && j >= 0 && i < AW_FREEDOM_SQUARES &&
           j < AW_FREEDOM_SQUARES && f->square[(size_t)j][(size_t)i];
}

/* Whether the region has a corner there that points outwards. */
static bool is_corner(const aw_freedoms *all, const aw_freedom *f, double x, double y, double half)
{
    const double e = 1e-6 * all->step;
    const bool a = is_within(all, f, x - e, y - e, half), b = is_within(all, f, x + e, y - e, half),
               c = is_within(all, f, x + e, y + e, half), d = is_within(all, f, x - e, y + e, half);
    return a + b + c + d == 1 || (a + b + c + d == 2 && a == c);
}

static void add_corner(aw_corners *c, const double own[3], double x, double y, double z)
{
    const double at[3] = {own[0] + x, own[1] + y, own[2] + z};
    memcpy(c->at[c->n++], at, sizeof at);
}

/* Where edges of squares, or of what is left of them, may be. */
static size_t list_lines(const aw_freedoms *all, double half, double lines[])
{
    size_t n = 0;
    lines[n++] = -half;
    for (int k = -AW_FREEDOM_STEPS; k <= AW_FREEDOM_STEPS; k++)
        if (fabs(k * all->step) < half)
            lines[n++] = k * all->step;
    lines[n++] = half;
    return n;
}

void aw_corners_find(aw_corners *c, const aw_freedoms *all, const aw_freedom *f,
                     const double own[3], double half)
{
    double lines[AW_FREEDOM_SQUARES + 3];
    const size_t n = list_lines(all, half, lines);
    const double up = fmin(half, f->high - own[2]), down = fmin(half, own[2] - f->low);
    c->n = 0;
    for (size_t y = 0; y < n; y++)
        for (size_t x = 0; x < n; x++)
            if (is_corner(all, f, lines[x], lines[y], half))
                add_corner(c, own, lines[x], lines[y], 0);
    if (up > 0)
        add_corner(c, own, 0, 0, up);
    if (down > 0)
        add_corner(c, own, 0, 0, -down);
}

double aw_freedom_half(const aw_freedoms *all, const aw_freedom *f, const double own[3])
{
    double half = fmax(f->high - own[2], own[2] - f->low);
    for (int j = 0; j < AW_FREEDOM_SQUARES; j++)
        for (int i = 0; i < AW_FREEDOM_SQUARES; i++) {
            const int x = i < AW_FREEDOM_STEPS ? AW_FREEDOM_STEPS - i : i + 1 - AW_FREEDOM_STEPS;
            const int y = j < AW_FREEDOM_STEPS ? AW_FREEDOM_STEPS - j : j + 1 - AW_FREEDOM_STEPS;
            if (f->square[j][i])
                half = fmax(half, (x > y ? x : y) * all->step);
        }
    return half;
}
