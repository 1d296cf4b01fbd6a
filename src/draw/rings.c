/* Rings of the surface on paper, without those too small to be seen. */
#include <math.h>

#include "draw/draft.h"

/* Area below which a ring goes, mm^2, and how far a ring may be simplified, mm. */
#define LEAST_AREA 4.0
#define TOLERANCE  0.05

static double area_of(const aw_outline *ring)
{
    double area = 0;
    for (size_t i = 0; i < ring->n; i++) {
        const aw_point a = ring->at[i], b = ring->at[i + 1 < ring->n ? i + 1 : 0];
        area += (a.x * b.y - b.x * a.y) / 2;
    }
    return fabs(area);
}

static bool encloses(const aw_outline *ring, aw_point p)
{
    bool inside = false;
    for (size_t i = 0; i < ring->n; i++) {
        const aw_point a = ring->at[i], b = ring->at[i + 1 < ring->n ? i + 1 : 0];
        if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x))
            inside = !inside;
    }
    return inside;
}

/* Whether some cell inside is clear of its need. */
static bool holds_clear_cell(const aw_draft *d, const aw_outline *ring)
{
    aw_point low = ring->at[0], high = low;
    for (size_t i = 1; i < ring->n; i++) {
        low = (aw_point){fmin(low.x, ring->at[i].x), fmin(low.y, ring->at[i].y)};
        high = (aw_point){fmax(high.x, ring->at[i].x), fmax(high.y, ring->at[i].y)};
    }
    const double step = d->field.step * d->mm;
    for (double y = low.y - step; y <= high.y + step; y += step / 2)
        for (double x = low.x - step; x <= high.x + step; x += step / 2) {
            const size_t cell = aw_field_cell(&d->field, aw_draft_to_metres(d, (aw_point){x, y}));
            if (cell == AW_NO_CELL)
                continue;
            const aw_standing standing = aw_draft_standing(d, cell);
            if ((standing == AW_STANDS_MISSED || standing == AW_STANDS_MET) &&
                encloses(ring, aw_draft_to_paper(d, aw_field_centre(&d->field, cell))))
                return true;
        }
    return false;
}

static double distance_to(aw_point p, aw_point a, aw_point b)
{
    const double x = b.x - a.x, y = b.y - a.y, square = x * x + y * y;
    const double t = square > 0 ? ((p.x - a.x) * x + (p.y - a.y) * y) / square : 0;
    const double s = fmin(fmax(t, 0), 1);
    return hypot(p.x - a.x - s * x, p.y - a.y - s * y);
}

/* Walks on as long as the chord from the last point kept stays near all between. */
static void simplify(aw_outline *ring)
{
    size_t kept = 1, from = 0;
    for (size_t i = 2; i < ring->n; i++) {
        bool near = i - from < 40;
        for (size_t k = from + 1; k < i && near; k++)
            near = distance_to(ring->at[k], ring->at[kept - 1], ring->at[i]) <= TOLERANCE;
        if (!near) {
            const aw_point corner = ring->at[i - 1];
            from = i - 1;
            ring->at[kept++] = corner;
        }
    }
    if (ring->n > 1)
        ring->at[kept++] = ring->at[ring->n - 1];
    ring->n = kept;
}

bool aw_draft_rings(const aw_draft *d, size_t room, double level, bool of_need, aw_paths *rings)
{
    size_t kept = 0;
    if (!aw_surface_rings(d->surface, room, level, rings))
        return false;
    for (size_t k = 0; k < rings->n; k++) {
        aw_outline ring = rings->list[k];
        for (size_t i = 0; i < ring.n; i++)
            ring.at[i] = aw_draft_to_paper(d, ring.at[i]);
        if (area_of(&ring) < LEAST_AREA && !(of_need && holds_clear_cell(d, &ring)))
            continue;
        simplify(&ring);
        rings->list[kept++] = ring;
    }
    rings->n = kept;
    return true;
}
