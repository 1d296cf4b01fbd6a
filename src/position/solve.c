/* Plain Gauss-Newton, a lane a draw. A lane that is not served well by it is left open for the
 * careful solver. */
#include "position/kernel.h"

#include "position/descent.h"
#include "position/lanes.h"

#define JOIN(a, b)  a##b
#define NAME(level) JOIN(aw_solve_, level)
void NAME(AW_LEVEL)(const aw_lane_cell *cell, const aw_lane_block *block);

#define ITERATIONS 12 /* level ones included */
/* A step shorter than this ends the iteration, m^2. */
#define SETTLED 1e-8f
/* Below NEAR what curvature adds to a step's linear successor is nothing; one that is sure to be
 * shorter than FORESEEN is not waited for. Both m^2. */
#define NEAR     1e-5f
#define FORESEEN 1e-9f
/* A determinant below this share of the diagonal's product is left to the careful solver. */
#define POOR 1e-5f
/* A sum of squares that grows by more than this share is a rise and not rounding. */
#define RISE 1.001f

/* Weighted sums over the links of one vector of lanes. */
typedef struct sums {
    vf w, x, y, z, r, xx, xy, xz, yy, yz, zz, xr, yr, zr, rr;
} sums;

/* What a sweep is specialised for: `solid` solves z too; `even` means that all weights are 1 and no
 * frame is lost, which leaves out multiplications by 1 and not one bit of the result. */
typedef struct shape {
    bool solid, even;
} shape;

#define INLINE static inline __attribute__((always_inline))

INLINE sums sum_links(const aw_lane_cell *c, const aw_lane_block *b, size_t l, vf px, vf py, vf pz,
                      const shape f)
{
    sums s = {.w = spread(f.even ? (float)c->n : 0)};
    for (size_t i = 0; i < c->n; i++) {
        const vf dx = px - c->x[i], dy = py - c->y[i], dz = pz - c->z[i];
        const vf rise = f.solid ? dz * dz : spread(c->z[i] * c->z[i]);
        const vf range = root(dx * dx + dy * dy + rise);
        const vf inverse = 1.0f / range;
        const vf late = load(b->late + i * AW_BLOCK + l);
        const vf r = late + (c->straight[i] - range);
        vf w = spread(f.even ? 1 : c->weight[i]);
        if (!f.even && b->heard != NULL)
            w = w * load(b->heard + i * AW_BLOCK + l);
        const vf ux = dx * inverse, uy = dy * inverse, uz = dz * inverse;
        const vf wx = f.even ? ux : w * ux, wy = f.even ? uy : w * uy, wr = f.even ? r : w * r;
        if (!f.even)
            s.w += w;
        s.x += wx;
        s.y += wy;
        s.r += wr;
        s.xx += wx * ux;
        s.xy += wx * uy;
        s.yy += wy * uy;
        s.xr += wx * r;
        s.yr += wy * r;
        s.rr += wr * r;
        if (f.solid) {
            const vf wz = f.even ? uz : w * uz;
            s.z += wz;
            s.xz += wx * uz;
            s.yz += wy * uz;
            s.zz += wz * uz;
            s.zr += wz * r;
        }
    }
    return s;
}

/* One Gauss-Newton step of 2 or 3 unknowns, the offset eliminated by centring. */
typedef struct step {
    vf x, y, z, squares;
    vi poor;
} step;

