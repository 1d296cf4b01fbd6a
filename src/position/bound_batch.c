/* Lanes are cells. The first pass over the anchors finds the mean line of sight, the second the
 * scatter about it, so that little is lost where the lines of sight scatter little. */
#include "position/bound_batch.h"

#include "position/kernel.h"
#include "position/lanes.h"

/* A determinant that is a smaller share than this of what it is a difference of is left open. */
#define POOR 1e-3f
/* Keeps a tag at an anchor from a division by 0, m^2. */
#define TINY 1e-12f

#define JOIN(a, b)  a##b
#define NAME(level) JOIN(aw_bound_batch_, level)
void NAME(AW_LEVEL)(const aw_bound_batch *c, float drms[]);

/* Lines of sight of W cells to the n anchors that some of them can use. */
typedef struct lines {
    size_t n;
    vf x[AW_BOUNDS_ANCHORS], y[AW_BOUNDS_ANCHORS], weight[AW_BOUNDS_ANCHORS];
} lines;

/* Fills the lines of sight and their mean. */
static inline void look(const aw_bound_batch *c, size_t at, lines *u, vf mean[2])
{
    const vf px = load(c->x + at), py = load(c->y + at);
    vf total = spread(0), sx = total, sy = total;
    u->n = 0;
    for (size_t i = 0; i < c->n_anchors; i++) {
        const vf w = load(c->weight + i * c->stride + at);
        if (!any(w != 0))
            continue;
        const vf dx = c->anchor_x[i] - px, dy = c->anchor_y[i] - py;
        const vf q = 1.0f / root(dx * dx + dy * dy + (c->rise[i] * c->rise[i] + TINY));
        u->x[u->n] = dx * q;
        u->y[u->n] = dy * q;
        u->weight[u->n] = w;
        total += w;
        sx += w * u->x[u->n];
        sy += w * u->y[u->n];
        u->n++;
    }
    mean[0] = sx / total;
    mean[1] = sy / total;
}

static inline vf measure(const lines *u, const vf mean[2])
{
    vf xx = spread(0), xy = xx, yy = xx;
    for (size_t i = 0; i < u->n; i++) {
        const vf vx = u->x[i] - mean[0], vy = u->y[i] - mean[1], wx = u->weight[i] * vx;
        xx += wx * vx;
        xy += wx * vy;
        yy += u->weight[i] * vy * vy;
    }
    const vf det = xx * yy - xy * xy;
    return pick(det > POOR * xx * yy, root((xx + yy) / det), spread(-1));
}

void NAME(AW_LEVEL)(const aw_bound_batch *c, float drms[])
{
    lines u;
    vf mean[2];
    for (size_t at = 0; at < c->n_cells; at += W) {
        look(c, at, &u, mean);
        const vf found = measure(&u, mean);
        const size_t n = c->n_cells - at < W ? c->n_cells - at : W;
        memcpy(drms + at, &found, n * sizeof *drms);
    }
}
