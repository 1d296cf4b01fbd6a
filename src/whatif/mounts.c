#include "whatif/mounts.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "anchorwise/candidates.h"
#include "anchorwise/cost.h"
#include "base/plane.h"
#include "place/mountable.h"

/* Metres between places along what carries, under the ceiling, and up; the lowest; under the
 * ceiling. */
#define APART  1.0
#define GRID   1.0
#define RISE   0.5
#define LOWEST 1.0
#define UNDER  0.3
/* How far under the ceiling something hangs from it, m: a pole from a truss, common practice. */
#define DROP 3.0
/* Places in plan along outline and walls, and under the ceiling, before they are set wider. */
#define MOST_ALONG 600.0
#define MOST_GRID  800.0
/* What hangs as near as this to a place with something to hang on hangs there too, m. */
#define NEAR 0.5

typedef struct lister {
    aw_mounts *mounts;
    const aw_scenario *scenario;
    double heights[AW_MOST_MOUNT_HEIGHTS];
    size_t n_heights;
    aw_carried carried;
    bool failed;
} lister;

size_t aw_mount_heights(const aw_scenario *s, double heights[], size_t room)
{
    const double high = s->floor.ceiling - UNDER;
    const double rise = fmax(RISE, (high - LOWEST) / (double)(AW_MOST_MOUNT_HEIGHTS - 2));
    size_t n = 0;
    for (double z = LOWEST; z < high - rise / 4 && n < room; z += rise)
        heights[n++] = z;
    if (n < room && high > 0)
        heights[n++] = high;
    return n;
}

bool aw_mount_is_open(const aw_scenario *s, const double at[3])
{
    return !aw_is_filled(s, (aw_point){at[0], at[1]}, at[2]) && !aw_is_forbidden(s, at) &&
           (!aw_has_prices(s) || !isnan(aw_anchor_price(s, at)));
}

/* The anchor that alone is too near, n_anchors if none is, SIZE_MAX if several are. */
static size_t find_neighbour(const aw_scenario *s, const double at[3])
{
    const aw_point p = {at[0], at[1]};
    if (!aw_is_crowded(s, p, at[2], s->n_anchors))
        return s->n_anchors;
    for (size_t i = 0; i < s->n_anchors; i++)
        if (!aw_is_crowded(s, p, at[2], i))
            return i;
    return SIZE_MAX;
}

static void add(lister *l, const double at[3], aw_carried carried)
{
    aw_mounts *m = l->mounts;
    if (l->failed || !aw_mount_is_open(l->scenario, at))
        return;
    if (m->n == m->room) {
        const size_t room = m->room > 0 ? 2 * m->room : 1024;
        aw_mount_place *more = realloc(m->list, room * sizeof *more);
        l->failed = more == NULL;
        if (l->failed)
            return;
        m->list = more;
        m->room = room;
    }
    m->list[m->n++] =
        (aw_mount_place){{at[0], at[1], at[2]}, carried, find_neighbour(l->scenario, at)};
}

static void add_column(void *context, aw_point p, double low, double high)
{
    lister *l = context;
    for (size_t i = 0; i < l->n_heights; i++)
        if (l->heights[i] >= low && l->heights[i] <= high)
            add(l, (const double[3]){p.x, p.y, l->heights[i]}, l->carried);
}

static void add_stated(lister *l)
{
    aw_candidates c;
    aw_errors errors = {0};
    const bool listed = aw_candidates_list(&c, l->scenario, NULL, &errors);
    for (size_t i = 0; listed && i < c.n; i++)
        add(l, c.list[i].at, AW_CARRIED_STATED);
    aw_candidates_free(&c);
    aw_errors_free(&errors);
}

static void add_grid(lister *l)
{
    const aw_polygon *o = &l->scenario->floor.outline;
    const double width = o->high.x - o->low.x, depth = o->high.y - o->low.y;
    const double apart = fmax(GRID, sqrt(width * depth / MOST_GRID));
    l->carried = AW_CARRIED_UNSTATED;
    for (double y = o->low.y + apart / 2; y < o->high.y; y += apart)
        for (double x = o->low.x + apart / 2; x < o->high.x; x += apart)
            if (aw_polygon_holds(o, x, y))
                add_column(l, (aw_point){x, y}, l->scenario->floor.ceiling - DROP,
                           l->scenario->floor.ceiling);
}

bool aw_mounts_list(aw_mounts *m, const aw_scenario *s)
{
    lister l = {.mounts = m, .scenario = s, .carried = AW_CARRIED_WALL};
    *m = (aw_mounts){0};
    l.n_heights = aw_mount_heights(s, l.heights, AW_MOST_MOUNT_HEIGHTS);
    if (aw_has_candidates(s)) {
        add_stated(&l);
        l.carried = AW_CARRIED_UNSTATED;
    }
    aw_mounts_walk(s, fmax(APART, aw_mounts_length(s) / MOST_ALONG), add_column, &l);
    if (s->candidates.n_lines == 0)
        add_grid(&l);
    return !l.failed;
}

void aw_mounts_free(aw_mounts *m)
{
    free(m->list);
    *m = (aw_mounts){0};
}

aw_carried aw_mount_carried(const aw_mounts *m, const double at[3])
{
    aw_carried carried = AW_CARRIED_UNSTATED;
    for (size_t i = 0; i < m->n; i++) {
        const double *p = m->list[i].at;
        if (m->list[i].carried < carried && aw_length(p[0] - at[0], p[1] - at[1]) <= NEAR &&
            fabs(p[2] - at[2]) <= NEAR)
            carried = m->list[i].carried;
    }
    return carried;
}