INLINE step step_from(const sums *s, const bool solid)
{
    const vf inverse = 1.0f / s->w;
    const vf mx = s->x * inverse, my = s->y * inverse, mr = s->r * inverse;
    const vf xx = s->xx - s->x * mx, xy = s->xy - s->x * my, yy = s->yy - s->y * my;
    const vf gx = s->xr - s->x * mr, gy = s->yr - s->y * mr;
    step t = {.squares = s->rr - s->r * mr};
    if (!solid) {
        const vf det = xx * yy - xy * xy, over = 1.0f / det;
        t.poor = ~(det > POOR * (xx * yy));
        t.x = (yy * gx - xy * gy) * over;
        t.y = (xx * gy - xy * gx) * over;
        return t;
    }
    const vf mz = s->z * inverse;
    const vf xz = s->xz - s->x * mz, yz = s->yz - s->y * mz, zz = s->zz - s->z * mz;
    const vf gz = s->zr - s->z * mr;
    const vf a = yy * zz - yz * yz, b = xz * yz - xy * zz, c = xy * yz - xz * yy;
    const vf e = xx * zz - xz * xz, f = xy * xz - xx * yz, h = xx * yy - xy * xy;
    const vf det = xx * a + xy * b + xz * c, over = 1.0f / det;
    t.poor = ~(det > POOR * (xx * yy * zz));
    t.x = (a * gx + b * gy + c * gz) * over;
    t.y = (b * gx + e * gy + f * gz) * over;
    t.z = (c * gx + f * gy + h * gz) * over;
    return t;
}

/* State of the vectors of a block between sweeps. */
typedef struct sweep {
    float last[AW_BLOCK]; /* sum of squares at the last place */
    int32_t live[AW_BLOCK];
    uint16_t todo[AW_BLOCK / W];
    size_t n;
} sweep;

/* Steps one vector by its sums, along the floor if `level`; returns whether a lane of it goes on.
 */
INLINE bool take_step(const aw_lane_cell *c, const aw_lane_block *b, sweep *v, size_t l,
                      const sums *s, const shape f, const bool level)
{
    vi live, open;
    const vf px = load(b->x + l), py = load(b->y + l), pz = f.solid ? load(b->z + l) : spread(0);
    memcpy(&live, v->live + l, sizeof live);
    memcpy(&open, b->open + l, sizeof open);
    const bool solid = f.solid;
    const step t = step_from(s, solid && !level);
    const vi lost = live & (t.poor | ~(t.squares <= load(v->last + l) * RISE));
    open |= lost;
    live &= ~lost;
    store(b->x + l, pick(live, px + t.x, px));
    store(b->y + l, pick(live, py + t.y, py));
    if (solid && !level)
        store(b->z + l, pick(live, pz + t.z, pz));
    /* A lane that has settled keeps its sum while others of the vector go on. */
    store(v->last + l, pick(live, t.squares, load(v->last + l)));
    vf length = t.x * t.x + t.y * t.y;
    if (solid && !level)
        length = length + t.z * t.z;
    if (!level)
        live &=
            ~((length < SETTLED) | ((length < NEAR) & (length * t.squares * c->creep < FORESEEN)));
    memcpy(v->live + l, &live, sizeof live);
    memcpy(b->open + l, &open, sizeof open);
    return any(live);
}

INLINE bool advance(const aw_lane_cell *c, const aw_lane_block *b, sweep *v, size_t l,
                    const shape f, const bool level)
{
    const vf px = load(b->x + l), py = load(b->y + l), pz = f.solid ? load(b->z + l) : spread(0);
    const sums s = sum_links(c, b, l, px, py, pz, f);
    return take_step(c, b, v, l, &s, f, level);
}

/* The first step from the common start. Its geometry is the same for all draws, so it is a sum over
 * the links of how late each is, times what that link moves the fix. */
typedef struct opening {
    float x[AW_MOST_LINKS], y[AW_MOST_LINKS]; /* metres of fix for a metre of lateness */
    float off[AW_MOST_LINKS];                 /* straight range less the range from the start */
    float inverse_weight;
    bool poor;
} opening;

static void prepare_opening(const aw_lane_cell *c, opening *o)
{
    double ux[AW_MOST_LINKS], uy[AW_MOST_LINKS];
    double w = 0, x = 0, y = 0, xx = 0, xy = 0, yy = 0;
    for (size_t i = 0; i < c->n; i++) {
        const double dx = (double)c->start[0] - (double)c->x[i];
        const double dy = (double)c->start[1] - (double)c->y[i];
        const double dz = (c->dims == 3 ? (double)c->start[2] : 0) - (double)c->z[i];
        const double range = sqrt(dx * dx + dy * dy + dz * dz), weight = (double)c->weight[i];
        ux[i] = dx / range;
        uy[i] = dy / range;
        o->off[i] = (float)((double)c->straight[i] - range);
        w += weight;
        x += weight * ux[i];
        y += weight * uy[i];
        xx += weight * ux[i] * ux[i];
        xy += weight * ux[i] * uy[i];
        yy += weight * uy[i] * uy[i];
    }
    const double mx = x / w, my = y / w;
    xx -= x * mx;
    xy -= x * my;
    yy -= y * my;
    const double det = xx * yy - xy * xy;
    o->poor = !(det > (double)POOR * (xx * yy));
    o->inverse_weight = (float)(1 / w);
    for (size_t i = 0; i < c->n; i++) {
        const double a = (double)c->weight[i] * (ux[i] - mx);
        const double b = (double)c->weight[i] * (uy[i] - my);
        o->x[i] = (float)((yy * a - xy * b) / det);
        o->y[i] = (float)((xx * b - xy * a) / det);
    }
}

INLINE void take_opening(const aw_lane_cell *c, const aw_lane_block *b, const opening *o, sweep *v,
                         size_t l, const shape f)
{
    vf x = spread(0), y = spread(0), sum = spread(0), squares = spread(0);
    for (size_t i = 0; i < c->n; i++) {
        const vf r = load(b->late + i * AW_BLOCK + l) + o->off[i];
        const vf wr = f.even ? r : r * c->weight[i];
        x += r * o->x[i];
        y += r * o->y[i];
        sum += wr;
        squares += wr * r;
    }
    store(b->x + l, x + c->start[0]);
    store(b->y + l, y + c->start[1]);
    if (f.solid)
        store(b->z + l, spread(c->start[2]));
    store(v->last + l, squares - sum * sum * o->inverse_weight);
}

/* The same where frames are lost: each lane sums the links that it hears. Terms of one link in the
 * sums, rounded as sum_links() does. */
typedef struct lossy_opening {
    float x[AW_MOST_LINKS], y[AW_MOST_LINKS];
    float xx[AW_MOST_LINKS], xy[AW_MOST_LINKS], yy[AW_MOST_LINKS];
    float off[AW_MOST_LINKS]; /* straight range less the range from the start */
} lossy_opening;

INLINE void prepare_lossy_opening(const aw_lane_cell *c, lossy_opening *o, const bool solid)
{
    for (size_t i = 0; i < c->n; i++) {
        const float dx = c->start[0] - c->x[i], dy = c->start[1] - c->y[i];
        const float dz = (solid ? c->start[2] : 0) - c->z[i];
        const float range = sqrtf(dx * dx + dy * dy + dz * dz), inverse = 1.0f / range;
        const float ux = dx * inverse, uy = dy * inverse;
        o->off[i] = c->straight[i] - range;
        o->x[i] = c->weight[i] * ux;
        o->y[i] = c->weight[i] * uy;
        o->xx[i] = o->x[i] * ux;
        o->xy[i] = o->x[i] * uy;
        o->yy[i] = o->y[i] * uy;
    }
}

/* Leaves lanes open that hear too few; returns whether a lane goes on. */
INLINE bool take_lossy_opening(const aw_lane_cell *c, const aw_lane_block *b,
                               const lossy_opening *o, sweep *v, size_t l, const shape f)
{
    sums s = {0};
    vf heard = spread(0);
    for (size_t i = 0; i < c->n; i++) {
        const vf h = load(b->heard + i * AW_BLOCK + l);
        const vf r = load(b->late + i * AW_BLOCK + l) + o->off[i];
        const vf w = h * c->weight[i], wr = w * r;
        heard += h;
        s.w += w;
        s.x += h * o->x[i];
        s.y += h * o->y[i];
        s.r += wr;
        s.xx += h * o->xx[i];
        s.xy += h * o->xy[i];
        s.yy += h * o->yy[i];
        s.xr += h * o->x[i] * r;
        s.yr += h * o->y[i] * r;
        s.rr += wr * r;
    }
    const vi thin = heard < c->fewest, live = ~thin;
    memcpy(v->live + l, &live, sizeof live);
    memcpy(b->open + l, &thin, sizeof thin);
    store(b->x + l, spread(c->start[0]));
    store(b->y + l, spread(c->start[1]));
    if (f.solid)
        store(b->z + l, spread(c->start[2]));
    store(v->last + l, spread(INFINITY));
    return take_step(c, b, v, l, &s, f, f.solid);
}

/* Takes the first step in every lane. */
INLINE void begin(const aw_lane_cell *c, const aw_lane_block *b, sweep *v, const shape f)
{
    opening o;
    v->n = 0;
    prepare_opening(c, &o);
    for (size_t l = 0; l < b->lanes; l += W) {
        take_opening(c, b, &o, v, l, f);
        memset(v->live + l, o.poor ? 0 : 0xFF, sizeof(vi));
        memset(b->open + l, o.poor ? 0xFF : 0, sizeof(vi));
        v->todo[v->n++] = (uint16_t)l;
    }
}

INLINE void begin_lossy(const aw_lane_cell *c, const aw_lane_block *b, sweep *v, const shape f)
{
    lossy_opening o;
    v->n = 0;
    prepare_lossy_opening(c, &o, f.solid);
    for (size_t l = 0; l < b->lanes; l += W) {
        v->todo[v->n] = (uint16_t)l;
        v->n += take_lossy_opening(c, b, &o, v, l, f);
    }
}

/* Looks over a vector of fixes for what the careful solver has to see. */
INLINE void look_over(const aw_lane_cell *c, const aw_lane_block *b, const sweep *v, size_t l,
                      const shape f)
{
    vi open;
    const vf x = load(b->x + l), y = load(b->y + l), radius = root(x * x + y * y);
    memcpy(&open, b->open + l, sizeof open);
    open |= (load(v->last + l) > c->implausible) | (radius > c->reach);
    if (f.solid) {
        const vf z = load(b->z + l);
        open |= (z < c->lowest) | (z > c->highest);
    }
    store(b->radius + l, radius);
    memcpy(b->open + l, &open, sizeof open);
}

/* A list of vectors with a live lane, compacted as they settle: no branch depends on one draw, and
 * what a lane computes does not depend on its neighbours. */
INLINE void sweep_block(const aw_lane_cell *c, const aw_lane_block *b, const shape f)
{
    sweep v;
    if (f.even || b->heard == NULL)
        begin(c, b, &v, f);
    else
        begin_lossy(c, b, &v, f);
    for (int i = 1; i < ITERATIONS && v.n > 0; i++) {
        size_t kept = 0;
        for (size_t k = 0; k < v.n; k++) {
            const uint16_t l = v.todo[k];
            v.todo[kept] = l;
            kept += f.solid && i < AW_LEVEL_STEPS ? advance(c, b, &v, l, f, true)
                                                  : advance(c, b, &v, l, f, false);
        }
        v.n = kept;
    }
    for (size_t k = 0; k < v.n; k++)
        for (size_t l = v.todo[k]; l < v.todo[k] + (size_t)W; l++)
            b->open[l] |= v.live[l];
    for (size_t l = 0; l < b->lanes; l += W)
        look_over(c, b, &v, l, f);
}

void NAME(AW_LEVEL)(const aw_lane_cell *cell, const aw_lane_block *block)
{
    bool even = block->heard == NULL;
    for (size_t i = 0; even && i < cell->n; i++)
        even = cell->weight[i] == 1;
    if (cell->dims == 2 && even)
        sweep_block(cell, block, (shape){false, true});
    else if (cell->dims == 2)
        sweep_block(cell, block, (shape){false, false});
    else if (even)
        sweep_block(cell, block, (shape){true, true});
    else
        sweep_block(cell, block, (shape){true, false});
}
